"""Where a reversing lever can sit, found by squaring its arms to their rods.

The arms are placed square to their rods in the middle of the travel: a rod that
is square to an arm touches the circle of its hole, so from a given pivot there
are two places for each arm, and the sense tells which go together. All places,
arms and tangents are arrays.

Not here: whether it works through the travel (`swap.reversing`).
"""

from __future__ import annotations

import math
from dataclasses import fields
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.records import dataclass
from linkage.search.changes import ANGLE_STEP, length_step
from linkage.shown_units import in_inches

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model.columns import FloatArray

#: Step of the pivot's place, on a metric and on an inch rule. [m]
SEAT_STEP: Final = 20e-3
INCH_SEAT_STEP: Final = 0.75 * 0.0254
#: Most places along one way.
MOST_SEATS: Final = 500
#: How far beyond the two pivots it may lie. [m]
BEYOND: Final = 100e-3
#: Arms of the see-saw that are tried, on either rule. [m]
ARMS: Final = (40e-3, 50e-3, 60e-3)
INCH_ARMS: Final = (1.5 * 0.0254, 2 * 0.0254, 2.5 * 0.0254)
#: How much longer than squared the far arm is, so that full is reached.
REACH: Final = (1.0, 1.05, 1.1)
#: Shortest and longest far arm. [m]
FAR: Final = (25e-3, 90e-3)
#: Least distance of a rod from the hole circle or hub of a shaft that it passes. [m]
PASSING: Final = 15e-3
#: Least length of a rod. [m]
SHORTEST: Final = 50e-3
#: A see-saw lies between its rods: its arms stand at least so far apart. [rad]
APART: Final = math.radians(110)
#: Half the turn of the see-saw: sine at least and at most.
HALF: Final = (0.15, 0.7)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seats:
    """Places for the reversing lever and its two arms, a row each.

    Parameters
    ----------
    place : ndarray, shape (2, rows)
        Of the pivot in the driven shaft's plane, u and v. [m]
    lengths : ndarray, shape (2, rows)
        Of the arm that is driven and the arm that drives. [m]
    angles : ndarray, shape (2, rows)
        Of both at rest. [rad]
    pushes : ndarray of int, shape (rows,)
        How many of its two rods push.
    sense : ndarray, shape (rows,)
        1 or -1: in which it turns while the pedal goes down.
    """

    place: FloatArray
    lengths: FloatArray
    angles: FloatArray
    pushes: NDArray[np.int_]
    sense: FloatArray

    def __len__(self) -> int:
        return len(self.sense)

    def take(self, rows: Any) -> Seats:  # noqa: ANN401
        """Return some, by an index array or a mask."""
        return Seats(**{f.name: getattr(self, f.name)[..., rows] for f in fields(self)})


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plane:
    """A rod's two pins in the driven shaft's plane, half-way and how they move.

    Parameters
    ----------
    driver_pivot, pivot : ndarray, shape (2,)
        Of both shafts. [m]
    pin, pin_way : ndarray, shape (2,)
        The driver's hole half-way, and its way from rest to full. [m]
    lever, lever_way : ndarray, shape (2,)
        The driven hole half-way, and the direction in which it shall move.
    half_swing : float
        Half the turn that the driven shaft shall make. [rad]
    driver_radius, radius : float
        Of both arms. [m]
    """

    driver_pivot: FloatArray
    pivot: FloatArray
    pin: FloatArray
    pin_way: FloatArray
    lever: FloatArray
    lever_way: FloatArray
    half_swing: float
    driver_radius: float
    radius: float


def _on(angle: FloatArray) -> FloatArray:
    return np.stack([np.cos(angle), np.sin(angle)])


def _tangents(place: FloatArray, radius: FloatArray, pin: FloatArray) -> FloatArray:
    """Return both directions in which an arm is square to a rod from a pin.

    Shape (2, rows); nan where the pin lies within the arm's reach.
    """
    away = pin[:, None] - place
    distance = np.hypot(*away)
    free = distance > radius + SHORTEST / 4
    lean = np.arccos(np.where(free, radius / distance, np.nan))
    toward = np.arctan2(away[1], away[0])
    return np.stack([toward + lean, toward - lean])


