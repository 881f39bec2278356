"""Working travel: what stops first, what is left over, jams and dead centres."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from linkage.model import Stop
from linkage.model.columns import spread
from linkage.motion import (
    assemble,
    crossing,
    dead_centres,
    frame,
    sweep,
    working_travel,
)
from linkage.motion.chain import Chain
from linkage.motion.dead_centre import _each_and_both, _whole_turns
from linkage.motion.jam import jams
from tests.build import arm, four_bar, hauler, hole, rod, shaft, tree


def find_jam(assembly, low, high):
    """Return the first rod that runs out between two pad positions, and where."""
    chain = Chain.of(assembly)
    travel = spread(np.array([[low]]), np.array([[high]]), chain.samples)
    rods, places = jams(chain, travel, chain.solve(travel))
    if rods[0] < 0:
        return None
    return chain.loops[rods[0]].link.rod.name, float(places[0])


def parallelogram(**more):
    """The spindle turns as the pedal; the pad at 100 mm: 10 mm are 0.1 rad."""
    settings = {"travel_mm": 60, "swing_deg": 80, **more}
    return tree(
        [
            shaft("pedal", (0, 0, 0), "upright", arm("pad", 100, 100), arm("rod", 50, 60)),
            shaft("spindle", (200, 30, 0), "upright", arm("lever", 50, 60)),
        ],
        [rod("link", "pedal.rod", "spindle.lever")],
        **settings,
    )  # fmt: skip


def test_floor_stops_a_pedal_that_is_too_short():
    working = working_travel(assemble(parallelogram()))
    assert str(working.stopped_by) == "floor"
    assert working.end == 0.06
    assert working.left_over == 0
    assert working.jam is None
    assert working.opening_at_end["throttle"] == pytest.approx(0.6)
    assert working.opening_at_rest["throttle"] == pytest.approx(0)


def test_pedal_stop_before_the_floor():
    working = working_travel(assemble(parallelogram(pedal={"stop": 0.04})))
    assert (str(working.stopped_by), working.end) == ("pedal stop", 0.04)


def test_pedal_stop_behind_the_floor_is_never_met():
    working = working_travel(assemble(parallelogram(pedal={"stop": 0.09})))
    assert (str(working.stopped_by), working.end) == ("floor", 0.06)


def test_full_stop_leaves_pad_travel_over():
    working = working_travel(assemble(parallelogram(swing_deg=math.degrees(0.45))))
    assert str(working.stopped_by) == "full stop of throttle"
    assert working.end == pytest.approx(0.045, abs=1e-9)
    assert working.left_over == pytest.approx(0.015, abs=1e-9)
    assert working.opening_at_end["throttle"] == pytest.approx(0.45, abs=1e-9)


def test_full_stop_met_exactly_at_the_floor_is_the_floor():
    working = working_travel(assemble(parallelogram(swing_deg=math.degrees(0.6))))
    assert str(working.stopped_by) == "floor"
    assert working.left_over == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("turn", [0.3, -0.3])
def test_stop_on_a_shaft(turn):
    stops = {"boss": Stop(name="boss", shaft="spindle", turn=turn)}
    working = working_travel(assemble(parallelogram(stops=stops)))
    if turn > 0:
        assert str(working.stopped_by) == "stop boss"
        assert working.end == pytest.approx(0.03, abs=1e-9)
    else:  # it lies behind: pressing never meets it
        assert str(working.stopped_by) == "floor"


def test_stop_the_other_way_for_a_pedal_that_presses_clockwise():
    stops = {"boss": Stop(name="boss", shaft="spindle", turn=-0.3)}
    layout = parallelogram(stops=stops, presses=-1, opens=-1)
    working = working_travel(assemble(layout))
    assert str(working.stopped_by) == "stop boss"
    assert working.end == pytest.approx(0.03, abs=1e-9)


def test_free_play_shifts_the_stop():
    layout = parallelogram(swing_deg=math.degrees(0.3), pedal={"free_play": 0.004})
    assert working_travel(assemble(layout)).end == pytest.approx(0.034, abs=1e-9)


def with_rod_changed(change_mm: float, **more):
    layout = parallelogram(**more)
    return layout.with_rod("link", assemble(layout).loops[0].length + change_mm / 1e3)


@pytest.mark.parametrize("change_mm", [3.0, -3.0])
def test_rod_off_its_length_holds_the_plate_open_or_starts_it_late(change_mm):
    assembly = assemble(with_rod_changed(change_mm))
    working = working_travel(assembly)
    opening = working.opening_at_rest["throttle"]
    assert np.sign(opening) == -np.sign(
        change_mm
    )  # a longer rod pushes this lever shut
    if opening > 0:
        assert working.start == 0.0
    else:
        assert working.start > 0
        at = sweep(assembly, [working.start]).opening("throttle")[0]
        assert at == pytest.approx(0, abs=1e-8)


def test_plate_that_presses_shut_never_starts():
    assembly = assemble(with_rod_changed(3.0, presses=-1, travel_mm=30))
    working = working_travel(assembly)
    assert working.opening_at_rest["throttle"] < 0
    assert working.opening_at_end["throttle"] < working.opening_at_rest["throttle"]
    assert working.start == 0.0
    assert str(working.stopped_by) == "floor"


def test_jam_inside_the_travel_says_rod_place_and_miss():
    """Stretched at 85.904 deg of crank (input limit of a double rocker)."""
    layout = four_bar(90, 60, 50, 70, 40, travel_mm=1000 * math.radians(140))
    working = working_travel(assemble(layout))
    limit = math.acos((90**2 + 70**2 - 110**2) / (2 * 90 * 70)) - math.radians(40)
    assert working.jam is not None
    assert str(working.stopped_by) == "jam of rod rod"
    assert working.jam.pad_travel == pytest.approx(limit, abs=1e-9)
    assert working.end == working.jam.pad_travel
    assert working.jam.miss == pytest.approx(0.050)


def test_jam_behind_the_full_stop_is_no_jam():
    layout = four_bar(90, 60, 50, 70, 40, travel_mm=1000 * math.radians(140))
    main = replace(layout.main, swing=0.05, opens=1)
    opening = sweep(assemble(layout), [0.0, 0.2]).turns["lever"]
    main = replace(main, opens=1 if opening[1] > opening[0] else -1)
    layout = replace(layout, throttles={"throttle": main})
    working = working_travel(assemble(layout))
    assert str(working.stopped_by) == "full stop of throttle"
    assert working.jam is None


def two_rods():
    """A pedal whose first rod is stretched at 41.2 deg, and a second behind it."""
    shafts = [
        shaft("pedal", (0, 0, 0), "upright", arm("pad", 1000, 0), arm("rod", 90, 40)),
        shaft(
            "bell crank", (70, 0, 0), "upright", arm("in", 50, 30), arm("out", 40, 90)
        ),
        shaft("spindle", (200, 20, 0), "upright", arm("lever", 60, 90)),
    ]
    rods = [
        rod("first", "pedal.rod", "bell crank.in"),
        rod("last", "bell crank.out", "spindle.lever"),
    ]
    return tree(shafts, rods, travel_mm=2000)


def test_miss_at_the_floor_is_not_told_where_the_driver_is_gone():
    """The second rod runs out first; at the floor its driver is gone as well."""
    layout = two_rods()
    layout = layout.with_rod("last", assemble(layout).loop("last").length - 0.03)
    jam = working_travel(assemble(layout)).jam
    assert jam is not None
    assert jam.rod == "last"
    assert jam.miss == 0.0


def test_momentary_jam_between_two_samples_is_found():
    """A rod too long by a hair, only where the pin passes nearest to the lever.

    The pin runs round its pivot; at 90 deg it is nearest to the far shaft, and
    the rod is folded there for less than a sample's width.
    """
    # Nearest distance of the pin to the lever's pivot: 150 - 60 = 90. The rod is
    # folded when distance = rod - lever.
    lever, hair = 60.0, 1e-5
    length = 90.0 + lever + hair
    start = 60.0
    layout = four_bar(
        60, length, lever, 150, -start, travel_mm=1000 * math.radians(120)
    )
    assembly = assemble(layout)
    coarse = sweep(assembly, np.linspace(0, layout.pedal.travel, 240)).reach["rod"]
    assert np.all(coarse > 0)  # these 240 positions all reach
    jam = find_jam(assembly, 0.0, layout.pedal.travel)
    assert jam is not None
    rod_name, place = jam
    assert rod_name == "rod"
    crank = math.radians(-start) + place
    distance = math.sqrt(60**2 + 150**2 - 2 * 60 * 150 * math.cos(crank))
    assert distance == pytest.approx(length - lever, abs=1e-7)
    assert crank < 0


@pytest.mark.parametrize("hair", [1e-5, 1e-7, 1e-9])
@pytest.mark.parametrize("share", [0.06, 0.3, 0.5, 0.7, 0.94])
def test_momentary_jam_anywhere_between_two_samples_is_found(share, hair):
    """In the first and in the second half of an interval, however short it lasts."""
    start = 60.0 + 0.5 * share  # samples are half a degree apart
    layout = four_bar(60, 150 + hair, 60, 150, -start, travel_mm=1000 * math.radians(120))  # fmt: skip
    jam = find_jam(assemble(layout), 0.0, layout.pedal.travel)
    assert jam is not None
    crank = math.radians(-start) + jam[1]
    distance = math.sqrt(60**2 + 150**2 - 2 * 60 * 150 * math.cos(crank))
    assert distance == pytest.approx(90 + hair, abs=1e-8)
    assert crank < 0


def test_rod_that_only_just_passes_is_no_jam():
    layout = four_bar(60, 150.0 - 1e-5, 60.0, 150, -60, travel_mm=1000 * math.radians(120))  # fmt: skip
    assert find_jam(assemble(layout), 0.0, layout.pedal.travel) is None


def test_jam_backwards_is_found_too():
    assembly = assemble(four_bar(90, 60, 50, 70, 40))
    rod_name, place = find_jam(assembly, 0.0, -math.radians(150))
    limit = -math.acos((90**2 + 70**2 - 110**2) / (2 * 90 * 70)) - math.radians(40)
    assert rod_name == "rod"
    assert place == pytest.approx(limit, abs=1e-9)


def test_position_that_cannot_be_reached_is_a_jam_at_once():
    assembly = assemble(four_bar(90, 60, 50, 70, 40))
    start = math.radians(60)
    assert find_jam(assembly, start, math.radians(80)) == ("rod", start)


def test_crossing_at_once_and_never():
    assembly = assemble(parallelogram())
    assert crossing(assembly, lambda m: m.turns["spindle"] + 1, 0.0, 0.05) == 0.0
    assert crossing(assembly, lambda m: m.turns["spindle"] - 9, 0.0, 0.05) is None


def test_crossing_is_sharp_in_both_directions():
    assembly = assemble(parallelogram())
    place = crossing(assembly, lambda m: m.turns["spindle"] - 0.123456789, 0.0, 0.05)
    assert place == pytest.approx(0.0123456789, abs=5e-10)
    back = crossing(assembly, lambda m: -m.turns["spindle"] - 0.3, 0.0, -0.05)
    assert back == pytest.approx(-0.03, abs=5e-10)


def test_crossing_of_a_span_of_nothing():
    assembly = assemble(parallelogram())
    assert crossing(assembly, lambda m: m.turns["spindle"] - 1, 0.01, 0.01) is None


def test_dead_centres_of_a_crank_rocker_are_its_toggles():
    """Crank 25, rod 90, lever 75, ground 100: 40.07 and 228.58 deg by triangles."""
    full = math.degrees(math.acos((115**2 + 100**2 - 75**2) / (2 * 115 * 100)))
    assembly = assemble(four_bar(25, 90, 75, 100, 90, travel_mm=100))
    found = dead_centres(assembly, working_travel(assembly))
    (one,) = [d for d in found if d.hole == hole("crank.pin")]
    assert one.side == "idle"
    assert math.degrees(one.pad_travel) == pytest.approx(full - 90, abs=1e-6)
    assert math.degrees(one.margin) == pytest.approx(90 - full, abs=1e-6)
    assert one.pad_margin == pytest.approx(math.radians(90 - full), abs=1e-8)


def test_dead_centre_inside_the_travel_comes_first():
    assembly = assemble(four_bar(25, 90, 75, 100, 20, travel_mm=1000))
    found = dead_centres(assembly, working_travel(assembly))
    assert found[0].side == "inside"
    assert found[0].margin == found[0].pad_margin == 0
    assert 20 + math.degrees(found[0].pad_travel) == pytest.approx(40.0737, abs=1e-3)


def test_jam_is_a_dead_centre_inside():
    layout = four_bar(90, 60, 50, 70, 40, travel_mm=1400)
    assembly = assemble(layout)
    working = working_travel(assembly)
    found = dead_centres(assembly, working)
    assert found[0].side == "inside"
    assert found[0].hole == hole("lever.pin")
    assert found[0].pad_travel == working.jam.pad_travel
    assert all(d.side != "full" for d in found)


def test_driven_dead_centre_beyond_the_full_stop():
    layout = four_bar(90, 60, 50, 70, 40, travel_mm=1000 * math.radians(30))
    assembly = assemble(layout)
    working = working_travel(assembly)
    found = [d for d in dead_centres(assembly, working) if d.side == "full"]
    limit = math.acos((90**2 + 70**2 - 110**2) / (2 * 90 * 70)) - math.radians(70)
    nearest = next(d for d in found if d.hole == hole("lever.pin"))
    assert nearest.pad_margin == pytest.approx(limit, abs=1e-9)
    turns = sweep(assembly, [working.end, nearest.pad_travel]).turns["lever"]
    assert nearest.margin == pytest.approx(abs(turns[1] - turns[0]), abs=1e-12)


def test_dead_centres_far_away_are_left_out():
    """Arms at right angles to a long rod stay clear within 75 deg of pedal."""
    layout = parallelogram(travel_mm=10)
    layout = layout.with_arm(hole("pedal.rod"), length=0.01)
    found = dead_centres(a := assemble(layout), working_travel(a))
    assert all(
        abs(d.pad_travel) <= 0.01 + 0.1 * math.radians(75) + 1e-12 for d in found
    )
    assert not any(d.hole.shaft == "spindle" for d in found)


def test_arm_in_line_with_its_rod_at_the_start_is_told_at_the_start():
    """The driver's arm may be in line at rest: the branch does not hang on it."""
    layout = tree(
        [
            shaft("pedal", (0, 0, 0), "upright", arm("pad", 100, 90), arm("rod", 50, 0)),
            shaft("spindle", (200, -50, 0), "upright", arm("lever", 50, 90)),
        ],
        [rod("link", "pedal.rod", "spindle.lever")],
        travel_mm=20,
    )  # fmt: skip
    assembly = assemble(layout)
    line = frame(sweep(assembly, [0.0])).rod("link")
    assert line.driver_side[0] == pytest.approx(0, abs=1e-15)
    found = dead_centres(assembly, working_travel(assembly))
    at_start = [d for d in found if d.hole == hole("pedal.rod") and d.side == "inside"]
    assert at_start
    assert at_start[0].pad_travel == 0


