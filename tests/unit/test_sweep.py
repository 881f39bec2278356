"""Following every shaft: senses, free play, jams, wrap-around, read-only results."""

from __future__ import annotations

import math

import numpy as np
import pytest

from linkage.errors import UsageError
from linkage.model import stack
from linkage.motion import assemble, frame, sweep, working_travel
from linkage.motion.chain import Chain
from linkage.motion.sweep import MOST_SWEPT, _beyond
from tests.build import arm, four_bar, hauler, hole, rod, shaft, tree

TRAVEL = np.linspace(0, 0.075, 76)


def parallelogram(turn_mm: float = 300, **more):
    """Equal arms, equal sides: the spindle turns as the pedal does."""
    return tree(
        [
            shaft("pedal", (0, 0, 0), "upright", arm("pad", 100, 100), arm("rod", 50, 100)),
            shaft("spindle", (200, 30, 0), "upright", arm("lever", 50, 100)),
        ],
        [rod("link", "pedal.rod", "spindle.lever")],
        travel_mm=turn_mm,
        **more,
    )  # fmt: skip


def test_parallelogram_turns_as_the_pedal_does():
    motion = sweep(assemble(parallelogram()), np.linspace(0, 0.1, 50))
    assert np.allclose(motion.turns["spindle"], motion.pad_travel / 0.1, atol=1e-12)
    assert np.allclose(frame(motion).first["spindle"], 10, rtol=1e-10)
    assert np.allclose(frame(motion).second["spindle"], 0, atol=1e-8)
    assert np.allclose(frame(motion).ratios["link"], 1, rtol=1e-12)


def test_pressing_clockwise_turns_the_other_way():
    motion = sweep(assemble(parallelogram(presses=-1, opens=-1)), [0.0, 0.01])
    assert motion.turns["pedal"][1] == pytest.approx(-0.1)
    assert motion.turns["spindle"][1] == pytest.approx(-0.1)
    assert motion.opening("throttle")[1] == pytest.approx(0.1)


def test_free_play_keeps_everything_still():
    assembly = assemble(parallelogram(pedal={"free_play": 0.005}))
    travel = np.array([-0.01, 0.0, 0.002, 0.005, 0.015])
    assert Chain.of(assembly).pedal_turn(travel) == pytest.approx([-0.1, 0, 0, 0, 0.1])
    motion = sweep(assembly, travel)
    assert motion.turns["spindle"] == pytest.approx([-0.1, 0, 0, 0, 0.1], abs=1e-12)


def test_results_are_read_only_and_the_input_is_copied():
    travel = TRAVEL.copy()
    motion = sweep(assemble(hauler()), travel)
    travel[:] = 0
    assert motion.pad_travel[-1] == 0.075
    for group in (motion.turns, motion.cosines, motion.sines, motion.reach):
        for array in group.values():
            with pytest.raises(ValueError, match="read-only"):
                array[0] = 1.0
    with pytest.raises(ValueError, match="read-only"):
        motion.pad_travel[0] = 1.0


def test_pair_is_cosine_and_sine():
    motion = sweep(assemble(hauler()), TRAVEL)
    cosine, sine = motion.pair("spindle")
    assert np.allclose(np.arctan2(sine, cosine), motion.turns["spindle"])


def test_jam_blocks_that_position_and_all_beyond_it():
    """A double rocker whose rod is stretched at 85.904 deg of crank, and again
    reachable past -85.904 deg; a linkage cannot jump the gap."""
    assembly = assemble(four_bar(90, 60, 50, 70, 40))
    crank = np.radians(np.array([0.0, 30, 45, 46, 60, 180, 250, 270, 300, -130]))
    turns = sweep(assembly, crank).turns["lever"]
    assert np.flatnonzero(np.isnan(turns)).tolist() == [3, 4, 5, 6, 7, 8, 9]


def test_positions_in_any_order_jam_alike():
    assembly = assemble(four_bar(90, 60, 50, 70, 40))
    crank = np.radians([300.0, 46.0, 0.0])
    assert np.isnan(sweep(assembly, crank).turns["lever"]).tolist() == [True, True, False]  # fmt: skip


