"""The part of the page of formulas about slides: a rod on one, a bar in its guide.

Printed from `linkage.formulas.slide_derivation`; what is no part of that is proved in
SymPy before it is printed.

Not here: rods between shafts (`theory_page`), bearings and joints (`theory_forces`).
"""

from __future__ import annotations

import sympy as sp

from linkage.formulas import derivation as c
from linkage.formulas import slide_derivation as g
from tests.docs.shown import show


def prove_drawer() -> sp.Expr:
    """Solve when a bar in two edges jams, and return the length of its guide then.

    A force leans by β against the bar at a pin that stands x out of the guide: both ends
    take what turns the bar, and each rubs.
    """
    mu, lean, out, long = sp.symbols("mu beta x l", positive=True)
    near, far = sp.symbols("N1 N2", positive=True)
    side = sp.tan(lean)  # of 1 N along the bar
    held = sp.solve(
        [near - far - side, far * long - side * out], [near, far], dict=True
    )[0]
    share = sp.simplify(mu * (held[near] + held[far]))
    assert sp.simplify(share - mu * side * (1 + 2 * out / long)) == 0
    (least,) = sp.solve(sp.Eq(share, 1), long)
    assert sp.simplify(least - 2 * mu * side * out / (1 - mu * side)) == 0
    return sp.Eq(sp.Symbol("share"), mu * side * (1 + 2 * out / long))


def prove_textbook() -> None:
    """Prove that in a plane the driven slide is the textbook's slider-crank."""
    r, long, e, t = sp.symbols("r l e theta", positive=True)
    # The crank at the origin, the slide along x, e above it; X from x = 0.
    b, k = (
        r * sp.cos(t),
        ((r * sp.cos(t)) ** 2 + (e - r * sp.sin(t)) ** 2 - long**2) / 2,
    )
    at = {sp.Symbol("b", real=True): b, sp.Symbol("k", real=True): k}
    way, _ = (expr.subs(at).subs(c.sigma, -1) for expr in g.slide_form())
    told = r * sp.cos(t) + sp.sqrt(long**2 - (r * sp.sin(t) - e) ** 2)
    assert sp.expand((way - b) ** 2 - (told - b) ** 2) == 0


def slides() -> str:
    """Return the part of docs/theory.md about slides."""
    share = prove_drawer()
    prove_textbook()
    b, k = sp.symbols("b k", real=True)
    way, reach = g.slide_form()
    assert way.has(b)
    assert reach.has(k)
    return f"""
## A rod on a slide

A slide goes along its axis n where a shaft turns: its pin is at P + X n. Put into the one
sphere of every rod, the driven way X₂ is had from

{show(sp.Eq(g.X2**2 - 2 * (b * g.X2 - k), 0))}
with b and k affine in C₁ and S₁ of a driver that turns, in X₁ and X₁² of one that slides;
σ = 1 where a pull takes the slide along its axis, and the reach is the square of the
cosine between rod and guide:

{show(sp.Eq(g.X2, way), sp.Eq(sp.Symbol("reach"), reach))}
In a plane it is the slider-crank, x = r cos θ + √(l² − (r sin θ − e)²) (textbook, from
memory). A driven shaft of a slide that drives is solved by the closure above, with X₁ and
X₁² in the place of C₁ and S₁. At a slide torque is a force along the guide, and an arm's
length is 1.

## A bar in its guide

A bar is carried at both ends of its guide and rubs there with μ times what each takes. Of a
force that leans by β at a pin that stands x out of a guide of length l the guide takes

{show(share)}
and 2 μ e / l more at a pin that is e off the bar's middle, where both turn it one way. From
1 on the bar jams however hard it is pulled: where the guide is shorter than about 2 μ times
what stands out, for as much as the force leans. It is solved with all that acts on the bar
at once, in space and both ways, as a shaft in two bearings is.
"""
