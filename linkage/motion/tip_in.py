"""Where the plates begin to move, and how much the first tenth of travel gives.

Not here: whether that is touchy (`rules`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import first, greater, is_column, last, lesser
from linkage.motion.sweep import pads, sweep_clear
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model import Layout
    from linkage.model.columns import Number
    from linkage.motion.assembly import Assembly
    from linkage.motion.working import Working

#: Share of the way from there to the end over which the start is judged.
SHARE: Final = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class TipIn:
    """The start of the travel.

    Parameters
    ----------
    start, end : float or column
        Pad travels between which it is taken: from where the plates begin to
        move, over a tenth of the way to where the pedal stops. [m]
    ratio : float or column
        Mean throttle a metre of pad between them; 0 where there is no way. [rad/m]
    """

    start: Number
    end: Number
    ratio: Number


def first_move(layout: Layout, working: Working) -> Number:
    """Return the pad travel at which the plates begin to move.

    That is after the pedal's free play and after the last lever leaves its idle
    stop. A lever that rests on its stop leaves it some way after the free play,
    and the working travel counts that from the pedal's own rest already. Where a rod
    to the main plate loses motion, it is after that is taken up.

    Parameters
    ----------
    layout : Layout
        With its pedal.
    working : Working
        Its working travel.

    Returns
    -------
    float or column
        At most the end of the working travel. [m]
    """
    begins = greater(greater(working.start, layout.pedal.free_play), working.picked_up)
    return lesser(begins, working.end)


def tip_in(assembly: Assembly, working: Working) -> TipIn:
    """Return how much throttle the first tenth of the travel gives.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its working travel.

    Returns
    -------
    TipIn
        Of the main throttle, between its stops.
    """
    layout = assembly.layout
    start = first_move(layout, working)
    end = start + SHARE * (working.end - start)
    angle = sweep_clear(assembly, pads(start, end)).between_stops(layout.main.name)
    turned = last(angle) - first(angle)
    if not is_column(end):
        ratio = float(turned) / (end - start) if end > start else 0.0
        return TipIn(start=start, end=end, ratio=ratio)
    with np.errstate(invalid="ignore", divide="ignore"):
        ratio = np.where(end <= start, 0.0, turned / (end - start))
    return TipIn(start=start, end=end, ratio=ratio)
