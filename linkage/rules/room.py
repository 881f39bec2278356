"""How many rows are judged at once, so that memory is bounded whatever the layout.

What a row takes grows with the positions at which it is looked at, those of every
movement of the engine too, with its shafts, and with what may fail times the plates that are
to shut. It decides no number: rows are judged alone, however many go together.

Not here: blocks that stay in the processor's cache (`motion.blocks`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, NamedTuple

from linkage.model import Cable, Cam
from linkage.rules.states import coarser, looked_at

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
#: What motion alone takes cold and hot, as so many positions at which all is judged.
HEAT: Final = 40
#: How many numbers would take as long, by measurement: of a failure for one plate, an arc of
#: a cam and a cable, at one position; of what judging any rows begins with, at rest and once
#: more with the engine moved; and how much longer a row takes that is looked at closely,
#: with its corners, or one of a layout that names an obstacle.
FAILED: Final = 60
FACED: Final = 250
CABLE: Final = 600
BEGUN: Final = 1_200_000
CORNERS: Final = 2.5
NEAR: Final = 2
#: Positions of one row that grow with the layout as what judging begins with does.
GROWS: Final = 900
#: Numbers at each of them for every rod on the way to a shaft.
WAY: Final = 12
#: Bytes of a number.
BYTES: Final = 8


def cases_of(layout: Layout) -> int:
    """Return about how many failures are judged of a layout, for all its plates."""
    parts = len(layout.springs) + len(layout.rods) + len(layout.shafts)
    return parts * len(layout.plates)


def _arcs(layout: Layout) -> int:
    return sum(len(r.profile) for r in layout.rods.values() if isinstance(r, Cam))


def _at_one(layout: Layout) -> int:
    """Return about how many numbers it takes to judge a layout at one position."""
    few = SHAFT * len(layout.shafts) + CASE * cases_of(layout)
    return few + ARC * _arcs(layout)


def _work_at_one(layout: Layout) -> int:
    """Return how much work that is, in numbers."""
    cables = sum(isinstance(r, Cable) for r in layout.rods.values())
    few = SHAFT * len(layout.shafts) + FAILED * cases_of(layout)
    return few + FACED * _arcs(layout) + CABLE * cables


def _positions(layout: Layout, grain: Grain) -> int:
    """Return at how many positions a row is looked at, moved too."""
    positions = grain.positions + grain.nodes
    for _ in looked_at(layout, grain):
        moved = coarser(grain)
        positions += moved.positions + moved.nodes
    if layout.heat is not None:
        positions += HEAT
    return positions


def numbers(layout: Layout, grain: Grain) -> int:
    """Return about how many numbers it takes to judge one row of a layout.

    Parameters
    ----------
    layout : Layout
        One or many as rows.
    grain : Grain
        How closely it is looked at.
    """
    return _positions(layout, grain) * _at_one(layout)


class Cost(NamedTuple):
    """How much work it is to judge rows of a layout, in numbers; see `cost`."""

    #: Of each row, what any rows begin with, and how many of them go at once.
    each: int
    begun: int
    at_once: int

    def of(self, rows: int) -> int:
        """Return how many numbers some rows take."""
        return int(rows * self.each + math.ceil(rows / self.at_once) * self.begun)


def cost(layout: Layout, grain: Grain) -> Cost:
    """Return how much work it is to judge rows of a layout, in numbers.

    What is done once for all rows grows with the ways from the pedal to the shafts too. A
    layout with a hand lever is judged as the foot sees it and as the hand does.

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
    sides = 1 + (layout.hand is not None)
    each = _positions(layout, grain) * _work_at_one(layout)
    each *= NEAR if layout.obstacles else 1
    begun = BEGUN * (1 + bool(looked_at(layout, grain)))
    begun += GROWS * (_at_one(layout) + WAY * sum(depths.values()))
    each = round(each * CORNERS) if grain.corners else each
    return Cost(sides * each, sides * begun, room(layout, grain))


def room(layout: Layout, grain: Grain) -> int:
    """Return how many rows of a layout are judged at once; one at least."""
    return max(MOST // (BYTES * numbers(layout, grain)), 1)


def parts(layout: Layout, rows: Rows, grain: Grain) -> Iterator[Rows]:
    """Yield rows of a layout, in their order, as many at a time as are judged at once."""
    step = room(layout, grain)
    for begin in range(0, len(rows), step):
        yield rows[begin : begin + step]
