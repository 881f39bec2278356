"""Where the parts of a panel stand on a figure.

Not here: the parts (`panel`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

#: Plate insets there is room for, where a panel stands alone and beside another.
PLATES: Final = {True: 3, False: 2}


class Room(NamedTuple):
    """A field on the figure. [in]."""

    left: float
    low: float
    width: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Where the parts of a panel stand, and how large they are written. [in].

    Parameters
    ----------
    head, views, curve, numbers, bars : Room
        Title and banner; views; travel curve; words; angles left to dead centre.
    plates : tuple of Room
        One a plate inset.
    margin : tuple of 2 floats
        Room for labels beside and above each view.
    size : float
        Of the words. [pt]
    letters : int
        A line of the banner, in letters.
    """

    head: Room
    views: Room
    plates: tuple[Room, ...]
    curve: Room
    numbers: Room
    bars: Room
    margin: tuple[float, float]
    size: float
    letters: int


def places(
    width: float, height: float, left: float, *, alone: bool, lines: int, plates: int
) -> Places:
    """Set out a panel: beside the views where it is alone, else under them.

    Parameters
    ----------
    width, height : float
        Of the panel, the foot of the figure left free. [in]
    left : float
        Its left edge. [in]
    alone : bool
        Whether it has the figure for itself.
    lines : int
        Lines of the banner that must find room.
    plates : int
        Plates there are; those beyond `PLATES` get no inset.
    """
    foot = 0.27
    tall = 0.31 + 0.17 * lines + (0.08 if lines else 0)
    top = height - tall
    count = min(plates, PLATES[alone])
    if alone:
        side, column = left + width - 3.05, 2.95
        low = top - foot
        each = 1.35 if count == 1 else column / count
        insets = [
            Room(side + i * each, foot + 0.66 * low, each, 0.34 * low)
            for i in range(count)
        ]
        numbers = Room(side + 1.4, foot + 0.66 * low, column - 1.4, 0.32 * low)
        curve = Room(side + 0.36, foot + 0.36 * low, column - 0.4, 0.255 * low)
        if count > 1:  # the words under the insets then
            numbers = Room(side + 0.03, foot + 0.49 * low, column, 0.16 * low)
            curve = curve._replace(low=foot + 0.34 * low, height=0.14 * low)
        return Places(
            head=Room(left, top, width, tall),
            views=Room(left + 0.05, foot, width - 3.2, low),
            plates=tuple(insets),
            numbers=numbers,
            curve=curve,
            bars=Room(side, foot, column, 0.25 * low),
            margin=(0.7, 0.42),
            size=7.0,
            letters=int(width * 15.5),
        )
    strip = 1.72
    each = 1.12 if count == 1 else 0.95
    right = left + 0.02 + count * each
    wide = 1.33 if count == 1 else 0.7
    return Places(
        head=Room(left, top, width, tall),
        views=Room(left + 0.03, foot + strip, width - 0.06, top - foot - strip),
        plates=tuple(
            Room(left + 0.02 + i * each, foot, each, strip) for i in range(count)
        ),
        curve=Room(right + 0.33, foot + 1.02, wide, 0.66),
        numbers=Room(
            right + wide + 0.45, foot + 0.95, left + width - right - wide - 0.5, 0.75
        ),
        bars=Room(right, foot, left + width - right - 0.08, 0.72),
        margin=(0.56, 0.3),
        size=6.0,
        letters=int(width * 17.5),
    )
