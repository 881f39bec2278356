"""The rule about gaps between the linkage's own parts, with the engine at rest.

Not here: obstacles (`rules.gaps`), the moved engine (`rules.gaps_moved`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.columns import least
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.gaps import facts_of, over_travel, place_of
from linkage.rules.near_words import (
    asked_short,
    at_pad_or_rest,
    both,
    further,
    nearest,
    obstacle,
    part,
    touches,
)
from linkage.rules.rule import JAM, SHUT, Outcome, Rule, Short, Silence, graded

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined

#: Pairs that may come nearer than this are looked at closely, to tell how near. [m]
NEAR: Final = 0.015
#: What all its parts together are called.
ALL_PARTS: Final = Ref("all", "parts")


def _own(x: Examined) -> Iterator[Outcome]:
    gaps, limits = x.gaps, x.layout.limits
    look, refuse = limits.gap_own_look, limits.gap_own_refuse
    far = max(NEAR, float(np.max(look)))
    clear: Any = True
    for pair, found in gaps.among(far):
        one, two = gaps.both(pair)
        gap = over_travel(x, found)
        value = least(gap)
        fits = value >= look
        clear = np.logical_and(clear, fits)
        yield Outcome(
            about=one.ref,
            part=(two.ref, one.what),
            rank=graded(fits, value >= refuse),
            value=value,
            limit=np.where(value >= refuse, look, refuse)[()],
            kind="length",
            at=place_of(x, gap),
            applies=np.logical_not(fits),
            facts=facts_of(one, two),
        )
    if gaps.pairs:
        yield Outcome(
            about=ALL_PARTS,
            applies=clear,
            value=gaps.nearest_pair(far),
            limit=look,
            kind="length",
            at=np.nan,
        )


def _own_words(o: Outcome) -> str:
    if not o.rank:
        return (
            f"no two parts that are not joined come nearer to each other than "
            f"{say(o.value, 'length')}; {asked_short(o)}"
        )
    if touches(o):
        return (
            f"{part(o)} runs into {obstacle(o)}, {at_pad_or_rest(o)}; {asked_short(o)}"
        )
    return (
        f"{part(o)} comes within {say(o.value, 'length')} of {obstacle(o)}, "
        f"{at_pad_or_rest(o)}; {asked_short(o)}"
    )


def _own_short(o: Outcome) -> Short:
    if not o.rank:
        return (
            "its parts stay clear of each other",
            f"{say(o.value, 'length')}; {asked_short(o)}",
        )
    if touches(o):
        return f"{part(o)} runs into {obstacle(o)}", at_pad_or_rest(o)
    return (
        f"{part(o)} comes too near to {obstacle(o)}",
        f"{say(o.value, 'length')} {at_pad_or_rest(o)}; {asked_short(o)}",
    )


def _who(o: Outcome) -> str:
    return "all parts" if o.about == ALL_PARTS else both(o)


def _place(o: Outcome) -> str:
    return "whole travel" if o.about == ALL_PARTS else nearest(o)


def _further(o: Outcome) -> str:
    return "" if o.about == ALL_PARTS else further(o)


OWN: Final = Rule(
    code="own-gap",
    judge=_own,
    name="gaps between its own parts",
    words=_own_words,
    short=_own_short,
    who=_who,
    place=_place,
    meaning="The least gap between two parts of the linkage itself that are not joined to "
    "each other: rods that cross rods, levers and shafts, springs beside them and beside "
    "each other, over the whole travel, the engine at rest. What is joined to one shaft "
    "lies beside it on studs: of two such lines the 20 mm beyond the joint are not "
    "counted, nor is a line with a lever in the plane of its own. Asked of a layout that "
    "names an obstacle: others are often measured in one plane.",
    verdicts="fits, look, or do not fit",
    limits=("gap_own_look", "gap_own_refuse"),
    silenced_by=(SHUT, JAM, Silence(by="touched-at-rest", same=True)),
    cures=(
        *("arm offset", "arm angle", "spring anchor round", "spring anchor aside"),
        "sheath end aside",
    ),
    cure="an arm slid along its shaft or turned on it, or an anchor moved",
    advice=_further,
    advised_last=True,
    task=_further,
)
