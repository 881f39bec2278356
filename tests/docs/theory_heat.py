"""The part of the page of formulas about heat: what grows, and from where.

That a vehicle which only gets larger turns no shaft is proved in SymPy of the nine
coefficients before it is printed.

Not here: the closure itself (`theory_page`).
"""

from __future__ import annotations

import sympy as sp

from linkage.formulas import derivation as c
from linkage.model.heat import EXPANSION


def prove_only_larger() -> None:
    """Prove that all lengths so many times as long leave a, b and k in proportion."""
    by = sp.Symbol("epsilon", positive=True)
    # Both pivots and stations are measured from what stands still.
    lengths = [c.R, c.r, c.L, c.s1, c.s2, *c.c1, *c.c2]
    larger = {length: length * (1 + by) for length in lengths}
    for symbol, derived in c.coefficients().items():
        grown = derived.subs(larger, simultaneous=True)
        assert sp.cancel(sp.expand(grown) - (1 + by) * derived) == 0, symbol


def heat() -> str:
    """Return the part as text of the page."""
    prove_only_larger()
    rows = "\n".join(f"| {name} | {1e6 * a:.1f} |" for name, a in EXPANSION.items())
    return f"""
## Growth

A length L that gets ΔT warmer grows by ε L, with ε = α ΔT. The body grows from h, where it
holds the engine, the block from there too, and the manifold from its seat m on the block.
A point p that stands on one of them goes to

```text
body, block:  p′ = h + (1 + ε) (p − h)
manifold:     p′ = h + (1 + ε_block) (m − h) + (1 + ε_manifold) (p − m)
```

Arms grow as what their shaft stands on, R′ = (1 + ε) R and s′ = (1 + ε) s, and rods as
what they are made of, L′ = (1 + ε) L. The closure is solved anew with all of it, the pedal
gone back by its free play, and the least left between lever and stop over all states is
told. With one ε for all, each of the nine coefficients is (1 + ε) times what it was, so
that a, b and k are too, and no shaft turns: this page's maker proves that before it prints
it.

| material | α, 10⁻⁶ a kelvin |
|---|---|
{rows}

(E. Oberg and others, Machinery's Handbook, tables of thermal expansion, from memory and
rounded; alloys of one name differ by some 5 %. Decision [0025](decisions/0025-heat.md).)
"""
