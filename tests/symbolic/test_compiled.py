"""The compiled functions against the symbols at 50 digits."""

from __future__ import annotations

import re
from functools import cache

import mpmath
import numpy as np
import pytest
import sympy as sp

from linkage import formulas
from linkage.formulas import MEASURED_NAMES, PARAMETER_NAMES, write
from linkage.formulas import derivation as c
from linkage.formulas.text import write_function
from tests.build import random_basis

DIGITS = 50
RELATIVE = 1e-12
POINTS = range(20)


def random_rod(seed: int) -> tuple[list[float], float, int]:
    """Return parameters of an assembled rod, a driver turn, and a branch."""
    rng = np.random.default_rng(seed)
    first, second = random_basis(rng), random_basis(rng)
    if seed % 3 == 0:
        second = first  # planar
    driver = [
        rng.uniform(0.03, 0.1),
        rng.uniform(-3, 3),
        rng.uniform(-0.1, 0.1),
        *rng.normal(size=3) * 0.1,
        *first.ravel(),
    ]
    driven = [
        rng.uniform(0.03, 0.1),
        rng.uniform(-3, 3),
        rng.uniform(-0.1, 0.1),
        *rng.normal(size=3) * 0.1 + 0.2,
        *second.ravel(),
    ]
    pin, hole = (
        np.array(p[3:6])
        + p[2] * np.array(p[12:15])
        + p[0] * (np.cos(p[1]) * np.array(p[6:9]) + np.sin(p[1]) * np.array(p[9:12]))
        for p in (driver, driven)
    )
    length = float(np.linalg.norm(pin - hole))
    return [float(x) for x in (*driver, *driven, length)], float(rng.uniform(-0.05, 0.05)), 1 if seed % 2 else -1  # fmt: skip


@cache
def exact(seed: int) -> tuple[dict, tuple, tuple]:
    """Return the coefficients and both turns of a random rod at 50 digits."""
    parameters, turn, branch = random_rod(seed)
    values = {s: sp.Float(x, DIGITS) for s, x in zip(c.PARAMETERS, parameters, strict=True)}  # fmt: skip
    known = {s: e.evalf(DIGITS, subs=values) for s, e in c.coefficients().items()}
    angle = sp.Float(turn, DIGITS)
    turn1 = (sp.cos(angle), sp.sin(angle))
    known |= {c.C1: turn1[0], c.S1: turn1[1], c.sigma: branch}
    cosine, sine, _ = (e.evalf(DIGITS, subs=known) for e in c.closed_form())
    return {**values, **known, c.C2: cosine, c.S2: sine}, turn1, (cosine, sine)


def as_float(turns: tuple) -> tuple[np.ndarray, np.ndarray]:
    return tuple(np.array([float(x)]) for x in turns)


@pytest.mark.parametrize("seed", POINTS)
def test_position_to_twelve_digits(seed):
    known, turn1, turn2 = exact(seed)
    reduced = [float(known[s]) for s in c.REDUCED]
    cos2, sin2, reach = formulas.close(*as_float(turn1), reduced, known[c.sigma])
    assert cos2[0] == pytest.approx(float(turn2[0]), abs=RELATIVE)
    assert sin2[0] == pytest.approx(float(turn2[1]), abs=RELATIVE)
    assert reach[0] == pytest.approx(float(c.closed_form()[2].evalf(DIGITS, subs=known)), rel=RELATIVE)  # fmt: skip


@pytest.mark.parametrize("seed", POINTS)
def test_coefficients_to_twelve_digits(seed):
    known, _, _ = exact(seed)
    parameters, _, _ = random_rod(seed)
    ours = formulas.coefficients(*parameters)
    size = max(abs(float(known[s])) for s in c.REDUCED)
    for value, symbol in zip(ours, c.REDUCED, strict=True):
        assert value == pytest.approx(float(known[symbol]), rel=RELATIVE, abs=RELATIVE * size)  # fmt: skip


@pytest.mark.parametrize("seed", POINTS)
def test_ratio_and_curvature_to_twelve_digits(seed):
    known, turn1, turn2 = exact(seed)
    reduced = [float(known[s]) for s in c.REDUCED]
    pairs = as_float(turn1), as_float(turn2)
    first, second = formulas.rates(*pairs, reduced)
    for ours, expr in ((first, c.ratio()), (second, c.curvature())):
        assert ours[0] == pytest.approx(float(expr.evalf(DIGITS, subs=known)), rel=RELATIVE)  # fmt: skip
    assert formulas.ratio(*pairs, reduced)[0] == pytest.approx(first[0], rel=RELATIVE)


