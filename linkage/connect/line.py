"""How a rod lies to its arms: angles, torque arms and lean, at every position.

Vectors have their component first: (3, n) for one layout, (3, rows, n) for many.

Not here: where the holes are (`motion.frame`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from linkage.model.axes import add, cross
from linkage.model.axes import dot as scalar
from linkage.model.columns import pick

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect.connector import End
    from linkage.model import Layout, Link
    from linkage.model.columns import Number, Positions

#: Shape (3, n) or (3, rows, n).
Vectors: TypeAlias = Any


def dot(one: Vectors, two: Vectors) -> Positions:
    """Return the scalar product of vectors that have their component first."""
    product = one * two
    return product[0] + product[1] + product[2]


def choose(truth: Any, yes: Positions, no: Positions) -> Positions:  # noqa: ANN401
    """Return one or the other at every position; of a single one a plain number."""
    chosen: Any = np.where(truth, yes, no)
    return chosen[()]


def pull_turns(layout: Layout, link: Link, turn: Number) -> Number:
    """Return the sense in which a pull turns the driver at rest; 1 on dead centre.

    Parameters
    ----------
    layout, link, turn
        As for `connect.Connector.join`.
    """
    driver = layout.shafts[link.driver.shaft]
    pin = driver.pin(link.driver.arm, turn)
    gap = add(layout.shafts[link.driven.shaft].pin(link.driven.arm), pin, -1)
    out = add(pin, driver.centre(link.driver.arm), -1)
    # The way of the pin when its shaft turns anticlockwise for its viewer is n x out.
    return pick(scalar(cross(driver.axis.n, out), gap) >= 0, 1, -1)


class RodLine:
    """How a rod lies to its two arms at every position.

    Each is worked out when it is first asked for. The driver is the shaft on the
    pedal's side.

    Parameters
    ----------
    link : Link
        The rod and its two holes.
    driver, driven : End
        The holes through the motion.
    """

    def __init__(self, link: Link, driver: End, driven: End) -> None:
        self.link = link
        self._ends = driver, driven

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
    def driver_lean(self) -> Positions:
        """Sine of the tilt at the driver, positive toward its viewer."""
        return dot(self.along, self._ends[0].normal)

    @cached_property
    def driven_lean(self) -> Positions:
        """The same at the driven arm."""
        return dot(self.along, self._ends[1].normal)

    @cached_property
    def driver_tilt(self) -> Positions:
        """Lean out of the plane in which the driver's arm turns. [rad]."""
        return _tilt(self.driver_lean)

    @cached_property
    def driven_tilt(self) -> Positions:
        """The same at the driven arm. [rad]."""
        return _tilt(self.driven_lean)


def _angle(side: Positions, outward: Positions) -> Positions:
    """Return the angle of a rod to its arm, measured from the pin to the pivot."""
    sharp = np.arcsin(np.minimum(np.abs(side), 1))
    return np.where(outward <= 0, sharp, np.pi - sharp)


def _tilt(lean: Positions) -> Positions:
    return np.arcsin(np.minimum(np.abs(lean), 1))
