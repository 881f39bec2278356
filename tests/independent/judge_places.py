"""Where every part of a small judged layout stands, with the engine at rest and moved.

Written for the judge alone, from the geometry: a rod keeps the distance of its two
pins, |p + r (u cos a + v sin a) - q| = L, which is A cos a + B sin a = C with two
roots. The root that is nearest to the measured angle at rest is kept throughout.
Arrays have the shape (states, positions), vectors one axis more of three.

Not here: forces (`judge_loads`), what is judged (`judge`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import product

import numpy as np
from scipy.spatial.transform import Rotation

#: Pad positions from one end of the working travel to the other.
POSITIONS = 25
#: Positions among which the ends of the working travel are looked for.
FINE = 721
#: How far a plate may stand beyond its stops and still count as within. [rad]
NEAR = math.radians(0.02)


@dataclass(frozen=True)
class State:
    """How the engine stands: turned and lifted. [rad], [m]."""

    roll: float = 0.0
    lift: float = 0.0

    def __str__(self) -> str:
        if not (self.roll or self.lift):
            return "engine at rest"
        return f"engine rolled {math.degrees(self.roll):+.3g}°, lifted {1e3 * self.lift:+.3g} mm"


def states(engine) -> list[State]:
    """Rest first, then both rolls, both lifts, and their corners."""
    rolls = [0.0, engine.roll, -engine.roll] if engine.roll and engine.axis else [0.0]
    lifts = [0.0, engine.lift, -engine.lift] if engine.lift else [0.0]
    return [State(roll=r, lift=h) for r, h in product(rolls, lifts)]


@dataclass
class Frame:
    """Centre line and plane of a shaft, each of shape (states, 1, 3)."""

    pivot: np.ndarray
    u: np.ndarray
    v: np.ndarray
    n: np.ndarray


@dataclass
class Places:
    """All positions of a layout.

    Parameters
    ----------
    layout : Layout
        As data.
    states : list of State
        The first axis of every array.
    pad : ndarray, shape (states, positions)
        Travel of the pad. [m]
    turns, rates : dict of str to ndarray
        Turn of every shaft from its measured angle [rad], and its turn by that of
        the pedal's shaft.
    valid : ndarray of bool
        Where all reach, and every throttle is between its stops.
    short : list of (str, State)
        Rods that do not reach over the whole travel, and in which state.
    """

    layout: object
    states: list[State]
    pad: np.ndarray
    frames: dict[str, Frame]
    turns: dict[str, np.ndarray] = field(default_factory=dict)
    rates: dict[str, np.ndarray] = field(default_factory=dict)
    pins: dict[tuple[str, str], np.ndarray] = field(default_factory=dict)
    valid: np.ndarray | None = None
    short: list[tuple[str, State]] = field(default_factory=list)

    def centre(self, shaft: str, arm: str) -> np.ndarray:
        f = self.frames[shaft]
        return f.pivot + self.layout.shafts[shaft].arms[arm].offset * f.n

    def pin(self, shaft: str, arm: str) -> np.ndarray:
        if (shaft, arm) not in self.pins:
            f, a = self.frames[shaft], self.layout.shafts[shaft].arms[arm]
            angle = (a.angle + self.turns[shaft])[..., None]
            way = np.cos(angle) * f.u + np.sin(angle) * f.v
            self.pins[shaft, arm] = self.centre(shaft, arm) + a.length * way
        return self.pins[shaft, arm]

    def moved(self, point, on_engine: bool) -> np.ndarray:
        """Return a fixed point in every state, shape (states, 1, 3)."""
        return np.array(
            [
                [_moved(point, self.layout.engine, s) if on_engine else point]
                for s in self.states
            ],
            dtype=float,
        )


def _turn(engine, state: State) -> Rotation:
    if not state.roll:
        return Rotation.identity()
    return Rotation.from_rotvec(state.roll * np.array(engine.axis.n, dtype=float))


def _moved(point, engine, state: State) -> np.ndarray:
    about = np.array(engine.about, dtype=float)
    away = _turn(engine, state).apply(np.array(point, dtype=float) - about)
    return about + away + np.array([0.0, 0.0, state.lift])


def _frame(shaft, engine, all_states: list[State]) -> Frame:
    carried = shaft.name in engine.carries
    rows = []
    for s in all_states:
        ways = np.array([shaft.axis.u, shaft.axis.v, shaft.axis.n], dtype=float)
        pivot = np.array(shaft.pivot, dtype=float)
        if carried:
            pivot, ways = _moved(pivot, engine, s), _turn(engine, s).apply(ways)
        rows.append([pivot, *ways])
    table = np.array(rows)[:, :, None, :]
    return Frame(*(table[:, i] for i in range(4)))


def dot(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return np.einsum("...i,...i", a, b)


def cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Vector product; NumPy's own takes four times as long on few vectors."""
    x, y, z = a[..., 0], a[..., 1], a[..., 2]
    u, v, w = b[..., 0], b[..., 1], b[..., 2]
    one = y * w - z * v
    out = np.empty((*one.shape, 3))
    out[..., 0], out[..., 1], out[..., 2] = one, z * u - x * w, x * v - y * u
    return out


