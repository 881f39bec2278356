"""Rules about gaps to obstacles, with the engine at rest.

Not here: the linkage's own parts (`rules.own_gaps`), the moved engine
(`rules.gaps_moved`), closest points (`gaps`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.gaps import asked_of
from linkage.model.columns import (
    at,
    first,
    least,
    lesser,
    pick,
    where_least,
    where_most,
)
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.near_words import (
    asked,
    asked_short,
    at_pad_or_rest,
    both,
    further,
    nearest,
    obstacle,
    part,
    touches,
)
from linkage.rules.rule import (
    BAD,
    JAM,
    SHUT,
    Outcome,
    Rule,
    Short,
    Silence,
    fixed,
    ranked,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.gaps import Gaps, Part
    from linkage.model import Obstacle
    from linkage.model.columns import Number, Positions
    from linkage.rules.examine import Examined


def over_travel(x: Examined, gap: Positions) -> Positions:
    """Return gaps as they go with the positions: of what stands still the same at all."""
    shape = np.broadcast_shapes(gap.shape, x.motion.pad_travel.shape)
    return np.broadcast_to(gap, shape)


def place_of(x: Examined, gap: Positions) -> Number:
    """Return the pad travel at which a gap is least, or from which on it is none. [m]."""
    none = gap <= 0
    index = pick(at(none, where_most(none)), where_most(none), where_least(gap))
    return at(np.broadcast_to(x.motion.pad_travel, gap.shape), index)


def facts_of(one: Part, other: Part | Obstacle, **more: Any) -> dict[str, Any]:  # noqa: ANN401
    """Return what the words of a gap need of the two parts."""
    return {
        "what": one.what,
        "kind": getattr(other, "kind", None) or getattr(other, "what", ""),
        **more,
    }


def _margins(x: Examined, gaps: Gaps) -> dict[str, list[tuple[Positions, Number, str]]]:
    """Return by obstacle and part: the gap, the least that is asked, and why."""
    out = {}
    for name, found in gaps.to.items():
        one = x.layout.obstacles[name]
        rows = []
        for gap, of in zip(found, gaps.parts, strict=True):
            ask = asked_of(x.layout, of, one)
            rows.append((over_travel(x, gap), ask.gap, ask.why))
        out[name] = rows
    return out


def _least_margin(rows: list[tuple[Positions, Number, str]]) -> Number:
    """Return the least that is left of what is asked, over some gaps."""
    out: Number = np.inf
    for gap, ask, _ in rows:
        out = lesser(out, least(gap) - ask)
    return out


def _near(x: Examined) -> Iterator[Outcome]:
    gaps = x.gaps
    margins = _margins(x, gaps)
    for i, of in enumerate(gaps.parts):
        nearest_of_all = _least_margin([rows[i] for rows in margins.values()])
        before: Any = False
        for name, rows in margins.items():
            gap, ask, why = rows[i]
            value = least(gap)
            is_nearest = np.logical_and(
                value - ask <= nearest_of_all, np.logical_not(before)
            )
            before = np.logical_or(before, is_nearest)
            yield Outcome(
                about=of.ref,
                part=(Ref("obstacle", name), of.what),
                rank=ranked(value >= ask),
                value=value,
                limit=ask,
                kind="length",
                at=place_of(x, gap),
                # What is short is told of every obstacle, what is clear of the nearest.
                applies=np.logical_or(np.logical_not(value >= ask), is_nearest),
                facts=facts_of(of, x.layout.obstacles[name], why=why),
            )


def _near_words(o: Outcome) -> str:
    if not o.rank:
        return f"{part(o)} stays {say(o.value, 'length')} clear of {obstacle(o)}; {asked(o)}"
    if touches(o):
        return f"{part(o)} runs into {obstacle(o)}, {at_pad_or_rest(o)}; {asked(o)}"
    return (
        f"{part(o)} comes within {say(o.value, 'length')} of {obstacle(o)}; {asked(o)}"
    )


def _near_short(o: Outcome) -> Short:
    if not o.rank:
        return (
            f"{part(o)} stays clear of {obstacle(o)}",
            f"{say(o.value, 'length')}; {asked_short(o)}",
        )
    if touches(o):
        return f"{part(o)} runs into {obstacle(o)}", at_pad_or_rest(o)
    return (
        f"{part(o)} comes too near to {obstacle(o)}",
        f"{say(o.value, 'length')} {at_pad_or_rest(o)}; {asked_short(o)}",
    )


def _at_rest(x: Examined) -> Iterator[Outcome]:
    gaps = x.gaps
    for name, found in gaps.to.items():
        for gap, of in zip(found, gaps.parts, strict=True):
            value = first(gap)
            yield Outcome(
                about=of.ref,
                part=(Ref("obstacle", name), of.what),
                rank=BAD,
                value=value,
                limit=0.0,
                kind="length",
                at=0.0,
                applies=value <= 0,
                facts=facts_of(of, x.layout.obstacles[name]),
            )
    for pair, gap in gaps.among(0.0):
        one, two = gaps.both(pair)
        value = first(gap)
        yield Outcome(
            about=one.ref,
            part=(two.ref, one.what),
            rank=BAD,
            value=value,
            limit=0.0,
            kind="length",
            at=0.0,
            applies=value <= 0,
            facts=facts_of(one, two),
        )


def _at_rest_words(o: Outcome) -> str:
    deep = -o.value
    how = f", {say(deep, 'length')} deep" if deep > 0 else ""
    return (
        f"{part(o)} is in {obstacle(o)} with the pedal up{how}: as it was measured, both "
        "are in one place"
    )


def _at_rest_short(o: Outcome) -> Short:
    return f"{part(o)} is in {obstacle(o)} with the pedal up", ""


def _at_rest_advice(o: Outcome) -> str:
    return (
        f"measure {obstacle(o)} and {part(o)} again, from one datum; if it is so, move one "
        "of the two"
    )


TOUCHED: Final = Rule(
    code="touched-at-rest",
    judge=_at_rest,
    name="what is touched at rest",
    words=_at_rest_words,
    short=_at_rest_short,
    who=both,
    place=fixed("pedal up"),
    meaning="Whether any part lies in an obstacle, or in another part that it is not "
    "joined to, with the pedal up and the engine at rest: then what was measured cannot "
    "be. Asked of a layout that names an obstacle, and told only where it is so.",
    verdicts="do not fit, where there is any",
    cures=("arm offset", "spring anchor round", "spring anchor aside", "sheath point"),
    cure="a part or an obstacle measured again, an arm slid along its shaft, or an anchor "
    "moved",
    advice=_at_rest_advice,
    advised_last=True,
    task=_at_rest_advice,
)
GAP: Final = Rule(
    code="gap",
    judge=_near,
    name="gaps to other parts",
    words=_near_words,
    short=_near_short,
    who=both,
    place=nearest,
    meaning="The least gap of every arm, rod, wire, sheath and spring to what "
    "`[obstacles]` names, over the whole travel, the engine at rest: to a fixed or a moving "
    "part, to the exhaust for its heat, and more where one is held by the engine and the "
    "other by the body. Levers count as flats of 20 mm x 5 mm, coils as 10 mm thick and "
    "sheaths as 5 mm where nothing else is given; joints, nuts and clips are not counted. "
    "Of what is clear the nearest obstacle of each part is told.",
    limits=("gap_fixed", "gap_moving", "gap_across", "gap_exhaust"),
    silenced_by=(SHUT, JAM, Silence(by="touched-at-rest", same=True)),
    cures=(
        *("arm offset", "rubbing arm length", "rubbing arm angle"),
        *("spring anchor round", "spring anchor aside"),
        *("sheath point", "sheath end aside"),
    ),
    cure="an arm slid along its shaft, or one that rubs itself shortened or turned; an anchor "
    "or a sheath moved, or the obstacle itself",
    advice=further,
    advised_last=True,
    task=further,
)
