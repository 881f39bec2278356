"""One more return spring at a spindle, on an arm and an anchor that no other takes.

Not here: springs that are there (`search.spring_changes`), springs that share a part
(`search.apart`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Hole, Known, Spring
from linkage.model.refs import Ref
from linkage.motion import frame
from linkage.search.apart import aside, free_name, room
from linkage.search.changes import measured_off
from linkage.search.family import Family, Step

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from numpy.typing import NDArray

    from linkage.model import Arm, Layout, Shaft, Throttle
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]
    Vector = tuple[float, float, float]

#: Length of an added spring at idle, its free length, and the length that it must
#: stand; common practice, no source. [m]
LENGTH: Final = 0.110
FREE: Final = 0.085
GREATEST: Final = 0.170
TENSION: Final = 5.0
#: Arms of the spindle on which nothing hangs that are tried for it.
ARMS: Final = 2
RATES: Final = np.array([3, 5, 8, 12, 18, 25, 40]) * 100.0
#: Its name, the first that is free.
NAMES: Final = ("second", "third", "fourth", "fifth", "sixth", "added")


def _arms(layout: Layout, shaft: Shaft) -> list[tuple[Arm, Arm]]:
    """Return arms that may take it, each with the one it is made like.

    First those on which nothing hangs, then that of a rod, then one of its own
    beside another spring's or the rod's.
    """
    driven = {h.arm for k in layout.links for h in k.holes if h.shaft == shaft.name}
    taken = {s.arm for s in layout.springs.values() if s.shaft == shaft.name}
    arms = list(shaft.arms.values())
    free = [a for a in arms if a.name not in driven | taken][:ARMS]
    studs = [a for a in arms if a.name in driven - taken][:1]
    out = [(a, a) for a in (*free, *studs)]
    beside = [a for a in arms if a.name in taken - driven] or arms
    own = replace(
        room(layout, shaft.name, beside[0]), fixed=False, clocking="free", mass=0.0
    )
    return [*out, (own, beside[0])]


def _anchor(layout: Layout, at: FloatArray, on: str, n: FloatArray) -> Vector:
    """Return a place at which no other spring is anchored, or beside it."""
    limit = float(layout.limits.anchor_apart)
    others = [
        np.array(s.anchor)
        for s in layout.springs.values()
        if s.anchor is not None and s.anchored_on == on
    ]
    ways = np.append(0.0, aside(limit))[:, None] * n
    places = measured_off(at + ways)
    free = np.ones(len(places), dtype=bool)
    for other in others:
        free &= np.sqrt(((places - other) ** 2).sum(axis=1)) >= limit
    x, y, z = places[free.argmax()].tolist()
    return x, y, z


def added(motion: Motion, throttle: str) -> Iterator[Family]:
    """Yield one more extension spring at a spindle.

    Its anchor lies square to its arm half-way through the travel, on the engine
    where the spindle is on it.
    """
    layout = motion.assembly.layout
    plate = layout.throttles[throttle]
    spindle = layout.shafts[plate.shaft]
    name = free_name(layout.springs, *NAMES)
    for i, (arm, like) in enumerate(_arms(layout, spindle)):
        own = arm is not like
        hook = free_name(spindle.arms, name) if own else arm.name
        base = layout
        if own:
            base = layout.with_shaft(spindle.with_arm(replace(arm, name=hook)))
        spring = _spring(motion, plate, name, hook, (arm, like))
        yield Family(
            base=base.with_spring(spring),
            sets={("springs", name, "known", "rate"): RATES},
            effort=1 + 0.2 * i + own + RATES / 1e4,
            step=_step(spring, arm if own else None),
            moves_stroke=False,
        )


def _spring(
    motion: Motion, plate: Throttle, name: str, hook: str, arm: tuple[Arm, Arm]
) -> Spring:
    layout, (own, like) = motion.assembly.layout, arm
    n = np.array(layout.shafts[plate.shaft].axis.n, dtype=float)
    table, hole = frame(motion), Hole(shaft=plate.shaft, arm=like.name)
    pins = table.pin(hole).T + (own.offset - like.offset) * n
    middle = len(pins) // 2
    toward = -plate.opens * table.tangent(hole).T[middle]
    near = float((pins[0] - pins[middle]) @ toward)
    on = "engine" if plate.shaft in layout.engine.carries else "body"
    return Spring(
        name=name,
        kind="extension",
        shaft=plate.shaft,
        arm=hook,
        anchor=_anchor(layout, pins[middle] + (LENGTH + near) * toward, on, n),
        anchored_on="engine" if on == "engine" else "body",
        known=Known(
            rate=float(RATES[0]),
            free_length=FREE,
            greatest_length=GREATEST,
            initial_tension=TENSION,
        ),
    )


def _step(spring: Spring, own: Arm | None) -> Callable[[int], Step]:
    more: dict[str, object] = {
        "shaft": spring.shaft,
        "arm": spring.arm,
        "own": None if own is None else (own.length, own.angle, own.offset),
        "anchor": spring.anchor,
        "on": spring.anchored_on,
        "free": FREE,
        "greatest": GREATEST,
        "tension": TENSION,
    }

    def step(k: int) -> Step:
        rate = float(RATES[k])
        about = Ref("spring", spring.name)
        more_here = {**more, "rate": rate}
        return Step(kind="spring added", about=about, new=rate, more=more_here)

    return step
