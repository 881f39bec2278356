"""The slide: a bar that runs straight in a guide, as a control rack.

It stands among a layout's shafts: it goes along its axis where a shaft turns round its
own. So what of a shaft is a turn in rad is of a slide a way in m, what is a torque in
N·m is a force along the guide in N, and it is carried at both ends of its guide as a
shaft in two bearings. `Shaft` tells what its fields are of a shaft.

The cosine and sine of a slide's *turn*, which motion keeps of every part, are those of
its way in metres: a way is had from them again exactly up to `MOST_WAY`.

Not here: the rods on it (`rod`), how it moves (`connect.slid`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar, Final

import numpy as np

from linkage.errors import LayoutError
from linkage.model.axes import Axis, Vector, add, cross, dot, norm, unit
from linkage.model.columns import Number, every, pick, plain
from linkage.model.frozen import FrozenDict
from linkage.model.parts import LEAST_SPREAD, Arm, Shaft
from linkage.model.valid import finite
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

#: Way beyond which a slide is taken not to reach; common practice, no source. [m]
MOST_WAY: Final = 1.5
#: Least angle between the guide and the line along which its pins are seen, as a sine.
ASLANT: Final = 0.1
#: A pin nearer to the axis than this is on it. [m]
ON_AXIS: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Slide(Shaft):
    """A bar that runs straight in a guide.

    `slide_of` makes one. Its `pivot` is the first end of the guide, the `n` of its `axis`
    the way that counts as positive, `u` the direction in which its pins stand; `bearings`
    are both ends of the guide, from the first one. An arm of it is a pin, `length` and
    `angle` its place square to the axis, 0 where it is on it, and `offset` its place along
    it at rest.

    Parameters
    ----------
    name : str
        Unique in the layout.
    pivot : tuple of 3 floats
        The first end of its guide, on the axis of the bar. [m]
    axis : Axis
        `n` along the guide, the way that counts as positive; `u` as its pins stand.
    arms : mapping of str to Arm
        Its pins; see above.
    bearing : float
        Diameter of the bar; 0 where it is not given. [m]
    bearings : pair of float
        Both ends of the guide along its axis, from the first one. [m]
    friction : float, optional
        Coefficient of friction in its guide; None takes the layout's.
    drag : float, optional
        Friction that no load changes, as of a seal. None where not measured. [N]
    inertia : float
        Not used: what of a shaft is a moment of inertia is of a slide its mass.
    fixed : bool
        Bought, or not to be touched.
    play : float
        Not used: that of a guide is not asked for.
    guide : pair of tuple of 3 floats
        Both ends of the guide on the axis of the bar; what counts as positive goes from
        the first to the second. [m]
    points : mapping of str to tuple of 3 floats
        Where each pin is at rest. [m]
    seen : Axis
        Toward whose viewer its pins stand, as the layout file gives it.
    mass : float
        Of the bar; 0 where it is not given. [kg]
    """

    slides: ClassVar[bool] = True
    guide: tuple[Vector, Vector]
    points: Mapping[str, Vector]
    seen: Axis
    mass: Number = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", FrozenDict.of(self.points))
        Shaft.__post_init__(self)

    def _arm_known(self, arm: Arm, key: tuple[str, ...]) -> None:
        finite((arm.length, arm.angle, arm.offset), "the place of a pin", key)

    @property
    def guided(self) -> Number:
        """Length of the guide. [m]."""
        assert self.bearings is not None  # noqa: S101  (a slide always has them)
        return self.bearings[1] - self.bearings[0]

    @property
    def viewed(self) -> Axis:
        """From where it is looked at: where its pins point, as the file gives it."""
        return self.seen

    @property
    def across(self) -> Vector:
        """Unit vector square to its way, in which its pins stand."""
        return self.axis.u

    def moved(self, way: Number) -> Slide:
        """Return the slide with its pins at rest some way on along its guide. [m]."""
        pins = self.arms.values()
        return replace(
            self,
            arms={a.name: replace(a, offset=a.offset + way) for a in pins},
            points={n: add(at, self.axis.n, way) for n, at in self.points.items()},
        )

    def ahead(self, arm: str, turn: Number = 0.0) -> Vector:  # noqa: ARG002
        """Return the way in which a pin goes a metre of the slide's way. [1]."""
        return self.axis.n

    def lever(self, arm: str) -> Number:  # noqa: ARG002
        """Return how far a pin goes a metre of the slide's way: as far. [1]."""
        return 1.0

    def pin(self, arm: str, turn: Number = 0.0) -> Vector:
        """Return the centre of a pin.

        Parameters
        ----------
        arm : str
            Name of the pin.
        turn : float, column or array over positions
            Way of the slide from rest, along its axis positive. [m]
        """
        return add(Shaft.pin(self, arm), self.axis.n, turn)


