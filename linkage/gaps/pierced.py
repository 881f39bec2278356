"""Closest points of a straight bar and a plane that has a hole in it.

Outside of the hole that is as of the whole plane. Within it the rim is what there is of
the plane: where a bar is nearest to that is searched, to a millionth of the hole's size.

Not here: planes without holes (`gaps.distance`), planes with several (`gaps.nearest`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect.line import dot
from linkage.gaps.distance import Bar, Closest, part_to_plane

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from linkage.connect.line import Vectors

    FloatArray = NDArray[np.float64]

#: Looks at the part of a bar within a hole, and steps that narrow the best of them.
LOOKS: Final = 17
STEPS: Final = 20
#: Golden section.
_GOLDEN: Final = (np.sqrt(5.0) - 1) / 2


def to_pierced(
    bar: Bar,
    foot: Vectors,
    normal: Vectors,
    middle: Vectors,
    radius: Any,  # noqa: ANN401
) -> Closest:
    """Return where a bar comes nearest to a plane that has one hole.

    Outside of the hole that is as of the whole plane; within it the rim is what there
    is of the plane.

    Parameters
    ----------
    bar, foot, normal
        As for `to_plane`.
    middle : ndarray, shape (3, ...)
        Of the hole, in the plane. [m]
    radius : float or ndarray
        Of the hole. [m]
    """
    low, high = _within(bar, normal, middle, radius)
    over = low < high
    before, after = ~over | (low > 0), ~over | (high < 1)
    found = [
        (part_to_plane(bar, foot, normal, 0.0, np.where(over, low, 1.0)), before),
        (part_to_plane(bar, foot, normal, np.where(over, high, 0.0), 1.0), after),
    ]
    if over.any():
        found += [
            (side, over) for side in _over_hole(bar, normal, middle, radius, low, high)
        ]
    share, there = found[0][0].share, found[0][0].there
    apart = np.where(before, found[0][0].apart(bar), np.inf)
    for other, holds in found[1:]:
        far = np.where(holds, other.apart(bar), np.inf)
        less = far < apart
        share = np.where(less, other.share, share)
        there = np.where(less, other.there, there)
        apart = np.where(less, far, apart)
    return Closest(share, there)


def _within(
    bar: Bar,
    normal: Vectors,
    middle: Vectors,
    radius: Any,  # noqa: ANN401
) -> tuple[FloatArray, FloatArray]:
    """Return from which share of a bar to which it is over a hole; low = high if never."""
    away = bar.start - middle
    away = away - normal * dot(away, normal)
    way = bar.way - normal * dot(bar.way, normal)
    a, b, c = dot(way, way), dot(away, way), dot(away, away) - radius**2
    a, b, c = np.broadcast_arrays(a, b, c)
    moves = a > 1e-18  # square to the plane it is over one place
    root = np.sqrt(np.maximum(b * b - a * c, 0.0))
    safe = np.where(moves, a, 1.0)
    hits = moves & (b * b - a * c > 0)
    low = np.where(hits, np.clip((-b - root) / safe, 0, 1), 0.0)
    high = np.where(hits, np.clip((-b + root) / safe, 0, 1), 0.0)
    over = ~moves & (c < 0)
    return np.where(over, 0.0, low), np.where(over, 1.0, high)


def _over_hole(*args: Any) -> list[Closest]:  # noqa: ANN401
    """Return what `_to_rim` returns, looked for only where a bar is over the hole."""
    bar, normal, middle, radius, low, high = args
    over = low < high
    shape = over.shape

    def few(values: Any) -> Any:  # noqa: ANN401
        values = np.asarray(values, dtype=float)
        if values.ndim > 0 and values.shape[0] == 3 and values.ndim == len(shape) + 1:
            return np.broadcast_to(values, (3, *shape))[:, over]
        return np.broadcast_to(values, shape)[over]

    narrow = Bar(few(bar.start), few(bar.way))
    sides = _to_rim(narrow, *map(few, (normal, middle, radius, low, high)))
    out = []
    for side in sides:
        share, there = np.zeros(shape), np.zeros((3, *shape))
        share[over], there[:, over] = side.share, side.there
        out.append(Closest(share, there))
    return out


def _to_rim(
    bar: Bar,
    normal: Vectors,
    middle: Vectors,
    radius: Any,  # noqa: ANN401
    low: FloatArray,
    high: FloatArray,
) -> tuple[Closest, Closest]:
    """Return where a part of a bar comes nearest to a rim, on either side of its middle.

    A bar through a hole is nearest to the rim before or after it is nearest to the
    hole's middle; each side is looked at closely and then narrowed.
    """
    away, way = bar.start - middle, bar.way
    flat, along = (v - normal * dot(v, normal) for v in (away, way))
    # Squared distance to the middle, and within the plane, as polynomials of the share.
    whole = dot(way, way), 2 * dot(away, way), dot(away, away) + radius**2
    inside = dot(along, along), 2 * dot(flat, along), dot(flat, flat)

    def apart(share: FloatArray) -> FloatArray:
        out = (inside[0] * share + inside[1]) * share + inside[2]
        all_ = (whole[0] * share + whole[1]) * share + whole[2]
        return np.asarray(all_ - 2 * radius * np.sqrt(np.maximum(out, 0.0)))

    moves = inside[0] > 1e-18
    nearest = -inside[1] / (2 * np.where(moves, inside[0], 1.0))
    parting = np.clip(np.where(moves, nearest, (low + high) / 2), low, high)
    sides = []
    for one, two in ((low, parting), (parting, high)):
        share = _least(apart, one, two)
        out = flat + share * along
        far = np.sqrt(dot(out, out))
        at_all = far > 1e-12  # in its very middle it is as near to all of the rim
        ways = np.where(at_all, out / np.where(at_all, far, 1.0), _aside(normal))
        sides.append(Closest(share, middle + radius * ways))
    return sides[0], sides[1]


def _least(
    apart: Callable[[FloatArray], FloatArray], low: FloatArray, high: FloatArray
) -> FloatArray:
    """Return where between two shares something is least: looked for, then narrowed."""
    shares = low + np.linspace(0, 1, LOOKS)[:, None] * (high - low)
    best = apart(shares).argmin(axis=0)
    a, b = (
        np.take_along_axis(shares, np.clip(best + k, 0, LOOKS - 1)[None], axis=0)[0]
        for k in (-1, 1)
    )
    for _ in range(STEPS):
        c, d = b - _GOLDEN * (b - a), a + _GOLDEN * (b - a)
        left = apart(c) < apart(d)
        a, b = np.where(left, a, c), np.where(left, d, b)
    share = np.asarray((a + b) / 2)
    for end in (low, high):
        share = np.where(apart(end) < apart(share), end, share)
    return share


def _aside(normal: Vectors) -> Vectors:
    """Return a unit vector in the plane that a normal is square to."""
    steep = np.abs(normal[2]) > 0.9
    zero, one = np.zeros_like(normal[2]), np.ones_like(normal[2])
    pick = np.stack([np.where(steep, one, zero), zero, np.where(steep, zero, one)])
    out = pick - normal * dot(pick, normal)
    return np.asarray(out / np.sqrt(dot(out, out)))
