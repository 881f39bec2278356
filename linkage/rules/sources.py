"""Rules about sources of energy: two of them, and one left whatever parts.

Not here: how strong they are (`rules.shutting`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import Truth, pick
from linkage.model.refs import Ref
from linkage.rules.rule import (
    BAD,
    FITS,
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    the_plate,
)
from linkage.rules.shutting import MISPLACED

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from linkage.forces import Failure
    from linkage.rules.examine import Examined

#: Sources of energy asked for, 49 CFR 571.124 S5.1.
SOURCES: Final = 2


def _any(truths: Iterable[Truth]) -> Truth:
    out: Truth = False
    for truth in truths:
        out = out | truth
    return out


def _bare(x: Examined, throttle: str) -> dict[Failure, Truth]:
    """Return by failure whether it leaves a plate without a spring.

    Failures of springs are left out: their number is told by the sources.
    """
    return {
        failure: r.unsprung & failure.applies
        for failure, r in x.forces.returns_of[throttle].items()
        if failure.kind not in {"none", "spring"}
    }


def _sources(x: Examined) -> Iterator[Outcome]:
    if not x.layout.springs:
        main = Ref("throttle", x.layout.main.name)
        yield Outcome(
            about=main,
            rank=BAD,
            value=0.0,
            limit=float(SOURCES),
            at=math.nan,
            facts={"none": True},
        )
        return
    for s in x.forces.sources:
        spindle = {n: shuts for n, shuts in s.shuts.items() if n in s.spindle}
        far = np.logical_not(
            _any(spindle.values()) | _any(_bare(x, s.throttle).values())
        )
        yield Outcome(
            about=Ref("throttle", s.throttle),
            rank=pick(s.count < SOURCES, BAD, pick(far, LOOK, FITS)),
            value=s.count,
            limit=float(SOURCES),
            at=math.nan,
            facts={
                "none": False,
                "shuts": s.shuts,
                "spindle": spindle,
                "far": far,
                "lets go": _let_go(x, s.throttle),
            },
        )


def _let_go(x: Examined, throttle: str) -> dict[str, Ref]:
    """Return by spring the rod between it and a plate that lets the plate go."""
    layout, lines = x.layout, x.forces.lines
    spindle = layout.throttles[throttle].shaft
    way = [k for k in layout.path_to(spindle) if k.rod.loose]
    behind = {
        spring: {k.rod.name for k in layout.path_to(line.shaft)}
        for spring, line in lines.springs.items()
    }
    return {
        spring: Ref("rod", rods[-1])
        for spring, passed in behind.items()
        if (rods := [k.rod.name for k in way if k.rod.name not in passed])
    }


def _lets_go_words(o: Outcome) -> str:
    """Say which springs stand before a rod that lets the plate go; empty if none."""
    by_rod: dict[Ref, list[str]] = {}
    for spring, rod in o.facts["lets go"].items():
        by_rod.setdefault(rod, []).append(f"`{spring}`")
    return "; ".join(
        f"{' and '.join(some)} {'pull' if len(some) > 1 else 'pulls'} before "
        f"{o.rod(rod.name)}, which lets {the_plate(o.about.name)} go"
        for rod, some in by_rod.items()
    )


def _named(truths: Mapping[str, Truth]) -> str:
    return ", ".join(f"`{name}`" for name, true in truths.items() if true)


def _sources_words(o: Outcome) -> str:
    f = o.facts
    if f["none"]:
        return (
            "do not fit yet: no spring is given, so whether it shuts was NOT checked; add "
            "every spring, the carburettor's own too (49 CFR 571.124 S5.1 asks for two)"
        )
    text = (
        f"springs that shut {o.about.name} at every position: "
        f"{_named(f['shuts']) or 'none'}"
    )
    if o.rank == BAD:
        text += f"; {SOURCES} are asked, so that one may break"
        text += f"; {why}" if (why := _lets_go_words(o)) else ""
    elif f["far"]:
        text += "; none of them acts on the spindle itself"
    elif _named(f["spindle"]):
        text += f"; on the spindle: {_named(f['spindle'])}"
    return f"{text} (49 CFR 571.124 S5.1)"


def _sources_short(o: Outcome) -> Short:
    f, name = o.facts, the_plate(o.about.name)
    if f["none"]:
        return "no spring is given", "so whether it shuts was not checked"
    shuts = _named(f["shuts"])
    if o.rank == BAD:
        what = (
            f"only spring {shuts} shuts {name}" if shuts else f"no spring shuts {name}"
        )
        return what, _lets_go_words(o) or f"{SOURCES} are asked, so that one may break"
    if f["far"]:
        return f"no spring of {name} acts on the spindle itself", f"only {shuts}"
    return (
        f"springs {shuts} shut {name}",
        f"on the spindle {_named(f['spindle']) or 'none'}",
    )


ENERGY_SOURCES: Final = Rule(
    code="energy-sources",
    needs="forces",
    springless=True,
    judge=_sources,
    name="two springs",
    words=_sources_words,
    short=_sources_short,
    meaning="Two springs that shut the plate at every position, at least one on the "
    "spindle itself (49 CFR 571.124 S5.1). A layout without any spring does not fit yet, "
    "as shutting was not checked. A spring before a rod that loses motion is none: such a "
    "rod lets the plate go; it is named.",
    verdicts="fits, look, or do not fit",
    silenced_by=(SHUT, JAM, *MISPLACED),
    cures=("spring added",),
    cure="one more spring at the spindle",
)


def _unsprung(x: Examined) -> Iterator[Outcome]:
    for intact in x.forces.intact:
        bare = _bare(x, intact.throttle)
        count = sum((1.0 * truth for truth in bare.values()), start=0.0)
        yield Outcome(
            about=Ref("throttle", intact.throttle),
            # Without any spring at all the sources say so.
            applies=np.logical_not((count > 0) & intact.unsprung),
            rank=pick(count > 0, BAD, FITS),
            value=count,
            limit=0.0,
            at=math.nan,
            facts={"bare": bare},
        )


#: What goes, by kind of failure, in words.
_GOES: Final = {
    "rod": "rod `{0.name}` or a joint of it parts",
    "cable": "the wire of cable `{0.name}` parts or its sheath comes out of its bracket",
    "cam": "the roller of cam `{0.name}` comes off its pin",
    "pin": "the ball stud or pin at `{0}` breaks",
    "arm": "lever `{0}` breaks off or slips on its shaft",
    "anchor": "the anchor of {0} goes",
    "shaft": "shaft `{0}` comes off its pivot",
}


def _breaks(failure: Failure) -> str:
    return _GOES[failure.what].format(failure.ref)


def _goes(failure: Failure) -> str:
    text = _breaks(failure)
    return text if failure.kind == "rod" else f"{text}, {failure.took} go with it"


def _unsprung_words(o: Outcome) -> str:
    name = o.about.name
    if o.rank:
        bare = [failure for failure, true in o.facts["bare"].items() if true]
        rods = [f for f in bare if f.kind == "rod"]
        # A rod that leaves nothing is told before what takes the rod along.
        told = rods or bare
        text = "; if ".join(_goes(f) for f in told)
        return f"if {text}: no spring is left on {name} (49 CFR 571.124 S5.2)"
    return (
        f"{name} keeps a spring whichever {o.a_rod}, joint, pin, lever, anchor or shaft fails "
        "(49 CFR 571.124 S5.2)"
    )


def _unsprung_short(o: Outcome) -> Short:
    name = the_plate(o.about.name)
    if not o.rank:
        return f"{name} keeps a spring whatever one part fails", ""
    bare = [failure for failure, true in o.facts["bare"].items() if true]
    told = [f for f in bare if f.kind == "rod"] or bare
    others = len(told) - 1
    more = f"and so with {others} other part{'s' * (others > 1)}" if others else ""
    return f"if {_breaks(told[0])} no spring is left on {name}", more


UNSPRUNG: Final = Rule(
    code="unsprung-if-parted",
    needs="forces",
    judge=_unsprung,
    name="a spring left when a part fails",
    words=_unsprung_words,
    short=_unsprung_short,
    meaning="Whether any one part that fails leaves the plate without a spring: a rod or "
    "joint; a pin or ball stud with all that hangs on it (holes of one shaft that are near "
    "to each other are on one pin); a lever with all its holes; the anchor of several "
    "springs; a shaft between pedal and spindle (49 CFR 571.124 S5.2).",
    limits=("pin_apart", "anchor_apart"),
    silenced_by=(SHUT, JAM, *MISPLACED),
    cures=("spring anchor apart", "spring own arm", "spring added"),
    cure="an anchor moved aside, an arm of its own for a spring, or one more spring at "
    "the spindle",
)
