"""Rules about the engine rocking on its mounts: it must not work the throttle.

Not here: where the rocked engine holds its parts (`motion.rock`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.columns import Number, pick
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.rule import (
    JAM,
    SHUT,
    Outcome,
    Rule,
    Short,
    Silence,
    graded,
    the_plate,
)
from linkage.rules.states import looked_at, movement, moves_some, seen, states

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from linkage.model import Throttle
    from linkage.rules.examine import Examined

#: Where a rod jams the travel means nothing; near dead centre any movement at all is
#: too much.
_SILENCED: Final = (SHUT, JAM, Silence(by="arm-rod-angle"))


def _lost(o: Outcome) -> str:
    return f"a {o.a_rod} to it does not reach any more: it tears or jams"


def moved(x: Examined, throttle: Throttle) -> NDArray[np.float64]:
    """Return how far the moved engine moves a throttle, pedal held anywhere.

    Parameters
    ----------
    x : Examined
        The layout, engine at rest; with an engine that moves.
    throttle : Throttle
        Which of its throttles.

    Returns
    -------
    ndarray, shape (movements, rows, n)
        By movement of `states.movements`, at the positions of ``x``, positive
        opening; nan where a rod does not reach any more. [rad]
    """
    engine = states(x)
    if engine is None:
        msg = "the engine does not move"
        raise ValueError(msg)
    was = x.motion.opening(throttle.name)
    was = np.broadcast_to(was, (x.rows, was.shape[-1]))
    return engine.positions(engine.held.opening(throttle.name)) - was


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


def _which(x: Examined, *, lifted: bool) -> list[int]:
    """Return the movements with a mount lost, or those that but roll."""
    moves = looked_at(x.layout, x.grain)
    return [i for i, (_, lift) in enumerate(moves) if (lift != 0) == lifted]


def _rolling(x: Examined) -> Iterator[Outcome]:
    which, limits = _which(x, lifted=False), x.layout.limits
    engine = states(x)
    if engine is None or not which or not moves_some(x.layout):
        return
    for plate in x.layout.plates:
        change = moved(x, plate)[which]
        by = np.abs(change).max(axis=0)  # nan where a rod does not reach
        worst = by.argmax(axis=-1)
        at = np.take_along_axis(by, worst[:, None], axis=-1)[:, 0]
        travel = np.broadcast_to(x.motion.pad_travel, by.shape)
        place = np.take_along_axis(travel, worst[:, None], axis=-1)[:, 0]
        yield Outcome(
            about=Ref("throttle", plate.name),
            **_judged(x, engine.number(at)),
            at=engine.number(place),
            facts={
                "roll": x.layout.engine.roll,
                "idle": tuple(engine.number(way[:, 0]) for way in change),
                "full": tuple(engine.number(way[:, -1]) for way in change),
                "look": limits.engine_rock_look,
                "refuse": limits.engine_rock_refuse,
            },
        )


def _rolling_words(o: Outcome) -> str:
    f = o.facts
    if math.isnan(o.value):
        return f"with the engine rolled {say(f['roll'], 'angle')} {_lost(o)}"
    idle, full = (
        " and ".join(say(change, "angle") for change in f[end])
        for end in ("idle", "full")
    )
    return (
        f"the engine rolled {say(f['roll'], 'angle')} either way moves {o.about.name} by "
        f"{say(o.value, 'angle')} at most, at pad {say(o.at, 'length')}: by {idle} with the "
        f"pedal up, by {full} with it down; over {say(f['look'], 'angle')} asks for a look, "
        f"over {say(f['refuse'], 'angle')} is bad"
    )


def _rolling_short(o: Outcome) -> Short:
    f, name = o.facts, the_plate(o.about.name)
    rolled = f"rolled {say(f['roll'], 'angle')} either way"
    if math.isnan(o.value):
        return f"with the engine {rolled} a {o.a_rod} to {name} tears or jams", ""
    return (
        f"the rocking engine moves {name} by {say(o.value, 'angle')}",
        f"{rolled}; up to {say(f['look'], 'angle')} is in order",
    )


ENGINE_ROCK: Final = Rule(
    name="the rocking engine",
    short=_rolling_short,
    code="engine-rock",
    needs="rock",
    judge=_rolling,
    words=_rolling_words,
    meaning="How far the engine, rolled either way as `[engine]` says, moves each plate "
    "with the pedal held anywhere in its travel. The rods keep their length.",
    verdicts="fits, look, or do not fit",
    limits=("engine_rock_look", "engine_rock_refuse"),
    silenced_by=_SILENCED,
    cures=("bracket", "sheath held", "steady", "slot longer", "rod lost"),
    cure="a shaft bracketed to the body instead of the engine, the end of a sheath held "
    "where its arm is carried, an engine steady, or a slot made longer",
)


def _lifted(x: Examined) -> Iterator[Outcome]:
    which, engine = _which(x, lifted=True), states(x)
    if engine is None or not which or not moves_some(x.layout):
        return
    for plate in x.layout.plates:
        change = np.maximum(moved(x, plate)[which], 0.0)  # keeps nan
        flat = change.transpose(1, 0, 2).reshape(x.rows, -1)
        worst = flat.argmax(axis=-1)
        movement, position = np.divmod(worst, change.shape[-1])
        value = np.take_along_axis(flat, worst[:, None], axis=-1)[:, 0]
        travel = np.broadcast_to(x.motion.pad_travel, change.shape[1:])
        place = np.take_along_axis(travel, position[:, None], axis=-1)[:, 0]
        row = np.array(which)[movement] * x.rows + np.arange(x.rows)
        yield Outcome(
            about=Ref("throttle", plate.name),
            **_judged(x, engine.number(value)),
            at=engine.number(place),
            facts={
                "roll": engine.number(engine.over(engine.roll).ravel()[row]),
                "lift": engine.number(engine.over(engine.lift).ravel()[row]),
                "seen": seen(x),
                "refuse": x.layout.limits.engine_rock_refuse,
            },
        )


def _lifted_words(o: Outcome) -> str:
    f = o.facts
    where = movement(f["roll"], f["lift"], f["seen"])
    if math.isnan(o.value):
        return f"with the engine {where} {_lost(o)}"
    if not o.value > 0:
        return f"an engine off a lost mount, rolled too, does not open {o.about.name}"
    return (
        f"an engine {where} opens {o.about.name} by {say(o.value, 'angle')} at pad "
        f"{say(o.at, 'length')}; over {say(f['refuse'], 'angle')} is bad"
    )


def _lifted_short(o: Outcome) -> Short:
    f, name = o.facts, the_plate(o.about.name)
    where = movement(f["roll"], f["lift"], f["seen"])
    if math.isnan(o.value):
        return f"with the engine {where} a {o.a_rod} to {name} tears or jams", ""
    if not o.value > 0:
        return f"an engine off a lost mount does not open {name}", ""
    return (
        f"an engine off a lost mount opens {name} by {say(o.value, 'angle')}",
        f"{where}; over {say(f['refuse'], 'angle')} is bad",
    )


MOUNT_GONE: Final = Rule(
    name="a lost engine mount",
    short=_lifted_short,
    code="mount-gone",
    needs="rock",
    judge=_lifted,
    words=_lifted_words,
    meaning="How far an engine that rises or sinks off a lost mount, rolled or not, opens "
    "each plate with the pedal held anywhere in its travel.",
    verdicts="fits, look, or do not fit",
    limits=("engine_rock_look", "engine_rock_refuse"),
    silenced_by=_SILENCED,
    cures=("bracket", "sheath held", "catch", "slot longer", "rod lost"),
    cure="a shaft bracketed to the body, the end of a sheath held where its arm is "
    "carried, a chain that catches the engine, or a slot made longer",
)
