"""What rods lose at rest: a rod cut anew by a search goes on to lose what it lost.

A rod of given length drives at that length, and what it loses at rest follows from it.
One that is cut to fit loses what `lost` says. Here both are known of it.

Not here: losing more or less (`search.lost_motion`), how such a rod moves (`connect`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from linkage.errors import LinkageError
from linkage.motion import assemble, sweep
from linkage.rules.slack import loose

if TYPE_CHECKING:
    from linkage.model import Layout
    from linkage.motion import Assembly


def lost_known(layout: Layout) -> Layout:
    """Return a layout of which every rod says what it loses at rest.

    Parameters
    ----------
    layout : Layout
        One.

    Returns
    -------
    Layout
        The same, where no rod of given length loses motion, or it cannot be put
        together. A file holds `lost` for rods that are cut to fit alone.
    """
    some = [n for n, r in layout.rods.items() if r.loose and r.length is not None]
    if not some:
        return layout
    try:
        lost = lost_at_rest(assemble(layout))
    except LinkageError:
        return layout
    known = {n: replace(layout.rods[n], lost=lost[n]) for n in some}
    return replace(layout, rods={**layout.rods, **known})


def lost_at_rest(assembly: Assembly) -> dict[str, float]:
    """Return by rod that loses motion how far its pin goes at rest before it drives.

    Parameters
    ----------
    assembly : Assembly
        Of one layout.

    Returns
    -------
    dict of str to float
        No more than its slot is long. [m]
    """
    motion = sweep(assembly, [0.0])
    out = {}
    for loop in loose(assembly):
        left = loop.slack(*(motion.pair(hole.shaft) for hole in loop.link.holes))
        out[loop.link.rod.name] = min(float(left[0]), float(loop.slot))
    return out
