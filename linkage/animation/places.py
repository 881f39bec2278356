"""Where the parts of a panel stand on a figure.

Not here: the parts (`panel`), what is written in them (`words`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

#: Of every word but the title: 14 px where the picture is 960 px wide. [pt]
LETTERS: Final = 10.2
#: Of the title of a panel that stands alone. [pt]
TITLE: Final = 12.0
#: From one line of words to the next. [in]
LINE: Final = 0.185
#: Room under everything: two lines of words. [in]
FOOT: Final = 0.46
#: Plate insets there is room for, where a panel stands alone and beside another,
#: and how many stand in a row.
PLATES: Final = {True: 6, False: 2}
ROW: Final = 3
#: Lines of title and verdict there may be, alone and beside another.
TITLE_LINES: Final = {True: 1, False: 2}
VERDICT_LINES: Final = {True: 2, False: 3}
#: Width of the column beside the views, height of the strip under them. [in]
COLUMN: Final = 2.85
STRIP: Final = 1.6


class Room(NamedTuple):
    """A field on the figure. [in]."""

    left: float
    low: float
    width: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Where the parts of a panel stand. [in].

    Parameters
    ----------
    head, views, curve, numbers : Room
        Title and verdict; views; travel curve, its numbers aside; words.
    plates : tuple of Room
        One a plate inset.
    margins : tuple of tuples of 2 floats
        Room for names beside and above each view that is tried, tightest first.
    """

    head: Room
    views: Room
    plates: tuple[Room, ...]
    curve: Room
    numbers: Room
    margins: tuple[tuple[float, float], ...]


def places(
    width: float, height: float, left: float, *, alone: bool, head: float, plates: int
) -> Places:
    """Set out a panel: beside the views where it is alone, else under them.

    Parameters
    ----------
    width, height : float
        Of the panel. [in]
    left : float
        Its left edge. [in]
    alone : bool
        Whether it has the figure for itself.
    head : float
        Height of title and verdict. [in]
    plates : int
        Plates there are; those beyond `PLATES` get no inset.
    """
    top = height - head
    count = min(plates, PLATES[alone])
    set_out = _beside if alone else _under
    return set_out(
        Room(left, FOOT, width, top - FOOT), Room(left, top, width, head), count
    )


def _beside(room: Room, head: Room, count: int) -> Places:
    side = room.left + room.width - COLUMN - 0.08
    words = 5 * LINE  # a stop may take two, plates that are not shown one
    rows = -(-count // ROW)
    high = (0.56 if rows < 2 else 0.64) * (room.height - words)
    wide = COLUMN / min(count, ROW)
    top = room.low + room.height
    insets = tuple(
        Room(
            side + (i % ROW) * wide,
            top - (i // ROW + 1) * high / rows,
            wide,
            high / rows,
        )
        for i in range(count)
    )
    under = top - high - words - 0.1
    return Places(
        head=head,
        views=Room(room.left + 0.05, room.low, room.width - COLUMN - 0.2, room.height),
        plates=insets,
        numbers=Room(side, top - high - words, COLUMN, words),
        curve=Room(side + 0.42, room.low + 0.28, COLUMN - 0.5, under - room.low - 0.28),
        margins=((0.5, 0.4), (0.8, 0.45)),
    )


def _under(room: Room, head: Room, count: int) -> Places:
    each = 1.15 if count == 1 else 0.85
    numbers = room.left + count * each + 0.08
    curve = numbers + 1.85 + 0.42
    right = room.left + room.width - 0.12
    return Places(
        head=head,
        views=Room(
            room.left + 0.03, room.low + STRIP, room.width - 0.06, room.height - STRIP
        ),
        plates=tuple(
            Room(room.left + 0.02 + i * each, room.low, each, STRIP)
            for i in range(count)
        ),
        numbers=Room(numbers, room.low, 1.85, STRIP - 0.1),
        curve=Room(curve, room.low + 0.32, right - curve, STRIP - 0.5),
        margins=((0.4, 0.32), (0.62, 0.34)),
    )
