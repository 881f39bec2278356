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

from functools import cached_property, reduce
from typing import TYPE_CHECKING

import numpy as np

from linkage.connect.line import Vectors, as_vector, dot

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.connect import Line
    from linkage.model import Hole, Vector
    from linkage.model.columns import Positions
    from linkage.motion.sweep import Motion

    FloatArray = NDArray[np.float64]

__all__ = ["Frame", "Vectors", "as_vector", "dot", "frame"]


class _Hole:
    """One hole through the motion.

    ``spin`` is the unit vector about which its part turns, none of a slide.
    """

    def __init__(self, frame: Frame, hole: Hole) -> None:
        shaft = frame.layout.shafts[hole.shaft]
        arm = shaft.arms[hole.arm]
        #: Cosine and sine of its shaft's turn.
        self.turn = cosine, sine = frame.motion.pair(hole.shaft)
        ca, sa = np.cos(arm.angle), np.sin(arm.angle)
        #: Components of the radial unit vector along u and v.
        self.cosine = ca * cosine - sa * sine
        self.sine = sa * cosine + ca * sine
        self._axes = frame.vector(shaft.axis.u), frame.vector(shaft.axis.v)
        self._centre = frame.vector(shaft.centre(hole.arm))
        self.normal = self.spin = frame.vector(shaft.axis.n)
        self.length = arm.length
        #: How far its part has gone along its axis: a shaft nowhere. [m]
        self.way: Positions = 0.0

    @cached_property
    def radial(self) -> Vectors:
        """Unit vector from the centre line to the hole."""
        u, v = self._axes
        return u * self.cosine + v * self.sine

    @cached_property
    def pin(self) -> Vectors:
        """Where it is. [m]."""
        return self._centre + self.length * self.radial

    @cached_property
    def tangent(self) -> Vectors:
        """Unit vector in which it moves when its shaft turns anticlockwise."""
        u, v = self._axes
        return v * self.cosine - u * self.sine


class _Pin(_Hole):
    """One pin of a slide through the motion; its `length` is its way a metre of that."""

    def __init__(self, frame: Frame, hole: Hole) -> None:
        slide = frame.layout.shafts[hole.shaft]
        arm = slide.arms[hole.arm]
        self.turn = cosine, sine = frame.motion.pair(hole.shaft)
        self.cosine, self.sine = np.cos(arm.angle), np.sin(arm.angle)
        #: How far the slide is from rest. [m]
        self.way = np.arctan2(sine, cosine)
        self.tangent = frame.vector(slide.axis.n)
        self.normal = frame.vector(slide.axis.u)
        self.radial = self.spin = 0.0 * self.tangent
        self.pin = frame.vector(slide.pin(hole.arm)) + self.tangent * self.way
        self.length = 1.0


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
        self._ndim = motion.ndim
        self._holes: dict[Hole, _Hole] = {}
        self._rods: dict[str, Line] = {}

    def __repr__(self) -> str:
        return f"<frame of {self.motion!r}>"

    def vector(self, point: Vector) -> FloatArray:
        """Return a point of the layout so that it goes with pins and tangents."""
        return as_vector(point, self._ndim)

    def hole(self, hole: Hole) -> _Hole:
        """Return pin, radial and tangent of a hole, and the length of its arm."""
        found = self._holes.get(hole)
        if found is None:
            kind = _Pin if self.layout.shafts[hole.shaft].slides else _Hole
            found = self._holes[hole] = kind(self, hole)
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

    def rod(self, name: str) -> Line:
        """Return how a rod lies to its arms."""
        found = self._rods.get(name)
        if found is None:
            loop = self.motion.assembly.loop(name)
            ends = (self.hole(hole) for hole in loop.link.holes)
            found = self._rods[name] = loop.line(*ends)
        return found

    @property
    def rods(self) -> Mapping[str, Line]:
        """All rods by name, in driving order."""
        return {link.rod.name: self.rod(link.rod.name) for link in self.layout.links}

    @cached_property
    def ratios(self) -> Mapping[str, Positions]:
        """By rod: driven turn a turn of its own driver."""
        motion = self.motion
        return {
            loop.link.rod.name: loop.ratio(
                motion.pair(loop.link.driver.shaft), motion.pair(loop.link.driven.shaft)
            )
            for loop in motion.assembly.loops
        }

    @cached_property
    def slack(self) -> Mapping[str, Positions]:
        """By rod that carries one way only: whether it is slack."""
        motion, found = self.motion, {}
        for loop in motion.assembly.loops:
            left = loop.slack(*(motion.pair(hole.shaft) for hole in loop.link.holes))
            if left is not None:
                found[loop.link.rod.name] = left > 0
        return found

    @cached_property
    def given(self) -> Mapping[str, Positions]:
        """By rod with an over-travel spring: how far that has given. [m]."""
        motion, found = self.motion, {}
        for loop in motion.assembly.loops:
            far = loop.given(*(motion.pair(hole.shaft) for hole in loop.link.holes))
            if far is not None:
                found[loop.link.rod.name] = far
        return found

    @cached_property
    def slack_before(self) -> Mapping[str, Positions]:
        """By shaft that such a rod leads to: whether any on the way there is slack."""
        found: dict[str, Positions] = {}
        for link in self.layout.links:
            before, here = found.get(link.driver.shaft), self.slack.get(link.rod.name)
            both = [one for one in (before, here) if one is not None]
            if both:
                found[link.driven.shaft] = reduce(np.logical_or, both)
        return found

    @cached_property
    def stands(self) -> Mapping[str, Positions]:
        """By shaft that it may hold still: whether a rod on the way is slack or gives."""
        found = dict(self.slack_before)
        for link in self.layout.links:
            driver, driven = (hole.shaft for hole in link.holes)
            given = self.given.get(link.rod.name)
            why = (found.get(driver), found.get(driven), given)
            holds = [one > 0 for one in why if one is not None]
            if holds:
                found[driven] = reduce(np.logical_or, holds)
        return found

    @cached_property
    def moving(self) -> Mapping[str, Positions]:
        """By shaft: the same as `first`, but none where a rod on the way is slack or gives."""
        stands = self.stands
        return {
            shaft: np.where(stands[shaft], 0.0, rate) if shaft in stands else rate
            for shaft, rate in self.first.items()
        }

    @cached_property
    def first(self) -> Mapping[str, Positions]:
        """By shaft: turn a metre of pad gives, dq/ds. [rad/m].

        Within the pedal's free play it is that just after it; where a rod is slack, as
        if it drove, so that forces can be brought from either side of it to the other.
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
            one, two = loop.rates(motion.pair(driver), motion.pair(driven))
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
