"""Rules about a hand lever itself: it holds the throttle open, how far, and whether it stays.

Not here: what pedal and hand lever do to each other (`rules.two_inputs`), what is asked
of a hand lever as of a pedal (`rules.by_hand`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.columns import at, where_most
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.rule import (
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Silence,
    ranked,
    the_plate,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model.ends import Hand
    from linkage.rules.examine import Examined

#: Travel of a hand lever that is left over and not worth a word. [m]
STEP: Final = 1e-3
#: What leaves nothing to say of how far it opens.
WRONG: Final = (Silence(by="hand-opening-sense"), Silence(by="hand-reach"))


def wanted_of(hand: Hand) -> Any:  # noqa: ANN401
    """Tell whether a fast idle is wanted, of which a rule of its own tells."""
    wanted = np.nan if hand.fast_idle is None else hand.fast_idle
    return np.logical_not(np.isnan(wanted))


def _holds(x: Examined) -> Iterator[Outcome]:
    y, hand = x.by_hand, x.layout.hand
    if y is None or hand is None:
        return
    for plate in x.layout.plates:
        opening = y.working.opening_at_end[plate.name]
        yield Outcome(
            about=Ref("throttle", plate.name),
            applies=y.ok & (opening > 0) & ~wanted_of(hand),
            rank=LOOK,
            value=opening / plate.swing,
            kind="fraction",
            at=y.working.end,
            facts={
                "lever": Ref("arm", hand.shaft, hand.lever),
                "opening": opening,
            },
        )


def _open_at(o: Outcome) -> str:
    return f"{say(o.facts['opening'], 'angle')}, {say(o.value, 'fraction')}"


_HOME: Final = (
    "push the hand lever home before the engine is started and whenever the pedal is to "
    "shut the throttle; keep it within reach of the driver"
)

HOLDS: Final = Rule(
    code="hand-holds",
    judge=_holds,
    name="a hand lever left pulled",
    words=lambda o: (
        f"hand lever `{o.facts['lever']}`, left pulled, holds {o.about.name} open, up to "
        f"{_open_at(o)}, with {say(o.at, 'length')} of its travel: letting the pedal go "
        "shuts it no further than that; it must be pushed home by hand"
    ),
    short=lambda o: (
        f"the hand lever left pulled holds {the_plate(o.about.name)} open",
        f"up to {_open_at(o)}; it must be pushed home by hand",
    ),
    place=lambda o: f"at hand lever {say(o.at, 'length')}",
    meaning="A hand lever that stays where it is left holds the throttle open, whatever "
    "springs there are: the pedal lets it shut only to there. Told of every layout that has "
    "one, with how far open.",
    verdicts="look",
    refuses=False,
    silenced_by=WRONG,
    advice=lambda _: _HOME,
    task=lambda _: _HOME,
    hand=True,
)


def _opens(x: Examined) -> Iterator[Outcome]:
    y, hand = x.by_hand, x.layout.hand
    if y is None or hand is None:
        return
    limit = x.layout.limits.full_throttle
    for plate in x.layout.plates:
        opening = y.working.opening_at_end[plate.name]
        yield Outcome(
            about=Ref("throttle", plate.name),
            applies=y.ok & ~wanted_of(hand),
            rank=ranked(opening / plate.swing >= limit, LOOK),
            value=opening / plate.swing,
            limit=limit,
            kind="fraction",
            at=y.working.end,
            facts={
                "opening": opening,
                "swing": plate.swing,
                "left": y.working.left_over,
            },
        )


def _opens_words(o: Outcome) -> str:
    f = o.facts
    left = ""
    if f["left"] > STEP:
        left = (
            f"; {say(f['left'], 'length')} of its travel are left then: pulled on, it would "
            "bear on the stop"
        )
    return (
        f"by hand {o.about.name} opens {say(f['opening'], 'angle')} of "
        f"{say(f['swing'], 'angle')} ({say(o.value, 'fraction')}), with the hand lever at "
        f"{say(o.at, 'length')}{left}"
    )


def _more(o: Outcome) -> str:
    if o.rank != LOOK:
        return ""
    return (
        "where the hand lever is to open it fully, give it more travel, or the rod a "
        "longer arm on it"
    )


OPENS: Final = Rule(
    code="hand-opens",
    judge=_opens,
    name="how far the hand lever opens",
    words=_opens_words,
    short=lambda o: (
        f"by hand {the_plate(o.about.name)} opens {say(o.value, 'fraction')}",
        (
            f"{say(o.facts['opening'], 'angle')} of {say(o.facts['swing'], 'angle')} at "
            f"{say(o.at, 'length')} of hand lever"
        ),
    ),
    place=lambda o: f"at hand lever {say(o.at, 'length')}",
    meaning="How far the hand lever opens every plate at the end of its travel. One that "
    "opens it but part of the way may be meant so.",
    verdicts="fits, or look",
    refuses=False,
    limits=("full_throttle",),
    silenced_by=WRONG,
    advice=_more,
    task=_more,
    hand=True,
)


def _stays(x: Examined) -> Iterator[Outcome]:
    y, hand = x.by_hand, x.layout.hand
    if y is None or hand is None or hand.holds is None:
        return
    pull = y.forces.statics.pad_force
    worst = where_most(pull)
    value = at(pull, worst)
    yield Outcome(
        about=Ref("arm", hand.shaft, hand.lever),
        applies=y.ok & y.moves & (hand.holds > 0),
        rank=ranked(value <= hand.holds, LOOK),
        value=value,
        limit=hand.holds,
        kind="force",
        at=at(y.motion.pad_travel, worst),
    )


def _stays_words(o: Outcome) -> str:
    text = (
        f"springs pull at the hand lever's end `{o.about}` with {say(o.value, 'force')} at "
        f"most, at hand lever {say(o.at, 'length')}, and it is held up to "
        f"{say(o.limit, 'force')}"
    )
    if o.rank:
        return f"{text}: left there it creeps back and shuts the throttle"
    return f"{text}: it stays where it is left"


STAYS: Final = Rule(
    code="hand-stays",
    needs="forces",
    judge=_stays,
    name="what holds the hand lever",
    words=_stays_words,
    short=lambda o: (
        "the hand lever creeps back"
        if o.rank
        else "the hand lever stays where it is left",
        f"springs pull {say(o.value, 'force')} at its end, held up to {say(o.limit, 'force')}",
    ),
    place=lambda o: f"at hand lever {say(o.at, 'length')}",
    meaning="Whether what holds the hand lever, `holds` of the file, is more than what the "
    "springs put on its end, friction left out. One that creeps back does no harm. Not "
    "judged where `holds` is not given.",
    verdicts="fits, or look",
    refuses=False,
    silenced_by=(SHUT, JAM, *WRONG, Silence(by="hand-closing-torque")),
    hand=True,
)
