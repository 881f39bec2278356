"""The closure of rods on slides in symbols: what is zero there is so identically.

The loop is written out once more here, from pins in space, by hand and not by the
derivation.
"""

from __future__ import annotations

import pytest
import sympy as sp

from linkage.formulas import derivation as c
from linkage.formulas import slide_derivation as g

KINDS = sorted(g.KINDS)


def _basis(number: int) -> tuple[dict, sp.Matrix, sp.Matrix, sp.Matrix]:
    """Return a right-handed basis of exact numbers, and what it stands for."""
    rows = {
        1: [(2, 3, 6), (3, -6, 2), (6, 2, -3)],
        2: [(1, 2, 2), (2, 1, -2), (-2, 2, -1)],
    }[number]
    size = sp.sqrt(sum(x * x for x in rows[0]))
    u, v, n = (sp.Matrix([sp.Integer(x) / size for x in row]) for row in rows)
    n = u.cross(v)
    names = {1: (c.u1, c.v1, c.n1), 2: (c.u2, c.v2, c.n2)}[number]
    known = {
        s: x for name, vector in zip(names, (u, v, n), strict=True)
        for s, x in zip(name, vector, strict=True)
    }  # fmt: skip
    return known, u, v, n


def _loop(kind: str) -> tuple[sp.Expr, dict]:
    """Return the loop by pins in space, and the numbers of both bases."""
    places = g.variables(kind)
    pins, known = [], {}
    for i, (slides, at) in enumerate(zip(g.KINDS[kind], places, strict=True), 1):
        some, u, v, n = _basis(i)
        known |= some
        radius, angle, station = ((c.R, c.alpha1, c.s1), (c.r, c.alpha2, c.s2))[i - 1]
        centre = (c.c1, c.c2)[i - 1] + station * n
        out = u * sp.cos(angle) + v * sp.sin(angle)
        if slides:
            pins.append(centre + radius * out + at[0] * n)
        else:
            ahead = n.cross(out)
            pins.append(centre + radius * (at[0] * out + at[1] * ahead))
    gap = pins[0] - pins[1]
    return gap.dot(gap) - c.L**2, known


def _circles(expr: sp.Expr) -> sp.Expr:
    return sp.simplify(
        sp.expand(expr).subs({c.S1**2: 1 - c.C1**2, c.S2**2: 1 - c.C2**2})
    )


def _numerator(expr: sp.Expr) -> sp.Expr:
    return sp.expand(sp.numer(sp.together(expr)))


@pytest.mark.parametrize("kind", KINDS)
def test_reduced_loop_is_the_loop_in_space(kind):
    whole, known = _loop(kind)
    arms = {s: e.subs(known) for s, e in c.arms().items()}
    reduced = {s: e.subs(arms).subs(known) for s, e in g.coefficients(kind).items()}
    difference = g.reduced_loop(kind).subs(reduced) - whole
    assert _circles(difference) == 0


@pytest.mark.parametrize("kind", [k for k in KINDS if g.KINDS[k][1]])
@pytest.mark.parametrize("branch", [1, -1])
def test_driven_slide_closes_the_loop(kind, branch):
    way, reach = g.driven_slide(kind)
    closed = g.reduced_loop(kind).subs(g.X2, way).subs(c.sigma, branch)
    assert sp.expand(closed) == 0
    # Its reach is the square of the cosine between rod and guide.
    _, b, _ = g.abk(kind)
    cosine = (way - b) / c.L
    assert sp.expand((cosine**2).subs(c.sigma, branch) - reach) == 0


def test_driven_shaft_closes_the_loop_of_a_sliding_driver():
    """By the closed form of every rod, with the way and its square for C1 and S1."""
    cosine, sine, _ = c.closed_form()
    back = {c.C1: g.X1, c.S1: g.X1**2, c.sigma: 1}
    at = {c.C2: cosine.subs(back), c.S2: sine.subs(back)}
    assert sp.simplify(g.reduced_loop("slide_turn").subs(at)) == 0
    assert sp.simplify((at[c.C2] ** 2 + at[c.S2] ** 2) - 1) == 0


@pytest.mark.parametrize("kind", KINDS)
def test_rates_keep_the_loop_closed(kind):
    """By turns and ways themselves: the loop's total derivatives are zero."""
    t = sp.Symbol("t")
    q = sp.Function("q")(t)
    slides = g.KINDS[kind]
    at = {g.X1: t} if slides[0] else {c.C1: sp.cos(t), c.S1: sp.sin(t)}
    at |= {g.X2: q} if slides[1] else {c.C2: sp.cos(q), c.S2: sp.sin(q)}
    loop = g.reduced_loop(kind).subs(at)
    first, second = (e.subs(at) for e in g.rates(kind))
    once = sp.diff(loop, t).subs(sp.Derivative(q, t), first)
    assert _numerator(once) == 0
    twice = sp.diff(loop, t, 2).subs(sp.Derivative(q, (t, 2)), second)
    assert _numerator(twice.subs(sp.Derivative(q, t), first)) == 0


@pytest.mark.parametrize("kind", KINDS)
def test_partials_are_those_of_the_loop(kind):
    """What a parameter moves and what the driven part moves back is zero together."""
    f = g.loop(kind).subs(c.arms())
    _, driven = g.moments(kind)
    two = g.variables(kind)[1]
    ahead = (
        sp.diff(f, g.X2)
        if len(two) == 1
        else sp.diff(f, c.C2) * -c.S2 + sp.diff(f, c.S2) * c.C2
    )
    assert driven.has(*two)
    for parameter, by in g.partials(kind).items():
        assert sp.expand(sp.diff(f, parameter) + sp.expand(by * ahead)).equals(0)