@pytest.mark.parametrize("seed", POINTS)
def test_moments_to_twelve_digits(seed):
    known, turn1, turn2 = exact(seed)
    reduced = [float(known[s]) for s in c.REDUCED]
    ours = formulas.moments(as_float(turn1), as_float(turn2), reduced)
    for value, expr in zip(ours, (c.driver_moment(), c.driven_moment()), strict=True):
        assert value[0] == pytest.approx(float(expr.evalf(DIGITS, subs=known)), rel=RELATIVE)  # fmt: skip


TURNS = (c.C1, c.S1, c.C2, c.S2)


@cache
def exact_partials():
    """Return the partials as one function of mpmath numbers."""
    return sp.lambdify((*TURNS, *c.PARAMETERS), list(c.partials().values()), "mpmath")


@pytest.mark.parametrize("seed", POINTS)
def test_every_partial_to_twelve_digits(seed):
    known, turn1, turn2 = exact(seed)
    parameters, _, _ = random_rod(seed)
    ours = formulas.partials(as_float(turn1), as_float(turn2), parameters)
    assert ours.shape == (13, 1)
    with mpmath.workdps(DIGITS):
        point = [mpmath.mpf(str(known[s])) for s in (*TURNS, *c.PARAMETERS)]
        should = [float(x) for x in exact_partials()(*point)]
    size = max(abs(s) for s in should)
    for value, expected in zip(ours[:, 0], should, strict=True):
        assert value == pytest.approx(expected, rel=RELATIVE, abs=RELATIVE * size)


@pytest.mark.parametrize("seed", POINTS)
def test_partials_against_moving_the_parameter(seed):
    """Another witness: solve again with one parameter a little larger and smaller."""
    parameters, turn, branch = random_rod(seed)
    cos1, sin1 = np.cos([turn]), np.sin([turn])

    def solved(values: list[float]) -> tuple[np.ndarray, np.ndarray]:
        cos2, sin2, _ = formulas.close(
            cos1, sin1, formulas.coefficients(*values), branch
        )
        return cos2, sin2

    ours = formulas.partials((cos1, sin1), solved(parameters), parameters)[:, 0]
    for name, value in zip(MEASURED_NAMES, ours, strict=True):
        place = PARAMETER_NAMES.index(name)
        step = 1e-6
        angle = []
        for sign in (1, -1):
            moved = list(parameters)
            moved[place] += sign * step
            cos2, sin2 = solved(moved)
            angle.append(float(np.arctan2(sin2, cos2)[0]))
        difference = np.remainder(angle[0] - angle[1] + np.pi, 2 * np.pi) - np.pi
        assert difference / (2 * step) == pytest.approx(value, rel=1e-4, abs=1e-5)


def test_names_are_those_of_the_symbols():
    assert tuple(str(s) for s in c.PARAMETERS) == PARAMETER_NAMES
    assert tuple(str(s) for s in c.MEASURED) == MEASURED_NAMES


@pytest.mark.parametrize("seed", POINTS)
def test_followed_turn_to_twelve_digits(seed):
    _, turn, branch = random_rod(seed)
    known, _, (cosine, sine) = exact(seed)
    reduced = [float(known[s]) for s in c.REDUCED]
    ours = formulas.follow(np.array([turn]), reduced, branch)
    assert ours[0] == pytest.approx(float(sp.atan2(sine, cosine)), abs=RELATIVE)


def test_what_travels_is_freshly_derived():
    """To the last sign; after a change of the derivation write it anew."""
    assert write.PLACE.read_text(encoding="utf-8") == write.module_text()
    assert write.RUNS.read_text(encoding="utf-8") == write.run_text()
    assert write.SLIDES.read_text(encoding="utf-8") == write.slide_text()
    assert write.CAMS.read_text(encoding="utf-8") == write.cam_text()
    partials = write.SLIDE_PARTIALS.read_text(encoding="utf-8")
    assert partials == write.slide_partials_text()


@pytest.mark.parametrize(
    "folded", ["x - y", "y - x", "-x - y", "x - y - 2*z", "2*z - x"]
)
def test_printed_sums_keep_their_value(folded):
    """A sum may be turned round to begin without a minus sign, no more than that."""
    expr = sp.sympify(folded)
    text = write_function("f", sorted(expr.free_symbols, key=str), {"sum": expr}, means="Sum.")  # fmt: skip
    printed = re.search(r"sum = (.+)", text)[1]
    assert sp.sympify(printed) - expr == 0
    assert printed.startswith("-") == (folded == "-x - y")
