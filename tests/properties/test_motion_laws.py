"""Laws that hold for every linkage, on random ones."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from linkage.errors import LinkageError
from linkage.model import Hole
from linkage.motion import (
    assemble,
    crossing,
    dead_centres,
    frame,
    sweep,
    sweep_clear,
    working_travel,
)
from tests.build import axis_of, four_bar
from tests.properties.chains import NAMES, TRAVEL, chains, moved, well_inside

STEPS = np.linspace(-TRAVEL, TRAVEL, 401)


def same_turns(one, other, sign=1.0, *, atol=1e-9):
    good = well_inside(one) & well_inside(other)
    for name in NAMES:
        assert np.allclose(
            one.turns[name][good], sign * other.turns[name][good], rtol=0, atol=atol
        )


@given(chains())
def test_pins_stay_a_rod_length_apart(layout):
    motion = sweep(assemble(layout), STEPS)
    for loop in motion.assembly.loops:
        start, end = (
            frame(motion).pin(loop.link.driver).T,
            frame(motion).pin(loop.link.driven).T,
        )
        distance = np.linalg.norm(end - start, axis=1)
        good = ~np.isnan(distance)
        assert good.any()
        assert np.allclose(distance[good], loop.length, rtol=1e-10, atol=0)


@given(chains())
def test_pins_stay_on_their_arms(layout):
    motion = sweep(assemble(layout), STEPS)
    for name, shaft in layout.shafts.items():
        for arm in shaft.arms.values():
            place = frame(motion).pin(Hole(shaft=name, arm=arm.name)).T
            along = (place - np.array(shaft.pivot)) @ np.array(shaft.axis.n)
            good = ~np.isnan(along)
            assert np.allclose(along[good], arm.offset, atol=1e-12)
            away = np.linalg.norm(place - np.array(shaft.pivot), axis=1)
            assert np.allclose(away[good], math.hypot(arm.length, arm.offset), atol=1e-12)  # fmt: skip


@given(chains(), st.floats(0.05, 20))
def test_scale_leaves_every_angle(layout, factor):
    def larger(shaft):
        arms = {
            k: replace(a, length=a.length * factor, offset=a.offset * factor)
            for k, a in shaft.arms.items()
        }
        return replace(shaft, pivot=tuple(factor * x for x in shaft.pivot), arms=arms)

    pedal = replace(layout.pedal, travel=layout.pedal.travel * factor)
    shafts = {name: larger(shaft) for name, shaft in layout.shafts.items()}
    big = replace(layout, shafts=shafts, pedal=pedal)
    same_turns(sweep(assemble(layout), STEPS), sweep(assemble(big), factor * STEPS))


@given(chains())
def test_mirror_leaves_every_angle_for_the_mirrored_viewer(layout):
    """Across y = 0. The mirrored basis is left-handed, so n turns round."""

    def mirrored(shaft):
        flip = np.array([1.0, -1.0, 1.0])
        u, v = np.array(shaft.axis.u) * flip, np.array(shaft.axis.v) * flip
        arms = {k: replace(a, offset=-a.offset) for k, a in shaft.arms.items()}
        x, y, z = shaft.pivot
        axis = axis_of(np.array([u, v, np.cross(u, v)]))
        return replace(shaft, pivot=(x, -y, z), axis=axis, arms=arms)

    one, other = assemble(layout), assemble(moved(layout, mirrored))
    same_turns(sweep(one, STEPS), sweep(other, STEPS))


@given(
    chains(),
    st.tuples(*[st.floats(-1, 1)] * 4).filter(lambda q: np.linalg.norm(q) > 0.1),
    st.tuples(*[st.floats(-1, 1)] * 3),
)
def test_turning_and_shifting_the_whole_leaves_every_angle(layout, quaternion, shift):
    w, x, y, z = np.array(quaternion) / np.linalg.norm(quaternion)
    turn = np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )

    def turned(shaft):
        basis = np.array([shaft.axis.u, shaft.axis.v, shaft.axis.n]) @ turn.T
        pivot = turn @ np.array(shaft.pivot) + np.array(shift)
        return replace(shaft, pivot=tuple(float(c) for c in pivot), axis=axis_of(basis))

    same_turns(
        sweep(assemble(layout), STEPS), sweep(assemble(moved(layout, turned)), STEPS)
    )


@given(chains(), st.randoms(use_true_random=False))
def test_order_of_positions_does_not_matter(layout, random):
    """Forward and back gives the start, and so does any shuffled order."""
    assembly = assemble(layout)
    straight = sweep(assembly, STEPS)
    there_and_back = sweep(assembly, np.concatenate([STEPS, STEPS[::-1]]))
    order = list(range(len(STEPS)))
    random.shuffle(order)
    shuffled = sweep(assembly, STEPS[order])
    for name in NAMES:
        turns = straight.turns[name]
        out, back = np.split(there_and_back.turns[name], 2)
        assert np.array_equal(out, turns, equal_nan=True)
        assert np.array_equal(back[::-1], turns, equal_nan=True)
        assert np.array_equal(shuffled.turns[name], turns[order], equal_nan=True)


@given(chains())
def test_pedal_up_is_the_rest_position(layout):
    motion = sweep(assemble(layout), STEPS)
    middle = len(STEPS) // 2
    for name in NAMES:
        assert abs(motion.turns[name][middle]) < 1e-9


@given(chains())
def test_speeds_against_differences_of_positions(layout):
    assembly = assemble(layout)
    step = 1e-6
    travel = STEPS[::8]
    before, here, after = (sweep(assembly, travel + d) for d in (-step, 0, step))
    good = well_inside(before) & well_inside(here) & well_inside(after)
    exact, slow, fast = frame(here), frame(before), frame(after)
    for name in NAMES:
        first = (after.turns[name] - before.turns[name])[good] / (2 * step)
        assert np.allclose(exact.first[name][good], first, rtol=1e-5, atol=1e-5)
        second = (fast.first[name] - slow.first[name])[good] / (2 * step)
        assert np.allclose(exact.second[name][good], second, rtol=1e-4, atol=1e-2)


@given(chains())
def test_power_in_is_power_out(layout):
    """Virtual work: torques found from pin forces do no work along the motion.

    A unit torque loads the spindle. Each rod's pull follows from the balance of
    the shaft it drives, and loads the shaft that drives it.
    """
    motion = sweep(assemble(layout), STEPS)
    good = well_inside(motion)
    ahead = frame(motion).rod(motion.assembly.loops[0].link.rod.name)
    behind = frame(motion).rod(motion.assembly.loops[1].link.rod.name)
    for line in (ahead, behind):
        good &= np.nan_to_num(np.abs(line.driver_side)) > 0.05
    needed = np.ones(good.sum())  # torque that the rods must give the driven shaft
    for loop in reversed(motion.assembly.loops):
        link = loop.link
        start, end = (frame(motion).pin(h).T[good] for h in (link.driver, link.driven))
        pull = (start - end) / loop.length  # on the driven pin, along the rod
        arms = []
        for hole, pin, force in ((link.driven, end, pull), (link.driver, start, -pull)):
            shaft = layout.shafts[hole.shaft]
            torque = np.cross(pin - np.array(shaft.pivot), force)
            arms.append(torque @ np.array(shaft.axis.n))
        tension = needed / arms[0]
        needed = -tension * arms[1]  # what the driver's own drive must give
    rate = frame(motion).first
    taken = rate["spindle"][good] * 1.0
    given_in = rate["pedal"][good] * needed
    assert np.allclose(given_in, taken, rtol=1e-8, atol=1e-8)


@given(chains())
def test_no_jump_within_a_sweep(layout):
    """Between two positions a shaft turns as its speeds say, never more."""
    motion = sweep(assemble(layout), STEPS)
    good = well_inside(motion, 0.1)
    pairs = good[:-1] & good[1:]
    rate = frame(motion)
    for name in NAMES:
        turned = np.diff(motion.turns[name])[pairs]
        step = np.diff(STEPS)[pairs]
        mean = ((rate.first[name][:-1] + rate.first[name][1:]) / 2)[pairs] * step
        curve = np.abs(rate.second[name][:-1][pairs]) + np.abs(rate.second[name][1:][pairs])  # fmt: skip
        assert np.all(np.abs(turned - mean) <= 1e-4 + curve * step**2)


@given(chains())
def test_side_of_every_pull_is_kept(layout):
    """The driven arm's side of its rod is the branch, wherever the rod reaches."""
    motion = sweep(assemble(layout), STEPS)
    for loop in motion.assembly.loops:
        side = frame(motion).rod(loop.link.rod.name).driven_side
        good = ~np.isnan(side) & (
            np.nan_to_num(motion.reach[loop.link.rod.name]) > 1e-6
        )
        assert np.all(side[good] * loop.branch > 0)
        # The share of the reach is the square of that sine in the plane of the arm.
        tilt = frame(motion).rod(loop.link.rod.name).driven_tilt
        assert np.all(np.abs(side[good]) <= np.cos(tilt[good]) + 1e-12)


