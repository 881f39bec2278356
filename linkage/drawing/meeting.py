"""Which boxes and lines of a picture meet, for many of them at once.

Boxes are left, bottom, right and top; those that only touch do not meet.

Not here: which place is chosen (`labels`, `settling`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.int64]
    BoolArray = NDArray[np.bool_]


def over(boxes: FloatArray, others: FloatArray) -> BoolArray:
    """Return which boxes lie over which others, shape (n, m)."""
    left, low, right, high = boxes.T[..., None]
    x0, y0, x1, y1 = others.T
    return np.asarray(~((right <= x0) | (left >= x1) | (high <= y0) | (low >= y1)))


def through(start: FloatArray, end: FloatArray, boxes: FloatArray) -> BoolArray:
    """Return which lines run through which boxes, shape (lines, boxes)."""
    enter, leave = np.zeros((2, len(start), len(boxes)))
    leave += 1
    for k in (0, 1):
        p, d = start[:, k, None], (end - start)[:, k, None]
        d = np.where(np.abs(d) < 1e-9, 1e-9, d)  # level or upright
        near, far = (boxes[:, k] - p) / d, (boxes[:, k + 2] - p) / d
        enter = np.maximum(enter, np.minimum(near, far))
        leave = np.minimum(leave, np.maximum(near, far))
    return np.asarray(enter < leave)


def crossing(a: FloatArray, b: FloatArray, c: FloatArray, d: FloatArray) -> BoolArray:
    """Return which lines from a to b cross which from c to d, shape (n, m)."""

    def side(p: FloatArray, q: FloatArray, r: FloatArray) -> FloatArray:
        u, v = q - p, r - p
        return np.asarray(u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0])

    a, b, c, d = a[:, None], b[:, None], c[None], d[None]
    return np.asarray(
        (side(a, b, c) * side(a, b, d) <= 0) & (side(c, d, a) * side(c, d, b) <= 0)
    )


def along(corners: FloatArray, many: IntArray) -> FloatArray:
    """Return points evenly along a line, from each corner on, without the last corner.

    Parameters
    ----------
    corners : ndarray, shape (n, 2)
        Of the line.
    many : ndarray of int, shape (n - 1,)
        How many points from each corner to the next, at least one.
    """
    number = np.arange(many.sum()) - np.repeat(np.cumsum(many) - many, many)
    share = (number / np.repeat(many, many))[:, None]
    step = np.repeat(np.diff(corners, axis=0), many, axis=0)
    return np.asarray(np.repeat(corners[:-1], many, axis=0) + share * step)


def summed(cells: NDArray[Any]) -> IntArray:
    """Return how many cells are set below and left of each corner."""
    total = np.zeros((cells.shape[0] + 1, cells.shape[1] + 1), np.int64)
    total[1:, 1:] = cells.cumsum(axis=0).cumsum(axis=1)
    return total


def counted(low: IntArray, high: IntArray, total: IntArray) -> IntArray:
    """Return how many cells are set from one to another, both with, shape (n,).

    Parameters
    ----------
    low, high : ndarray of int, shape (n, 2)
        The cells at two corners of each box.
    total : ndarray of int
        From `summed`.
    """
    x0, y0 = np.clip(low, 0, np.array(total.shape) - 1).T
    x1, y1 = np.clip(high + 1, 0, np.array(total.shape) - 1).T
    return np.asarray(total[x1, y1] - total[x0, y1] - total[x1, y0] + total[x0, y0])
