"""Connect: what joins two shafts, one file each.

A new one is a part of the layout with a name and two holes (as `model.Rod`), a
class with the methods of `Connector`, and its line in `KINDS`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.connect.connector import Connector, Drawn, Line, Pair
from linkage.connect.line import RodLine
from linkage.connect.rod import RodConnector
from linkage.model import Rod

if TYPE_CHECKING:
    from linkage.model import Layout, Link
    from linkage.model.columns import Number

#: The connector of every kind of part that joins two shafts.
KINDS: Final[dict[type, type[Connector]]] = {Rod: RodConnector}


def join(layout: Layout, link: Link, turn: Number) -> Connector:
    """Put the part of a link together; see `Connector.join`."""
    return KINDS[type(link.rod)].join(layout, link, turn)


__all__ = [
    "KINDS",
    "Connector",
    "Drawn",
    "Line",
    "Pair",
    "RodConnector",
    "RodLine",
    "join",
]