@pytest.mark.parametrize(
    ("crank_deg", "blocked"),
    [
        ([0.0, 250.0], [False, True]),
        ([0.0, 45.0, 250.0], [False, False, True]),
        ([250.0, -100.0, 0.0], [True, False, False]),
        ([-330.0, 20.0, -120.0], [True, False, False]),
        ([-330.0, 250.0], [True, True]),
        ([45.9, 45.91, -125.9, -125.91], [False, True, False, True]),
        ([340.0], [True]),
        ([], []),
    ],
)
def test_no_position_beyond_a_jam_however_few_are_asked_for(crank_deg, blocked):
    """The rocker of above can be put together again from 234.10 deg on and before
    -314.10 deg, but not by turning it there from rest."""
    assembly = assemble(four_bar(90, 60, 50, 70, 40))
    for asked in (np.radians(crank_deg), np.radians([crank_deg] * 2)):
        motion = sweep(assembly, asked)
        for values in (motion.turns, motion.cosines, motion.sines):
            assert np.isnan(values["lever"]).tolist() == np.broadcast_to(blocked, asked.shape).tolist()  # fmt: skip
    for angle, is_blocked in zip(np.radians(crank_deg), blocked, strict=True):
        assert bool(np.isnan(sweep(assembly, angle).turns["lever"])) == is_blocked


def test_the_last_position_before_a_jam_is_reached():
    assembly = assemble(four_bar(90, 60, 50, 70, 40, travel_mm=900))
    end = working_travel(assembly).end
    for way in (end, [0.0, end], np.linspace(0.0, end, 7)):
        assert np.isfinite(sweep(assembly, way).turns["lever"]).all()


def test_rows_are_blocked_each_by_its_own_jam():
    one, other = four_bar(90, 60, 50, 70, 40), four_bar(90, 66, 50, 70, 40)
    turns = sweep(assemble(stack([one, other])), np.radians([0.0, 47.0, 250.0]))
    for i, layout in enumerate((one, other)):
        alone = sweep(assemble(layout), np.radians([0.0, 47.0, 250.0])).turns["lever"]
        assert np.array_equal(turns.turns["lever"][i], alone, equal_nan=True)
    assert np.isnan(turns.turns["lever"]).tolist() == [[False, True, True], [False, False, True]]  # fmt: skip


def test_rods_behind_a_jam_are_blocked_too():
    shafts = [
        shaft("pedal", (0, 0, 0), "upright", arm("pad", 1000, 0), arm("rod", 90, 40)),
        shaft(
            "bell crank", (70, 0, 0), "upright", arm("in", 50, 30), arm("out", 40, 90)
        ),
        shaft("spindle", (200, 20, 0), "upright", arm("lever", 60, 90)),
        shaft("twin", (-200, 20, 0), "upright", arm("lever", 80, 90)),
    ]
    rods = [
        rod("first", "pedal.rod", "bell crank.in"),
        rod("last", "bell crank.out", "spindle.lever"),
        rod("branch", "pedal.rod", "twin.lever"),
    ]
    motion = sweep(assemble(tree(shafts, rods, travel_mm=900)), [0.0, 0.9])
    assert motion.reach["first"][1] < 0
    assert motion.reach["branch"][1] > 0
    for name in ("bell crank", "spindle", "twin"):
        assert np.isnan(motion.turns[name]).tolist() == [False, True]


def test_crank_lever_that_turns_right_past_the_seam():
    """A drag link (shortest is the ground): the driven shaft turns right round."""
    layout = four_bar(80, 90, 70, 30, 60)
    assembly = assemble(layout)
    crank = np.radians(np.linspace(0, 225, 451))
    turns = sweep(assembly, crank).turns["lever"] - assembly.rest["lever"]
    assert np.all(np.diff(turns) > 0)
    assert turns[-1] > math.pi
    rest = assembly.rest["lever"]
    assert np.allclose(sweep(assembly, crank[::-1]).turns["lever"][::-1] - rest, turns)
    assert sweep(assembly, [crank[-1]]).turns["lever"][0] - rest == pytest.approx(turns[-1], abs=1e-9)  # fmt: skip


def test_rest_turn_of_a_given_rod_is_where_the_count_starts():
    assembly = assemble(four_bar(40, 120, 80, 100, 40))
    motion = sweep(assembly, np.radians([-5.0, 0.0, 5.0]))
    assert motion.turns["lever"][1] == pytest.approx(assembly.rest["lever"])


def test_places_of_a_hole_follow_its_shaft():
    layout = hauler()
    motion = sweep(assemble(layout), TRAVEL)
    shaft_ = layout.shafts["cross shaft"]
    for index in (0, 40, 75):
        turn = float(motion.turns["cross shaft"][index])
        assert frame(motion).pin(hole("cross shaft.outer")).T[index] == pytest.approx(
            np.array(shaft_.pin("outer", turn)), abs=1e-14
        )


