"""Closest points of a straight bar and a point, a bar, a box or a plane.

A bar goes from one point to another; either may be the same. Vectors have their
component first, and all else broadcasts. Every function returns where on the bar, as a
share of its length, and which point of the other it comes nearest to; the distance
between the two is exact to rounding.

Not here: holes in a plane (`gaps.pierced`), what bars a linkage is made of
(`gaps.parts`), thicknesses (`gaps.nearest`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.connect.line import dot
from linkage.records import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.connect.line import Vectors

    FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Bar:
    """A straight line between two points.

    Parameters
    ----------
    start, way : ndarray, shape (3, ...)
        Its beginning, and from there to its end. [m]
    """

    start: Vectors
    way: Vectors

    def at(self, share: Any) -> Vectors:  # noqa: ANN401
        """Return the point at a share of its length. [m]."""
        return self.start + share * self.way

    def only(self, which: Any) -> Bar:  # noqa: ANN401
        """Return some of many bars, by an index of their arrays."""
        return Bar(self.start[which], self.way[which])


@dataclass(frozen=True, slots=True, eq=False)
class Closest:
    """Where a bar comes nearest to something.

    Parameters
    ----------
    share : ndarray
        Of the bar's length, from 0 to 1.
    there : ndarray, shape (3, ...)
        The nearest point of the other. [m]
    """

    share: Any
    there: Vectors

    def apart(self, bar: Bar) -> FloatArray:
        """Return how far both are apart. [m]."""
        away = bar.at(self.share) - self.there
        return np.asarray(np.sqrt(dot(away, away)))


def _over(part: Any, whole: Any) -> Any:  # noqa: ANN401
    """Return a share between 0 and 1; 0 of what has no length."""
    safe = np.where(whole > 0, whole, 1.0)
    return np.clip(np.where(whole > 0, part / safe, 0.0), 0.0, 1.0)


def to_point(bar: Bar, point: Vectors) -> Closest:
    """Return where a bar comes nearest to a point.

    Parameters
    ----------
    bar : Bar
        The bar.
    point : ndarray, shape (3, ...)
        The point. [m]
    """
    way = bar.way
    return Closest(_over(dot(point - bar.start, way), dot(way, way)), point)


def to_bar(bar: Bar, other: Bar) -> Closest:
    """Return where a bar comes nearest to another.

    The nearest pair is one of five: inside of both, or at an end of either. All are
    tried, so that bars which are nearly parallel lose no digits.

    Parameters
    ----------
    bar, other : Bar
        Both.
    """
    d, e, r = bar.way, other.way, bar.start - other.start
    dd, ee, de, dr, er = dot(d, d), dot(e, e), dot(d, e), dot(d, r), dot(e, r)
    det = dd * ee - de * de
    inside = _over(de * er - ee * dr, det), _over(dd * er - de * dr, det)
    pairs = [
        inside,
        (0.0, _over(er, ee)),
        (1.0, _over(er + de, ee)),
        (_over(-dr, dd), 0.0),
        (_over(de - dr, dd), 1.0),
    ]
    share = onto = best = None
    for s, t in pairs:
        # |r + s d - t e|² without a vector of it.
        away = r + s * d - t * e
        apart = dot(away, away)
        if best is None:
            share, onto, best = s, t, apart
        else:
            less = apart < best
            share, onto = np.where(less, s, share), np.where(less, t, onto)
            best = np.where(less, apart, best)
    return Closest(share, other.at(onto))


def to_box(
    bar: Bar, middle: Vectors, axes: tuple[Vectors, ...], half: tuple[Any, ...]
) -> Closest:
    """Return where a bar comes nearest to a box; its own point where it is inside.

    The squared distance along the bar is convex and made of parabolas that meet where
    the bar passes the planes of the box's faces; the one that holds the least is found.

    Parameters
    ----------
    bar : Bar
        The bar.
    middle : ndarray, shape (3, ...)
        Of the box. [m]
    axes : tuple of 3 ndarray, each shape (3, ...)
        Unit vectors along its edges.
    half : tuple of 3 floats or ndarrays
        Half its edges. [m]
    """
    away = bar.start - middle
    x = np.stack(np.broadcast_arrays(*(dot(away, a) for a in axes)))
    v = np.stack(np.broadcast_arrays(*(dot(bar.way, a) for a in axes)))
    x, v = np.broadcast_arrays(x, v)
    h = np.stack([np.broadcast_to(size, x.shape[1:]) for size in half])
    safe = np.where(v == 0, 1.0, v)
    turns = [np.where(v == 0, 0.0, np.clip((s * h - x) / safe, 0, 1)) for s in (-1, 1)]
    ends = np.zeros_like(x[:1]), np.ones_like(x[:1])
    shares = np.sort(np.concatenate([*ends, *turns]), axis=0)

    def slope(share: FloatArray) -> FloatArray:
        at = x + share * v
        out = np.sign(at) * np.maximum(np.abs(at) - h, 0.0)
        return np.asarray((out * v).sum(axis=0))

    slopes = np.stack([slope(share) for share in shares])
    # The last place at which it still falls, or does not rise from the beginning on.
    last = np.maximum((slopes < 0).sum(axis=0) - 1, 0)
    next_ = np.minimum(last + 1, len(shares) - 1)

    def pick(values: FloatArray, which: Any) -> FloatArray:  # noqa: ANN401
        return np.take_along_axis(values, which[None], axis=0)[0]

    s0, s1 = pick(shares, last), pick(shares, next_)
    m0, m1 = pick(slopes, last), pick(slopes, next_)
    falls = (m0 < 0) & (m1 > m0)
    step = np.where(falls, np.clip(-m0 / np.where(falls, m1 - m0, 1.0), 0, 1), 0.0)
    share = s0 + step * (s1 - s0)
    at = np.clip(x + share * v, -h, h)
    there = middle + sum(at[i] * axes[i] for i in range(3))
    return Closest(share, there)


def to_plane(bar: Bar, foot: Vectors, normal: Vectors) -> Closest:
    """Return where a bar comes nearest to a plane: where it pierces it, or at an end.

    Parameters
    ----------
    bar : Bar
        The bar.
    foot : ndarray, shape (3, ...)
        A point in the plane. [m]
    normal : ndarray, shape (3, ...)
        Unit vector square to it.
    """
    return part_to_plane(bar, foot, normal, 0.0, 1.0)


def part_to_plane(
    bar: Bar,
    foot: Vectors,
    normal: Vectors,
    low: Any,  # noqa: ANN401
    high: Any,  # noqa: ANN401
) -> Closest:
    """Return the same of a part of a bar, between two shares of it."""
    height, rise = dot(bar.start - foot, normal), dot(bar.way, normal)
    one, two = height + low * rise, height + high * rise
    ends = np.where(np.abs(one) <= np.abs(two), low, high)
    span = np.where(one == two, 1.0, one - two)
    through = low + np.clip(one / span, 0, 1) * (high - low)
    share = np.where(one * two < 0, through, ends)
    there = bar.at(share) - normal * (height + share * rise)
    return Closest(share, there)