def test_hauler_has_working_travel():
    working = working_travel(assemble(hauler()))
    assert working.start == 0
    assert 0 < working.end <= 0.075


def test_rod_lost_just_before_its_driver_is_found():
    """Two rods that run out within one sample of each other: the nearer counts.

    The second rod's length is halved in on where it stops being the first to
    run out; however near the two jams are, nothing is lost before the one told.
    """
    layout = two_rods()
    cut = assemble(layout).loop("last").length
    early, late = cut - 0.03, cut
    assert find_jam(assemble(layout.with_rod("last", early)), 0.0, 2.0)[0] == "last"
    assert find_jam(assemble(layout), 0.0, 2.0)[0] == "first"
    for _ in range(30):
        middle = (early + late) / 2
        assembly = assemble(layout.with_rod("last", middle))
        name, place = find_jam(assembly, 0.0, 2.0)
        motion = sweep(assembly, np.linspace(0, place, 2001))
        assert not np.isnan(motion.turns["spindle"]).any()
        early, late = (middle, late) if name == "last" else (early, middle)
    assert late - early < 1e-10


@pytest.mark.parametrize("rate", [90.0, -90.0, 300.0])
@pytest.mark.parametrize(("start", "end"), [(0.0, 0.06), (0.07, 0.13), (0.02, -0.04)])
@pytest.mark.parametrize("share", [0.02, 0.5, 0.63, 1.0])
def test_turns_go_on_across_the_seam(rate, start, end, share):
    """A turn is known but for whole ones; those are counted on the way there."""
    travel = np.linspace(start, end, 61)[None]
    at = np.array([start + share * (end - start)])
    angle = lambda s: 3.0 + rate * (s - start)
    wrapped = lambda s: np.arctan2(np.sin(angle(s)), np.cos(angle(s)))
    whole = _whole_turns(travel, wrapped(travel), wrapped(at), at)
    turned = wrapped(at) - wrapped(travel[:, 0]) + whole
    assert turned == pytest.approx(rate * (at - start), abs=1e-9)


