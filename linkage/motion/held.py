"""Parts where what holds them has gone, as the engine that rocks or the body that grows.

Not here: how far it has gone (`motion.rock`, `motion.grown`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeAlias

from linkage.model import Slide
from linkage.model.columns import pick

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.connect import Connector
    from linkage.model import Cable, Shaft
    from linkage.model.axes import Vector
    from linkage.model.columns import Number

    #: From where a point was to where it is held now. [m]
    Gone: TypeAlias = Callable[[Vector], Vector]


def held_shaft(shaft: Shaft, gone: Gone) -> Shaft:
    """Return a shaft with its pivot, or its guide and pins, where they are held now.

    Which way it lies and how long its arms are stays.
    """
    if not isinstance(shaft, Slide):
        return replace(shaft, pivot=gone(shaft.pivot))
    one, two = map(gone, shaft.guide)
    points = {name: gone(point) for name, point in shaft.points.items()}
    return replace(shaft, pivot=one, guide=(one, two), points=points)


def held_sheath(cable: Cable, gone: tuple[Gone | None, Gone | None]) -> Cable:
    """Return a cable with the ends of its sheath where they are held now.

    Longer or shorter legs are taken up by its bends: what its sheath is long stays.

    Parameters
    ----------
    cable : Cable
        As it was.
    gone : pair of callable or None
        Of each end; None where it stays.
    """
    one, two = (
        end if there is None else replace(end, point=there(end.point))
        for end, there in zip(cable.ends, gone, strict=True)
    )
    return replace(cable, ends=(one, two), sheath_length=cable.sheathed)


def length_kept(loop: Connector) -> Number:
    """Return the length that a rod has, or of a cable its free wire. [m].

    A row that could not be put together before is marked there: any length does.
    """
    slot = loop.link.rod.slot
    return pick(loop.length > slot, loop.length, 1.0 + slot)
