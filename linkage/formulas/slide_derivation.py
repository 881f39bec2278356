r"""The closure of a rod to a slide, or from one, derived in symbols.

A slide goes along its axis where a shaft turns about its own, so a pin on it is

.. math:: P(X) = c + s\,n + R\,e + X\,n

with e the direction of the pin from the axis, which stays. Put into the one loop of
every rod, :math:`|P - Q|^2 - L^2 = 0`, it gives with a driven slide

.. math:: X_2^2 - 2\,(b\,X_2 - k) = 0

and with a driven shaft :math:`-2\,(a\,C_2 + b\,S_2 - k) = 0`, where a, b, k are affine
in C1 and S1 of a driver that turns, in X1 and X1² of one that slides. From that follow
both assemblies, the rates and the effect of every parameter, as for a rod between
shafts.

Not here: that rod (`formulas.derivation`), the text of these as a module
(`formulas.write`), numbers (`formulas.slide_kernels`).
"""

from __future__ import annotations

from functools import cache
from typing import Final

import sympy as sp

from linkage.formulas import derivation as c

#: Ways of a sliding driver and of a driven slide from rest.
X1, X2 = sp.symbols("X1 X2", real=True)
#: Whether driver and driven slide, by the name that ends the formulas' names.
KINDS: Final = {
    "turn_slide": (False, True),
    "slide_turn": (True, False),
    "slide_slide": (True, True),
}


def variables(kind: str) -> tuple[tuple[sp.Symbol, ...], tuple[sp.Symbol, ...]]:
    """Return the symbols of the driver's place and of the driven one."""
    one, two = KINDS[kind]
    return (X1,) if one else (c.C1, c.S1), (X2,) if two else (c.C2, c.S2)


def _pin(
    arm: tuple[sp.Expr, sp.Matrix, sp.Matrix],
    axis: sp.Matrix,
    place: tuple[sp.Expr, ...],
) -> sp.Matrix:
    """Return a pin from its arm's root, whose radius, direction and way ahead `arm` has."""
    radius, out, ahead = arm
    if len(place) == 1:
        return radius * out + place[0] * axis
    return radius * (out * place[0] + ahead * place[1])


@cache
def loop(kind: str) -> sp.Expr:
    """Return the squared distance of the pins less the squared rod length. [m²].

    In h and the directions of the arms, and the axes of what slides.
    """
    one, two = variables(kind)
    gap = c.h + _pin((c.R, c.e1, c.f1), c.n1, one) - _pin((c.r, c.e2, c.f2), c.n2, two)
    return gap.dot(gap) - c.L**2


def affine(kind: str) -> tuple[sp.Expr, sp.Expr]:
    """Return what a, b and k are affine in, besides 1: of the driver's place."""
    return (X1, X1**2) if KINDS[kind][0] else (c.C1, c.S1)


