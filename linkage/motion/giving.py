"""From which pad position over-travel springs give, and plates stand at full.

Not here: how far they have given (`motion.frame`), the rest of the travel (`working`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import some
from linkage.motion.stops import first_met, opens_by, turns_by

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model.columns import Number
    from linkage.motion.assembly import Assembly
    from linkage.motion.working import Working

#: Turn short of a stop at which a lever counts as on it. [rad]
ON: Final = 1e-9


def gives_from(assembly: Assembly, working: Working) -> Mapping[str, Number]:
    """Return by rod with an over-travel spring where that begins to give. [m].

    Parameters
    ----------
    assembly : Assembly
        One layout, or many as rows.
    working : Working
        Its working travel.

    Returns
    -------
    dict of str to float or column
        Pad travel; nan where it does not within the working travel.
    """
    found = {}
    for loop in assembly.loops:
        link, stop = loop.link, loop.spares
        if stop is not None:
            measure = turns_by(link.driven.shaft, stop, ON)
            found[link.rod.name] = first_met(assembly, measure, working.end)
    return found


def full_from(assembly: Assembly, working: Working) -> Number:
    """Return the pad travel at which the main throttle reaches its full stop. [m].

    Float or column, nan where it does not within the working travel. It is the end of
    that, but where an over-travel spring lets the pedal go on.
    """
    main = assembly.layout.main
    measure = opens_by(assembly.layout, main.name, main.swing - ON)
    return first_met(assembly, measure, working.end)


def spares_main(assembly: Assembly) -> bool:
    """Tell whether an over-travel spring on the way to the main throttle can give."""
    return bool(can_give(assembly, assembly.layout.main.shaft))


def can_give(assembly: Assembly, shaft: str) -> tuple[str, ...]:
    """Return the rods on the way to a shaft with an over-travel spring that can give.

    One of which the lever has no stop to give against cannot: it is stiff.
    """
    way = [link.rod.name for link in assembly.layout.path_to(shaft)]
    stops = [assembly.loop(rod).spares for rod in way]
    return tuple(
        rod
        for rod, stop in zip(way, stops, strict=True)
        if stop is not None and some(np.isfinite(stop))
    )
