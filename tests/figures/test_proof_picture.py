"""That the picture of a proof can be read: no text on another or on a line, all on the page."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import load, loads
from linkage.drawing.proof import ROWS, proof_figure
from linkage.proof import prove
from linkage.proof.blank import blanks
from linkage.quantities import speak_in
from tests.bad.layouts import CONFIGS
from tests.figures.overlap import faults
from tests.inches import VAN


def proof(layout, *, wrong=0.0):
    """Return the proof of a layout that shows what it says, one reading off by a share."""
    readings = [
        replace(b.reading, error=b.reading.error or 0.2) for b in blanks(layout)
    ]
    readings[0] = replace(readings[0], value=readings[0].value * (1 - wrong))
    rubs = [replace(r, rubs=3.0) if r.what == "pull" else r for r in readings]
    return prove(layout, rubs, samples=20)


@pytest.mark.parametrize(
    ("name", "wrong", "paper"),
    [
        ("hanging-pedal", 0.0, None),
        ("hanging-pedal", 0.2, "a4"),
        ("bulkhead-cross-shaft", 0.1, "letter"),
        ("twin-side-draught", 0.0, "a4"),
    ],
)
def test_no_word_lies_on_another_or_off_the_page(name, wrong, paper):
    found = proof(load(CONFIGS / f"{name}.toml").layout, wrong=wrong)
    banner = None if found.good else "the vehicle does not agree with its file"
    assert faults(proof_figure(found, banner=banner, paper=paper)) == []


def test_it_speaks_inches_where_the_file_does():
    loaded = loads(VAN)
    speak_in(loaded.spoken())
    figure = proof_figure(proof(loaded.layout))
    assert faults(figure) == []
    assert figure.axes[1].get_xlabel() == "pad travel [in]"


def test_marks_stand_where_it_was_seen_by_its_own_bounds():
    found = proof(load(CONFIGS / "hanging-pedal.toml").layout, wrong=0.05)
    readings, curve = proof_figure(found).axes
    marks = [line for line in readings.lines if line.get_gid() == "seen"]
    assert len(marks) == min(len(found.readings), ROWS)
    at = [float(np.asarray(m.get_xdata())[0]) for m in marks]
    assert at == pytest.approx(list(np.clip(found.off / found.sure, -3, 3)))
    gids = {c.get_gid() for c in curve.collections}
    assert "before" in gids
    assert ("after" in gids) == (found.after is not None)
    assert math.isclose(curve.get_xlim()[0], 0)
