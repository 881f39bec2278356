r"""How much wire runs free between a sheath and an arm, derived in symbols.

A wire leaves its sheath at a fixed point O and ends in a nipple on an arm: in its
hole P, or wound round a drum of that radius. With w from the arm's centre to O, and
e, f the arm's direction at rest and the one square to it,

.. math:: a^2 = |P(q) - O|^2 = K - P_c \cos q - Q_s \sin q

of a bare arm. Of a drum the wire leaves on the tangent through O; as far as it is
wound, the angle λ, it takes the arc rλ besides.

.. math:: a = \sqrt{D^2 + Z^2 - r^2} + r\,\lambda

D and Z are the way from the drum's centre to O in its plane and along its axis. A
wire is as long as both its runs and its sheath: so a turn of the one arm gives the
run of the other, and that its turn.

Not here: the rod (`formulas.derivation`), their text as a module (`formulas.write`),
numbers (`formulas.run_kernels`), sheaths (`connect.cable`).
"""

from __future__ import annotations

from functools import cache
from typing import Final

import sympy as sp

from linkage.formulas.derivation import (
    C2,
    S2,
    alpha2,
    c2,
    e2,
    f2,
    n2,
    r,
    s2,
    sigma,
    u2,
    v2,
)

#: Where the wire leaves its sheath, and the way there from the arm's centre.
o: Final = sp.Matrix(sp.symbols("ox oy oz", real=True))
w: Final = sp.Matrix(sp.symbols("wx wy wz", real=True))
#: Coefficients of a bare arm: a² = K - P C2 - Q S2.
K, P, Q = sp.symbols("K P Q", real=True)
#: The free run itself.
a: Final = sp.Symbol("a", positive=True)
#: Sense in which the wire lies round a drum from its nipple on, and the angle of it.
omega: Final = sp.Symbol("omega", real=True)
wound: Final = sp.Symbol("lam", real=True)

#: An arm, in the order of every compiled function, and where the wire comes from.
ARM: Final = (r, alpha2, s2, *c2, *u2, *v2, *n2, *o)


def given() -> dict[sp.Symbol, sp.Expr]:
    """Return w, e and f in the measured parameters, in the order of their use."""
    cosine, sine = sp.cos(alpha2), sp.sin(alpha2)
    values = (
        o - c2 - s2 * n2,
        u2 * cosine + v2 * sine,
        v2 * cosine - u2 * sine,
    )
    return {
        symbol: value
        for symbols, vector in zip((w, e2, f2), values, strict=True)
        for symbol, value in zip(symbols, vector, strict=True)
    }


@cache
def square() -> sp.Expr:
    """Return the squared run of a bare arm, in w, e, f and the turn. [m²]."""
    gap = r * (e2 * C2 + f2 * S2) - w
    return gap.dot(gap)


@cache
def arm_coefficients() -> dict[sp.Symbol, sp.Expr]:
    """Return K, P and Q, in w and the arm's directions.

    Raises
    ------
    ValueError
        If the square has a term that is not linear in the turn's cosine and sine.
    """
    units = [e2.dot(e2) - 1, f2.dot(f2) - 1, e2.dot(f2), C2**2 + S2**2 - 1]
    unknowns = (*e2, *f2, C2, S2)
    _, rest = sp.reduced(sp.expand(square()), [sp.expand(x) for x in units], *unknowns)
    parts = sp.Poly(rest, C2, S2).as_dict()
    names = {K: (0, 0), P: (1, 0), Q: (0, 1)}
    if set(parts) - set(names.values()):
        msg = "the run has a term that the closed form does not cover"
        raise ValueError(msg)
    signs = {K: 1, P: -1, Q: -1}
    return {
        symbol: sp.factor_terms(sp.expand(signs[symbol] * parts[monomial]))
        for symbol, monomial in names.items()
    }


def arm_run() -> sp.Expr:
    """Return the run of a bare arm. [m]."""
    return sp.sqrt(K - P * C2 - Q * S2)


def _by_turn(expr: sp.Expr) -> sp.Expr:
    return sp.diff(expr, C2) * -S2 + sp.diff(expr, S2) * C2


def arm_rates() -> tuple[sp.Expr, sp.Expr]:
    """Return da/dq and d²a/dq² of a bare arm. [m]."""
    first = _by_turn(arm_run())
    return first, _by_turn(first)


