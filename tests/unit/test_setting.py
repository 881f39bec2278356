"""Setting full throttle first, then looking at idle."""

from __future__ import annotations

import math

import pytest

from linkage.model import Stop
from linkage.motion import assemble, working_travel
from linkage.motion.setting import set_full_first
from tests.build import arm, four_bar, hauler, rod, shaft, tree


def test_rod_so_set_meets_the_full_stop_at_the_floor():
    layout = hauler()
    setting = set_full_first(assemble(layout))
    assert setting is not None
    assert setting.rod == "last"
    assert setting.pad_travel == layout.pedal.end
    again = working_travel(assemble(layout.with_rod("last", setting.length)))
    assert again.end == pytest.approx(layout.pedal.end, abs=1e-7)
    assert again.opening_at_end["throttle"] == pytest.approx(
        layout.main.swing, abs=1e-6
    )
    assert again.opening_at_rest["throttle"] == setting.opening_at_rest
    assert again.start == setting.start


def test_length_is_the_distance_with_pad_down_and_lever_full():
    """A parallelogram: both turn 0.5 rad, so the cut rod is already right."""
    layout = tree(
        [
            shaft("pedal", (0, 0, 0), "upright", arm("pad", 100, 100), arm("rod", 50, 60)),
            shaft("spindle", (200, 30, 0), "upright", arm("lever", 50, 60)),
        ],
        [rod("link", "pedal.rod", "spindle.lever")],
        travel_mm=50,
        swing_deg=math.degrees(0.5),
    )  # fmt: skip
    setting = set_full_first(assemble(layout))
    assert setting.length == pytest.approx(math.hypot(0.2, 0.03), rel=1e-12)
    assert setting.opening_at_rest == pytest.approx(0, abs=1e-9)


def test_nothing_where_the_rod_so_set_cannot_be_put_together():
    """Pad down the pin is 117 mm from a lever of 20; at rest it was 40 mm away."""
    layout = four_bar(60, 35, 20, 100, 0.0, travel_mm=1000 * math.pi / 2, swing_deg=80)
    assert set_full_first(assemble(layout)) is None


def test_nothing_where_the_floor_is_not_what_stops_it():
    """A stop on the spindle stands in the way of the full stop."""
    layout = hauler(stops={"boss": Stop(name="boss", shaft="spindle", turn=0.4)})
    assert set_full_first(assemble(layout)) is None


def test_nothing_where_an_earlier_rod_jams():
    shafts = [
        shaft("pedal", (0, 0, 0), "upright", arm("pad", 1000, 0), arm("rod", 90, 40)),
        shaft("bell crank", (70, 0, 0), "upright", arm("in", 50, 30), arm("out", 40, 90)),
        shaft("spindle", (200, 20, 0), "upright", arm("lever", 60, 90)),
    ]  # fmt: skip
    rods = [
        rod("first", "pedal.rod", "bell crank.in"),
        rod("last", "bell crank.out", "spindle.lever"),
    ]
    assert set_full_first(assemble(tree(shafts, rods, travel_mm=2000))) is None


def folding(lever_mm, lever_deg):
    """A pedal of 60 mm of travel on a lever that comes into line with its rod."""
    shafts = [
        shaft("pedal", (0, 0, 0), "upright", arm("pad", 100, 100), arm("rod", 50, 60)),
        shaft("spindle", (200, 30, 0), "upright", arm("lever", lever_mm, lever_deg)),
    ]  # fmt: skip
    return tree(
        shafts,
        [rod("link", "pedal.rod", "spindle.lever")],
        travel_mm=60,
        swing_deg=math.degrees(0.6),
    )


@pytest.mark.parametrize(("lever_mm", "lever_deg"), [(25, 150), (40, 150), (40, 165)])
def test_nothing_where_the_lever_would_lie_on_the_other_side_of_its_rod(
    lever_mm, lever_deg
):
    """The rod reaches from hole to hole at full; the lever, led there, is elsewhere."""
    layout = folding(lever_mm, lever_deg)
    assert working_travel(assemble(layout)).jam is not None
    assert set_full_first(assemble(layout)) is None


@pytest.mark.parametrize(("lever_mm", "lever_deg"), [(40, 60), (40, 90), (60, 120)])
def test_a_rod_that_can_be_set_leads_the_lever_to_its_full_stop(lever_mm, lever_deg):
    layout = folding(lever_mm, lever_deg)
    setting = set_full_first(assemble(layout))
    assert setting is not None
    again = working_travel(assemble(layout.with_rod("link", setting.length)))
    assert again.opening_at_end["throttle"] == pytest.approx(0.6, abs=1e-6)
