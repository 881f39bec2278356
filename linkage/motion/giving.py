"""From which pad position over-travel springs give, and plates stand at full.

Not here: how far they have given (`motion.frame`), the rest of the travel (`working`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import is_column
from linkage.motion.chain import Chain, some_rows
from linkage.motion.events import crossings, flat, over_rows
from linkage.motion.stops import opens_by

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.model.columns import Number, Positions
    from linkage.motion.assembly import Assembly
    from linkage.motion.chain import Solved
    from linkage.motion.events import Measure
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
            measure = _on_stop(link.driven.shaft, stop)
            found[link.rod.name] = _first(assembly, working, measure)
    return found


def full_from(assembly: Assembly, working: Working) -> Number:
    """Return the pad travel at which the main throttle reaches its full stop. [m].

    Float or column, nan where it does not within the working travel. It is the end of
    that, but where an over-travel spring lets the pedal go on.
    """
    main = assembly.layout.main
    return _first(
        assembly, working, opens_by(assembly.layout, main.name, main.swing - ON)
    )


def spares_main(assembly: Assembly) -> bool:
    """Tell whether an over-travel spring is in a rod on the way to the main throttle."""
    layout = assembly.layout
    way = layout.path_to(layout.main.shaft)
    return any(assembly.loop(link.rod.name).spares is not None for link in way)


def _on_stop(shaft: str, stop: Number) -> Measure:
    def measure(solved: Solved, rows: NDArray[np.intp]) -> Positions:
        here = some_rows(stop, rows) if is_column(stop) else stop
        turn = over_rows(solved.turn(shaft), len(rows))
        return np.sign(here) * (turn - here) + ON

    return measure


def _first(assembly: Assembly, working: Working, measure: Measure) -> Number:
    many = is_column(working.end)
    count = len(working.end) if many else 1
    end = flat(working.end, count)
    _, place = crossings(Chain.of(assembly), measure, np.zeros(count), end)
    return place[:, None] if many else float(place[0])
