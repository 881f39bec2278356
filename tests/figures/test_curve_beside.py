"""The band under a travel curve: how far plates are apart, and who is ahead."""

from __future__ import annotations

import numpy as np
import pytest

from linkage.config import loads
from linkage.drawing import curve_figure
from linkage.motion import assemble, working_travel
from linkage.motion.curve import travel_curve
from tests.cli.conftest import CONFIGS
from tests.figures.overlap import faults
from tests.unit.edits import TWIN, edited
from tests.unit.test_twins import SLOTTED, short_lever

FAULT = loads((CONFIGS / "fault-unequal-twin-levers.toml").read_text()).layout


def curve(layout):
    assembly = assemble(layout)
    return travel_curve(assembly, working_travel(assembly))


def band(figure):
    found = [ax for ax in figure.axes if ax.get_ylabel() == "apart\n[°]"]
    return found[0] if found else None


def texts(ax) -> list[str]:
    return [t.get_text() for t in ax.texts]


def test_the_line_is_the_opening_of_the_other_less_that_of_the_first():
    one = curve(FAULT)
    ax = band(curve_figure([("fault", one)]))
    (line,) = (line for line in ax.lines if line.get_gid() == "apart rear")
    rear, front = (one.throttles[n].throttle_angle for n in ("rear", "front"))
    assert line.get_ydata() == pytest.approx(np.degrees(rear - front))
    assert line.get_xdata() == pytest.approx(one.pad_travel * 1e3)
    assert "rear ahead of front, 11.8° at most, at 61.6 mm of pad" in texts(ax)


def test_it_says_who_is_ahead_below_the_line_too():
    ax = band(curve_figure([("fault", curve(short_lever(36)))]))
    assert texts(ax) == ["front ahead of rear, 7.2° at most, at 71.9 mm of pad"]
    inches = band(curve_figure([("fault", curve(short_lever(36)))], length_unit="in"))
    assert texts(inches) == ["front ahead of rear, 7.2° at most, at 2.83 in of pad"]


def test_its_marks_are_those_of_the_plates_own_line():
    figure = curve_figure([("fault", curve(short_lever(36)))])
    lines = {line.get_gid(): line for ax in figure.axes for line in ax.lines}
    assert lines["apart rear"].get_marker() == lines["other 0 rear"].get_marker()


@pytest.mark.parametrize(
    "make",
    [
        lambda: edited(TWIN),
        lambda: edited(TWIN, SLOTTED),
        lambda: edited("hanging-pedal"),
    ],
)
def test_no_band_where_plates_run_together_or_start_apart_on_purpose(make):
    assert band(curve_figure([("one", curve(make()))])) is None


def test_no_band_under_several_curves():
    assert band(curve_figure([("one", curve(FAULT)), ("two", curve(FAULT))])) is None


@pytest.mark.parametrize("paper", [None, "a4", "letter"])
@pytest.mark.parametrize("lever", [30, 36])
def test_nothing_lies_on_anything(paper, lever):
    figure = curve_figure(
        [("fault", curve(short_lever(lever)))], paper=paper, banner="a reason"
    )
    assert faults(figure) == []
