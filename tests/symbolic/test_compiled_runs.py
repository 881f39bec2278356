"""The written formulas of free runs against their symbols at 50 digits.

And, in no symbols at all, against points in space and SciPy's root finder.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
import sympy as sp
from scipy.optimize import brentq

from linkage import formulas
from linkage.formulas import derivation as c
from linkage.formulas import derived_runs
from linkage.formulas import run_derivation as d
from tests.build import random_basis

DIGITS = 50
RELATIVE = 1e-12
POINTS = range(20)


def random_run(seed: int) -> tuple[list[float], float, int]:
    """Return an arm with the end of a sheath beside it, a turn and a sense."""
    rng = np.random.default_rng(seed)
    basis = random_basis(rng)
    radius, angle = rng.uniform(0.01, 0.1), rng.uniform(-3, 3)
    offset, centre = rng.uniform(-0.1, 0.1), rng.normal(size=3) * 0.2
    u, v, n = basis
    way = rng.uniform(-math.pi, math.pi)
    far = radius * rng.uniform(1.5, 8.0)
    end = centre + offset * n + far * (u * np.cos(way) + v * np.sin(way))
    end = end + n * (0.0 if seed % 3 == 0 else rng.uniform(-0.02, 0.02))
    arm = [radius, angle, offset, *centre, *basis.ravel(), *end]
    return [float(x) for x in arm], float(rng.uniform(-3, 3)), 1 if seed % 2 else -1


@cache
def exact(seed: int) -> dict[sp.Symbol, sp.Expr]:
    """Return every symbol of a random run at 50 digits."""
    arm, turn, sense = random_run(seed)
    known = {s: sp.Float(x, DIGITS) for s, x in zip(d.ARM, arm, strict=True)}
    for symbol, expr in d.given().items():
        known[symbol] = expr.evalf(DIGITS, subs=known)
    for symbol, expr in d.arm_coefficients().items():
        known[symbol] = expr.evalf(DIGITS, subs=known)
    angle = sp.Float(turn, DIGITS)
    known |= {c.C2: sp.cos(angle), c.S2: sp.sin(angle)}
    known |= {c.sigma: sp.Integer(sense), d.omega: sp.Integer(sense)}
    known[d.a] = d.arm_run().evalf(DIGITS, subs=known)
    rest = {k: e.evalf(DIGITS, subs=known) for k, e in d.drum_at_rest().items()}
    known |= {d.straight: rest["straight"], d.flat: sp.sqrt(rest["clear"])}
    known[d.wound] = sp.Float(0.3 + abs(turn), DIGITS)
    return known


def of(expr: sp.Expr, known: dict[sp.Symbol, sp.Expr]) -> float:
    return float(expr.evalf(DIGITS, subs=known))


def floats(known: dict, *symbols: sp.Symbol) -> tuple[float, ...]:
    return tuple(float(known[s]) for s in symbols)


@pytest.mark.parametrize("seed", POINTS)
def test_coefficients_of_an_arm_to_twelve_digits(seed):
    known = exact(seed)
    ours = formulas.arm_coefficients(*random_run(seed)[0])
    for value, symbol in zip(ours, (d.K, d.P, d.Q), strict=True):
        size = float(known[d.K])
        assert value == pytest.approx(float(known[symbol]), rel=RELATIVE, abs=RELATIVE * size)  # fmt: skip


@pytest.mark.parametrize("seed", POINTS)
def test_run_of_an_arm_its_rates_and_by_radius_to_twelve_digits(seed):
    known = exact(seed)
    turn, arm = floats(known, c.C2, c.S2), floats(known, d.K, d.P, d.Q)
    radius = float(known[c.r])
    first, second = formulas.arm_rates(turn, arm)
    for ours, expr in (
        (formulas.arm_run(turn, arm), d.arm_run()),
        (first, d.arm_rates()[0]),
        (second, d.arm_rates()[1]),
        (formulas.arm_by_radius(turn, arm, radius), d.arm_by_radius()),
    ):
        assert ours == pytest.approx(of(expr, known), rel=1e-11, abs=RELATIVE)


@pytest.mark.parametrize("seed", POINTS)
def test_turn_of_an_arm_to_twelve_digits(seed):
    known = exact(seed)
    arm = floats(known, d.K, d.P, d.Q)
    ours = formulas.arm_turn(float(known[d.a]), arm, int(known[c.sigma]))
    for value, expr in zip(ours, d.arm_turn(), strict=True):
        assert value == pytest.approx(of(expr, known), rel=1e-9, abs=1e-10)


@pytest.mark.parametrize("seed", POINTS)
def test_drums_to_twelve_digits(seed):
    known = exact(seed)
    arm, _, sense = random_run(seed)
    straight, leaves, clear = formulas.drum_at_rest(*arm, sense)
    for value, name in ((straight, "straight"), (leaves, "leaves"), (clear, "clear")):
        assert value == pytest.approx(of(d.drum_at_rest()[name], known), rel=RELATIVE)
    s, f, radius, wound = floats(known, d.straight, d.flat, c.r, d.wound)
    run = float(known[d.a])
    for ours, expr in (
        (formulas.drum_run(s, wound, radius), d.drum_run()),
        (formulas.drum_wound(s, run, radius), d.drum_wound()),
        (formulas.drum_by_radius(s, wound, radius, f), d.drum_by_radius()),
    ):
        assert ours == pytest.approx(of(expr, known), rel=1e-11, abs=RELATIVE)


def hole(arm: list[float], turn: float | np.ndarray) -> np.ndarray:
    """Return where the hole of an arm is, by its points alone, (3,) or (3, turns)."""
    radius, angle, offset, *rest = arm
    centre, (u, v, n) = np.array(rest[:3]), np.array(rest[3:12]).reshape(3, 3)
    at = angle + turn
    round_it = np.multiply.outer(u, np.cos(at)) + np.multiply.outer(v, np.sin(at))
    return (round_it.T * radius + centre + offset * n).T


@pytest.mark.parametrize("seed", POINTS)
def test_a_run_is_the_distance_of_two_points_and_its_turn_their_root(seed):
    arm, turn, _ = random_run(seed)
    end = np.array(arm[-3:])

    def distance(at: float) -> float:
        return float(np.linalg.norm(hole(arm, at) - end))

    k = formulas.arm_coefficients(*arm)
    assert formulas.arm_run((np.cos(turn), np.sin(turn)), k) == pytest.approx(distance(turn), rel=1e-12)  # fmt: skip
    # On which side of the nearest place the arm stands tells the sense of a pull.
    grid = np.linspace(-math.pi, math.pi, 20001)
    nearest = grid[np.argmin(np.linalg.norm(hole(arm, grid).T - end, axis=1))]
    for branch in (1, -1):
        cosine, sine, reach = formulas.arm_turn(distance(turn), k, branch)
        far = (nearest - branch * math.pi, nearest - branch * 1e-9)
        root = brentq(lambda t: distance(t) - distance(turn), *sorted(far), xtol=1e-15)
        assert reach > 0
        assert math.cos(root) == pytest.approx(float(cosine), abs=1e-6)
        assert math.sin(root) == pytest.approx(float(sine), abs=1e-6)


def test_names_of_an_arm_are_those_of_its_symbols():
    assert tuple(str(s) for s in d.ARM) == derived_runs.ARM_NAMES
