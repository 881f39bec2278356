"""Rods that lose motion against a solve of springs, stops and contact by SciPy.

Random planar chains of two or three shafts with one slot, or one rod that only pulls
or only pushes. The other solve knows pivots, arms and lengths of rods alone: at every
position of the pad the springs store as little as they can while rods keep their
length, a lever does not pass its stop, and the pin does not pass the end of its slot.
It is stepped through the travel. The foot's force is what that costs.

No code of the package but the layout read as data, and what is asked of it.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq, minimize

from linkage.errors import LinkageError
from linkage.forces.statics import statics
from linkage.motion import assemble, frame, sweep
from tests.build import arm, rod, shaft, tree
from tests.sprung import smooth, torsion_spring, weightless, with_springs

#: Travel of the pad, its radius and seeds of the chains.
TRAVEL, RADIUS = 0.05, 0.2
SEEDS = range(12)
#: Torque at rest and rate of the springs on pedal and spindle. [N·m], [N·m/rad]
SPRINGS = {"pedal": (0.8, 0.5), "spindle": (0.4, 0.3)}


def drawn(rng):
    """Return the sizes of the next chain: pivots, arms, the rod that loses motion."""
    count = int(rng.integers(2, 4))
    names = ["pedal", "cross", "spindle"] if count == 3 else ["pedal", "spindle"]
    pivots = [np.zeros(2)]
    for _ in names[1:]:
        way = rng.uniform(-math.pi, math.pi)
        far = rng.uniform(0.2, 0.4)
        pivots.append(pivots[-1] + far * np.array([math.cos(way), math.sin(way)]))
    driving = [(rng.uniform(0.06, 0.12), rng.uniform(-180, 180)) for _ in names[1:]]
    driven = [(rng.uniform(0.03, 0.06), rng.uniform(-180, 180)) for _ in names[1:]]
    loose = int(rng.integers(count - 1))
    lost = rng.uniform(0.0, 0.008)
    kind = rng.choice(["slot", "pull", "push"])
    return names, pivots, driving, driven, loose, lost, str(kind)


def layout_of(sizes, opens=1):
    """Return a chain as a layout with springs on pedal and spindle, bare of all else."""
    names, pivots, driving, driven, loose, lost, kind = sizes
    shafts, rods = [], []
    for i, name in enumerate(names):
        arms = [arm("pad", 1e3 * RADIUS, 0)]
        if i < len(driving):
            arms.append(arm("out", 1e3 * driving[i][0], driving[i][1]))
        if i:
            arms.append(arm("in", 1e3 * driven[i - 1][0], driven[i - 1][1]))
            more = {}
            if i - 1 == loose:
                more = {"slot": 0.1} if kind == "slot" else {"only": kind}
                more["lost"] = lost
            rods.append(rod(f"r{i}", f"{names[i - 1]}.out", f"{name}.in", **more))
        x, z = 1e3 * pivots[i]
        shafts.append(shaft(name, (x, 0, z), "across", *arms))
    base = tree(shafts, rods, travel_mm=1e3 * TRAVEL, opens=opens)
    ways = {"pedal": -1, "spindle": -opens}
    springs = [torsion_spring(n, n, ways[n], k, t) for n, (t, k) in SPRINGS.items()]
    return smooth(weightless(with_springs(base, *springs)))


def chain(seed):
    """Return the sizes and the layout of the first chain of a seed that drives well."""
    rng = np.random.default_rng(seed)
    while True:
        sizes = drawn(rng)
        try:
            motion = sweep(assemble(layout_of(sizes)), np.linspace(0, TRAVEL, 26))
        except LinkageError:
            continue
        turn = motion.turns["spindle"]
        # All of it through the travel, clear of dead centres, and driven at its end.
        if np.isnan(turn).any() or not 0.15 < abs(turn[-1]) < 2.0:
            continue
        lines = frame(motion).rods.values()
        sides = [np.abs(side) for k in lines for side in (k.driver_side, k.driven_side)]
        if (
            min(side.min() for side in sides) < 0.3
            or (np.diff(abs(turn)) < -1e-9).any()
        ):
            continue
        return sizes, layout_of(sizes, opens=int(np.sign(turn[-1])))


class Solve:
    """The other solve: turns of all shafts but the pedal's, by energy and contact."""

    def __init__(self, sizes, opens) -> None:
        names, self.pivots, self.driving, self.driven, self.loose, lost, kind = sizes
        self.opens, self.count = opens, len(names) - 1
        rest = np.zeros(self.count)
        self.lengths = [self.apart(i, 0.0, rest) for i in range(self.count)]
        # A rod pulls where the pedal's first step, its own rod gone, takes it apart.
        before = self.before(1e-4)
        step = self.apart(self.loose, 1e-4, before) - self.lengths[self.loose]
        self.pulls = {"pull": 1, "push": -1, "slot": int(np.sign(step))}[kind]
        self.lengths[self.loose] += self.pulls * lost

    def pin(self, i, turn, size):
        angle = math.radians(size[1]) + turn
        return self.pivots[i] + size[0] * np.array([math.cos(angle), math.sin(angle)])

    def apart(self, i, pedal, turns):
        """Return how far apart the pins of rod i are."""
        one = pedal if i == 0 else turns[i - 1]
        gap = self.pin(i + 1, turns[i], self.driven[i]) - self.pin(
            i, one, self.driving[i]
        )
        return math.hypot(*gap)

    def before(self, pedal):
        """Return the turns of shafts before the loose rod; the others at rest."""
        turns = np.zeros(self.count)
        for i in range(self.loose):

            def miss(turn, i=i):
                return self.apart(i, pedal, [*turns[:i], turn]) - self.lengths[i]

            turns[i] = brentq(miss, -0.02, 0.02, xtol=1e-15)
        return turns

    def energy(self, turns):
        torque, rate = SPRINGS["spindle"]
        opening = self.opens * turns[-1]
        return torque * opening + rate * opening**2 / 2

    def turns(self, pedal, start):
        """Return the turns that store least, from those of the position before."""
        rules = [
            {"type": "eq", "fun": lambda t, i=i: 1e2 * (self.apart(i, pedal, t) - self.lengths[i])}
            for i in range(self.count)
            if i != self.loose
        ]  # fmt: skip
        rules += [
            {"type": "ineq", "fun": lambda t: 1e2 * self.way(pedal, t)},
            {"type": "ineq", "fun": lambda t: self.opens * t[-1]},
        ]
        found = minimize(self.energy, start, method="SLSQP", constraints=rules,
                         options={"ftol": 1e-15, "maxiter": 300})  # fmt: skip
        return found.x

    def way(self, pedal, turns):
        """Return the way that the pin has left to the end that drives."""
        return self.pulls * (
            self.lengths[self.loose] - self.apart(self.loose, pedal, turns)
        )

    def through(self, pads):
        """Return the turns at pad positions, one after the other from rest."""
        found, start = [], np.zeros(self.count)
        for pad in pads:
            start = self.turns(pad / RADIUS, start)
            found.append(start)
        return np.array(found)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_driven_lies_where_springs_stops_and_contact_hold_it(seed):
    sizes, layout = chain(seed)
    pads = np.linspace(0, TRAVEL, 41)
    ours = sweep(assemble(layout), pads)
    theirs = Solve(sizes, layout.main.opens).through(pads)
    for i, name in enumerate(sizes[0][1:]):
        np.testing.assert_allclose(ours.turns[name], theirs[:, i], atol=2e-6)
    assert abs(theirs[-1, -1]) > 0.1


