"""How many rows are judged at once, so that memory is bounded whatever the layout.

What a row takes grows with the positions at which it is looked at, those of every
movement of the engine too, with its shafts, and with what may fail times the plates that are
to shut. It decides no number: rows are judged alone, however many go together.

Not here: blocks that stay in the processor's cache (`motion.blocks`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

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
#: Bytes of a number.
BYTES: Final = 8


def cases_of(layout: Layout) -> int:
    """Return about how many failures are judged of a layout, for all its plates."""
    parts = len(layout.springs) + len(layout.rods) + len(layout.shafts)
    return parts * len(layout.plates)


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
    return positions * (SHAFT * len(layout.shafts) + CASE * cases_of(layout))


def room(layout: Layout, grain: Grain) -> int:
    """Return how many rows of a layout are judged at once; one at least."""
    return max(MOST // (BYTES * numbers(layout, grain)), 1)


def parts(layout: Layout, rows: Rows, grain: Grain) -> Iterator[Rows]:
    """Yield rows of a layout, in their order, as many at a time as are judged at once."""
    step = room(layout, grain)
    for begin in range(0, len(rows), step):
        yield rows[begin : begin + step]