@given(chains())
def test_rod_from_either_end_is_the_same(layout):
    swapped = replace(
        layout,
        rods={k: replace(r, start=r.end, end=r.start) for k, r in layout.rods.items()},
    )
    same_turns(sweep(assemble(layout), STEPS), sweep(assemble(swapped), STEPS), atol=0)


@given(chains())
def test_given_length_equal_to_the_cut_one_changes_nothing(layout):
    cut = assemble(layout)
    given_lengths = layout
    for loop in cut.loops:
        given_lengths = given_lengths.with_rod(loop.link.rod.name, loop.length)
    again = assemble(given_lengths)
    assert [p.branch for p in again.loops] == [p.branch for p in cut.loops]
    assert max(abs(t) for t in again.rest.values()) < 1e-7
    same_turns(sweep(cut, STEPS), sweep(again, STEPS), atol=1e-6)


@settings(max_examples=60)
@given(chains())
def test_jam_is_where_a_rod_comes_into_line(layout):
    assembly = assemble(layout)
    long = replace(layout.pedal, travel=0.3)
    assembly = assemble(replace(layout, pedal=long, throttles={"throttle": replace(layout.main, swing=math.pi)}))  # fmt: skip
    jam = working_travel(assembly).jam
    assume(jam is not None)
    link = assembly.loop(jam.rod).link
    around = sweep(assembly, [0.0, jam.pad_travel, jam.pad_travel + 1e-6])
    assert around.reach[jam.rod][1] >= 0
    assert np.isnan(around.turns["spindle"][2])
    at = float(frame(around).rod(link.rod.name).driven_side[1])
    assert abs(at) < 1e-3
    inside = sweep(assembly, np.linspace(0, jam.pad_travel, 200))
    assert np.all(inside.reach[jam.rod] >= 0)