@pytest.mark.parametrize("seed", SEEDS)
def test_the_foot_carries_the_slope_of_what_springs_store(seed):
    sizes, layout = chain(seed)
    other = Solve(sizes, layout.main.opens)
    pads = np.linspace(0, TRAVEL, 21)[1:-1]
    ours = statics(sweep(assemble(layout), pads)).pad_force_pressing
    torque, rate = SPRINGS["pedal"]
    step = 1e-5
    turns = other.through(pads)
    sure = 0
    for k, pad in enumerate(pads):
        two = [other.turns((pad + d) / RADIUS, turns[k]) for d in (-step, step)]
        ways = [
            other.way((pad + d) / RADIUS, t)
            for d, t in zip((-step, step), two, strict=True)
        ]
        if (ways[0] > 1e-7) != (ways[1] > 1e-7):
            continue  # the place where the pin meets the end lies between
        slope = (other.energy(two[1]) - other.energy(two[0])) / (2 * step)
        whole = slope + (torque + rate * pad / RADIUS) / RADIUS
        assert ours[k] == pytest.approx(whole, rel=2e-3)
        sure += 1
    assert sure > 15


@pytest.mark.parametrize("seed", SEEDS)
def test_without_friction_the_work_of_the_foot_is_what_springs_store(seed):
    _, layout = chain(seed)
    pads = np.linspace(0, TRAVEL, 8001)
    motion = sweep(assemble(layout), pads)
    found = statics(motion)
    np.testing.assert_allclose(found.pad_force_pressing, found.pad_force_releasing)
    turns = {"pedal": pads[-1] / RADIUS, "spindle": motion.opening("throttle")[-1]}
    stored = sum(t * turns[n] + k * turns[n] ** 2 / 2 for n, (t, k) in SPRINGS.items())
    work = np.trapezoid(found.pad_force_pressing, pads)
    assert work == pytest.approx(stored, rel=1e-3)


@pytest.mark.parametrize("seed", SEEDS)
def test_pressing_less_releasing_is_what_friction_takes(seed):
    """Drag alone rubs, so that its work is drag times turn, there and back."""
    sizes, layout = chain(seed)
    drags = dict(zip(sizes[0], (0.05, 0.04, 0.03), strict=False))
    rough = replace(
        layout,
        shafts={n: replace(s, drag=drags[n]) for n, s in layout.shafts.items()},
    )
    pads = np.linspace(0, TRAVEL, 8001)
    motion = sweep(assemble(rough), pads)
    found = statics(motion)
    between = found.pad_force_pressing - found.pad_force_releasing
    taken = sum(2 * drag * abs(motion.turns[n][-1]) for n, drag in drags.items())
    assert np.trapezoid(between, pads) == pytest.approx(taken, rel=2e-3)
    assert (between > 0).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_a_plate_never_goes_back_while_the_pedal_goes_down(seed):
    _, layout = chain(seed)
    opening = sweep(assemble(layout), np.linspace(0, TRAVEL, 501)).opening("throttle")
    assert (np.diff(opening) >= -1e-12).all()
    assert opening[0] == pytest.approx(0, abs=1e-9)


def test_chains_of_all_kinds_are_among_them():
    kinds = {(len(chain(seed)[0][0]), chain(seed)[0][-1]) for seed in SEEDS}
    assert {kind for _, kind in kinds} == {"slot", "pull", "push"}
    assert {count for count, _ in kinds} == {2, 3}
