"""The same layout as the hand sees it: the hand lever drives, the pedal waits.

The tree of rods is walked from the hand lever, so that all that is asked of a pedal can
be asked of it. The pedal and the shafts on its side stay at rest: they are taken where
their own rods hold them with the pedal up, and those rods as they were cut there.

Not here: what either input does to the other (`rules.two_inputs`), rods that wait
(`model.inputs`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.model import Slide
from linkage.model.columns import is_column

if TYPE_CHECKING:
    from linkage.connect import Connector
    from linkage.model import Layout, Link, Rod, Shaft
    from linkage.model.columns import Number
    from linkage.motion.assembly import Assembly


def by_hand(assembly: Assembly) -> Layout:
    """Return a layout with its hand lever as the end that drives.

    Parameters
    ----------
    assembly : Assembly
        Of a layout with a hand lever, one or many as rows, put together with the pedal
        up.

    Returns
    -------
    Layout
        Its `pedal` is the hand lever and its `foot` the pedal. What holds the hand
        lever where it was left is no friction in it: the hand pushes it home.

    Raises
    ------
    ValueError
        If it has no hand lever.
    """
    layout = assembly.layout
    hand = layout.hand
    if hand is None:
        msg = "the layout has no hand lever"
        raise ValueError(msg)
    foot_side = _foot_side(layout)
    shafts, rods = dict(layout.shafts), dict(layout.rods)
    for link in foot_side:
        rods[link.rod.name] = _as_cut(assembly, assembly.loop(link.rod.name))
        if link.driver.shaft != layout.pedal.shaft:
            shaft = shafts[link.driver.shaft]
            shafts[shaft.name] = _turned(shaft, assembly.rest[shaft.name])
    shafts[hand.shaft] = replace(shafts[hand.shaft], drag=None)
    moved = {link.driver.shaft for link in foot_side} - {layout.pedal.shaft}
    stops = {
        name: replace(stop, turn=stop.turn - _known(assembly.rest[stop.shaft]))
        if stop.shaft in moved
        else stop
        for name, stop in layout.stops.items()
    }
    return replace(
        layout,
        shafts=shafts,
        rods=rods,
        stops=stops,
        pedal=hand.as_pedal,
        hand=None,
        foot=layout.pedal,
        # A hand is no foot: what a stamped one does, a hard pull does here.
        limits=replace(layout.limits, stamp_load=layout.limits.hand_load),
    )


def _foot_side(layout: Layout) -> list[Link]:
    """Return the links from the pedal to where both inputs meet, pedal first."""
    first = next(link for link in layout.links if link.own is not None)
    return list(layout.path_to(first.driver.shaft))


def _turned(shaft: Shaft, turn: Number) -> Shaft:
    """Return a shaft with all its arms turned, a slide gone on along its guide."""
    angle = _known(turn)
    if isinstance(shaft, Slide):
        return shaft.moved(angle)
    arms = {n: replace(a, angle=a.angle + angle) for n, a in shaft.arms.items()}
    return replace(shaft, arms=arms)


def _known(turn: Number) -> Number:
    """Return a turn with none in rows that could not be put together."""
    return np.nan_to_num(turn) if is_column(turn) else turn


def _as_cut(assembly: Assembly, loop: Connector) -> Rod:
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
