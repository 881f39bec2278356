"""Parts where they lie at rest with the pedal up, in place of where they were measured.

Not here: what is made of them (`motion.by_hand`, `motion.tangent`, `motion.grown`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.model.columns import is_column

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect import Connector
    from linkage.model import Layout, Rod, Shaft, Stop
    from linkage.model.columns import Number
    from linkage.motion.assembly import Assembly


def known(turn: Number) -> Number:
    """Return a turn with none in rows that could not be put together."""
    return np.nan_to_num(turn) if is_column(turn) else turn


def turned_on(
    layout: Layout, turns: Mapping[str, Number]
) -> tuple[dict[str, Shaft], dict[str, Stop]]:
    """Return shafts turned on at rest, and their stops, which stay where they are.

    Parameters
    ----------
    layout : Layout
        One or many.
    turns : mapping of str to float or column
        By shaft, anticlockwise positive; of a slide along its guide. [rad], [m]
    """
    shafts, stops = dict(layout.shafts), dict(layout.stops)
    for name, turn in turns.items():
        shafts[name] = shafts[name].moved(turn)
    for name, stop in stops.items():
        if stop.shaft in turns:
            stops[name] = replace(stop, turn=stop.turn - turns[stop.shaft])
    return shafts, stops


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
