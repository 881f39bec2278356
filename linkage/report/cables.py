"""Cables in the list of rods, in words and as plain data, and what is not known of them.

Not here: rods (`report.findings`), whether a cable is in order (`rules.cables`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.model import Cable
from linkage.model.columns import first
from linkage.quantities import say
from linkage.report.lost_motion import lost_motion
from linkage.report.tables import mm
from linkage.rules.sheath_moved import unknown_length

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from linkage.connect import Connector
    from linkage.model import Layout
    from linkage.search import Check


def _ends(check: Check, loop: Connector) -> dict[str, float]:
    """Return the free wire at rest by the arm at which it is. [m]."""
    line: Any = check.examined.lines[loop.link.rod.name]
    return {
        str(hole): float(first(run))
        for hole, run in zip(loop.link.holes, line.runs, strict=True)
    }


def cable_text(check: Check, loop: Connector) -> str:
    """Return how much wire of a cable is free, where, and how it came about.

    Parameters
    ----------
    check : Check
        From `search.check`.
    loop : Connector
        The cable as it is put together.
    """
    cable = loop.link.rod
    how = "set by its adjuster" if cable.length is None else "as given"
    ends = _ends(check, loop)
    places = " and ".join(
        f"{say(run, 'length')} at {hole}" for hole, run in ends.items()
    )
    text = f"{cable.name}: {say(loop.length, 'length')} ({how})"
    if not cable.only:
        return f"{text}, {places}; pulls and pushes"
    slack = max(loop.length - sum(ends.values()), 0.0)
    return (
        f"{text}, {say(slack, 'length')} of it slack, {places} when taut; "
        f"{lost_motion(check, cable.name)}"
    )


def cable_data(check: Check, loop: Connector) -> dict[str, Any]:
    """Return a cable's free wire by arm and its sheath's length; nothing of a rod."""
    cable = loop.link.rod
    if not isinstance(cable, Cable):
        return {}
    return {
        "free_wire_mm": {hole: mm(run) for hole, run in _ends(check, loop).items()},
        "sheath_mm": mm(float(cable.sheathed)),
    }


#: The worst that a cable can do: told of every one.
WIRE_JAMS: Final = (
    "a wire that frays, rusts or jams in its sheath, which no spring at the spindle "
    "overcomes"
)
#: What of a cable cannot be judged, and of which; what comes first of all of them.
_UNKNOWN: Final[tuple[tuple[str, Callable[[Layout, Cable], bool]], ...]] = (
    (
        WIRE_JAMS,
        lambda *_: True,
    ),
    ("the hold of nipples on their wire", lambda *_: True),
    (
        "how sharp a sheath is bent: `sheath_through` not given",
        lambda _, c: not c.through,
    ),
    (
        "a sheath that the moved engine pulls straight: `sheath_length` not given",
        unknown_length,
    ),
    (
        "the push that a cable bears: `push_limit` not given",
        # Of a governor it is not judged in any case, which is told.
        lambda x, c: not (x.governed or c.only or c.push_limit > 0),
    ),
    (
        "the stroke of a push-pull cable: `stroke` not given",
        lambda _, c: not c.only and not c.stroke > 0,
    ),
)


def bending(text: str, kinds: Mapping[str, str]) -> str:
    """Return what bends, of a list with ``rods``, which are left out where none are."""
    return text.replace("rods, ", "") if {*kinds.values()} == {"cable"} else text


def cables_of(layout: Layout) -> list[Cable]:
    """Return the cables of a layout, in the file's order."""
    return [c for c in layout.rods.values() if isinstance(c, Cable)]


def unjudged_cables(layout: Layout) -> Iterator[str]:
    """Yield what of a layout's cables no rule judges, each with their names.

    Parameters
    ----------
    layout : Layout
        One.
    """
    cables = cables_of(layout)
    for what, unknown in _UNKNOWN:
        if names := ", ".join(f"`{c.name}`" for c in cables if unknown(layout, c)):
            yield f"{what}: {names}" if ":" not in what else f"{what} for {names}"
