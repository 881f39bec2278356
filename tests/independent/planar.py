"""Planar linkages whose whole equilibrium SciPy solves: pins, two bearings, ball joints.

Every shaft is a body with a reaction at each of its two bearing places, every rod a
body with a force at each pin. Five equations a shaft (the sixth, along it, is empty)
and three a rod (the other three are) are solved at once, with the friction moment
mu r |reaction| in each bearing place and rho |pin force| in each ball joint, all
against the turn. Nothing is known here of trees, friction circles or virtual work.

Not here: random linkages (`random_planar`), the comparing (`test_joint_friction`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq, root

BALL, JOINT_FRICTION = 10e-3, 0.2


@dataclass
class Posed:
    """Turns, pins in the plane, and turning by pad travel of a planar layout.

    ``omega`` holds shafts by name, and rods by ("rod", name); [rad/m].
    """

    turns: dict
    pins: dict
    omega: dict


def _flat(vector, axis) -> np.ndarray:
    return np.array([np.dot(vector, axis.u), np.dot(vector, axis.v)], dtype=float)


def pin(layout, hole, turn: float) -> np.ndarray:
    """Return a pin in the plane of the shaft's viewer. [m]."""
    s = layout.shafts[hole.shaft]
    a = s.arms[hole.arm]
    way = np.array([np.cos(a.angle + turn), np.sin(a.angle + turn)])
    return _flat(s.pivot, s.axis) + a.length * way


def _follow(layout, link, before: float, start: float, length: float) -> float:
    """Turn of a driven shaft, the root next to a guess."""

    def miss(turn: float) -> float:
        away = pin(layout, link.driven, turn) - pin(layout, link.driver, before)
        return np.hypot(*away) - length

    step = 1e-3
    for k in range(1, 2000):
        low, high = start - k * step, start + k * step
        if miss(low) * miss(start) <= 0:
            return brentq(miss, low, start, xtol=1e-15)
        if miss(high) * miss(start) <= 0:
            return brentq(miss, start, high, xtol=1e-15)
    msg = "it does not reach"
    raise ValueError(msg)


def pose(layout, travel: float) -> Posed:
    """Put a planar layout together at a pad travel, in small steps from rest."""
    radius = layout.shafts[layout.pedal.shaft].arms[layout.pedal.pad].length
    turns = dict.fromkeys(layout.shafts, 0.0)
    lengths = {
        k.rod.name: np.hypot(*(pin(layout, k.driven, 0) - pin(layout, k.driver, 0)))
        for k in layout.links
    }
    for part in np.linspace(0, travel, 20)[1:] if travel else []:
        turns[layout.pedal.shaft] = layout.pedal.presses * part / radius
        for k in layout.links:
            one, two = k.driver.shaft, k.driven.shaft
            turns[two] = _follow(layout, k, turns[one], turns[two], lengths[k.rod.name])
    pins = {h: pin(layout, h, turns[h.shaft]) for k in layout.links for h in k.holes}
    omega = {layout.pedal.shaft: layout.pedal.presses / radius}
    for k in layout.links:
        speeds, arms = [], []
        for h in k.holes:
            s = layout.shafts[h.shaft]
            arm = pins[h] - _flat(s.pivot, s.axis)
            arms.append(np.array([-arm[1], arm[0]]))
        line = pins[k.driven] - pins[k.driver]
        omega[k.driven.shaft] = (
            omega[k.driver.shaft] * (line @ arms[0]) / (line @ arms[1])
        )
        speeds = [omega[h.shaft] * a for h, a in zip(k.holes, arms, strict=True)]
        moved = speeds[1] - speeds[0]
        omega["rod", k.rod.name] = (line[0] * moved[1] - line[1] * moved[0]) / (
            line @ line
        )
    return Posed(turns, pins, omega)


def _springs(layout, posed: Posed, shaft: str):
    """Yield point in the plane, station and force of every spring on a shaft."""
    s = layout.shafts[shaft]
    for spring in layout.springs.values():
        if spring.shaft != shaft:
            continue
        a, k = s.arms[spring.arm], spring.known
        way = a.angle + posed.turns[shaft]
        at = _flat(s.pivot, s.axis) + a.length * np.array([np.cos(way), np.sin(way)])
        line = _flat(spring.anchor, s.axis) - at
        length = np.hypot(*line)
        out = length - k.free_length
        pull = (k.initial_tension + k.rate * out) if out > 0 else 0.0
        yield at, a.offset, pull * line / length


def _foot(layout, posed: Posed):
    """Return where the foot presses, its station, and the way it presses."""
    p = layout.pedal
    s = layout.shafts[p.shaft]
    a = s.arms[p.pad]
    way = a.angle + posed.turns[p.shaft]
    arm = a.length * np.array([np.cos(way), np.sin(way)])
    square = p.presses * np.array([-arm[1], arm[0]]) / a.length
    return _flat(s.pivot, s.axis) + arm, a.offset, square


