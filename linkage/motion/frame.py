"""The one table of places, directions and torque arms, over (rows, positions).

Everything that lies between where the shafts stand and what forces, angles and
pictures ask of it: pins, the ways they move, how rods lie to their arms, and
what every shaft turns a metre of pad. Each is worked out when it is first asked
for, and once.

Vectors have their component first: (3, n) for one layout and (3, rows, n) for
many; of scalar positions (3,) and (3, rows, 1). Where all rows are alike, rows
may be 1.

Not here: the turns (`motion.sweep`), forces (`forces`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from linkage import formulas

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.model import Hole, Link, Vector
    from linkage.model.columns import Positions
    from linkage.motion.sweep import Motion

    FloatArray = NDArray[np.float64]

#: Shape (3, n) or (3, rows, n).
Vectors: TypeAlias = Any


def dot(one: Vectors, two: Vectors) -> Positions:
    """Return the scalar product of vectors that have their component first."""
    product = one * two
    return product[0] + product[1] + product[2]


def as_vector(point: Vector, ndim: int) -> FloatArray:
    """Return a point of the model so that it goes with arrays of so many axes.

    Parameters
    ----------
    point : tuple of 3 floats or columns
        In vehicle axes.
    ndim : int
        Axes of arrays over positions: 0, 1 or 2.

    Returns
    -------
    ndarray, shape (3,), (3, 1), (3, 1, 1) or (3, rows, 1)

    >>> as_vector((1.0, 2.0, 3.0), 1).shape
    (3, 1)
    """
    if any(np.ndim(c) for c in point):
        return np.stack(np.broadcast_arrays(*(np.atleast_2d(c) for c in point)))
    return np.array(point, dtype=float).reshape(3, *(1,) * ndim)


class _Hole:
    """One hole through the motion."""

    def __init__(self, frame: Frame, hole: Hole) -> None:
        shaft = frame.layout.shafts[hole.shaft]
        arm = shaft.arms[hole.arm]
        cosine, sine = frame.motion.pair(hole.shaft)
        ca, sa = np.cos(arm.angle), np.sin(arm.angle)
        self._along = ca * cosine - sa * sine
        self._ahead = sa * cosine + ca * sine
        self._axes = frame.vector(shaft.axis.u), frame.vector(shaft.axis.v)
        self._centre = frame.vector(shaft.centre(hole.arm))
        self.normal = frame.vector(shaft.axis.n)
        self.length = arm.length

    @cached_property
    def radial(self) -> Vectors:
        """Unit vector from the centre line to the hole."""
        u, v = self._axes
        return u * self._along + v * self._ahead

    @cached_property
    def pin(self) -> Vectors:
        """Where it is. [m]."""
        return self._centre + self.length * self.radial

    @cached_property
    def tangent(self) -> Vectors:
        """Unit vector in which it moves when its shaft turns anticlockwise."""
        u, v = self._axes
        return v * self._along - u * self._ahead


class RodLine:
    """How a rod lies to its two arms at every position.

    Made by `Frame.rod`. The driver is the shaft on the pedal's side.
    """

    def __init__(self, frame: Frame, link: Link) -> None:
        self.link = link
        self._ends = tuple(frame.hole(hole) for hole in link.holes)

    @cached_property
    def along(self) -> Vectors:
        """Unit vector from the driver's hole to the driven one."""
        gap = self._ends[1].pin - self._ends[0].pin
        return gap / np.sqrt(dot(gap, gap))

    @cached_property
    def driver_side(self) -> Positions:
        """Sine of the arm-rod angle, positive where a pull turns anticlockwise."""
        return dot(self._ends[0].tangent, self.along)

    @cached_property
    def driven_side(self) -> Positions:
        """The same at the driven arm."""
        return -dot(self._ends[1].tangent, self.along)

    @cached_property
    def arms(self) -> Mapping[str, Positions]:
        """By shaft: torque that a pull of 1 N puts on it, anticlockwise positive. [m]."""
        one, two = self._ends
        return {
            self.link.driver.shaft: one.length * self.driver_side,
            self.link.driven.shaft: two.length * self.driven_side,
        }

    @cached_property
    def driver_angle(self) -> Positions:
        """Arm-rod angle at the driver, 0 to π: 0 and π are dead centres. [rad]."""
        return _angle(self.driver_side, dot(self._ends[0].radial, self.along))

    @cached_property
    def driven_angle(self) -> Positions:
        """The same at the driven arm. [rad]."""
        return _angle(self.driven_side, -dot(self._ends[1].radial, self.along))

    @cached_property
    def driver_tilt(self) -> Positions:
        """Lean out of the plane in which the driver's arm turns. [rad]."""
        return _tilt(dot(self.along, self._ends[0].normal))

    @cached_property
    def driven_tilt(self) -> Positions:
        """The same at the driven arm. [rad]."""
        return _tilt(dot(self.along, self._ends[1].normal))


