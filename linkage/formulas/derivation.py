r"""The one closure that serves every rod, derived in symbols.

A rod of length L joins the driver's pin P to the driven pin Q:

.. math:: |P(q_1) - Q(q_2)|^2 - L^2 = 0

with each pin on the circle of its own arm. Written out and divided by
:math:`-2r` this is linear in the cosine C2 and the sine S2 of the driven turn,

.. math:: a\,C_2 + b\,S_2 = k

and a, b, k are affine in the cosine C1 and sine S1 of the driver's turn. From
that follow both assemblies, the speed ratio, its rate of change and the effect
of every parameter. Turns are counted from the measured rest, so an arm's angle
only rotates the plane in which it is seen. Parallel shafts are the planar case,
in which a side offset only shortens the rod; nothing else changes.

Everything here is exact: no float enters a formula.

References
----------
J. M. McCarthy, G. S. Soh, Geometric Design of Linkages, 2nd ed., Springer
2011, Appendix A (the closure a cos + b sin = k).

Not here: their text as a module (`formulas.write`), numbers (`formulas.kernels`),
chains of rods (`motion`).
"""

from __future__ import annotations

from functools import cache
from typing import Final

import sympy as sp

#: Cosine and sine of the driver's and of the driven shaft's turn from rest.
C1, S1, C2, S2 = sp.symbols("C1 S1 C2 S2", real=True)
#: Lengths of driver arm, driven arm and rod; places along the shafts.
R, r, L = sp.symbols("R r L", positive=True)
s1, s2 = sp.symbols("s1 s2", real=True)
#: Arm angles at rest.
alpha1, alpha2 = sp.symbols("alpha1 alpha2", real=True)


def _vector(name: str) -> sp.Matrix:
    return sp.Matrix(sp.symbols(f"{name}x {name}y {name}z", real=True))


#: Pivots and the viewer's basis (u, v, n) of driver (1) and driven shaft (2).
c1, u1, v1, n1 = (_vector(name) for name in ("c1", "u1", "v1", "n1"))
c2, u2, v2, n2 = (_vector(name) for name in ("c2", "u2", "v2", "n2"))

#: From the driven arm's root to the driver's, and each arm's direction at rest (e)
#: with the one square to it, ahead in its turn (f).
h, e1, f1, e2, f2 = (_vector(name) for name in ("h", "e1", "f1", "e2", "f2"))

#: The reduced coefficients: a = A0 + A1 C1 + A2 S1, and so on.
REDUCED: Final = sp.symbols("A0 A1 A2 B0 B1 B2 K0 K1 K2", real=True)
#: The assembly branch, +1 or -1.
sigma: Final = sp.Symbol("sigma", real=True)

#: All measured parameters of one rod, in the order of every compiled function.
PARAMETERS: Final = (
    R,
    alpha1,
    s1,
    *c1,
    *u1,
    *v1,
    *n1,
    r,
    alpha2,
    s2,
    *c2,
    *u2,
    *v2,
    *n2,
    L,
)
#: Those that a tape or an angle gauge gives: the ones with a sensitivity.
MEASURED: Final = (R, alpha1, s1, *c1, r, alpha2, s2, *c2, L)


def pins() -> tuple[sp.Matrix, sp.Matrix]:
    """Return the driver's pin and the driven pin in vehicle axes.

    Returns
    -------
    tuple of Matrix
        P and Q, each (3, 1), in the symbols of this module. [m]
    """

    def pin(
        centre: sp.Matrix,
        basis: tuple[sp.Matrix, sp.Matrix, sp.Matrix],
        arm: tuple[sp.Expr, sp.Expr, sp.Expr],
        turn: tuple[sp.Expr, sp.Expr],
    ) -> sp.Matrix:
        u, v, n = basis
        radius, angle, station = arm
        cos_angle, sin_angle = sp.cos(angle), sp.sin(angle)
        cos_turn, sin_turn = turn
        along = u * cos_angle + v * sin_angle
        ahead = v * cos_angle - u * sin_angle
        return centre + station * n + radius * (along * cos_turn + ahead * sin_turn)

    driver = pin(c1, (u1, v1, n1), (R, alpha1, s1), (C1, S1))
    driven = pin(c2, (u2, v2, n2), (r, alpha2, s2), (C2, S2))
    return driver, driven


