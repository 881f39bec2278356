"""Which arc of a cam its roller faces, at any turns of both.

Every arc that bulges outwards is faced from all places between the normals at which it
begins and ends, and those of a whole profile share out all that lies outside it.

Not here: how cam and roller move (`connect.cam`), the profile (`model.profile`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple, Self

import numpy as np

from linkage.connect.picked import ahead, beside, picked, side_by_side, some_of
from linkage.model.axes import add, dot
from linkage.model.columns import is_column, plain, some_rows
from linkage.model.profile import closes
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect.connector import Pair
    from linkage.model import Arm, Cam, Shaft, Vector
    from linkage.model.columns import Number, Positions


class Seen(NamedTuple):
    """How the roller's pin is seen from the cam, as its turn goes. [m].

    From the cam's shaft to the roller's, and then its arm at rest and the way square to
    that, ahead: each along the cam's arm at rest and square to it, anticlockwise.
    """

    away: tuple[Number, Number]
    along: tuple[Number, Number]
    ahead: tuple[Number, Number]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Facing:
    """The profile of a cam and where its roller is; arcs stand along the last axis.

    Parameters
    ----------
    x, y : ndarray
        Centres of the arcs along the cam's arm, and square to it in the sense of the
        profile, shape (arcs,) or (rows, arcs). [m]
    length : ndarray
        From each to the centre of a roller that touches it. [m]
    middle, half : ndarray, shape (arcs,)
        Normal in the middle of each arc, and half the angle that it goes round. [rad]
    seen : Seen
        Where the roller is.
    goes : {1, -1}
        Sense in which the profile goes round.
    whole : bool
        Whether it comes round to its beginning.
    """

    x: Any
    y: Any
    length: Any
    middle: Any
    half: Any
    seen: Seen
    goes: int
    whole: bool

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array."""
        seen = Seen(*((some_rows(a, rows), some_rows(b, rows)) for a, b in self.seen))
        return type(self)(
            x=some_of(self.x, rows),
            y=some_of(self.y, rows),
            length=some_of(self.length, rows),
            middle=self.middle,
            half=self.half,
            seen=seen,
            goes=self.goes,
            whole=self.whole,
        )

    def roller(
        self, one: Pair, two: Pair, *, wide: bool = False
    ) -> tuple[Positions, Positions]:
        """Return the roller's centre as arcs have theirs, at any turns. [m].

        Turns that are ``wide`` have an axis more, the last, for arcs.
        """

        def goes_with(number: Number) -> Number:
            return number[..., None] if wide and is_column(number) else number

        x, y = (
            goes_with(a) + goes_with(b) * two[0] + goes_with(c) * two[1]
            for a, b, c in zip(*self.seen, strict=True)
        )
        return one[0] * x + one[1] * y, self.goes * (one[0] * y - one[1] * x)

    def normals(self, one: Pair, two: Pair) -> Any:  # noqa: ANN401
        """Return how far the normal lies from the middle of each arc, side by side. [rad].

        Of turns with an axis more, the last, as of `picked.ahead`: a driven one each.
        """
        x, y = self.roller(one, two, wide=True)
        off = np.arctan2(y - beside(self.y), x - beside(self.x)) - self.middle
        return off - 2 * np.pi * np.round(off / (2 * np.pi))

    def nearest(self, normals: Any) -> Any:  # noqa: ANN401
        """Return the arc that is faced, or the nearest, by `normals` of all."""
        beyond = np.abs(normals) - self.half
        beyond = np.maximum(np.where(np.isnan(beyond), np.inf, beyond), 0.0)
        return np.argmin(beyond, axis=-1)

    def arc(self, one: Pair, two: Pair) -> Any:  # noqa: ANN401
        """Return the arc that the roller faces at any turns, or the nearest."""
        return self.nearest(self.normals(ahead(one), ahead(two)))

    def clear(self, one: Pair, two: Pair) -> Positions:
        """Return how far the roller is clear of the arc that it faces. [m]."""
        arc = self.arc(one, two)
        x, y = self.roller(one, two)
        ax, ay, length = (picked(c, arc) for c in (self.x, self.y, self.length))
        return np.hypot(x - ax, y - ay) - length

    def left(self, normals: Any, arc: Any) -> Positions:  # noqa: ANN401
        """Return the turn of the normal that is left to either end of the profile. [rad].

        Less than 0 past it. A radian or more counts as one, so that it goes with a reach.
        """
        at = np.asarray(arc)[..., None]
        normal = self.middle[arc] + np.take_along_axis(normals, at, axis=-1)[..., 0]
        first, last = self.middle[0] - self.half[0], self.middle[-1] + self.half[-1]
        left = np.minimum(normal - first, last - normal)
        if self.whole:
            left = np.where(np.isnan(left), left, 1.0)
        return np.minimum(left, 1.0)[()]


def facing(
    cam: Cam, shafts: tuple[Shaft, Shaft], arms: tuple[Arm, Arm], away: Vector
) -> Facing:
    """Return a cam's profile and where its roller is.

    Parameters
    ----------
    cam : Cam
        The cam.
    shafts, arms : pair
        Of the cam and of its roller.
    away : tuple of 3 floats or columns
        From the centre of the one arm to that of the other. [m]
    """
    profile, scale = cam.profile, arms[0].length / cam.base
    middle = np.array([(arc.begins + arc.ends) / 2 for arc in profile])
    half = np.array([(arc.ends - arc.begins) / 2 for arc in profile])
    (e, f), (along, ahead) = (
        _ways(shaft, arm.angle) for shaft, arm in zip(shafts, arms, strict=True)
    )

    def seen(way: Vector, size: Number) -> tuple[Number, Number]:
        return plain(size * dot(way, e)), plain(size * dot(way, f))

    reach = arms[1].length
    return Facing(
        x=side_by_side([scale * arc.x for arc in profile]),
        y=side_by_side([scale * arc.y for arc in profile]),
        length=side_by_side([scale * arc.radius + cam.roller for arc in profile]),
        middle=middle,
        half=half,
        seen=Seen(seen(away, 1.0), seen(along, reach), seen(ahead, reach)),
        goes=cam.goes,
        whole=closes(profile),
    )


def _ways(shaft: Shaft, angle: Number) -> tuple[Vector, Vector]:
    """Return an arm's direction at rest, and the one square to it, ahead in its turn."""
    cosine, sine = np.cos(angle), np.sin(angle)
    none = (0.0, 0.0, 0.0)
    u, v = shaft.axis.u, shaft.axis.v
    along = add(add(none, u, cosine), v, sine)
    return along, add(add(none, v, cosine), u, -sine)
