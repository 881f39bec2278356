"""Obstacles on a view: their outlines, and where a part comes too near to one.

A pipe, a sphere and a box are drawn by their outline, a plane as a line where it is seen
edge on, its holes as gaps in it, and by its holes alone elsewhere. What moves has a bold
outline, an exhaust a double one; all are grey, and none covers the linkage.

Not here: the linkage (`pose`, `fixed`), how near it comes (`gaps`).
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing import style
from linkage.drawing.canvas import points_per_metre
from linkage.drawing.drafts import Draft, around
from linkage.drawing.labels import Tag
from linkage.gaps.short import Near, nearest_points, short_gaps
from linkage.quantities import say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from numpy.typing import NDArray

    from linkage.drawing.pose import Pose
    from linkage.drawing.views import View
    from linkage.model import Layout, Obstacle
    from linkage.model.refs import Ref
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Widths of an outline by the kind of obstacle, and of the white within that of an
#: exhaust. [pt]
WIDTHS: Final = {"fixed": 1.1, "moving": 2.4, "exhaust": 3.2}
CORE: Final = 1.4
#: Sine of the angle up to which a plane is seen edge on.
EDGE: Final = 0.02
#: Size of a mark where a part comes too near. [pt]
MARK: Final = 6.5
#: Points of a whole round.
ROUND: Final = 48
#: Colour of what is too near.
RED: Final = "#A02000"


def draw_obstacles(
    ax: Axes, motion: Motion, view: View, head: float, *, marks: bool = True
) -> dict[str, Line2D]:
    """Draw what is near a layout, on a view.

    Parameters
    ----------
    ax : Axes
        With its limits set: what lies beyond them is left out.
    motion : Motion
        Of the layout, through its travel.
    view : View
        On which it is seen.
    head : float
        At the top, for what is noted of the view. [pt]
    marks : bool
        Whether it is marked where a part comes too near.

    Returns
    -------
    dict
        ``obstacle NAME`` and a number, ``within NAME`` of the white in an exhaust's
        outline; ``near PART OTHER`` of what comes too near.
    """
    layout = motion.assembly.layout
    out: dict[str, Line2D] = {}
    for name, obstacle in layout.obstacles.items():
        for i, line in enumerate(_seen(ax, obstacle, view, head)):
            looks: dict[str, dict[str, Any]] = {
                "obstacle": {
                    "color": style.GREY,
                    "linewidth": WIDTHS[obstacle.kind],
                    "zorder": 1.5,
                }
            }
            if obstacle.kind == "exhaust":
                looks["within"] = {"color": "white", "linewidth": CORE, "zorder": 1.6}
            for k, look in looks.items():
                (out[f"{k} {name} {i}"],) = ax.plot(
                    *line.T, gid=f"{k} {name}", scalex=False, scaley=False, **look
                )
    for near in short_gaps(motion) if marks else ():
        points = view.project(np.array([near.mark.here, near.mark.there]))
        (out[f"near {near.part} {near.other}"],) = ax.plot(
            *points.T,
            color=RED,
            linewidth=1.6,
            marker="x",
            markersize=MARK,
            markerfacecolor=RED,
            markeredgewidth=1.6,
            zorder=7,
            gid=f"near {near.part} {near.other}",
            scalex=False,
            scaley=False,
        )
    return out


def shown_points(motion: Motion) -> list[FloatArray]:
    """Return points that belong on every view, each shape (1, 3). [m].

    Those of obstacles beside the linkage to which it comes nearest.
    """
    if not motion.assembly.layout.obstacles:
        return []
    return [point[None] for _, point in nearest_points(motion)]


def near_drafts(pose: Pose) -> list[Draft]:
    """Return the gaps that are too short on a view."""
    layout = pose.track.motion.assembly.layout
    square, point = _square(pose), 1 / points_per_metre(pose.ax)
    out = []
    for near in short_gaps(pose.track.motion):
        spots = pose.view.project(np.array([near.mark.here, near.mark.there]))
        words = near_words(layout, near)
        middle = spots.mean(axis=0)
        on = (near.part, near.other)
        out.append(
            Draft(
                name=words,
                whole=words,
                tail=(),
                spots=spots,
                tips=np.vstack([middle, around(middle, MARK / 2 * point)]),
                owners=(f"near {near.part} {near.other}", *map(_drawn, on)),
                style={"fontsize": 7.5, "color": RED, "fontweight": "bold"},
                optional=not square,
            )
        )
    return out


def obstacle_drafts(pose: Pose) -> list[Draft]:
    """Return the names of obstacles on a view."""
    square = _square(pose)
    out = []
    for name in pose.track.motion.assembly.layout.obstacles:
        lines = [a for a in pose.ax.lines if a.get_gid() == f"obstacle {name}"]
        if not lines:
            continue
        tips = np.vstack([np.asarray(line.get_xydata(), float) for line in lines])
        tips = tips[np.linspace(0, len(tips) - 1, min(len(tips), 24)).astype(int)]
        out.append(
            Draft(
                name=name,
                whole=f"obstacle {name}",
                tail=(),
                spots=tips[:1],
                tips=tips,
                owners=(f"obstacle {name}",),
                style={"fontsize": 7, "color": "0.3", "fontstyle": "italic"},
                optional=not square,
            )
        )
    return out


def obstacle_tags(pose: Pose) -> list[Tag]:
    """Return the names of obstacles, and the gaps that are too short, each for itself."""
    drafts = near_drafts(pose) + obstacle_drafts(pose)
    return [
        Tag(
            text=draft.name,
            at=(float(draft.tips[0, 0]), float(draft.tips[0, 1])),
            also=tuple((float(x), float(y)) for x, y in draft.tips[1:]),
            style=draft.style,
        )
        for draft in drafts
    ]


def _drawn(part: Ref) -> str:
    """Return what is drawn of a part, as `inked.Ink` names it."""
    return f"{part.kind} {'.'.join(filter(None, (part.name, part.part)))}"


def _square(pose: Pose) -> bool:
    """Tell whether a view sees any shaft square on; else another one says it too."""
    shafts = pose.track.motion.assembly.layout.shafts
    return any(map(pose.view.facing, shafts.values()))


def near_words(layout: Layout, near: Near) -> str:
    """Return what comes too near to what in a few words."""
    one, two = (_name(layout, ref) for ref in (near.part, near.other))
    if not near.mark.gap > 0:
        return f"{one} touches {two}"
    return f"{one} {say(near.mark.gap, 'length')} from {two}"


def _name(layout: Layout, ref: Ref) -> str:
    if ref.kind == "rod":
        return layout.rods[ref.name].called.replace("`", "")
    return str(ref).removeprefix("obstacle ")


def _seen(
    ax: Axes, obstacle: Obstacle, view: View, head: float
) -> Iterator[FloatArray]:
    """Yield the lines of an obstacle that fall on a view, each shape (n, 2). [m]."""
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
