"""Rules about the engine rocking on its mounts: it must not work the throttle.

Not here: where the rocked engine holds its parts (`motion.rock`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.errors import LinkageError
from linkage.motion import sweep
from linkage.motion.rock import rocked
from linkage.quantities import say
from linkage.rules.finding import Finding, Verdict

if TYPE_CHECKING:
    from linkage.model import Throttle
    from linkage.rules.examine import Examined

CODES: Final = frozenset({"engine-rock", "mount-gone"})


def moved(x: Examined, throttle: Throttle, *, roll: float = 0.0, lift: float = 0.0) -> tuple[float, float]:  # fmt: skip
    """Return how far the rocked engine moves a throttle, pedal held.

    Parameters
    ----------
    x : Examined
        The layout, engine level.
    throttle : Throttle
        Which of its throttles.
    roll, lift : float
        Of the engine. [rad], [m]

    Returns
    -------
    tuple of 2 floats
        With the pedal up and at the end of the working travel, positive
        opening; nan where a rod does not reach any more. [rad]
    """
    ends = np.array([x.working.start, x.working.end])
    before = sweep(x.assembly, ends).opening(throttle.name)
    try:
        after = sweep(rocked(x.assembly, roll=roll, lift=lift), ends)
    except LinkageError:
        return math.nan, math.nan
    change = after.opening(throttle.name) - before
    return float(change[0]), float(change[1])


def rock_findings(x: Examined) -> list[Finding]:
    """Judge what the engine's roll and a lost mount do to every plate.

    Silent where the layout does not say what rocks, or how far.
    """
    engine = x.layout.engine
    if not engine.carries or not x.working.end > x.working.start:
        return []
    out = []
    for throttle in x.layout.throttles.values():
        if throttle.kind != "plate":
            continue
        if engine.roll and engine.axis is not None:
            out.append(_rolling(x, throttle))
        if engine.lift:
            out.append(_lifted(x, throttle))
    return out


def _verdict(x: Examined, value: float) -> tuple[Verdict, float]:
    limits = x.layout.limits
    if not value <= limits.engine_rock_refuse:  # nan: a rod tears or jams
        return "do not fit", limits.engine_rock_refuse
    if value > limits.engine_rock_look:
        return "look", limits.engine_rock_look
    return "fits", limits.engine_rock_look


def _rolling(x: Examined, throttle: Throttle) -> Finding:
    roll = x.layout.engine.roll
    both = [moved(x, throttle, roll=sign * roll) for sign in (1, -1)]
    value = float(np.max(np.abs(both)))  # nan stays nan
    verdict, limit = _verdict(x, value)
    if math.isnan(value):
        text = f"with the engine rolled {say(roll, 'angle')} a rod to it does not reach any more: it tears or jams"  # fmt: skip
    else:
        idle = " and ".join(say(one[0], "angle") for one in both)
        full = " and ".join(say(one[1], "angle") for one in both)
        text = (
            f"the engine rolled {say(roll, 'angle')} either way moves {throttle.name} by "
            f"{idle} with the pedal up, by {full} with it down; over "
            f"{say(x.layout.limits.engine_rock_look, 'angle')} asks for a look, over "
            f"{say(x.layout.limits.engine_rock_refuse, 'angle')} is bad"
        )
    return Finding(
        code="engine-rock",
        verdict=verdict,
        where=f"{throttle.name}, pedal up and down",
        value=value,
        limit=limit,
        kind="angle",
        text=text,
    )


def _lifted(x: Examined, throttle: Throttle) -> Finding:
    lift = x.layout.engine.lift
    idle, _ = moved(x, throttle, lift=lift)
    value = max(idle, 0.0) if math.isfinite(idle) else idle
    verdict, limit = _verdict(x, value)
    if math.isnan(value):
        text = f"with the engine lifted {say(lift, 'length')} a rod to it does not reach any more: it tears or jams"  # fmt: skip
    else:
        way = "opens" if idle > 0 else "does not open"
        by = f" by {say(idle, 'angle')}" if idle > 0 else ""
        text = (
            f"an engine that lifts {say(lift, 'length')} off a lost mount {way} "
            f"{throttle.name}{by} with the pedal up; over "
            f"{say(x.layout.limits.engine_rock_refuse, 'angle')} is bad"
        )
    return Finding(
        code="mount-gone",
        verdict=verdict,
        where=f"{throttle.name}, pedal up",
        value=value,
        limit=limit,
        kind="angle",
        text=text,
    )
