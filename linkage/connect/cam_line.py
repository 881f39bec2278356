"""How a cam lies to its roller: the common normal and what it turns, at every position.

Vectors have their component first: (3, n) for one layout, (3, rows, n) for many.

Not here: which arc of the profile is touched (`connect.cam`), where the holes are
(`motion.frame`).
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.connect.line import RodLine, dot
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect.connector import End, Pair
    from linkage.model import Link
    from linkage.model.columns import Number, Positions

    Vectors = Any


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Centre:
    """The centre of the arc that is touched, as a hole that turns with the cam."""

    length: Positions
    turn: Pair
    pin: Vectors
    radial: Vectors
    tangent: Vectors
    normal: Vectors


def _centre(cam: End, roller: End, x: Positions, y: Positions) -> Centre:
    """Return the centre of an arc by its place along the cam's arm and ahead of it."""
    out = np.hypot(x, y)
    with np.errstate(invalid="ignore", divide="ignore"):
        # An arc about the shaft itself has no direction: any does, it turns nothing.
        cosine, sine = np.where(out > 0, x / out, 1.0), np.where(out > 0, y / out, 0.0)
    pin = cam.pin + (x - cam.length) * cam.radial + y * cam.tangent
    # In the roller's plane, though it stand a little beside the cam.
    pin = pin + dot(roller.pin - pin, cam.normal) * cam.normal
    return Centre(
        length=out,
        turn=cam.turn,
        pin=pin,
        radial=cosine * cam.radial + sine * cam.tangent,
        tangent=cosine * cam.tangent - sine * cam.radial,
        normal=cam.normal,
    )


class CamLine(RodLine):
    """How a cam lies to its roller at every position: as the bar that it moves as.

    Parameters
    ----------
    link : Link
        The cam and its two holes.
    ends : pair of End
        The cam's arm and the roller's pin through the motion.
    centre : pair of ndarray
        Place of the arc's centre along the cam's arm, and ahead of it anticlockwise. [m]
    lengths : pair of (ndarray, float or column)
        Of the bar of that arc, and of the one at rest. [m]
    roller : float or column
        Its radius. [m]
    """

    def __init__(
        self,
        link: Link,
        ends: tuple[End, End],
        centre: tuple[Positions, Positions],
        lengths: tuple[Positions, Number],
        roller: Number,
    ) -> None:
        super().__init__(link, _centre(*ends, *centre), ends[1])
        self._cam = ends[0]
        self._lengths = lengths
        self.roller = roller

    @cached_property
    def apart(self) -> Positions:
        """How long the bar at rest would have to be, more where the roller is clear. [m]."""
        gap = self._ends[1].pin - self._ends[0].pin
        bar, rest = self._lengths
        return np.sqrt(dot(gap, gap)) - bar + rest

    @cached_property
    def touches(self) -> Vectors:
        """Where the roller touches, or would: on its side towards the cam. [m]."""
        return self._ends[1].pin - self.roller * self.along

    @cached_property
    def touch_moves(self) -> Vectors:
        """How the cam moves there when its shaft turns anticlockwise. [m]."""
        cam = self._cam
        out = self.touches - (cam.pin - cam.length * cam.radial)
        return dot(out, cam.radial) * cam.tangent - dot(out, cam.tangent) * cam.radial

    @cached_property
    def driver_angle(self) -> Positions:
        """Square: a cam has no arm that could come into line with the push. [rad]."""
        return np.full_like(self.driven_side, math.pi / 2)

    @property
    def pressure_angle(self) -> Positions:
        """How far the push leans from the way that the roller moves, 0 to π/2. [rad]."""
        return np.arccos(np.minimum(np.abs(self.driven_side), 1.0))
