"""Rules about a governor's springs: they open, and once parted they must not.

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


def _opens_advice(o: Outcome) -> str:
    if o.rank == FITS:
        return ""
    if o.part:
        return "measure the governor's own spring and give it: it is what opens the throttle"
    return (
        "free what binds and hook the governor's spring so that it opens; one of another "
        "strength sets another speed, which only a tachometer tells"
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
    "the spindle, has to be weaker. The governor's own is never changed to mend it, as it "
    "sets the speed.",
    silenced_by=(Silence(by="governor-sense"), Silence(by="governor-reach")),
    cures=("bearing", "light spring weaker", "spring turned round"),
    cure="bearings freed, a spring that shuts made weaker, or one chosen or anchored for "
    "the opposite sense",
    advice=_opens_advice,
    advised_last=True,
    task=_opens_advice,
)


def _any(truths: Iterable[Truth]) -> Truth:
    out: Truth = False
    for truth in truths:
        out = out | truth
    return out


def _parted(x: Examined) -> Iterator[Outcome]:
    if not x.layout.springs:
        return
    home = x.layout.pedal.shaft
    for name, throttle in x.layout.throttles.items():
        path = {link.rod.name for link in x.layout.path_to(throttle.shaft)}
        for failure, r in x.forces.returns_of[name].items():
            if failure.kind == "none":
                continue
            rods = {ref.name for ref in failure.gone if ref.kind == "rod"}
            off = bool(rods & path)
            most = at(r.closing_torque, where_most(r.closing_torque))
            left = -r.closing_torque - SURE * r.friction_torque
            work = x.forces.lines.spring_work
            opens = _any(least(work[spring]) < 0 for spring in r.left)
            shuts = (at(left, where_least(left)) > 0) & np.logical_not(r.unsprung)
            own = any(
                ref.kind == "spring" and x.layout.springs[ref.name].shaft == home
                for ref in failure.gone
            )
            yield Outcome(
                about=Ref("throttle", name),
                part=(failure,),
                applies=failure.applies,
                rank=pick(opens, BAD, pick(shuts, FITS, LOOK)) if off else FITS,
                value=most,
                limit=0.0,
                kind="torque",
                facts={
                    "weak": np.logical_not(r.unsprung),
                    "off": off,
                    "shuts": shuts,
                    "opens": opens,
                    "own": own,
                },
            )


def _still(o: Outcome) -> str:
    """Say what a governor does with a spring gone and every rod in its place."""
    name, f = o.about.name, o.facts
    if f["opens"]:
        return f"another opens {name}, and the governor shuts it still"
    if not f["own"]:
        return f"the governor moves {name} still"
    if f["shuts"]:
        return f"{name} is shut, and the engine does not run away"
    return (
        f"nothing opens {name} any more: it stays where the governor shuts it to, and "
        "the engine does not run away"
    )


def _parted_words(o: Outcome) -> str:
    part, name = f"with {o.part[0].text}", o.about.name
    if not o.facts["off"]:
        return f"{part} {_still(o)}"
    if o.rank == BAD:
        return (
            f"{part} a spring opens {name} and the governor no longer "
            "shuts it: the engine runs away; hook that spring to the governor's arm"
        )
    if o.rank == FITS:
        return f"{part} a spring shuts {name}"
    what = "too weak a spring" if o.facts["weak"] else "nothing"
    return (
        f"{part} {what} shuts {name}: the engine may run away; a light "
        "spring on the spindle that shuts, weaker than the governor's, would"
    )


def _parted_short(o: Outcome) -> Short:
    part, name = f"with {o.part[0].brief}", the_plate(o.about.name)
    if not o.facts["off"]:
        return f"{part} {'nothing runs away' if o.facts['own'] else _still(o)}", ""
    none = "too weak a spring shuts" if o.facts["weak"] else "nothing shuts"
    does = {BAD: "a spring opens", FITS: "a spring shuts", LOOK: none}
    what = f"{part} {does[int(o.rank)]} {name}"
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
    name="a part of a governor's linkage that fails",
    words=_parted_words,
    short=_parted_short,
    place=lambda _: "",
    meaning="What becomes of a plate when a part fails: each spring, each rod, each pin, "
    "lever and anchor with all that hangs on it, each shaft between. Where that parts the "
    "plate from the governor, a spring on its own spindle that opens it lets the engine "
    "run away; with none nothing shuts it; a light one that shuts, weaker than the "
    "governor's, does. With the governor's own spring off nothing opens it any more.",
    verdicts="fits, look, or do not fit",
    silenced_by=(Silence(by="governor-sense"), Silence(by="governor-reach")),
    cures=(
        "spring to governor",
        "spring turned round",
        "light spring",
        "light spring stronger",
    ),
    cure="a spring that opens hooked to the governor's arm, or chosen or anchored for the "
    "opposite sense; a light spring that shuts",
    advice=_parted_advice,
    advised_last=True,
    task=_parted_advice,
)


#: Both rules of a governor's springs.
FORCES: Final = (OPENS_AGAIN, PARTED)
