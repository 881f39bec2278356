"""Rules about sense: which way every shaft turns, and whether pressing opens.

Not here: pull and push under load (`rules.loads`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import turning
from linkage.model.columns import any_of, at, first, last, pick, where_most
from linkage.model.refs import Ref
from linkage.motion.senses import pull_or_push
from linkage.quantities import say
from linkage.rules.rule import BAD, FITS, Outcome, Rule, Short, ranked, the_plate

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from linkage.model.columns import Number
    from linkage.rules.examine import Examined

#: Turn below which a shaft stands still.
STILL: Final = 1e-9


def opens(x: Examined, throttle: str) -> Number:
    """Return how fast pressing opens a throttle at the start; negative: it shuts.

    Where motion is lost on its way, where that is first taken up. [rad/m]
    """
    t = x.layout.throttles[throttle]
    rate, slack = x.speeds.first[t.shaft], x.speeds.slack_before.get(t.shaft)
    begins = first(rate) if slack is None else at(rate, where_most(~slack))
    return t.opens * begins


def _opening(x: Examined) -> Iterator[Outcome]:
    for name, throttle in x.layout.throttles.items():
        rate = opens(x, name)
        yield Outcome(
            about=Ref("throttle", name),
            rank=ranked(rate > 0),
            value=rate,
            limit=0.0,
            kind="angle per travel",
            at=x.working.start,
            facts={
                "opens": throttle.opens,
                "shaft": throttle.shaft,
                "seen": x.layout.shafts[throttle.shaft].axis.seen_from,
            },
        )


def _opening_words(o: Outcome) -> str:
    f, name = o.facts, o.about.name
    way = turning(-f["opens"] if o.rank else f["opens"])
    text = f"pressing turns {f['shaft']} {way} seen from {f['seen']}: "
    if o.rank:
        return f"{text}the pedal shuts {name}, which opens {turning(f['opens'])}"
    return f"{text}it opens {name}"


def _opening_short(o: Outcome) -> Short:
    f, name = o.facts, the_plate(o.about.name)
    way = turning(-f["opens"] if o.rank else f["opens"])
    turns = f"pressing turns `{f['shaft']}` {way} seen from {f['seen']}"
    if o.rank:
        return f"the pedal shuts {name}", f"{turns}, it opens {turning(f['opens'])}"
    return f"the pedal opens {name}", turns


OPENING_SENSE: Final = Rule(
    code="opening-sense",
    judge=_opening,
    name="the way pressing turns the plate",
    words=_opening_words,
    short=_opening_short,
    meaning="Pressing opens every plate. If the pedal shuts one, only the senses of "
    "shafts, rods and springs are told besides: the travel means nothing then (decision "
    "[0003](decisions/0003-wrong-sense-suppresses-travel.md)).",
    cures=("arm side", "drum turned over", "arm side with springs"),
    cure="an arm put on the other side of its shaft, or a drum turned over, and springs "
    "that then open the plate with it",
)


def _shaft(x: Examined) -> Iterator[Outcome]:
    for name, shaft in x.layout.shafts.items():
        turns = x.motion.turns[name]
        yield Outcome(
            about=Ref("shaft", name),
            value=last(turns) - first(turns),
            kind="length" if shaft.slides else "angle",
            at=math.nan,
            facts={
                "seen": shaft.axis.seen_from,
                "zero": "" if shaft.slides else shaft.axis.zero,
            },
        )


def _shaft_words(o: Outcome) -> str:
    way, zero = o.value or 0.0, o.facts["zero"]
    if o.kind == "length":
        if not abs(way) > STILL:
            return f"pedal down: slide {o.about.name} does not move"
        toward = "second" if way > 0 else "first"
        return (
            f"pedal down: slide {o.about.name} goes {say(abs(way), 'length')} toward the "
            f"{toward} end of its guide"
        )
    angles = f"; its angles count from {zero}" if zero else ""
    if not abs(way) > STILL:
        return f"pedal down: {o.about.name} does not turn{angles}"
    return (
        f"pedal down: {o.about.name} turns {say(abs(way), 'angle')} {turning(way)} "
        f"seen from {o.facts['seen']}{angles}"
    )


SHAFT_SENSE: Final = Rule(
    code="shaft-sense",
    judge=_shaft,
    name="the way shafts turn",
    words=_shaft_words,
    short=lambda o: (_shaft_words(o), ""),
    who=lambda o: f"shaft {o.about}",
    meaning="Which way each shaft turns, and each slide goes, "
    "with the pedal going down, and for which viewer; "
    "where its axis is a vector, from where its angles count.",
    verdicts="fits: told, not judged",
    refuses=False,
)


def pulls(x: Examined, rod: str) -> NDArray[np.bool_]:
    """Return at every position whether a rod pulls while the pedal goes down.

    Returns
    -------
    ndarray of bool, shape (n,) or (rows, n)
    """
    return _senses(x, rod) > 0


def _senses(x: Examined, rod: str) -> NDArray[np.int64]:
    """Return pull or push of a rod; 0 where it is neither, at a jam or slack."""
    link = x.assembly.loop(rod).link
    senses = pull_or_push(x.speeds.first[link.driven.shaft], x.lines[rod])
    slack = x.speeds.slack.get(rod)
    return senses if slack is None else np.where(slack, 0, senses)


def _rod(x: Examined) -> Iterator[Outcome]:
    for name in x.layout.rods:
        if x.assembly.loop(name).link.own is not None:
            continue  # the other input drives it
        sense = _senses(x, name)
        # Where it does neither, in line or jammed, it does not turn over yet.
        begins = at(sense, where_most(sense != 0))
        other = sense * begins < 0
        changes = any_of(other)
        there = at(x.motion.pad_travel, where_most(other))
        driven = x.assembly.loop(name).link.driven
        yield Outcome(
            about=Ref("rod", name),
            rank=pick(changes, BAD, FITS),
            at=pick(changes, there, math.nan),
            facts={"pulls": begins > 0, "hole": Ref("arm", driven.shaft, driven.arm)},
        )


def _rod_words(o: Outcome) -> str:
    word = "pulls" if o.facts["pulls"] else "pushes"
    if o.rank:
        return f"{o.called} {word} at first and turns over at pad {say(o.at, 'length')}"
    return f"pedal down: {o.called} {word} `{o.facts['hole']}`"


def _rod_place(o: Outcome) -> str:
    return say(o.at, "length") if o.rank else "whole travel"


def _rod_short(o: Outcome) -> Short:
    one, other = ("pull", "push") if o.facts["pulls"] else ("push", "pull")
    if not o.rank:
        return _rod_words(o), ""
    place = say(o.at, "length")
    return (
        f"{o.called} turns from {one} to {other} at {place} of pad",
        "it passes dead centre and can lock there",
    )


ROD_SENSE: Final = Rule(
    code="rod-sense",
    judge=_rod,
    name="pull and push of {rods}",
    words=_rod_words,
    short=_rod_short,
    place=_rod_place,
    meaning="Whether each rod pulls or pushes its arm while the pedal goes down. One "
    "that changes over on the way has met a dead centre.",
    cures=("arm angle", "arm length", "sheath end"),
    cure="the arms at the rod turned or made longer or shorter",
)
