"""Moves of whole parts: a mirror, or half a turn, and what the viewer then sees.

A part that is moved keeps its viewer: a shaft across the car is still seen from
the right. What its angles and senses are for that viewer follows from the move
itself, an isometry T with x' = T x + t::

    n' = σ T n     the one of the two directions that is nearer to the old viewer
    s  = σ det T   turning anticlockwise by q before is turning by s q now

so mirroring a shaft across the car (T n = -n, σ = -1, det = -1) changes neither
angle nor sense, mirroring one along the car (σ = 1) reverses its sense, and half
a turn about upright (det = 1) reverses the sense of both.

Not here: which parts move (`swap.mirror`), arms that slide (`swap.slides`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np

from linkage.model import Arm, Axis, Shaft, Vector, axis_from_vector
from linkage.model.axes import add, cross, dot, norm
from linkage.model.columns import Number, cosine, sine
from linkage.model.slide import Slide, slide_of

#: Moves and slides smaller than this are none. [m]
NO_MOVE: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """An isometry: x' = T (x - start) + end.

    Parameters
    ----------
    diagonal : tuple of 3 floats
        T is diagonal in vehicle axes.
    start, end : tuple of 3 floats
        A point and where it goes. [m]
    """

    diagonal: Vector
    start: Vector
    end: Vector

    @property
    def determinant(self) -> float:
        """1 for a turn, -1 for a mirror."""
        return self.diagonal[0] * self.diagonal[1] * self.diagonal[2]

    def direction(self, v: Vector) -> Vector:
        """Return a direction after the move."""
        d = self.diagonal
        return (d[0] * v[0], d[1] * v[1], d[2] * v[2])

    def point(self, p: Vector) -> Vector:
        """Return a point after the move, to a picometre. [m]."""
        x, y, z = add(self.end, self.direction(add(p, self.start, -1)))
        return (round(x, 12), round(y, 12), round(z, 12))

    def axis(self, old: Axis) -> tuple[Axis, float]:
        """Return the axis after the move, and σ: whether the viewer went along."""
        went = self.direction(old.n)
        sign = -1.0 if dot(went, old.n) < -1e-12 else 1.0
        if old.vector is None:
            n = (sign * went[0], sign * went[1], sign * went[2])
            return (
                old if norm(add(n, old.n, -1)) < 1e-12 else axis_from_vector(n)
            ), sign
        moved = self.direction(old.vector)
        return axis_from_vector(
            (sign * moved[0], sign * moved[1], sign * moved[2])
        ), sign


def mirror(plane: float) -> Move:
    """Return the mirror in the plane y = ``plane``. [m]."""
    return Move(diagonal=(1, -1, 1), start=(0, plane, 0), end=(0, plane, 0))


def half_turn(about: Vector, to: Vector) -> Move:
    """Return half a turn about upright through a point, which goes to another."""
    return Move(diagonal=(-1, -1, 1), start=about, end=to)


def wrapped(angle: float) -> float:
    """Return an angle from -180° to 180°, to a billionth of a degree."""
    if not -math.pi <= angle <= math.pi:
        angle = math.remainder(angle, 2 * math.pi)
    return math.radians(round(math.degrees(angle), 9))


def moved_shaft(shaft: Shaft, move: Move) -> tuple[Shaft, float]:
    """Return a shaft after a move, and the factor of its senses.

    Parameters
    ----------
    shaft : Shaft
        Before.
    move : Move
        What happens to it.

    Returns
    -------
    shaft : Shaft
        With angles and offsets for its viewer.
    sense : {1, -1}
        -1 where every turn is the other way round for its viewer; 1 of a slide, whose
        way goes from one end of its guide to the other as before.
    """
    if isinstance(shaft, Slide):
        return _moved_slide(shaft, move), 1.0
    axis, sign = move.axis(shaft.axis)
    sense = sign * move.determinant
    zero = move.direction(shaft.axis.u)
    first = math.atan2(dot(zero, axis.v), dot(zero, axis.u))
    arms = {
        name: replace(
            arm,
            angle=wrapped(sense * arm.angle + first),
            offset=sign * arm.offset,
            wound=wound(arm, sense),
        )
        for name, arm in shaft.arms.items()
    }
    pivot = move.point(shaft.pivot)
    return replace(shaft, pivot=pivot, axis=axis, arms=arms), sense


def _moved_slide(slide: Slide, move: Move) -> Slide:
    """Return a slide after a move: its guide and its pins moved, its viewer kept."""
    seen, _ = move.axis(slide.seen)
    one, two = map(move.point, slide.guide)
    kept = ("mass", "bearing", "friction", "drag", "inertia", "fixed")
    return slide_of(
        slide.name,
        guide=(one, two),
        seen=seen,
        points={name: move.point(at) for name, at in slide.points.items()},
        **{name: getattr(slide, name) for name in kept},
    )


def wound(arm: Arm, sense: float) -> Literal[0, 1, -1]:
    """Return the sense in which a wire lies on an arm where turns have another."""
    return arm.wound if sense > 0 or not arm.wound else -1 if arm.wound > 0 else 1


def radial(shaft: Shaft, point: Vector) -> tuple[Number, Number]:
    """Return distance and direction of a point from a shaft's centre line.

    Parameters
    ----------
    shaft : Shaft
        Whose viewer it is seen by.
    point : tuple of 3 floats
        In vehicle axes. [m]

    Returns
    -------
    tuple of 2 floats or columns
        Radius [m], and angle from u towards v [rad].
    """
    away = add(point, shaft.pivot, -1)
    right, up = dot(away, shaft.axis.u), dot(away, shaft.axis.v)
    return np.hypot(right, up), np.arctan2(up, right)


def at_radial(shaft: Shaft, point: Vector, angle: Number) -> Vector:
    """Return a point turned about a shaft's centre line to another direction. [m]."""
    _, now = radial(shaft, point)
    n = shaft.axis.n
    turn = angle - now
    away = add(point, shaft.pivot, -1)
    along = dot(away, n)
    flat = add(away, n, -along)
    side = cross(n, flat)
    out = add(add((0.0, 0.0, 0.0), flat, cosine(turn)), side, sine(turn))
    return add(add(shaft.pivot, out), n, along)
