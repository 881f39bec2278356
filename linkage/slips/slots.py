"""Slips at rods that lose motion: the other end of a slot, its ends, its length.

Not here: slips of one number of any kind (`slips.sizes`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.errors import LinkageError
from linkage.motion import assemble
from linkage.quantities import say_round
from linkage.slips.kinds import Hypothesis
from linkage.slips.sizes import changed
from linkage.slips.written import written

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout
    from linkage.slips.written import Written

#: A pin in a slot, of which nothing is given: common practice, no source. [m]
PIN: Final = 6e-3


def slot_slips(layout: Layout) -> Iterator[Hypothesis]:
    """Yield the slips of rods with a slot, and of such as may have one."""
    for number in written(layout):
        if number.size == "slot":
            yield from _over_ends(layout, number)
        elif number.size == "lost":
            yield from _from_other_end(layout, number)
        elif number.size == "rod":
            yield from _to_other_end(layout, number)
            yield from _of_its_slot(layout, number)


def _over_ends(layout: Layout, number: Written) -> Iterator[Hypothesis]:
    """Yield a slot that was measured over its ends."""
    rod = layout.rods[number.about.name]
    new = number.value - (rod.joint_diameter or PIN)
    if new > 0 and number.usual(new):
        clause = f"the slot of rod `{rod.name}` was measured over its ends"
        change = 1 - new / number.value
        yield changed(number, new, "slot ends", clause, change)


def _from_other_end(layout: Layout, number: Written) -> Iterator[Hypothesis]:
    """Yield what is lost, taken as the way to the end that does not drive."""
    rod = layout.rods[number.about.name]
    if rod.slot and rod.slot != number.value:
        clause = f"{number.what} is the way to the end that does not drive"
        new = rod.slot - number.value
        change = abs(new - number.value) / rod.slot
        yield changed(number, new, "slot end", clause, change)


def _to_other_end(layout: Layout, number: Written) -> Iterator[Hypothesis]:
    """Yield the length of a rod that was measured to the other end of its slot."""
    rod = layout.rods[number.about.name]
    if not rod.slot:
        return
    try:
        ways = [1 if assemble(layout).loop(rod.name).carries > 0 else -1]
    except LinkageError:
        ways = [1, -1]  # which end drives cannot be told
    for way in ways:
        new = number.value + way * rod.slot
        if new > rod.slot and number.usual(new):
            clause = (
                f"rod `{rod.name}` was measured to the end of its slot that does not "
                "drive"
            )
            yield changed(number, new, "slot end", clause, rod.slot / number.value)


def _of_its_slot(layout: Layout, number: Written) -> Iterator[Hypothesis]:
    """Yield a length that is that of a slot in the rod, which is cut to fit."""
    rod = layout.rods[number.about.name]
    as_slot = replace(number, size="slot")
    if rod.loose or rod.gives or rod.fixed or not as_slot.usual(number.value):
        return
    size = say_round(number.value, "length")
    yield Hypothesis(
        kind="slot length",
        about=number.about,
        key=number.key,
        clause=f"`length` of rod `{rod.name}` is that of its slot",
        then=f"`slot` is {size}, and the rod is cut to fit",
        old=number.value,
        new=number.value,
        unit="length",
        sets={("rods", rod.name): replace(rod, length=None, slot=number.value)},
        change=1.0,
    )
