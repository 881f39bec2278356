"""Rules about the time to idle, and whether any drag was measured.

Not here: torque against friction (`rules.shutting`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.forces import INTACT, return_limit
from linkage.model.columns import Number, all_of, pick
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.rule import (
    FITS,
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    fixed,
    ranked,
    the_plate,
)
from linkage.rules.shutting import MISPLACED, STRONGER

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.forces import Fall
    from linkage.model.columns import Truth
    from linkage.rules.examine import Examined


def _measured(x: Examined) -> Iterator[Outcome]:
    yield Outcome(
        about=Ref("all", "shafts"),
        rank=pick(x.forces.statics.unmeasured, LOOK, FITS),
        at=math.nan,
        facts={
            "measured": {
                n: s.drag >= 0 for n, s in x.layout.shafts.items() if s.drag is not None
            },
            "throttle": x.layout.main.shaft,
        },
    )


def _measured_words(o: Outcome) -> str:
    if o.rank:
        return "the drag of no shaft was measured: all friction is from usual values"
    names = ", ".join(f"`{n}`" for n, true in o.facts["measured"].items() if true)
    return f"drag was measured at {names}"


def _measured_advice(o: Outcome) -> str:
    if o.rank != LOOK:
        return ""
    return (
        f"with rods and springs off, pull `{o.facts['throttle']}` open with a spring "
        "balance at its lever's hole, then let it back: half the difference times the "
        "radius is its `drag`"
    )


DRAG: Final = Rule(
    name="measured drag",
    short=lambda o: (
        ("the drag of no shaft was measured", "all friction is from usual values")
        if o.rank
        else (_measured_words(o), "")
    ),
    task=lambda o: (
        f"measure the drag of `{o.facts['throttle']}` with a spring balance at its lever"
    ),
    code="drag-unmeasured",
    needs="forces",
    judge=_measured,
    words=_measured_words,
    advice=_measured_advice,
    meaning="Whether the drag of any shaft was measured. Where none was, all friction is "
    "from usual values.",
    verdicts="fits, or look",
    refuses=False,
    silenced_by=(SHUT, JAM),
)


def _hopeless(x: Examined, f: Fall) -> Truth:
    """Tell whether another rule says already that the plate does not shut."""
    r = x.forces.returns_of[f.throttle][f.failure]
    return r.unsprung | np.logical_not(all_of(r.ratio > 1))


def _time(x: Examined) -> Iterator[Outcome]:
    limit, why = return_limit(x.layout)
    by_plate: dict[str, list[Fall]] = {}
    for f in x.forces.falls:
        by_plate.setdefault(f.throttle, []).append(f)
    for plate, mine in by_plate.items():
        worst: dict[str, Any] = {"time": -math.inf, "index": 0}
        whole: Number = math.nan
        for i, f in enumerate(mine):
            told = np.logical_not(_hopeless(x, f)) & f.failure.applies
            if f.failure == INTACT:
                whole = pick(told, f.time, math.nan)
            more = told & (f.time > worst["time"])
            here = {
                "time": f.time,
                "index": i,
                "stuck": f.stuck_at,
                "estimated": f.estimated,
            }
            worst = {k: pick(more, v, worst.get(k, v)) for k, v in here.items()}
        time = worst["time"]
        yield Outcome(
            about=Ref("throttle", plate),
            applies=time > -math.inf,
            rank=ranked(time <= limit),
            value=time,
            limit=limit,
            kind="time",
            digits=1,
            facts={
                **worst,
                "failures": tuple(f.failure for f in mine),
                "whole": whole,
                "why": why,
            },
        )


def _time_words(o: Outcome) -> str:
    f = o.facts
    failure = f["failures"][int(f["index"])]
    slow = (
        f"comes to rest at pad {say(f['stuck'], 'length')}"
        if math.isinf(o.value)
        else f"is at idle after {say(o.value, 'time', 2)}"
    )
    besides = (
        ""
        if failure == INTACT or math.isnan(f["whole"])
        else f" ({say(f['whole'], 'time', 2)} with nothing failed)"
    )
    text = (
        f"let go at full, {o.about.name} {slow} with {failure.text}{besides}; up to "
        f"{say(o.limit, 'time', 1)} is allowed, {f['why']} (49 CFR 571.124 S5.3)"
    )
    return f"{text}; inertia estimated from sizes" if f["estimated"] else text


def _time_short(o: Outcome) -> Short:
    f, name = o.facts, the_plate(o.about.name)
    failed = f["failures"][int(f["index"])].brief
    if math.isinf(o.value):
        stuck = say(f["stuck"], "length")
        return (
            f"let go, {name} stops at {stuck} of pad with {failed}",
            "it does not shut",
        )
    return (
        f"let go, {name} takes {say(o.value, 'time', 2)} to idle with {failed}",
        f"up to {say(o.limit, 'time', 1)} is allowed",
    )


TIME_TO_IDLE: Final = Rule(
    name="time to idle",
    short=_time_short,
    code="time-to-idle",
    needs="forces",
    judge=_time,
    words=_time_words,
    place=fixed("from full"),
    meaning="The time from full to idle on release, with any one part failed (49 CFR "
    "571.124 S5.3).",
    limits=("return_light", "return_heavy", "return_cold"),
    silenced_by=(SHUT, JAM, *MISPLACED),
    cures=STRONGER,
    cure="stronger springs or freer bearings",
)
