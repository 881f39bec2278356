"""Cams that go to the other side: of the other hand, their profiles turned over.

Not here: shafts and their arms (`swap.moves`), profiles (`model.profile`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from linkage.model import Cam

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Rod


def turned_over(
    rods: Mapping[str, Rod], senses: Mapping[str, float]
) -> tuple[dict[str, Rod], tuple[str, ...]]:
    """Return rods with those cams turned over whose shafts turn the other way, and which.

    Parameters
    ----------
    rods : mapping of str to Rod
        As they go across.
    senses : mapping of str to float
        By moved shaft: -1 where its turns read the other way round now.
    """
    out: dict[str, Rod] = {}
    over = []
    for name, rod in rods.items():
        out[name] = rod
        if isinstance(rod, Cam) and senses.get(rod.start.shaft, 1.0) < 0:
            out[name] = replace(rod, goes=-1 if rod.goes > 0 else 1)
            over.append(name)
    return out, tuple(over)
