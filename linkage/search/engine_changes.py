"""Changes that keep a rocking engine off the throttle.

Not here: which of them mends a finding (`search.cures`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.refs import Ref
from linkage.search.family import Family, Step, always

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout

#: Values of a movement that are tried at most.
HELD: Final = 30
#: Step in which an engine steady's hold is told. [rad]
ROLL_STEP: Final = math.radians(0.1)
#: Step in which a mount's catch is told. [m]
LIFT_STEP: Final = 0.5e-3
#: What a steady in rubber holds, and a chain with its slack, at best: common
#: practice, no source. [rad], [m]
LEAST_ROLL: Final = math.radians(0.5)
LEAST_LIFT: Final = 2e-3


def bracketed(layout: Layout) -> Iterator[Family]:
    """Yield shafts between pedal and spindle taken off the engine, one or more.

    Those nearest the pedal first: the rod that then crosses from body to engine
    is a later one, which may lie across the engine's movement.
    """
    spindles = {t.shaft for t in layout.throttles.values()}
    between = [
        link.driven.shaft
        for link in layout.links
        if link.driven.shaft in layout.engine.carries
        and link.driven.shaft not in spindles
    ]
    for count in range(1, len(between) + 1):
        freed = tuple(between[:count])
        if _parts_a_cam(layout, freed):
            continue
        kept = tuple(s for s in layout.engine.carries if s not in freed)
        step = Step(
            kind="bracket", about=Ref("shaft", freed[0]), more={"shafts": freed}
        )
        yield Family(
            base=replace(layout, engine=replace(layout.engine, carries=kept)),
            sets={},
            effort=np.array([0.5 * count]),
            step=always(step),
            moves_stroke=False,
        )


def _parts_a_cam(layout: Layout, freed: tuple[str, ...]) -> bool:
    """Tell whether a cam would be freed and its roller not, or the other way round."""
    cams = [rod for rod in layout.rods.values() if rod.kind == "cam"]
    return any((c.start.shaft in freed) is not (c.end.shaft in freed) for c in cams)


def _held(layout: Layout, kind: str, field: str, step: float, least: float) -> Family:
    """Return one of the engine's movements held to less, in whole steps."""
    old = getattr(layout.engine, field)
    count, lowest = math.ceil(round(old / step, 6)) - 1, round(least / step)
    new = np.arange(count, lowest - 1, -max(math.ceil(count / HELD), 1)) * step
    return Family(
        base=layout,
        sets={("engine", field): new},
        effort=2.0 + old - new,
        step=lambda i: Step(kind=kind, about=Ref("engine"), old=old, new=float(new[i])),
        moves_stroke=False,
    )


def steadied(layout: Layout) -> Iterator[Family]:
    """Yield an engine steady that holds the roll to less, in tenths of a degree."""
    yield _held(layout, "steady", "roll", ROLL_STEP, LEAST_ROLL)


def caught(layout: Layout) -> Iterator[Family]:
    """Yield a chain or strap that catches the engine sooner, in half millimetres."""
    yield _held(layout, "catch", "lift", LIFT_STEP, LEAST_LIFT)


#: Sources that ask for the layout alone, by kind of change.
SOURCES: Final = {"bracket": bracketed, "steady": steadied, "catch": caught}
