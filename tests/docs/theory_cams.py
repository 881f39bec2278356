"""The part of the page of formulas about cams: what is cut for a curve that is wanted.

Printed from `linkage.formulas.cam_derivation`; what textbooks have instead is proved in
SymPy to be the same before it is printed.

Not here: a cam as it moves, which is a rod of each arc (`theory_page`).
"""

from __future__ import annotations

import sympy as sp

from linkage.formulas import cam_derivation as m
from linkage.formulas import derivation as c
from tests.docs.shown import show

#: Distance of both shafts, the roller's arm, its angle, and the ratio of both turns.
D, L, BETA, V = sp.symbols("d l beta v", positive=True)


def _way() -> tuple[sp.Matrix, sp.Matrix, sp.Matrix]:
    """Return the pin, the normal of its way and its own motion; the roller's shaft on x.

    The arm is seen by β from the line to the cam's shaft, the cam at no turn of its own.
    """
    there = dict(zip(m.SEEN, (D, 0, L, 0, 0, L), strict=True))
    there |= dict(zip(m.FIRST, (1, V), strict=True))
    place = m.place().subs(there)
    first = m.along(m.place()).subs(there)
    now = {c.C1: 1, c.S1: 0, c.C2: -sp.cos(BETA), c.S2: sp.sin(BETA)}
    place, first = place.subs(now), first.subs(now)
    moves = sp.Matrix([-sp.sin(BETA), -sp.cos(BETA)])
    return place, sp.Matrix([first[1], -first[0]]), moves


def prove_centre() -> sp.Expr:
    """Prove that the push goes through the instant centre of cam and arm."""
    pin, normal, _ = _way()
    at = sp.simplify(pin[0] - pin[1] * normal[0] / normal[1])
    told = D * V / (V - 1)
    assert sp.simplify(at - told) == 0
    return sp.Eq(sp.Symbol("x"), told)


def prove_pressure() -> sp.Expr:
    """Prove that the push leans as textbooks have it, and return how."""
    _, normal, moves = _way()
    aside = normal[0] * moves[1] - normal[1] * moves[0]
    told = (L * (1 - V) - D * sp.cos(BETA)) / (D * sp.sin(BETA))
    assert sp.simplify((aside / normal.dot(moves)) ** 2 - told**2) == 0
    return sp.Eq(sp.tan(sp.Symbol("alpha")), told)


def cams() -> str:
    """Return the part of docs/theory.md about cams."""
    centre, pressure = prove_centre(), prove_pressure()
    return f"""
## A cam for a curve that is wanted

A cam that is there moves its roller as a rod does, arc by arc. One that is sought is had the
other way round: with both turns given as functions of one number, the roller's pin is in the
turning cam, as a number of the complex plane,

```text
p = e^(−i q₁) (a + b cos q₂ + c sin q₂)
```

a is the way from the cam's shaft to the roller's, b the roller's arm at rest, c the way
square to it ahead, all counted from the cam's arm. The profile lies a roller's radius inwards
of that way, along its normal; the way bends by (p′ × p″) / |p′|³, which the cam follows as
long as it bends round the cam and less sharply than the roller is round. Both derivatives
come from SymPy.

With the roller's shaft at d from the cam's, v = dq₂/dq₁, l the roller's arm and β its angle
from the line to the cam's shaft, the normal meets the line of both shafts at

{show(centre)}
which is the instant centre of cam and arm (Aronhold, Kennedy), and leans from the way of the
roller by α, the pressure angle (R. L. Norton, Design of Machinery, from memory):

{show(pressure)}
The ratio of both is to change evenly with the cam: with w the share of its turn from where
it meets its roller to full throttle, the share x of the throttle is x = (1 − c) w + c w², the
gentlest curve through what is wanted, which tells c.
"""
