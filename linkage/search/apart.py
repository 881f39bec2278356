"""Springs that one part would take together, put apart, and places for one more.

A pin, a lever or an anchor that takes two springs is one source of energy: a spring
gets an arm of its own beside the one that it shares, or its anchor goes aside.

Not here: what hangs on one part (`forces.common`), anchors moved for other reasons
(`search.anchors`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import chain, count
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.forces.common import one_lever
from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.search.anchors import moved
from linkage.search.changes import place_step
from linkage.search.family import Family, Step, always

if TYPE_CHECKING:
    from collections.abc import Callable, Container, Iterable, Iterator

    from numpy.typing import NDArray

    from linkage.model import Arm, Layout
    from linkage.model.paths import Path

    FloatArray = NDArray[np.float64]

#: How many steps further aside is tried.
FURTHER: Final = np.array([1, 4, 9, 19, 29])


def aside(least: float) -> FloatArray:
    """Return how far aside is tried, either way, in whole steps. [m]."""
    step = place_step()
    far = math.ceil(round(least / step, 6)) * step + FURTHER * step
    return np.stack([far, -far], axis=1).ravel()


def anchors_apart(layout: Layout, names: Iterable[str]) -> Iterator[Family]:
    """Yield the anchor of each of some springs moved aside, along its shaft."""
    for name in names:
        spring = layout.springs[name]
        if spring.anchor is not None:
            n = np.array(layout.shafts[spring.shaft].across, dtype=float)
            way = aside(float(layout.limits.anchor_apart))
            yield from moved(layout, name, np.array(spring.anchor) + way[:, None] * n)


def free_name(taken: Container[str], *wanted: str) -> str:
    """Return the first of some names that is not taken, else the last with a number.

    >>> free_name({"near", "far"}, "near", "far")
    'far 2'
    """
    numbered = (f"{wanted[-1]} {i}" for i in count(2))
    return next(name for name in chain(wanted, numbered) if name not in taken)


def own_arms(layout: Layout, names: Iterable[str]) -> Iterator[Family]:
    """Yield each of some springs on an arm of its own, beside the one it hangs on.

    Its anchor goes aside with it, so that its line stays as it is.
    """
    for name in names:
        spring = layout.springs[name]
        if not spring.arm or spring.anchor is None:
            continue
        shaft = layout.shafts[spring.shaft]
        if shaft.slides:
            continue
        old, new = shaft.arms[spring.arm], free_name(shaft.arms, name)
        own = replace(old, name=new, fixed=False, clocking="free", mass=0.0)
        base = layout.with_shaft(shaft.with_arm(own))
        base = base.with_spring(replace(spring, arm=new))
        way = aside(float(layout.limits.pin_apart))
        targets = np.array(spring.anchor) + way[:, None] * np.array(shaft.axis.n)
        offsets = old.offset + way
        sets: dict[Path, FloatArray] = {
            ("shafts", shaft.name, "arms", new, "offset"): offsets
        }
        sets |= {("springs", name, "anchor", k): targets[:, k] for k in range(3)}
        yield Family(
            base=base,
            sets=sets,
            effort=0.7 + np.abs(way) / 0.1,
            step=_own_step(
                name, Hole(shaft=shaft.name, arm=new), own, offsets, targets
            ),
            moves_stroke=False,
        )


def hooked(layout: Layout, names: Iterable[str]) -> Iterator[Family]:
    """Yield each of some springs on another arm of its shaft, on which nothing hangs.

    Its anchor stays where it is.
    """
    taken = {(h.shaft, h.arm) for link in layout.links for h in link.holes}
    taken |= {(s.shaft, s.arm) for s in layout.springs.values()}
    for name in names:
        spring = layout.springs[name]
        for arm in layout.shafts[spring.shaft].arms if spring.arm else ():
            if (spring.shaft, arm) in taken:
                continue
            new = Hole(shaft=spring.shaft, arm=arm)
            about, old = Ref("spring", name), Hole(shaft=spring.shaft, arm=spring.arm)
            step = Step(kind="spring hooked", about=about, old=str(old), new=str(new))
            yield Family(
                base=layout.with_spring(replace(spring, arm=arm)),
                sets={},
                effort=np.array([0.5]),
                step=always(step),
                moves_stroke=False,
            )


def _own_step(
    name: str, hole: Hole, own: Arm, offsets: FloatArray, targets: FloatArray
) -> Callable[[int], Step]:
    def step(i: int) -> Step:
        more = {
            "arm": str(hole),
            "size": (own.length, own.angle, float(offsets[i])),
            "anchor": tuple(targets[i].tolist()),
        }
        return Step(kind="spring own arm", about=Ref("spring", name), more=more)

    return step


def room(layout: Layout, shaft: str, arm: Arm) -> Arm:
    """Return an arm like another, as near beside it as none is on one pin or lever."""
    limit = float(layout.limits.pin_apart)
    others = layout.shafts[shaft].arms.values()
    near = arm
    for way in aside(limit).tolist():
        near = replace(arm, offset=arm.offset + way)
        if not any(one_lever(near, other, limit) for other in others):
            break
    return near
