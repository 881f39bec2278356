"""The rule about rods with an over-travel spring: stiff enough up to the stop.

Not here: a spring that is used up before the pedal's end (`rules.travel`), the foot's
force (`rules.loads`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.columns import at, last, pick, where_most
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
    graded,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined


def _over_travel(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.over_travel_ratio
    lines = x.forces.lines
    for name, given in lines.given.items():
        rod, loop = x.layout.rods[name], x.assembly.loop(name)
        stop: Any = loop.spares
        driven, against = loop.link.driven.shaft, np.isfinite(stop)
        carried = np.abs(x.forces.statics.rod_pressing[name])
        stiff = np.where(given, 0.0, carried)
        worst = where_most(stiff)
        force = at(stiff, worst)
        with np.errstate(divide="ignore"):
            ratio = rod.over_travel_load / force
        far = last(lines.frame.given[name])
        yield Outcome(
            about=Ref("rod", name),
            rank=np.maximum(
                graded(ratio >= limit, ratio >= 1.0), pick(against, FITS, LOOK)
            ),
            value=ratio,
            limit=limit,
            kind="ratio",
            digits=1,
            at=at(x.motion.pad_travel, worst),
            facts={
                "load": rod.over_travel_load,
                "force": force,
                "given": far,
                "way": rod.over_travel,
                "full load": rod.over_travel_load + rod.over_travel_rate * far,
                "torque": abs(last(carried * lines.rods[name].arms[driven])),
                "shaft": driven,
                "against": against,
            },
        )


def _end_words(o: Outcome) -> str:
    f = o.facts
    if not f["against"]:
        return (
            f"it has nothing to give against, as pressing leads `{f['shaft']}` to no stop "
            "of its own: the foot is on rods and stops as with a stiff rod"
        )
    if not f["given"]:
        return "at the end of the pedal it has not begun to give"
    return (
        f"at the end of the pedal it has given {say(f['given'], 'length')} of "
        f"{say(f['way'], 'length')} and holds its lever on the stop with "
        f"{say(f['full load'], 'force')}, {say(f['torque'], 'torque', 1)} at "
        f"`{f['shaft']}`; if it breaks the rod is parted, which is judged"
    )


def _words(o: Outcome) -> str:
    f = o.facts
    return (
        f"the over-travel spring of {o.called} gives from "
        f"{say(f['load'], 'force')} on, {say(o.value, 'ratio', 1)} times the "
        f"{say(f['force'], 'force')} that the rod carries on its way to the stop; at least "
        f"{say(o.limit, 'ratio', 1)} times is asked; {_end_words(o)}"
    )


def _short(o: Outcome) -> Short:
    f, rod = o.facts, o.called
    if not f["against"]:
        what = f"the over-travel spring of {rod} has nothing to give against"
        return what, f"pressing leads `{f['shaft']}` to no stop of its own"
    if o.rank:
        return (
            f"the over-travel spring of {rod} gives too soon",
            f"{say(f['load'], 'force')}, {say(o.value, 'ratio', 1)} times what it carries",
        )
    end = "it has not begun to give"
    if f["given"]:
        end = f"it has given {say(f['given'], 'length')} of {say(f['way'], 'length')}"
    return (
        f"the over-travel spring of {rod} is stiff enough",
        f"at the end of the pedal {end}",
    )


def _advice(o: Outcome) -> str:
    if o.facts["against"]:
        return ""
    return (
        f"give the stop of `{o.facts['shaft']}` in [stops], or put the spring in the rod to "
        "the lever whose stop it is to spare"
    )


OVER_TRAVEL: Final = Rule(
    name="over-travel springs",
    short=_short,
    code="over-travel-load",
    needs="forces",
    judge=_over_travel,
    words=_words,
    meaning="Whether an over-travel spring holds its rod stiff until the lever is on its "
    "stop: the load at which it begins to give, against what the rod carries on the way "
    "there with friction. Softer than that it gives first, and the lever lags or is never "
    "full open; and whether what it drives has a stop to give against. How far it has "
    "given at the pedal's end is told.",
    verdicts="fits, look, or do not fit",
    limits=("over_travel_ratio",),
    silenced_by=(SHUT, JAM),
    cures=("over-travel load",),
    cure="an over-travel spring put in with more load",
    advice=_advice,
    task=_advice,
)
