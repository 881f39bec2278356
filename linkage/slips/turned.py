"""Slips of one angle and of one place: the viewer, level, signs, y and z.

Not here: of all arms of a shaft together (`slips.wholes`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.quantities import say_point, say_round
from linkage.slips.kinds import Hypothesis
from linkage.slips.places import places
from linkage.slips.sizes import changed
from linkage.slips.written import NOUGHT, Written, written

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Axis, Layout

#: The viewer opposite.
_OPPOSITE: Final = {"the right": "the left", "behind": "the front", "above": "below"}
#: Where a viewer stands, after "toward".
_TOWARD: Final = {"behind": "the rear", "above": "the top"}
#: Angles nearer to each other than this are one. [rad]
SAME: Final = math.radians(0.05)
QUARTER: Final = math.pi / 2


def opposite(axis: Axis) -> str:
    """Return where a viewer of the other end of a shaft stands, in words.

    >>> from linkage.model import NAMED
    >>> opposite(NAMED["along"])
    'the front'
    """
    return _OPPOSITE.get(axis.seen_from, "its other end")


def within(angle: float) -> float:
    """Return an angle from -180° to 180°. [rad].

    >>> round(math.degrees(within(math.radians(218))))
    -142
    """
    return math.remainder(angle, 2 * math.pi)


def mirrored(angle: float) -> tuple[float, float]:
    """Return an angle as seen from the other side: of the other sign, or from 180°."""
    return -within(angle), within(math.pi - angle)


def place_slips(layout: Layout) -> Iterator[Hypothesis]:
    """Yield the slips of every angle, offset and place."""
    for number in written(layout):
        if number.path[-1] == "angle":
            yield from _angle(layout, number)
        if number.path[-1] == "offset" or number.path[-1] == 1 or _end(number):
            yield _sign(layout, number)
    for place in places(layout):
        x, y, z = place.point
        if abs(y - z) > NOUGHT:
            new = (x, z, y)
            yield Hypothesis(
                kind="exchanged",
                about=place.about,
                key=place.key,
                clause=f"y and z of the {place.word} of {place.what} were exchanged",
                then=f"it is {say_point(new)}",
                old=place.point,
                new=new,
                unit="length",
                sets=place.sets(new),
                change=abs(y - z),
            )


def _angle(layout: Layout, number: Written) -> Iterator[Hypothesis]:
    """Yield an angle seen from the other side, or read from upright."""
    old = within(number.value)
    seen = opposite(layout.shafts[number.about.name].axis)
    for new in mirrored(old):
        if abs(within(new - old)) > SAME:
            yield _as_seen(number, new, seen)
    for start in (QUARTER, -QUARTER):
        for sense in (-1, 1):
            new = within(start + sense * old)
            if abs(within(new - old)) > SAME:
                clause = f"{number.what} was read from upright"
                change = abs(within(new - old))
                yield changed(number, new, "level", clause, change)


def _as_seen(number: Written, new: float, seen: str) -> Hypothesis:
    return Hypothesis(
        kind="viewer",
        about=number.about,
        key=number.key,
        clause=f"`{number.about}` was looked at from {seen}",
        then=f"its angle is {say_round(round(math.degrees(new), 3) * math.pi / 180, 'angle')}",
        old=number.value,
        new=new,
        unit="angle",
        sets={number.path: new},
        change=abs(within(new - number.value)),
    )


def _end(number: Written) -> bool:
    """Tell whether it is a coordinate of where a sheath ends."""
    place = number.place
    return place is not None and place.word in {"sheath_from", "sheath_to"}


def _sign(layout: Layout, number: Written) -> Hypothesis:
    """Return a coordinate, or an offset, of the other sign."""
    plus = ("forward", "left", "up")[number.path[-1]] if number.place else ""
    if number.path[-1] == "offset":
        seen = layout.shafts[number.about.name].axis.seen_from
        plus = f"toward {_TOWARD.get(seen, seen)}"
    what = "has a minus too much" if number.value < 0 else "has lost its minus"
    clause = f"{number.what} {what} (plus is {plus})"
    return changed(number, -number.value, "sign", clause, abs(number.value))
