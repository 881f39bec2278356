"""Rules about slides: whether one jams in its guide, and whether a pin runs into it.

What a guide takes of the foot's force through the whole linkage is in every force told;
here it is told of each pin alone, so that a guide that is too short is named.

Not here: the angle of a rod to a guide (`rules.angles`), forces (`forces.friction`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.forces.friction import coefficient_of, rubs_at, sizes
from linkage.model import Slide
from linkage.model.columns import at, first, greater, pick, where_least, where_most
from linkage.model.refs import Ref
from linkage.model.slide import overhang
from linkage.quantities import say
from linkage.rules.rule import BAD, JAM, SHUT, Outcome, Rule, Short, graded

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Hole, Layout
    from linkage.rules.examine import Examined


def slides(layout: Layout) -> list[Slide]:
    """Return the slides of a layout, in the file's order."""
    return [s for s in layout.shafts.values() if isinstance(s, Slide)]


def _ends(x: Examined) -> Iterator[tuple[str, Hole, Slide]]:
    """Yield every end of a rod that is on a slide."""
    for link in x.layout.links:
        for hole in link.holes:
            slide = x.layout.shafts[hole.shaft]
            if isinstance(slide, Slide):
                yield link.rod.name, hole, slide


def _jams(x: Examined) -> Iterator[Outcome]:
    limits, lines = x.layout.limits, x.forces.lines
    for rod, hole, slide in _ends(x):
        push = lines.push(rod, slide.name)
        along = np.abs(push.arm)
        side = np.sqrt(np.maximum(1 - along**2, 0.0))
        carried = np.sqrt(sizes(push.places, push.places)).sum(axis=0)
        with np.errstate(divide="ignore", invalid="ignore"):
            share = lines.full(rubs_at(x.layout, slide.name) * carried / along)
            lean = lines.full(side / along)
        worst = where_most(np.where(np.isnan(share), math.inf, share))
        value = at(share, worst)
        way = lines.frame.hole(hole).way
        out = lines.full(overhang(slide, hole.arm, way))
        yield Outcome(
            about=Ref("shaft", slide.name),
            part=(Ref("arm", hole.shaft, hole.arm), Ref("rod", rod)),
            rank=graded(
                value <= limits.guide_share_look, value <= limits.guide_share_refuse
            ),
            value=value,
            limit=pick(
                value <= limits.guide_share_refuse,
                limits.guide_share_look,
                limits.guide_share_refuse,
            ),
            kind="fraction",
            at=at(x.motion.pad_travel, worst),
            facts={
                "long": slide.guided,
                "out": at(out, worst),
                "off": slide.arms[hole.arm].length,
                "lean": at(np.arctan(lean), worst),
                "rubs": coefficient_of(x.layout, slide.name),
                "asked": limits.guide_share_look,
            },
        )


def _long_enough(o: Outcome) -> float:
    """Return how long the guide would have to be, about; inf where none is. [m]."""
    f = o.facts
    side = math.tan(f["lean"])
    left = f["asked"] / f["rubs"] - side
    lever = 2 * (f["out"] * side + f["off"])
    return lever / left if left > 0 else math.inf


def _why(o: Outcome) -> str:
    f = o.facts
    told = [f"its guide is {say(f['long'], 'length')} long"]
    if f["out"] > 0:
        told.append(f"the pin {say(f['out'], 'length')} out of it")
    if f["off"] > 0:
        told.append(f"{say(f['off'], 'length')} off the bar's middle")
    told.append(f"the rod leans {say(f['lean'], 'angle')}")
    return ", ".join(told)


def _in_short(o: Outcome) -> str:
    f = o.facts
    out = f"pin {say(f['out'], 'length')} out of " if f["out"] > 0 else ""
    return (
        f"{out}{say(f['long'], 'length')} of guide, rod leans {say(f['lean'], 'angle')}"
    )


def _jam_words(o: Outcome) -> str:
    f, (pin, rod) = o.facts, o.part
    where = f"at pad {say(o.at, 'length')}: {_why(o)}, friction {f['rubs']:g}"
    if not o.value < 1:
        return (
            f"slide `{o.about.name}` jams in its guide however hard {o.rod(rod.name)} pulls "
            f"or pushes at `{pin}`, {where}"
        )
    return (
        f"the guide of slide `{o.about.name}` takes {say(o.value, 'fraction')} of what "
        f"{o.rod(rod.name)} puts on it at `{pin}`, most {where}; up to "
        f"{say(o.limit, 'fraction')} is asked, as cold friction is twice as much"
    )


