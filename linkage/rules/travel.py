"""Rules about the travel: reach, full throttle, what is left over, twins, tip-in.

Not here: the pedal up (`rules.rest`), angles and dead centres (`rules.angles`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import at, greater, lesser, pick, where_most
from linkage.model.refs import Ref
from linkage.motion.tip_in import tip_in as start_of
from linkage.quantities import say
from linkage.rules.play import driven_on, lever_radius, play_loss
from linkage.rules.rule import (
    BAD,
    FITS,
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    at_pad,
    ranked,
    the_plate,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined

_ROD: Final = ("rod cut", "rod lost", "rod way", "rod play")
#: Kinds of changes by which a plate is moved further or less.
STROKE: Final = ("stop later", *_ROD, "stop back", "arm length", "arm angle within 20°")


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
            facts={"miss": x.working.miss},
        )


def _reach_words(o: Outcome) -> str:
    if not o.rank:
        return "every rod reaches through the whole travel"
    miss = o.facts["miss"]
    word = "short" if miss > 0 else "long"
    extra = (
        f"; at the pedal's end it is {say(abs(miss), 'length')} too {word}"
        if miss
        else ""
    )
    return (
        f"rod `{o.about.name}` jams with the pad at {say(o.at, 'length')}: it goes "
        f"no further, {say(o.limit - o.at, 'length')} before "
        f"the pedal's end{extra}"
    )


def _reach_short(o: Outcome) -> Short:
    if not o.rank:
        return "every rod reaches through the whole travel", ""
    miss = o.facts["miss"]
    left = f"{say(o.limit - o.at, 'length')} before the pedal's end"
    if miss:
        left += f", where it is {say(abs(miss), 'length')} too {'short' if miss > 0 else 'long'}"
    return f"rod `{o.about.name}` jams at {say(o.at, 'length')} of pad", left


REACH: Final = Rule(
    code="reach",
    judge=_reach,
    name="the reach of rods",
    words=_reach_words,
    short=_reach_short,
    meaning="Every rod reaches from its driving to its driven arm through the whole "
    "travel. If not: which jams, at which pad position, and by how much it is too "
    "short or too long at the pedal's end.",
    silenced_by=(SHUT,),
    cures=("arm angle any way", "arm length", "slot longer", "rod lost"),
    cure="the arms at the rod turned or made longer or shorter, a slot made longer, or a "
    "rod with one set to lose more or less",
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
                "radius": lever_radius(x, throttle),
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
    silenced_by=(SHUT, JAM),
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
        text += ", past that the foot loads rods and carburettor stop"
    return text


LEFT_OVER: Final = Rule(
    code="left-over-travel",
    judge=_left_over,
    name="pad travel left over",
    words=_left_over_words,
    short=lambda o: (
        f"{say(o.value, 'length')} of pad travel are left at the {stopped_by(o)}",
        f"up to {say(o.limit, 'length')} is in order, past it the foot loads the rods",
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


def _spread(x: Examined) -> Iterator[Outcome]:
    one, *others = x.layout.plates
    limit = x.layout.limits.throttle_spread
    for other in others:
        gap = np.abs(x.motion.opening(one.name) - x.motion.opening(other.name))
        worst = where_most(gap)
        value = at(gap, worst)
        yield Outcome(
            about=Ref("throttle", other.name),
            part=(Ref("throttle", one.name),),
            rank=ranked(value <= limit, LOOK),
            value=value,
            limit=limit,
            kind="angle",
            at=at(x.motion.pad_travel, worst),
        )


def _both(o: Outcome) -> str:
    return f"{o.part[0]} and {o.about}"


SPREAD: Final = Rule(
    code="throttle-spread",
    judge=_spread,
    words=lambda o: (
        f"{_both(o)} differ by {say(o.value, 'angle')} at most, with the pad "
        f"at {say(o.at, 'length')}; up to {say(o.limit, 'angle')} is in order"
    ),
    name="plates that open together",
    short=lambda o: (
        f"plates `{o.part[0].name}` and `{o.about.name}` differ by {say(o.value, 'angle')}",
        f"at pad {say(o.at, 'length')}, up to {say(o.limit, 'angle')} is in order",
    ),
    who=_both,
    meaning="How much two plates differ anywhere in the travel.",
    verdicts="fits, or look",
    refuses=False,
    limits=("throttle_spread",),
    silenced_by=(SHUT,),
    cures=STROKE,
    cure="an arm on the way to the second plate longer or shorter, or turned",
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
