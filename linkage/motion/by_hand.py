"""The same layout as the hand sees it: the hand lever drives, the pedal waits.

The tree of rods is walked from the hand lever, so that all that is asked of a pedal can
be asked of it. The pedal and the shafts on its side stay at rest: they are taken where
their own rods hold them with the pedal up, and those rods as they were cut there.

Not here: what either input does to the other (`rules.two_inputs`), rods that wait
(`model.inputs`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from linkage.motion.at_rest import as_cut, known, turned_on

if TYPE_CHECKING:
    from linkage.model import Layout, Link
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
    rods, turns = dict(layout.rods), {}
    for link in foot_side:
        rods[link.rod.name] = as_cut(assembly, assembly.loop(link.rod.name))
        if link.driver.shaft != layout.pedal.shaft:
            turns[link.driver.shaft] = known(assembly.rest[link.driver.shaft])
    shafts, stops = turned_on(layout, turns)
    shafts[hand.shaft] = replace(shafts[hand.shaft], drag=None)
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
