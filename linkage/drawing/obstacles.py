"""Obstacles on a view: their outlines, and where a part comes too near to one, or nearest.

A pipe, a sphere and a box are drawn by their outline, a plane as a line where it is seen
edge on, its holes as gaps in it, and by its holes alone elsewhere. What moves has a bold
outline, an exhaust a double one; all are grey, and none covers the linkage.

Not here: the linkage (`pose`, `fixed`), how near it comes (`gaps`), the lines of an
obstacle (`outlines`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing import style
from linkage.drawing.canvas import points_per_metre
from linkage.drawing.drafts import Draft, around
from linkage.drawing.labels import Tag
from linkage.drawing.outlines import seen_lines
from linkage.gaps.short import Near, nearest_gap, nearest_points, short_gaps
from linkage.quantities import say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from numpy.typing import NDArray

    from linkage.drawing.pose import Pose
    from linkage.drawing.views import View
    from linkage.model import Layout
    from linkage.model.refs import Ref
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Widths of an outline by the kind of obstacle, and of the white within that of an
#: exhaust. [pt]
WIDTHS: Final = {"fixed": 1.1, "moving": 2.4, "exhaust": 3.2}
CORE: Final = 1.4
#: Size of a mark where a part comes too near. [pt]
MARK: Final = 6.5
#: Colour of what is too near.
RED: Final = "#A02000"


def draw_obstacles(
    ax: Axes,
    motion: Motion,
    view: View,
    head: float,
    *,
    marks: bool = True,
    swept: bool = False,
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
    swept : bool
        Whether where a part comes nearest is marked too, though it is clear.

    Returns
    -------
    dict
        ``obstacle NAME`` and a number, ``within NAME`` of the white in an exhaust's
        outline; ``near PART OTHER`` of what comes too near, or nearest.
    """
    layout = motion.assembly.layout
    out: dict[str, Line2D] = {}
    for name, obstacle in layout.obstacles.items():
        for i, line in enumerate(seen_lines(ax, obstacle, view, head)):
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
    for near, colour in _marked(motion, swept=swept) if marks else ():
        points = view.project(np.array([near.mark.here, near.mark.there]))
        (out[f"near {near.part} {near.other}"],) = ax.plot(
            *points.T,
            color=colour,
            linewidth=1.6,
            marker="x",
            markersize=MARK,
            markerfacecolor=colour,
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


def _marked(motion: Motion, *, swept: bool) -> Iterator[tuple[Near, str]]:
    """Yield what comes too near, or nearest of what is swept, and in which colour."""
    short = short_gaps(motion)
    yield from ((near, RED) for near in short)
    nearest = nearest_gap(motion) if swept and not short else None
    if nearest is not None:
        yield nearest, style.BLACK


def near_drafts(pose: Pose) -> list[Draft]:
    """Return the gaps that are too short on a view, or that is least of what is swept."""
    layout = pose.track.motion.assembly.layout
    square, point = _square(pose), 1 / points_per_metre(pose.ax)
    out = []
    for near, colour in _marked(pose.track.motion, swept=pose.swept):
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
                style={"fontsize": 7.5, "color": colour, "fontweight": "bold"},
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