@settings(max_examples=60)
@given(
    st.tuples(*[st.floats(20, 120)] * 4, st.floats(-170, 170)),
    st.sampled_from([1, -1]),
    st.lists(st.floats(-6.5, 6.5), min_size=1, max_size=3),
)
def test_few_positions_jam_where_many_do(sizes, branch, few):
    """Beyond the nearest place, either way from rest, at which one of many jams."""
    try:
        assembly = assemble(four_bar(*sizes, branch))
    except LinkageError:
        assume(False)
    many = np.linspace(-6.5, 6.5, 6501)
    blocked = np.isnan(sweep_clear(assembly, many).turns["lever"])
    alone = np.isnan(sweep(assembly, few).turns["lever"])
    for place, is_blocked in zip(few, alone, strict=True):
        after = min(max(int(np.searchsorted(many, place)), 1), len(many) - 1)
        if blocked[after - 1] == blocked[after]:
            assert is_blocked == blocked[after]


@settings(max_examples=40)
@given(chains())
def test_dead_centre_is_where_the_sine_is_zero(layout):
    assembly = assemble(layout)
    working = working_travel(assembly)
    for found in dead_centres(assembly, working):
        motion = sweep(assembly, [working.end, found.pad_travel])
        link = assembly.loop(found.rod).link
        line = frame(motion).rod(link.rod.name)
        side = line.driver_side if found.hole == link.driver else line.driven_side
        assert abs(side[1]) < 1e-3
        assert found.pad_margin >= 0
        assert found.margin >= 0
        if found.side == "full":
            assert found.pad_travel >= working.end
        if found.side == "idle":
            assert found.pad_travel <= working.start


@settings(max_examples=40)
@given(chains(), st.floats(0.05, 0.95))
def test_crossing_is_where_the_measure_is_zero(layout, share):
    assembly = assemble(layout)
    motion = sweep(assembly, np.linspace(0, TRAVEL, 400))
    turns = motion.turns["spindle"]
    assume(not np.isnan(turns).any() and np.ptp(turns) > 0.01)
    sign = np.sign(turns[np.argmax(np.abs(turns))])
    target = share * np.max(sign * turns)

    def measure(motion):
        return sign * motion.turns["spindle"] - target

    place = crossing(assembly, measure, 0.0, TRAVEL)
    assert place is not None
    assert abs(measure(sweep(assembly, [place]))[0]) < 1e-6
