"""Two inputs: the rods on the way to the one that waits while the other drives.

The rods are a tree from the input that drives. Those on the way from where both meet to
the other input are driven against their use: with the pedal down their slots are used
from the end that the hand lever does not drive with. What is lost at rest is counted
from there, and the slot's own driving end is taken as far off: that it drives is judged
from the other input.

Not here: the layout as the hand sees it (`motion.by_hand`), what either input does to
the other (`rules.two_inputs`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.errors import LayoutError
from linkage.model.axes import add, norm
from linkage.model.columns import greater, pick, some
from linkage.model.most import half_a_turn

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model.columns import Truth
    from linkage.model.ends import Hand, Pedal, Throttle
    from linkage.model.model import Layout
    from linkage.model.rod import Rod
    from linkage.model.tree import Link

#: Share of a rod's length up to which the end of a slot that is judged elsewhere is
#: taken away from the pin.
AWAY: Final = 0.8


def refuse_shared(hand: Hand, pedal: Pedal, throttles: Mapping[str, Throttle]) -> None:
    """Refuse a hand lever on the pedal's shaft or on a spindle.

    Raises
    ------
    LayoutError
        If it is; `key` is that of the hand lever's shaft.
    """
    key = ("hand", "shaft")
    if hand.shaft == pedal.shaft:
        msg = f"the hand lever is on the pedal's own shaft `{hand.shaft}`"
        hint = (
            "on one shaft each would move the other: give the hand lever a shaft of its "
            "own, and a rod with a slot to the lever that the pedal moves"
        )
        raise LayoutError(msg, hint=hint, key=key)
    for name, throttle in throttles.items():
        if throttle.shaft == hand.shaft:
            msg = f"the hand lever is on `{hand.shaft}`, the shaft of {name}"
            hint = (
                "the pedal would move it: give it a shaft of its own, and a rod with a "
                "slot to that spindle"
            )
            raise LayoutError(msg, hint=hint, key=key)


def hand_turns(layout: Layout) -> Truth:
    """Return whether a hand lever turns no more than half way round, if there is one.

    Raises
    ------
    LayoutError
        If that of one layout turns further.
    """
    if (hand := layout.hand) is None:
        return True
    radius = layout.shafts[hand.shaft].arms[hand.lever].length
    return half_a_turn(hand.travel, radius, hand=True)


def with_waiting(layout: Layout, links: tuple[Link, ...]) -> tuple[Link, ...]:
    """Return links with those on the way to another input marked and turned round.

    Parameters
    ----------
    layout : Layout
        One or many.
    links : tuple of Link
        In driving order from the input that drives.

    Raises
    ------
    LayoutError
        If the pedal would always move the hand lever, or the plate hangs on its shaft.
    """
    if layout.waits is None:
        return links
    found = _turned_round(layout, links, layout.waits.shaft)
    if layout.hand is not None:
        _refuse_stiff(found)
    return found


def _turned_round(
    layout: Layout, links: tuple[Link, ...], other: str
) -> tuple[Link, ...]:
    by_driven = {link.driven.shaft: link for link in links}

    def way(shaft: str) -> list[str]:
        found = []
        while shaft in by_driven:
            found.append(shaft)
            shaft = by_driven[shaft].driver.shaft
        return found

    plates = {shaft for plate in layout.plates for shaft in way(plate.shaft)}
    alone = {shaft for shaft in way(other) if shaft not in plates}
    return tuple(
        replace(link, rod=_from_far_end(layout, link), own=link.rod)
        if link.driven.shaft in alone
        else link
        for link in links
    )


def _from_far_end(layout: Layout, link: Link) -> Rod:
    """Return a rod as the input that waits for it sees it.

    An over-travel spring is left out: stiff, it drags all the more.
    """
    rod = link.rod
    if rod.gives:
        return replace(rod, over_travel=0.0, over_travel_load=0.0, over_travel_rate=0.0)
    if not some(rod.slot > 0):
        return rod
    lost = pick(rod.slot > 0, rod.slot - rod.lost, 0.0)
    length = rod.length
    if length is None:
        one, two = (layout.shafts[h.shaft].pin(h.arm) for h in link.holes)
        length = norm(add(one, two, -1)) - lost
    slot = pick(rod.slot > 0, greater(rod.slot, AWAY * length), 0.0)
    return replace(rod, slot=slot, lost=lost)


def _refuse_stiff(links: tuple[Link, ...]) -> None:
    """Refuse a hand lever that no slot parts from the pedal, or in the pedal's hole."""
    to_hand = [link for link in links if link.own is not None]
    if not to_hand:
        msg = "the pedal moves the throttle through the hand lever's shaft"
        hint = (
            "pedal and hand lever each lead to the throttle by rods of their own: a rod "
            "with a slot from the hand lever to a lever that the pedal moves"
        )
        raise LayoutError(msg, hint=hint, key=("hand", "shaft"))
    first = to_hand[0]
    if not any(link.own.loose for link in to_hand if link.own is not None):
        msg = (
            f"{first.rod.called} leads to the hand lever and has no slot: the pedal "
            "would take the hand lever along"
        )
        hint = (
            "give it a `slot`, 48 mm at a usual carburettor lever, or what it can do "
            '`only`: `only = "pull"` for a wire or a hook'
        )
        if first.rod.kind == "cable":
            hint = "a cable that only pulls goes slack and lets the hand lever be"
        raise LayoutError(msg, hint=hint, key=first.rod.key)
    for link in links:
        if link.own is None and first.driver in link.holes:
            msg = (
                f"rods `{link.rod.name}` and `{first.rod.name}` are in one hole, "
                f"`{first.driver}`: pedal and hand lever would share a pin"
            )
            hint = "drill a second hole: give the lever another arm for the hand's rod"
            end = "from" if first.rod.start == first.driver else "to"
            raise LayoutError(msg, hint=hint, key=(*first.rod.key, end))