def test_dead_centres_inside_come_first_and_then_the_nearest():
    assembly = assemble(four_bar(90, 60, 50, 70, -40, travel_mm=2500))
    found = dead_centres(assembly, working_travel(assembly))
    assert [d.side for d in found] == ["inside", "idle", "full"]
    assert 0 == found[0].margin < found[1].margin < found[2].margin
    # Past the one beyond the full end the rod does not reach: nothing is told there.
    jam = find_jam(assembly, 0.5, 3.0)
    assert found[2].pad_travel == pytest.approx(jam[1], abs=1e-6)


def test_no_dead_centre_is_told_past_a_rod_that_does_not_reach():
    """One rod runs out at 0.80 rad; the arm of another would be in line at 1.1 rad."""
    base = four_bar(90, 60, 50, 70, 40)
    crank, lever = base.shafts["crank"], base.shafts["lever"]
    aside = arm("aside", 30, 180 - math.degrees(1.1))
    pedal = replace(crank, arms={**crank.arms, "aside": aside})
    far = shaft("far", (1000, 50, 0), "upright", arm("pin", 50, 90))

    def sides(*rods):
        driven = [lever] if len(rods) > 1 else []
        layout = tree([pedal, *driven, far], [*rods], travel_mm=500)
        assembly = assemble(layout)
        found = dead_centres(assembly, working_travel(assembly))
        return {str(d.hole): d.pad_travel for d in found if d.side == "full"}

    alone = sides(rod("long", "crank.aside", "far.pin"))
    assert alone["crank.aside"] == pytest.approx(1.1, abs=0.1)
    both = sides(base.rods["rod"], rod("long", "crank.aside", "far.pin"))
    assert both["lever.pin"] == pytest.approx(0.8012, abs=1e-3)
    assert "crank.aside" not in both


def test_arms_that_are_in_line_at_once_are_both_told():
    """Of three rows: met as the driven arm's, as the driver's, and of one arm alone."""
    nan = math.nan
    lost, lined_up = np.array([1.0, nan, 1.0]), np.array([nan, 2.0, nan])
    # Sines at the place of the one and at that of the other.
    driver = np.array([[0.0, nan], [nan, 0.0], [0.5, nan]])
    driven = np.array([[0.0, nan], [nan, 0.0], [0.0, nan]])
    there = SimpleNamespace(levers=lambda _: (driver, driven))
    loop = SimpleNamespace(link=SimpleNamespace(rod=SimpleNamespace(name="one")))
    chain = SimpleNamespace(solve=lambda _: there, loops=[loop])
    places, (both,) = _each_and_both(chain, [lost], [lined_up])
    assert np.array_equal(places[0], [1.0, 2.0, 1.0])
    assert np.array_equal(places[1], [1.0, 2.0, nan], equal_nan=True)
    assert both.tolist() == [True, True, False]