def slide_axis(
    guide: tuple[Vector, Vector], seen: Axis, key: tuple[str, ...] = ()
) -> Axis:
    """Return the axis of a slide: `n` along its guide, `u` toward the viewer of its pins.

    Parameters
    ----------
    guide : pair of tuple of 3 floats or columns
        Both ends of the guide. [m]
    seen : Axis
        Toward whose viewer the pins stand.
    key : tuple of str
        Of the slide's table, for the error.

    Raises
    ------
    LayoutError
        If both ends are one, or the pins stand along the guide.
    """
    way = add(guide[1], guide[0], -1)
    if not every(norm(way) >= LEAST_SPREAD):
        msg = "both ends of the guide are in one place"
        hint = "give the two ends between which the bar is held, on its centre line"
        raise LayoutError(msg, hint=hint, key=(*key, "guide"))
    n = unit(way)
    aside = add(seen.n, n, -dot(seen.n, n))
    if not every(norm(aside) >= ASLANT):
        msg = f"the pins of a slide stand square to its guide, which runs toward {seen.seen_from}"
        hint = "`axis` tells where its viewer stands, as of a shaft: at whom its pins point"
        raise LayoutError(msg, hint=hint, key=(*key, "axis"))
    u = unit(aside)
    return Axis(name="vector", u=u, v=cross(n, u), n=n, seen_from=seen.seen_from)


def _pin(pivot: Vector, axis: Axis, name: str, point: Vector) -> Arm:
    """Return the pin of a slide at a point."""
    away = add(point, pivot, -1)
    across, up = dot(away, axis.u), dot(away, axis.v)
    size = norm((across, up, 0.0))
    length = pick(size < ON_AXIS, 0.0, size)
    angle = pick(size < ON_AXIS, 0.0, plain(np.arctan2(up, across)))
    return Arm(name=name, length=length, angle=angle, offset=dot(away, axis.n))


def slide_of(
    name: str,
    *,
    guide: tuple[Vector, Vector],
    seen: Axis,
    points: Mapping[str, Vector],
    **others: Any,  # noqa: ANN401
) -> Slide:
    """Return a slide by what is measured of it.

    Parameters
    ----------
    name, guide, seen, points
        As of `Slide`.
    **others
        Its other fields: mass, bearing, friction, drag, fixed.

    Raises
    ------
    LayoutError
        If both ends of the guide are one, or its pins stand along it.
    """
    for end in (*guide, *points.values()):
        finite(end, "a place on a slide", ("slides", name))
    axis = slide_axis(guide, seen, ("slides", name))
    return Slide(
        name=name,
        pivot=guide[0],
        axis=axis,
        arms={pin: _pin(guide[0], axis, pin, at) for pin, at in points.items()},
        bearings=(0.0, norm(add(guide[1], guide[0], -1))),
        guide=guide,
        points=points,
        seen=seen,
        **others,
    )


def overhang(slide: Slide, arm: str, way: Number) -> Number:
    """Return how far a pin stands out of the guide, 0 where it is in it. [m].

    Parameters
    ----------
    slide : Slide
        The slide.
    arm : str
        Its pin.
    way : float, column or array over positions
        Of the slide from rest. [m]
    """
    assert slide.bearings is not None  # noqa: S101
    at = slide.arms[arm].offset + way
    low, high = slide.bearings
    return np.maximum(np.maximum(at - high, low - at), 0.0)