def _jam_short(o: Outcome) -> Short:
    pin, rod = o.part
    if not o.value < 1:
        return f"slide `{o.about.name}` jams in its guide", _in_short(o)
    share = say(o.value, "fraction")
    what = f"the guide of slide `{o.about.name}` takes {share} of {o.rod(rod.name)}'s force"
    return what, _in_short(o) if o.rank else f"at `{pin}`"


def _jam_advice(o: Outcome) -> str:
    if not o.rank:
        return ""
    long = _long_enough(o)
    if long == math.inf:
        return (
            f"let {o.rod(o.part[1].name)} lie nearer to the way of slide `{o.about.name}`: "
            "no guide is long enough for so much lean"
        )
    return (
        f"hold slide `{o.about.name}` in a guide {say(long, 'length')} long or more, or bring "
        f"pin `{o.part[0]}` nearer to it and onto the bar's middle"
    )


GUIDE_JAM: Final = Rule(
    code="guide-jam",
    needs="forces",
    springless=True,
    judge=_jams,
    name="slides in their guides",
    words=_jam_words,
    short=_jam_short,
    who=lambda o: f"slide {o.about.name} at {o.part[0]}",
    advice=_jam_advice,
    task=_jam_advice,
    meaning="The share of a rod's force along a slide that its guide takes: friction at "
    "both ends of the guide, by the rod's lean, by how far its pin stands out of the guide "
    "and off the bar's middle, most anywhere in the travel. From 100 % on the slide jams "
    "however hard the rod pulls, and no spring frees it.",
    verdicts="fits, look, or do not fit",
    limits=("guide_share_look", "guide_share_refuse"),
    silenced_by=(SHUT, JAM),
    cures=("guide longer",),
    cure="a longer guide",
    advised_last=True,
)


def _runs(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.guide_room
    for slide in slides(x.layout):
        pins = {h.arm: h for _, h, s in _ends(x) if s.name == slide.name}
        for name, hole in pins.items():
            way = x.speeds.hole(hole).way
            low, high = slide.bearings or (0.0, 0.0)
            place = slide.arms[name].offset + way
            outside = first(greater(place - high, low - place))
            room = np.where(first(place) >= (low + high) / 2, place - high, low - place)
            worst = where_least(room)
            value = at(room, worst)
            yield Outcome(
                about=Ref("shaft", slide.name),
                part=(Ref("arm", slide.name, name),),
                applies=outside > 0,
                rank=graded(value >= limit, value > 0),
                value=value,
                limit=limit,
                kind="length",
                at=at(x.motion.pad_travel, worst),
            )


def _run_words(o: Outcome) -> str:
    pin = f"pin `{o.part[0]}`"
    if o.rank == BAD:
        return (
            f"{pin} runs {say(-o.value, 'length')} into the guide of its slide, deepest at "
            f"pad {say(o.at, 'length')}: it stops there"
        )
    return (
        f"{pin} keeps {say(o.value, 'length')} from the end of its guide, least at pad "
        f"{say(o.at, 'length')}; at least {say(o.limit, 'length')} is asked"
    )


def _run_short(o: Outcome) -> Short:
    pin = f"pin `{o.part[0]}`"
    if o.rank == BAD:
        return f"{pin} runs into its guide", f"by {say(-o.value, 'length')}"
    only = "only " if o.rank else ""
    return f"{pin} keeps {only}{say(o.value, 'length')} from its guide", ""


def _run_advice(o: Outcome) -> str:
    if not o.rank:
        return ""
    more = o.limit - o.value
    return (
        f"set pin `{o.part[0]}` {say(more, 'length')} further out of its guide, or end the "
        "guide so much sooner"
    )


GUIDE_ROOM: Final = Rule(
    code="guide-room",
    judge=_runs,
    name="room for pins at guides",
    words=_run_words,
    short=_run_short,
    who=lambda o: f"pin {o.part[0]}",
    advice=_run_advice,
    task=_run_advice,
    meaning="How near a pin that stands out of its guide at rest comes to the guide's end "
    "through the travel. One that stands in it at rest runs in a slot of the guide, and is "
    "not judged.",
    verdicts="fits, look, or do not fit",
    limits=("guide_room",),
    silenced_by=(SHUT, JAM),
)