def size(a: np.ndarray) -> np.ndarray:
    return np.sqrt(dot(a, a))


def _roots(places: Places, driver: np.ndarray, hole, length: float) -> np.ndarray:
    """Both turns of a driven shaft, shape (2, ...); nan where the rod does not reach."""
    f, arm = places.frames[hole.shaft], places.layout.shafts[hole.shaft].arms[hole.arm]
    away = places.centre(hole.shaft, hole.arm) - driver
    a, b = 2 * arm.length * dot(away, f.u), 2 * arm.length * dot(away, f.v)
    c = length**2 - dot(away, away) - arm.length**2
    middle = np.arctan2(b, a)
    with np.errstate(invalid="ignore", divide="ignore"):
        half = np.arccos(c / np.hypot(a, b))
    both = np.array([middle + half, middle - half]) - arm.angle
    return (both + math.pi) % (2 * math.pi) - math.pi


def _drive(places: Places, link, rod, kept: int | None) -> int:
    """Turn one driven shaft; return which of the two roots it is on."""
    driver, hole = link.driver, link.driven
    at = places.pin(driver.shaft, driver.arm)
    one, two = places.layout.shafts[driver.shaft], places.layout.shafts[hole.shaft]
    length = rod.length
    if length is None or math.isnan(length):  # cut to fit, all at its measured angle
        length = math.dist(one.pin(driver.arm), two.pin(hole.arm))
    both = _roots(places, at, hole, length)
    branch = int(np.argmin(np.abs(both[:, 0, 0]))) if kept is None else kept
    places.turns[hole.shaft] = both[branch]
    return branch


def _rate(places: Places, link) -> None:
    """d . (velocity of one pin less that of the other) = 0 gives the driven rate."""
    ends = []
    for hole in (link.driver, link.driven):
        at = places.pin(hole.shaft, hole.arm)
        arm = at - places.centre(hole.shaft, hole.arm)
        ends.append((at, cross(places.frames[hole.shaft].n, arm)))
    line = ends[1][0] - ends[0][0]
    with np.errstate(invalid="ignore", divide="ignore"):
        ratio = dot(line, ends[0][1]) / dot(line, ends[1][1])
    places.rates[link.driven.shaft] = places.rates[link.driver.shaft] * ratio


def _branches(layout) -> dict[str, int]:
    """At rest and level: the root of every rod that is nearest to what was measured."""
    rest = _begin(layout, [State()], np.zeros((1, 1)))
    return {k.rod.name: _drive(rest, k, k.rod, None) for k in layout.links}


def _begin(layout, all_states: list[State], pad: np.ndarray) -> Places:
    frames = {n: _frame(s, layout.engine, all_states) for n, s in layout.shafts.items()}
    found = Places(layout=layout, states=all_states, pad=pad, frames=frames)
    p = layout.pedal
    radius = layout.shafts[p.shaft].arms[p.pad].length
    turn = p.presses * np.maximum(pad - p.free_play, 0.0) / radius
    found.turns[p.shaft] = turn
    found.rates[p.shaft] = np.ones_like(turn)
    return found


def _solved(layout, all_states: list[State], pad: np.ndarray) -> Places:
    """Turn every shaft, and tell where all throttles and stops allow it."""
    found, branch = _begin(layout, all_states, pad), _branches(layout)
    for link in layout.links:
        _drive(found, link, link.rod, branch[link.rod.name])
    valid = np.ones(pad.shape, dtype=bool)
    with np.errstate(invalid="ignore"):
        for t in layout.throttles.values():
            opening = t.opens * found.turns[t.shaft]
            valid &= ~((opening < -NEAR) | (opening > t.swing + NEAR))
        for stop in layout.stops.values():
            way = math.copysign(1.0, stop.turn)
            valid &= ~(way * found.turns[stop.shaft] > abs(stop.turn) + NEAR)
    for link in layout.links:
        gone = np.isnan(found.turns[link.driven.shaft])
        for i, s in enumerate(all_states):
            if (gone[i] & valid[i]).any():
                found.short.append((link.rod.name, s))
    reach = np.all([np.isfinite(t) for t in found.turns.values()], axis=0)
    found.valid = valid & reach
    return found


def places_of(layout) -> Places:
    """Put a layout together over its working travel, in every state of its engine.

    The travel is looked through finely first, so that in every state the first and
    the last position are those at which a stop is met.
    """
    pedal, all_states = layout.pedal, states(layout.engine)
    end = pedal.travel if pedal.stop is None else min(pedal.stop, pedal.travel)
    fine = np.linspace(min(pedal.free_play, end), end, FINE)
    looked = _solved(layout, all_states, np.tile(fine, (len(all_states), 1)))
    pad = []
    for valid in looked.valid:
        at = fine[valid] if valid.any() else fine
        pad.append(np.linspace(at[0], at[-1], POSITIONS))
    found = _solved(layout, all_states, np.array(pad))
    found.short = looked.short
    for link in layout.links:
        _rate(found, link)
    return found