@cache
def loop() -> sp.Expr:
    """Return the squared distance of the pins less the squared rod length.

    Returns
    -------
    Expr
        Zero in every assembled position. [m²]
    """
    driver, driven = pins()
    gap = driver - driven
    return gap.dot(gap) - L**2


def arms() -> dict[sp.Symbol, sp.Expr]:
    """Return h, e1, f1, e2, f2 in the measured parameters.

    Returns
    -------
    dict
        From each component to its expression, in the order of their use.
    """

    def at_rest(
        u: sp.Matrix, v: sp.Matrix, angle: sp.Symbol
    ) -> tuple[sp.Matrix, sp.Matrix]:
        cosine, sine = sp.cos(angle), sp.sin(angle)
        return u * cosine + v * sine, v * cosine - u * sine

    values = (
        c1 + s1 * n1 - c2 - s2 * n2,
        *at_rest(u1, v1, alpha1),
        *at_rest(u2, v2, alpha2),
    )
    return {
        symbol: value
        for symbols, vector in zip((h, e1, f1, e2, f2), values, strict=True)
        for symbol, value in zip(symbols, vector, strict=True)
    }


def loop_of_arms() -> sp.Expr:
    """Return `loop` in h and the directions of the arms. [m²]."""
    gap = h + R * (e1 * C1 + f1 * S1) - r * (e2 * C2 + f2 * S2)
    return gap.dot(gap) - L**2


def _square(e: sp.Matrix, f: sp.Matrix) -> list[sp.Expr]:
    """Return what is zero for two directions square to each other."""
    return [sp.expand(x) for x in (e.dot(e) - 1, f.dot(f) - 1, e.dot(f))]


@cache
def coefficients_of_arms() -> dict[sp.Symbol, sp.Expr]:
    """Return the nine reduced coefficients in h and the directions of the arms.

    The loop divided by -2r is a polynomial in C1, S1, C2, S2. Terms that
    directions square to each other and C² + S² = 1 make constant are divided
    out; what is left must be linear in (C2, S2) and affine in (C1, S1), or this
    raises.

    Returns
    -------
    dict
        From each symbol of `REDUCED` to its expression.

    Raises
    ------
    ValueError
        If a term is left that the closed form does not cover.
    """
    circles = [C1**2 + S1**2 - 1, C2**2 + S2**2 - 1]
    unknowns = (*e1, *f1, *e2, *f2, C1, S1, C2, S2)
    whole = sp.expand(loop_of_arms())
    _, rest = sp.reduced(
        whole, [*_square(e1, f1), *_square(e2, f2), *circles], *unknowns
    )
    parts = sp.Poly(rest, C2, S2, C1, S1).as_dict()
    names = dict(zip(REDUCED, _MONOMIALS, strict=True))
    if set(parts) - set(names.values()):
        msg = "the loop has a term that the closed form does not cover"
        raise ValueError(msg)
    out: dict[sp.Symbol, sp.Expr] = {}
    for symbol, monomial in names.items():
        sign = 1 if symbol in REDUCED[6:] else -1
        value = sign * parts.get(monomial, sp.Integer(0)) / (2 * r)
        out[symbol] = sp.factor_terms(sp.together(sp.expand(value)))
    return out


@cache
def coefficients() -> dict[sp.Symbol, sp.Expr]:
    """Return the nine reduced coefficients in the measured parameters.

    Returns
    -------
    dict
        From each symbol of `REDUCED` to its expression.
    """
    return {s: e.subs(arms()) for s, e in coefficients_of_arms().items()}


#: Exponents of (C2, S2, C1, S1) to which each reduced coefficient belongs.
_MONOMIALS: Final = (
    (1, 0, 0, 0),
    (1, 0, 1, 0),
    (1, 0, 0, 1),
    (0, 1, 0, 0),
    (0, 1, 1, 0),
    (0, 1, 0, 1),
    (0, 0, 0, 0),
    (0, 0, 1, 0),
    (0, 0, 0, 1),
)


def abk() -> tuple[sp.Expr, sp.Expr, sp.Expr]:
    """Return a, b and k in the reduced coefficients, C1 and S1."""
    terms = (sp.Integer(1), C1, S1)
    a, b, k = (
        sum(c * t for c, t in zip(REDUCED[i : i + 3], terms, strict=True))
        for i in (0, 3, 6)
    )
    return a, b, k


def reduced_loop() -> sp.Expr:
    """Return a C2 + b S2 - k, zero in every assembled position. [m]."""
    a, b, k = abk()
    return a * C2 + b * S2 - k


