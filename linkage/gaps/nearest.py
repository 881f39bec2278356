"""How near every part comes to every obstacle.

Gaps are between surfaces: the closest distance of the middles less both thicknesses, so
that a gap of less than nothing says that one is in the other.

Not here: closest points (`gaps.distance`), what a part is (`gaps.parts`), parts among
themselves (`gaps.among`), what may be so near (`rules.gaps`).
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect.line import as_vector, dot
from linkage.gaps.distance import (
    Bar,
    Closest,
    to_bar,
    to_box,
    to_plane,
    to_point,
)
from linkage.gaps.pierced import to_pierced
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.gaps.parts import Part
    from linkage.model import Obstacle
    from linkage.model.columns import Positions

    FloatArray = NDArray[np.float64]


#: Numbers looked at in one go, so that thousands of rows stay small. [1]
AT_ONCE: Final = 200_000


@dataclass(frozen=True, slots=True, eq=False)
class Stacked:
    """The bars of many parts as one array, so that each question is asked once.

    Parameters
    ----------
    bars : Bar
        Shape (3, bars, n) or (3, bars, rows, n). [m]
    radius : ndarray
        Of each bar, shape (bars, 1) or (bars, rows, 1). [m]
    first : ndarray of int, shape (parts,)
        The first bar of each part.
    """

    bars: Bar
    radius: FloatArray
    first: NDArray[np.intp]

    def by_part(self, gap: FloatArray) -> FloatArray:
        """Return the least of each part's bars, shape (parts, ...)."""
        return np.minimum.reduceat(gap, self.first, axis=0)


def stacked(parts: Sequence[Part]) -> Stacked:
    """Return the bars of parts as one array.

    Parameters
    ----------
    parts : sequence of Part
        Of one motion; at least one.
    """
    shape = np.broadcast_shapes(*(p.bars.start.shape[2:] for p in parts))
    counts = [p.bars.start.shape[1] for p in parts]

    def joined(which: str) -> FloatArray:
        return np.concatenate(
            [
                np.broadcast_to(getattr(p.bars, which), (3, k, *shape))
                for p, k in zip(parts, counts, strict=True)
            ],
            axis=1,
        )

    wide = (*shape[:-1], 1)
    radius = np.concatenate(
        [
            np.broadcast_to(np.asarray(p.radius, dtype=float), (k, *wide))
            for p, k in zip(parts, counts, strict=True)
        ]
    )
    first = np.concatenate([[0], np.cumsum(counts[:-1])]).astype(np.intp)
    return Stacked(Bar(joined("start"), joined("way")), radius, first)


def closest(bar: Bar, obstacle: Obstacle) -> tuple[Closest, Any]:
    """Return where bars come nearest to an obstacle's middle, and half its thickness.

    Parameters
    ----------
    bar : Bar
        Shape (3, bars, n) or (3, bars, rows, n). [m]
    obstacle : Obstacle
        Of one layout, or of many as rows.
    """
    ndim = bar.start.ndim - 1
    points = [as_vector(point, ndim - 1)[:, None] for point in obstacle.points]
    if obstacle.shape == "sphere":
        return to_point(bar, points[0]), obstacle.diameter / 2
    if obstacle.shape == "pipe":
        found = (to_bar(bar, Bar(a, b - a)) for a, b in pairwise(points))
        return _nearer(bar, found), obstacle.diameter / 2
    axes = tuple(as_vector(way, ndim - 1)[:, None] for way in obstacle.axes)
    if obstacle.shape == "box":
        middle = as_vector(obstacle.middle, ndim - 1)[:, None]
        return to_box(bar, middle, axes, obstacle.half), 0.0
    normal, foot = axes[2], points[0]
    if not obstacle.holes:
        return to_plane(bar, foot, normal), 0.0
    best = None
    for point, diameter in obstacle.holes:
        middle = as_vector(point, ndim - 1)[:, None]
        middle = middle - normal * dot(middle - foot, normal)
        here = to_pierced(bar, foot, normal, middle, diameter / 2)
        # A bar goes through one of the holes: that counts which leaves it more.
        best = here if best is None else _chosen(_more(bar, here, best), here, best)
    assert best is not None  # noqa: S101 - there is one hole at least
    return best, 0.0


def _nearer(bar: Bar, found: Iterator[Closest]) -> Closest:
    best = next(found)
    for other in found:
        best = _chosen(_more(bar, best, other), other, best)
    return best


def _more(bar: Bar, one: Closest, two: Closest) -> Any:  # noqa: ANN401
    """Tell where one leaves more than the other."""
    return one.apart(bar) > two.apart(bar)


def _chosen(truth: Any, yes: Closest, no: Closest) -> Closest:  # noqa: ANN401
    return Closest(
        np.where(truth, yes.share, no.share), np.where(truth, yes.there, no.there)
    )


def gaps_to(parts: Stacked, obstacle: Obstacle) -> Positions:
    """Return the gap between every part and an obstacle at every position. [m].

    Parameters
    ----------
    parts : Stacked
        From `stacked`.
    obstacle : Obstacle
        Where the engine holds it, if it does.

    Returns
    -------
    ndarray, shape (parts, n) or (parts, rows, n)
        nan where a part is nowhere.
    """
    many, first = parts.bars.start[0].size, [*parts.first, parts.bars.start.shape[1]]
    if many <= AT_ONCE:
        return parts.by_part(_gaps(parts.bars, parts.radius, obstacle))
    out = []
    for low, high in pairwise(
        first
    ):  # one part after the other, so that it stays small
        some = parts.bars.only(np.s_[:, low:high])
        out.append(_gaps(some, parts.radius[low:high], obstacle).min(axis=0))
    return np.stack(out)


def _gaps(bar: Bar, radius: FloatArray, obstacle: Obstacle) -> FloatArray:
    found, thick = closest(bar, obstacle)
    return np.asarray(found.apart(bar) - radius - thick)


@dataclass(frozen=True, slots=True, eq=False)
class Mark:
    """The two points at which a part comes nearest to something, on their surfaces.

    Parameters
    ----------
    here, there : ndarray, shape (3,)
        On the part, and on the other. [m]
    gap : float
        Between them; less than nothing where one is in the other. [m]
    """

    here: FloatArray
    there: FloatArray
    gap: float


def on_surfaces(here: FloatArray, there: FloatArray, one: float, two: float) -> Mark:
    """Return the nearest points of two surfaces from those of their middles.

    Parameters
    ----------
    here, there : ndarray, shape (3,)
        The nearest points of both middles. [m]
    one, two : float
        Half the thickness of each. [m]
    """
    away = there - here
    far = float(np.sqrt(dot(away, away)))
    gap = far - one - two
    if not gap > 0:  # one is in the other: there both middles are marked
        return Mark(here, there, gap)
    way = away / far
    return Mark(here + way * one, there - way * two, gap)


def mark_of(part: Part, obstacle: Obstacle, index: int) -> Mark:
    """Return where a part of one layout comes nearest to an obstacle at a position.

    Parameters
    ----------
    part : Part
        Of one layout.
    obstacle : Obstacle
        What it comes near to.
    index : int
        The position.
    """
    i = min(index, part.bars.start.shape[-1] - 1)
    bar = part.bars.only(np.s_[..., i : i + 1])
    found, thick = closest(bar, obstacle)
    k = int((found.apart(bar) - part.radius)[:, 0].argmin())
    here = bar.at(found.share)[:, k, 0]
    there = np.broadcast_to(found.there, bar.start.shape)[:, k, 0]
    return on_surfaces(here, there, float(np.ravel(part.radius)[0]), float(thick))
