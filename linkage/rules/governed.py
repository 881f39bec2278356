"""Rules about a governor: at rest full open, and it shuts as the engine runs faster.

What drives must shut. Inside, what a governor does to a throttle counts as opening it, so
what is asked of a pedal's travel, angles and dead centres is asked here too, in words of
its own (`rules.governor_words`).

Not here: its spring, and parts that fail (`rules.governor_springs`), the rules of a pedal
(`rules.order`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.model import turning
from linkage.model.columns import greater, negated, pick
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.one_turn import FAR, NEAR, TURN, set_to
from linkage.rules.play import lever_radius, play_loss
from linkage.rules.rule import (
    BAD,
    FITS,
    LOOK,
    Outcome,
    Rule,
    Short,
    Silence,
    graded,
    the_plate,
)
from linkage.rules.senses import OPENING_SENSE
from linkage.rules.travel import FULL_THROTTLE
from linkage.spoken import say_hole, say_rod

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined

#: Share of the swing short of full that takes power away; common practice, no source.
LOST: Final = 0.05
#: Share of its length to which a lever is made shorter by another hole in it.
HALF: Final = 0.5
_HOW: Final = "set it so that both pins just line up, then one turn that shuts"
#: Play at the throttle that is looked at, and that is too much: "as near none as
#: possible"; common practice, no source. [rad]
PLAY_LOOK: Final = math.radians(1)
PLAY_BAD: Final = math.radians(3)


def _sense_words(o: Outcome) -> str:
    f = o.facts
    way = turning(-f["opens"] if o.rank else f["opens"])
    text = f"as the engine runs faster `{f['shaft']}` turns {way} seen from {f['seen']}"
    if o.rank:
        return f"{text}: that opens {o.about.name}, and the engine runs away"
    return f"{text}: that shuts {o.about.name}"


def _sense_short(o: Outcome) -> Short:
    name, f = the_plate(o.about.name), o.facts
    way = turning(-f["opens"] if o.rank else f["opens"])
    turns = f"it turns `{f['shaft']}` {way} seen from {f['seen']}"
    return f"the governor {'opens' if o.rank else 'shuts'} {name}", turns


def _sense_advice(o: Outcome) -> str:
    if o.rank == FITS:
        return ""
    return (
        f"turn the sense round once: put the lever of `{o.facts['shaft']}` on the other side "
        "of its spindle, or the governor's arm on the other side of its shaft"
    )


SENSE: Final = Rule(
    code="governor-sense",
    judge=OPENING_SENSE.judge,
    name="the way the governor turns the plate",
    words=_sense_words,
    short=_sense_short,
    place=lambda _: "",
    meaning="As the engine runs faster the governor shuts every plate. If it opens one, "
    "nothing else is told of the travel.",
    cures=("arm side", "drum turned over"),
    cure="one arm of the way on the other side of its shaft, or a drum turned over",
    advice=_sense_advice,
    advised_last=True,
    task=_sense_advice,
)


def _rest(x: Examined) -> Iterator[Outcome]:
    for name, throttle in x.layout.throttles.items():
        radius = lever_radius(x.layout, throttle)
        off = x.working.opening_at_start[name]
        rod, length = set_to(x.assembly, throttle)
        tight = greater(-throttle.opens * x.assembly.rest[throttle.shaft] * radius, 0.0)
        away = off * radius
        well = (away >= NEAR) & (away <= FAR)
        yield Outcome(
            about=Ref("throttle", name),
            rank=pick(off <= LOST * throttle.swing, pick(well, FITS, LOOK), BAD),
            value=away,
            limit=NEAR,
            kind="length",
            at=0.0,
            facts={"off": off, "tight": tight, "rod": rod, "length": length},
        )


def _kind(o: Outcome) -> str:
    """Return whether the last to a plate is a rod or a cable."""
    return o.kinds.get(o.facts["rod"].name, "rod")


def _rest_advice(o: Outcome) -> str:
    if o.rank == FITS:
        return ""
    length = say_rod(o.facts["length"])
    to = f"to leave {length} of wire free" if _kind(o) == "cable" else f"to {length}"
    return (
        f"set {o.rod(o.facts['rod'].name)} {to}, {say(TURN, 'length', 1)} at the lever past where "
        "both pins line up: try it with the engine stopped"
    )


def _rest_words(o: Outcome) -> str:
    f, name = o.facts, o.about.name
    away = (
        f"with the engine stopped {name} stands {say(o.value, 'length', 2)} off its full "
        f"stop at its lever, {say(f['off'], 'angle')}"
    )
    if o.rank == FITS:
        return f"{away}: the governor's arm comes to its own end first"
    if o.value > FAR:
        return f"{away}: full power is lost; {_HOW}"
    tight = f", tight by {say(f['tight'], 'length', 2)}" if f["tight"] > 0 else ""
    return (
        f"with the engine stopped {name} is hard on its full stop{tight}, and the "
        f"governor's arm short of its own end: the {_kind(o)} is one turn short; {_HOW}"
    )


def _rest_short(o: Outcome) -> Short:
    f, name = o.facts, the_plate(o.about.name)
    away = f"{say(o.value, 'length', 2)} at its lever"
    if o.rank == FITS:
        return f"{name} stands just off its full stop at rest", away
    if o.value > FAR:
        off = say(f["off"], "angle")
        return f"{name} stands {off} short of full open at rest", f"{away}; {_HOW}"
    return (
        f"the {_kind(o)} to {name} is one turn short",
        f"hard on its full stop at rest; {_HOW}",
    )


REST: Final = Rule(
    code="governor-rest",
    judge=_rest,
    name="full open at rest",
    words=_rest_words,
    short=_rest_short,
    place=lambda _: "at rest",
    meaning="With the engine stopped each plate stands full open, but its lever half a "
    "millimetre or a turn of the rod's thread off the full stop, so that the governor's "
    "arm comes to its own end first and its spring lies there: pins lined up, then one "
    "turn (common practice, no source). From 0.3 to 2 mm fits; short of full by more than "
    "5 % of the swing do not fit.",
    verdicts="fits, look, or do not fit",
    silenced_by=(Silence(by="governor-sense"),),
    cures=("rod turns",),
    cure="its last rod made longer or shorter by turns of its thread",
    advice=_rest_advice,
    advised_last=True,
    task=_rest_advice,
)


def _shuts_words(o: Outcome) -> str:
    f = o.facts
    share = say(o.value, "fraction")
    text = f"the governor shuts {o.about.name} by {share} of its swing"
    if not o.rank:
        return f"{text}, {say(f['reached'], 'angle')} of {say(f['swing'], 'angle')}"
    missing = f["swing"] - f["reached"]
    return (
        f"{text} only, at least {say(o.limit, 'fraction')} is asked: "
        f"{say(missing, 'angle')} or {say(missing * f['radius'], 'length')} at its lever "
        "are missing, and without load the engine races"
    )


def _shuts_short(o: Outcome) -> Short:
    f = o.facts
    share = say(o.value, "fraction")
    of = f"{say(f['reached'], 'angle')} of {say(f['swing'], 'angle')}"
    if not o.rank:
        return f"the governor shuts {the_plate(o.about.name)} {share}", of
    return f"the governor shuts {the_plate(o.about.name)} only {share}", of


def _shuts_advice(o: Outcome) -> str:
    if o.rank == FITS:
        return ""
    f = o.facts
    most = f["radius"] * f["reached"] / f["swing"]
    if not most > HALF * f["radius"]:
        return (
            "measure the governor's travel and the levers again: so little of it shuts the "
            "throttle that no other hole makes up for it"
        )
    return (
        f"make the lever of {o.about.name} about {say_hole(most)} instead of "
        f"{say_hole(f['radius'])}, or the governor's arm as much longer; then check again"
    )


SHUTS: Final = Rule(
    code="governor-shuts",
    judge=FULL_THROTTLE.judge,
    name="shut by the governor",
    words=_shuts_words,
    short=_shuts_short,
    place=lambda _: "",
    meaning="The governor's arm, at the end of its travel, shuts each plate wholly, less "
    "the play of all rods on the way: else the engine races without load.",
    limits=("full_throttle",),
    silenced_by=(Silence(by="governor-sense"), Silence(by="governor-reach")),
    cures=("arm length", "arm angle"),
    cure="an arm on the way made longer or shorter, or turned",
    advice=_shuts_advice,
    advised_last=True,
    task=_shuts_advice,
)


def _play(x: Examined) -> Iterator[Outcome]:
    for name, throttle in x.layout.throttles.items():
        loss = play_loss(x, throttle)
        yield Outcome(
            about=Ref("throttle", name),
            rank=graded(loss <= PLAY_LOOK, loss <= PLAY_BAD),
            value=loss,
            limit=PLAY_LOOK,
            kind="angle",
            applies=negated(loss <= 0),
        )
        for link in x.layout.path_to(throttle.shaft):
            if link.rod.loose:
                yield Outcome(
                    about=Ref("throttle", name),
                    part=(Ref("rod", link.rod.name),),
                    rank=BAD,
                    at=math.nan,
                )


def _play_words(o: Outcome) -> str:
    if o.part:
        return (
            f"{o.rod(o.part[0].name)} on the way to {o.about.name} lets go one way: a governor "
            "must move the throttle both ways at once; join it by a rod without a slot"
        )
    text = f"the play of joints on the way to {o.about.name} is {say(o.value, 'angle')} there"
    if not o.rank:
        return text
    return f"{text}: the engine hunts; as near none as possible is asked"


def _play_short(o: Outcome) -> Short:
    if o.part:
        return (
            f"{o.rod(o.part[0].name)} lets go one way",
            "a governor moves it both ways",
        )
    what = f"play takes {say(o.value, 'angle')} at {the_plate(o.about.name)}"
    return what, "the engine hunts" if o.rank else ""


PLAY: Final = Rule(
    code="governor-play",
    judge=_play,
    name="play in a governor's linkage",
    words=_play_words,
    short=_play_short,
    place=lambda _: "",
    meaning="How far a plate moves within the play of all joints on its way: a governor "
    "answers every speed with a place, and hunts within the play. Up to 1° fits, up to "
    "3° is looked at (common practice, no source). A rod that lets go one way, by a slot "
    "or as a wire does, is refused.",
    verdicts="fits, look, or do not fit",
    silenced_by=(Silence(by="governor-sense"),),
    cures=("rod play",),
    cure="worn joints renewed",
)


#: Rules of a governor's motion.
MOTION: Final = (SENSE, SHUTS, REST, PLAY)
