"""How long a rod is, as the one who makes it measures it: where its own input drives.

One on the way to the input that waits is solved from the far end of its slot
(`model.inputs`); to cut it, it is measured to the pin at the end that drives.

Not here: how a rod moves (`connect`), its words (`search.said`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.model.columns import some

if TYPE_CHECKING:
    from linkage.connect import Connector
    from linkage.model.columns import Number, Truth


def made_length(loop: Connector) -> Number:
    """Return a rod's length where its own input drives it. [m].

    Parameters
    ----------
    loop : Connector
        Of an assembly, whichever input drives there.
    """
    return loop.length - loop.carries * _slot(loop)


def made_to_pull(loop: Connector) -> Truth:
    """Tell whether a rod that carries one way pulls where its own input drives it."""
    return loop.carries < 0 if some(_slot(loop) > 0) else loop.carries > 0


def _slot(loop: Connector) -> Number:
    """Return the way between both ends of its slot, of one solved from the far end."""
    own = loop.link.own
    return 0.0 if own is None or own.only else own.slot
