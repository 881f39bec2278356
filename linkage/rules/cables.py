"""Rules about cables: room for their nipples, stroke, slack at rest.

Not here: their wire (`rules.wires`), bends of their sheaths (`rules.sheaths`), drums
(`rules.drums`), from where one drives (`rules.slots`), cables that push (`rules.loads`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

from linkage.connect import LostMotion
from linkage.model import Cable
from linkage.model.columns import (
    at,
    first,
    least,
    most,
    pick,
    some,
    where_least,
)
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.rule import (
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    Silence,
    about,
    ranked,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Link
    from linkage.rules.examine import Examined

#: Steps in which the end of a sheath is said to be held further off. [m]
STEP: Final = 1e-3
#: Part of the travel at either end in which something is told as there.
NEAR: Final = 0.1


def cables(x: Examined) -> Iterator[tuple[Link, Cable]]:
    """Yield the cables that the input drives, in driving order."""
    for link in x.layout.links:
        if isinstance(link.rod, Cable) and link.own is None:
            yield link, link.rod


def at_arm(o: Outcome) -> str:
    """Return a cable and the arm at one of its ends, in words."""
    return f"{about(o)} at {o.part[0]}"


def _nipple(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.nipple_clear
    for link, cable in cables(x):
        line: Any = x.lines[cable.name]
        for hole, run in zip(link.holes, line.runs, strict=True):
            worst = where_least(run)
            value, place = at(run, worst), at(x.motion.pad_travel, worst)
            yield Outcome(
                about=Ref("rod", cable.name),
                part=(Ref("arm", hole.shaft, hole.arm),),
                rank=ranked(value >= limit),
                value=value,
                limit=limit,
                kind="length",
                at=place,
                facts={
                    "more": limit - value,
                    "up": place <= x.working.start + NEAR * x.working.end,
                },
            )


def _nipple_words(o: Outcome) -> str:
    text = (
        f"the nipple of {o.called} at `{o.part[0]}` stays {say(o.value, 'length')} from the "
        f"end of its sheath, at pad {say(o.at, 'length')}"
    )
    if not o.rank:
        return f"{text}; at least {say(o.limit, 'length')} is asked"
    return f"{text}, and {say(o.limit, 'length')} is asked: {_meets(o)}"


def _nipple_advice(o: Outcome) -> str:
    """Return how much further off the sheath is to be held."""
    if not o.rank:
        return ""
    more = math.ceil(o.facts["more"] / STEP) * STEP
    return (
        f"hold the end of the sheath of {o.called} {say(more, 'length', 0)} further from "
        f"`{o.part[0]}`, or put that much less wire there"
    )


def _meets(o: Outcome) -> str:
    """Return what comes of a nipple that meets its sheath."""
    if o.facts["up"]:
        return "if it meets it, the wire cannot go back and holds the throttle open"
    return "if it meets it, the wire goes no further and takes the foot"


def _nipple_short(o: Outcome) -> Short:
    near = f"{say(o.value, 'length')} from the end of its sheath"
    if not o.rank:
        return f"the nipple of {o.called} at `{o.part[0]}` stays clear", near
    return (
        f"the nipple of {o.called} at `{o.part[0]}` comes up to its sheath",
        f"{near}, {say(o.limit, 'length')} is asked",
    )


NIPPLE: Final = Rule(
    code="nipple-room",
    judge=_nipple,
    name="room for the nipples",
    words=_nipple_words,
    short=_nipple_short,
    who=at_arm,
    meaning="How near the nipple of a cable comes to the end of its sheath, along the wire "
    "and anywhere in the travel, at either end. One that meets it stops the wire: at the "
    "pedal, so that it cannot go back and holds the throttle open; at the carburettor, so "
    "that it takes the foot.",
    limits=("nipple_clear",),
    silenced_by=(SHUT, JAM),
    cures=("sheath end",),
    advice=_nipple_advice,
    advised_last=True,
    task=_nipple_advice,
    cure="the end of the sheath held further from the arm",
)


def _stroke(x: Examined) -> Iterator[Outcome]:
    for _, cable in cables(x):
        known = cable.stroke > 0
        if cable.only or not some(known):
            continue
        line: Any = x.lines[cable.name]
        run = line.runs[0]
        value = most(run) - least(run)
        yield Outcome(
            about=Ref("rod", cable.name),
            applies=known,
            rank=ranked(value <= cable.stroke),
            value=value,
            limit=cable.stroke,
            kind="length",
            at=math.nan,
            facts={"over": value - cable.stroke},
        )


def _stroke_words(o: Outcome) -> str:
    text = f"the inner member of {o.called} moves {say(o.value, 'length')}"
    has = f"its stroke is {say(o.limit, 'length')}"
    if o.rank:
        over = say(o.facts["over"], "length")
        return f"{text} and {has}: it is at its end {over} before the pedal is"
    return f"{text}; {has}: with the pedal half-way it should stand in the middle of it"


STROKE: Final = Rule(
    code="cable-stroke",
    judge=_stroke,
    name="the stroke of push-pull cables",
    words=_stroke_words,
    short=lambda o: (
        f"the stroke of {o.called} is {'used up' if o.rank else 'enough'}",
        f"it moves {say(o.value, 'length')} of {say(o.limit, 'length')}",
    ),
    meaning="Whether the inner member of a push-pull cable has as much way as the pedal "
    "moves it, where its `stroke` is given. Whether it stands in the middle of it is to "
    "be seen on the vehicle.",
    silenced_by=(SHUT, JAM),
    cures=("arm length", "cable stroke"),
    cure="an arm made shorter, or a cable of more stroke",
)


def _slack(x: Examined) -> Iterator[Outcome]:
    limits = x.layout.limits
    few, many = limits.cable_slack_least, limits.cable_slack_most
    for loop in x.assembly.loops:
        if not isinstance(loop, LostMotion) or not isinstance(loop.link.rod, Cable):
            continue
        if loop.link.own is not None:
            continue  # the other input drives it
        driver, driven = (x.motion.pair(hole.shaft) for hole in loop.link.holes)
        value = first(loop.slack(driver, driven))
        short = value < few
        yield Outcome(
            about=Ref("rod", loop.link.rod.name),
            rank=ranked((value >= few) & (value <= many), LOOK),
            value=value,
            limit=pick(short, few, many),
            kind="length",
            at=0.0,
            facts={"short": short, "few": few, "many": many},
        )


def _slack_words(o: Outcome) -> str:
    f = o.facts
    text = f"{o.called} has {say(o.value, 'length')} of slack with the pedal up"
    if not o.rank:
        return (
            f"{text}; {say(f['few'], 'length')} to {say(f['many'], 'length')} is in order, "
            "1 to 2 mm is usual"
        )
    if f["short"]:
        return (
            f"{text}: a sheath that settles, heat or a carpet would hold the throttle off "
            f"its stop; at least {say(f['few'], 'length')} is asked, 1 to 2 mm is usual"
        )
    return (
        f"{text}: it is taken from the travel, and a slack wire can get off its drum or "
        f"out of its lever; up to {say(f['many'], 'length')} is in order, 1 to 2 mm is usual"
    )


def _slack_short(o: Outcome) -> Short:
    f, value = o.facts, say(o.value, "length")
    if not o.rank:
        return f"{o.called} hangs loose by {value} with the pedal up", ""
    if f["short"]:
        asked = f"at least {say(f['few'], 'length')} is asked"
        return f"{o.called} is tight with the pedal up, {value} of slack", asked
    return f"{o.called} has much slack, {value}", f"up to {say(f['many'], 'length')}"


SLACK: Final = Rule(
    code="cable-slack",
    judge=_slack,
    name="the slack of cables",
    words=_slack_words,
    short=_slack_short,
    meaning="How much of a cable that only pulls hangs loose with the pedal up: 1 to 2 mm "
    "is usual. With less a sheath that settles holds the throttle off its stop; more is "
    "taken from the travel, and a loose wire can get off its drum.",
    verdicts="fits, or look",
    refuses=False,
    limits=("cable_slack_least", "cable_slack_most"),
    silenced_by=(SHUT, JAM, Silence(by="idle"), Silence(by="slot-drives")),
    cures=("rod lost",),
    cure="the cable set by its adjuster",
)
