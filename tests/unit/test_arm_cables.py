"""The arm chooser on drums and snails: full throttle at the right pedal, written back."""

from __future__ import annotations

import math

import numpy as np
import pytest

from linkage.config import edit, loads
from linkage.config.chosen import chosen_arms
from linkage.connect.cable import run_of
from linkage.motion import assemble
from linkage.quantities import speak_in
from linkage.report.sizing import sizing_lines
from linkage.search import check
from linkage.search.arm import size_arms
from linkage.search.sized import Choice
from tests.cli.conftest import CONFIGS
from tests.unit.edits import edited
from tests.unit.test_search_cables import AT, DRUM, RADIUS, SLACK, WOUND

FILE = CONFIGS / "cable-drum.toml"
RIM = "rim = [[0, 33], [60, 33], [140, 30], [220, 27]]"
SNAIL = (f"{RADIUS}, {WOUND}", f"length = 33, angle = 205, {WOUND}, {RIM}")


def written(text, sizing):
    """Return the layout of a file with the first choice in it, read again."""
    loaded, row = loads(text), sizing.rows[0]
    return loads(edit(text, chosen_arms(loaded, row.layout, [AT], row.rods))).layout


def text_of(*edits):
    text = FILE.read_text(encoding="utf-8")
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def test_a_drum_of_29_mm_takes_40_5_mm_of_wire_for_80_degrees():
    """The trade's figure, common practice with no source, to half its last digit."""
    assert 29 * math.radians(80) == pytest.approx(40.5, abs=0.05)
    layout = edited(DRUM)
    (row,) = size_arms(layout, {"spindle.drum": [0.029]}).rows
    assert row.throttle_share == pytest.approx(1.0)
    cable = layout.rods["main"]
    run = run_of(layout, cable.start, cable.ends[0].point)
    turn = (
        row.full_share * layout.pedal.travel / layout.shafts["pedal"].arms["pad"].length
    )
    lengths = [float(run.length((np.cos(t), np.sin(t)))) for t in (0.0, -turn)]
    # What the pedal pulls in is that and the slack.
    assert lengths[1] - lengths[0] == pytest.approx(0.0405 + cable.lost, abs=5e-5)


def test_the_radius_is_chosen_that_meets_full_at_90_to_98_percent():
    layout = edited(DRUM, (RADIUS, "length = 24, angle = 205"))
    sizing = size_arms(layout, {"spindle.drum": np.arange(24, 36, 0.5) * 1e-3})
    best = sizing.best
    assert best.fits
    assert 0.90 <= best.full_share <= 0.98
    assert check(best.written, cures=False).verdict == "fits"
    # Every half millimetre of radius takes 0.7 mm more wire for 80 degrees.
    met = [(r.lengths[0], r.full_share) for r in sizing.rows if r.full_share]
    assert [share for _, share in met] == sorted(share for _, share in met)


def test_a_measured_wire_is_written_as_long_as_it_is_then():
    loop = assemble(edited(DRUM)).loop("main")
    sheath = float(loop.link.rod.sheathed)
    lengths = (
        f'sheath_length = "{1e3 * sheath:.6f} mm"\n'
        f'wire_length = "{1e3 * (sheath + loop.length):.6f} mm"'
    )
    text = text_of((SLACK, lengths))
    layout = loads(text).layout
    sizing = size_arms(layout, {"spindle.drum": [0.0285, 0.029]})
    row, then = sizing.rows[0], written(text, sizing)
    cable = then.rods["main"]
    assert cable.length == pytest.approx(row.rods["main"], abs=1e-7)
    assert cable.sheath_length == pytest.approx(sheath, abs=1e-9)
    assert abs(cable.length - layout.rods["main"].length) > 1e-3


@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_rim_of_a_snail_grows_with_its_radius(units):
    text = text_of(SNAIL)
    layout = loads(text).layout
    choice = Choice(hole=AT, lengths=(0.034,), angles=(math.radians(205),))
    sizing = size_arms(layout, [choice])
    if units == "in":
        speak_in({"length": "in"})
    then = written(text, sizing)
    rim = then.shafts["spindle"].arms["drum"].rim
    old = layout.shafts["spindle"].arms["drum"].rim
    assert [t for t, _ in rim] == pytest.approx([t for t, _ in old])
    grown = [r * 34 / 33 for _, r in old]
    assert [r for _, r in rim] == pytest.approx(grown, abs=1e-7)
    one, two = (
        assemble(some).loop("main").length for some in (sizing.rows[0].layout, then)
    )
    assert one == pytest.approx(two, abs=1e-6)


@pytest.mark.parametrize(
    ("edits", "word"),
    [((), "radius;"), ((SNAIL,), "radius at its nipple, its rim in proportion;")],
)
def test_a_drum_is_told_by_its_radius_and_a_cable_by_its_free_wire(edits, word):
    layout = edited(DRUM, *edits)
    radius = layout.shafts["spindle"].arms["drum"].length
    sizing = size_arms(layout, {"spindle.drum": [radius]})
    told = " ".join(" ".join(sizing_lines(sizing)).split())
    assert f"`spindle.drum` {1e3 * radius:.2f} mm {word}" in told
    assert "of free wire; pedal stop at" in told or "of free wire; set the" in told