def _angle(side: Positions, outward: Positions) -> Positions:
    """Return the angle of a rod to its arm, measured from the pin to the pivot."""
    sharp = np.arcsin(np.minimum(np.abs(side), 1))
    return np.where(outward <= 0, sharp, np.pi - sharp)


def _tilt(lean: Positions) -> Positions:
    return np.arcsin(np.minimum(np.abs(lean), 1))


class Frame:
    """Places, directions and torque arms of a motion; see `frame`.

    Parameters
    ----------
    motion : Motion
        From `linkage.motion.sweep`.
    """

    def __init__(self, motion: Motion) -> None:
        self.motion = motion
        self.layout = motion.assembly.layout
        self._holes: dict[Hole, _Hole] = {}
        self._rods: dict[str, RodLine] = {}

    def __repr__(self) -> str:
        return f"<frame of {self.motion!r}>"

    def vector(self, point: Vector) -> FloatArray:
        """Return a point of the layout so that it goes with pins and tangents."""
        return as_vector(point, self.motion.ndim)

    def hole(self, hole: Hole) -> _Hole:
        """Return pin, radial and tangent of a hole, and the length of its arm."""
        found = self._holes.get(hole)
        if found is None:
            found = self._holes[hole] = _Hole(self, hole)
        return found

    def pin(self, hole: Hole) -> Vectors:
        """Return where a hole is, in vehicle axes. [m].

        Returns
        -------
        ndarray, shape (3, n) or (3, rows, n)
        """
        return self.hole(hole).pin

    def tangent(self, hole: Hole) -> Vectors:
        """Return the unit vector in which a hole moves anticlockwise.

        Returns
        -------
        ndarray, shape (3, n) or (3, rows, n)
            The torque of a force at the hole about its shaft is the arm's
            length times the force along it.
        """
        return self.hole(hole).tangent

    def rod(self, name: str) -> RodLine:
        """Return how a rod lies to its arms."""
        found = self._rods.get(name)
        if found is None:
            link = self.motion.assembly.loop(name).link
            found = self._rods[name] = RodLine(self, link)
        return found

    @property
    def rods(self) -> Mapping[str, RodLine]:
        """All rods by name, in driving order."""
        return {link.rod.name: self.rod(link.rod.name) for link in self.layout.links}

    @cached_property
    def ratios(self) -> Mapping[str, Positions]:
        """By rod: driven turn a turn of its own driver."""
        motion = self.motion
        return {
            loop.link.rod.name: formulas.ratio(
                motion.pair(loop.link.driver.shaft),
                motion.pair(loop.link.driven.shaft),
                loop.reduced,
            )
            for loop in motion.assembly.loops
        }

    @cached_property
    def first(self) -> Mapping[str, Positions]:
        """By shaft: turn a metre of pad gives, dq/ds. [rad/m].

        Within the pedal's free play it is that just after it.
        """
        first = {self.layout.pedal.shaft: self._pedal_rate}
        with np.errstate(invalid="ignore"):  # a jam ends on a dead centre
            for link in self.layout.links:
                ratio = self.ratios[link.rod.name]
                first[link.driven.shaft] = ratio * first[link.driver.shaft]
        return first

    @cached_property
    def second(self) -> Mapping[str, Positions]:
        """By shaft: change of that a metre of pad, d²q/ds². [rad/m²]."""
        motion, first = self.motion, self.first
        second = {self.layout.pedal.shaft: np.zeros_like(self._pedal_rate)}
        for loop in motion.assembly.loops:
            driver, driven = (hole.shaft for hole in loop.link.holes)
            one, two = formulas.rates(
                motion.pair(driver), motion.pair(driven), loop.reduced
            )
            with np.errstate(invalid="ignore"):
                second[driven] = two * first[driver] ** 2 + one * second[driver]
        return second

    @cached_property
    def _pedal_rate(self) -> Positions:
        rate = self.layout.pedal.presses / self.layout.pad_radius
        shape = np.broadcast_shapes(np.shape(rate), self.motion.pad_travel.shape)
        return np.full(shape, rate)


def frame(motion: Motion) -> Frame:
    """Return the frame of a motion, always the same one.

    Parameters
    ----------
    motion : Motion
        From `linkage.motion.sweep`.
    """
    if not motion.frames:
        motion.frames.append(Frame(motion))
    return motion.frames[0]
