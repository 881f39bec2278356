"""The way of a roller's pin in its cam: exact in symbols, and as it is written.

Written out once more as a point in the complex plane, on a law of motion with numbers of
its own, and differentiated by SymPy as one function of the share.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
import sympy as sp

from linkage import formulas
from linkage.formulas import cam_derivation as m
from linkage.formulas import derivation as c

x = sp.Symbol("x", real=True)
DIGITS = 50


def _numbers(seed: int) -> tuple[list[float], sp.Expr, sp.Expr, float]:
    """Return where the roller is, both turns as functions of the share, and a share."""
    rng = np.random.default_rng(seed)
    seen = [float(v) for v in rng.uniform(-0.1, 0.1, 6)]
    a, b, d, e = (sp.Float(float(v), DIGITS) for v in rng.uniform(-1.5, 1.5, 4))
    return seen, a * sp.exp(b * x), d * x + e * x**2, float(rng.uniform(0, 1))


@cache
def _exact(seed: int) -> dict[str, float]:
    """Return the way's normal, bend and push from a point in the complex plane."""
    seen, one, two, share = _numbers(seed)
    ax, ay, bx, by, cx, cy = (sp.Float(v, DIGITS) for v in seen)
    turn = sp.Symbol("turn", real=True)

    def pin(by_turn: sp.Expr) -> sp.Expr:
        away = ax + sp.I * ay + (bx + sp.I * by) * sp.cos(by_turn)
        return sp.exp(-sp.I * one) * (away + (cx + sp.I * cy) * sp.sin(by_turn))

    at = {x: sp.Float(share, DIGITS)}
    place, first, second = (
        complex(sp.diff(pin(two), x, k).subs(at).evalf(DIGITS)) for k in range(3)
    )
    moved = complex(
        (sp.diff(pin(turn), turn).subs(turn, two) * sp.diff(two, x))
        .subs(at)
        .evalf(DIGITS)
    )
    normal = first / abs(first) / 1j
    return {
        "x": place.real,
        "y": place.imag,
        "out_x": normal.real,
        "out_y": normal.imag,
        "bend": (first.conjugate() * second).imag / abs(first) ** 3,
        "push": (normal.conjugate() * moved).real / abs(moved),
    }


@pytest.mark.parametrize("seed", range(12))
def test_the_way_is_that_of_a_point_in_the_complex_plane(seed):
    """To eleven digits; the normal is given to the side on which the cam pushes."""
    seen, one, two, share = _numbers(seed)
    rates = [
        [float(sp.diff(q, x, k).subs(x, share)) for q in (one, two)] for k in range(3)
    ]
    turns = tuple((np.cos(q), np.sin(q)) for q in rates[0])
    pairs = tuple(zip(seen[::2], seen[1::2], strict=True))
    ours = formulas.pin_way(turns, pairs, tuple(rates[1]), tuple(rates[2]))
    exact = _exact(seed)
    side = np.sign(exact["push"])
    for name, value in zip(ours._fields, ours, strict=True):
        sign = 1 if name in {"x", "y"} else side
        assert value == pytest.approx(sign * exact[name], rel=1e-11, abs=1e-12), name
    assert ours.push >= 0


def test_the_pin_is_the_roller_seen_from_the_turned_cam():
    """Turned back by the cam's own turn: e^(-i q1) (a + b cos q2 + c sin q2)."""
    ax, ay, bx, by, cx, cy = m.SEEN
    there = ax + sp.I * ay + (bx + sp.I * by) * c.C2 + (cx + sp.I * cy) * c.S2
    ours = m.place()[0] + sp.I * m.place()[1]
    assert sp.expand(ours - (c.C1 - sp.I * c.S1) * there) == 0


def test_the_normal_is_square_to_the_way_and_as_long_as_one():
    way, first = m.way(), m.along(m.place())
    normal = sp.Matrix([way["out_x"], way["out_y"]])
    assert sp.simplify(normal.dot(first)) == 0
    assert sp.simplify(normal.dot(normal) - 1) == 0
