"""Rules about two inputs: neither the pedal nor the hand lever moves the other.

Not here: how far each moves it (`rules.dragged`), what is asked of either alone
(`rules.order`, `rules.by_hand`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.quantities import say
from linkage.rules.dragged import dragged, held_by
from linkage.rules.hand_lever import WRONG
from linkage.rules.rule import BAD, FITS, LOOK, Outcome, Rule, Short, Silence

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined

#: Steps in which a slot is said to be filed. [m]
STEP: Final = 1e-3
#: Opening up to which a plate is shut. [rad]
SHUT_YET: Final = 1e-3


def _pedal_drags(x: Examined) -> Iterator[Outcome]:
    if x.layout.hand is None:
        return
    o, y = dragged(x), x.by_hand
    held = 0.0 if y is None else held_by(y, o.facts["moved"])
    yield replace(o, facts={**o.facts, "held": held, "main": x.layout.main.name})


def _hand_drags(x: Examined) -> Iterator[Outcome]:
    y = x.by_hand
    if y is not None:
        yield replace(dragged(y), applies=y.ok)


def _left_words(o: Outcome, other: str, end: str) -> str:
    """Say that a slot parts two inputs, and how much of it is left."""
    f = o.facts
    if f["only"]:
        return f"{o.called} can only {f['only']} and goes slack: {other} stays"
    text = (
        f"{other} stays where it is: {say(o.value, 'length')} of the "
        f"{say(f['slot'], 'length')} of slot in {o.called} are left {end}"
    )
    if o.rank:
        text += f"; at least {say(o.limit, 'length', 2)} is asked"
    return text


def _longer(o: Outcome) -> str:
    return f"the slot must be {say(-o.value, 'length')} longer"


def _pedal_words(o: Outcome) -> str:
    f = o.facts
    if o.rank != BAD:
        return f"by pedal: {_left_words(o, 'the hand lever', 'with the pedal down')}"
    held = "it is not home"
    if f["held"] > SHUT_YET:
        held = f"it holds {f['main']} open, at {say(f['held'], 'angle')}"
    if f["only"]:
        how = f"{o.called}, which can only {f['only']},"
        what = "hook or push it so that the pedal lets it go slack"
    else:
        how = f"the slot of {o.called} is used up and"
        what = _longer(o)
    return (
        f"the pedal drags the hand lever: at pad {say(o.at, 'length')} {how} moves "
        f"`{f['lever']}`, by {say(f['moved'], 'length')} with the pedal down; left there "
        f"{held}; {what}"
    )


def _pedal_short(o: Outcome) -> Short:
    f = o.facts
    if o.rank == FITS:
        return "the pedal does not move the hand lever", ""
    if o.rank == LOOK:
        return _left_short(o, "the pedal", "hand lever")
    more = f"it can only {f['only']}" if f["only"] else _longer(o)
    return (
        f"the pedal drags the hand lever by {say(f['moved'], 'length')}",
        f"{o.called}: {more}",
    )


def _left_short(o: Outcome, one: str, other: str) -> Short:
    return (
        f"{one} almost moves the {other}",
        (
            f"{say(o.value, 'length')} of slot left in {o.called}, "
            f"{say(o.limit, 'length', 2)} asked"
        ),
    )


PEDAL_DRAGS: Final = Rule(
    code="pedal-drags-hand",
    judge=_pedal_drags,
    name="the pedal and the hand lever",
    words=_pedal_words,
    short=_pedal_short,
    meaning="The pedal moves nothing of the hand lever: the slot in the rod that leads "
    "there takes up the pedal's whole way. A hand lever that is dragged along is held "
    "where it comes to, and holds the throttle open when the foot is off. A slot of 48 mm "
    "is common practice, no source.",
    verdicts="fits, look, or do not fit",
    limits=("idle_clearance",),
    silenced_by=(Silence(by="opening-sense"), Silence(by="reach")),
    cures=("slot longer", "rod lost"),
    cure="a longer slot, or less of it lost at rest",
)


def _hand_words(o: Outcome) -> str:
    f, rod = o.facts, o.called
    moved = f"by {say(f['moved'], 'length')} at its full end"
    if o.rank != BAD:
        return f"by hand: {_left_words(o, 'the pedal', 'with the hand lever at its full end')}"
    if f["slot"] is not None:
        if f["only"]:
            how = f"{rod}, which can only {f['only']}, does not go slack"
        else:
            how = f"the slot of {rod} is used up; it must be {say(-o.value, 'length')} longer"
        return (
            f"the hand lever drags the pedal: at hand lever {say(o.at, 'length')} {how}, "
            f"and `{f['lever']}` moves {moved}"
        )
    if o.about.kind == "rod":
        return (
            f"the hand lever drags the pedal, `{f['lever']}` {moved}: {rod} carries both "
            f"ways; a slot of {say(f['need'], 'length')} and something over in it parts them"
        )
    return (
        f"the hand lever drags the pedal, `{f['lever']}` {moved}: its rod leads to the "
        "pedal's own shaft; lead it to a lever that the pedal moves through a slot"
    )


def _hand_short(o: Outcome) -> Short:
    f = o.facts
    if o.rank == FITS:
        return "the hand lever does not move the pedal", ""
    if o.rank == LOOK:
        return _left_short(o, "the hand lever", "pedal")
    if f["slot"] is not None:
        more = f"it can only {f['only']}" if f["only"] else _longer(o)
        more = f"{o.called}: {more}"
    elif o.about.kind == "rod":
        more = f"{o.called} has no slot and needs {say(f['need'], 'length')}"
    else:
        more = "its rod leads to the pedal's own shaft"
    return f"the hand lever drags the pedal by {say(f['moved'], 'length')}", more


def _slot_advice(o: Outcome) -> str:
    """Return how long a slot is to be made where there is none yet."""
    need = o.facts["need"]
    if o.rank != BAD or o.facts["slot"] is not None or not need:
        return ""
    slot = math.floor(need / STEP + 2) * STEP  # what is asked, and something over
    return (
        f"give {o.called} a slot of {say(slot, 'length')} at its lever, and the "
        "pedal a spring of its own that holds it up"
    )


HAND_DRAGS: Final = Rule(
    code="hand-drags-pedal",
    judge=_hand_drags,
    name="the hand lever and the pedal",
    words=_hand_words,
    short=_hand_short,
    meaning="The hand lever moves nothing of the pedal: the slot in the pedal's own rod "
    "takes up the hand lever's whole way. A pedal that goes down by itself is under no "
    "foot, and what is under it stops the hand lever.",
    verdicts="fits, look, or do not fit",
    limits=("idle_clearance",),
    silenced_by=WRONG,
    cures=("slot longer", "rod lost"),
    advice=_slot_advice,
    task=_slot_advice,
    cure="a longer slot in the pedal's rod, or one where there is none",
    hand=True,
)
