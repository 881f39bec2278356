"""Rules about the engine rocking on its mounts: it must not work the throttle.

Not here: where the rocked engine holds its parts (`motion.rock`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import LinkageError
from linkage.model.columns import Number, first, greater, last, pick
from linkage.model.refs import Ref
from linkage.motion.rock import rocked
from linkage.motion.sweep import pads, sweep
from linkage.quantities import say
from linkage.rules.rule import JAM, SHUT, Outcome, Rule, Silence, fixed, graded

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Throttle
    from linkage.motion import Motion
    from linkage.rules.examine import Examined

#: Where a rod jams the travel means nothing; near dead centre any movement at all is
#: too much.
_SILENCED: Final = (SHUT, JAM, Silence(by="arm-rod-angle"))
_LOST: Final = "a rod to it does not reach any more: it tears or jams"


def moved(
    x: Examined, throttle: Throttle, *, roll: Number = 0.0, lift: Number = 0.0
) -> tuple[Number, Number]:
    """Return how far the rocked engine moves a throttle, pedal held.

    Parameters
    ----------
    x : Examined
        The layout, engine level.
    throttle : Throttle
        Which of its throttles.
    roll, lift : float or column
        Of the engine. [rad], [m]

    Returns
    -------
    tuple of 2 floats or columns
        With the pedal up and at the end of the working travel, positive
        opening; nan where a rod does not reach any more. [rad]
    """
    return _change(x, throttle, _rocked(x, roll=roll, lift=lift))


def _rocked(x: Examined, *, roll: Number = 0.0, lift: Number = 0.0) -> Motion | None:
    """Return both ends of the travel with the engine rocked; None if a rod tears."""
    ends = pads(x.working.start, x.working.end)
    try:
        return sweep(rocked(x.assembly, roll=roll, lift=lift), ends)
    except LinkageError:
        return None


def _change(
    x: Examined, throttle: Throttle, after: Motion | None
) -> tuple[Number, Number]:
    if after is None:
        return math.nan, math.nan
    now, was = after.opening(throttle.name), x.motion.opening(throttle.name)
    return first(now) - first(was), last(now) - last(was)


def _judged(x: Examined, value: Number) -> dict[str, Any]:
    """Return value, rank and limit; nan where a rod tears or jams."""
    limits = x.layout.limits
    good, bad = limits.engine_rock_look, limits.engine_rock_refuse
    return {
        "rank": graded(value <= good, value <= bad),
        "value": value,
        "limit": pick(value <= bad, good, bad),
        "kind": "angle",
    }


def _rolling(x: Examined) -> Iterator[Outcome]:
    engine, limits = x.layout.engine, x.layout.limits
    if not engine.carries or engine.axis is None or not np.any(engine.roll):
        return
    ways = [_rocked(x, roll=sign * engine.roll) for sign in (1, -1)]
    for plate in x.layout.plates:
        one, two = (_change(x, plate, after) for after in ways)
        by = [abs(change) for change in (*one, *two)]
        yield Outcome(
            about=Ref("throttle", plate.name),
            **_judged(x, np.maximum.reduce(np.broadcast_arrays(*by))),
            facts={
                "roll": engine.roll,
                "idle": (one[0], two[0]),
                "full": (one[1], two[1]),
                "look": limits.engine_rock_look,
                "refuse": limits.engine_rock_refuse,
            },
        )


def _rolling_words(o: Outcome) -> str:
    f = o.facts
    if math.isnan(o.value):
        return f"with the engine rolled {say(f['roll'], 'angle')} {_LOST}"
    idle, full = (
        " and ".join(say(change, "angle") for change in f[end])
        for end in ("idle", "full")
    )
    return (
        f"the engine rolled {say(f['roll'], 'angle')} either way moves {o.about.name} by "
        f"{idle} with the pedal up, by {full} with it down; over "
        f"{say(f['look'], 'angle')} asks for a look, over {say(f['refuse'], 'angle')} is bad"
    )


ENGINE_ROCK: Final = Rule(
    code="engine-rock",
    needs="rock",
    judge=_rolling,
    words=_rolling_words,
    place=fixed("pedal up and down"),
    meaning="How far the engine, rolled either way as `[engine]` says, moves each plate "
    "with the pedal held up and held down. The rods keep their length.",
    verdicts="fits, look, or do not fit",
    limits=("engine_rock_look", "engine_rock_refuse"),
    silenced_by=_SILENCED,
    cures=("bracket", "steady"),
    cure="a shaft bracketed to the body instead of the engine, or an engine steady",
)


def _lifted(x: Examined) -> Iterator[Outcome]:
    engine = x.layout.engine
    if not engine.carries or not np.any(engine.lift):
        return
    after = _rocked(x, lift=engine.lift)
    for plate in x.layout.plates:
        idle, _ = _change(x, plate, after)
        yield Outcome(
            about=Ref("throttle", plate.name),
            **_judged(x, pick(np.isnan(idle), idle, greater(idle, 0.0))),
            facts={
                "lift": engine.lift,
                "idle": idle,
                "refuse": x.layout.limits.engine_rock_refuse,
            },
        )


def _lifted_words(o: Outcome) -> str:
    f = o.facts
    if math.isnan(o.value):
        return f"with the engine lifted {say(f['lift'], 'length')} {_LOST}"
    way = "opens" if f["idle"] > 0 else "does not open"
    by = f" by {say(f['idle'], 'angle')}" if f["idle"] > 0 else ""
    return (
        f"an engine that lifts {say(f['lift'], 'length')} off a lost mount {way} "
        f"{o.about.name}{by} with the pedal up; over {say(f['refuse'], 'angle')} is bad"
    )


MOUNT_GONE: Final = Rule(
    code="mount-gone",
    needs="rock",
    judge=_lifted,
    words=_lifted_words,
    place=fixed("pedal up"),
    meaning="How far an engine that lifts off a lost mount opens each plate with the "
    "pedal up.",
    verdicts="fits, look, or do not fit",
    limits=("engine_rock_look", "engine_rock_refuse"),
    silenced_by=_SILENCED,
    cures=("bracket", "catch"),
    cure="a shaft bracketed to the body, or a chain that catches the engine",
)
