r"""Friction in the joints of a rod: ball or pin, at both ends.

Each joint resists the turn between rod and arm with the moment ρ|F|, ρ = μ r of
the ball or pin. The two moments are held by forces across the rod, so that its
line is turned: in a plane it touches the friction circles of both joints. With
w the unit vectors of the turn of arm against rod, and m their sum, the force at
either end is

.. math:: X\,t + |X|\,\rho'\,(t \times m) / L, \qquad
          \rho' = \rho / \sqrt{1 - (\rho\,|t \times m| / L)^2}

t from that end to the other, L the rod's length; the arm is turned back by ρ' |X| w
besides. What both lose is ρ' |X| times both turns, whatever the sense.

A rod between balls is free to spin about itself; it is taken not to, which is the
unkind side. Exact in a plane. A wire is such a rod from its nipple to its sheath, with
one joint; the roller of a cam one from where it touches to its pin.

Not here: bearings (`friction`), the balance (`balance`).

References
----------
.. [1] K. J. Waldron, G. L. Kinzel, Kinematics, Dynamics, and Design of Machinery,
   friction circles of a two-force member (from memory).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.axes import cross
from linkage.model.columns import pick
from linkage.motion.frame import dot

if TYPE_CHECKING:
    from linkage.model import Hole, Rod
    from linkage.model.columns import Number, Positions
    from linkage.motion.frame import Frame, Vectors

#: Diameter of a ball that is not given, DIN 71802 (the size most used is common
#: practice, no source). [m]
BALL: Final = 0.010
#: Coefficient of friction in a joint; common practice, no source.
JOINT_FRICTION: Final = 0.2
#: Turn a metre of pad below which a joint stands still. [rad/m]
STILL: Final = 1e-9


def circle_of(rod: Rod) -> Number:
    """Return the radius of the friction circle of a rod's joints, μ r. [m]."""
    friction = JOINT_FRICTION if rod.joint_friction is None else rod.joint_friction
    thick = pick(rod.joint_diameter > 0, rod.joint_diameter, BALL)
    return friction * thick / 2


def _cross(one: Vectors, two: Vectors) -> Vectors:
    return np.stack(cross(one, two))


class Joints:
    """The turn of both joints of a rod while the pedal goes down.

    Parameters
    ----------
    frame : Frame
        Where everything is.
    rod : str
        The rod.
    """

    def __init__(self, frame: Frame, rod: str) -> None:
        self._frame = frame
        self._line = frame.rod(rod)
        self._link = next(k for k in frame.layout.links if k.rod.name == rod)

    @cached_property
    def length(self) -> Positions:
        """Of the rod, from hole to hole. [m]."""
        one, two = (self._frame.pin(hole) for hole in self._link.holes)
        return np.sqrt(dot(two - one, two - one))

    @cached_property
    def turns(self) -> tuple[Vectors, Vectors]:
        """Turn of the driver's arm against the rod, and of the driven one. [rad/m]."""
        ways = [self._moves(hole) for hole in self._link.holes]
        rod = _cross(self._line.pulls[0], ways[1] - ways[0]) / self.length
        one, two = (self._shaft_turns(hole) - rod for hole in self._link.holes)
        return one, two

    @cached_property
    def _units(self) -> tuple[Vectors, Vectors]:
        one, two = (_unit(turn) for turn in self.turns)
        return one, two

    @cached_property
    def aside(self) -> Vectors:
        """Force across the rod at the driver that 1 m of ρ' makes of 1 N. [1/m]."""
        both = self._units[0] + self._units[1]
        return _cross(self._line.pulls[0], both) / self.length

    @cached_property
    def lean(self) -> Positions:
        """Length of `aside`. [1/m]."""
        return np.sqrt(dot(self.aside, self.aside))

    def across(self, hole: Hole) -> Vectors:
        """Return the force across the rod on an arm that 1 m of ρ' makes of 1 N. [1/m]."""
        return self.aside if hole == self._link.driver else -self.aside

    def back(self, hole: Hole) -> Positions:
        """Return the torque on a hole's shaft that 1 m of ρ' makes of 1 N. [1]."""
        at = self._frame.hole(hole)
        unit = self._units[0 if hole == self._link.driver else 1]
        across = self.across(hole)
        return at.length * dot(at.tangent, across) - dot(unit, at.spin)

    def _shaft_turns(self, hole: Hole) -> Vectors:
        return self._frame.hole(hole).spin * self._frame.first[hole.shaft]

    def _moves(self, hole: Hole) -> Vectors:
        at = self._frame.hole(hole)
        return at.tangent * (at.length * self._frame.first[hole.shaft])


