"""What bearings, ball joints and air take while a plate shuts: an estimate by work.

Rod forces come from the moments about each shaft, ends first; each shaft is carried
in two places, and the work that is lost in bearings and ball joints is taken from
what is handed on. Forces and friction depend on one another: the two are worked out
by turns. The root is held, once by the foot at the pad, once by hand at the plate,
and the larger loss counts.

Not here: what hangs together (`judge_parts`), the limits (`judge`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tests.independent.judge_places import cross, dot, size

if TYPE_CHECKING:
    from tests.independent.judge_loads import Load
    from tests.independent.judge_places import Places

#: Friction where nothing else is given: bearings and joints.
BEARING, BALL, JOINT_FRICTION = 12e-3, 10e-3, 0.2
#: A bush where all arms of a shaft are at one place, either way of its pivot. [m]
BUSH = 10e-3
#: Pressure on a shut plate at engine braking [Pa], friction of its spindle, torque
#: where no bore is given [N·m], how far it acts whole [rad], spindle [m].
VACUUM, SPINDLE_FRICTION, AIR, AIR_WHOLE = 70e3, 0.15, 0.05, math.radians(10)
SPINDLE = 8e-3
ROUNDS = 5


@dataclass
class Held:
    """Rods as the tree is walked from its ends to one held shaft: (rod, outer, inner)."""

    root: str
    order: list[tuple[object, object, object]]


def walk(layout, root: str, shafts: set[str], gone) -> Held:
    """Order the rods among some shafts, ends first."""
    order, known = [], {root}
    while True:
        for k in layout.links:
            ends = {k.driver.shaft, k.driven.shaft}
            if ("rod", k.rod.name) in gone or not ends <= shafts:
                continue
            if len(ends & known) == 1:
                outer, inner = (
                    (k.driven, k.driver)
                    if k.driver.shaft in known
                    else (k.driver, k.driven)
                )
                order.append((k.rod, outer, inner))
                known |= ends
                break
        else:
            return Held(root, order[::-1])


def air_load(throttle, friction: float | None, opening: np.ndarray) -> np.ndarray:
    """Friction of a spindle under engine braking, by opening. [N·m]."""
    whole = AIR
    if throttle.bore:
        mu = SPINDLE_FRICTION if friction is None else friction
        radius = (throttle.spindle or SPINDLE) / 2
        whole = mu * radius * VACUUM * math.pi / 4 * throttle.bore**2
    return np.where(opening <= AIR_WHOLE, whole, whole / 2)


def _own(places: Places, shaft: str) -> np.ndarray | float:
    """Friction that no load of the linkage changes: drag, else air on a plate. [N·m]."""
    drag, mu = (getattr(places.layout.shafts[shaft], k) for k in ("drag", "friction"))
    if drag is not None:
        return drag
    for t in places.layout.plates:
        if t.shaft == shaft:
            return air_load(t, mu, t.opens * places.turns[shaft])
    return 0.0


def bearing_places(shaft) -> tuple[float, float]:
    """Return where along a shaft it is carried, from the pivot. [m]."""
    if shaft.bearings is not None:
        return shaft.bearings
    stations = [a.offset for a in shaft.arms.values()]
    if max(stations) - min(stations) > 1e-6:
        return min(stations), max(stations)
    return -BUSH, BUSH


def _reactions(places: Places, shaft: str, acting) -> np.ndarray:
    """Sum of the radial reactions in both places and of the thrust. [N]."""
    f = places.frames[shaft]
    n = np.broadcast_to(f.n, acting[0][0].shape)
    one, two = bearing_places(places.layout.shafts[shaft])
    start = f.pivot + one * f.n
    force = sum(k for _, k in acting)
    moment = cross(
        np.concatenate([at - start for at, _ in acting]),
        np.concatenate([k for _, k in acting]),
    )
    moment = moment.reshape(len(acting), *force.shape).sum(axis=0)
    thrust = dot(force, n)
    radial = force - thrust[..., None] * n
    second = cross(n, moment) / (two - one)
    return size(second) + size(radial + second) + np.abs(thrust)


@dataclass
class _Bar:
    """A rod between two shafts: pins, direction inwards, torque arms, work lost by force."""

    outer: str
    inner: str
    a: np.ndarray
    b: np.ndarray
    way: np.ndarray
    lever: np.ndarray
    reach: np.ndarray
    worn: np.ndarray


@dataclass
class _Tree:
    """One walk: rates by the plate's opening, and what acts on each shaft."""

    places: Places
    held: Held
    rates: dict[str, np.ndarray]
    torque: dict[str, np.ndarray]
    forces: dict[str, list]
    factor: float

    def grip(self, shaft: str) -> float:
        s, layout = self.places.layout.shafts[shaft], self.places.layout
        mu = layout.friction if s.friction is None else s.friction
        return self.factor * mu * (s.bearing or BEARING) / 2

    def line(
        self, outer, inner
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Pins of a rod, its direction inwards, and its turning."""
        places = self.places
        a, b = places.pin(outer.shaft, outer.arm), places.pin(inner.shaft, inner.arm)
        away = b - a
        speed = self.velocity(inner) - self.velocity(outer)
        turning = cross(away, speed) / dot(away, away)[..., None]
        return a, b, away / size(away)[..., None], turning

    def velocity(self, hole) -> np.ndarray:
        places = self.places
        arm = places.pin(hole.shaft, hole.arm) - places.centre(hole.shaft, hole.arm)
        n = places.frames[hole.shaft].n
        return self.rates[hole.shaft][..., None] * cross(n, arm)

    def slip(self, hole, turning: np.ndarray) -> np.ndarray:
        """How fast an arm turns in the joint of its rod."""
        n = self.places.frames[hole.shaft].n
        return size(self.rates[hole.shaft][..., None] * n - turning)

    def bars(self) -> list[_Bar]:
        """Work out once what of each rod does not change with its force."""
        out = []
        for rod, outer, inner in self.held.order:
            a, b, way, turning = self.line(outer, inner)
            levers = []
            for hole, at in ((outer, a), (inner, b)):
                f = self.places.frames[hole.shaft]
                n = np.broadcast_to(f.n, at.shape)
                levers.append(dot(cross(at - f.pivot, way), n))
            slip = self.slip(outer, turning) + self.slip(inner, turning)
            worn = self.joint(rod) * slip
            out.append(_Bar(outer.shaft, inner.shaft, a, b, way, *levers, worn))
        return out

    def left(self) -> np.ndarray:
        """Torque that shuts the plate and must be held at the root, friction taken. [N·m]."""
        bars = self.bars()
        shape = next(iter(self.rates.values())).shape
        rub = {s: np.zeros(shape) for s in self.torque}
        for _ in range(ROUNDS):
            torque, acting = (
                dict(self.torque),
                {s: list(v) for s, v in self.forces.items()},
            )
            for bar in bars:
                one, two = bar.outer, bar.inner
                # The plate shuts, so that each shaft turns against its rate.
                drawn = torque[one] + np.sign(self.rates[one]) * rub[one]
                pull = -drawn / bar.lever
                force = pull[..., None] * bar.way
                acting[one].append((bar.a, force))
                acting[two].append((bar.b, -force))
                lost = bar.worn * np.abs(pull)
                torque[two] = torque[two] - pull * bar.reach + lost / self.rates[two]
            self.foot(torque, acting)
            for s in rub:
                own = self.factor * _own(self.places, s)
                load = _reactions(self.places, s, acting[s]) if acting[s] else 0.0
                rub[s] = self.grip(s) * load + own
        root = self.held.root
        held = torque[root] + np.sign(self.rates[root]) * rub[root]
        return -held * self.rates[root]

    def joint(self, rod) -> float:
        mu = JOINT_FRICTION if rod.joint_friction is None else rod.joint_friction
        return self.factor * mu * (rod.joint_diameter or BALL) / 2

    def foot(self, torque, acting) -> None:
        """Let the foot hold the pedal at its pad, square to the arm."""
        p, root = self.places.layout.pedal, self.held.root
        if root != p.shaft:
            return
        at, f = self.places.pin(root, p.pad), self.places.frames[root]
        arm = at - self.places.centre(root, p.pad)
        way = cross(np.broadcast_to(f.n, arm.shape), arm)
        push = -torque[root] / dot(arm, arm)
        acting[root].append((at, push[..., None] * way))


def left_at(
    places: Places, plate, loads: list[Load], held: Held, factor: float
) -> np.ndarray:
    """Return the torque that still shuts a plate where its friction is taken. [N·m].

    Parameters
    ----------
    places : Places
        Geometry.
    plate : Throttle
        The plate.
    loads : list of Load
        All that acts on the shafts of the walk.
    held : Held
        Shafts and the one that is held.
    factor : float
        On every friction.
    """
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        spindle = plate.opens * places.rates[plate.shaft]
        shafts = {held.root} | {o.shaft for _, o, _ in held.order}
        rates = {s: places.rates[s] / spindle for s in shafts}
        torque = {s: np.zeros_like(spindle) for s in shafts}
        forces: dict[str, list] = {s: [] for s in shafts}
        for load in loads:
            torque[load.shaft] = torque[load.shaft] + load.about(places)
            if load.force is not None:
                forces[load.shaft].append((load.at, load.force))
        return _Tree(places, held, rates, torque, forces, factor).left()
