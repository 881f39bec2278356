"""Rules about drums, quadrants and snails: what of them the wire lies on.

A sheath that ends within a drum is refused when the cable is put together.

Not here: the drum itself (`connect.run`, `connect.snail`), cables (`rules.cables`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

from linkage.model.columns import at, least, where_least, where_most
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.cables import at_arm, cables
from linkage.rules.rule import JAM, SHUT, Outcome, Rule, Short, graded

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Arm, Hole
    from linkage.model.columns import Positions
    from linkage.rules.examine import Examined

#: Turn from the nipple on after which a round drum comes to its nipple again. [rad]
ROUND: Final = 2 * math.pi


def _drums(x: Examined) -> Iterator[tuple[str, Hole, Arm, Positions]]:
    """Yield the drum at every end of a cable, and the turn on which its wire lies."""
    for link, cable in cables(x):
        line: Any = x.lines[cable.name]
        for hole, wound in zip(link.holes, line.wound, strict=True):
            arm = x.layout.shafts[hole.shaft].arms[hole.arm]
            if arm.wound:
                yield cable.name, hole, arm, wound


def _as_if_wound(x: Examined, hole: Hole, arm: Arm, wound: Positions) -> Positions:
    """Return the same as if the drum went on where the wire is all off; then negative.

    Counted from where most lies on it.
    """
    turns, most = x.motion.turns[hole.shaft], where_most(wound)
    return at(wound, most) - arm.wound * (turns - at(turns, most))


def _unwound(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.drum_wrap
    for cable, hole, arm, wound in _drums(x):
        worst = where_least(wound)
        value = at(wound, worst)
        yield Outcome(
            about=Ref("rod", cable),
            part=(Ref("arm", hole.shaft, hole.arm),),
            rank=graded(value >= limit, value > 0),
            value=value,
            limit=limit,
            kind="angle",
            at=at(x.motion.pad_travel, worst),
            facts={"more": limit - least(_as_if_wound(x, hole, arm, wound))},
        )


def _unwound_words(o: Outcome) -> str:
    drum, place = f"drum `{o.part[0]}`", f"at pad {say(o.at, 'length')}"
    if not o.rank:
        return (
            f"the wire of {o.called} lies on {say(o.value, 'angle')} of {drum} at the least, "
            f"{place}; at least {say(o.limit, 'angle')} is asked"
        )
    if o.value > 0:
        return (
            f"the wire of {o.called} lies on but {say(o.value, 'angle')} of {drum}, {place}; "
            f"at least {say(o.limit, 'angle')} is asked"
        )
    return (
        f"the wire of {o.called} is all off {drum} {place}: from there on it is a bare lever "
        "that comes near dead centre, and a wire that lifts can fall beside the drum and "
        "hold it"
    )


def _unwound_advice(o: Outcome) -> str:
    """Return by how much the nipple is to be turned on."""
    if not o.rank:
        return ""
    return (
        f"turn drum `{o.part[0]}` on its shaft, against the way the wire pulls it, by "
        f"{_whole(o.facts['more'])} or more, so that more wire lies on it"
    )


def _whole(angle: float) -> str:
    """Return an angle in whole degrees, rounded up."""
    return say(math.radians(math.ceil(math.degrees(angle) - 1e-9)), "angle", 0)


def _unwound_short(o: Outcome) -> Short:
    drum = f"drum `{o.part[0]}`"
    if not o.rank:
        return f"the wire stays on {drum}", f"on {say(o.value, 'angle')} at the least"
    if o.value > 0:
        return (
            f"the wire is nearly off {drum}",
            f"on {say(o.value, 'angle')} at the least, {say(o.limit, 'angle')} is asked",
        )
    return (
        f"the wire comes off {drum}",
        f"a bare lever from pad {say(o.at, 'length')} on",
    )


UNWOUND: Final = Rule(
    code="drum-unwound",
    judge=_unwound,
    name="wire on drums",
    words=_unwound_words,
    short=_unwound_short,
    who=at_arm,
    meaning="Whether the wire lies on its drum, quadrant or snail through the whole "
    "travel, and with a margin. A drum from which all is off is a bare lever from there "
    "on, and a wire that lifts can fall beside it and hold it.",
    verdicts="fits, look, or do not fit",
    limits=("drum_wrap",),
    silenced_by=(SHUT, JAM),
    cures=("arm angle", "arm length"),
    advice=_unwound_advice,
    advised_last=True,
    task=_unwound_advice,
    cure="the drum's nipple turned on, so that more wire lies on it at rest",
)


def _covered(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.drum_wrap
    for cable, hole, arm, wound in _drums(x):
        worst, end = where_most(wound), arm.rim[-1][0] if arm.rim else ROUND
        value = end - at(wound, worst)
        yield Outcome(
            about=Ref("rod", cable),
            part=(Ref("arm", hole.shaft, hole.arm),),
            rank=graded(value >= limit, value > 0),
            value=value,
            limit=limit,
            kind="angle",
            at=at(x.motion.pad_travel, worst),
            facts={"rim": bool(arm.rim), "end": end, "more": limit - value},
        )


def _covered_words(o: Outcome) -> str:
    f, drum = o.facts, f"`{o.part[0]}`"
    place = f"at pad {say(o.at, 'length')}"
    left = f"{say(o.value, 'angle')} of {say(f['end'], 'angle')}"
    what = f"the rim of {drum}" if f["rim"] else f"drum {drum}"
    if not o.rank:
        return f"{left} of {what} are left bare by the wire of {o.called} at the least, {place}"
    if o.value > 0:
        return (
            f"but {left} of {what} are left bare by the wire of {o.called}, {place}; at "
            f"least {say(o.limit, 'angle')} is asked"
        )
    if f["rim"]:
        return (
            f"the rim of {drum} ends before the wire of {o.called} leaves it, {place}: the "
            "wire kinks over its end and chafes"
        )
    return (
        f"the nipple of {o.called} comes round drum {drum} to where the wire leaves it, "
        f"{place}: the wire climbs over it"
    )


def _covered_advice(o: Outcome) -> str:
    """Return by how much the rim is to go on, or the nipple is to be turned back."""
    if not o.rank:
        return ""
    more = _whole(o.facts["more"])
    if o.facts["rim"]:
        return f"make the rim of `{o.part[0]}` {more} longer at its far end"
    return (
        f"turn drum `{o.part[0]}` on its shaft, the way the wire pulls it, by {more} or "
        "more, or make it larger"
    )


def _covered_short(o: Outcome) -> Short:
    f, drum = o.facts, f"`{o.part[0]}`"
    what = f"the rim of {drum}" if f["rim"] else f"drum {drum}"
    left = f"{say(o.value, 'angle')} bare at the least"
    if not o.rank:
        return f"{what} is long enough for the wire", left
    if o.value > 0:
        return (
            f"{what} is nearly all covered",
            f"{left}, {say(o.limit, 'angle')} is asked",
        )
    if f["rim"]:
        return f"{what} ends before the wire leaves it", f"at pad {say(o.at, 'length')}"
    return (
        f"the nipple comes round {what} to its own wire",
        f"at pad {say(o.at, 'length')}",
    )


COVERED: Final = Rule(
    code="drum-covered",
    judge=_covered,
    name="the rim of drums",
    words=_covered_words,
    short=_covered_short,
    who=at_arm,
    meaning="Whether the wire leaves a drum before its rim ends: the rim that is given of "
    "a quadrant or snail, or the whole turn of a drum up to where its nipple comes round "
    "to the wire again.",
    verdicts="fits, look, or do not fit",
    limits=("drum_wrap",),
    silenced_by=(SHUT, JAM),
    cures=("arm angle", "arm length"),
    advice=_covered_advice,
    advised_last=True,
    task=_covered_advice,
    cure="a drum's nipple turned back, or a larger drum",
)