class WireEnds:
    """The turn of both nipples of a cable while the pedal goes down.

    Each nipple turns its own arm back. What it does to the wire is held by a force across
    the free piece of that, from the nipple to the end of the sheath; so what it takes is
    its moment times the turn of arm against wire. A wire that lies on a drum does not turn
    against it.

    Parameters
    ----------
    frame : Frame
        Where everything is.
    cable : str
        The cable.
    """

    #: The force across the wire is taken with its pull, not along a line turned by it.
    lean = 0.0

    def __init__(self, frame: Frame, cable: str) -> None:
        line: Any = frame.rod(cable)
        self._frame, self._line = frame, line
        self._units: dict[Hole, Vectors] = {}

    def across(self, hole: Hole) -> Vectors:
        """Return the force across the wire on an arm that 1 m of ρ' makes of 1 N. [1/m]."""
        i = self._line.link.holes.index(hole)
        return _cross(self._line.pulls[i], self._unit(hole)) / self._line.runs[i]

    def back(self, hole: Hole) -> Positions:
        """Return the torque on a hole's shaft that 1 m of ρ' makes of 1 N. [1]."""
        at = self._frame.hole(hole)
        turned = dot(self._unit(hole), at.normal)
        return at.length * dot(at.tangent, self.across(hole)) - turned

    def _unit(self, hole: Hole) -> Vectors:
        """Return the unit vector of the turn of arm against wire; none of a drum."""
        if hole not in self._units:
            i = self._line.link.holes.index(hole)
            shaft = self._frame.layout.shafts[hole.shaft]
            at, first = self._frame.hole(hole), self._frame.first[hole.shaft]
            swings = at.tangent * (at.length * first)
            wire = _cross(self._line.pulls[i], -swings) / self._line.runs[i]
            turn = at.normal * first - wire
            bare = not shaft.arms[hole.arm].wound
            self._units[hole] = _unit(turn) if bare else 0.0 * turn
        return self._units[hole]


class Roller:
    """The turn of a cam's roller on its pin while the pedal goes down.

    It rolls on the cam, and is itself a bar from where it touches to its pin, with a
    joint at the pin alone: what that takes is held by a force across the push where
    both touch.

    Parameters
    ----------
    frame : Frame
        Where everything is.
    cam : str
        The cam.
    """

    def __init__(self, frame: Frame, cam: str) -> None:
        line: Any = frame.rod(cam)
        self._frame, self._line = frame, line
        self._cam, self._pin = line.link.holes

    @cached_property
    def _unit(self) -> Vectors:
        """Unit vector of the turn of the roller's arm against the roller."""
        pin, line, first = self._frame.hole(self._pin), self._line, self._frame.first
        swings = pin.tangent * (pin.length * first[self._pin.shaft])
        cam = line.touch_moves * first[self._cam.shaft]
        rolls = _cross(line.along, swings - cam) / line.roller
        return _unit(pin.normal * first[self._pin.shaft] - rolls)

    @cached_property
    def aside(self) -> Vectors:
        """Force across the push on the cam that 1 m of ρ' makes of 1 N. [1/m]."""
        return _cross(self._line.along, self._unit) / self._line.roller

    @cached_property
    def lean(self) -> Positions:
        """Length of `aside`. [1/m]."""
        return np.sqrt(dot(self.aside, self.aside))

    def across(self, hole: Hole) -> Vectors:
        """Return the force across the push on an arm that 1 m of ρ' makes of 1 N. [1/m]."""
        return self.aside if hole == self._cam else -self.aside

    def back(self, hole: Hole) -> Positions:
        """Return the torque on a hole's shaft that 1 m of ρ' makes of 1 N. [1]."""
        if hole == self._cam:
            return dot(self._line.touch_moves, self.aside)
        pin = self._frame.hole(hole)
        turned = dot(self._unit, pin.normal)
        return pin.length * dot(pin.tangent, self.across(hole)) - turned


def _unit(turn: Vectors) -> Vectors:
    size = np.sqrt(dot(turn, turn))
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(size > STILL, turn / size, 0.0 * size)
