"""A profile cut along the way of a roller, longer at both ends, and marked off by points.

It goes on in arcs, as it is at its ends: before rest so that the roller does not come to
its end, beyond full so far that no dead centre is near there.

Not here: the way (`search.cam_way`), which curve is wanted (`search.cam_profile`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import LayoutError

if TYPE_CHECKING:
    from linkage.model import Layout, Link
    from linkage.search.cam_way import Motion

#: Points that a profile is given by: one less than a file may have, so that it can still
#: be made to go on further.
POINTS: Final = 15
#: By how much more than is asked of it the profile goes on, as the turn of its normal.
#: [rad]
MORE: Final = math.radians(2)
#: Greatest radius of the arc in which it goes on before rest [m], and the turn of its
#: normal up to which it is looked for how far it has to beyond full. [rad]
WIDE: Final = 0.2
FURTHEST: Final = math.radians(60)
#: To which it is marked off: radii [m], and turns [deg].
MARKED: Final = 1e-6
STEPS: Final = 0.1
#: Turn round the cam by which that may be shorter than what it was worked out for. [rad]
SPARE: Final = math.radians(STEPS * (POINTS - 1))
#: Turn of its normal between points of the arcs at its ends. [rad]
FINE: Final = math.radians(0.05)


def _arc(start: complex, normal: complex, radius: float, round_: float) -> Any:  # noqa: ANN401
    """Return places on an arc that goes on from a place, the nearest first; complex. [m]."""
    turns = np.linspace(0.0, round_, max(int(abs(round_) / FINE), 2))[1:]
    return start + radius * normal * (np.exp(1j * turns) - 1)


def edge(layout: Layout, motion: Motion, c: float) -> tuple[Any, Any]:
    """Return a profile for a curve, in small steps: turns from the arm on, and radii.

    Rising, as the profile goes round. [rad, m]
    """
    way, goes, limits = motion.way(c), motion.face.goes, layout.limits
    # As the profile counts: anticlockwise where it goes round that way.
    normal = way.out_x + 1j * goes * way.out_y
    edge = way.x + 1j * goes * way.y - motion.roller * normal
    radius = 1 / way.bend - motion.roller
    turns = np.unwrap(np.angle(edge))
    sense = float(np.sign(turns[-1] - turns[0]))
    further = float(limits.cam_left) + MORE
    # At rest the roller stands before where it is met: so does the profile.
    small = min(float(radius[0]), WIDE)
    rest = motion.pin(motion.rest, 0.0) - (edge[0] - small * normal[0])
    before = max(sense * float(np.angle(normal[0] / rest)), 0.0) + further
    start = _arc(edge[0], normal[0], small, -sense * before)
    # Beyond full so far that no dead centre is near there.
    end = _arc(edge[-1], normal[-1], float(radius[-1]), sense * FURTHEST)
    least = motion.swing + math.copysign(float(limits.dead_centre) + MORE, motion.swing)
    far = abs(motion.pin(motion.ends, least))
    centre = edge[-1] - radius[-1] * normal[-1]
    pins = np.abs(end + motion.roller * (end - centre) / radius[-1])
    short = (far - pins) * (far - abs(motion.pin(motion.ends, motion.swing))) > 0
    short |= np.arange(1, len(end) + 1) * FINE < further
    last = int(np.argmin(np.append(short, False)))
    # And by as much as is left off where steps between points are whole ones.
    round_ = np.unwrap(np.angle(end))
    spare = np.abs(round_ - round_[min(last, len(end) - 1)])
    spare[:last] = 0.0
    end = end[: int(np.argmax(np.append(spare, np.inf) > SPARE)) + 1]
    whole = np.concatenate((start[::-1], edge, end))
    turns = np.unwrap(np.angle(whole))
    return (turns, np.abs(whole)) if sense > 0 else (turns[::-1], np.abs(whole[::-1]))


def marked(layout: Layout, link: Link, turns: Any, radii: Any) -> Layout | None:  # noqa: ANN401
    """Return the layout with a profile through points as they are marked off.

    None where that is no profile: hollow, or one that turns back.
    """
    if not np.all(np.diff(turns) > 0):
        return None
    cam: Any = link.rod
    step = math.floor(math.degrees(turns[-1] - turns[0]) / (POINTS - 1) / STEPS) * STEPS
    at = np.radians(np.round(step * np.arange(POINTS), 3))
    around = np.round(np.interp(turns[0] + at, turns, radii) / MARKED) * MARKED
    shaft = layout.shafts[link.driver.shaft]
    arm = shaft.arms[link.driver.arm]
    new = replace(
        arm,
        length=float(around[0]),
        angle=math.remainder(arm.angle + cam.goes * float(turns[0]), 2 * math.pi),
    )
    points = tuple(zip(map(float, at), map(float, around), strict=True))
    try:
        made = replace(cam, points=points, arcs=(), base=float(around[0]))
    except LayoutError:
        return None
    out = layout.with_shaft(shaft.with_arm(new))
    return replace(out, rods={**layout.rods, cam.name: made})