def places(shaft) -> tuple[float, float]:
    """Return the two places in which a shaft is carried. [m]."""
    if shaft.bearings is not None:
        return shaft.bearings
    stations = [a.offset for a in shaft.arms.values()]
    return (
        (min(stations), max(stations))
        if max(stations) > min(stations)
        else (-0.01, 0.01)
    )


def _joint(rod) -> float:
    mu = JOINT_FRICTION if rod.joint_friction is None else rod.joint_friction
    return mu * (rod.joint_diameter or BALL) / 2


def _cross(a, b) -> float:
    return a[0] * b[1] - a[1] * b[0]


class Equilibrium:
    """All equations of a planar layout at one position and sense; see `solved`."""

    def __init__(self, layout, travel: float, sense: int) -> None:
        self.layout, self.sense = layout, sense
        self.posed = pose(layout, travel)
        self.shafts, self.links = list(layout.shafts), list(layout.links)
        self.fixed = {s: list(_springs(layout, self.posed, s)) for s in self.shafts}
        self.foot = _foot(layout, self.posed)
        self.size = 4 * len(self.shafts) + 4 * len(self.links) + 1

    def split(self, x):
        n, m = len(self.shafts), len(self.links)
        carried = dict(zip(self.shafts, x[: 4 * n].reshape(n, 2, 2), strict=True))
        ends = x[4 * n : 4 * (n + m)].reshape(m, 2, 2)
        return carried, ends, x[-1]

    def joint_moment(self, link, end: int, force) -> float:
        """Friction moment on the shaft at one end of a rod, anticlockwise positive."""
        turn = self.posed.omega
        slip = turn[link.holes[end].shaft] - turn["rod", link.rod.name]
        return -self.sense * np.sign(slip) * _joint(link.rod) * np.hypot(*force)

    def _shaft(self, name: str, carried, ends, foot: float) -> list[float]:
        s = self.layout.shafts[name]
        acting, twist = list(self.fixed[name]), 0.0
        for link, (one, two) in zip(self.links, ends, strict=True):
            for i, (hole, force) in enumerate(zip(link.holes, (one, two), strict=True)):
                if hole.shaft == name:  # what the rod is given, the shaft is taken
                    station = s.arms[hole.arm].offset
                    acting.append((self.posed.pins[hole], station, -force))
                    twist += self.joint_moment(link, i, force)
        if name == self.layout.pedal.shaft:
            at, station, way = self.foot
            acting.append((at, station, foot * way))
        mu = self.layout.friction if s.friction is None else s.friction
        rub = mu * s.bearing / 2 * sum(np.hypot(*r) for r in carried)
        twist -= self.sense * np.sign(self.posed.omega[name]) * (rub + (s.drag or 0.0))
        middle = _flat(s.pivot, s.axis)
        for r, place in zip(carried, places(s), strict=True):
            acting.append((middle, place, r))
        force = sum(f for _, _, f in acting)
        tilt = sum(10 * z * f for _, z, f in acting)
        turning = sum(_cross(p - middle, f) for p, _, f in acting) + twist
        return [*force, *tilt, 10 * turning]

    def _rod(self, link, ends) -> list[float]:
        one, two = ends
        a, b = (self.posed.pins[h] for h in link.holes)
        twist = -sum(self.joint_moment(link, i, f) for i, f in enumerate(ends))
        return [*(one + two), 10 * (_cross(b - a, two) + twist)]

    def residual(self, x) -> np.ndarray:
        carried, ends, foot = self.split(x)
        out = []
        for name in self.shafts:
            out += self._shaft(name, carried[name], ends, foot)
        for link, both in zip(self.links, ends, strict=True):
            out += self._rod(link, both)
        return np.array(out)

    def solved(self) -> tuple[float, dict[str, float]]:
        """Return the foot's force and how hard each rod is pulled (push negative). [N]."""
        for start in (1.0, 20.0, -20.0):
            found = root(
                self.residual,
                np.full(self.size, start),
                method="hybr",
                options={"xtol": 1e-14},
            )
            if np.abs(self.residual(found.x)).max() < 1e-9:
                break
        else:
            msg = "no equilibrium found"
            raise ValueError(msg)
        _, ends, foot = self.split(found.x)
        pulls = {}
        for link, (_, two) in zip(self.links, ends, strict=True):
            a, b = (self.posed.pins[h] for h in link.holes)
            pulls[link.rod.name] = float(two @ (b - a) / np.hypot(*(b - a)))
        return float(foot), pulls
