"""Rules about the pedal up: idle stops, lost travel, setting, the gaps at stops.

Not here: the pedal down (`rules.travel`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import greater, pick, some
from linkage.model.refs import Ref
from linkage.motion.giving import spares_main
from linkage.motion.setting import set_full_first
from linkage.motion.tip_in import first_move
from linkage.quantities import say
from linkage.rules.play import lever_radius, play_loss
from linkage.rules.rule import (
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    fixed,
    ranked,
    the_plate,
)
from linkage.rules.travel import STROKE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined

_SET: Final = ("rod cut", "rod lost", "free play")
#: Opening below which a lever rests on its stop. [rad]
RESTS: Final = 1e-9


def _idle(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.idle_gap
    openings = x.working.opening_at_start
    for name, throttle in x.layout.throttles.items():
        off = openings[name]
        yield Outcome(
            about=Ref("throttle", name),
            rank=ranked(off <= limit),
            value=pick(off > RESTS, off, 0.0),
            limit=limit,
            kind="angle",
            at=0.0,
            facts={
                "off": off,
                "radius": lever_radius(x.layout, throttle),
                "start": x.working.start,
                "openings": openings,
            },
        )


def _idle_words(o: Outcome) -> str:
    f, name = o.facts, o.about.name
    if not o.rank:
        return f"{name} rests on its idle stop with the pedal up"
    by = ""
    if f["start"]:
        first = min(f["openings"], key=f["openings"].__getitem__)
        by = f": {first} is on its own idle stop first and holds the linkage there"
    return (
        f"{name} is held {say(f['off'], 'angle')} off its idle stop with the pedal "
        f"up, {say(f['off'] * f['radius'], 'length', 2)} at its lever{by}"
    )


def _idle_short(o: Outcome) -> Short:
    f, name = o.facts, the_plate(o.about.name)
    if not o.rank:
        return f"{name} rests on its idle stop with the pedal up", ""
    return (
        f"{name} stays {say(f['off'], 'angle')} open with the pedal up",
        f"{say(f['off'] * f['radius'], 'length', 2)} at its lever",
    )


IDLE: Final = Rule(
    code="idle",
    judge=_idle,
    name="rest at idle",
    words=_idle_words,
    short=_idle_short,
    meaning="Each lever rests on its idle stop with the pedal up, and not on its rod, "
    "nor held off by another lever that meets its own stop first.",
    limits=("idle_gap",),
    silenced_by=(SHUT,),
    cures=_SET,
    cure="a rod of given length set to fit the lever on its stop",
)


def _lost(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.lost_travel
    lost = first_move(x.layout, x.working)
    yield Outcome(
        about=Ref("pedal"),
        rank=ranked(lost <= limit, LOOK),
        value=lost,
        limit=limit,
        kind="length",
        at=lost,
        facts={"main": x.layout.main.name},
    )


LOST_TRAVEL: Final = Rule(
    code="lost-travel",
    judge=_lost,
    words=lambda o: (
        f"{say(o.value, 'length')} of pad travel go before "
        f"{o.facts['main']} moves; up to {say(o.limit, 'length')} is in order"
    ),
    name="lost travel",
    short=lambda o: (
        f"{say(o.value, 'length')} of pad are gone before {the_plate(o.facts['main'])} moves",
        f"up to {say(o.limit, 'length')} is in order",
    ),
    meaning="Pad travel that is gone before the main plate moves: free play and slack.",
    verdicts="fits, or look",
    refuses=False,
    limits=("lost_travel",),
    silenced_by=(SHUT,),
    cures=_SET,
    cure="the rod set to fit, or to lose less where it has a slot, or the pedal's free play "
    "taken up",
)


def _setting(x: Examined) -> Iterator[Outcome]:
    main, limits = x.layout.main, x.layout.limits
    if spares_main(x.assembly):
        return  # the pedal's end is past full there: its spring takes up the rest
    short = x.working.opening_at_end[main.name] - play_loss(x, main)
    full = short / main.swing >= limits.full_throttle
    if not some(full):
        return  # not full is told already
    s = set_full_first(x.assembly, samples=x.grain.samples, coarse=x.working.coarse)
    if s is None:
        return  # not full is told already
    yield Outcome(
        about=Ref("rod", s.rod),
        applies=full & np.isfinite(s.length),
        rank=ranked(s.opening_at_rest <= limits.idle_gap, LOOK),
        value=s.opening_at_rest,
        limit=limits.idle_gap,
        kind="angle",
        at=0.0,
        facts={
            "main": main.name,
            "length": s.length,
            "end": s.pad_travel,
            "start": s.start,
        },
    )


def _setting_words(o: Outcome) -> str:
    f = o.facts
    if o.rank:
        outcome = (
            f"then holds {f['main']} {say(o.value, 'angle')} off its idle stop: the "
            "linkage moves the lever less than its swing"
        )
    else:
        outcome = (
            f"then rests on its idle stop at the first {say(f['start'], 'length')} of "
            "pad, so idle is proven"
        )
    return (
        f"set full first: {o.called} at {say(f['length'], 'length')} centre to "
        f"centre meets the full stop with the pad at {say(f['end'], 'length')}; the lever "
        f"{outcome}"
    )


def _setting_short(o: Outcome) -> Short:
    f = o.facts
    rod = f"{o.called} at {say(f['length'], 'length')}"
    if not o.rank:
        return "set at full first, it rests at idle too", rod
    return (
        f"set at full first, {the_plate(f['main'])} stays {say(o.value, 'angle')} open at idle",
        f"{rod} moves the lever less than its swing",
    )


FULL_THEN_IDLE: Final = Rule(
    code="full-then-idle",
    judge=_setting,
    name="setting at full first",
    words=_setting_words,
    short=_setting_short,
    meaning="The trade's order of setting, in numbers: the last rod's length that meets "
    "the full stop with the pedal on its stop, and whether the lever then rests on its "
    "idle stop. Not of a rod with an over-travel spring, which takes up the rest.",
    verdicts="fits, or look",
    refuses=False,
    limits=("full_throttle", "idle_gap"),
    silenced_by=(SHUT,),
    cures=STROKE,
    cure="an arm longer or shorter, or turned, so that the linkage moves the lever by "
    "its whole swing",
)


def _gaps(x: Examined) -> Iterator[Outcome]:
    w = x.working
    for name, throttle in x.layout.throttles.items():
        radius = lever_radius(x.layout, throttle)
        at_idle = greater(w.opening_at_start[name], 0.0) * radius
        at_full = greater(throttle.swing - w.opening_at_end[name], 0.0) * radius
        yield Outcome(
            about=Ref("throttle", name),
            value=at_full,
            kind="length",
            at=w.end,
            facts={"idle": at_idle},
        )


STOP_GAP: Final = Rule(
    code="stop-gap",
    judge=_gaps,
    words=lambda o: (
        f"{o.about.name}: gap at the lever {say(o.facts['idle'], 'length', 2)} "
        f"at the idle stop with the pedal up, {say(o.value, 'length', 2)} at the full stop "
        f"with the pad at {say(o.at, 'length')}"
    ),
    name="gaps at the stops",
    short=lambda o: (
        f"gaps at the lever of {the_plate(o.about.name)}",
        f"{say(o.facts['idle'], 'length', 2)} at idle, {say(o.value, 'length', 2)} at full",
    ),
    place=fixed("both stops"),
    meaning="The gap at the lever at both of its stops.",
    verdicts="fits: told, not judged",
    refuses=False,
    silenced_by=(SHUT,),
)
