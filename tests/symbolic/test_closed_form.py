"""The closed form is exact: its residuals simplify to zero, not to a small number.

J. M. McCarthy, G. S. Soh, Geometric Design of Linkages, 2nd ed., Springer 2011,
Appendix A: a cos + b sin = k.
"""

from __future__ import annotations

import pytest
import sympy as sp

from linkage.formulas import derivation as c

BRANCHES = (1, -1)


@pytest.mark.parametrize("branch", BRANCHES)
def test_residual_of_the_closed_form_is_zero(branch):
    cosine, sine, _ = (e.subs(c.sigma, branch) for e in c.closed_form())
    a, b, k = c.abk()
    assert sp.simplify(a * cosine + b * sine - k) == 0


@pytest.mark.parametrize("branch", BRANCHES)
def test_cosine_and_sine_lie_on_the_circle(branch):
    cosine, sine, _ = (e.subs(c.sigma, branch) for e in c.closed_form())
    assert sp.simplify(cosine**2 + sine**2 - 1) == 0


def test_two_branches_mirror_about_the_line_to_the_pin():
    """Their sum lies along (a, b), their difference square to it."""
    plus = [e.subs(c.sigma, 1) for e in c.closed_form()[:2]]
    minus = [e.subs(c.sigma, -1) for e in c.closed_form()[:2]]
    a, b, _ = c.abk()
    assert sp.simplify((plus[0] + minus[0]) * b - (plus[1] + minus[1]) * a) == 0
    assert sp.simplify((plus[0] - minus[0]) * a + (plus[1] - minus[1]) * b) == 0
    assert sp.simplify(plus[0] - minus[0]) != 0


def test_reach_is_zero_where_the_branches_meet():
    cosine, sine, reach = c.closed_form()
    a, b, _ = c.abk()
    gap = [e.subs(c.sigma, 1) - e.subs(c.sigma, -1) for e in (cosine, sine)]
    assert sp.simplify(gap[0] ** 2 + gap[1] ** 2 - 4 * reach) == 0
    assert sp.simplify(reach * (a**2 + b**2) - (a**2 + b**2 - c.abk()[2] ** 2)) == 0


def test_half_angle_only_scales_a_b_and_k():
    t = c.T1
    half = {c.C1: (1 - t**2) / (1 + t**2), c.S1: 2 * t / (1 + t**2)}
    for ours, plain in zip(c.half_angle(), c.abk(), strict=True):
        assert sp.simplify(ours - plain.subs(half) * (1 + t**2)) == 0


@pytest.mark.parametrize("branch", BRANCHES)
def test_ray_is_the_closed_form_but_for_its_length(branch):
    """With a, b, k as they come from the half angle: (a² + b²) times C2 and S2."""
    a, b, k = sp.symbols("a b k", real=True)
    plain = dict(zip(c.half_angle(), (a, b, k), strict=True))
    y, x = (e.subs(plain).subs(c.sigma, branch) for e in c.ray())
    scaled = dict(zip(c.REDUCED, (a, 0, 0, b, 0, 0, k, 0, 0), strict=True))
    cosine, sine = (e.subs(c.sigma, branch).subs(scaled) for e in c.closed_form()[:2])
    assert {*y.free_symbols, *x.free_symbols} == {a, b, k}
    assert sp.simplify(x - cosine * (a**2 + b**2)) == 0
    assert sp.simplify(y - sine * (a**2 + b**2)) == 0


def test_loop_of_arms_is_the_loop():
    assert sp.expand(c.loop_of_arms().subs(c.arms()) - c.loop()) == 0


def turned_basis(name: str) -> tuple[sp.Matrix, sp.Matrix, sp.Matrix]:
    """Return any right-handed basis there is, by three turns about x, y and z."""
    x, y, z = sp.symbols(f"{name}x {name}y {name}z", real=True)
    turn = sp.rot_axis1(x) * sp.rot_axis2(y) * sp.rot_axis3(z)
    u, v = turn[:, 0], turn[:, 1]
    return u, v, u.cross(v)


