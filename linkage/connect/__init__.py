"""Connect: what joins two shafts, one file each.

A new one is a part of the layout with a name and two holes (as `model.Rod`), a
class with the methods of `Connector`, and its line in `KINDS`.

Not here: chains of them (`motion`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.connect.cable import CableConnector
from linkage.connect.cable_line import CableLine
from linkage.connect.cam import CamConnector
from linkage.connect.cam_line import CamLine
from linkage.connect.connector import Connector, Drawn, Line, Pair
from linkage.connect.line import RodLine
from linkage.connect.lost_motion import LostMotion
from linkage.connect.over_travel import OverTravel
from linkage.connect.push import CamPush
from linkage.connect.rod import RodConnector
from linkage.connect.slid import SlidRod, firm_rod
from linkage.model import Cable, Cam, Rod

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.model import Layout, Link
    from linkage.model.columns import Number


def _of_rod(rod: Rod) -> type[Connector]:
    if rod.gives:
        return OverTravel
    return LostMotion if rod.loose else RodConnector


def _of_cable(cable: Cable) -> type[Connector]:
    return LostMotion if cable.loose else CableConnector


def _of_cam(_: Cam) -> type[Connector]:
    return CamPush


#: The connector of every kind of part that joins two shafts, by the part.
KINDS: Final[dict[type, Callable[[Any], type[Connector]]]] = {
    Rod: _of_rod,
    Cable: _of_cable,
    Cam: _of_cam,
}


def join(layout: Layout, link: Link, turn: Number, way: Number) -> Connector:
    """Put the part of a link together; see `Connector.join`."""
    kind = KINDS[type(link.rod)](link.rod)
    if kind is RodConnector:
        kind = firm_rod(layout, link)
    return kind.join(layout, link, turn, way)


__all__ = [
    "KINDS",
    "CableConnector",
    "CableLine",
    "CamConnector",
    "CamLine",
    "CamPush",
    "Connector",
    "Drawn",
    "Line",
    "LostMotion",
    "OverTravel",
    "Pair",
    "RodConnector",
    "RodLine",
    "SlidRod",
    "join",
]
