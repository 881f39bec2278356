"""Rules about angles: arm to rod, dead centre, lean of joints.

Not here: springs' lines (`rules.spring_lines`), the travel (`rules.travel`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import JOINT_TILT, WIRE_TILT, Hole
from linkage.model.columns import (
    at,
    first,
    last,
    least,
    lesser,
    pick,
    where_least,
    where_most,
)
from linkage.model.refs import Ref
from linkage.motion.dead_centre import SEARCH
from linkage.quantities import say
from linkage.rules.rule import (
    BAD,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    Silence,
    about,
    graded,
    ranked,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model.columns import Number, Positions
    from linkage.rules.examine import Examined

#: Share of a joint's lean above which to look: a fifth is kept in hand.
TILT_SHARE: Final = 0.8
#: Where a rod jams its arm is in line by definition.
_JAMMED: Final = Silence(by="reach", same=True)
_TURN: Final = "the arms at the rod turned or made longer or shorter"


def ref(hole: Hole) -> Ref:
    """Return the arm that a hole is in."""
    return Ref("arm", hole.shaft, hole.arm)


def _rod_at(o: Outcome) -> str:
    return f"{about(o)} at {o.part[0]}"


def square(angle: Positions) -> Positions:
    """Return arm-rod angles folded to 0-90°, 90° being square. [rad]."""
    return np.minimum(angle, np.pi - angle)


def least_angle(x: Examined) -> Number:
    """Return the flattest angle between an arm and its rod, of all rods. [rad]."""
    angles = (a for r in x.lines.values() for a in (r.driver_angle, r.driven_angle))
    out: Number = np.inf
    for angle in angles:
        out = lesser(out, least(np.fmin(square(angle), np.pi)))
    return out


def _arm_rod(x: Examined) -> Iterator[Outcome]:
    limits = x.layout.limits
    for link in x.layout.links:
        if link.own is not None:
            continue  # the other input drives it
        line = x.lines[link.rod.name]
        cam = link.rod.kind == "cam"  # which has no arm that a push could lie along
        slack = x.speeds.slack.get(link.rod.name, np.zeros(1, dtype=bool))
        for hole, angle in (
            (link.driver, line.driver_angle),
            (link.driven, line.driven_angle),
        )[cam:]:
            folded = square(angle)
            worst = where_least(folded)
            value = at(folded, worst)
            strong, refuse = (
                value < limits.arm_rod_strong,
                value < limits.arm_rod_refuse,
            )
            limit = pick(strong, limits.arm_rod_strong, limits.arm_rod_look)
            yield Outcome(
                about=Ref("rod", link.rod.name),
                part=(ref(hole),),
                rank=graded(
                    value >= limits.arm_rod_look, value >= limits.arm_rod_refuse
                ),
                value=value,
                limit=pick(refuse, limits.arm_rod_refuse, limit),
                kind="angle",
                at=at(x.motion.pad_travel, worst),
                facts={
                    "start": first(angle),
                    "end": last(angle),
                    "slack": (first(slack), last(slack)),
                    "strong": strong,
                    "slide": x.layout.shafts[hole.shaft].slides,
                },
            )


def _between(o: Outcome) -> str:
    if o.facts.get("slide"):
        return f"of {o.called} at pin `{o.part[0]}` from square to its guide"
    return f"between {o.called} and arm `{o.part[0]}`"


def _arm_words(o: Outcome) -> str:
    f = o.facts
    word = "in order"
    if o.rank == BAD:
        word = "it is too near to dead centre"
    elif o.rank == LOOK:
        word = "look: it gets heavy and sensitive there"
        if f["strong"]:
            word = "look hard: wear eats what is left"
    ends = (
        "slack" if slack else say(f[end], "angle")
        for end, slack in zip(("start", "end"), f["slack"], strict=True)
    )
    return (
        f"{_between(o)}: "
        f"{' at the start, '.join(ends)} at the end; "
        f"at its flattest {say(o.value, 'angle')}, at pad {say(o.at, 'length')}; {word}"
    )


def _arm_short(o: Outcome) -> Short:
    where = _between(o)
    asked = f", {say(o.limit, 'angle', 0)} is asked" if o.rank else ""
    return (
        f"only {say(o.value, 'angle')} {where}"
        if o.rank
        else f"at its flattest {say(o.value, 'angle')} {where}",
        f"at pad {say(o.at, 'length')}{asked}",
    )


ARM_ROD: Final = Rule(
    code="arm-rod-angle",
    judge=_arm_rod,
    name="the angle between {rod} and arm",
    words=_arm_words,
    short=_arm_short,
    who=_rod_at,
    meaning="The angle between an arm and its rod, at both ends of every rod, least "
    "anywhere in the travel. Its sine is the share of the rod force that turns the shaft "
    "(decision [0001](decisions/0001-arm-rod-angle-by-leverage.md)).",
    verdicts="fits, look, or do not fit",
    limits=("arm_rod_look", "arm_rod_strong", "arm_rod_refuse"),
    silenced_by=(SHUT, _JAMMED),
    cures=("arm angle", "arm length", "sheath end"),
    cure=_TURN,
)


def _dead(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.dead_centre
    none = True
    for d in x.dead_centres:
        there = np.isfinite(d.margin)
        none = none & np.logical_not(there)
        inside, full = d.side == "inside", d.side == "full"
        link = x.assembly.loop(d.rod).link
        driven = d.hole == link.driven
        yield Outcome(
            about=Ref("rod", d.rod),
            part=(ref(d.hole), d.side),
            # Both at once within the travel are told as one, of the driver.
            applies=there & np.logical_not(d.both & (inside and driven)),
            rank=BAD if inside else ranked(d.margin >= limit, BAD if full else LOOK),
            value=d.margin,
            limit=limit,
            kind="angle",
            at=d.pad_travel,
            order=-1.0 if inside else d.margin,
            facts={
                "pad": d.pad_margin,
                "both": d.both,
                "other": ref(link.driver if driven else link.driven),
                "slide": x.layout.shafts[d.hole.shaft].slides,
            },
        )
    yield Outcome(about=Ref("all", "rods"), applies=none)


def _dead_words(o: Outcome) -> str:
    if not o.part:
        return (
            f"no arm comes into line with its {o.a_rod} within {say(SEARCH, 'angle', 0)} of "
            "pedal beyond either stop"
        )
    hole, side = o.part
    arm = f"arm `{hole}` comes into line with {o.called}"
    what = hole.name
    if o.facts.get("slide"):
        arm = f"{o.called} comes square to the guide of pin `{hole}`"
        what = "the rod"
    if o.facts["both"]:
        arm = (
            f"arms `{hole}` and `{o.facts['other']}` come into line with "
            f"{o.called} both at once"
        )
    if o.facts["both"] and side == "inside":
        return (
            f"{arm}, within the travel, at pad {say(o.at, 'length')}: from there on "
            "the linkage may go either way, and what is told of the travel beyond is "
            "one of two ways and not certain"
        )
    if side == "inside":
        return (
            f"{arm} within the travel, at pad {say(o.at, 'length')}: it can lock there"
        )
    either = ", from where it may go either way" if o.facts["both"] else ""
    return (
        f"{arm} {say(o.value, 'angle')} of {what} or "
        f"{say(o.facts['pad'], 'length')} of pad beyond the {side} end, stops removed"
        f"{either}; at least {say(o.limit, 'angle')} is asked"
    )


def _dead_short(o: Outcome) -> Short:
    if not o.part:
        return "no dead centre is near", ""
    hole, side = o.part
    line = f"arm `{hole}` and {o.called} in one line"
    if o.facts.get("slide"):
        line = f"{o.called} square to the guide of pin `{hole}`"
    if side == "inside":
        return f"it can lock at {say(o.at, 'length')} of pad", line
    asked = f", {say(o.limit, 'angle', 0)} asked" if o.rank else ""
    only = "only " if o.rank else ""
    return (
        f"dead centre is {only}{say(o.facts['pad'], 'length')} of pad past {side}",
        f"{line} after {say(o.value, 'angle')} more{asked}",
    )


DEAD_CENTRE: Final = Rule(
    code="dead-centre",
    needs="dead centres",
    judge=_dead,
    name="dead centre",
    words=_dead_words,
    short=_dead_short,
    who=lambda o: f"{_rod_at(o)} {o.part[1]}" if o.part else about(o),
    meaning="How far beyond either end of the working travel, stops removed, each arm "
    "comes into line with its rod, in degrees of its shaft and mm of pad; of a rod on a "
    "slide how far it has to swing until it is square to the guide. Too near "
    "beyond the full end: do not fit; beyond the idle end: look (decision "
    "[0004](decisions/0004-dead-centre-by-side.md)). Where the rod's other arm is "
    "within 5° of being in line there too, both are named: from there on the linkage "
    "may go either way.",
    verdicts="fits, look, or do not fit",
    limits=("dead_centre",),
    silenced_by=(SHUT, _JAMMED),
    cures=("arm angle", "arm length", "sheath end"),
    cure=_TURN,
)


#: Lean that every kind of joint allows. [rad]
ALLOWED: Final = {**JOINT_TILT, **WIRE_TILT}


def _tilt(x: Examined) -> Iterator[Outcome]:
    for link in x.layout.links:
        rod, line = link.rod, x.lines[link.rod.name]
        kinds = dict(zip((rod.start, rod.end), rod.joints, strict=True))
        for hole, tilt in (
            (link.driver, line.driver_tilt),
            (link.driven, line.driven_tilt),
        )[rod.kind == "cam" :]:
            worst = where_most(tilt)
            wound = x.layout.shafts[hole.shaft].arms[hole.arm].wound
            kind = "drum" if wound else kinds[hole]
            value, limit = at(tilt, worst), ALLOWED[kind]
            yield Outcome(
                about=Ref("rod", rod.name),
                part=(ref(hole),),
                rank=graded(value <= TILT_SHARE * limit, value <= limit),
                value=value,
                limit=limit,
                kind="angle",
                at=at(x.motion.pad_travel, worst),
                facts={"joint": kind},
            )


JOINT_LEAN: Final = Rule(
    code="joint-tilt",
    judge=_tilt,
    words=lambda o: (
        f"the {o.facts['joint']} of {o.called} at "
        f"`{o.part[0]}` leans {say(o.value, 'angle')} at most, "
        f"at pad {say(o.at, 'length')}; it allows {say(o.limit, 'angle')}"
    ),
    name="the lean of joints",
    short=lambda o: (
        f"the {o.facts['joint']} of {o.called} leans {say(o.value, 'angle')}",
        f"at `{o.part[0]}`, it allows {say(o.limit, 'angle')}",
    ),
    who=_rod_at,
    meaning="How far each joint leans out of the plane in which it turns freely, against "
    "what its kind allows: ball 18°, ball with clip 15° (DIN 71802), rod end 13° (ISO "
    "12240-4, from memory), clevis 3°, nipple of a wire 5°, wire on a drum and "
    "roller of a cam 3° (common practice, no source).",
    verdicts="fits, look from 80 % of what is allowed, or do not fit",
    silenced_by=(SHUT,),
    cures=("rod joints", "arm offset", "sheath end aside"),
    cure="a joint that leans further, an arm slid along its shaft, or the end of a sheath "
    "moved along it",
)
