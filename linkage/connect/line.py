"""How a rod lies to its arms: angles, torque arms and lean, at every position.

Vectors have their component first: (3, n) for one layout, (3, rows, n) for many.

Not here: where the holes are (`motion.frame`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from linkage.model.axes import add
from linkage.model.axes import dot as scalar
from linkage.model.columns import is_column, pick

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.connect.connector import End
    from linkage.model import Layout, Link, Vector
    from linkage.model.columns import Number, Positions

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
    if any(map(is_column, point)):
        return np.stack(np.broadcast_arrays(*(np.atleast_2d(c) for c in point)))
    return np.array(point, dtype=float).reshape(3, *(1,) * ndim)


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
    return pick(scalar(driver.ahead(link.driver.arm, turn), gap) >= 0, 1, -1)


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

    @property
    def pulls(self) -> tuple[Vectors, Vectors]:
        """Unit vectors of a pull on the driver's hole and on the driven one."""
        return self.along, -self.along

    @cached_property
    def apart(self) -> Positions:
        """How far apart both holes are. [m]."""
        gap = self._ends[1].pin - self._ends[0].pin
        return np.sqrt(dot(gap, gap))

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
        return angle_of(self.driver_side, dot(self._ends[0].radial, self.along))

    @cached_property
    def driven_angle(self) -> Positions:
        """The same at the driven arm. [rad]."""
        return angle_of(self.driven_side, -dot(self._ends[1].radial, self.along))

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
        return tilt_of(self.driver_lean)

    @cached_property
    def driven_tilt(self) -> Positions:
        """The same at the driven arm. [rad]."""
        return tilt_of(self.driven_lean)


def angle_of(side: Positions, outward: Positions) -> Positions:
    """Return the angle of a rod to its arm, measured from the pin to the pivot."""
    sharp = np.arcsin(np.minimum(np.abs(side), 1))
    return np.where(outward <= 0, sharp, np.pi - sharp)


def tilt_of(lean: Positions) -> Positions:
    """Return the tilt whose sine a lean is, without its sign. [rad]."""
    return np.arcsin(np.minimum(np.abs(lean), 1))