@cache
def closed_form() -> tuple[sp.Expr, sp.Expr, sp.Expr]:
    """Solve the loop for the driven shaft.

    Returns
    -------
    tuple of Expr
        C2, S2 and the reach: (a² + b² - k²)/(a² + b²), which is negative
        where the rod does not reach and zero at a dead centre of the driven
        arm. C2 and S2 hold for either branch `sigma`.
    """
    a, b, k = sp.symbols("a b k", real=True)
    w = sp.Symbol("w", nonnegative=True)
    x, y = sp.symbols("x y", real=True)
    solutions = sp.solve([a * x + b * y - k, x**2 + y**2 - 1], [x, y], dict=True)
    root = sp.sqrt(a**2 + b**2 - k**2)
    first = {
        s: sp.expand(sp.together(e).subs(root, w)) for s, e in solutions[0].items()
    }
    # Which of the two is called +1: the one whose cosine grows with b w.
    sign = sp.sign(sp.diff(first[x], w).subs({a: 1, b: 1, k: 1}))
    branched = {s: sp.together(e.subs(w, sign * sigma * w)) for s, e in first.items()}
    back = dict(zip((a, b, k), abk(), strict=True))
    radicand = a**2 + b**2 - k**2
    reach = (radicand / (a**2 + b**2)).subs(back)
    cosine, sine = (branched[s].subs(w, sp.sqrt(radicand)).subs(back) for s in (x, y))
    return cosine, sine, reach


#: Tangent of half the driver's turn.
T1: Final = sp.Symbol("T1", real=True)


def half_angle() -> tuple[sp.Expr, sp.Expr, sp.Expr]:
    """Return a, b and k times 1 + T1², as polynomials in T1.

    By C1 = (1 - T1²)/(1 + T1²) and S1 = 2 T1/(1 + T1²).
    """
    half = {C1: (1 - T1**2) / (1 + T1**2), S1: 2 * T1 / (1 + T1**2)}
    a, b, k = (
        sp.horner(sp.expand(sp.cancel(e.subs(half) * (1 + T1**2))), T1) for e in abk()
    )
    return a, b, k


def ray() -> tuple[sp.Expr, sp.Expr]:
    """Return the driven turn as a point in its direction, from T1 alone.

    The 1 + T1² of `half_angle`, like a² + b², only lengthens the ray to (C2, S2).

    Returns
    -------
    tuple of Expr
        (1 + T1²)² (a² + b²) times S2 and C2. [m²]
    """
    a, b, k = half_angle()
    w = sigma * sp.sqrt(a**2 + b**2 - k**2)
    return b * k - a * w, a * k + b * w


def _along(expr: sp.Expr, ratio: sp.Expr) -> sp.Expr:
    """Differentiate by the driver's turn, the driven one following by ``ratio``."""
    return (
        sp.diff(expr, C1) * -S1
        + sp.diff(expr, S1) * C1
        + ratio * (sp.diff(expr, C2) * -S2 + sp.diff(expr, S2) * C2)
    )


def driver_moment() -> sp.Expr:
    """Return the loop's derivative by the driver's turn. [m]."""
    return _along(reduced_loop(), sp.Integer(0))


def driven_moment() -> sp.Expr:
    """Return the loop's derivative by the driven turn. [m]."""
    f = reduced_loop()
    return sp.diff(f, C2) * -S2 + sp.diff(f, S2) * C2


def ratio() -> sp.Expr:
    """Return dq2/dq1 by implicit differentiation of the loop."""
    return -driver_moment() / driven_moment()


def curvature() -> sp.Expr:
    """Return d²q2/dq1²: the ratio differentiated once more along the motion."""
    return _along(ratio(), ratio())


@cache
def partials() -> dict[sp.Symbol, sp.Expr]:
    """Return the change of the driven turn by each measured parameter.

    The driver stays where it is: dq2/dp = -F_p / F_q2, with F the loop in the
    measured parameters. A chain multiplies on by the ratios of later rods.

    Returns
    -------
    dict
        From each symbol of `MEASURED` to dq2/dp. [rad/m, or 1 for angles]
    """
    f = loop()
    by_turn = sp.diff(f, C2) * -S2 + sp.diff(f, S2) * C2
    return {p: -sp.diff(f, p) / by_turn for p in MEASURED}
