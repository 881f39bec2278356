"""The rule about the strength of a cable's wire under a stamped foot.

Not here: what takes the foot (`rules.stamp`), cables that push (`rules.loads`), a cable
that has parted (`rules.sources`, `rules.shutting`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.connect.wire import breaking_load
from linkage.model.columns import greater, negated, plain
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.cables import cables
from linkage.rules.rule import JAM, SHUT, Outcome, Rule, Short, graded

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined

#: Pull below which it does not matter how strong a wire is. [N]
SLIGHT: Final = 1.0
#: Sizes in which wires come. Common practice, no source. [m]
SIZE: Final = 0.5e-3


def _strength(x: Examined) -> Iterator[Outcome]:
    wired = [cable for _, cable in cables(x)]
    if not wired:
        return
    limit, stamp = x.layout.limits.wire_factor, x.forces.stamp
    pulled = {r.rod: r.most_pull for r in x.forces.rods}
    for cable in wired:
        name, breaks = cable.name, breaking_load(cable)
        # One that is not known stays so, in whatever order they are compared.
        pull = plain(np.maximum(np.maximum(stamp.real.rods[name], 0.0), pulled[name]))
        value = breaks / greater(pull, SLIGHT)
        yield Outcome(
            about=Ref("rod", name),
            applies=negated(pull <= SLIGHT),
            rank=graded(value >= limit, value >= 1.0),
            value=value,
            limit=limit,
            kind="ratio",
            digits=1,
            at=stamp.pad_travel,
            facts={
                "breaks": breaks,
                "thick": cable.thick,
                "given": cable.wire > 0,
                "pull": pull,
                "load": stamp.load,
                "stopped": stamp.by_pedal,
                "without": greater(stamp.plate_stop.rods[name], 0.0),
            },
        )


def _strength_words(o: Outcome) -> str:
    f = o.facts
    wire = f"{say(f['thick'], 'length')}{'' if f['given'] else ', as assumed'}"
    foot = f"a foot of {say(f['load'], 'force', 0)}"
    text = (
        f"the wire of {o.called} ({wire}) breaks at {say(f['breaks'], 'force', 0)} at the "
        f"least, {say(o.value, 'ratio', 1)} times the {say(f['pull'], 'force', 0)} that "
        f"{foot} pulls it with; at least {say(o.limit, 'ratio', 1)} times is asked"
    )
    if f["stopped"]:
        bare = f["breaks"] / max(f["without"], SLIGHT)
        text += (
            f"; without the pedal stop it is {say(f['without'], 'force', 0)}, "
            f"{say(bare, 'ratio', 1)} times"
        )
    return f"{text}; what its nipples hold is not known" if not o.rank else text


def _strength_short(o: Outcome) -> Short:
    f = o.facts
    times = (
        f"{say(o.value, 'ratio', 1)} times the {say(f['pull'], 'force', 0)} of a foot"
    )
    if not o.rank:
        return f"the wire of {o.called} is strong enough", times
    return (
        f"a stamped foot can break the wire of {o.called}",
        f"it holds {times}, {say(o.limit, 'ratio', 1)} is asked",
    )


def _strength_advice(o: Outcome) -> str:
    """Return what size of wire would do."""
    f = o.facts
    if not o.rank:
        return ""
    thick = f["thick"] * math.sqrt(o.limit / o.value)
    size = math.ceil(round(thick / SIZE, 6)) * SIZE
    return f"fit {o.called} with a wire of {say(size, 'length')}"


WIRE: Final = Rule(
    name="the strength of wires",
    short=_strength_short,
    code="wire-strength",
    needs="forces",
    judge=_strength,
    words=_strength_words,
    meaning="The least load at which a new wire of its size breaks (EN 12385-2, strand "
    "1x19, from memory) against what a stamped foot pulls it with, with the pedal stop as "
    "it is; without the stop it is told. What the nipples hold is not known.",
    verdicts="fits, look, or do not fit",
    limits=("wire_factor", "stamp_load", "pin_apart"),
    silenced_by=(SHUT, JAM),
    cures=("pedal stop", "cable wire"),
    advice=_strength_advice,
    advised_last=True,
    task=_strength_advice,
    cure="a pedal stop where the full stop is met, or a thicker wire",
)
