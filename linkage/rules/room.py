"""How many rows are judged at once, so that memory is bounded whatever the layout.

What a row takes grows with the positions at which it is looked at, those of every
movement of the engine too, with its shafts, and with what may fail times the plates that are
to shut. It decides no number: rows are judged alone, however many go together.

Not here: blocks that stay in the processor's cache (`motion.blocks`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, NamedTuple

from linkage.model import Cam
from linkage.rules.states import coarser, movements

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy as np
    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.rules.examine import Grain

    Rows = NDArray[np.intp]

#: Most that rows which are judged together take, but for one that takes more. [byte]
MOST: Final = 96_000_000
#: Numbers at each position, by measurement: of a shaft with its rod and springs, and of
#: one failure for one plate.
SHAFT: Final = 220
CASE: Final = 6
#: The same of every arc of a cam, each of which is closed.
ARC: Final = 100
#: Positions of one row that take as long as what judging any rows begins with.
BEGUN: Final = 900
#: What motion alone takes cold and hot, as so many positions at which all is judged.
HEAT: Final = 40
#: Numbers at each of them for every rod on the way to a shaft.
WAY: Final = 12
#: Bytes of a number.
BYTES: Final = 8


def cases_of(layout: Layout) -> int:
    """Return about how many failures are judged of a layout, for all its plates."""
    parts = len(layout.springs) + len(layout.rods) + len(layout.shafts)
    return parts * len(layout.plates)


def _at_one(layout: Layout) -> int:
    """Return about how many numbers it takes to judge a layout at one position."""
    arcs = sum(len(r.profile) for r in layout.rods.values() if isinstance(r, Cam))
    return SHAFT * len(layout.shafts) + CASE * cases_of(layout) + ARC * arcs


def numbers(layout: Layout, grain: Grain) -> int:
    """Return about how many numbers it takes to judge one row of a layout.

    Parameters
    ----------
    layout : Layout
        One or many as rows.
    grain : Grain
        How closely it is looked at.
    """
    positions = grain.positions + grain.nodes
    for _ in movements(layout):
        moved = coarser(grain)
        positions += moved.positions + moved.nodes
    if layout.heat is not None:
        positions += HEAT
    return positions * _at_one(layout)


class Cost(NamedTuple):
    """How many numbers it takes to judge rows of a layout; see `cost`."""

    #: Of each row, what any rows begin with, and how many of them go at once.
    each: int
    begun: int
    at_once: int

    def of(self, rows: int) -> int:
        """Return how many numbers some rows take."""
        return rows * self.each + math.ceil(rows / self.at_once) * self.begun


def cost(layout: Layout, grain: Grain) -> Cost:
    """Return how many numbers it takes to judge rows of a layout.

    What is done once for all rows grows with the ways from the pedal to the shafts too.

    Parameters
    ----------
    layout : Layout
        One or many as rows.
    grain : Grain
        How closely they are looked at.
    """
    depths = {layout.pedal.shaft: 0}
    for link in layout.links:
        depths[link.driven.shaft] = depths.get(link.driver.shaft, 0) + 1
    begun = BEGUN * (_at_one(layout) + WAY * sum(depths.values()))
    return Cost(numbers(layout, grain), begun, room(layout, grain))


def room(layout: Layout, grain: Grain) -> int:
    """Return how many rows of a layout are judged at once; one at least."""
    return max(MOST // (BYTES * numbers(layout, grain)), 1)


def parts(layout: Layout, rows: Rows, grain: Grain) -> Iterator[Rows]:
    """Yield rows of a layout, in their order, as many at a time as are judged at once."""
    step = room(layout, grain)
    for begin in range(0, len(rows), step):
        yield rows[begin : begin + step]
