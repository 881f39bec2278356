"""How a cable lies to its arms: angles, torque arms and lean, at every position.

Not here: the runs (`connect.run`), rods (`connect.line`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from linkage.connect.line import Vectors, angle_of, as_vector, dot, tilt_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect.connector import End
    from linkage.connect.run import Run
    from linkage.model import Link, Vector
    from linkage.model.columns import Positions


class Leaves(NamedTuple):
    """Where a wire leaves an arm, and the way it goes to its sheath."""

    foot: Vectors
    pull: Vectors


def _leaves(run: Run, sheath: Vector, end: End) -> Leaves:
    radius, turn = run.foot(end.turn)
    way = end.radial * np.cos(turn) + end.tangent * np.sin(turn)
    foot = end.pin + way * radius - end.radial * end.length
    gap = as_vector(sheath, foot.ndim - 1) - foot
    return Leaves(foot, gap / np.sqrt(dot(gap, gap)))


class CableLine:
    """How a cable lies to its two arms; the names are those of `connect.Line`.

    Parameters
    ----------
    link : Link
        The cable and its two holes.
    runs : pair of Run
        Its free wire at the driver and at the driven arm.
    sheath : pair of tuple of 3 floats
        Where it leaves its sheath, the driver's side first. [m]
    ends : pair of End
        The holes through the motion.
    """

    def __init__(
        self,
        link: Link,
        runs: tuple[Run, Run],
        sheath: tuple[Vector, Vector],
        ends: tuple[End, End],
    ) -> None:
        self.link = link
        self.sheath = sheath
        self._runs = runs
        self._ends = ends

    @cached_property
    def leaves(self) -> tuple[Leaves, Leaves]:
        """Where the wire leaves driver and driven arm, and the way to its sheath. [m]."""
        one, two = map(_leaves, self._runs, self.sheath, self._ends)
        return one, two

    @cached_property
    def runs(self) -> tuple[Positions, Positions]:
        """Free wire at the driver and at the driven arm. [m]."""
        one, two = (
            run.length(end.turn)
            for run, end in zip(self._runs, self._ends, strict=True)
        )
        return one, two

    @property
    def apart(self) -> Positions:
        """Free wire at both together. [m]."""
        return self.runs[0] + self.runs[1]

    @cached_property
    def wound(self) -> tuple[Positions, Positions]:
        """Angle on which the wire lies at driver and driven arm; 0 of bare arms. [rad]."""
        one, two = (
            run.wound(end.turn) for run, end in zip(self._runs, self._ends, strict=True)
        )
        return one, two

    @property
    def pulls(self) -> tuple[Vectors, Vectors]:
        """Unit vectors of the pull on driver and driven arm."""
        return self.leaves[0].pull, self.leaves[1].pull

    @cached_property
    def arms(self) -> Mapping[str, Positions]:
        """By shaft: torque that a pull of 1 N puts on it, anticlockwise positive. [m]."""
        # By virtual work: what the run gets less with the turn.
        return {
            hole.shaft: -run.rates(end.turn)[0]
            for hole, run, end in zip(
                self.link.holes, self._runs, self._ends, strict=True
            )
        }

    def _side(self, i: int) -> Positions:
        hole, run, end = self.link.holes[i], self._runs[i], self._ends[i]
        return self.arms[hole.shaft] / run.foot(end.turn).radius

    @cached_property
    def driver_side(self) -> Positions:
        """Signed share of the pull that turns the driver; of a drum 1 or -1."""
        return self._side(0)

    @cached_property
    def driven_side(self) -> Positions:
        """The same at the driven arm."""
        return self._side(1)

    def _angle(self, i: int) -> Positions:
        foot, pull = self.leaves[i]
        end, side = self._ends[i], self._side(i)
        out = foot - end.pin + end.radial * end.length
        return angle_of(side, dot(out, pull))

    @cached_property
    def driver_angle(self) -> Positions:
        """Angle of arm and wire at the driver, 0 to π; of a round drum π/2. [rad]."""
        return self._angle(0)

    @cached_property
    def driven_angle(self) -> Positions:
        """The same at the driven arm. [rad]."""
        return self._angle(1)

    @cached_property
    def driver_lean(self) -> Positions:
        """Sine of the tilt at the driver, positive toward its viewer."""
        return dot(self.pulls[0], self._ends[0].normal)

    @cached_property
    def driven_lean(self) -> Positions:
        """The same at the driven arm, of the way from the sheath to it."""
        return -dot(self.pulls[1], self._ends[1].normal)

    @cached_property
    def driver_tilt(self) -> Positions:
        """Lean out of the plane in which the driver's arm turns. [rad]."""
        return tilt_of(self.driver_lean)

    @cached_property
    def driven_tilt(self) -> Positions:
        """The same at the driven arm. [rad]."""
        return tilt_of(self.driven_lean)
