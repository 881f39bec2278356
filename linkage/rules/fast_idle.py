"""The rule about a fast idle: the choke's control opens the throttle a few degrees, no more.

The choke's control is a hand lever of which the wanted opening is given: all that is asked
of a hand lever is asked of it, and this in the place of how far it opens. That it lets the
throttle fall back is asked by the rules of rest and closing torque by hand.

Not here: a hand lever that opens as far as it may (`rules.hand_lever`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import most
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.hand_lever import WRONG, wanted_of
from linkage.rules.rule import Outcome, Rule, Short, graded, the_plate

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined

#: How near to the wanted opening it is in order, and beyond which too far or so little
#: that it does nothing; common practice, no source. [rad]
NEAR: Final = math.radians(1.5)
FAR: Final = math.radians(4.0)
NOTHING: Final = math.radians(0.5)


def _opens(x: Examined) -> Iterator[Outcome]:
    y, hand = x.by_hand, x.layout.hand
    if y is None or hand is None or hand.fast_idle is None:
        return
    wanted = hand.fast_idle
    for plate in x.layout.plates:
        value = most(y.motion.between_stops(plate.name))
        yield Outcome(
            about=Ref("throttle", plate.name),
            applies=y.ok & wanted_of(hand),
            rank=graded(
                np.abs(value - wanted) <= NEAR,
                (value <= wanted + FAR) & (value >= NOTHING),
            ),
            value=value,
            limit=wanted,
            kind="angle",
            at=y.working.end,
            facts={
                "lever": Ref("arm", hand.shaft, hand.lever),
                "share": value / plate.swing,
            },
        )


def _words(o: Outcome) -> str:
    f = o.facts
    text = (
        f"with the choke full on, `{f['lever']}` pulled {say(o.at, 'length')}, "
        f"{o.about.name} stands {say(o.value, 'angle')} ({say(f['share'], 'fraction')}) "
        f"open, and {say(o.limit, 'angle')} is wanted for its fast idle"
    )
    if not o.rank:
        return f"{text}; it stays so until the choke is pushed home"
    if o.value > o.limit:
        return (
            f"{text}: the engine races, and drives off, until the choke is pushed home"
        )
    if o.value < NOTHING:
        return f"{text}: it does not open it"
    return f"{text}: a cold engine stalls"


def _short(o: Outcome) -> Short:
    wanted = f"{say(o.limit, 'angle')} is wanted for its fast idle"
    name, opens = the_plate(o.about.name), say(o.value, "angle")
    if o.rank and o.value < NOTHING:
        return f"the choke full on does not open {name}", wanted
    only = "only " if o.rank and o.value < o.limit else ""
    far = "as far as " if o.rank and o.value > o.limit else ""
    return f"the choke full on opens {name} {only}{far}{opens}", wanted


def _advice(o: Outcome) -> str:
    if not o.rank:
        return ""
    way = "less" if o.value > o.limit else "more"
    return (
        f"set the rod or cable of the choke so that it opens {o.about.name} {way}, "
        f"{say(o.limit, 'angle')} with the choke full on, and see that it drops off when "
        "the choke is pushed home"
    )


FAST_IDLE: Final = Rule(
    code="hand-fast-idle",
    judge=_opens,
    name="the fast idle",
    words=_words,
    short=_short,
    place=lambda o: f"at hand lever {say(o.at, 'length')}",
    meaning="How far the choke's control, full on, opens every plate at the most, against the "
    "`fast_idle` that is wanted. Within 1.5° it fits; more than 4° further, or not at all, do "
    "not fit (common practice, no source). That it drops off when the choke is pushed home is "
    "asked as of a hand lever.",
    verdicts="fits, look, or do not fit",
    silenced_by=WRONG,
    cures=("rod lost", "arm length", "arm angle"),
    cure="the choke's rod or cable set to lose more or less, or an arm on its way of another "
    "length or turned",
    advice=_advice,
    advised_last=True,
    task=_advice,
    hand=True,
)