def _passes(
    one: FloatArray, two: FloatArray, pivot: FloatArray, radius: float
) -> NDArray[np.bool_]:
    """Tell whether the lines between two pins keep clear of a circle about a pivot."""
    way = two - one
    length = np.hypot(*way)
    away = pivot[:, None] - one
    along = np.clip(np.sum(away * way, axis=0) / length, 0.0, length)
    near = one + way * (along / length)
    clear = np.hypot(*(pivot[:, None] - near)) >= radius + PASSING
    return np.asarray((length >= SHORTEST) & clear)


def _arms() -> tuple[float, ...]:
    return INCH_ARMS if in_inches() else ARMS


def _places(p: Plane) -> FloatArray:
    step = INCH_SEAT_STEP if in_inches() else SEAT_STEP
    corners = np.stack([p.driver_pivot, p.pivot])
    low, high = corners.min(axis=0) - BEYOND, corners.max(axis=0) + BEYOND
    # Of a layout of kilometres fewer, lest they take all memory.
    step = max(step, float(np.max(high - low)) / MOST_SEATS)
    axes = [
        np.arange(math.ceil(a / step), b / step) * step
        for a, b in zip(low, high, strict=True)
    ]
    places = np.stack([m.ravel() for m in np.meshgrid(*axes, indexing="ij")])
    near = [np.hypot(*(places - c[:, None])) for c in corners]
    return places[:, np.minimum(*near) >= _arms()[0] + p.radius]


def _whole(angle: FloatArray) -> FloatArray:
    """Return angles in whole degrees, as a lever can be set. [rad]."""
    return np.round(angle / ANGLE_STEP) * ANGLE_STEP


def seats(p: Plane) -> Seats:
    """Return every place at which both arms are square half-way and the sense is right.

    Parameters
    ----------
    p : Plane
        The rod that is parted.

    Returns
    -------
    Seats
        The shortest arms first.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        return _far_arms(p, _near_arms(p))


def _near_arms(p: Plane) -> tuple[FloatArray, ...]:
    """Return place, length and angle of the driven arm, its sense, and half its turn."""
    places = _places(p)
    count = places.shape[1]
    length = np.repeat(_arms(), count)
    place = np.tile(places, len(_arms()))
    angle = _tangents(place, length, p.pin).ravel()
    place, length = np.tile(place, 2), np.tile(length, 2)
    pin = place + length * _on(angle)
    rod = pin - p.pin[:, None]
    along = (p.pin_way @ rod) / np.hypot(*rod)
    round_way = -np.sin(angle) * rod[0] + np.cos(angle) * rod[1]
    half = np.abs(along) / 2 / length
    good = (half >= HALF[0]) & (half <= HALF[1]) & (length > 0)
    good &= _passes(np.broadcast_to(p.pin[:, None], pin.shape), pin, p.pivot, p.radius)
    sense = np.copysign(1.0, along * round_way)
    out = (length, angle, sense, np.arcsin(np.where(good, half, np.nan)), along > 0)
    return place[:, good], *(v[good] for v in out)


def _far_arms(p: Plane, near: tuple[FloatArray, ...]) -> Seats:
    """Return the seats that go with driven arms and have a driving arm too."""
    place, length, angle, sense, half, pushed = near
    each = np.arange(len(length))
    of = np.tile(np.repeat(each, len(REACH)), 2)
    far = p.radius * math.sin(p.half_swing) / np.sin(half[:, None]) * np.array(REACH)
    far = np.round(far.ravel() / length_step()) * length_step()
    out = _tangents(place[:, of[: len(far)]], far, p.lever).ravel()
    far = np.tile(far, 2)
    place, length, angle = place[:, of], length[of], angle[of]
    sense, half, pushed = sense[of], half[of], pushed[of]
    end = place + far * _on(out)
    lever = np.broadcast_to(p.lever[:, None], end.shape)
    rod = lever - end
    pulled = p.lever_way @ rod
    turns = sense * (-np.sin(out) * rod[0] + np.cos(out) * rod[1])
    apart = np.abs(np.remainder(out - angle + np.pi, 2 * np.pi) - np.pi)
    good = (far >= FAR[0]) & (far <= FAR[1]) & (apart >= APART)
    good &= (pulled * turns > 0) & _passes(end, lever, p.driver_pivot, p.driver_radius)
    back = sense * half
    found = Seats(
        place=place,
        lengths=np.stack([length, far]),
        angles=_whole(np.stack([angle - back, out - back])),
        pushes=pushed.astype(int) + (pulled > 0),
        sense=sense,
    ).take(good)
    return found.take(np.argsort(found.lengths.sum(axis=0), kind="stable"))
