"""A rule about each spring on its own shaft: does it work against the pedal, or with it.

That needs no travel and no forces: where a spring pulls at rest, and which way
pressing turns its shaft. So it is told where pressing shuts the plate and where a rod
jams too.

Not here: whether a spring shuts the plate through the whole travel (`rules.springs`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model import Hole, turning
from linkage.model.columns import Number, Truth, first, last, pick
from linkage.model.refs import Ref
from linkage.motion.frame import dot
from linkage.quantities import say
from linkage.rules.rule import (
    BAD,
    FITS,
    LOOK,
    Outcome,
    Rule,
    Short,
    Silence,
    fixed,
    the_plate,
)
from linkage.rules.senses import opens
from linkage.rules.spring_lines import ROUNDING, closing_arm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Spring
    from linkage.rules.examine import Examined

#: What pressing does to a spring that works against the pedal, and with it, by kind.
WORKED: Final = {
    "extension": ("stretches it", "lets it out"),
    "compression": ("presses it together", "lets it out"),
    "torsion": ("winds it up", "unwinds it"),
    "measured": ("winds it up", "unwinds it"),
}
PULLS: Final = {"extension": "pulls", "compression": "pushes"}


def _sense(x: Examined, spring: Spring) -> Number:
    """Return in which sense a spring turns its shaft at rest, anticlockwise positive.

    0 where its line goes through the centre line; nan where that is not known.
    """
    throttle = x.layout.throttle_on(spring.shaft)
    if spring.kind in PULLS:
        if spring.anchor is None or not spring.arm:
            return math.nan
        with np.errstate(divide="ignore", invalid="ignore"):
            arm = first(closing_arm(x, spring))
        closes = pick(np.abs(arm) > ROUNDING, np.sign(arm), 0.0 * arm)
        pressed = np.sign(first(x.speeds.first[spring.shaft]))
        return -closes * (throttle.opens if throttle else pressed)
    given = spring.known.shuts
    return given or (-float(throttle.opens) if throttle else math.nan)


def _worked(x: Examined, spring: Spring) -> dict[str, Any]:
    """Return its length, or the turn of its shaft, at start and end, as facts."""
    if spring.kind in PULLS and spring.anchor is not None:
        here = x.speeds
        hole = Hole(shaft=spring.shaft, arm=spring.arm)
        line = here.vector(spring.anchor) - here.pin(hole)
        over = np.sqrt(dot(line, line))
    else:
        over = x.motion.turns[spring.shaft]
    return {"from": first(over), "to": last(over)}


def _pedal(x: Examined) -> Iterator[Outcome]:
    shut: Truth = False
    for name in x.layout.throttles:
        shut = shut | ~(opens(x, name) > 0)
    for name, spring in x.layout.springs.items():
        throttle = x.layout.throttle_on(spring.shaft)
        sense = _sense(x, spring)
        pressed = np.sign(first(x.speeds.first[spring.shaft]))
        against = np.asarray(sense * pressed < 0)
        along = np.asarray(sense * pressed > 0)
        plate = 0.0 if throttle is None else sense * throttle.opens
        holds_open = np.asarray(plate > 0)
        good = against & ~holds_open
        yield Outcome(
            about=Ref("spring", name),
            rank=pick(good, FITS, pick(against | along, BAD, LOOK)),
            facts={
                "kind": spring.kind,
                "shaft": spring.shaft,
                "seen": x.layout.shafts[spring.shaft].axis.seen_from,
                "sense": sense,
                "against": against,
                "along": along,
                "plate": "" if throttle is None else throttle.name,
                "holds_open": holds_open,
                "shut": shut,
                "pedal": spring.shaft == x.layout.pedal.shaft,
                **_worked(x, spring),
            },
        )


def _by_how_much(o: Outcome) -> str:
    """Say how far pressing works it, where that goes on as it begins."""
    f = o.facts
    more = f["to"] - f["from"]
    if f["kind"] not in PULLS:
        return f" by {say(abs(more), 'angle')}" if abs(more) > 0 else ""
    longer = f["against"] if f["kind"] == "extension" else not f["against"]
    if not (more > 0 if longer else more < 0):
        return ""
    return (
        f" by {say(abs(more), 'length')}, from {say(f['from'], 'length')} to "
        f"{say(f['to'], 'length')}"
    )


def _pedal_words(o: Outcome) -> str:
    f = o.facts
    spring, shaft = f"spring `{o.about.name}` on {f['shaft']}", f["shaft"]
    if math.isnan(f["sense"]):
        return f"which way {spring} turns it is not known; `shuts` says so"
    if not (f["against"] or f["along"]):
        return (
            f"{spring} works neither against the pedal nor with it at the start: either "
            f"its line goes through {shaft} there, or pressing does not turn {shaft}"
        )
    against, along = WORKED[f["kind"]]
    works = (against if f["against"] else along) + _by_how_much(o)
    if not o.rank:
        return f"{spring} works against the pedal: pressing {works}"
    how = f"{PULLS.get(f['kind'], 'turns')} {shaft} {turning(f['sense'])} seen from {f['seen']}"
    if f["against"]:
        return (
            f"{spring} works against the pedal, pressing {works}, but it holds "
            f"{f['plate']} open: it {how}, the way {f['plate']} opens"
        )
    text = (
        f"{spring} works with the pedal: it {how}, as pressing does, so it pulls the "
        f"pedal down, and pressing {works}"
    )
    if f["plate"] and not f["holds_open"]:
        text += f"; it shuts {f['plate']}, as pressing does too"
    return text


def _pedal_short(o: Outcome) -> Short:
    f, spring = o.facts, f"spring `{o.about.name}`"
    if math.isnan(f["sense"]):
        return (
            f"which way {spring} turns `{f['shaft']}` is not known",
            "`shuts` says so",
        )
    if not (f["against"] or f["along"]):
        return f"{spring} works neither against the pedal nor with it", "at the start"
    how = f"it turns `{f['shaft']}` {turning(f['sense'])} seen from {f['seen']}"
    if f["along"]:
        return f"{spring} pulls the pedal down", f"{how}, as pressing does"
    if f["holds_open"]:
        return f"{spring} holds {the_plate(f['plate'])} open", how
    return f"{spring} works against the pedal", f"pressing {WORKED[f['kind']][0]}"


def _pedal_advice(o: Outcome) -> str:
    """Say what comes first where pressing shuts the plate, and what turns may change.

    On a spindle the same change mends both.
    """
    f = o.facts
    if f["plate"] or f["pedal"] or not (o.rank == BAD and f["shut"]):
        return ""
    return (
        "see first that pressing opens the throttle, then check again: "
        f"where {f['shaft']} turns the other way then, the spring is right as it is; "
        "where it does not, its anchor goes to the other side"
    )


def _pedal_task(o: Outcome) -> str:
    return (
        "see first that pressing opens the throttle, then check spring "
        f"`{o.about.name}` again"
    )


SPRING_PEDAL: Final = Rule(
    code="spring-pedal",
    judge=_pedal,
    name="springs against the pedal",
    words=_pedal_words,
    short=_pedal_short,
    advice=_pedal_advice,
    task=_pedal_task,
    place=fixed("at rest"),
    meaning="Whether each spring works against the pedal on its own shaft, or with it, "
    "from where it pulls at rest and which way pressing turns the shaft. One that works "
    "with the pedal pulls it down; one on a spindle must shut the plate besides. It is "
    "told too where pressing shuts the plate or a rod jams.",
    verdicts="fits, look, or do not fit",
    silenced_by=(Silence(by="spring-hand", same=True),),
    cures=("spring hand", "spring anchor across"),
    cure="the anchor put on the other side, or a torsion spring of the other hand",
)
