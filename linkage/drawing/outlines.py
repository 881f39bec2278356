"""The lines of an obstacle on a view: a pipe, a sphere, a box or a plane with its holes.

Not here: how they are drawn (`obstacles`).
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.canvas import points_per_metre

if TYPE_CHECKING:
    from collections.abc import Iterator

    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    from linkage.drawing.views import View
    from linkage.model import Obstacle

    FloatArray = NDArray[np.float64]

#: Sine of the angle up to which a plane is seen edge on.
EDGE: Final = 0.02
#: Points of a whole round.
ROUND: Final = 48


def seen_lines(
    ax: Axes, obstacle: Obstacle, view: View, head: float
) -> Iterator[FloatArray]:
    """Yield the lines of an obstacle that fall on a view, each shape (n, 2). [m].

    Parameters
    ----------
    ax : Axes
        With its limits set.
    obstacle : Obstacle
        Of one layout.
    view : View
        On which it is seen.
    head : float
        At the top, for what is noted of the view. [pt]
    """
    low, high = ax.get_ylim()
    field = (*ax.get_xlim(), low, high - head / points_per_metre(ax))
    for line in outlines(obstacle, view, field):
        yield from _within(line, field)


def outlines(
    obstacle: Obstacle, view: View, field: tuple[float, float, float, float]
) -> list[FloatArray]:
    """Return the outlines of an obstacle on a view, each shape (n, 2). [m].

    Parameters
    ----------
    obstacle : Obstacle
        Of one layout.
    view : View
        On which it is seen.
    field : tuple of 4 floats
        Left, right, low and high, across which a plane goes. [m]
    """
    points = view.project(np.array(obstacle.points, float))
    radius = float(obstacle.diameter) / 2
    if obstacle.shape == "sphere":
        return [_circle(points[0], radius)]
    if obstacle.shape == "pipe":
        legs = pairwise(points)
        return [
            _hull(np.vstack([_circle(a, radius), _circle(b, radius)])) for a, b in legs
        ]
    if obstacle.shape == "box":
        return [_hull(view.project(_corners(obstacle)))]
    return _plane(obstacle, view, field)


def _circle(middle: FloatArray, radius: float) -> FloatArray:
    turns = np.linspace(0, 2 * np.pi, ROUND + 1)
    return np.asarray(middle + radius * np.column_stack([np.cos(turns), np.sin(turns)]))


def _corners(obstacle: Obstacle) -> FloatArray:
    axes, half = np.array(obstacle.axes, float), np.array(obstacle.half, float)
    signs = np.array(np.meshgrid(*[(-1.0, 1.0)] * 3)).reshape(3, -1).T
    return np.asarray(np.array(obstacle.middle, float) + signs * half @ axes)


def _hull(points: FloatArray) -> FloatArray:
    """Return the closed outline round points: Andrew's monotone chain."""
    order = points[np.lexsort((points[:, 1], points[:, 0]))]
    sides = []
    for some in (order, order[::-1]):
        chain: list[FloatArray] = []
        for point in some:
            while len(chain) > 1 and _turns(chain[-2], chain[-1], point) <= 0:
                chain.pop()
            chain.append(point)
        sides += chain[:-1]
    return np.array([*sides, sides[0]]) if sides else points


def _turns(one: FloatArray, two: FloatArray, three: FloatArray) -> float:
    a, b = two - one, three - one
    return float(a[0] * b[1] - a[1] * b[0])


def _plane(
    obstacle: Obstacle, view: View, field: tuple[float, float, float, float]
) -> list[FloatArray]:
    """Return a plane's edge with gaps at its holes, or its holes where it is not edge on."""
    normal = np.array(obstacle.axis.n, float)
    sight = np.array(view.axis.n, float)
    foot = np.array(obstacle.points[0], float)
    middles = [np.array(m, float) for m, _ in obstacle.holes]
    middles = [m - normal * ((m - foot) @ normal) for m in middles]
    if abs(float(normal @ sight)) > EDGE:
        turns = np.linspace(0, 2 * np.pi, ROUND + 1)
        u, v = (np.array(way, float) for way in (obstacle.axis.u, obstacle.axis.v))
        ring = np.outer(np.cos(turns), u) + np.outer(np.sin(turns), v)
        return [
            view.project(middle + float(wide) / 2 * ring)
            for middle, (_, wide) in zip(middles, obstacle.holes, strict=True)
        ]
    along = view.project(np.cross(normal, sight))
    along = along / np.hypot(*along)
    at = view.project(foot)
    far = float(np.hypot(field[1] - field[0], field[3] - field[2]))
    centre = np.array([(field[0] + field[1]) / 2, (field[2] + field[3]) / 2])
    mid = float((centre - at) @ along)
    ends = [mid - far, mid + far]
    cuts = []
    for middle, (_, wide) in zip(middles, obstacle.holes, strict=True):
        place = float((view.project(middle) - at) @ along)
        cuts.append((place - float(wide) / 2, place + float(wide) / 2))
    stops = [ends[0], *(end for cut in sorted(cuts) for end in cut), ends[1]]
    pairs = zip(stops[::2], stops[1::2], strict=True)
    return [np.array([at + a * along, at + b * along]) for a, b in pairs if b > a]


def _within(
    line: FloatArray, field: tuple[float, float, float, float]
) -> Iterator[FloatArray]:
    """Yield the pieces of a line that lie in a field (Liang and Barsky, from memory)."""
    low, high = np.array(field[::2]), np.array(field[1::2])
    piece: list[FloatArray] = []
    for a, b in pairwise(line):
        way = b - a
        moves = way != 0
        outside = bool((~moves & ((a < low) | (a > high))).any())
        one, two = ((edge - a)[moves] / way[moves] for edge in (low, high))
        begin = float(np.minimum(one, two).max(initial=0.0))
        end = float(np.maximum(one, two).min(initial=1.0))
        if outside or begin >= end:
            if len(piece) > 1:
                yield np.array(piece)
            piece = []
            continue
        if not piece or begin > 0:
            if len(piece) > 1:
                yield np.array(piece)
            piece = [a + begin * way]
        piece.append(a + end * way)
        if end < 1:
            yield np.array(piece)
            piece = []
    if len(piece) > 1:
        yield np.array(piece)
