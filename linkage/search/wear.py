"""What is worn renewed: joints of rods, push-pull cables, bushes of shafts.

Not here: other changes of parts (`search.changes`), their words (`search.said_of_cables`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.refs import Ref
from linkage.search.family import Family, Step, always

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout
    from linkage.model.columns import Number
    from linkage.model.paths import Path

#: Play of two new ball joints together, and of a new push-pull cable: common practice, no
#: source. [m]
FRESH: Final = {"rod": 0.2e-3, "cable": 1e-3}
#: Play of a new bush, H9/h9 on 12 mm and a little more: common practice, no source. [m]
FRESH_BUSH: Final = 0.1e-3


def less_play(layout: Layout) -> Iterator[Family]:
    """Yield what is worn renewed: each rod's joints, cable or shaft's bush, then all."""
    rods = {
        n: (rod.kind, rod.play)
        for n, rod in layout.rods.items()
        if rod.play > FRESH.get(rod.kind, math.inf)
    }
    bushes = {
        n: shaft.play for n, shaft in layout.shafts.items() if shaft.play > FRESH_BUSH
    }
    for n, rod in rods.items():
        yield _renewed(layout, {n: rod}, {})
    for n, bush in bushes.items():
        yield _renewed(layout, {}, {n: bush})
    if len(rods) + len(bushes) > 1:
        yield _renewed(layout, rods, bushes)


def _renewed(layout: Layout, rods: dict[str, Any], bushes: dict[str, Number]) -> Family:
    sets: dict[Path, Any] = {
        ("rods", n, "play"): np.array([FRESH[kind]]) for n, (kind, _) in rods.items()
    }
    sets |= {("shafts", n, "play"): np.array([FRESH_BUSH]) for n in bushes}
    about = Ref("rod", next(iter(rods))) if rods else Ref("shaft", next(iter(bushes)))
    step = Step(
        kind="rod play",
        about=about,
        new=(*FRESH.values(), FRESH_BUSH),
        more={"rods": rods, "bushes": bushes},
    )
    return Family(
        base=layout,
        sets=sets,
        effort=np.array([0.05 * (len(rods) + len(bushes))]),
        step=always(step),
    )
