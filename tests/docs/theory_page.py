"""The page of formulas, printed from the derivation itself.

Where the page writes a formula in vectors, this proves it equal to the derived
one before it is printed.
"""

from __future__ import annotations

import sympy as sp

from linkage.formulas import derivation as c
from tests.docs.reference_pages import GENERATED
from tests.docs.shown import show
from tests.docs.theory_cams import cams
from tests.docs.theory_forces import forces
from tests.docs.theory_heat import heat
from tests.docs.theory_slides import slides
from tests.docs.theory_wires import wires

A, B, K, W = sp.symbols("a b k w")
H = c.c1 + c.s1 * c.n1 - c.c2 - c.s2 * c.n2
E1 = c.u1 * sp.cos(c.alpha1) + c.v1 * sp.sin(c.alpha1)
F1 = c.v1 * sp.cos(c.alpha1) - c.u1 * sp.sin(c.alpha1)
E2 = c.u2 * sp.cos(c.alpha2) + c.v2 * sp.sin(c.alpha2)
F2 = c.v2 * sp.cos(c.alpha2) - c.u2 * sp.sin(c.alpha2)
#: Each reduced coefficient as vectors: how it reads, and what it is.
VECTORS = (
    ("A₀ = h·e₂", H.dot(E2)),
    ("A₁ = R e₁·e₂", c.R * E1.dot(E2)),
    ("A₂ = R f₁·e₂", c.R * F1.dot(E2)),
    ("B₀ = h·f₂", H.dot(F2)),
    ("B₁ = R e₁·f₂", c.R * E1.dot(F2)),
    ("B₂ = R f₁·f₂", c.R * F1.dot(F2)),
    ("K₀ = (h·h + R² + r² − L²) / 2r", (H.dot(H) + c.R**2 + c.r**2 - c.L**2) / (2 * c.r)),
    ("K₁ = R h·e₁ / r", c.R * H.dot(E1) / c.r),
    ("K₂ = R h·f₁ / r", c.R * H.dot(F1) / c.r),
)  # fmt: skip
#: Two exact right-handed bases that share no direction.
BASES = (
    sp.Matrix([[2, 2, 1], [-2, 1, 2], [1, -2, 2]]) / 3,
    sp.Matrix([[3, 0, 4], [0, 5, 0], [-4, 0, 3]]) / 5,
)


def _basis(one: sp.Matrix, two: sp.Matrix) -> dict[sp.Symbol, sp.Expr]:
    symbols = (c.u1, c.v1, c.n1, c.u2, c.v2, c.n2)
    rows = [m.row(i) for m in (one, two) for i in range(3)]
    return {s: v for s3, v3 in zip(symbols, rows, strict=True) for s, v in zip(s3, v3, strict=True)}  # fmt: skip


def prove_vectors() -> None:
    """Prove that the formulas in vectors are those derived."""
    skew = _basis(*BASES)
    for (text, ours), derived in zip(VECTORS, c.coefficients().values(), strict=True):
        assert sp.expand((ours - derived).subs(skew)) == 0, text


def planar() -> dict[sp.Symbol, sp.Expr]:
    """Return the reduced coefficients for two parallel axes, arms at 0°."""
    flat = _basis(sp.eye(3), sp.eye(3))
    rest = {c.alpha1: 0, c.alpha2: 0}
    return {s: sp.expand(e.subs(flat).subs(rest)) for s, e in c.coefficients().items()}


def prove_planar() -> None:
    """Prove that a side offset of parallel axes only shortens the rod."""
    side = c.c1[2] + c.s1 - c.c2[2] - c.s2
    shorter = sp.Symbol("L_eff")
    for symbol, expr in planar().items():
        level = expr.subs({c.c1[2]: 0, c.c2[2]: 0, c.s1: 0, c.s2: 0}).subs(c.L, shorter)
        again = level.subs(shorter, sp.sqrt(c.L**2 - side**2))
        assert sp.expand(expr - again) == 0, symbol


def flat_equations() -> list[sp.Eq]:
    """Return the planar coefficients with both pivots and arms in one plane."""
    x1, y1, x2, y2 = sp.symbols("x1 y1 x2 y2")
    names = dict(zip((*c.c1[:2], *c.c2[:2]), (x1, y1, x2, y2), strict=True))
    level = {c.c1[2]: 0, c.c2[2]: 0, c.s1: 0, c.s2: 0, **names}
    out = []
    squares = (x1 - x2) ** 2 + (y1 - y2) ** 2 + c.R**2 + c.r**2 - c.L**2
    for symbol, expr in planar().items():
        found = sp.factor(expr.subs(level))
        if symbol == c.REDUCED[6]:  # reads better as a sum of squares
            assert sp.expand(found - squares / (2 * c.r)) == 0
            found = squares / (2 * c.r)
        out.append(sp.Eq(symbol, found))
    return out


def _short(expr: sp.Expr) -> sp.Expr:
    back = dict(zip(c.abk(), (A, B, K), strict=True))
    root = sp.sqrt(A**2 + B**2 - K**2)
    return sp.simplify(expr.subs(back)).subs(root, W)


