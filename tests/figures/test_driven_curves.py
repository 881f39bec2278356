"""Curves of what drives in a pedal's place, as pictures: a hand lever and a governor."""

from __future__ import annotations

import numpy as np
import pytest

from linkage.config import load, loads
from linkage.drawing.curve import curve_figure
from linkage.motion import assemble, working_travel
from linkage.motion.by_hand import by_hand
from linkage.motion.curve import travel_curve
from tests.bad.layouts import CONFIGS

TEXT = (CONFIGS / "governed-engine.toml").read_text(encoding="utf-8")


def curve_of(text, *, hand=False, points=41):
    assembly = assemble(loads(text).layout)
    if hand:
        assembly = assemble(by_hand(assembly))
    return travel_curve(assembly, working_travel(assembly), points=points)


def words(figure):
    from matplotlib.text import Text

    return " ".join(" ".join(t.get_text().split()) for t in figure.findobj(Text))


def test_a_governors_curve_falls_from_open_to_shut():
    curve = curve_of(TEXT)
    assert curve.governed
    assert curve.opens
    assert (np.diff(curve.main.throttle_share) < 0).all()
    assert curve.main.throttle_share[0] == pytest.approx(0.975, abs=1e-3)
    assert curve.main.throttle_share[-1] == pytest.approx(0.0, abs=1e-6)
    for share, at in curve.marks.items():
        read = np.interp(-share, -curve.main.throttle_share, curve.pad_travel)
        assert at == pytest.approx(read, abs=2e-5)


def test_its_open_area_is_that_of_what_stands_open():
    """Largest with the engine stopped; inside, the governor's way counts as opening."""
    area = curve_of(TEXT).main.open_area
    assert area[0] == area.max() > 0.5
    assert area[-1] == pytest.approx(0.0, abs=1e-6)


def test_its_picture_speaks_of_a_governor():
    figure = curve_figure([("saw", curve_of(TEXT))])
    said = words(figure)
    for told in (
        "arm travel [mm]",
        "share of the governor's travel",
        "shut from 2 % down",
    ):
        assert told in said
    assert "stopped by shut stop of throttle" in said
    for word in ("pedal", "pad ", "tip-in", "full throttle from", "idle"):
        assert word not in said
    line = figure.axes[0].lines[0]
    assert line.get_ydata()[0] > line.get_ydata()[-1]


def test_several_governed_engines_over_each_other():
    longer = TEXT.replace("travel = 46", "travel = 30")
    said = words(curve_figure([("a", curve_of(TEXT)), ("b", curve_of(longer))]))
    assert "stopped by the end of its own travel" in said
    assert "where the linkage pushes" not in said
    assert "pedal" not in said


def test_a_hand_levers_picture_speaks_of_it():
    text = (CONFIGS / "hand-and-foot.toml").read_text(encoding="utf-8")
    curve = curve_of(text, hand=True)
    figure = curve_figure([("saw", curve)])
    said = words(figure)
    for told in (
        "hand lever travel [mm]",
        "hand lever's own end",
        ": by hand",
        "full throttle",
    ):
        assert told in said
    assert "pedal" not in said.replace("hand throttle and foot pedal", "")
    line = figure.axes[0].lines[0]
    assert np.allclose(line.get_xdata(), 1e3 * curve.pad_travel)
    assert load(CONFIGS / "hand-and-foot.toml").layout.driver == "pedal"
