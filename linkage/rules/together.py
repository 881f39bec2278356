"""Rules about plates and levers that move together: twins, one after the other, kickdown.

Not here: each by itself (`rules.travel`), a lever that sticks (`rules.slots`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import at, first, last, pick, where_most
from linkage.model.refs import Ref
from linkage.motion.sweep import pads, sweep_clear
from linkage.motion.twins import TOGETHER, later_on_purpose
from linkage.quantities import say
from linkage.rules.rule import FITS, LOOK, SHUT, Outcome, Rule, Short, ranked
from linkage.rules.slack import opens_from
from linkage.rules.travel import STROKE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Throttle
    from linkage.model.columns import Number
    from linkage.rules.examine import Examined


def _spread(x: Examined) -> Iterator[Outcome]:
    one, *others = x.layout.plates
    limit = x.layout.limits.throttle_spread
    for other in others:
        opening, beside = (x.motion.opening(t.name) for t in (one, other))
        later = later_on_purpose(x.layout, one, other)
        gap = np.abs(opening - beside)
        worst = where_most(gap)
        value, place = at(gap, worst), at(x.motion.pad_travel, worst)
        if later:  # meant to start one after the other, and to be full together
            value = np.abs(last(opening) - one.swing - last(beside) + other.swing)
            place = x.working.end
        yield Outcome(
            about=Ref("throttle", other.name),
            part=(Ref("throttle", one.name),),
            rank=ranked(value <= limit, LOOK),
            value=value,
            limit=limit,
            kind="angle",
            at=place,
            facts={
                "starts": _starts(x, one, other) if later else (),
                "ahead": at(beside - opening, worst),
                "idle": first(beside - opening),
                "lacks": (one.swing - last(opening), other.swing - last(beside)),
            },
        )


def _starts(x: Examined, *both: Throttle) -> tuple[tuple[Number, Number], ...]:
    """Return the pad travel at which each starts, and the other's opening there."""
    found = []
    for throttle, other in (both, both[::-1]):
        place = opens_from(x, throttle.name)
        here = sweep_clear(x.assembly, pads(pick(place >= 0, place, x.working.end)))
        found.append((place, first(here.between_stops(other.name))))
    return tuple(found)


def _both(o: Outcome) -> str:
    return f"{o.part[0]} and {o.about}"


def start_words(o: Outcome) -> str:
    """Say where each of two plates starts, one behind motion that is lost."""
    names = (o.part[0].name, o.about.name)
    said = []
    for name, other, (place, open_by) in zip(
        names, names[::-1], o.facts["starts"], strict=True
    ):
        if not place >= 0:
            said.append(f"{name} never starts")
        elif place > 0:
            with_other = (
                f", with {other} at {say(open_by, 'angle')}" if open_by > 0 else ""
            )
            said.append(f"{name} starts at pad {say(place, 'length')}{with_other}")
        else:
            said.append(f"{name} starts at once")
    return "; ".join(said)


def _spread_words(o: Outcome) -> str:
    asked = f"up to {say(o.limit, 'angle')} is in order"
    if o.facts["starts"]:
        return (
            f"{start_words(o)}: motion is lost on purpose, so they are held together at "
            f"full alone, where they differ by {say(o.value, 'angle')}; {asked}"
        )
    if o.value < TOGETHER:
        return f"{_both(o)} go together, {say(o.value, 'angle')} apart at most; {asked}"
    return (
        f"{_ahead(o, o.facts['ahead'])} by {say(o.value, 'angle')} at most, with the pad "
        f"at {say(o.at, 'length')}; {_at_ends(o)}; {asked}"
    )


def _ahead(o: Outcome, difference: float) -> str:
    """Say which of two plates is ahead; positive, that it is about."""
    one, two = _in_order(o, difference)
    return f"{one} is ahead of {two}"


def _in_order(o: Outcome, difference: float) -> tuple[Ref, Ref]:
    """Return two plates, the one that is ahead first; positive, that it is about."""
    return (o.about, o.part[0]) if difference > 0 else (o.part[0], o.about)


def _at_ends(o: Outcome) -> str:
    """Say which of two plates starts first, and which is full first."""
    idle, lacks = o.facts["idle"], o.facts["lacks"]
    start = "both start together"
    if abs(idle) >= TOGETHER:
        start = f"at idle {_ahead(o, idle)} by {say(abs(idle), 'angle')}"
    short = lacks[1] - lacks[0]
    end = "both are full together"
    if not abs(short) < TOGETHER:
        one, two = _in_order(o, -short)
        end = f"{one} is full first, {two} then lacks {say(abs(short), 'angle')}"
    return f"{start}, {end}"


def _spread_short(o: Outcome) -> Short:
    at_full = " at full" if o.facts["starts"] else ""
    both = f"`{o.part[0].name}` and `{o.about.name}`"
    asked = f"up to {say(o.limit, 'angle')} is in order"
    if not o.facts["starts"] and o.value >= TOGETHER:
        one, two = _in_order(o, o.facts["ahead"])
        text = f"plate `{one.name}` is ahead of `{two.name}` by {say(o.value, 'angle')}"
        return text, f"at pad {say(o.at, 'length')}, {asked}"
    return (
        f"plates {both} differ by {say(o.value, 'angle')}{at_full}",
        f"at pad {say(o.at, 'length')}, {asked}",
    )


SPREAD: Final = Rule(
    code="throttle-spread",
    judge=_spread,
    words=_spread_words,
    name="plates that open together",
    short=_spread_short,
    who=_both,
    meaning="How much two plates differ anywhere in the travel, which is ahead, which "
    "starts first and which is full first. One that starts later on "
    "purpose, behind motion that is lost on its way alone, is held against the other at "
    "full only, and it is told where each starts.",
    verdicts="fits, or look",
    refuses=False,
    limits=("throttle_spread",),
    silenced_by=(SHUT,),
    cures=STROKE,
    cure="an arm as long as its twin on the way to the other plate, longer or shorter, or "
    "turned",
)


def _kickdown(x: Examined) -> Iterator[Outcome]:
    short, limit = x.throttle_share, x.layout.limits.full_throttle
    for lever in x.layout.throttles.values():
        if lever.kind == "kickdown":
            first = x.working.is_stopped_by("full stop", lever.name)
            yield Outcome(
                about=Ref("throttle", lever.name),
                rank=pick(first, ranked(short >= limit), FITS),
                value=short,
                limit=limit,
                kind="fraction",
                at=x.working.end,
                facts={"main": x.layout.main.name},
            )


def _kickdown_words(o: Outcome) -> str:
    if not o.rank:
        return f"kickdown lever {o.about.name} never stops the plate"
    return (
        f"kickdown lever {o.about.name} meets its end first, with {o.facts['main']} at "
        f"{say(o.value, 'fraction')}: it keeps the plate from opening"
    )


KICKDOWN: Final = Rule(
    code="kickdown",
    judge=_kickdown,
    name="the kickdown lever",
    words=_kickdown_words,
    short=lambda o: (
        (f"the kickdown lever stops the plate at {say(o.value, 'fraction')}", "")
        if o.rank
        else ("the kickdown lever never stops the plate", "")
    ),
    meaning="The kickdown lever of a gearbox never stops the plate short of full.",
    limits=("full_throttle",),
    silenced_by=(SHUT,),
    cures=STROKE,
    cure="an arm on the way to the lever longer or shorter, or turned",
)