def arm_by_radius() -> sp.Expr:
    """Return da/dr of a bare arm, the turn kept."""
    arms = arm_coefficients()
    run = sp.sqrt(arms[K] - arms[P] * C2 - arms[Q] * S2)
    by_r = sp.diff(run, r)
    # In K, P and Q again: P and Q are r times what does not hang on it, K is r² more.
    e_w, f_w, ww = sp.symbols("ew fw ww", real=True)
    known = {e2.dot(w): e_w, f2.dot(w): f_w, w.dot(w): ww}
    plain = sp.expand(by_r.subs(known))
    back = {e_w: P / (2 * r), f_w: Q / (2 * r), ww: K - r**2}
    return sp.simplify(plain.subs(back))


@cache
def arm_turn() -> tuple[sp.Expr, sp.Expr, sp.Expr]:
    """Return C2, S2 and the reach of a bare arm at a given run.

    The reach is 1 less the square of the sine with which the arm is in line: negative
    where there is no such turn, 0 where arm and wire are in line. On the branch
    ``sigma``, 1 where a pull turns the arm anticlockwise.
    """
    x, y = sp.symbols("x y", real=True)
    k, p, q = sp.symbols("k p q", real=True)
    root = sp.Symbol("root", nonnegative=True)
    found = sp.solve([p * x + q * y - k, x**2 + y**2 - 1], [x, y], dict=True)[0]
    radicand = p**2 + q**2 - k**2
    first = {
        s: sp.expand(sp.together(e).subs(sp.sqrt(radicand), root))
        for s, e in found.items()
    }
    # A pull turns it anticlockwise where the run gets less with the turn: where
    # P S2 - Q C2 is negative.
    moment = sp.simplify(p * first[y] - q * first[x])
    sign = -sp.sign(moment.subs({p: 1, q: 1, k: 1, root: 1}))
    back = {k: K - a**2, p: P, q: Q}
    cosine, sine = (
        sp.together(first[s].subs(root, sign * sigma * root))
        .subs(root, sp.sqrt(radicand))
        .subs(back)
        for s in (x, y)
    )
    reach = (radicand / (p**2 + q**2)).subs(back)
    return cosine, sine, reach


def drum_at_rest() -> dict[str, sp.Expr]:
    """Return the straight part of a drum's wire, and where it leaves.

    Returns
    -------
    dict
        ``straight``: from the tangent's foot to the sheath [m]; ``leaves``: direction
        of that foot from the arm's at rest, anticlockwise [rad]; ``clear``: the square
        of the straight part in the drum's plane, negative where the sheath ends
        within the drum [m²].
    """
    x, y = e2.dot(w), f2.dot(w)
    z = n2.dot(w)
    flat = x**2 + y**2 - r**2
    # The foot T is at right angles to the wire: its direction from that of O is the
    # angle whose tangent is straight part over radius, back against the winding.
    leaves = sp.atan2(y, x) - omega * sp.atan2(sp.sqrt(flat), r)
    return {"straight": sp.sqrt(flat + z**2), "leaves": leaves, "clear": flat}


#: Straight part of a drum's wire, and that in the drum's plane.
straight, flat = sp.symbols("straight flat", positive=True)


def drum_run() -> sp.Expr:
    """Return the run of a drum: straight part and arc. [m].

    The arc is the integral of the radius over the angle on which the wire lies.
    """
    angle = sp.Symbol("angle")
    return straight + sp.integrate(r, (angle, 0, wound))


def drum_wound() -> sp.Expr:
    """Return the angle on which the wire lies at a given run. [rad]."""
    (found,) = sp.solve(drum_run() - a, wound)
    return found


def drum_by_radius() -> sp.Expr:
    """Return da/dr of a drum, its turn and the sheath's end kept."""
    across, along, whole = sp.symbols("D Z whole", positive=True)
    aside = sp.sqrt(across**2 - r**2)
    # The angle that the wire leaves free of the one from nipple to sheath.
    free = sp.atan2(aside, r)
    run = sp.sqrt(across**2 + along**2 - r**2) + r * (whole - free)
    by_r = sp.diff(run, r).subs(whole, wound + free)
    back = {along: sp.sqrt(straight**2 - flat**2), across: sp.sqrt(flat**2 + r**2)}
    return sp.simplify(by_r.subs(back))