def _monomials(kind: str) -> dict[sp.Symbol, tuple[int, ...]]:
    """Return the exponents of the driven and the driver's symbols of each coefficient."""
    slides, driven = KINDS[kind]
    ahead = [(0,), (1,), (2,)] if slides else [(0, 0), (1, 0), (0, 1)]
    of = [None, (1,), (0,)] if driven else [(1, 0), (0, 1), (0, 0)]
    return {
        symbol: (*of[i // 3], *ahead[i % 3])  # type: ignore[misc]
        for i, symbol in enumerate(c.REDUCED)
        if of[i // 3] is not None
    }


@cache
def coefficients(kind: str) -> dict[sp.Symbol, sp.Expr]:
    """Return the nine reduced coefficients; those of a are 0 with a driven slide. [m²].

    Terms that directions square to each other and C² + S² = 1 make constant are
    divided out; what is left must be of the form above, or this raises.

    Raises
    ------
    ValueError
        If a term is left that the closed form does not cover.
    """
    one, two = variables(kind)
    unit = [*c._square(c.e1, c.f1), *c._square(c.e2, c.f2)]  # noqa: SLF001
    unit += [sp.expand(n.dot(n) - 1) for n in (c.n1, c.n2)]
    unit += [sp.expand(n.dot(e)) for n, e in ((c.n1, c.e1), (c.n2, c.e2))]
    unit += [c.C1**2 + c.S1**2 - 1, c.C2**2 + c.S2**2 - 1]
    unknowns = (*c.e1, *c.f1, *c.n1, *c.e2, *c.f2, *c.n2, c.C1, c.S1, c.C2, c.S2)
    rest = sp.expand(loop(kind))
    for relation in unit:  # one after another: each has its own leading term
        _, rest = sp.reduced(rest, [relation], *unknowns)
    parts = sp.Poly(rest, *two, *one).as_dict()
    if KINDS[kind][1]:
        square = (2, *(0,) * len(one))
        if parts.pop(square, 0) != 1:
            msg = "a slide's way does not enter the loop as its square"
            raise ValueError(msg)
    names = _monomials(kind)
    if set(parts) - set(names.values()):
        msg = "the loop has a term that the closed form does not cover"
        raise ValueError(msg)
    out = dict.fromkeys(c.REDUCED, sp.Integer(0))
    for symbol, monomial in names.items():
        sign = 1 if symbol in c.REDUCED[6:] else -1
        value = sign * parts.get(monomial, sp.Integer(0)) / 2
        out[symbol] = sp.factor_terms(sp.expand(value))
    return out


def abk(kind: str) -> tuple[sp.Expr, sp.Expr, sp.Expr]:
    """Return a, b and k in the reduced coefficients and the driver's place."""
    back = dict(zip((c.C1, c.S1), affine(kind), strict=True))
    a, b, k = (e.subs(back) for e in c.abk())
    return a, b, k


def reduced_loop(kind: str) -> sp.Expr:
    """Return the loop in the reduced coefficients, zero where it is closed. [m²]."""
    a, b, k = abk(kind)
    if KINDS[kind][1]:
        return X2**2 - 2 * (b * X2 - k)
    return -2 * (a * c.C2 + b * c.S2 - k)


@cache
def slide_form() -> tuple[sp.Expr, sp.Expr]:
    """Solve the loop for a driven slide, in b and k.

    Returns
    -------
    tuple of Expr
        X2, for either branch `sigma`: 1 where a pull takes the slide along its axis;
        and the reach: the square of the cosine between rod and guide, negative where
        the rod does not reach.
    """
    b, k = sp.symbols("b k", real=True)
    low, high = sp.solve(X2**2 - 2 * (b * X2 - k), X2)
    middle, root = sp.expand((low + high) / 2), sp.expand((high - low) / 2)
    if root.subs({b: 2, k: 0}) < 0:
        root = -root
    return middle - c.sigma * root, sp.expand(root**2) / c.L**2


def driven_slide(kind: str) -> tuple[sp.Expr, sp.Expr]:
    """Return the same in the reduced coefficients and the driver's place."""
    _, b, k = abk(kind)
    back = {sp.Symbol("b", real=True): b, sp.Symbol("k", real=True): k}
    way, reach = (e.subs(back) for e in slide_form())
    return way, reach


def _by_driver(expr: sp.Expr, kind: str) -> sp.Expr:
    if KINDS[kind][0]:
        return sp.diff(expr, X1)
    return sp.diff(expr, c.C1) * -c.S1 + sp.diff(expr, c.S1) * c.C1


def _by_driven(expr: sp.Expr, kind: str) -> sp.Expr:
    if KINDS[kind][1]:
        return sp.diff(expr, X2)
    return sp.diff(expr, c.C2) * -c.S2 + sp.diff(expr, c.S2) * c.C2


def moments(kind: str) -> tuple[sp.Expr, sp.Expr]:
    """Return the loop's derivatives by the driver's place and the driven one."""
    f = reduced_loop(kind)
    return _by_driver(f, kind), _by_driven(f, kind)


@cache
def rates(kind: str) -> tuple[sp.Expr, sp.Expr]:
    """Return the driven place by the driver's, and its change, by the loop."""
    driver, driven = moments(kind)
    ratio = -driver / driven
    return ratio, _by_driver(ratio, kind) + ratio * _by_driven(ratio, kind)


@cache
def partials(kind: str) -> dict[sp.Symbol, sp.Expr]:
    """Return the change of the driven place by each measured parameter.

    The driver stays where it is.

    Returns
    -------
    dict
        From each symbol of `derivation.MEASURED` to its expression.
    """
    f = loop(kind).subs(c.arms())
    by_place = _by_driven(f, kind)
    return {p: -sp.diff(f, p) / by_place for p in c.MEASURED}
