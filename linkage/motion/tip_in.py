"""Where the plates begin to move, and how much the first tenth of travel gives.

Not here: whether that is touchy (`checks.travel`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.motion.sweep import sweep

if TYPE_CHECKING:
    from linkage.model import Layout
    from linkage.motion.assembly import Assembly
    from linkage.motion.working import Working

#: Share of the way from there to the end over which the start is judged.
SHARE: Final = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class TipIn:
    """The start of the travel.

    Parameters
    ----------
    start, end : float
        Pad travels between which it is taken: from where the plates begin to
        move, over a tenth of the way to where the pedal stops. [m]
    ratio : float
        Mean throttle a metre of pad between them; 0 where there is no way. [rad/m]
    """

    start: float
    end: float
    ratio: float


def first_move(layout: Layout, working: Working) -> float:
    """Return the pad travel at which the plates begin to move.

    That is after the pedal's free play and after the last lever leaves its idle
    stop. A lever that rests on its stop leaves it some way after the free play,
    and the working travel counts that from the pedal's own rest already.

    Parameters
    ----------
    layout : Layout
        With its pedal.
    working : Working
        Its working travel.

    Returns
    -------
    float
        At most the end of the working travel. [m]
    """
    return min(max(working.start, layout.pedal.free_play), working.end)


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
    angle = sweep(assembly, np.array([start, end])).between_stops(layout.main.name)
    ratio = float(angle[1] - angle[0]) / (end - start) if end > start else 0.0
    return TipIn(start=start, end=end, ratio=ratio)