def polynomial(expr: sp.Expr) -> sp.Expr:
    """Return a trigonometric expression as a polynomial with every circle closed."""
    angles = sorted(
        {f.args[0] for f in expr.atoms(sp.sin, sp.cos)}, key=sp.default_sort_key
    )
    pairs = [sp.symbols(f"k{i} z{i}") for i in range(len(angles))]
    plain = {}
    for angle, (k, z) in zip(angles, pairs, strict=True):
        plain |= {sp.cos(angle): k, sp.sin(angle): z}
    out = sp.expand(expr.subs(plain))
    circles = [*pairs, (c.C1, c.S1), (c.C2, c.S2)]
    for k, z in circles:
        out = sp.rem(sp.Poly(out, z), sp.Poly(z**2 + k**2 - 1, z)).as_expr()
    return sp.expand(out)


def test_coefficients_are_the_loop_for_any_axes():
    """-2r (a C2 + b S2 - k) is the squared distance, whatever way the shafts lie."""
    values = {}
    for name, basis in (("p", (c.u1, c.v1, c.n1)), ("q", (c.u2, c.v2, c.n2))):
        for symbols, vector in zip(basis, turned_basis(name), strict=True):
            values.update(zip(symbols, vector, strict=True))
    reduced = c.reduced_loop().subs(c.coefficients())
    assert polynomial((c.loop() + 2 * c.r * reduced).subs(values)) == 0


def test_parallel_shafts_are_the_planar_case():
    """A side offset only shortens the rod: L_eff² = L² - Δ²."""
    x, y, side = sp.symbols("x y Delta", real=True)
    flat = {}
    for centre, u, v, n in ((c.c1, c.u1, c.v1, c.n1), (c.c2, c.u2, c.v2, c.n2)):
        flat.update(zip((*u, *v, *n), (1, 0, 0, 0, 1, 0, 0, 0, 1), strict=True))
        flat.update(dict.fromkeys(centre, 0))
    flat |= {c.c2[0]: x, c.c2[1]: y}
    spatial = {
        k: e.subs({**flat, c.s1: 0, c.s2: side}) for k, e in c.coefficients().items()
    }
    planar = {
        k: e.subs({**flat, c.s1: 0, c.s2: 0}) for k, e in c.coefficients().items()
    }
    shorter = sp.sqrt(c.L**2 - side**2)
    for symbol, expr in spatial.items():
        assert sp.simplify(expr - planar[symbol].subs(c.L, shorter)) == 0


def test_planar_loop_is_the_textbook_four_bar():
    """a cos + b sin = k with the four-bar's own a, b, k (Freudenstein, 1955)."""
    d, q2, q4 = sp.symbols("d q2 q4", real=True)
    a, b, lever = c.R, c.L, c.r
    flat = {c.alpha1: 0, c.alpha2: 0, c.s1: 0, c.s2: 0}
    for centre, u, v, n in ((c.c1, c.u1, c.v1, c.n1), (c.c2, c.u2, c.v2, c.n2)):
        flat.update(zip((*u, *v, *n), (1, 0, 0, 0, 1, 0, 0, 0, 1), strict=True))
        flat.update(dict.fromkeys(centre, 0))
    flat[c.c2[0]] = d
    turns = {c.C1: sp.cos(q2), c.S1: sp.sin(q2), c.C2: sp.cos(q4), c.S2: sp.sin(q4)}
    ours = c.reduced_loop().subs(c.coefficients()).subs(flat).subs(turns)
    k1, k2 = d / a, d / lever
    k3 = (a**2 - b**2 + lever**2 + d**2) / (2 * a * lever)
    theirs = k1 * sp.cos(q4) - k2 * sp.cos(q2) + k3 - sp.cos(q2 - q4)
    assert sp.simplify(sp.expand(ours + a * theirs, trig=True)) == 0


