"""Rules about each spring: its hand, slack and stress.

How near a spring's line comes to its spindle is a rule of geometry
(`rules.angles`).

Not here: how far it is stretched (`rules.stretch`), which way it works on the pedal
(`rules.pedal_springs`), whether the springs together shut the plate
(`rules.shutting`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.columns import Number, at, first, last, negated, pick, where_most
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
    Short,
    fixed,
    ranked,
)
from linkage.springs import stresses

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.forces import SpringSense
    from linkage.forces.spring_line import SpringLine
    from linkage.rules.examine import Examined
    from linkage.springs import Stress


def each_spring(x: Examined) -> Iterator[tuple[SpringSense, SpringLine]]:
    """Yield how every spring works, with its line of force."""
    y = x.forces
    for sense in y.springs:
        yield sense, y.statics.lines.springs[sense.spring]


def _hand(x: Examined) -> Iterator[Outcome]:
    for sense, line in each_spring(x):
        pushes = line.law.kind == "compression"
        yield Outcome(
            about=Ref("spring", sense.spring),
            # A line that crosses its spindle part-way is told by ``spring-line``.
            rank=pick(sense.shuts, FITS, pick(sense.known & ~sense.opens, LOOK, BAD)),
            told=sense.shuts | sense.opens | ~sense.known,
            at=math.nan,
            facts={
                "shaft": sense.shaft,
                "what": "pushes"
                if pushes
                else "turns"
                if line.length is None
                else "pulls",
                "known": sense.known,
                "slack": sense.slack,
                "over": sense.over,
                "load": (first(line.load), last(line.load)),
                "long": None
                if line.length is None
                else (first(line.length), last(line.length)),
            },
        )


def _hand_words(o: Outcome) -> str:
    f, spring = o.facts, f"spring `{o.about.name}`"
    if not f["known"]:
        return f"what {spring} does could not be worked out at every position"
    if o.rank:
        also = ", slack at idle" if f["slack"] > 0 else ""
        also += ", driven past its greatest length" if f["over"] > 0 else ""
        return (
            f"{spring} is of the wrong hand: it {f['what']} "
            f"{f['shaft']} the opening way through the whole travel{also}"
        )
    kind = "force" if f["long"] else "torque"
    one, two = (say(abs(load), kind) for load in f["load"])
    text = (
        f"{spring} shuts through the whole travel: {one} at the start, {two} at the end"
    )
    if f["long"]:
        one, two = (say(length, "length") for length in f["long"])
        text += f", {one} to {two} long"
    return text


def _hand_short(o: Outcome) -> Short:
    f, spring = o.facts, f"spring `{o.about.name}`"
    if not f["known"]:
        return f"what {spring} does could not be worked out", "at every position"
    if o.rank:
        how = f"it {f['what']} `{f['shaft']}` open through the whole travel"
        return f"{spring} is of the wrong hand", how
    one, two = (say(abs(v), "force" if f["long"] else "torque") for v in f["load"])
    return (
        f"{spring} shuts through the whole travel",
        f"{one} at first, {two} at the end",
    )


HAND: Final = Rule(
    code="spring-hand",
    needs="forces",
    judge=_hand,
    name="the hand of springs",
    words=_hand_words,
    short=_hand_short,
    meaning="Whether each spring shuts the plate through the whole travel. One of the "
    "wrong hand opens it, hangs slack at idle or is driven past its length.",
    silenced_by=(SHUT, JAM),
    cures=("spring hand", "spring anchor across"),
    cure="the anchor put on the other side, or a torsion spring of the other hand",
)


def _slack(x: Examined) -> Iterator[Outcome]:
    for sense, line in each_spring(x):
        if line.length is None:
            continue
        yield Outcome(
            about=Ref("spring", sense.spring),
            applies=sense.known & np.logical_not(sense.opens),
            rank=ranked(sense.slack <= 0),
            value=sense.slack,
            limit=0.0,
            kind="length",
            facts={
                "installed": first(line.length),
                "free": line.law.free_length,
                "until": sense.slack_until,
            },
        )


def _slack_words(o: Outcome) -> str:
    f, spring = o.facts, f"spring `{o.about.name}`"
    size = f"{say(f['installed'], 'length')} installed, {say(f['free'], 'length')} free"
    if not o.rank:
        return f"{spring} is loaded at idle: {size}"
    until = (
        "never carries in the whole travel"
        if math.isnan(f["until"])
        else f"carries from pad {say(f['until'], 'length')} on"
    )
    return (
        f"{spring} hangs slack at idle by {say(o.value, 'length')}: {size}; it {until}, "
        "so it does not bring the plate to its stop"
    )


def _slack_short(o: Outcome) -> Short:
    f, spring = o.facts, f"spring `{o.about.name}`"
    size = f"{say(f['installed'], 'length')} installed, {say(f['free'], 'length')} free"
    if o.rank:
        return (
            f"spring `{o.about.name}` hangs slack at idle by {say(o.value, 'length')}",
            size,
        )
    return f"{spring} is loaded at idle", size


SLACK: Final = Rule(
    code="spring-slack",
    needs="forces",
    judge=_slack,
    name="slack springs",
    words=_slack_words,
    short=_slack_short,
    place=fixed("at idle"),
    meaning="Whether each spring carries at idle, so that it brings the plate to its stop.",
    silenced_by=(SHUT, JAM),
    cures=("spring anchor away", "spring shorter"),
    cure="the anchor moved away along the spring's line, or a shorter spring",
)


def _nearest(found: tuple[Stress, ...]) -> dict[str, Any]:
    """Return the stress nearest to what is allowed, and where it is."""

    def share(s: Stress) -> Number:
        bound = s.share if s.allowed is None else s.allowed
        return s.value / pick(np.isinf(bound), s.share, bound)

    index: Number = 0
    most = share(found[0])
    for i, s in enumerate(found[1:], start=1):
        # nan comes first, and stays
        more = ~np.isnan(most) & negated(share(s) <= most)
        index, most = pick(more, i, index), pick(more, share(s), most)

    def chosen(name: str) -> Number:
        out = getattr(found[0], name)
        for i, s in enumerate(found[1:], start=1):
            out = out if out is None else pick(index == i, getattr(s, name), out)
        return out

    return {"index": index, **{n: chosen(n) for n in ("value", "allowed", "share")}}


def _stress(x: Examined) -> Iterator[Outcome]:
    y = x.forces
    for name, spring in x.layout.springs.items():
        load = np.abs(y.statics.spring_load[name])
        worst = where_most(load)
        found = stresses(spring, at(load, worst))
        if not found:
            continue
        near = _nearest(found)
        value, allowed = near["value"], near["allowed"]
        bound = np.inf if allowed is None else allowed
        untabled = np.isinf(bound)
        yield Outcome(
            about=Ref("spring", name),
            rank=pick(untabled & np.isfinite(value), LOOK, ranked(value <= bound)),
            value=value,
            limit=allowed,
            kind="stress",
            at=at(y.statics.pad_travel, worst),
            facts={
                "places": tuple(s.place for s in found),
                "index": near["index"],
                "share": near["share"],
                "untabled": untabled,
            },
        )


def _stress_words(o: Outcome) -> str:
    f = o.facts
    if not np.isfinite(o.value):
        return f"the stress of spring `{o.about.name}` could not be worked out"
    text = (
        f"spring `{o.about.name}`: {say(o.value, 'stress')} in its "
        f"{f['places'][int(f['index'])]}"
    )
    if f["untabled"]:
        return f"{text}; no strength is tabled for wire of this diameter"
    text += (
        f", {say(o.limit, 'stress')} allowed "
        f"({say(f['share'], 'fraction', 0)} of the tensile strength)"
    )
    return f"{text}: it will stay longer or break" if o.rank else text


def _stress_short(o: Outcome) -> Short:
    f, spring = o.facts, f"spring `{o.about.name}`"
    if not np.isfinite(o.value):
        return f"the stress of {spring} could not be worked out", ""
    place = f["places"][int(f["index"])]
    stress = f"{say(o.value, 'stress')} in its {place}"
    if f["untabled"]:
        return f"no strength is tabled for the wire of {spring}", stress
    if o.rank:
        return (
            f"{spring} will stay longer or break",
            f"{stress}, {say(o.limit, 'stress')} allowed",
        )
    return f"{spring} has {stress}", f"{say(o.limit, 'stress')} allowed"


STRESS: Final = Rule(
    code="spring-stress",
    needs="forces",
    judge=_stress,
    name="stress in springs",
    words=_stress_words,
    short=_stress_short,
    meaning="The greatest stress in the wire, in body or hook, against what its standard "
    "allows. Without a tabled strength: look.",
    verdicts="fits, look, or do not fit",
    silenced_by=(SHUT, JAM),
    cures=("spring anchor nearer", "spring longer"),
    cure="the anchor moved nearer, or a longer spring",
)
