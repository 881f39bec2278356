"""Bearings, the pressed spindle and joints, worked out by hand. Sizes invented."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from linkage import load
from linkage.forces import force_lines, statics
from linkage.forces.friction import (
    bearing_of,
    bearings_of,
    coefficient_of,
    drag_of,
    sizes,
)
from linkage.forces.joints import _unit, circle_of
from linkage.forces.sheath import BENDS, bends
from linkage.model import Hole, stack
from linkage.model.columns import column
from linkage.model.refs import Ref
from linkage.motion import assemble, frame, sweep
from linkage.motion.frame import dot
from tests.build import arm, hauler, rod, shaft, tree
from tests.sprung import (
    bare,
    random_assembly,
    sprung_hauler,
    torsion_spring,
    with_springs,
)


def at(layout, *travel_mm):
    return sweep(assemble(layout), np.array(travel_mm or (0.0,)) / 1e3)


def with_shaft(layout, name, **parts):
    one = replace(layout.shafts[name], **parts)
    return replace(layout, shafts={**layout.shafts, name: one})


def with_plate(layout, **parts):
    plate = replace(layout.throttles["throttle"], **parts)
    return replace(layout, throttles={"throttle": plate})


# Where a shaft is carried.


def test_where_a_shaft_is_carried_as_given_or_at_its_outermost_arms_or_in_a_bush():
    across = hauler().shafts
    assert bearings_of(across["cross shaft"]) == (-0.150, 0.200)
    assert bearings_of(across["spindle"]) == (-0.010, 0.010)
    given = replace(across["cross shaft"], bearings=(-0.06, 0.06))
    assert bearings_of(given) == (-0.06, 0.06)
    # Arms nearer than a bush is long: a bush about their middle.
    near = shaft("one", (0, 0, 0), "across", arm("a", 50, 0, 30), arm("b", 50, 0, 42))
    assert bearings_of(near) == pytest.approx((0.026, 0.046))


def test_where_shafts_are_carried_in_rows():
    def one(offset):
        arms = arm("a", 50, 0, 30), arm("b", 50, 0, offset)
        return shaft("one", (0, 0, 0), "across", *arms)

    many = stack([one(30), one(42), one(130)])
    low, high = bearings_of(many)
    each = [bearings_of(one(offset)) for offset in (30, 42, 130)]
    # All in one plane, a bush is at the pivot.
    assert each[0] == (-0.010, 0.010)
    assert np.allclose(np.hstack([low, high]), each, rtol=1e-12)


def test_sizes_and_coefficients_that_are_not_given_are_assumed():
    layout = hauler()
    assert bearing_of(layout, "spindle") == 0.012
    assert bearing_of(with_plate(layout, spindle=0.007), "spindle") == 0.007
    assert bearing_of(with_shaft(layout, "spindle", bearing=0.009), "spindle") == 0.009
    assert coefficient_of(layout, "pedal") == 0.2
    assert coefficient_of(with_shaft(layout, "pedal", friction=0.1), "pedal") == 0.1
    assert coefficient_of(replace(layout, friction=0.3), "pedal") == 0.3
    link = layout.rods["last"]
    assert circle_of(link) == pytest.approx(0.2 * 0.005)
    ball = replace(link, joint_diameter=0.008, joint_friction=0.1)
    assert circle_of(ball) == pytest.approx(0.1 * 0.004)


def test_depression_counts_in_full_up_to_just_ten_degrees():
    edge = math.radians(10)
    opening = np.array([0.0, edge, np.nextafter(edge, 1), 1.0])
    drag = drag_of(hauler(), "spindle", lambda _: opening)
    assert np.allclose(drag, [0.05, 0.05, 0.025, 0.025], rtol=1e-12)


# How forces reach the bearings.


def carried(*arms, **parts):
    """Return what carries a shaft across the car, its arms at rest."""
    one = shaft("one", (0, 0, 0), "across", arm("pad", 200, 90), arm("rod", 50, 90))
    two = replace(
        shaft("two", (200, 0, 0), "across", arm("in", 50, 90), *arms), **parts
    )
    layout = tree([one, two], [rod("link", "one.rod", "two.in")], travel_mm=10)
    return force_lines(at(layout)).carried["two"]


def test_forces_that_cancel_in_the_sum_do_not_in_two_bearings():
    on = carried(
        arm("left", 50, 90, -100), arm("right", 50, 90, 100), bearings=(-0.06, 0.06)
    )
    pull = np.array([[30.0], [0.0], [0.0]])
    left = on.reactions(-pull, Hole(shaft="two", arm="left"))
    right = on.reactions(pull, Hole(shaft="two", arm="right"))
    assert np.allclose(left + right, [[-50], [0], [50], [0], [0]])  # 30 · 200 / 120
    assert np.sqrt(sizes(left + right, left + right))[:, 0] == pytest.approx(
        [50, 50, 0]
    )
    # Both in the plane midway between the bearings cancel in truth.
    on = carried(arm("left", 50, 90), arm("right", 50, 90), bearings=(-0.06, 0.06))
    none = on.reactions(-pull, Hole(shaft="two", arm="left")) + on.reactions(
        pull, Hole(shaft="two", arm="right")
    )
    assert np.allclose(none, 0)


def test_a_force_along_the_shaft_tips_it_and_thrusts():
    on = carried(arm("a", 80, 0, 40), bearings=(-0.05, 0.05))
    along = 10 * np.array(on.shaft.axis.n)[:, None]
    found = on.reactions(along, Hole(shaft="two", arm="a"))[:, 0]
    # 10 N at 80 mm over 100 mm between the bearings, in the plane of the arm.
    assert found == pytest.approx([8, 0, -8, 0, 10])
    # At half the radius half of it tips.
    found = on.reactions(along, Hole(shaft="two", arm="a"), 0.5)[:, 0]
    assert found == pytest.approx([4, 0, -4, 0, 10])


def through_a_cross_shaft(bearings):
    """Level rods at both ends of a cross shaft, that alone rubs; 1 N·m on the spindle."""
    layout = tree(
        [
            shaft("pedal", (0, 100, 0), "across", arm("pad", 200, 90), arm("rod", 50, 90)),
            shaft("cross", (200, 0, 0), "across", arm("in", 50, 90, -100), arm("out", 50, 90, 100)),
            shaft("spindle", (400, -100, 0), "across", arm("lever", 50, 90)),
        ],
        [rod("first", "pedal.rod", "cross.in"), rod("last", "cross.out", "spindle.lever")],
        travel_mm=40,
    )  # fmt: skip
    layout = bare(with_springs(layout, torsion_spring("k", "spindle", -1, 1e-9, 1.0)))
    return with_shaft(layout, "cross", bearings=bearings, bearing=0.020, friction=0.25)


@pytest.mark.parametrize(
    ("bearings", "share"),
    [
        # Each rod tips the shaft by (100 ± 60) / 120 at the bearings.
        ((-0.06, 0.06), 200 / 120),
        ((0.06, -0.06), 200 / 120),  # in either order
        ((-0.10, 0.10), 1.0),
        (None, 1.0),  # at its outermost arms
        ((-0.01, 0.01), 10.0),
    ],
)
def test_rods_that_pull_against_each_other_from_both_ends_of_a_shaft(bearings, share):
    s = statics(at(through_a_cross_shaft(bearings)))
    load, mu_r = 1.0 / 0.05, 0.25 * 0.010
    # F·r = P·r ± μr·share·(F + P): the sum of both rods is nearly nothing.
    pressing = load * (0.05 + share * mu_r) / (0.05 - share * mu_r)
    releasing = load * (0.05 - share * mu_r) / (0.05 + share * mu_r)
    assert s.rod_pressing["last"][0] == pytest.approx(load)
    assert s.rod_pressing["first"][0] == pytest.approx(pressing)
    assert s.rod_releasing["first"][0] == pytest.approx(releasing)
    assert s.pad_force_pressing[0] == pytest.approx(pressing * 0.05 / 0.2)


# The pressed spindle, and drag.


def plate_drag(layout, *openings_deg, name="spindle"):
    return drag_of(layout, name, lambda _throttle: np.radians(openings_deg or (0.0,)))


def test_a_plate_under_vacuum_presses_its_spindle():
    layout = with_plate(hauler(), bore=0.038, spindle=0.008)
    torque = 0.15 * 0.004 * 70e3 * math.pi / 4 * 0.038**2
    assert torque == pytest.approx(0.05, rel=0.05)  # as the trade has it
    found = plate_drag(layout, 0, 9.9, 10.1, 80)
    assert found == pytest.approx([torque, torque, torque / 2, torque / 2])
    rough = with_shaft(layout, "spindle", friction=0.3)
    assert plate_drag(rough) == pytest.approx(2 * torque)
    thick = with_plate(layout, spindle=0.012)
    assert plate_drag(thick) == pytest.approx(1.5 * torque)
    assert plate_drag(with_plate(layout, spindle=0.0)) == pytest.approx(torque)
    # What is rubbed in other bearings says nothing of a spindle in its body.
    assert plate_drag(replace(layout, friction=0.4)) == pytest.approx(torque)


def test_a_plate_of_unknown_bore_and_what_is_no_plate():
    layout = hauler()
    assert plate_drag(layout, 0, 45) == pytest.approx([0.05, 0.025])
    assert np.all(plate_drag(layout, name="pedal") == 0)
    pull = replace(layout.main, name="cable", shaft="cross shaft", kind="kickdown")
    both = replace(layout, throttles={**layout.throttles, "cable": pull})
    assert np.all(plate_drag(both, name="cross shaft") == 0)
    assert plate_drag(both) == pytest.approx(0.05)


def test_measured_drag_takes_the_place_of_the_pressed_spindle():
    layout = with_plate(hauler(), bore=0.038)
    assert plate_drag(with_shaft(layout, "spindle", drag=0.02), 0, 45) == pytest.approx(
        0.02
    )
    assert plate_drag(with_shaft(layout, "spindle", drag=0.0), 0, 45) == pytest.approx(
        0.0
    )
    pedal = with_shaft(layout, "pedal", drag=0.3)
    assert plate_drag(pedal, name="pedal") == pytest.approx(0.3)


def test_drag_and_bore_in_rows_some_not_given():
    rows = [
        with_plate(with_shaft(hauler(), "spindle", drag=drag), bore=bore)
        for drag in (None, 0.0, 0.02)
        for bore in (0.0, 0.038)
    ]
    found = plate_drag(stack(rows), 0, 45)
    each = [np.broadcast_to(plate_drag(one, 0, 45), 2) for one in rows]
    assert found.shape == (6, 2)
    assert np.isfinite(found).all()
    assert np.allclose(found, each, rtol=1e-14)
    pedals = [with_shaft(hauler(), "pedal", drag=drag) for drag in (None, 0.1)]
    assert np.ravel(plate_drag(stack(pedals), name="pedal")).tolist() == [0.0, 0.1]


# Joints.


def two_levers(lever_deg, **joints):
    """Two arms of 50 mm about shafts 200 mm apart, 1 N·m; the joints alone rub."""
    layout = tree(
        [
            shaft("pedal", (0, 0, 0), "across", arm("pad", 200, 90), arm("rod", 50, 90)),
            shaft("spindle", (200, 0, 0), "across", arm("lever", 50, lever_deg)),
        ],
        [rod("link", "pedal.rod", "spindle.lever")],
        travel_mm=40,
        opens=1 if lever_deg > 0 else -1,
    )  # fmt: skip
    shuts = -1 if lever_deg > 0 else 1
    layout = bare(
        with_springs(layout, torsion_spring("k", "spindle", shuts, 1e-9, 1.0))
    )
    link = replace(layout.rods["link"], joint_friction=0.2, **joints)
    return replace(layout, rods={"link": link})


def test_joints_of_a_parallelogram_turn_the_rods_line_across_both_circles():
    # The rod does not turn, so both arms turn against it one way, and the line of force
    # touches one friction circle above and the other below.
    s, rho = statics(at(two_levers(90))), 0.2 * 0.005
    lean = math.asin(2 * rho / 0.200)
    more, less = (0.05 * math.cos(lean) + way * rho for way in (1, -1))
    assert s.pad_force_pressing[0] * 0.2 == pytest.approx(more / less, rel=1e-12)
    assert s.pad_force_releasing[0] * 0.2 == pytest.approx(less / more, rel=1e-12)
    # What is told of the rod is the force along itself.
    assert s.rod_pressing["link"][0] == pytest.approx(math.cos(lean) / less, rel=1e-12)


def test_joints_of_levers_that_turn_against_each_other_shift_the_rods_line():
    # Arms up and down: again the rod does not turn, and the arms turn against it each
    # its own way, so that the line stays as it lies and shifts by one circle.
    s, rho = statics(at(two_levers(-90, joint_diameter=0.016))), 0.2 * 0.008
    reach = 0.05 * 0.200 / math.hypot(0.200, 0.100)
    ratio = (reach + rho) / (reach - rho)
    assert s.pad_force_pressing[0] * 0.2 == pytest.approx(ratio, rel=1e-12)
    assert s.pad_force_releasing[0] * 0.2 == pytest.approx(1 / ratio, rel=1e-12)


def test_joints_turn_as_their_arms_do_against_the_rod():
    lines = force_lines(at(two_levers(90)))
    one, two = lines.joints["link"].turns
    n = np.array(lines.layout.shafts["pedal"].axis.n)[:, None]
    # In the parallelogram each turns as its own shaft does, 5 rad a metre of pad.
    assert np.allclose(one, 5 * n)
    assert np.allclose(two, 5 * n)
    one, two = force_lines(at(two_levers(-90))).joints["link"].turns
    assert np.allclose(one, 5 * n)
    assert np.allclose(two, -5 * n)


def test_joints_in_rows_as_each_alone():
    layouts = [two_levers(90, joint_diameter=d) for d in (0.0, 0.006, 0.016)]
    many = statics(at(stack(layouts), 0, 10)).pad_force_pressing
    for i, one in enumerate(layouts):
        assert np.allclose(
            many[i], statics(at(one, 0, 10)).pad_force_pressing, rtol=1e-12
        )
    assert np.all(np.diff(many[[1, 0, 2], 0]) > 0)
    circles = circle_of(stack([x.rods["link"] for x in layouts]))
    assert np.allclose(circles, column([0.001, 0.0006, 0.0016]))


def test_a_joint_that_stands_still_rubs_in_no_direction():
    turns = np.array([[0.0, 3.0], [0.0, 0.0], [0.0, 4.0]])
    assert np.allclose(_unit(turns), [[0.0, 0.6], [0.0, 0.0], [0.0, 0.8]])


@pytest.mark.parametrize("seed", range(4))
def test_joints_lose_the_turns_of_both_ends(seed):
    """Virtual work: what the forces across a rod and the moments at its ends lose."""
    assembly = random_assembly(np.random.default_rng(seed))
    lines = force_lines(sweep(assembly, np.linspace(0.0, 0.02, 3)))
    for link in lines.layout.links:
        joints = lines.joints[link.rod.name]
        lost = sum(joints.back(hole) * lines.first[hole.shaft] for hole in link.holes)
        turned = sum(np.sqrt(dot(turn, turn)) for turn in joints.turns)
        assert np.allclose(lost, -turned, rtol=1e-9)
        assert np.all(turned > 0)
        # Across the rod, and square to the turns: it has no part along it.
        assert np.allclose(dot(joints.aside, lines.rods[link.rod.name].along), 0.0)


def test_bearings_carry_what_springs_pull_until_they_are_gone():
    layout = sprung_hauler()
    lines = force_lines(at(layout, 0.0, 30.0))
    gone = frozenset({Ref("spring", "main")})
    carried = lines.carries("spindle", frozenset()) - lines.carries("spindle", gone)
    # Both places together and the thrust are the force of the spring itself.
    whole = np.array([carried[0] + carried[2], carried[1] + carried[3], carried[4]])
    load = np.abs(lines.springs["main"].load)
    assert np.sqrt((whole**2).sum(axis=0)) == pytest.approx(load, rel=1e-9)
    assert np.all(load > 1)


def test_a_cable_of_unknown_bends_is_taken_with_half_a_turn():
    """Neither points nor bends are given: the unkind side; points or bends say otherwise."""

    layout = load(Path(__file__).parents[2] / "configs" / "cable-drum.toml").layout
    cable = layout.rods["main"]

    def bent(**changes):
        rods = {"main": replace(cable, **changes)}
        motion = sweep(assemble(replace(layout, rods=rods)), np.linspace(0, 0.05, 3))
        return bends(frame(motion).rod("main"))

    assert np.all(bent(through=()) == BENDS)
    assert np.all(bent(through=(), bend=0.5) == 0.5)
    assert np.all(bent() < BENDS)
    assert np.all(bent() > 0.2)