def theory() -> str:
    """Return docs/theory.md."""
    prove_vectors()
    prove_planar()
    cosine, sine, reach = (_short(e) for e in c.closed_form())
    q1, q2 = sp.symbols("q1 q2")
    rate = sp.Derivative(q2, q1)
    moments = (_short(c.driver_moment()), _short(c.driven_moment()))
    assert sp.diff(c.loop(), c.L) == -2 * c.L
    at_pose = moments[1].subs({c.C2: cosine, c.S2: sine})
    assert sp.expand(sp.cancel(at_pose) - c.sigma * W) == 0
    vectors = "\n".join(text for text, _ in VECTORS)
    flat = flat_equations()
    return f"""# Theory

{GENERATED} The formulas are
printed from `linkage.formulas.derivation`, which derives them in SymPy; the program computes
with the same formulas, compiled.

## The closure

A rod of length L joins the hole P of its driving arm to the hole Q of its driven
arm. Each hole goes round its own shaft. With the turn q₁ of the driver and q₂ of the
driven shaft, both counted from the measured rest, and C₁ = cos q₁, S₁ = sin q₁,
C₂ = cos q₂, S₂ = sin q₂:

```text
P = c₁ + s₁ n₁ + R (e₁ C₁ + f₁ S₁)      e₁ = u₁ cos α₁ + v₁ sin α₁
Q = c₂ + s₂ n₂ + r (e₂ C₂ + f₂ S₂)      f₁ = v₁ cos α₁ − u₁ sin α₁, and so on

|P − Q|² = L²
```

c is a pivot, u, v, n its viewer's basis ([conventions](conventions.md)), R and r
the arms, α their angles at rest, s their places along the shafts. Written out and
divided by −2r this is linear in C₂ and S₂:

{show(sp.Eq(A * c.C2 + B * c.S2, K))}
with a, b, k affine in C₁ and S₁:

{show(*(sp.Eq(s, e) for s, e in zip((A, B, K), c.abk(), strict=True)))}
The nine coefficients are computed once for each rod. With h = c₁ + s₁ n₁ − c₂ − s₂ n₂:

```text
{vectors}
```

(J. M. McCarthy, G. S. Soh, Geometric Design of Linkages, 2nd ed., Springer 2011,
Appendix A: the closure a cos + b sin = k.)

## Position

Solved together with C₂² + S₂² = 1, with w = √(a² + b² − k²):

{show(sp.Eq(c.C2, cosine), sp.Eq(c.S2, sine))}
σ is +1 or −1: the two ways in which the same parts can be assembled. The rest
position shows which; it is kept through the whole travel and never changes. The
next rod of a chain takes C₂ and S₂ as they are: no angle is formed on the way, so
none can wrap round, and each rod costs one square root.

## Reach and dead centres

{show(sp.Eq(sp.Symbol("reach"), reach))}
Below zero the rod does not reach: the linkage jams. At zero the driven arm and its
rod lie in line: its **dead centre**. The driving arm has dead centres of its own,
where the driven shaft stands still and turns back; there what closes the plate can
no longer bring the driver home. They are where the loop's derivative by q₁ is zero:

{show(sp.Eq(moments[0], 0))}
Both are looked for with the stops removed.

## Speed ratio

By implicit differentiation of the loop:

{show(sp.Eq(rate, -moments[0] / moments[1], evaluate=False))}
The denominator is σ w, so the ratio grows without bound toward a dead centre of the
driven arm and is zero at one of the driving arm. Ratios multiply along a chain.
Times the signs of pressing and opening, over the pad's radius, the product is the
**local ratio** in °/mm. It is differentiated once more in the same way for d²q₂/dq₁².

## Arm-rod angle

With ê the direction of the arm from its shaft, d̂ that of the rod away from the hole
and n the shaft's axis, n · (ê × d̂) is the share of a pull along the rod that turns
the shaft, positive anticlockwise. The arm-rod angle μ is the angle with that sine:
less than 90° where the rod leans toward the shaft, more where it leans away. 90° is
best; at 0° and 180° the arm is in line. A rod with a side offset never shows 90°
(decision [0001](decisions/0001-arm-rod-angle-by-leverage.md)).

## Every measured number

With F the loop in the measured numbers, the driver held still, any number p that a
tape or an angle gauge gave moves the driven shaft by

```text
dq₂/dp = − (∂F/∂p) / (∂F/∂q₂)
```

and later rods multiply by their ratios. There are no finite differences. For the
rod's length ∂F/∂L = −2L, so that dq₂/dL = 2L / (∂F/∂q₂).

## Parallel shafts

Two shafts in one direction are the planar case, and nothing special is done for
it. With both arms at 0° the coefficients read, for arms in one plane:

{show(*flat)}
A side offset Δ between the two arms enters K₀ alone, and there as L² − Δ²: it
acts as a rod of length √(L² − Δ²), and changes nothing else. This page's maker proves
that before it prints it.

## Shafts in other directions

A pedal across the vehicle and a spindle along it turn in different planes; the rod
then needs joints that lean, and the same nine coefficients hold. What such a rod
leans at its joints is a finding of its own, [joint-tilt](findings.md#joint-tilt).
{wires()}{cams()}{slides()}{heat()}{forces()}"""
