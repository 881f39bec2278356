"""Changes that keep a rocking engine off the throttle.

Not here: which of them mends a finding (`checks.cures`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.quantities import say
from linkage.rules.adjust import Adjustment

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from linkage.model import Layout
    from linkage.rules.examine import Examined
    from linkage.rules.finding import Finding

#: Step in which an engine steady's hold is told. [rad]
ROLL_STEP: Final = math.radians(0.1)
#: Step in which a mount's catch is told. [m]
LIFT_STEP: Final = 0.5e-3


def bracketed(layout: Layout) -> Iterator[Adjustment]:
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
        freed = between[:count]
        kept = tuple(s for s in layout.engine.carries if s not in freed)
        named = " and ".join(f"`{s}`" for s in freed)
        yield Adjustment(
            effort=0.5 * count,
            text=f"bracket {named} to the body instead of the engine",
            layout=replace(layout, engine=replace(layout.engine, carries=kept)),
            moves_stroke=False,
        )


def steadied(layout: Layout) -> Iterator[Adjustment]:
    """Yield an engine steady that holds the roll to less, in tenths of a degree."""
    engine = layout.engine
    for i in range(math.ceil(round(engine.roll / ROLL_STEP, 6)) - 1, 0, -1):
        roll = i * ROLL_STEP
        yield Adjustment(
            effort=2 + engine.roll - roll,
            text=f"fit an engine steady that holds the roll to {say(roll, 'angle')} instead of {say(engine.roll, 'angle')}",
            layout=replace(layout, engine=replace(engine, roll=roll)),
            moves_stroke=False,
        )


def caught(layout: Layout) -> Iterator[Adjustment]:
    """Yield a chain or strap that catches the engine sooner, in half millimetres."""
    engine = layout.engine
    for i in range(math.ceil(round(engine.lift / LIFT_STEP, 6)) - 1, 0, -1):
        lift = i * LIFT_STEP
        yield Adjustment(
            effort=2 + (engine.lift - lift),
            text=f"fit a chain or strap that catches the engine after {say(lift, 'length')} instead of {say(engine.lift, 'length')}",
            layout=replace(layout, engine=replace(engine, lift=lift)),
            moves_stroke=False,
        )


def _rolling(x: Examined, finding: Finding) -> Iterable[Adjustment]:  # noqa: ARG001
    return [*bracketed(x.layout), *steadied(x.layout)]


def _lifted(x: Examined, finding: Finding) -> Iterable[Adjustment]:  # noqa: ARG001
    return [*bracketed(x.layout), *caught(x.layout)]


SOURCES: Final[dict[str, Callable[[Examined, Finding], Iterable[Adjustment]]]] = {
    "engine-rock": _rolling,
    "mount-gone": _lifted,
}
