"""Rules about a governor's springs: they open, and a parted rod must not.

Everything is the other way round than with a pedal: a spring that opens is right at the
governor's arm, and one of them is enough; on the spindle it lets the engine run away once
a rod parts.

Not here: a governor's motion (`rules.governed`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import at, least, pick, where_least, where_most
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.rule import (
    BAD,
    FITS,
    LOOK,
    Outcome,
    Rule,
    Short,
    Silence,
    ranked,
    the_plate,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from linkage.model.columns import Truth
    from linkage.rules.examine import Examined

#: What a spring that shuts a parted throttle is asked of friction; common practice.
SURE: Final = 1.2
#: What the governor's spring is asked of friction; common practice, no source.
OPENS: Final = 2.0


def _opens(x: Examined) -> Iterator[Outcome]:
    y = x.forces
    if not x.layout.springs:
        yield Outcome(
            about=Ref("throttle", x.layout.main.name),
            part=("none",),
            rank=BAD,
            value=0.0,
            limit=OPENS,
            kind="ratio",
        )
        return
    for r in y.intact:
        value = at(r.ratio, r.worst)
        yield Outcome(
            about=Ref("throttle", r.throttle),
            rank=ranked(value >= OPENS),
            value=value,
            limit=OPENS,
            kind="ratio",
            digits=1,
            at=at(y.statics.pad_travel, r.worst),
            facts={
                "torque": at(r.closing_torque, r.worst),
                "lost": at(r.friction_torque, r.worst),
            },
        )


def _opens_words(o: Outcome) -> str:
    if o.part:
        return "no spring is given: what opens the throttle at rest was not judged"
    f, name = o.facts, o.about.name
    if math.isinf(f["lost"]):
        return f"friction locks {name}"
    torque = say(f["torque"], "torque")
    if not f["torque"] > 0:
        return (
            f"no spring opens {name} at {say(o.at, 'length')} of the governor's travel"
        )
    return (
        f"the governor's spring opens {name} with {say(o.value, 'ratio', 1)} times the "
        f"friction, {torque} against {say(f['lost'], 'torque')}, where least is left; "
        f"at least {say(o.limit, 'ratio', 1)} times is asked"
    )


def _opens_short(o: Outcome) -> Short:
    if o.part:
        return "no spring is given", "so whether it opens at rest was not checked"
    name, f = the_plate(o.about.name), o.facts
    if math.isinf(f["lost"]):
        return f"friction locks {name}", ""
    if not f["torque"] > 0:
        return (
            f"no spring opens {name}",
            f"at {say(o.at, 'length')} of the arm's travel",
        )
    only = "only " if o.rank else ""
    return (
        f"its spring opens {name} with {only}{say(o.value, 'ratio', 1)} times the friction",
        f"{say(o.limit, 'ratio', 1)} is asked",
    )


OPENS_AGAIN: Final = Rule(
    code="governor-spring",
    needs="forces",
    springless=True,
    judge=_opens,
    name="the governor's spring",
    place=lambda o: "" if o.part else f"at arm travel {say(o.at, 'length')}",
    words=_opens_words,
    short=_opens_short,
    meaning="The governor's spring opens every plate again as the engine slows, against "
    "all friction, at every place. One spring is enough there; a second that shuts, on "
    "the spindle, has to be weaker.",
    silenced_by=(Silence(by="governor-sense"), Silence(by="governor-reach")),
)


def _any(truths: Iterable[Truth]) -> Truth:
    out: Truth = False
    for truth in truths:
        out = out | truth
    return out


def _parted(x: Examined) -> Iterator[Outcome]:
    if not x.layout.springs:
        return
    for name in x.layout.throttles:
        path = {
            link.rod.name for link in x.layout.path_to(x.layout.throttles[name].shaft)
        }
        for failure, r in x.forces.returns_of[name].items():
            if failure.kind != "rod" or failure.ref.name not in path:
                continue
            most = at(r.closing_torque, where_most(r.closing_torque))
            left = -r.closing_torque - SURE * r.friction_torque
            work = x.forces.lines.spring_work
            opens = _any(least(work[spring]) < 0 for spring in r.left)
            shuts = (at(left, where_least(left)) > 0) & np.logical_not(r.unsprung)
            yield Outcome(
                about=Ref("throttle", name),
                part=(failure.ref,),
                applies=failure.applies,
                rank=pick(opens, BAD, pick(shuts, FITS, LOOK)),
                value=most,
                limit=0.0,
                kind="torque",
                facts={"weak": np.logical_not(r.unsprung)},
            )


def _parted_words(o: Outcome) -> str:
    rod, name = o.rod(o.part[0].name), o.about.name
    if o.rank == BAD:
        return (
            f"with {rod} parted a spring opens {name} and the governor no longer "
            "shuts it: the engine runs away; hook that spring to the governor's arm"
        )
    if o.rank == FITS:
        return f"with {rod} parted a spring shuts {name}"
    what = "too weak a spring" if o.facts["weak"] else "nothing"
    return (
        f"with {rod} parted {what} shuts {name}: the engine may run away; a light "
        "spring on the spindle that shuts, weaker than the governor's, would"
    )


def _parted_short(o: Outcome) -> Short:
    rod, name = o.rod(o.part[0].name), the_plate(o.about.name)
    none = "too weak a spring shuts" if o.facts["weak"] else "nothing shuts"
    does = {BAD: "a spring opens", FITS: "a spring shuts", LOOK: none}
    what = f"with {rod} parted {does[int(o.rank)]} {name}"
    return what, "" if o.rank == FITS else "the engine may run away"


def _parted_advice(o: Outcome) -> str:
    if o.rank == FITS:
        return ""
    if o.rank == BAD:
        return "take the spring that opens off the spindle and hook it to the governor's arm"
    return (
        f"fit a light spring at the spindle of {o.about.name} that shuts it, weaker than "
        "the governor's at every place; then check again"
    )


PARTED: Final = Rule(
    code="governor-parted",
    needs="forces",
    judge=_parted,
    name="a parted {rod} of a governor",
    words=_parted_words,
    short=_parted_short,
    place=lambda _: "",
    meaning="What becomes of a plate when a rod on the way from the governor parts: a "
    "spring on its own spindle that opens it lets the engine run away; with none nothing "
    "shuts it; a light one that shuts, weaker than the governor's, does.",
    verdicts="fits, look, or do not fit",
    silenced_by=(Silence(by="governor-sense"), Silence(by="governor-reach")),
    advice=_parted_advice,
    task=_parted_advice,
)


#: Both rules of a governor's springs.
FORCES: Final = (OPENS_AGAIN, PARTED)
