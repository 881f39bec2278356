"""The part of the page of formulas about cables: free wire, drums, snails, sheaths.

Printed from `linkage.formulas.run_derivation`; what is written in vectors or is no part of
that is proved in SymPy before it is printed.

Not here: rods (`theory_page`), bearings and joints (`theory_forces`).
"""

from __future__ import annotations

import math

import sympy as sp

from linkage.connect.run import BEFORE
from linkage.forces.sheath import BENDS, SHEATH_FRICTION
from linkage.formulas import derivation as c
from linkage.formulas import run_derivation as d
from linkage.model.rim import STEP
from tests.docs.shown import show

#: Letters that read better than the names of the derivation.
A, R, S, T, LAM, OMEGA, ROOT = sp.symbols("a r s t lambda omega y")
LETTERS = {d.a: A, c.r: R, d.straight: S, d.flat: T, d.wound: LAM, d.omega: OMEGA}


def prove_vectors() -> None:
    """Prove that K, P and Q in vectors are those derived."""
    told = {
        d.K: c.r**2 + d.w.dot(d.w),
        d.P: 2 * c.r * c.e2.dot(d.w),
        d.Q: 2 * c.r * c.f2.dot(d.w),
    }
    for symbol, derived in d.arm_coefficients().items():
        assert sp.expand(derived - told[symbol]) == 0, symbol


def prove_capstan() -> sp.Expr:
    """Solve dT = μ T dβ from T₀ on, and return T."""
    mu, beta, start = sp.symbols("mu beta T_0", positive=True)
    pull = sp.Function("T")
    solved = sp.dsolve(
        sp.Eq(pull(beta).diff(beta), mu * pull(beta)), pull(beta), ics={pull(0): start}
    )
    assert sp.simplify(solved.rhs - start * sp.exp(mu * beta)) == 0
    return sp.Eq(sp.Symbol("T"), solved.rhs)


def prove_nipple() -> None:
    """Prove that a nipple takes its moment times the turn of arm against wire.

    The wire runs along x from its nipple, of velocity v across it, to its sheath. The
    moment turns the arm back; it is held by forces across the wire, of which that on the
    nipple does work on the arm.
    """
    moment, long, turn, across = sp.symbols("M a q v", real=True)
    wire = -across / long  # how the wire itself turns, its far end held
    held = -moment / long  # on the arm, up: the wire's other end is held up by as much
    of_arm = -moment * turn + held * across
    assert sp.expand(of_arm + moment * (turn - wire)) == 0


def _rate() -> sp.Expr:
    first, _ = d.arm_rates()
    plain = (d.P * c.S2 - d.Q * c.C2) / (2 * A)
    run = sp.sqrt(d.K - d.P * c.C2 - d.Q * c.S2)
    assert sp.simplify(first - plain.subs(A, run)) == 0
    return plain


def wires() -> str:
    """Return the part of docs/theory.md about cables."""
    prove_vectors()
    prove_nipple()
    cosine, sine, reach = (
        sp.simplify(e.subs(d.a, A)).subs(
            sp.sqrt(d.P**2 + d.Q**2 - (d.K - A**2) ** 2), ROOT
        )
        for e in d.arm_turn()
    )
    assert d.arm_run() ** 2 == d.K - d.P * c.C2 - d.Q * c.S2
    drum = d.drum_run().subs(LETTERS)
    by_radius = d.drum_by_radius().subs(LETTERS)
    q = sp.Symbol("q")
    at_rest = sp.Symbol("lambda_0")
    turned = sp.diff(drum.subs(LAM, at_rest - OMEGA * q), q)
    assert turned == -OMEGA * R
    return f"""
## Free wire

A cable's wire is as long as its sheath and what runs free at both ends. Both ends of the
sheath are held, so both runs together stay as long as they are, whatever way the sheath
takes: a turn of the driver gives its run, that the other run, and that the driven turn.
With w from the arm's centre to the end of the sheath and e, f the arm's direction at rest
and that square to it, the run of a bare arm is

```text
a² = K − P C₂ − Q S₂

K = r² + w·w        P = 2 r e·w        Q = 2 r f·w
```

It is linear in C₂ and S₂ again, so that it is solved as the closure is; with the root
y = √(P² + Q² − (K − a²)²) and σ = 1 where a pull turns the arm anticlockwise:

{show(sp.Eq(c.C2, cosine), sp.Eq(c.S2, sine), sp.Eq(sp.Symbol("reach"), reach))}
Its derivative by the turn is what a pull of 1 N does to the shaft, with the sign changed:

{show(sp.Eq(sp.Derivative(A, sp.Symbol("q2")), _rate(), evaluate=False))}
The runs' derivatives give the ratio of a cable, dq₂/dq₁ = − (da₁/dq₁) / (da₂/dq₂), and
once more differentiated its change. A metre more of free wire turns the driven arm by
1 / (da₂/dq₂), back against its pull.

## Drums and snails

Of a drum the wire leaves on the tangent through the end of the sheath: s is the straight
part, λ the angle on which the wire lies from its nipple on.

{show(sp.Eq(A, drum))}
A turn q takes ω q from λ, with ω = 1 where the wire lies anticlockwise round it from its
nipple on, so that da/dq = − ω r: the integral of the radius over the turn. At λ = 0 it
becomes a bare arm. With t the straight part in the drum's plane, of which s leans out,
nipple and sheath in their directions,

{show(sp.Eq(sp.Derivative(A, R), by_radius, evaluate=False))}
Where the nipple is does not tell how often the wire goes round: it is taken to lie on
0 to {360 - math.degrees(BEFORE):.0f}° at rest, and a drum to turn half a turn at most.

A snail's rim is taken as a row of corners, {math.degrees(STEP):.0f}° apart, of which those
in a hollow are left out: the wire lies on their hull. From one corner to the next the wire
has one length, up to there on the rim, and leaves the last as it would a bare arm's hole.
The next takes over where the edge between them is in line with the end of the sheath. The
groove holds the wire in the plane of the rim: what the straight part leans out is kept as
it is at rest, as on a round drum, and is told of as a [tilt](findings.md#joint-tilt).

## Wire through a sheath

Over a bend dβ the pull grows against the way that the wire slides, dT = μ T dβ:

{show(prove_capstan())}
T is the pull ahead, where the wire goes to, T₀ that behind, β all its bends together: those
at the points of the sheath, and those between the sheath and the free wire at both ends,
at every position anew. Of a cable that pushes the push is smaller ahead by as much. (L.
Euler 1769, J. A. Eytelwein 1808; F. P. Beer, E. R. Johnston, Vector Mechanics for
Engineers: Statics, from memory.) Where neither points nor a bend are given β is
{math.degrees(BENDS):.0f}° at the least, and μ is {SHEATH_FRICTION:g} where it is not given.

A pull so has two sizes, and each shaft is balanced with its own. A nipple that turns in its
hole resists with ρ T; the free wire holds that by a force ρ T / a across it, at the nipple
and at its sheath. So what a cable takes on the way there and back is the work of its
bends, (T − T₀) times the way of the wire, and ρ T times the turn of arm against wire.
"""
