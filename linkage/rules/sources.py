"""Rules about sources of energy: two of them, and one left whatever parts.

Not here: how strong they are (`rules.shutting`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import Truth, pick
from linkage.model.refs import Ref
from linkage.rules.rule import BAD, FITS, JAM, LOOK, SHUT, Outcome, Rule
from linkage.rules.shutting import MISPLACED

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from linkage.rules.examine import Examined

#: Sources of energy asked for, 49 CFR 571.124 S5.1.
SOURCES: Final = 2


def _any(truths: Iterable[Truth]) -> Truth:
    out: Truth = False
    for truth in truths:
        out = out | truth
    return out


def _bare(x: Examined, throttle: str) -> dict[str, Truth]:
    """Return by rod whether its parting leaves a plate without a spring."""
    return {
        r.failure.ref.name: r.unsprung
        for r in x.forces.returns
        if r.throttle == throttle and r.failure.kind == "rod"
    }


def _sources(x: Examined) -> Iterator[Outcome]:
    if not x.layout.springs:
        main = Ref("throttle", x.layout.main.name)
        yield Outcome(
            about=main,
            rank=LOOK,
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
        look = far | _any(s.share.values())
        yield Outcome(
            about=Ref("throttle", s.throttle),
            rank=pick(s.count < SOURCES, BAD, pick(look, LOOK, FITS)),
            value=s.count,
            limit=float(SOURCES),
            at=math.nan,
            facts={
                "none": False,
                "shuts": s.shuts,
                "spindle": spindle,
                "shared": s.share,
                "far": far,
            },
        )


def _named(truths: Mapping[str, Truth]) -> str:
    return ", ".join(f"`{name}`" for name, true in truths.items() if true)


def _sources_words(o: Outcome) -> str:
    f = o.facts
    if f["none"]:
        return (
            "no spring is given, so whether it shuts was NOT checked; add every "
            "spring, the carburettor's own too (49 CFR 571.124 S5.1 asks for two)"
        )
    text = (
        f"springs that shut {o.about.name} at every position: "
        f"{_named(f['shuts']) or 'none'}"
    )
    pairs = [pair for pair, true in f["shared"].items() if true]
    if o.rank == BAD:
        text += f"; {SOURCES} are asked, so that one may break"
    elif f["far"]:
        text += "; none of them acts on the spindle itself"
    elif pairs:
        one, two = pairs[0]
        text += f"; `{one}` and `{two}` share a hook or an anchor, and one fault may take both"
    elif _named(f["spindle"]):
        text += f"; on the spindle: {_named(f['spindle'])}"
    return f"{text} (49 CFR 571.124 S5.1)"


ENERGY_SOURCES: Final = Rule(
    code="energy-sources",
    needs="forces",
    springless=True,
    judge=_sources,
    words=_sources_words,
    meaning="Two springs that shut the plate at every position, at least one on the "
    "spindle itself, not sharing a hook or an anchor (49 CFR 571.124 S5.1). A layout "
    "without any spring: look, as shutting was not checked.",
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


def _unsprung_words(o: Outcome) -> str:
    text = f"{o.about.name} keeps a spring whichever rod or joint parts"
    if o.rank:
        rods = _named(o.facts["bare"]).replace(", ", " or ")
        text = (
            f"if rod {rods} or a joint of it parts, no spring is left on {o.about.name}"
        )
    return f"{text} (49 CFR 571.124 S5.2)"


UNSPRUNG: Final = Rule(
    code="unsprung-if-parted",
    needs="forces",
    judge=_unsprung,
    words=_unsprung_words,
    meaning="Whether any one rod or joint that parts leaves the plate without a spring "
    "(49 CFR 571.124 S5.2).",
    limits=("pin_apart", "anchor_apart"),
    silenced_by=(SHUT, JAM, *MISPLACED),
    cures=("spring added",),
    cure="one more spring at the spindle",
)
