"""Rules about the travel: reach, full throttle, what is left over, tip-in.

Not here: plates beside each other (`rules.together`), the pedal up (`rules.rest`), angles
and dead centres (`rules.angles`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.connect import LostMotion
from linkage.model.columns import greater, last, lesser, pick
from linkage.model.refs import Ref
from linkage.motion.tip_in import tip_in as start_of
from linkage.quantities import say
from linkage.rules.cams import at_its_end, runs_off
from linkage.rules.play import driven_on, lever_radius, play_loss
from linkage.rules.rule import (
    BAD,
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    Silence,
    at_pad,
    ranked,
    the_plate,
)
from linkage.rules.slack import used_up

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model.columns import Number, Truth
    from linkage.rules.examine import Examined

#: Share of its way past which an over-travel spring that jams is used up.
USED: Final = 0.999
_ROD: Final = ("rod cut", "rod lost", "rod way", "rod play")
_ARM: Final = ("arm as its twin", "arm length", "arm angle within 20°")
#: Kinds of changes by which a plate is moved further or less.
STROKE: Final = ("stop later", *_ROD, "stop back", *_ARM)


def stopped_by(o: Outcome) -> Ref:
    """Return what stops the pedal, from facts of an outcome."""
    ref: Ref = o.facts["stops"][int(o.facts["stopped"])]
    return ref


def _reach(x: Examined) -> Iterator[Outcome]:
    w, end = x.working, x.layout.pedal.end
    yield Outcome(about=Ref("all", "rods"), applies=np.logical_not(x.working.jammed))
    for link in x.layout.links:
        yield Outcome(
            about=Ref("rod", link.rod.name),
            part=(Ref("arm", link.driven.shaft, link.driven.arm),),
            applies=x.working.is_stopped_by("jam", link.rod.name),
            rank=BAD,
            value=w.end,
            limit=end,
            kind="length",
            at=w.end,
            facts={
                "miss": x.working.miss,
                "used": _used(x, link.rod.name),
                "spring": _spring_used(x, link.rod.name),
                "way": link.rod.over_travel,
                "off": at_its_end(x, link.rod.name),
            },
        )


def _used(x: Examined, rod: str) -> Number:
    """Return how much more slot a rod would need; 0 where no slot is used up. [m]."""
    loop = x.assembly.loop(rod)
    if not isinstance(loop, LostMotion):
        return 0.0
    used: Number = used_up(x, loop)
    return pick(used > 0, used, 0.0)


def _spring_used(x: Examined, rod: str) -> Truth:
    """Tell whether a rod's over-travel spring has given all its way."""
    given = x.speeds.given.get(rod)
    return (
        False if given is None else last(given) > USED * x.layout.rods[rod].over_travel
    )


def _more_way(o: Outcome) -> str:
    """Return how much more way an over-travel spring would need, where that is known."""
    miss = abs(o.facts["miss"])
    return f"; it would need {say(miss, 'length')} more of way" if miss else ""


def _reach_words(o: Outcome) -> str:
    if not o.rank:
        return f"every {o.a_rod} reaches through the whole travel"
    if off := runs_off(o):
        return f"{off}, {say(o.limit - o.at, 'length')} before the pedal's end"
    miss, used = o.facts["miss"], o.facts["used"]
    if used:
        return (
            f"the slot of {o.called} is used up with the pad at "
            f"{say(o.at, 'length')}: its pin meets the end that does not drive, and the "
            f"linkage goes no further, {say(o.limit - o.at, 'length')} before the pedal's "
            f"end; the slot must be {say(used, 'length')} longer"
        )
    if o.facts["spring"]:
        return (
            f"the over-travel spring of {o.called} is used up with the pad at "
            f"{say(o.at, 'length')}, all {say(o.facts['way'], 'length')} of it: from there "
            "on the foot is on rod, lever and stop, "
            f"{say(o.limit - o.at, 'length')} before the pedal's end{_more_way(o)}"
        )
    word = "short" if miss > 0 else "long"
    extra = (
        f"; at the pedal's end it is {say(abs(miss), 'length')} too {word}"
        if miss
        else ""
    )
    return (
        f"{o.called} jams with the pad at {say(o.at, 'length')}: it goes "
        f"no further, {say(o.limit - o.at, 'length')} before "
        f"the pedal's end{extra}"
    )


def _reach_short(o: Outcome) -> Short:
    if not o.rank:
        return f"every {o.a_rod} reaches through the whole travel", ""
    if off := runs_off(o):
        return off, f"{say(o.limit - o.at, 'length')} before the pedal's end"
    miss, used = o.facts["miss"], o.facts["used"]
    if used:
        return (
            f"the slot of {o.called} is used up at {say(o.at, 'length')} of pad",
            f"it must be {say(used, 'length')} longer",
        )
    left = f"{say(o.limit - o.at, 'length')} before the pedal's end"
    if o.facts["spring"]:
        what = f"the over-travel spring of {o.called} is used up"
        return what, f"at {say(o.at, 'length')} of pad, {left}{_more_way(o)}"
    if miss:
        left += f", where it is {say(abs(miss), 'length')} too {'short' if miss > 0 else 'long'}"
    return f"{o.called} jams at {say(o.at, 'length')} of pad", left


REACH: Final = Rule(
    code="reach",
    judge=_reach,
    name="the reach of {rods}",
    words=_reach_words,
    short=_reach_short,
    meaning="Every rod reaches from its driving to its driven arm through the whole "
    "travel. If not: which jams, at which pad position, and by how much it is too "
    "short or too long at the pedal's end; of a slot that is used up, how much longer it "
    "must be, and of an over-travel spring, how much more way it would need. A cam's roller "
    "stays on its profile.",
    silenced_by=(SHUT,),
    cures=(
        "arm angle any way",
        "arm length",
        "slot longer",
        "rod lost",
        "over-travel way",
        "sheath end",
        "cam longer",
    ),
    cure="the arms at the rod turned or made longer or shorter, a slot made longer, or a "
    "rod with one set to lose more or less; an over-travel spring of more way, or a pedal "
    "stop before it is used up; the end of a sheath moved; a cam that goes on further",
)


