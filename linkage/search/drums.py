"""Drums turned over: the wire led round the other way, so that a pull turns them so.

Not here: their radius and their nipple, which other arms have as length and angle
(`search.changes`), what rim a snail is to have (`search.rim`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect.cable import run_of
from linkage.model import SheathEnd
from linkage.search.cables import cables, with_cable
from linkage.search.changes import arm, measured_off, rods_at
from linkage.search.family import Family, Step
from linkage.search.paths import arm_path

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from linkage.model import Cable, Hole, Layout, Vector

#: Turns about where as much wire lies on it as before, at which its nipple is tried.
ABOUT: Final = np.radians(np.arange(-120.0, 121.0, 10.0))


def turned_over(layout: Layout, holes: Iterable[Hole]) -> Iterator[Family]:
    """Yield drums turned over on their shafts, with the sheath as it is or moved across.

    The same drum faces the other way then, so that the wire lies round it the other way;
    its nipple goes where about as much of the wire lies on it as before.
    """
    for hole in holes:
        now = layout.shafts[hole.shaft].arms[hole.arm]
        for name, cable in cables(layout, rods_at(layout, hole)).items():
            if not now.wound:
                continue
            i = 0 if hole == cable.start else 1
            for end in (None, _across(layout, cable, i, hole)):
                yield _family(layout, hole, name, i, end)


def _over(layout: Layout, hole: Hole) -> Layout:
    shaft = layout.shafts[hole.shaft]
    now = shaft.arms[hole.arm]
    other: Any = -now.wound
    arms = {**shaft.arms, hole.arm: replace(now, wound=other)}
    shafts = {**layout.shafts, hole.shaft: replace(shaft, arms=arms)}
    return replace(layout, shafts=shafts)


def _family(
    layout: Layout, hole: Hole, name: str, i: int, end: Vector | None
) -> Family:
    cable: Any = layout.rods[name]
    base = _over(layout, hole)
    if end is not None:
        ends = list(cable.ends)
        ends[i] = SheathEnd(point=end, on=ends[i].on)
        base = with_cable(base, replace(cable, ends=tuple(ends)))
    angle = _nipple(layout, base, hole, name, i)
    new = np.remainder(angle + ABOUT + math.pi, 2 * math.pi) - math.pi
    shaft = layout.shafts[hole.shaft]
    about = arm(hole)
    more = {
        "seen_from": shaft.axis.seen_from,
        "sheath": None if end is None else (name, end),
    }

    def step(k: int) -> Step:
        return Step(
            kind="drum wound",
            about=about,
            old=shaft.arms[hole.arm].wound,
            new=-shaft.arms[hole.arm].wound,
            more={**more, "angle": float(new[k])},
        )

    return Family(
        base=base,
        sets={arm_path(hole, "angle"): new},
        effort=1.0 + np.abs(ABOUT) + 0.2 * (end is not None),
        step=step,
        cut=(name,),
    )


def _nipple(layout: Layout, base: Layout, hole: Hole, name: str, i: int) -> float:
    """Return where the nipple goes so that as much wire lies on the drum. [rad]."""
    cables_: tuple[Any, Any] = (layout.rods[name], base.rods[name])
    rest, then = (
        float(run_of(some, hole, cable.ends[i].point).wound((1.0, 0.0)))
        for some, cable in zip((layout, base), cables_, strict=True)
    )
    now = base.shafts[hole.shaft].arms[hole.arm]
    return float(now.angle + now.wound * (then - rest))


def _across(layout: Layout, cable: Cable, i: int, hole: Hole) -> Vector:
    """Return the end of a sheath on the other side of the shaft, in the drum's plane."""
    shaft = layout.shafts[hole.shaft]
    centre = np.array(shaft.centre(hole.arm), dtype=float)
    normal = np.array(shaft.axis.n, dtype=float)
    end = np.array(cable.ends[i].point, dtype=float)
    run = run_of(layout, hole, cable.ends[i].point)
    radius, turn = run.foot((1.0, 0.0))
    angle = shaft.arms[hole.arm].angle + float(turn)
    u, v = (np.array(a, dtype=float) for a in (shaft.axis.u, shaft.axis.v))
    # From the axis to where the wire leaves a round drum: square to the free wire.
    out = float(radius) * (math.cos(angle) * u + math.sin(angle) * v)
    pull = end - centre - out
    pull -= (pull @ normal) * normal
    side = np.cross(normal, pull / np.linalg.norm(pull))
    place = end - 2 * float((end - centre) @ side) * side
    x, y, z = measured_off(place).tolist()
    return x, y, z