@pytest.mark.parametrize("branch", BRANCHES)
def test_derivative_of_the_closed_form_is_the_implicit_ratio(branch):
    """d/dq1 of the explicit angle against implicit differentiation, exactly.

    dq2 = C2 dS2 - S2 dC2 on the circle. Checked with a, b, k as any functions of
    q1, which is more than affine.
    """
    q = sp.Symbol("q", real=True)
    a, b, k = (sp.Function(name, real=True)(q) for name in "abk")
    w = sp.sqrt(a**2 + b**2 - k**2)
    reduced = dict(zip(c.REDUCED, (a, 0, 0, b, 0, 0, k, 0, 0), strict=True))
    cosine, sine = (e.subs(c.sigma, branch).subs(reduced) for e in c.closed_form()[:2])
    explicit = cosine * sp.diff(sine, q) - sine * sp.diff(cosine, q)
    moved = sp.diff(a, q) * cosine + sp.diff(b, q) * sine - sp.diff(k, q)
    implicit = -moved / (b * cosine - a * sine)
    assert sp.simplify(sp.simplify(b * cosine - a * sine) ** 2 - w**2) == 0
    assert sp.simplify(explicit - implicit) == 0


def test_ratio_is_the_quotient_of_the_moments():
    q1, q2 = sp.symbols("q1 q2", real=True)
    turns = {c.C1: sp.cos(q1), c.S1: sp.sin(q1), c.C2: sp.cos(q2), c.S2: sp.sin(q2)}
    f = c.reduced_loop().subs(turns)
    assert sp.simplify(c.driver_moment().subs(turns) - sp.diff(f, q1)) == 0
    assert sp.simplify(c.driven_moment().subs(turns) - sp.diff(f, q2)) == 0
    assert sp.simplify(c.ratio().subs(turns) + sp.diff(f, q1) / sp.diff(f, q2)) == 0


def test_curvature_is_the_second_implicit_derivative():
    """By the textbook form with second partial derivatives, another way round."""
    q1, q2 = sp.symbols("q1 q2", real=True)
    turns = {c.C1: sp.cos(q1), c.S1: sp.sin(q1), c.C2: sp.cos(q2), c.S2: sp.sin(q2)}
    f = c.reduced_loop().subs(turns)
    f1, f2 = sp.diff(f, q1), sp.diff(f, q2)
    f11, f12, f22 = sp.diff(f, q1, 2), sp.diff(f, q1, q2), sp.diff(f, q2, 2)
    textbook = -(f11 * f2**2 - 2 * f12 * f1 * f2 + f22 * f1**2) / f2**3
    # Over the common denominator the numerators must be one polynomial.
    gap = sp.numer(sp.together(c.curvature().subs(turns) - textbook))
    assert sp.expand(gap) == 0


def test_partials_are_implicit_derivatives_of_the_loop():
    f = c.loop()
    q2 = sp.Symbol("q2", real=True)
    by_turn = sp.diff(f.subs({c.C2: sp.cos(q2), c.S2: sp.sin(q2)}), q2)
    by_turn = by_turn.subs({sp.cos(q2): c.C2, sp.sin(q2): c.S2})
    for parameter, expr in c.partials().items():
        assert sp.simplify(expr * by_turn + sp.diff(f, parameter)) == 0
    assert tuple(c.partials()) == c.MEASURED


def test_no_float_enters_a_formula():
    everything = [*c.coefficients().values(), *c.closed_form(), c.ratio(), c.curvature(), *c.partials().values()]  # fmt: skip
    assert not any(e.atoms(sp.Float) for e in everything)


def test_a_term_that_is_not_covered_is_refused(monkeypatch):
    monkeypatch.setattr(c, "loop_of_arms", lambda: c.C2**3 * c.r)
    c.coefficients_of_arms.cache_clear()
    try:
        with pytest.raises(ValueError, match="does not cover"):
            c.coefficients_of_arms()
    finally:
        monkeypatch.undo()
        c.coefficients_of_arms.cache_clear()
