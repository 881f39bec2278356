"""Directions: vehicle axes and the plane in which a shaft is seen.

Vehicle axes follow ISO 8855: x forward, y left, z up. A shaft is looked at
along its axis; `n` points at the viewer, and angles run from `u` to `v`,
anticlockwise positive for that viewer::

    across (seen from the right)   along (seen from behind)   upright (seen from above)
            v = up                         v = up                     v = left
            |                              |                          |
            o--- u = forward               o--- u = right             o--- u = forward

Not here: positions of pivots and arms (`parts`).
"""

from __future__ import annotations

import math
from dataclasses import field
from typing import Final

import numpy as np

from linkage.errors import LayoutError
from linkage.model.columns import Number, is_column
from linkage.records import dataclass

Vector = tuple[Number, Number, Number]

#: Tilt from plumb up to which a shaft is upright: its angles count from forward.
#: Wider than a shaft that was meant to be upright is off; common practice, no
#: source. [rad]
PLUMB: Final = math.radians(5)


def dot(a: Vector, b: Vector) -> Number:
    """Return the scalar product of two vectors."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Return the vector product of two vectors.

    >>> cross((1, 0, 0), (0, 1, 0))
    (0, 0, 1)
    """
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def add(a: Vector, b: Vector, factor: Number = 1.0) -> Vector:
    """Return ``a + factor * b``."""
    return (a[0] + factor * b[0], a[1] + factor * b[1], a[2] + factor * b[2])


def norm(a: Vector) -> Number:
    """Return the length of a vector."""
    if any(is_column(c) for c in a):
        return np.sqrt(dot(a, a))
    return math.hypot(*a)


def unit(a: Vector) -> Vector:
    """Return the unit vector along ``a``; its length must not be zero."""
    length = norm(a)
    return (a[0] / length, a[1] / length, a[2] / length)


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """Direction of a shaft and the plane basis of its viewer.

    Parameters
    ----------
    name : str
        ``across``, ``along``, ``upright``, or ``vector``.
    u, v, n : tuple of 3 floats or columns
        Right-handed unit vectors in vehicle axes; ``n`` points at the viewer.
    seen_from : str
        The viewer's place in words, for every line that says clockwise. Left
        out, it is told from the vector, unless that is of columns.
    vector : tuple of 3 floats or columns, optional
        The vector as it was given, of any length; None for a named axis.
    """

    name: str
    u: Vector
    v: Vector
    n: Vector
    seen_from: str = field(default="", metadata={"words": True})
    vector: Vector | None = None

    @property
    def zero(self) -> str:
        """From where angles count, in words; empty for a named axis, or columns."""
        if self.vector is None or any(map(is_column, self.vector)):
            return ""
        if math.hypot(self.n[0], self.n[1]) <= math.sin(PLUMB):
            return "forward, as nearly as its axis allows"
        toward = ", ".join(f"{c + 0.0:.3g}" for c in (*self.u[:2], 0.0))
        return f"level, toward [{toward}]"

    def toward(self, offset: float) -> str:
        """Return to which side an offset along the shaft goes, in words.

        Parameters
        ----------
        offset : float
            Along the shaft, positive toward the viewer. [m]

        >>> NAMED["across"].toward(0.02), NAMED["across"].toward(-0.02)
        ('to the right', 'to the left')
        """
        if not offset:
            return ""
        ways = _SIDES.get(self.name)
        if ways is None:
            ways = (f"toward {self.seen_from}", f"away from {self.seen_from}")
        return ways[offset < 0]

    def __post_init__(self) -> None:
        if self.seen_from or self.vector is None or any(map(is_column, self.vector)):
            return
        seen = "the tip of [" + ", ".join(f"{c:.3g}" for c in self.vector) + "]"
        object.__setattr__(self, "seen_from", seen)


#: To which side a positive offset goes, and a negative one, by the axis' name.
_SIDES: Final = {
    "across": ("to the right", "to the left"),
    "along": ("to the rear", "to the front"),
    "upright": ("up", "down"),
}
NAMED: Final[dict[str, Axis]] = {
    "across": Axis(
        name="across", u=(1, 0, 0), v=(0, 0, 1), n=(0, -1, 0), seen_from="the right"
    ),
    "along": Axis(
        name="along", u=(0, -1, 0), v=(0, 0, 1), n=(-1, 0, 0), seen_from="behind"
    ),
    "upright": Axis(
        name="upright", u=(1, 0, 0), v=(0, 1, 0), n=(0, 0, 1), seen_from="above"
    ),
}


def axis_from_vector(vector: Vector, *, key: tuple[str, ...] = ()) -> Axis:
    """Return the axis whose viewer stands where ``vector`` points.

    ``v`` is as upright as it can be. Of a vector that points up or down, to within
    5°, ``u`` is as far forward as it can be instead: which way it leans by a hair
    says nothing of where angles count from. So the basis goes over into those of
    the named axes, and a vector along one of them gives the named axis.

    Parameters
    ----------
    vector : tuple of 3 floats
        Any length but zero, in vehicle axes.
    key : tuple of str
        Where the vector stands in the layout file, for the error.

    Raises
    ------
    LayoutError
        If the vector is zero or not finite.

    >>> axis_from_vector((0, -2, 0)).name
    'across'
    """
    if not all(math.isfinite(c) for c in vector) or norm(vector) < 1e-9:
        msg = "an axis of zero length has no direction"
        raise LayoutError(
            msg,
            hint="give `across`, `along`, `upright`, or a vector such as [0, -1, 0] "
            "that points at the viewer",
            key=key,
        )
    n = unit(vector)
    for axis in NAMED.values():
        if norm(add(n, axis.n, -1.0)) < 1e-12:
            return axis
    up = (0.0, 0.0, 1.0)
    flat = add(up, n, -dot(up, n))
    if norm(flat) > math.sin(PLUMB):
        v = unit(flat)
        u = cross(v, n)
    else:
        forward = (1.0, 0.0, 0.0)
        u = unit(add(forward, n, -dot(forward, n)))
        v = cross(n, u)
    return Axis(name="vector", u=u, v=v, n=n, vector=vector)


def turning(sense: float) -> str:
    """Return the word for a sense of turning.

    >>> turning(-1)
    'clockwise'
    """
    return "anticlockwise" if sense > 0 else "clockwise"
