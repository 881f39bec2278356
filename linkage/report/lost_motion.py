"""Rods that lose motion, in the list of rods, on the first screen and as plain data.

Not here: whether that is in order (`rules.slots`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.connect import LostMotion
from linkage.quantities import say
from linkage.report.tables import mm
from linkage.report.twins import AT_ONCE
from linkage.rules.slack import drives_from, left, opens_from
from linkage.rules.slots import slot_hole

if TYPE_CHECKING:
    from linkage.rules import Examined
    from linkage.search import Check


def _loop(check: Check, rod: str) -> tuple[Examined, LostMotion] | None:
    """Return a rod that loses motion, and the layout as what drives it sees it."""
    x = check.examined
    loop, by_hand = x.assembly.loop(rod), x.by_hand
    if loop.link.own is not None and by_hand is not None:
        x, loop = by_hand, by_hand.assembly.loop(rod)
    return (x, loop) if isinstance(loop, LostMotion) else None


def lost_motion(check: Check, rod: str) -> str:
    """Return what motion a rod loses, in words; empty where it loses none.

    Parameters
    ----------
    check : Check
        From `search.check`.
    rod : str
        Its name.
    """
    found = _loop(check, rod)
    if found is None:
        return ""
    x, loop = found
    part = loop.link.rod
    kind = f"can only {part.only}"
    if not part.only:
        kind = f"slot {say(part.slot, 'length')} at `{slot_hole(part)}`"
    return f"{kind}, {_begins(drives_from(x, loop), _input(x))}"


def _input(x: Examined) -> str:
    return "pad" if x.layout.foot is None else "hand lever"


def _begins(place: float, what: str) -> str:
    if not place >= 0:
        return "never drives"
    if place < AT_ONCE:
        return "drives at once"
    return f"drives from {what} {say(place, 'length')} on"


def lost_motion_data(check: Check, rod: str) -> dict[str, Any]:
    """Return the same as plain data; nothing where it loses none."""
    found = _loop(check, rod)
    if found is None:
        return {}
    x, loop = found
    part, place = loop.link.rod, drives_from(x, loop)
    lost = float(left(x, loop)[..., 0])
    slot = {"slot_mm": mm(part.slot), "slot_at": str(slot_hole(part))}
    return {
        **({"only": part.only} if part.only else slot),
        "lost_at_rest_mm": mm(lost),
        f"drives_from_{_input(x).replace(' ', '_')}_mm": mm(place),
    }


def starts(check: Check) -> str:
    """Return from which pad travel each plate opens; empty where all do at once.

    Parameters
    ----------
    check : Check
        From `search.check`.
    """
    plates = check.examined.layout.plates
    places = {plate.name: opens_from(check.examined, plate.name) for plate in plates}
    told = {
        name: f"from pad {say(place, 'length')} on" if place >= 0 else "never"
        for name, place in places.items()
        if not place < AT_ONCE
    }
    if len(plates) == 1:
        return "".join(told.values())
    return ", ".join(f"`{name}` {text}" for name, text in told.items())
