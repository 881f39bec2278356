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
from linkage.model.paths import arm_path
from linkage.search.cables import cables, with_cable
from linkage.search.changes import arm, measured_off, rods_at
from linkage.search.family import Family, Step

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
        if not layout.shafts[hole.shaft].arms[hole.arm].wound:
            continue
        for cable in cables(layout, rods_at(layout, hole)).values():
            i = 0 if hole == cable.start else 1
            for point in (None, _across(layout, cable, i, hole)):
                yield _family(layout, hole, cable, i, point)


def _family(
    layout: Layout, hole: Hole, cable: Cable, i: int, point: Vector | None
) -> Family:
    shaft = layout.shafts[hole.shaft]
    now = shaft.arms[hole.arm]
    other: Any = -now.wound
    base = layout.with_shaft(shaft.with_arm(replace(now, wound=other)))
    moved = cable
    if point is not None:
        moved = cable.with_end(i, replace(cable.ends[i], point=point))
        base = with_cable(base, moved)
    rest, then = (
        float(run_of(some, hole, one.ends[i].point).wound((1.0, 0.0)))
        for some, one in ((layout, cable), (base, moved))
    )
    # Where as much of the wire lies on it as before, and about there.
    new = now.angle + other * (then - rest) + ABOUT
    new = np.remainder(new + math.pi, 2 * math.pi) - math.pi
    about = arm(hole)
    more = {
        "seen_from": shaft.axis.seen_from,
        "sheath": None if point is None else (cable.name, point),
    }

    def step(k: int) -> Step:
        return Step(
            kind="drum wound",
            about=about,
            old=now.wound,
            new=other,
            more={**more, "angle": float(new[k])},
        )

    return Family(
        base=base,
        sets={arm_path(hole, "angle"): new},
        effort=1.0 + np.abs(ABOUT) + 0.2 * (point is not None),
        step=step,
        cut=(cable.name,),
    )


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
