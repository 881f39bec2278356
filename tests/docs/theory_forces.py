"""The part of the page of formulas about forces: balance, bearings, joints, weight.

What it says of bearings and joints is proved in SymPy before it is printed; its numbers
are those of the program.

Not here: positions and ratios (`theory_page`).
"""

from __future__ import annotations

import math

import sympy as sp

from linkage.forces.friction import (
    BEYOND,
    BUSH,
    DEPRESSION,
    NEAR_SHUT,
    SPINDLE,
    SPINDLE_FRICTION,
)
from linkage.forces.masses import PAD, SHUTTING


def prove_bearings() -> None:
    """Prove that what a force puts on both bearings balances all but its torque."""
    fu, fv, fn, r, z, a, b, at = sp.symbols("f_u f_v f_n R z a b q", real=True)
    arm = sp.Matrix([r * sp.cos(at), r * sp.sin(at), z])
    force, across = sp.Matrix([fu, fv, fn]), sp.Matrix([fu, fv, 0])
    way = sp.Matrix([sp.cos(at), sp.sin(at), 0])
    two = across * (z - a) / (b - a) - way * r * fn / (b - a)
    one, thrust = across - two, sp.Matrix([0, 0, fn])
    assert sp.simplify(one + two + thrust - force) == sp.zeros(3, 1)
    held = sum(
        (sp.Matrix([0, 0, at_]).cross(f) for at_, f in ((a, one), (b, two))),
        sp.zeros(3, 1),
    )
    tipped = sp.simplify(arm.cross(force) - held)
    assert tipped[:2] == [0, 0]
    assert sp.simplify(tipped[2] - r * (fv * sp.cos(at) - fu * sp.sin(at))) == 0


def prove_joints() -> None:
    """Prove that a force turned by the sine ρ |m| / L has the part across that is told."""
    rho, length, size, along = sp.symbols("rho L m X", positive=True)
    sine = rho * size / length
    tilted = rho / sp.sqrt(1 - sine**2)
    across = along * tilted * size / length  # |X| ρ' |t × m| / L
    square = along**2 + across**2  # of the force
    assert sp.simplify(across**2 / square - sine**2) == 0
    # Both moments ρ |F| are held by the force across the rod, at its length.
    assert sp.simplify((across * length) ** 2 - rho**2 * square * size**2) == 0


def forces() -> str:
    """Return the part of docs/theory.md about forces."""
    prove_bearings()
    prove_joints()
    return f"""
## Forces

Rods form a tree. Held at one shaft it is balanced from its ends inwards: each shaft has
one unknown, the pull X in the rod that leads on, and

```text
X B + M = σ ( μ r Σ |Wₖ + X fₖ| + D )
```

B is the torque arm of that rod; M the torque of springs, weight and the rods further
out; σ the sense in which the shaft turns; Wₖ and X fₖ what all else and that rod put on
the bearings; D the drag that no load changes. B and fₖ hold the friction of the rod's
joints. The sum is convex in X, or concave, and it rises or falls throughout, so that
there is one root, and Newton's steps close on it. Where μ r Σ |fₖ| reaches B the friction circle
reaches the rod's line: friction **locks** the shaft, and there is no force to tell.
Without friction X = − M / B, and the pad force is virtual work, − Σ M dq/ds.

## Two bearings

A shaft is carried at two places a and b along it, as given by `bearings`; else at its
outermost arms; else by a bush {BUSH * 1e3:.0f} mm long. With n the shaft's axis, a
force F at an arm of length R and direction ê, at the place z along the shaft, puts on
them, F⊥ its part across the axis:

```text
at b      F⊥ (z − a) / (b − a) − ê R (F·n) / (b − a)
at a      F⊥ less that
thrust    F·n
```

Forces add up at each place before their sizes are taken. Each size rubs with μ r: rods
that pull against each other from both ends of a shaft cancel in the sum of forces, but
load both bearings. (R. G. Budynas, J. K. Nisbett, Shigley's Mechanical Engineering
Design, from memory.)

## Joints

A ball or pin resists the turn between rod and arm with the moment ρ |F|, ρ its
coefficient of friction times its radius. With w₁ and w₂ the unit vectors of the turn of
each arm against the rod, m = w₁ + w₂, t from the one joint to the other and L the rod's
length, the force at the first is

```text
X t + |X| ρ′ (t × m) / L        ρ′ = ρ / √(1 − (ρ |t × m| / L)²)
```

and turns its arm back by ρ′ |X| w₁ besides. In a plane its line touches the friction
circles of both joints, and the formula is exact. A rod between balls could spin about
itself; that it does not is the unkind side. (K. J. Waldron, G. L. Kinzel, Kinematics,
Dynamics, and Design of Machinery, from memory.)

## The pressed spindle, and drag

A plate that is shut under a depression Δp presses its spindle, of diameter d in a bore
D, into its bearings:

```text
D_spindle = μ (d / 2) Δp π D² / 4
```

With Δp = {DEPRESSION / 1e3:.0f} kPa; where they are not given, μ = {SPINDLE_FRICTION}
and d = {SPINDLE * 1e3:.0f} mm. It is taken in full within {math.degrees(NEAR_SHUT):.0f}°
of shut, and {BEYOND:.0%} of it beyond. A `drag` measured with a spring balance takes its
place; so it does on any other shaft. What rubs with the load is counted besides.

## Weight

Masses that are not given are [estimated](limits.md). Each weight that opens the plate
counts whole; each that shuts it counts {SHUTTING:.0%}, so that what opens is not made good by
what is only estimated. The pad, {PAD:g} kg, is one with its lever where that was weighed.
A rod hangs on both its ends, half and half; parted, it may hang on one with its whole
weight, or be gone: what opens counts. Bearings carry all weight whole.

## One part failed

Friction is taken while the foot lets the pad up slowly and with the plate held by hand,
and the larger counts. That is done again with each spring off, each rod parted, each
pin, lever and anchor gone with all that hangs on it, and each shaft between pedal and
spindle off its pivot; then all friction is taken as often as `dirt_factor` says.
"""
