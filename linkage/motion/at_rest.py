"""Parts where they lie at rest with the pedal up, in place of where they were measured.

Not here: what is made of them (`motion.by_hand`, `motion.tangent`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.model.columns import is_column

if TYPE_CHECKING:
    from linkage.connect import Connector
    from linkage.model import Rod
    from linkage.model.columns import Number
    from linkage.motion.assembly import Assembly


def known(turn: Number) -> Number:
    """Return a turn with none in rows that could not be put together."""
    return np.nan_to_num(turn) if is_column(turn) else turn


def as_cut(assembly: Assembly, loop: Connector) -> Rod:
    """Return a rod cut to fit where it lies at rest, so that it loses what it loses there.

    Where it could not be put together it loses nothing.
    """
    rod = loop.link.rod
    cut: dict[str, Any] = {"length": None}
    if rod.gives:  # taken as stiff, it drags all the more
        cut |= {"over_travel": 0.0, "over_travel_load": 0.0, "over_travel_rate": 0.0}
    if rod.loose:
        turns = (assembly.rest[hole.shaft] for hole in loop.link.holes)
        left = loop.slack(*((np.cos(t), np.sin(t)) for t in turns))
        lost = np.nan_to_num(np.asarray(left, dtype=float))
        if not rod.only:
            lost = np.minimum(lost, rod.slot)
        cut["lost"] = lost if lost.ndim else float(lost)
    return replace(rod, **cut)
