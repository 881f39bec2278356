"""The travel curve: clipped at the stops, exact where it says so."""

from dataclasses import replace
from math import radians

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage.model import Throttle
from linkage.motion import assemble, sweep, working_travel
from linkage.motion.curve import travel_curve
from linkage.motion.plate import open_area
from tests.build import hauler, hole


def layout(lever=0.034, **throttle):
    """Pedal, cross shaft and spindle, all across; invented."""
    whole = hauler().with_arm(hole("spindle.lever"), length=lever)
    changed = replace(whole.main, **throttle)
    return replace(whole, throttles={changed.name: changed})


def curve_of(a_layout, **options):
    assembly = assemble(a_layout)
    return travel_curve(assembly, working_travel(assembly), **options)


def opening(a_layout, pad):
    motion = sweep(assemble(a_layout), np.array([0.0, pad]))
    return float(motion.opening(a_layout.main.name)[1])


def test_ends_where_the_pedal_is_stopped_and_tells_what_is_left():
    curve = curve_of(layout())
    assert str(curve.stopped_by) == "full stop of throttle"
    assert curve.pad_travel[0] == 0
    assert curve.pad_travel[-1] == curve.end
    assert curve.end + curve.left_over == pytest.approx(0.075)
    assert curve.pad_travel_share[-1] == pytest.approx(curve.end / 0.075)
    assert curve.main.throttle_share[-1] == pytest.approx(1, abs=1e-9)


def test_local_ratio_is_the_slope_of_the_angle():
    curve = curve_of(layout(), points=2001)
    slope = np.gradient(curve.main.throttle_angle, curve.pad_travel, edge_order=2)
    assert curve.main.local_ratio == pytest.approx(slope, rel=1e-5)


@pytest.mark.parametrize("share", [0.25, 0.5, 0.75])
def test_marks_equal_an_independent_root(share):
    curve = curve_of(layout(), points=5)
    root = brentq(
        lambda pad: opening(layout(), pad) - share * radians(76), 0, 0.07, xtol=1e-13
    )
    assert curve.marks[share] == pytest.approx(root, abs=1e-9)


def test_full_is_reached_before_the_stop():
    curve = curve_of(layout())
    assert opening(layout(), curve.full_at) == pytest.approx(
        0.98 * radians(76), abs=1e-7
    )
    assert curve.full_at < curve.end


def test_not_full_says_none():
    curve = curve_of(layout(lever=0.060))
    assert str(curve.stopped_by) == "floor"
    assert curve.left_over == 0
    assert curve.full_at is None
    assert curve.marks[0.75] is None
    assert curve.main.throttle_share[-1] < 0.98


def test_tip_in_is_the_mean_ratio_of_the_first_tenth():
    curve = curve_of(layout(), points=4001)
    first = curve.pad_travel <= curve.end / 10
    assert curve.tip_in == pytest.approx(curve.main.local_ratio[first].mean(), rel=1e-3)


def test_half_pedal_share():
    assert curve_of(layout()).half_pedal_share == pytest.approx(
        opening(layout(), 0.0375) / radians(76), abs=1e-12
    )


def test_pressing_the_wrong_way_keeps_the_plate_on_its_idle_stop():
    curve = curve_of(layout(opens=-1))
    assert not curve.opens
    assert not curve.main.throttle_angle.any()
    assert not curve.main.local_ratio.any()
    assert curve.main.asked_angle[-1] < -1  # what the rods would do is told too
    assert curve.marks == {0.25: None, 0.5: None, 0.75: None}


def last_rod(change):
    cut = assemble(layout()).loop("last").length
    return layout().with_rod("last", cut + change)


def test_held_open_at_idle_is_shown():
    for change in (-0.003, 0.003):
        curve = curve_of(last_rod(change))
        rest = opening(last_rod(change), 0.0)
        if rest > 0:
            assert curve.held_open == pytest.approx(rest)
            assert curve.main.throttle_angle[0] == pytest.approx(rest)
            break
    else:  # pragma: no cover
        pytest.fail("neither change holds the plate open")


def test_lost_motion_before_the_plate_leaves_its_stop():
    (change,) = [c for c in (-0.003, 0.003) if opening(last_rod(c), 0.0) < 0]
    curve = curve_of(last_rod(change), points=1001)
    assert curve.held_open == 0
    assert curve.start > 0.001
    before = curve.pad_travel < curve.start - 1e-9
    assert not curve.main.throttle_angle[before].any()
    assert not curve.main.local_ratio[before].any()
    assert (curve.main.local_ratio[~before] > 0).all()
    assert (curve.main.asked_angle[before] < 0).all()


def test_free_play_moves_the_start():
    base = layout()
    curve = curve_of(
        replace(base, pedal=replace(base.pedal, free_play=0.004)), points=751
    )
    assert curve.start == pytest.approx(0.004)
    assert not curve.main.local_ratio[curve.pad_travel < 0.0039].any()
    tenth = (curve.end - curve.start) / 10
    moved = opening(base, tenth) - opening(base, 0.0)  # as if there were no play
    assert curve.tip_in == pytest.approx(moved / tenth, rel=1e-9)


def test_open_area_needs_the_bore():
    assert curve_of(layout()).main.open_area is None
    curve = curve_of(layout(bore=0.036, spindle=0.0072, closed_angle=radians(10)))
    expected = open_area(radians(10) + curve.main.throttle_angle, radians(10), 0.2)
    assert curve.main.open_area == pytest.approx(expected)
    assert curve.main.open_area[0] == 0


def test_a_kickdown_has_no_plate():
    base = layout(bore=0.036)
    kickdown = Throttle(
        name="kickdown",
        shaft="cross shaft",
        opens=1,
        swing=radians(60),
        bore=0.02,
        kind="kickdown",
    )
    curve = curve_of(replace(base, throttles={"kickdown": kickdown, **base.throttles}))
    assert curve.main.name == "throttle"
    assert curve.throttles["kickdown"].open_area is None
    assert list(curve.throttles) == ["kickdown", "throttle"]


def test_a_jam_ends_the_curve_before_the_floor():
    short = replace(
        layout(lever=0.030, swing=radians(175)),
        pedal=replace(layout().pedal, travel=0.25),
    )
    curve = curve_of(short)
    assert curve.stopped_by.kind == "jam"
    assert np.isfinite(curve.main.throttle_angle).all()
    assert curve.end < 0.25


def test_arrays_cannot_be_changed():
    curve = curve_of(layout(bore=0.036))
    for array in (
        curve.pad_travel,
        curve.pad_travel_share,
        curve.main.throttle_angle,
        curve.main.open_area,
        curve.main.local_ratio,
    ):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1