def test_arm_rod_angles_by_the_law_of_cosines():
    motion = sweep(assemble(four_bar(40, 120, 80, 100, 40)), np.radians(np.arange(-30, 31.0)))  # fmt: skip
    link = motion.assembly.loops[0].link
    line = frame(motion).rod(link.rod.name)
    pin, end = frame(motion).pin(link.driver).T, frame(motion).pin(link.driven).T
    ground = np.array([0.1, 0, 0])
    away = np.linalg.norm(pin - ground, axis=1)
    driven = np.arccos((0.12**2 + 0.08**2 - away**2) / (2 * 0.12 * 0.08))
    back = np.linalg.norm(end, axis=1)
    driver = np.arccos((0.12**2 + 0.04**2 - back**2) / (2 * 0.12 * 0.04))
    assert np.allclose(line.driven_angle, driven, atol=1e-12)
    assert np.allclose(line.driver_angle, driver, atol=1e-12)
    assert np.allclose(line.driver_tilt, 0, atol=1e-7)


def test_tilt_is_the_lean_out_of_the_arms_plane():
    layout = parallelogram().with_arm(hole("spindle.lever"), offset=0.1)
    line = frame(sweep(assemble(layout), [0.0])).rod(layout.links[0].rod.name)
    flat = math.hypot(0.2, 0.03)
    assert line.driver_tilt[0] == pytest.approx(math.atan2(0.1, flat))
    assert line.driven_tilt[0] == pytest.approx(math.atan2(0.1, flat))


def test_sweep_of_nothing_is_empty():
    assert sweep(assemble(hauler()), np.array([])).turns["spindle"].shape == (0,)


def test_what_lies_past_a_jam_is_not_reached_on_either_side_of_rest():
    travel = np.array([3.0, -1.0, 0.0, 2.0, -2.0, 1.0, -3.0])
    for jams, lost in (((2.0,), {2.0, 3.0}), ((-2.0,), {-2.0, -3.0}), ((2.0, -3.0), {2.0, 3.0, -3.0})):  # fmt: skip
        found = _beyond(travel, np.isin(travel, jams))
        assert set(travel[found]) == lost
    rows = _beyond(
        np.stack([travel, travel]), np.stack([travel == 2.0, travel == -1.0])
    )
    assert [set(travel[r]) for r in rows] == [{2.0, 3.0}, {-1.0, -2.0, -3.0}]
    # At rest nothing can be reached.
    assert _beyond(travel, travel == 0.0).all()


def test_ten_turns_are_those_of_the_longest_pedal_arm():
    one = hauler()
    pads = (one.with_arm(hole("pedal.pad"), length=r) for r in (0.1, 0.3))
    assembly = assemble(stack([*pads]))
    assert sweep(assembly, np.array([[0.0, MOST_SWEPT * 0.2]])).turns
    with pytest.raises(UsageError, match="more than ten turns"):
        sweep(assembly, np.array([[0.0, MOST_SWEPT * 0.301]]))


def test_ten_turns_are_counted_either_way():
    assembly = assemble(hauler())
    for way in (1, -1):
        with pytest.raises(UsageError, match="more than ten turns"):
            sweep(assembly, [0.0, way * MOST_SWEPT * 0.181])


def test_a_part_of_a_motion_is_that_motion_at_some_of_its_positions():
    whole = sweep(assemble(hauler()), TRAVEL)
    some = whole.part(slice(10, 20))
    assert np.array_equal(some.pad_travel, TRAVEL[10:20])
    assert list(some.turns) == list(whole.turns)
    assert len(some.turns) == len(whole.turns)
    for name, turn in whole.turns.items():
        assert np.array_equal(some.turns[name], turn[10:20])
    assert np.array_equal(some.opening("throttle"), whole.opening("throttle")[10:20])
    two = [hauler(), hauler().with_arm(hole("spindle.lever"), length=0.036)]
    rows = sweep(assemble(stack(two)), TRAVEL[None])
    part = rows.part(slice(10, 20))
    for name, turn in rows.turns.items():
        assert np.array_equal(part.turns[name], turn[:, 10:20])


def test_levers_worked_out_with_the_rest_are_those_worked_out_alone():
    chain = Chain.of(assemble(hauler()))
    travel = np.linspace(0.0, 0.07, 8)[None]
    together, apart = chain.solve(travel, levers=True), chain.solve(travel)
    for loop in chain.loops:
        name = loop.link.rod.name
        together.pair(loop.link.driven.shaft)
        both = together.levers(name), apart.levers(name)
        for one, two in zip(*both, strict=True):
            assert np.allclose(one, two, rtol=0, atol=1e-12)
        assert not np.allclose(*both[0], rtol=0, atol=1e-3)  # of driver and driven
