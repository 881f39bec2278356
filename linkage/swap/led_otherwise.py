"""Cures of a swap at cables: a drum turned over, sheaths that are lined.

Not here: the other cures (`swap.recipes`), the changes (`search.drums`,
`search.cables`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.forces.sheath import sheath_friction
from linkage.search import cables, drums
from linkage.search.family import stacked
from linkage.search.kept import barred
from linkage.spoken import listed
from linkage.swap.judging import Candidates
from linkage.swap.kept import barred as why_barred
from linkage.swap.recipe import Recipe

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.model import Layout
    from linkage.search.family import Family
    from linkage.swap.ground import Ground


def drum_over(g: Ground) -> Recipe:
    """Turn the drum on the spindle over, and lead its wire round it the other way."""
    hole = g.path[-1].driven
    word = g.layout.shafts[hole.shaft].arms[hole.arm].called
    return Recipe(
        name=f"{word}-turned-over",
        title=f"{word} `{hole}` turned over, its wire led round the other way",
        reason=why_barred(g.layout, [hole]),
        tiers=(_turned_over,),
    )


def lined_sheath(g: Ground) -> Recipe | None:
    """Line the sheaths of cables, which may go round more bends now than they did.

    None where there is no cable that may be exchanged, and rubs more than such a sheath.
    """
    families = [f for f in cables.lined(g.layout) if not barred(g.layout, f)]
    told = (name for family in families for name in family.step(0).more["cables"])
    names = list(dict.fromkeys(told))
    if not names:
        return None

    def titled(layout: Layout) -> str:
        old, new = (cables.cables(some, names) for some in (g.layout, layout))
        rubs = {n: sheath_friction(c) for n, c in old.items()}
        return _title(n for n, c in new.items() if sheath_friction(c) != rubs[n])

    return Recipe(
        name="lined-sheath",
        title=_title(names),
        tiers=(lambda _: _rows(families),),
        titled=titled,
    )


def _title(names: Iterable[str]) -> str:
    some = [f"`{name}`" for name in names]
    word = "sheaths of cables" if len(some) > 1 else "sheath of cable"
    return f"lined {word} {listed(some)}"


def _turned_over(g: Ground) -> list[Candidates]:
    """Return the drum on the spindle turned over, its sheath as it is or across."""
    some = drums.turned_over(g.layout, [g.path[-1].driven])
    return _rows(f for f in some if not barred(g.layout, f))


def _rows(families: Iterable[Family]) -> list[Candidates]:
    """Return the rows of some kinds of changes, cables at them set anew."""
    out = []
    for family in families:
        stack = stacked([family])
        whole = stack.layout(np.arange(family.size))
        for name in family.cut:
            whole = whole.with_rod(name, None)
        reached = np.ones(family.size)
        out.append(Candidates(layout=whole, rank=stack.effort, reached=reached))
    return out