def _full(x: Examined) -> Iterator[Outcome]:
    w, limit = x.working, x.layout.limits.full_throttle
    for name, throttle in x.layout.throttles.items():
        loss = play_loss(x, throttle)
        alone = w.opening_at_end[name] - loss
        on = lesser(greater(alone, driven_on(x, throttle) - loss), throttle.swing)
        reached = pick(x.working.is_stopped_by("full stop", name), on, alone)
        share = reached / throttle.swing
        yield Outcome(
            about=Ref("throttle", name),
            rank=ranked(share >= limit),
            value=share,
            limit=limit,
            kind="fraction",
            at=w.end,
            facts={
                "reached": reached,
                "swing": throttle.swing,
                "loss": loss,
                "radius": lever_radius(x.layout, throttle),
                **x.stopped,
            },
        )


def _full_words(o: Outcome) -> str:
    f = o.facts
    play = f" less {say(f['loss'], 'angle')} of play" if f["loss"] else ""
    text = (
        f"{o.about.name} reaches {say(f['reached'], 'angle')} of {say(f['swing'], 'angle')}"
        f" ({say(o.value, 'fraction')}){play}, stopped by the "
        f"{stopped_by(o)}; at least {say(o.limit, 'fraction')} is asked"
    )
    if o.rank:
        missing = f["swing"] - f["reached"]
        text += (
            f"; {say(missing, 'angle')} or {say(missing * f['radius'], 'length')} "
            "at its lever are missing"
        )
    return text


def _full_short(o: Outcome) -> Short:
    f = o.facts
    of = f"{say(f['reached'], 'angle')} of {say(f['swing'], 'angle')}"
    share = say(o.value, "fraction")
    if not o.rank:
        return f"{the_plate(o.about.name)} opens {share}", of
    missing = (f["swing"] - f["reached"]) * f["radius"]
    return (
        f"{the_plate(o.about.name)} opens only {share}",
        f"{of}, {say(missing, 'length')} at its lever are missing",
    )


FULL_THROTTLE: Final = Rule(
    code="full-throttle",
    judge=_full,
    name="full throttle",
    words=_full_words,
    short=_full_short,
    meaning="Each plate reaches its full stop with the pedal on its own, less the play "
    "of all rods on the way. The shortfall is given in degrees and in mm at the lever.",
    limits=("full_throttle",),
    silenced_by=(SHUT, JAM, Silence(by="slot-drives", same=True)),
    cures=STROKE,
    cure="a pedal stop set later, an arm longer or shorter, an arm turned, a rod of given "
    "length cut to fit, or one with a slot set to lose less",
)


def _left_over(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.left_over_travel
    left = x.working.left_over
    yield Outcome(
        about=Ref("pedal"),
        applies=x.working.is_stopped_by("full stop"),
        rank=ranked(left <= limit, LOOK),
        value=left,
        limit=limit,
        kind="length",
        at=x.working.end,
        facts=x.stopped,
    )


def _left_over_words(o: Outcome) -> str:
    text = (
        f"the {stopped_by(o)} is met with {say(o.value, 'length')} of pad travel "
        f"left; up to {say(o.limit, 'length')} is in order"
    )
    if o.rank:
        text += f", past that the foot loads {o.rods} and carburettor stop"
    return text


LEFT_OVER: Final = Rule(
    code="left-over-travel",
    judge=_left_over,
    name="pad travel left over",
    words=_left_over_words,
    short=lambda o: (
        f"{say(o.value, 'length')} of pad travel are left at the {stopped_by(o)}",
        f"up to {say(o.limit, 'length')} is in order, past it the foot loads the {o.rods}",
    ),
    meaning="Pad travel left after the full stop of the carburettor. Past the limit the "
    "foot loads rods and carburettor stop.",
    verdicts="fits, or look",
    refuses=False,
    limits=("left_over_travel",),
    silenced_by=(SHUT,),
    cures=("pedal stop",),
    cure="a pedal stop where the full stop is met",
)


def _tip_in(x: Examined) -> Iterator[Outcome]:
    start = start_of(x.assembly, x.working)
    limit = x.layout.limits.tip_in
    yield Outcome(
        about=Ref("throttle", x.layout.main.name),
        applies=start.end > start.start,
        rank=ranked(start.ratio <= limit, LOOK),
        value=start.ratio,
        limit=limit,
        kind="angle per travel",
        at=start.start,
        facts={"end": start.end},
    )


TIP_IN: Final = Rule(
    code="tip-in",
    judge=_tip_in,
    words=lambda o: (
        "the first tenth of the travel gives "
        f"{say(o.value, 'angle per travel')} of throttle; more than "
        f"{say(o.limit, 'angle per travel')} is touchy"
    ),
    name="the start of the pedal",
    short=lambda o: (
        f"the first tenth of the pedal gives {say(o.value, 'angle per travel')}",
        f"more than {say(o.limit, 'angle per travel')} is touchy",
    ),
    place=lambda o: f"{at_pad(o)} to {say(o.facts['end'], 'length')}",
    meaning="How much throttle a millimetre of pad gives over the first tenth of the "
    "travel. Past the limit it is touchy.",
    verdicts="fits, or look",
    refuses=False,
    limits=("tip_in",),
    silenced_by=(SHUT, JAM),
    cures=STROKE,
    cure="an arm longer or shorter, or turned",
)
