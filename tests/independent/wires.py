"""Taut wires worked out another way: points in space, and the shortest way round a rim.

A drum or snail is a row of many points on its rim. A taut wire from the nipple to the end
of the sheath is the shortest way that goes outside all of them, found by throwing out
every point that the wire would not touch (Graham's scan, over turns that do not wrap).
Across the drum, along its shaft, only the straight piece reaches over.

No code of the package: pivots, axes, arms and points of the layout, read as data.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

#: Points of a rim are so near each other. [rad]
STEP = math.radians(0.25)


def rim_points(arm) -> np.ndarray:
    """Return turns and radii of a drum's rim, from the nipple on, shape (points, 2)."""
    if not arm.rim:
        turns = np.arange(0, 2 * math.pi, STEP)
        return np.stack((turns, np.full(len(turns), arm.length)), axis=1)
    given = np.array(arm.rim)
    count = math.ceil(given[-1, 0] / STEP) + 1
    turns = np.union1d(np.linspace(0, given[-1, 0], count), given[:, 0])
    radii = np.interp(turns, given[:, 0], given[:, 1]) * arm.length / given[0, 1]
    return np.stack((turns, radii), axis=1)


class Rim:
    """Points of a rim, and of each which ones a taut wire from the nipple to it touches.

    Two that are half a turn apart or more have the axis between them, on the wrong side:
    what lies between stays.
    """

    def __init__(self, arm) -> None:
        self.points = rim_points(arm)
        t, r = self.points.T
        self._places = np.stack((t, r * np.cos(t), r * np.sin(t)), axis=1).tolist()
        #: The one touched before each, and the wire up to each.
        self.before: list[int] = []
        self.laid: list[float] = []
        for i, place in enumerate(self._places):
            k = self._last(i, place) if i else -1
            self.before.append(k)
            far = math.dist(self._places[k][1:], place[1:]) if i else 0.0
            self.laid.append(far + (self.laid[k] if i else 0.0))

    def _last(self, count: int, to) -> int:
        """Return the last one touched of the first few, on the way to a place."""
        k = count - 1
        while k > 0 and not _outside(self._places[self.before[k]], self._places[k], to):
            k = self.before[k]
        return k

    def leaves(self, ahead: float, far: float) -> tuple[int, float]:
        """Return the point that a wire to a place leaves, and what is straight of it."""
        to = (ahead, far * math.cos(ahead), far * math.sin(ahead))
        k = self._last(int(np.searchsorted(self.points[:, 0], ahead)), to)
        return k, math.dist(self._places[k][1:], to[1:])


def _outside(one, two, three) -> bool:
    if three[0] - one[0] >= math.pi:
        return True
    (_, ax, ay), (_, bx, by), (_, cx, cy) = one, two, three
    return (bx - ax) * (cy - by) - (by - ay) * (cx - bx) > 0


@dataclass
class End:
    """One end of a wire: an arm of a shaft, and where the sheath ends.

    ``ahead`` is the turn from the nipple to the sheath's end at rest, in the sense of
    the winding and told by the test that made it: it says how often the wire goes round.
    """

    shaft: object
    arm: object
    point: np.ndarray
    ahead: float = 0.0

    def __post_init__(self) -> None:
        axis = self.shaft.axis
        self.u, self.v, self.n = (np.array(x) for x in (axis.u, axis.v, axis.n))
        self.centre = np.array(self.shaft.pivot) + self.arm.offset * self.n
        away = np.array(self.point) - self.centre
        self.aside = float(away @ self.n)
        self.far = math.hypot(away @ self.u, away @ self.v)
        self._rim = Rim(self.arm) if self.arm.wound else None

    def pin(self, turn: float) -> np.ndarray:
        angle = self.arm.angle + turn
        way = self.u * math.cos(angle) + self.v * math.sin(angle)
        return self.centre + self.arm.length * way

    def run(self, turn: float) -> float:
        """Return how long the wire is from the nipple to the sheath's end. [m]."""
        ahead = self.ahead - self.arm.wound * turn
        if not self.arm.wound or ahead <= 0:
            return float(np.linalg.norm(self.pin(turn) - self.point))
        k, straight = self._rim.leaves(ahead, self.far)
        return self._rim.laid[k] + math.hypot(straight, self.aside)

    def wound(self, turn: float) -> float:
        """Return the turn round the rim at which the wire leaves it. [rad]."""
        k, _ = self._rim.leaves(self.ahead - self.arm.wound * turn, self.far)
        return float(self._rim.points[k, 0])


@dataclass
class Wire:
    """A wire with two ends, taut or slack, whose driven end rests on a stop."""

    driver: End
    driven: End
    #: Sense in which a pull turns the driven shaft.
    pulls: int
    #: What hangs loose at rest. [m]
    lost: float = 0.0

    def __post_init__(self) -> None:
        self.free = self.driver.run(0.0) + self.driven.run(0.0) + self.lost

    def taut(self, turn: float, near: float = 0.0) -> float:
        """Return the driven turn at which it is taut, the nearest to one. [rad]."""
        left = self.free - self.driver.run(turn)

        def miss(on: float) -> float:
            return self.driven.run(near + on) - left

        for reach in (0.02, 0.05, 0.1, 0.2, 0.4, 0.8):
            if miss(-reach) * miss(reach) < 0:
                return near + brentq(miss, -reach, reach, xtol=1e-14)
        msg = "the wire is taut nowhere near"
        raise ValueError(msg)

    def drives(self, turn: float) -> bool:
        return self.driver.run(turn) + self.driven.run(0.0) > self.free

    def through(self, turns: np.ndarray, *, one_way: bool = True) -> np.ndarray:
        """Return the driven turns, one after another from rest."""
        found, near = [], 0.0
        for turn in turns:
            held = one_way and not self.drives(turn)
            near = 0.0 if held else self.taut(turn, near)
            found.append(near)
        return np.array(found)
