"""That the picture of a band can be read: no text on another or on a line, all on the page."""

from __future__ import annotations

import numpy as np
import pytest

from linkage.band import band
from linkage.config import load, loads
from linkage.drawing.band import BARS, band_figure
from linkage.quantities import speak_in
from tests.bad.layouts import CONFIGS
from tests.figures.overlap import faults
from tests.inches import VAN

SHIPPED = ("bulkhead-cross-shaft", "cable-drum", "hand-and-foot", "fault-wrong-sense")


def found(name):
    return band(load(CONFIGS / f"{name}.toml").layout, samples=20)


@pytest.mark.parametrize("name", SHIPPED)
@pytest.mark.parametrize("paper", [None, "letter"])
def test_no_word_lies_on_another_or_off_the_page(name, paper):
    banner = "the pedal shuts the plate" if name.startswith("fault") else None
    assert faults(band_figure(found(name), banner=banner, paper=paper)) == []


def test_it_speaks_inches_where_the_file_does():
    loaded = loads(VAN)
    speak_in(loaded.spoken())
    figure = band_figure(band(loaded.layout, samples=20))
    assert faults(figure) == []
    assert figure.axes[0].get_xlabel() == "pad travel [in]"


def test_bars_are_the_longest_effects_and_the_curve_is_the_band():
    some = found("bulkhead-cross-shaft")
    curve, bars = band_figure(some).axes
    (middle,) = (line for line in curve.lines if line.get_gid() == "middle")
    assert np.asarray(middle.get_ydata()) == pytest.approx(np.degrees(some.curve[1]))
    widths = [bar.get_width() for bar in bars.patches]
    assert widths == sorted(widths, reverse=True)
    assert 0 < len(widths) <= BARS
    first = some.effects.each[0]
    assert widths[0] == pytest.approx(
        abs(np.degrees(first.opening * first.measured.error))
    )
