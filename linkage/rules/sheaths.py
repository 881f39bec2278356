"""Rules about sheaths: how sharp they are bent, and what that costs.

Not here: the radii (`rules.bent`), rules about the wire and its ends (`rules.cables`), the
friction (`forces.sheath`), sheaths with the engine moved (`rules.sheath_moved`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.forces.sheath import bends, sheath_friction
from linkage.model.columns import exponential, most, pick
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.bent import STRAIGHT, places
from linkage.rules.cables import cables
from linkage.rules.rule import (
    JAM,
    SHUT,
    Outcome,
    Rule,
    Short,
    graded,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Cable
    from linkage.model.columns import Number
    from linkage.rules.examine import Examined


def bends_known(cable: Cable) -> bool:
    """Tell whether anything is known of how a sheath goes between its ends."""
    return bool(cable.through) or cable.bend is not None


def _known(x: Examined, cable: Cable) -> list[tuple[str, Number]]:
    """Return where a sheath bends and the radius there; on the average if no more is known.

    Nothing where neither its points nor its bends are given.
    """
    if cable.through:
        return places(x, cable)
    if not bends_known(cable):
        return []
    bend: Any = cable.bend
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = np.divide(cable.sheathed, bend)
    return [("on the average", pick(mean < STRAIGHT, mean, STRAIGHT))]


def _sharp(x: Examined) -> Iterator[Outcome]:
    limits = x.layout.limits
    look, refuse = limits.sheath_radius_look, limits.sheath_radius_refuse
    for _, cable in cables(x):
        found = _known(x, cable)
        if not found:
            continue
        radii = np.broadcast_arrays(*(np.atleast_2d(value) for _, value in found))
        every = np.concatenate(radii, axis=-1)
        index = every.argmin(axis=-1)[:, None]
        lowest = np.take_along_axis(every, index, axis=-1)
        many = x.rows > 1
        value: Number = lowest if many else float(lowest[0, 0])
        yield Outcome(
            about=Ref("rod", cable.name),
            rank=graded(value >= look, value >= refuse),
            value=value,
            limit=pick(value < refuse, refuse, look),
            kind="length",
            digits=0,
            at=math.nan,
            facts={
                "places": tuple(place for place, _ in found),
                "index": index if many else int(index[0, 0]),
                "look": look,
                "refuse": refuse,
            },
        )


def _place(o: Outcome) -> str:
    return str(o.facts["places"][int(o.facts["index"])])


def _radius(o: Outcome) -> str:
    text = say(o.value, "length", 0)
    return f"{text} or more" if o.value >= STRAIGHT else text


def _sharp_words(o: Outcome) -> str:
    f = o.facts
    text = f"the sheath of {o.called} is bent to a radius of {_radius(o)} {_place(o)}"
    if not o.rank:
        return (
            f"{text}, at its sharpest; at least {say(f['look'], 'length', 0)} is asked"
        )
    chafes = "the wire chafes through its sheath, frays and jams"
    return (
        f"{text}; under {say(f['look'], 'length', 0)} is sharp, under "
        f"{say(f['refuse'], 'length', 0)} {chafes}"
    )


def _sharp_short(o: Outcome) -> Short:
    asked = say(o.facts["look"], "length", 0)
    if not o.rank:
        return f"the sheath of {o.called} is bent gently", f"{_radius(o)} {_place(o)}"
    return (
        f"the sheath of {o.called} is bent too sharp",
        f"a radius of {_radius(o)} {_place(o)}, {asked} is asked",
    )


def _sharp_advice(o: Outcome) -> str:
    if not o.rank:
        return ""
    return (
        f"lead the sheath of {o.called} {_place(o)} in a wider bend, of "
        f"{say(o.facts['look'], 'length', 0)} or more, and hold its ends in line with the "
        "wire"
    )


BEND: Final = Rule(
    code="sheath-bend",
    judge=_sharp,
    name="sharp bends of sheaths",
    words=_sharp_words,
    short=_sharp_short,
    meaning="The least radius to which the sheath of a cable is bent: of the circle through "
    "each three neighbouring points that it goes through, and of the arc in which either end, "
    "held in line with its free wire, goes to the next point. Of a sheath of which the "
    "points between are not given and the bends are, its length over its bends. In a sharp "
    "bend the wire chafes through, frays and jams.",
    verdicts="fits, look, or do not fit",
    limits=("sheath_radius_look", "sheath_radius_refuse"),
    silenced_by=(SHUT, JAM),
    cures=("sheath point", "sheath end"),
    advice=_sharp_advice,
    advised_last=True,
    task=_sharp_advice,
    cure="a point of the sheath or one of its ends held elsewhere, so that it bends wider",
)


def _loss(x: Examined) -> Iterator[Outcome]:
    limits = x.layout.limits
    look, refuse = limits.sheath_loss_look, limits.sheath_loss_refuse
    for _, cable in cables(x):
        line: Any = x.lines[cable.name]
        angle, friction = most(np.atleast_1d(bends(line))), sheath_friction(cable)
        value = exponential(friction * angle)
        yield Outcome(
            about=Ref("rod", cable.name),
            rank=graded(value <= look, value <= refuse),
            value=value,
            limit=pick(value > refuse, refuse, look),
            kind="ratio",
            at=math.nan,
            facts={
                "bends": angle,
                "friction": friction,
                "measured": cable.bend is not None,
                "points": bool(cable.through),
                "look": look,
                "refuse": refuse,
                # To which all bends together are to be brought.
                "most": np.log(look) / friction,
            },
        )


def _loss_words(o: Outcome) -> str:
    f = o.facts
    points = ", as assumed" if not f["points"] else ", at its given points alone"
    points = "" if f["measured"] else points
    text = (
        f"the sheath of {o.called} bends by {say(f['bends'], 'angle', 0)} in all{points}: with "
        f"friction {f['friction']:g} one end is to be pulled {say(o.value, 'ratio', 2)} times "
        "as hard as the other gets"
    )
    look, refuse = say(f["look"], "ratio", 1), say(f["refuse"], "ratio", 1)
    return f"{text}; over {look} times is heavy, over {refuse} times bad"


def _loss_short(o: Outcome) -> Short:
    times = f"{say(o.value, 'ratio', 2)} times the pull"
    bent = f"{say(o.facts['bends'], 'angle', 0)} of bends"
    if not o.rank:
        return f"the sheath of {o.called} takes {times}", bent
    return f"the sheath of {o.called} rubs too hard", f"{bent} take {times}"


def _loss_advice(o: Outcome) -> str:
    if not o.rank:
        return ""
    return (
        f"lead the sheath of {o.called} with no more than "
        f"{say(o.facts['most'], 'angle', 0)} of bends in all, or fit one that rubs less and "
        "give its `sheath_friction`"
    )


LOSS: Final = Rule(
    code="sheath-loss",
    needs="forces",
    springless=True,
    judge=_loss,
    name="friction of sheaths",
    words=_loss_words,
    short=_loss_short,
    meaning="What all bends of a sheath cost: how many times the pull at one end is that at "
    "the other, e to the power of friction times bends (Euler-Eytelwein), with the bends "
    "at their most. Only bends at the points that are given count, where they are not "
    "given in all.",
    verdicts="fits, look, or do not fit",
    limits=("sheath_loss_look", "sheath_loss_refuse"),
    silenced_by=(SHUT, JAM),
    cures=("sheath lined", "sheath bends"),
    advice=_loss_advice,
    advised_last=True,
    task=_loss_advice,
    cure="a lined sheath, or one led in fewer bends",
)
