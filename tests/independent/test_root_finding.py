"""Random rods against scipy's root finders on the raw distance of the two pins.

The other way knows no closed form: it lays the pins out as vectors and lets
scipy.optimize find where their distance is the rod's length. Planar loops have
parallel shafts with a side offset, skew ones have axes in any direction.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from scipy.optimize import brentq, root

from linkage import formulas
from linkage.model import parallel
from linkage.motion import assemble, sweep
from tests.build import arm, axis_of, random_basis, rod, shaft, tree

COUNT = 5000  # of each kind: 10 000 together
#: Nearer than this to a dead centre an angle has no digits to compare. [rad]
AWAY = 0.01
GREATEST_DIFFERENCE = 1e-9


@dataclass(frozen=True)
class Rods:
    """Random assembled rods; every array has the rod as its last axis."""

    centre: np.ndarray  # (2, 3, n)
    basis: np.ndarray  # (2, 3, 3, n): u, v, n
    radius: np.ndarray  # (2, n)
    angle: np.ndarray  # (2, n)
    station: np.ndarray  # (2, n)
    length: np.ndarray  # (n,)
    branch: np.ndarray  # (n,)

    def pin(self, side: int, turn: np.ndarray) -> np.ndarray:
        u, v, n = self.basis[side]
        at = self.angle[side] + turn
        return (
            self.centre[side]
            + self.station[side] * n
            + self.radius[side] * (u * np.cos(at) + v * np.sin(at))
        )

    def moment(self, turn1: np.ndarray, turn2: np.ndarray) -> np.ndarray:
        """Turning sense of a pull along the rod on the driven shaft, as a sine."""
        hub = self.centre[1] + self.station[1] * self.basis[1][2]
        hole = self.pin(1, turn2)
        pull = self.pin(0, turn1) - hole
        cross = np.cross(hole - hub, pull, axis=0)
        return np.sum(cross * self.basis[1][2], axis=0) / (self.radius[1] * self.length)

    def reduced(self) -> tuple[np.ndarray, ...]:
        sides = [
            (self.radius[i], self.angle[i], self.station[i], *self.centre[i], *self.basis[i][0], *self.basis[i][1], *self.basis[i][2])
            for i in (0, 1)
        ]  # fmt: skip
        return formulas.coefficients(*sides[0], *sides[1], self.length)


def random_rods(kind: str, count: int, seed: int) -> Rods:
    rng = np.random.default_rng(seed)
    first = np.stack([random_basis(rng) for _ in range(count)], axis=-1)
    second = np.stack([random_basis(rng) for _ in range(count)], axis=-1)
    if kind == "planar":
        second = first.copy()
        second[1:, :, ::2] *= -1  # every other one is seen from the other side
    centre = rng.normal(scale=0.12, size=(2, 3, count))
    raw = Rods(
        centre=centre,
        basis=np.stack([first, second]),
        radius=rng.uniform(0.02, 0.12, (2, count)),
        angle=rng.uniform(-np.pi, np.pi, (2, count)),
        station=rng.uniform(-0.1, 0.1, (2, count)),
        length=np.ones(count),
        branch=np.ones(count),
    )
    zero = np.zeros(count)
    length = np.linalg.norm(raw.pin(0, zero) - raw.pin(1, zero), axis=0)
    branch = np.sign(raw.moment(zero, zero))
    return Rods(**{**raw.__dict__, "length": length, "branch": branch})


def gap(rods: Rods, i: int, turn1: float):
    """Return the raw distance equation of one rod, and where it is least and most."""
    u, v, n = (rods.basis[1][k][:, i] for k in range(3))
    hub = rods.centre[1][:, i] + rods.station[1][i] * n
    pin = rods.pin(0, np.full(rods.length.size, turn1))[:, i]
    toward = np.arctan2((pin - hub) @ v, (pin - hub) @ u) - rods.angle[1][i]
    radius, angle, length = rods.radius[1][i], rods.angle[1][i], rods.length[i]

    def distance(turn2: float) -> float:
        at = angle + turn2
        d = pin - hub - radius * (u * np.cos(at) + v * np.sin(at))
        return float(d @ d) - length**2

    return distance, toward


def turned(difference: np.ndarray) -> np.ndarray:
    return np.remainder(difference + np.pi, 2 * np.pi) - np.pi


@pytest.mark.parametrize("kind", ["planar", "skew"])
def test_ten_thousand_loops_against_brentq(kind):
    rods = random_rods(kind, COUNT + 3500, seed=20240607)
    turn1 = np.random.default_rng(7).uniform(-0.7, 0.7, rods.length.size)
    cos2, sin2, reach = formulas.close(
        np.cos(turn1)[None], np.sin(turn1)[None], rods.reduced(), rods.branch
    )
    ours = np.arctan2(sin2[0], cos2[0])
    worst, compared = 0.0, 0
    for i in range(rods.length.size):
        distance, near = gap(rods, i, turn1[i])
        far = near - rods.branch[i] * np.pi
        low, high = distance(near), distance(far)
        if abs(low) < 1e-9 or abs(high) < 1e-9:
            continue  # on the edge of reach
        assert (reach[0, i] > 0) == (low < 0 < high)
        if not low < 0 < high:
            assert np.isnan(ours[i])
            continue
        zero = brentq(distance, min(near, far), max(near, far), xtol=1e-15, rtol=1e-14)
        if min(abs(zero - near), abs(zero - far)) < AWAY:
            continue
        worst = max(worst, abs(float(turned(ours[i] - zero))))
        compared += 1
        if compared == COUNT:
            break
    assert compared == COUNT
    assert worst < GREATEST_DIFFERENCE


@pytest.mark.parametrize("kind", ["planar", "skew"])
def test_branch_never_flips_in_a_sweep(kind):
    """At each of 121 positions of 5000 rods the pull turns the arm as at rest."""
    rods = random_rods(kind, COUNT, seed=11)
    reduced = rods.reduced()
    seen = 0
    for turn in np.linspace(-0.9, 0.9, 121):
        at = np.full(COUNT, turn)
        cos2, sin2, reach = formulas.close(
            np.cos(at)[None], np.sin(at)[None], reduced, rods.branch
        )
        turn2 = np.arctan2(sin2[0], cos2[0])
        good = reach[0] > 1e-12
        sense = rods.moment(at, turn2)[good]
        assert np.all(sense * rods.branch[good] > 0)
        miss = (
            np.linalg.norm(rods.pin(0, at) - rods.pin(1, turn2), axis=0) - rods.length
        )
        assert np.max(np.abs(miss[good])) < 1e-12
        seen += int(good.sum())
    assert seen > 121 * COUNT // 2


@pytest.mark.parametrize("seed", range(60))
def test_sweep_of_a_layout_against_continuation(seed):
    """Follow the root step by step, from rest, as a hand would."""
    rng = np.random.default_rng(seed)
    first = random_basis(rng)
    second = first if seed % 2 else random_basis(rng)
    layout = tree(
        [
            shaft("pedal", (0, 0, 0), axis_of(first), arm("pad", 200, -90), arm("rod", 70, rng.uniform(-180, 180), 20)),
            shaft("spindle", rng.normal(scale=150, size=3), axis_of(second), arm("lever", 60, rng.uniform(-180, 180))),
        ],
        [rod("rod", "pedal.rod", "spindle.lever")],
        travel_mm=80,
    )  # fmt: skip
    assert parallel(layout.shafts["pedal"], layout.shafts["spindle"]) == bool(seed % 2)
    assembly = assemble(layout)
    travel = np.linspace(0, 0.08, 41)
    motion = sweep(assembly, travel)
    turns = motion.turns["spindle"]
    pedal, spindle = layout.shafts["pedal"], layout.shafts["spindle"]
    length = assembly.loops[0].length

    guess, shift = 0.0, 10.0  # the solver's step is a share of its unknown
    for s, ours, reach in zip(travel, turns, motion.reach["rod"], strict=True):
        if np.isnan(ours) or reach < 1e-3:
            break
        pin = np.array(pedal.pin("rod", s / 0.2))

        def miss(turn: np.ndarray, pin: np.ndarray = pin) -> float:
            gap = pin - np.array(spindle.pin("lever", float(turn[0]) - shift))
            return float(gap @ gap - length**2) * 1e3

        guess = float(root(miss, guess + shift, tol=1e-13).x[0]) - shift
        assert ours == pytest.approx(guess, abs=1e-8)
