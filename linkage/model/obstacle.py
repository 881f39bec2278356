"""Obstacles: what is near a linkage, and must not be touched by it.

A pipe through two or more points, a sphere, a box along the vehicle's axes, or a plane,
which holes may pierce. It stands on the body or on the engine.

Not here: how near the linkage comes (`gaps`), how near it may (`rules.gaps`).
"""

from __future__ import annotations

import math
from dataclasses import field, replace
from typing import TYPE_CHECKING, Final, Literal, TypeAlias

from linkage.errors import LayoutError
from linkage.model.axes import NAMED, Axis, add, dot, norm
from linkage.model.columns import every
from linkage.model.valid import finite
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.model.axes import Vector
    from linkage.model.columns import Number

Shape: TypeAlias = Literal["pipe", "sphere", "box", "plane"]
Nature: TypeAlias = Literal["fixed", "moving", "exhaust"]

#: What obstacles there are, and as what they are looked on.
SHAPES: Final[tuple[Shape, ...]] = ("pipe", "sphere", "box", "plane")
NATURES: Final[tuple[Nature, ...]] = ("fixed", "moving", "exhaust")
#: How many points tell where each is; of a pipe, two or more.
_POINTS: Final = {"sphere": 1, "box": 2, "plane": 1}
#: Two points of a pipe nearer than this are one. [m]
SAME: Final = 1e-6
#: A box is at least so thick, and a pipe or hole so wide. [m]
THINNEST: Final = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """Something that the linkage must keep clear of.

    Parameters
    ----------
    name : str
        Unique in the layout.
    shape : {"pipe", "sphere", "box", "plane"}
        What it is.
    kind : {"fixed", "moving", "exhaust"}
        What it is looked on as, which sets how near a part may come.
    on : {"body", "engine"}
        What holds it.
    points : tuple of tuple of 3 floats
        Of a pipe two or more along its middle; of a sphere its middle; of a box two
        opposite corners; of a plane a point in it. [m]
    diameter : float
        Of a pipe or sphere; 0 of others. [m]
    axis : Axis
        Of a plane ``n`` square to it; of a box its edges.
    holes : tuple of (tuple of 3 floats, float)
        Of a plane: middle of each hole in it, and its diameter. [m]
    gap : float, optional
        Least gap asked of it; None takes the limit of its kind. [m]
    """

    name: str
    shape: Shape
    kind: Nature = "fixed"
    on: Literal["body", "engine"] = "body"
    points: tuple[Vector, ...]
    diameter: Number = 0.0
    axis: Axis = NAMED["upright"]
    holes: tuple[tuple[Vector, Number], ...] = ()
    gap: Number | None = field(default=None, metadata={"none": math.nan})

    def __post_init__(self) -> None:
        key = self.key
        self._shaped()
        for point in self.points:
            finite(point, "a point of an obstacle", key)
        if self.shape == "pipe":
            self._goes_on()
        if self.shape in {"pipe", "sphere"}:
            self._wide(self.diameter, f"{self.shape} `{self.name}`", "diameter")
        for middle, diameter in self.holes:
            finite(middle, "the middle of a hole", (*key, "holes"))
            self._wide(diameter, f"a hole in plane `{self.name}`", "holes")
        if self.shape == "box":
            for size in self.half:
                self._thick(2 * size)

    def _shaped(self) -> None:
        if self.shape != "pipe" and len(self.points) != _POINTS.get(self.shape):
            msg = (
                f"obstacle `{self.name}` is a {self.shape} by {len(self.points)} points"
            )
            hint = (
                "a sphere and a plane are given by one, a box by two opposite corners, "
                "a pipe by two or more; there are no other shapes"
            )
            raise LayoutError(msg, hint=hint, key=self.key)

    def _goes_on(self) -> None:
        first, *others = self.points or ((0.0, 0.0, 0.0),)
        if not any(every(norm(add(p, first, -1)) >= SAME) for p in others):
            msg = f"pipe `{self.name}` goes from one point to none other"
            hint = (
                "give two points along its middle, or more, one at each bend; what is round "
                'in all directions is `shape = "sphere"`'
            )
            raise LayoutError(msg, hint=hint, key=(*self.key, "points"))

    def _wide(self, diameter: Number, what: str, key: str) -> None:
        if not every((diameter >= THINNEST) & (diameter < math.inf)):
            msg = f"{what} has no diameter"
            hint = "give how thick it is from side to side, lagging and clips included"
            raise LayoutError(msg, hint=hint, key=(*self.key, key))

    def _thick(self, size: Number) -> None:
        if not every(size >= THINNEST):
            msg = f"box `{self.name}` is flat: two of its corners are in one plane"
            hint = (
                "give two opposite corners, that differ forward, to the left and up; "
                'what is as thin as a sheet is `shape = "plane"`'
            )
            raise LayoutError(msg, hint=hint, key=(*self.key, "corners"))

    @property
    def key(self) -> tuple[str, str]:
        """Its table in the file."""
        return "obstacles", self.name

    def moved(
        self, at: Callable[[Vector], Vector], axis: Callable[[Axis], Axis]
    ) -> Obstacle:
        """Return it where what holds it has gone.

        Parameters
        ----------
        at : callable
            From where a point was to where it is then. [m]
        axis : callable
            From an axis of before to the one of then.
        """
        return replace(
            self,
            points=tuple(map(at, self.points)),
            axis=axis(self.axis),
            holes=tuple((at(middle), wide) for middle, wide in self.holes),
        )

    @property
    def middle(self) -> Vector:
        """Middle of a box. [m]."""
        one, two = self.points
        return add(add((0.0, 0.0, 0.0), one, 0.5), two, 0.5)

    @property
    def half(self) -> tuple[Number, Number, Number]:
        """Half the edges of a box, along its axes. [m]."""
        across = add(self.points[1], self.points[0], -1)
        x, y, z = (abs(dot(across, way)) / 2 for way in self.axes)
        return x, y, z

    @property
    def axes(self) -> tuple[Vector, Vector, Vector]:
        """Unit vectors along the edges of a box."""
        return self.axis.u, self.axis.v, self.axis.n
