"""Where every shaft is carried, and what resists its turning whatever it carries.

A shaft is carried at two places. Forces on it, at their own stations and radii,
make a radial reaction at each and an axial thrust; each rubs with μ r of its own,
so that rods which pull against each other from both ends of a shaft do not cancel.
A slide is carried at both ends of its guide, and rubs there along its way: a load on a pin
that stands out of the guide by more than half its length over μ jams it in there.

A plate that is shut under the depression of a running engine presses its spindle
into its bearings. All values that are assumed where a layout gives none are here.

Not here: friction in joints (`joints`), weights (`masses`), the balance (`balance`).

References
----------
.. [1] R. G. Budynas, J. K. Nisbett, Shigley's Mechanical Engineering Design: shafts
   on two bearings, coefficients of friction (from memory).
"""

from __future__ import annotations

import math
from functools import reduce
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.columns import greater, lesser, pick
from linkage.motion.frame import dot

if TYPE_CHECKING:
    from linkage.forces.lines import Lines
    from linkage.model import Hole, Layout, Shaft, Throttle
    from linkage.model.columns import Number, Positions
    from linkage.motion.frame import Vectors

#: Diameter of a bearing that is not given; common practice, no source. [m]
BEARING: Final = 0.012
#: Length of the bush of a shaft whose arms are in one plane; common practice. [m]
BUSH: Final = 0.020
#: Diameter of a throttle's spindle that is not given; common practice. [m]
SPINDLE: Final = 0.008
#: Depression behind a shut plate, engine braking; common practice, no source. [Pa]
DEPRESSION: Final = 70e3
#: Friction of a spindle that is pressed into its bearings by it; common practice.
SPINDLE_FRICTION: Final = 0.15
#: Friction torque of a spindle whose bore is not given; common practice. [N·m]
SPINDLE_TORQUE: Final = 0.05
#: Opening within which it is taken in full, and the share beyond; common practice.
NEAR_SHUT: Final = math.radians(10)
BEYOND: Final = 0.5


def bearing_of(layout: Layout, shaft: str) -> Number:
    """Return the diameter of a shaft's bearing, assumed where it is not given. [m]."""
    given = layout.shafts[shaft].bearing
    throttle = layout.throttle_on(shaft)
    other = BEARING
    if throttle is not None:
        other = pick(throttle.spindle > 0, throttle.spindle, BEARING)
    return pick(given > 0, given, other)


def coefficient_of(layout: Layout, shaft: str) -> Number:
    """Return the coefficient of friction in a shaft's bearings."""
    own = layout.shafts[shaft].friction
    return layout.friction if own is None else own


def rubs_at(layout: Layout, shaft: str) -> Number:
    """Return what a load of 1 N on a shaft takes of its torque, μ r. [m].

    Of a slide, which rubs in its guide along its way, μ: what it takes of a force. [1]
    """
    friction = coefficient_of(layout, shaft)
    if layout.shafts[shaft].slides:
        return friction
    return friction * bearing_of(layout, shaft) / 2


def bearings_of(shaft: Shaft) -> tuple[Number, Number]:
    """Return the two places at which a shaft is carried, along it from the pivot.

    Where they are not given: its outermost arms; where all arms are in one plane a
    bush at the pivot. [m]
    """
    if shaft.bearings is not None:
        return shaft.bearings
    stations = [arm.offset for arm in shaft.arms.values()]
    low, high = reduce(lesser, stations), reduce(greater, stations)
    middle = pick(high > low, (low + high) / 2, 0.0)
    wide = high - low >= BUSH
    return (
        pick(wide, low, middle - BUSH / 2),
        pick(wide, high, middle + BUSH / 2),
    )


class Carried:
    """How the forces on one shaft reach the places at which it is carried.

    Reactions are arrays of five components: radial at one place (along u, v), at
    the other, and the axial thrust. They add up as forces do.

    Parameters
    ----------
    lines : Lines
        Where everything is.
    shaft : str
        The shaft.
    """

    def __init__(self, lines: Lines, shaft: str) -> None:
        self._lines = lines
        self.shaft = lines.layout.shafts[shaft]
        self.places = bearings_of(self.shaft)
        axis, vector = self.shaft.axis, lines.frame.vector
        self._axes = [lines.vectors(vector(way)) for way in (axis.u, axis.v, axis.n)]

    def reactions(self, force: Vectors, hole: Hole, share: float = 1.0) -> Positions:
        """Return what a force at a hole puts on the places, against their reactions.

        Parameters
        ----------
        force : ndarray, shape (3, ...)
            In vehicle axes. [N]
        hole : Hole
            Where it acts.
        share : float
            Of the arm's radius at which it acts.

        Returns
        -------
        ndarray, shape (5, n) or (5, rows, n)
            Of a shape that broadcasts to it. [N]
        """
        one, two = self.places
        arm, at = self.shaft.arms[hole.arm], self._lines.frame.hole(hole)
        force = self._lines.vectors(force)
        u, v, n = (dot(axis, force) for axis in self._axes)
        reach = share * arm.length / (two - one)
        # A pin of a slide goes on past the ends of its guide, and what runs along the
        # guide is not carried by it.
        along = arm.offset + at.way if self.shaft.slides else arm.offset
        part = (along - one) / (two - one)
        far_u = u * part - reach * at.cosine * n
        far_v = v * part - reach * at.sine * n
        thrust = 0.0 * n if self.shaft.slides else n
        return _stacked(u - far_u, v - far_v, far_u, far_v, thrust)


def _stacked(*parts: Positions) -> Positions:
    return np.stack(np.broadcast_arrays(*parts))


def sizes(one: Positions, two: Positions) -> Positions:
    """Return the scalar products of two arrays of reactions, place by place.

    Returns
    -------
    ndarray, shape (3, n) or (3, rows, n)
        At both places and of the thrusts; of an array with itself the squares. [N²]
    """
    product = one * two
    out = np.empty((3, *product.shape[1:]))
    np.add(product[0], product[1], out=out[0])
    np.add(product[2], product[3], out=out[1])
    out[2] = product[4]
    return out


def _pressed_in(layout: Layout, throttle: Throttle) -> Number:
    """Return the friction torque of a spindle whose plate is shut. [N·m]."""
    own = layout.shafts[throttle.shaft].friction
    friction = SPINDLE_FRICTION if own is None else own
    thick = pick(throttle.spindle > 0, throttle.spindle, SPINDLE)
    load = DEPRESSION * math.pi / 4 * throttle.bore**2
    return pick(throttle.bore > 0, friction * thick / 2 * load, SPINDLE_TORQUE)


def drag_of(layout: Layout, shaft: str, opening: Any) -> Positions:  # noqa: ANN401
    """Return the friction torque on a shaft that its load does not change. [N·m].

    As measured; of a spindle where it was not, that of the pressed plate.

    Parameters
    ----------
    layout : Layout
        One or many.
    shaft : str
        The shaft.
    opening : callable
        From a throttle to its opening at every position, shape (n,) or (rows, n).
        [rad]
    """
    given, throttle = layout.shafts[shaft].drag, layout.throttle_on(shaft)
    measured = given is not None and (given == given)  # noqa: PLR0124  (nan: not given)
    if throttle is None or throttle.kind != "plate":
        return pick(measured, given, 0.0)
    near = np.where(opening(throttle) <= NEAR_SHUT, 1.0, BEYOND)
    return pick(measured, given, _pressed_in(layout, throttle) * near)
