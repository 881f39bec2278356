"""How sharp a sheath is bent: the radius at each of its points and at both ends.

A sheath is known by the points that it goes through: its ends, and those given between.
Through three neighbouring points goes one circle. At either end the sheath is taken to
point along the free wire: from there it bends in one arc to its next point.

Not here: whether that is in order (`rules.sheaths`), what all bends cost
(`forces.sheath`).
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect.line import as_vector
from linkage.model.columns import least
from linkage.motion.frame import dot

if TYPE_CHECKING:
    from linkage.model import Cable
    from linkage.model.columns import Number, Positions
    from linkage.rules.examine import Examined

#: A radius from which on a sheath is as good as straight. [m]
STRAIGHT: Final = 1.0
#: Points of a sheath nearer than this are one. [m]
ONE: Final = 1e-6


def size(vector: Any) -> Positions:  # noqa: ANN401
    """Return how long vectors are that have their component first. [m]."""
    return np.sqrt(dot(vector, vector))


def _turn(one: Any, two: Any) -> Positions:  # noqa: ANN401
    """Return the angle between two ways. [rad]."""
    cosine = dot(one, two) / (size(one) * size(two))
    return np.arccos(np.clip(cosine, -1.0, 1.0))


def through(one: Any, two: Any) -> Positions:  # noqa: ANN401
    """Return the radius of the circle through three points, by the ways between. [m].

    Parameters
    ----------
    one, two : ndarray, shape (3, ...)
        From the first point to the second, and on to the third. [m]

    Returns
    -------
    ndarray
        Where the way turns by more than a right angle, no more than leaves an arc as
        long as half a circle over both legs.
    """
    turn = _turn(one, two)
    with np.errstate(divide="ignore"):
        circle = size(one + two) / (2 * np.abs(np.sin(turn)))
        arc = math.pi * (size(one) + size(two)) / (4 * turn)
    return np.minimum(np.minimum(circle, arc), STRAIGHT)


def from_wire(wire: Any, leg: Any) -> Positions:  # noqa: ANN401
    """Return the radius of the arc that leaves along a wire for the next point. [m].

    Parameters
    ----------
    wire, leg : ndarray, shape (3, ...)
        The way of the wire into its sheath, and that from there to the next point. [m]
    """
    turn = np.minimum(_turn(wire, leg), math.pi / 2)
    with np.errstate(divide="ignore"):
        return np.minimum(size(leg) / (2 * np.sin(turn)), STRAIGHT)


def places(x: Examined, cable: Cable) -> list[tuple[str, Number]]:
    """Return where a sheath bends and the least radius there, from its start on."""
    line: Any = x.lines[cable.name]
    ways = line.leaves if line.link.driver == cable.start else line.leaves[::-1]
    # Rows may differ in the points of a sheath alone.
    pulls = [way.pull.reshape(3, -1, way.pull.shape[-1]) for way in ways]
    points = [as_vector(point, 2) for point in cable.route]
    apart = [b - a for a, b in pairwise(points)]
    legs = [leg for leg in apart if np.all(size(leg) > ONE)]
    if not legs:  # a sheath of no length: nothing in which it could turn to its wire
        return [(f"at its end by `{cable.start}`", 0.0)]
    ends = [
        (f"at its end by `{hole}`", least(from_wire(pull, leg)))
        for hole, pull, leg in (
            (cable.start, pulls[0], legs[0]),
            (cable.end, pulls[1], -legs[-1]),
        )
    ]
    between = [
        (f"at point {i} of its way", least(through(one, two)))
        for i, (one, two) in enumerate(pairwise(legs), 1)
    ]
    return [ends[0], *between, ends[1]]
