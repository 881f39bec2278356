"""Slips in one number of any kind: digits swapped, another unit, edge and ends.

Not here: slips of angles and places (`slips.turned`), of a whole shaft
(`slips.wholes`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.quantities import say_round, spoken_unit
from linkage.shown_units import in_inches
from linkage.slips.digits import swapped
from linkage.slips.kinds import Hypothesis
from linkage.slips.written import Written, written

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout

#: Half a hole and half a shaft of which nothing is given; common practice, no
#: source. [m]
HALF_HOLE: Final = 3e-3
HALF_SHAFT: Final = 6e-3
#: A ball of a rod's end of which nothing is given: half is measured too much at
#: either; DIN 71802, 10 mm, from memory. [m]
BALL: Final = 10e-3
#: Further from the datum, or further along a shaft, no small unit is mistaken: such
#: a number would not look small. [m]
FAR: Final = 1.0
INCH: Final = 25.4
#: Signs of a round size with its unit, such as `127.5 mm`.
ROUND: Final = 8
#: How many times a length is what was written, and what was done.
_IN_MM: Final = (
    (INCH, "measured in inches"),
    (10.0, "measured in cm"),
    (1 / INCH, "measured in mm and typed in inches"),
    (1 / 10.0, "measured in mm and typed in cm"),
)
_IN_INCH: Final = (
    (1 / INCH, "measured in mm"),
    (10.0 / INCH, "measured in cm"),
)


def size_slips(layout: Layout) -> Iterator[Hypothesis]:
    """Yield the slips of every number that is written."""
    for number in written(layout):
        yield from _digits(number)
        if number.kind == "length":
            yield from _units(number)
    yield from edges(layout)
    yield from over_ends(layout)


def changed(
    number: Written, new: float, kind: str, clause: str, change: float
) -> Hypothesis:
    """Return the slip by which one number is another."""
    # What comes of another unit is no rounder than it was measured.
    digits = 1 if kind.startswith("unit") and spoken_unit("length").unit == "mm" else 3
    was, would = _plain(number.value, number.kind), _plain(new, number.kind, digits)
    return Hypothesis(
        kind=kind,
        about=number.about,
        key=number.key,
        clause=clause,
        then=f"it is {would}, not {was}",
        old=number.value,
        new=new,
        unit=number.kind,
        sets=number.sets(new),
        change=change,
    )


def _plain(value: float, kind: str, digits: int = 3) -> str:
    """Return a number with no more digits than it needs, three after the point."""
    unit = spoken_unit(kind)
    return say_round(round(value / unit.factor, digits) * unit.factor, kind)


def _ratio(number: Written, new: float) -> float:
    return abs(math.log(abs(new / number.value)))


def _digits(number: Written) -> Iterator[Hypothesis]:
    for new in swapped(number.value, spoken_unit(number.kind).factor):
        if number.usual(new):
            clause = f"two digits of {number.what} were swapped"
            change = abs(new - number.value) / abs(number.value)
            yield changed(number, new, "digits", clause, change)


def _units(number: Written) -> Iterator[Hypothesis]:
    for factor, done in _IN_INCH if in_inches() else _IN_MM:
        new = number.value * factor
        if number.usual(new) and (
            number.size not in {"place", "offset"} or abs(new) < FAR
        ):
            clause = f"{number.what} was {done}"
            own = factor > 1 or in_inches()
            kind = "unit" if own else "unit written"
            # What comes out round was likelier meant.
            far = 0.0 if own else 10.0 * (len(_plain(new, "length")) > ROUND)
            yield changed(number, new, kind, clause, far + _ratio(number, new))


def edges(layout: Layout) -> Iterator[Hypothesis]:
    """Yield arms that were measured to an edge of their hole or of their shaft."""
    for number in written(layout):
        if number.size != "arm":
            continue
        shaft, arm = number.about.name, number.about.part
        holes = [
            rod.joint_diameter / 2
            for rod in layout.rods.values()
            if rod.joint_diameter
            and any((h.shaft, h.arm) == (shaft, arm) for h in (rod.start, rod.end))
        ]
        hole = holes[0] if holes else HALF_HOLE
        half = layout.shafts[shaft].bearing / 2 or HALF_SHAFT
        for off, what in ((hole, "hole"), (half, "shaft")):
            for sense, edge in ((1, "near"), (-1, "far")):
                new = number.value + sense * off
                if new > 0 and number.usual(new):
                    clause = f"{number.what} was taken at the {edge} edge of its {what}"
                    change = off / number.value
                    yield changed(number, new, "edge", clause, change)


def over_ends(layout: Layout) -> Iterator[Hypothesis]:
    """Yield rods of given length that were measured over their ends."""
    for number in written(layout):
        if number.size != "rod":
            continue
        rod = layout.rods[number.about.name]
        new = number.value - (rod.joint_diameter or BALL)
        if new > 0 and number.usual(new):
            clause = f"rod `{rod.name}` was measured over its ends"
            yield changed(number, new, "ends", clause, _ratio(number, new))
