"""Where cables hold what they drive, against wires laid point by point (`wires`).

Random shafts in space with levers, drums and snails; the driven turn by SciPy's root
finder. A drum is held to the integral of its arc, rates to central differences, slack to
the least energy that springs can have with a wire that does not stretch.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import minimize

from linkage.model.rows import row, stack, take
from linkage.motion import assemble, frame, sweep
from tests.independent.random_wires import (
    PAIRS,
    TRAVEL,
    case,
    push_pull,
    with_arm,
)
from tests.independent.wires import rim_points

PADS = np.linspace(0, TRAVEL, 16)
SEEDS = range(3)
#: Turns of a snail may differ by what chords of one degree take of its arcs. [rad]
NEAR = {"lever": 1e-9, "drum": 1e-5, "snail": 2e-4, "hollow": 2e-4}


def near(kinds) -> float:
    return max(NEAR[kind] for kind in kinds)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kinds", PAIRS, ids="-".join)
def test_what_is_driven_stands_where_the_taut_wire_holds_it(kinds, seed):
    found = case(seed, kinds)
    ours = sweep(assemble(found.layout), PADS).turns["spindle"]
    theirs = found.wire.through(found.pedal(PADS))
    np.testing.assert_allclose(ours, theirs, atol=near(kinds))
    assert abs(theirs[-1]) > 0.2


@pytest.mark.parametrize("seed", SEEDS)
def test_a_push_pull_cable_follows_both_ways(seed):
    """Pressed and let up past rest alike: it drives all the time."""
    kinds = PAIRS[0]  # a wire on a drum does not push
    found = push_pull(case(seed, kinds))
    pads = np.linspace(-0.2 * TRAVEL, TRAVEL, 13)
    ours = sweep(assemble(found.layout), pads).turns["spindle"]
    theirs = found.wire.through(found.pedal(pads), one_way=False)
    np.testing.assert_allclose(ours, theirs, atol=near(kinds))
    assert ours[0] * ours[-1] < 0


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kinds", PAIRS, ids="-".join)
def test_free_wire_and_what_lies_on_the_drum_are_as_laid(kinds, seed):
    found = case(seed, kinds)
    motion = sweep(assemble(found.layout), PADS)
    line = frame(motion).rod("wire")
    for i, (end, name) in enumerate(
        ((found.wire.driver, "pedal"), (found.wire.driven, "spindle"))
    ):
        turns = motion.turns[name]
        laid = [end.run(float(t)) for t in turns]
        np.testing.assert_allclose(line.runs[i], laid, atol=0.1 * near(kinds))
        if end.arm.wound:
            wound = [end.wound(float(t)) for t in turns]
            step = math.radians(1.3 if end.arm.rim else 0.3)
            np.testing.assert_allclose(line.wound[i], wound, atol=step)
        else:
            assert (line.wound[i] == 0).all()


@pytest.mark.parametrize("kind", ["drum", "snail", "hollow"])
def test_the_other_reckoning_finds_the_shortest_way(kind):
    """By SciPy: of all ways round, not one that stays outside the rim is shorter."""
    end = case(3, ("lever", kind), tilted=False).wire.driven
    ahead = end.ahead
    turns = np.linspace(0, ahead, 141)
    rim = np.interp(turns, *rim_points(end.arm).T, right=1e-3)
    bounds = [(r, 1.0) for r in rim]
    bounds[0], bounds[-1] = (rim[0], rim[0]), (end.far, end.far)

    def length(radii):
        x, y = radii * np.cos(turns), radii * np.sin(turns)
        dx, dy = np.diff(x), np.diff(y)
        legs = np.hypot(dx, dy)
        out = np.zeros((2, len(radii)))
        for k, way in enumerate((dx / legs, dy / legs)):
            out[k, 1:] += way
            out[k, :-1] -= way
        return legs.sum(), out[0] * np.cos(turns) + out[1] * np.sin(turns)

    start = np.maximum(rim, np.linspace(rim[0], end.far, len(rim))) * 1.1
    start[[0, -1]] = rim[0], end.far
    options = {"maxiter": 20000, "maxfun": 10**6, "ftol": 1e-15, "gtol": 1e-10}
    least = minimize(length, start, jac=True, bounds=bounds, method="L-BFGS-B", options=options)  # fmt: skip
    assert end.run(0.0) == pytest.approx(least.fun, rel=1e-4)
    assert least.fun < 0.999 * length(start)[0]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_drum_takes_up_the_integral_of_its_arc(seed):
    found = case(seed, ("drum", "drum"))
    motion = sweep(assemble(found.layout), PADS)
    line = frame(motion).rod("wire")
    for i, (end, name) in enumerate(
        ((found.wire.driver, "pedal"), (found.wire.driven, "spindle"))
    ):
        turns, arm = motion.turns[name], end.arm

        def speed(t, arm=arm):
            # Of a point of the rim about the axis, in coordinates.
            step = 1e-6
            two = [(arm.length * math.cos(t + s), arm.length * math.sin(t + s)) for s in (-step, step)]  # fmt: skip
            return math.dist(*two) / (2 * step)

        arcs = [quad(speed, 0, float(t), epsabs=1e-13)[0] for t in turns]
        taken = -arm.wound * (line.runs[i] - line.runs[i][0])
        np.testing.assert_allclose(taken, np.array(arcs) - arcs[0], atol=1e-10)
        assert abs(arcs[-1]) > 5e-3


# Rates and sensitivities against differences


def _stepped(layout, pads, step=1e-6):
    low, high = (
        sweep(assemble(layout), pads + s).turns["spindle"] for s in (-step, step)
    )
    return low, high


#: Away from where the wire drives first, and of a snail between two corners or not.
DRIVEN = np.linspace(0.35, 0.95, 7) * TRAVEL


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kinds", PAIRS[:4], ids="-".join)
def test_rates_are_central_differences_of_the_turn(kinds, seed):
    found = case(seed, kinds)
    step = 1e-5
    low, mid, high = (
        sweep(assemble(found.layout), DRIVEN + s).turns["spindle"]
        for s in (-step, 0, step)
    )
    table = frame(sweep(assemble(found.layout), DRIVEN))
    first = (high - low) / (2 * step)
    second = (high - 2 * mid + low) / step**2
    np.testing.assert_allclose(table.first["spindle"], first, rtol=1e-6)
    scale = np.abs(first).max() / TRAVEL
    np.testing.assert_allclose(table.second["spindle"], second, atol=1e-4 * scale)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kinds", PAIRS[4:], ids="-".join)
def test_a_snail_turns_as_its_rates_say_over_many_corners(kinds, seed):
    """The rate has a step at every corner; what it adds up to is the turn."""
    found = case(seed, kinds)
    pads = np.linspace(0.35, 0.95, 20001) * TRAVEL
    motion = sweep(assemble(found.layout), pads)
    first, turn = frame(motion).first["spindle"], motion.turns["spindle"]
    added = np.concatenate(([0.0], np.cumsum((first[1:] + first[:-1]) / 2 * np.diff(pads))))  # fmt: skip
    np.testing.assert_allclose(turn - turn[0], added, atol=2e-6)
    assert (np.diff(turn) * found.wire.pulls > 0).all()
    line = frame(motion).rod("wire")
    assert np.degrees(line.driver_tilt + line.driven_tilt).max() > 0.1


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kinds", PAIRS, ids="-".join)
def test_a_longer_wire_turns_the_driven_arm_back_as_told(kinds, seed):
    found = case(seed, kinds)
    rest = assemble(found.layout)
    loop, step = rest.loop("wire"), 1e-7
    motion = sweep(rest, DRIVEN)
    told = loop.by_length(motion.pair("pedal"), motion.pair("spindle"))
    turns = []
    for sign in (-1, 1):
        cable = replace(found.layout.rods["wire"], length=loop.length + sign * step)
        layout = replace(found.layout, rods={"wire": cable})
        turns.append(sweep(assemble(layout), DRIVEN).turns["spindle"])
    np.testing.assert_allclose(told, (turns[1] - turns[0]) / (2 * step), rtol=1e-4)
    assert (np.sign(told) == -found.wire.pulls).all()


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kinds", PAIRS, ids="-".join)
def test_a_longer_arm_or_larger_drum_turns_the_driven_one_as_told(kinds, seed):
    """The wire stays as long as it is; a snail grows all round with its nipple."""
    found = case(seed, kinds)
    loop, step = assemble(found.layout).loop("wire"), 1e-7
    fixed = replace(found.layout.rods["wire"], length=loop.length)
    layout = replace(found.layout, rods={"wire": fixed})
    motion = sweep(assemble(layout), DRIVEN)
    told = loop.by_arms(motion.pair("pedal"), motion.pair("spindle"))
    for by, name in zip(told, ("pedal", "spindle"), strict=True):
        radius = layout.shafts[name].arms["wire"].length
        turns = [
            sweep(assemble(with_arm(layout, name, length=radius + s)), DRIVEN).turns["spindle"]
            for s in (-step, step)
        ]  # fmt: skip
        slope = (turns[1] - turns[0]) / (2 * step)
        np.testing.assert_allclose(by, slope, rtol=1e-4, atol=1e-4 * np.abs(by).max())


# Many at once, slack, the engine


def _rows(kinds):
    """Return layouts of one make-up: arms, sheaths, slack and points off by a little."""
    base = case(1, kinds)
    rng = np.random.default_rng(9)
    out = []
    for _ in range(12):
        layout = base.layout
        for name in layout.shafts:
            on = layout.shafts[name].arms["wire"]
            layout = with_arm(
                layout,
                name,
                length=on.length * rng.uniform(0.97, 1.03),
                angle=on.angle + rng.uniform(-0.05, 0.05),
                offset=on.offset + rng.uniform(-1e-3, 1e-3),
            )
        cable = layout.rods["wire"]
        ends = tuple(
            replace(end, point=tuple(x + rng.uniform(-2e-3, 2e-3) for x in end.point))
            for end in cable.ends
        )
        cable = replace(cable, ends=ends, lost=rng.uniform(0, 2e-3))
        out.append(replace(layout, rods={"wire": cable}))
    return out


@pytest.mark.parametrize("kinds", PAIRS, ids="-".join)
def test_many_rows_at_once_are_rows_alone(kinds):
    layouts = _rows(kinds)
    whole = stack(layouts)
    motion = sweep(assemble(whole), PADS)
    line = frame(motion).rod("wire")
    some = sweep(assemble(take(whole, [7, 2])), PADS).turns["spindle"]
    for i, layout in enumerate(layouts):
        alone = sweep(assemble(layout), PADS)
        turn = alone.turns["spindle"]
        np.testing.assert_array_equal(motion.turns["spindle"][i], turn)
        by_itself = frame(alone).rod("wire")
        for many, theirs in zip(
            (*line.runs, *line.wound, line.driver_side, line.driven_side, *line.pulls),
            (*by_itself.runs, *by_itself.wound, by_itself.driver_side, by_itself.driven_side, *by_itself.pulls),
            strict=True,
        ):  # fmt: skip
            some_rows = np.broadcast_to(many, (*np.shape(theirs)[:-1], 12, len(PADS)))
            np.testing.assert_array_equal(some_rows[..., i, :], theirs)
        rate = frame(alone).first["spindle"]
        np.testing.assert_array_equal(frame(motion).first["spindle"][i], rate)
        assert row(whole, i).rods["wire"] == layout.rods["wire"]
        if i in (7, 2):
            np.testing.assert_array_equal(some[(7, 2).index(i)], turn)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kinds", PAIRS[:5], ids="-".join)
def test_slack_is_where_springs_store_least_with_a_wire_that_cannot_stretch(
    kinds, seed
):
    """A wire may hang loose, a stop holds the plate from below: complementarity.

    The springs store as little as they can; the wire is no longer than it is, and the
    plate no further shut than its stop. Its root is asked for by SciPy at every pad.
    """
    found = case(seed, kinds)
    cable = replace(found.layout.rods["wire"], lost=3e-3)
    layout = replace(found.layout, rods={"wire": cable})
    wire = replace(found.wire, lost=3e-3)
    pads = np.linspace(0, TRAVEL, 12)
    ours = sweep(assemble(layout), pads).opening("throttle")
    start, theirs = 0.0, []
    for pad in found.pedal(pads):
        left = wire.free - wire.driver.run(pad)
        rules = [
            {"type": "ineq", "fun": lambda t, left=left: 1e2 * (left - wire.driven.run(wire.pulls * t[0]))},
            {"type": "ineq", "fun": lambda t: t[0]},
        ]  # fmt: skip
        solved = minimize(lambda t: 0.4 * t[0] + 0.15 * t[0] ** 2, [start], method="SLSQP", constraints=rules, options={"ftol": 1e-15, "maxiter": 300})  # fmt: skip
        start = float(solved.x[0])
        theirs.append(start)
    np.testing.assert_allclose(ours, theirs, atol=max(2e-6, near(kinds)))
    assert (np.array(theirs) < 1e-7).sum() > 1
    assert theirs[-1] > 0.1
    slack = frame(sweep(assemble(layout), pads)).slack["wire"]
    np.testing.assert_array_equal(slack, np.array(theirs) < 1e-7)
