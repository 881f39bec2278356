"""Rules about shutting: torque against friction, single failures, time to idle.

Not here: each spring by itself (`rules.springs`), sources of energy
(`rules.sources`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.forces import INTACT, return_limit
from linkage.model.columns import all_of, at, pick
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.rule import (
    BAD,
    FITS,
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Silence,
    fixed,
    ranked,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.forces import Fall, Return
    from linkage.model.columns import Truth
    from linkage.rules.examine import Examined

#: What would only repeat that a spring works the wrong way or hangs slack, or that a
#: rod turns the linkage back.
MISPLACED: Final = (
    Silence(by="rod-sense", keeps_good=True),
    Silence(by="spring-hand", at_least=LOOK, keeps_good=True),
    Silence(by="spring-slack", keeps_good=True),
)
_STRONGER: Final = ("spring stronger", "spring added", "bearing")


def _torques(r: Return) -> dict[str, Any]:
    """Return torque and friction at the worst position, as facts."""
    return {
        "torque": at(r.closing_torque, r.worst),
        "lost": at(r.friction_torque, r.worst),
    }


def _torque_words(o: Outcome) -> str:
    """Say torque against friction at the worst position."""
    torque, lost = o.facts["torque"], o.facts["lost"]
    if math.isinf(lost):
        return "friction locks it"
    against = (
        f"against {say(lost, 'torque')} of friction" if lost else "and no friction"
    )
    word = "closing torque" if torque > 0 else "torque, which does not shut it"
    return f"{say(torque, 'torque')} of {word} {against}"


def _times(value: float) -> str:
    return "" if math.isinf(value) else f", {say(value, 'ratio', 1)} times it"


def _closing(x: Examined) -> Iterator[Outcome]:
    y, limit = x.forces, x.layout.limits.closing_ratio
    unrubbed = y.statics.unrubbed
    loose: Truth = False
    for free in unrubbed.values():
        loose = loose | free
    for r in y.intact:
        value = at(r.ratio, r.worst)
        fits = value >= limit
        yield Outcome(
            about=Ref("throttle", r.throttle),
            rank=pick(fits, pick(loose, LOOK, FITS), BAD),
            value=value,
            limit=limit,
            at=at(y.statics.pad_travel, r.worst),
            facts={**_torques(r), "unrubbed": unrubbed},
        )


def _loose(o: Outcome) -> str:
    """Name the shafts of which no friction is given."""
    return ", ".join(f"`{n}`" for n, free in o.facts["unrubbed"].items() if free)


def _closing_words(o: Outcome) -> str:
    loose = f"; friction was NOT counted in {_loose(o)}" if o.rank == LOOK else ""
    return (
        f"{o.about.name}: {_torque_words(o)} at pad {say(o.at, 'length')}, where least is "
        f"left{_times(o.value)}; at least {say(o.limit, 'ratio', 1)} times is asked{loose}"
    )


def _closing_advice(o: Outcome) -> str:
    if o.rank != LOOK:
        return ""
    return f"give `bearing` or `drag` of {_loose(o)}, and check again"


CLOSING_TORQUE: Final = Rule(
    code="closing-torque",
    needs="forces",
    judge=_closing,
    words=_closing_words,
    advice=_closing_advice,
    meaning="The least closing torque of all springs together, against friction. Where "
    "the bearing and drag of a shaft are not given: look, as its friction was not counted.",
    verdicts="fits, look, or do not fit",
    limits=("closing_ratio", "closing_least", "closing_look"),
    silenced_by=(SHUT, JAM, *MISPLACED),
    cures=_STRONGER,
    cure="stronger springs or freer bearings",
)


def _one_off(x: Examined) -> Iterator[Outcome]:
    y, limit = x.forces, x.layout.limits.closing_ratio_one_off
    for r in y.returns:
        if r.failure == INTACT:
            continue
        value = at(r.ratio, r.worst)
        yield Outcome(
            about=Ref("throttle", r.throttle),
            part=(r.failure,),
            applies=np.logical_not(r.unsprung),  # that is told by another rule
            rank=ranked(value >= limit),
            value=value,
            limit=limit,
            at=at(y.statics.pad_travel, r.worst),
            facts=_torques(r),
        )


def _with_failure(o: Outcome) -> str:
    return f"{o.about.name} with {o.part[0].text}"


ONE_OFF: Final = Rule(
    code="closing-torque-one-off",
    needs="forces",
    judge=_one_off,
    words=lambda o: (
        f"{_with_failure(o)}: {_torque_words(o)} at pad {say(o.at, 'length')}"
        f"{_times(o.value)}; at least {say(o.limit, 'ratio', 1)} times is asked"
    ),
    who=_with_failure,
    meaning="The same with any one spring off or any one rod parted, one finding each.",
    limits=("closing_ratio_one_off", "closing_least_one_off", "dirt_factor"),
    silenced_by=(SHUT, JAM, *MISPLACED),
    cures=_STRONGER,
    cure="stronger springs or freer bearings",
)


def _hopeless(x: Examined, f: Fall) -> Truth:
    """Tell whether another rule says already that the plate does not shut."""
    r = next(
        r
        for r in x.forces.returns
        if r.failure == f.failure and r.throttle == f.throttle
    )
    return r.unsprung | np.logical_not(all_of(r.ratio > 1))


def _time(x: Examined) -> Iterator[Outcome]:
    limit, why = return_limit(x.layout)
    for plate in dict.fromkeys(f.throttle for f in x.forces.falls):
        worst: dict[str, Any] = {"time": -math.inf, "index": 0}
        whole = math.inf
        mine = [f for f in x.forces.falls if f.throttle == plate]
        for i, f in enumerate(mine):
            told = np.logical_not(_hopeless(x, f))
            if f.failure == INTACT:
                whole = pick(told, f.time, math.inf)
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
        if failure == INTACT
        else f" ({say(f['whole'], 'time', 2)} with nothing failed)"
    )
    text = (
        f"let go at full, {o.about.name} {slow} with {failure.text}{besides}; up to "
        f"{say(o.limit, 'time', 1)} is allowed, {f['why']} (49 CFR 571.124 S5.3)"
    )
    return f"{text}; inertia estimated from sizes" if f["estimated"] else text


TIME_TO_IDLE: Final = Rule(
    code="time-to-idle",
    needs="forces",
    judge=_time,
    words=_time_words,
    place=fixed("from full"),
    meaning="The time from full to idle on release, with any one part failed (49 CFR "
    "571.124 S5.3).",
    limits=("return_light", "return_heavy", "return_cold"),
    silenced_by=(SHUT, JAM, *MISPLACED),
    cures=_STRONGER,
    cure="stronger springs or freer bearings",
)
