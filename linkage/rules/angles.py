"""Rules about angles: arm to rod, dead centre, lean of joints, springs' lines.

Not here: the travel (`rules.travel`), forces (`rules.springs`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import JOINT_TILT, Hole
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
from linkage.motion.frame import dot
from linkage.quantities import say
from linkage.rules.rule import (
    BAD,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Silence,
    graded,
    ranked,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Spring
    from linkage.model.columns import Number, Positions
    from linkage.rules.examine import Examined

#: Share of a joint's lean above which to look: a fifth is kept in hand.
TILT_SHARE: Final = 0.8
#: Distance under which a spring's line goes through its spindle. [m]
THROUGH: Final = 1e-5
#: Distance that is but rounding. [m]
ROUNDING: Final = 1e-12
#: Where a rod jams its arm is in line by definition.
_JAMMED: Final = Silence(by="reach", same=True)
_TURN: Final = "the arms at the rod turned or made longer or shorter"


def ref(hole: Hole) -> Ref:
    """Return the arm that a hole is in."""
    return Ref("arm", hole.shaft, hole.arm)


def _rod_at(o: Outcome) -> str:
    return f"{o.about} at {o.part[0]}"


def square(angle: Positions) -> Positions:
    """Return arm-rod angles folded to 0-90°, 90° being square. [rad]."""
    return np.minimum(angle, np.pi - angle)


def least_angle(x: Examined) -> Number:
    """Return the least arm-rod angle from being in line, of all rods. [rad]."""
    angles = (a for r in x.lines.values() for a in (r.driver_angle, r.driven_angle))
    out: Number = np.inf
    for angle in angles:
        out = lesser(out, least(np.fmin(square(angle), np.pi)))
    return out


def _arm_rod(x: Examined) -> Iterator[Outcome]:
    limits = x.layout.limits
    for link in x.layout.links:
        line = x.lines[link.rod.name]
        for hole, angle in (
            (link.driver, line.driver_angle),
            (link.driven, line.driven_angle),
        ):
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
                facts={"start": first(angle), "end": last(angle), "strong": strong},
            )


def _arm_words(o: Outcome) -> str:
    f = o.facts
    word = "in order"
    if o.rank == BAD:
        word = "it is too near to dead centre"
    elif o.rank == LOOK:
        word = "look: it gets heavy and sensitive there"
        if f["strong"]:
            word = "look hard: wear eats what is left"
    return (
        f"between rod `{o.about.name}` and arm `{o.part[0]}`: "
        f"{say(f['start'], 'angle')} at the start, {say(f['end'], 'angle')} at the end; "
        f"least {say(o.value, 'angle')} from being in line, at pad "
        f"{say(o.at, 'length')}; {word}"
    )


ARM_ROD: Final = Rule(
    code="arm-rod-angle",
    judge=_arm_rod,
    words=_arm_words,
    who=_rod_at,
    meaning="The angle between an arm and its rod, at both ends of every rod, least "
    "anywhere in the travel. Its sine is the share of the rod force that turns the shaft "
    "(decision [0001](decisions/0001-arm-rod-angle-by-leverage.md)).",
    verdicts="fits, look, or do not fit",
    limits=("arm_rod_look", "arm_rod_strong", "arm_rod_refuse"),
    silenced_by=(SHUT, _JAMMED),
    cures=("arm angle", "arm length"),
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
            },
        )
    yield Outcome(about=Ref("all", "rods"), applies=none)


def _dead_words(o: Outcome) -> str:
    if not o.part:
        return (
            f"no arm comes into line with its rod within {say(SEARCH, 'angle', 0)} of "
            "pedal beyond either stop"
        )
    hole, side = o.part
    arm = f"arm `{hole}` comes into line with rod `{o.about.name}`"
    if o.facts["both"]:
        arm = (
            f"arms `{hole}` and `{o.facts['other']}` come into line with rod "
            f"`{o.about.name}` both at once"
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
        f"{arm} {say(o.value, 'angle')} of {hole.name} or "
        f"{say(o.facts['pad'], 'length')} of pad beyond the {side} end, stops removed"
        f"{either}; at least {say(o.limit, 'angle')} is asked"
    )


DEAD_CENTRE: Final = Rule(
    code="dead-centre",
    needs="dead centres",
    judge=_dead,
    words=_dead_words,
    who=lambda o: f"{_rod_at(o)} {o.part[1]}" if o.part else str(o.about),
    meaning="How far beyond either end of the working travel, stops removed, each arm "
    "comes into line with its rod, in degrees of its shaft and mm of pad. Too near "
    "beyond the full end: do not fit; beyond the idle end: look (decision "
    "[0004](decisions/0004-dead-centre-by-side.md)). Where the rod's other arm is "
    "within 5° of being in line there too, both are named: from there on the linkage "
    "may go either way.",
    verdicts="fits, look, or do not fit",
    limits=("dead_centre",),
    silenced_by=(SHUT, _JAMMED),
    cures=("arm angle", "arm length"),
    cure=_TURN,
)


def _tilt(x: Examined) -> Iterator[Outcome]:
    for link in x.layout.links:
        rod, line = link.rod, x.lines[link.rod.name]
        kinds = dict(zip((rod.start, rod.end), rod.joints, strict=True))
        for hole, tilt in (
            (link.driver, line.driver_tilt),
            (link.driven, line.driven_tilt),
        ):
            worst = where_most(tilt)
            value, limit = at(tilt, worst), JOINT_TILT[kinds[hole]]
            yield Outcome(
                about=Ref("rod", rod.name),
                part=(ref(hole),),
                rank=graded(value <= TILT_SHARE * limit, value <= limit),
                value=value,
                limit=limit,
                kind="angle",
                at=at(x.motion.pad_travel, worst),
                facts={"joint": kinds[hole]},
            )


JOINT_LEAN: Final = Rule(
    code="joint-tilt",
    judge=_tilt,
    words=lambda o: (
        f"the {o.facts['joint']} of rod `{o.about.name}` at "
        f"`{o.part[0]}` leans {say(o.value, 'angle')} at most, "
        f"at pad {say(o.at, 'length')}; it allows {say(o.limit, 'angle')}"
    ),
    who=_rod_at,
    meaning="How far each joint leans out of the plane in which it turns freely, against "
    "what its kind allows: ball 18°, ball with clip 15° (DIN 71802), rod end 13° (ISO "
    "12240-4, from memory), clevis 3° (common practice, no source).",
    verdicts="fits, look from 80 % of what is allowed, or do not fit",
    silenced_by=(SHUT,),
    cures=("rod joints", "arm offset"),
    cure="a joint that leans further, or an arm slid along its shaft",
)


def closing_arm(x: Examined, spring: Spring) -> Positions:
    """Return a spring's torque arm about its shaft, positive closing.

    Closing is against the way in which pressing turns the shaft at the start;
    a spring on a throttle's spindle closes against its opening sense.

    Returns
    -------
    ndarray, shape (n,) or (rows, n)
        Distance of the spring's line from the centre line, signed. [m]
    """
    shaft = x.layout.shafts[spring.shaft]
    hole = Hole(shaft=spring.shaft, arm=spring.arm)
    here = x.speeds
    line = here.vector(spring.anchor or (0, 0, 0)) - here.pin(hole)
    along = line / np.sqrt(dot(line, line))
    if spring.kind == "compression":
        along = -along
    arm = shaft.arms[spring.arm].length * dot(here.tangent(hole), along)
    throttle = x.layout.throttle_on(shaft.name)
    opening = throttle.opens if throttle else np.sign(first(here.first[shaft.name]))
    return np.asarray(-opening * arm)


def _line(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.spring_line
    pad = x.motion.pad_travel
    for name, spring in x.layout.springs.items():
        if spring.anchor is None or not spring.arm:
            continue
        arm = closing_arm(x, spring)
        worst = where_least(arm)
        value = at(arm, worst)
        yield Outcome(
            about=Ref("spring", name),
            rank=graded(value >= limit, value > ROUNDING),
            value=value,
            limit=limit,
            kind="length",
            at=at(pad, worst),
            facts={
                "shaft": spring.shaft,
                "start": first(arm),
                "end": last(arm),
                "opens": at(pad, where_most(arm <= 0)),
                "shuts": at(pad, where_most(arm > 0)),
            },
        )


def _line_words(o: Outcome) -> str:
    f, shaft = o.facts, o.facts["shaft"]
    if o.rank < BAD:
        word = (
            f"keeps {say(o.value, 'length')} of torque arm about {shaft}, least at pad "
            f"{say(o.at, 'length')}"
        )
    elif f["start"] > ROUNDING:
        word = (
            f"crosses {shaft} at pad {say(f['opens'], 'length')} and holds it open "
            "from there"
        )
    else:
        word = "works the opening way from the start: it is on the wrong side"
        if f["start"] > -THROUGH:
            word = f"passes through {shaft} at the start"
        if f["end"] > 0:
            word += f" and shuts only from pad {say(f['shuts'], 'length')} on"
    return f"spring `{o.about.name}` {word}; at least {say(o.limit, 'length')} is asked"


SPRING_LINE: Final = Rule(
    code="spring-line",
    judge=_line,
    words=_line_words,
    meaning="The least distance of each spring's line from the shaft it acts on: the arm "
    "that is left to its pull. A line that crosses the shaft holds the plate open.",
    verdicts="fits, look, or do not fit",
    limits=("spring_line",),
    silenced_by=(SHUT, Silence(by="spring-hand", same=True)),
    cures=("arm angle any way", "arm length", "spring anchor round"),
    cure="the spring's arm turned or lengthened, or its anchor swung round",
)
