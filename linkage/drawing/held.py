"""Levers that their stops hold while the rod would take them on.

A rod that pushes a lever against its idle stop, or past its full stop, cannot
take it along: the lever stands at its stop and the rod is forced away from it.
The motion follows the rods; here is where the levers stand.

Not here: how it is drawn (`pose`), what rules say of it (`rules`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Less than this beyond a stop is play and measuring. [rad]
BEYOND: Final = float(np.radians(0.3))


def beyond(motion: Motion, throttle: str) -> FloatArray:
    """Return how far rods would take a lever beyond its stops, shape (n,). [rad].

    Parameters
    ----------
    motion : Motion
        Of one layout.
    throttle : str
        Its name.

    Returns
    -------
    ndarray
        Negative beyond the idle stop, positive beyond the full one, 0 between.
    """
    opening = np.asarray(motion.opening(throttle), float)
    swing = float(motion.assembly.layout.throttles[throttle].swing)
    over = np.where(opening < 0, opening, np.maximum(opening - swing, 0.0))
    return np.where(np.abs(over) > BEYOND, over, np.where(np.isnan(over), over, 0.0))


def held_words(over: float) -> str:
    """Return what is said of a lever that is held; empty where it is not.

    >>> held_words(-0.1), held_words(0.1), held_words(0.0)
    ('pushed against its idle stop', 'pushed against its full stop', '')
    """
    if over == 0 or not np.isfinite(over):
        return ""
    return f"pushed against its {'idle' if over < 0 else 'full'} stop"


def held_turns(motion: Motion) -> dict[str, FloatArray]:
    """Return the turn of every shaft as the stops hold it, each shape (n,). [rad].

    Parameters
    ----------
    motion : Motion
        Of one layout, pad positions rising.
    """
    layout = motion.assembly.layout
    turns = {name: np.asarray(motion.turns[name], float) for name in layout.shafts}
    for name, throttle in layout.throttles.items():
        over = beyond(motion, name)
        if not np.nan_to_num(over).any():
            continue
        turns[throttle.shaft] = turns[throttle.shaft] - throttle.opens * over
        for shaft in below(layout, throttle.shaft):
            turns[shaft] = _waiting(turns[shaft], over)
    return turns


def held_by_rod(motion: Motion) -> Mapping[str, FloatArray]:
    """Return, by the rod that drives a held lever, how far it is beyond its stop."""
    driver = {link.driven.shaft: link.rod.name for link in motion.assembly.layout.links}
    out = {}
    for name, throttle in motion.assembly.layout.throttles.items():
        over = beyond(motion, name)
        if np.nan_to_num(over).any() and throttle.shaft in driver:
            out[driver[throttle.shaft]] = over
    return out


def below(layout: Layout, shaft: str) -> list[str]:
    """Return the shafts that another one drives, directly or not."""
    out = [shaft]
    for link in layout.links:  # from the pedal outward
        if link.driver.shaft in out:
            out.append(link.driven.shaft)
    return out[1:]


def _waiting(turns: FloatArray, over: FloatArray) -> FloatArray:
    """Return turns of a shaft below a held one: where the stop was met, it waits."""
    out, free = turns.copy(), np.flatnonzero(over == 0)
    if not len(free):
        return out
    for i in np.flatnonzero(np.nan_to_num(over)):
        before = free[free < i]
        out[i] = turns[before[-1] if len(before) else free[0]]
    return out
