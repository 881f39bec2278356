"""The included angle of a bell crank, as an arc from arm to arm.

Not here: its label (`layout_labels`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.canvas import points_per_metre
from linkage.drawing.colours import shaft_colours

if TYPE_CHECKING:
    from matplotlib.lines import Line2D
    from numpy.typing import NDArray

    from linkage.drawing.pose import Pose
    from linkage.model import Layout

    FloatArray = NDArray[np.float64]

#: Arms nearer to each other, or to one straight line, make no bell crank. [rad]
LEAST: Final = float(np.radians(12.0))
#: Radius of the arc: outside the turn arrow, or inside where arms are short. [pt]
OUTSIDE: Final = 27.0
INSIDE: Final = 13.0
#: Length of the arc's two barbs. [pt]
BARB: Final = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Included:
    """One included angle.

    Parameters
    ----------
    shaft : str
        The bell crank.
    arms : tuple of 2 str
        The arm that is driven, and one that drives.
    angle : float
        From the first to the second the shorter way, anticlockwise positive for
        the shaft's viewer. [rad]
    """

    shaft: str
    arms: tuple[str, str]
    angle: float


def included_angles(layout: Layout) -> list[Included]:
    """Return the included angles of all bell cranks.

    A shaft that a rod drives and that drives another is one where its two arms
    stand apart; a cross shaft with arms in line with each other is none, nor is one
    with a drum.
    """
    driven = {link.driven.shaft: link.driven.arm for link in layout.links}
    out = []
    for link in layout.links:
        name = link.driver.shaft
        if name not in driven or layout.shafts[name].slides:
            continue
        one, two = driven[name], link.driver.arm
        arms = layout.shafts[name].arms
        if arms[one].wound or arms[two].wound:  # a drum has no direction of its own
            continue
        angle = float(arms[two].angle - arms[one].angle)
        angle = float((angle + np.pi) % (2 * np.pi) - np.pi)
        found = Included(shaft=name, arms=(one, two), angle=angle)
        if abs(angle) > LEAST and found not in out:
            out.append(found)
    return out


def draw_included(pose: Pose) -> dict[str, Line2D]:
    """Draw the arcs of one view at its position.

    Returns
    -------
    dict of str to Line2D
        ``included SHAFT.ARM``, by the arm that drives.
    """
    layout = pose.track.motion.assembly.layout
    scale = points_per_metre(pose.ax)
    out = {}
    for one in included_angles(layout):
        shaft = layout.shafts[one.shaft]
        facing = pose.view.facing(shaft)
        if not facing:
            continue
        shorter = min(shaft.arms[arm].length for arm in one.arms) * scale
        radius = (OUTSIDE if shorter > OUTSIDE + 6 else INSIDE) / scale
        root = pose.view.project(np.array(shaft.pivot, float))
        start = pose.track.arms[f"{one.shaft}.{one.arms[0]}"][pose.index]
        start = start - pose.track.roots[f"{one.shaft}.{one.arms[0]}"]
        begin = float(np.arctan2(start[1], start[0]))
        sweep = begin + np.linspace(0, one.angle * facing, 60)
        arc = root + radius * np.column_stack([np.cos(sweep), np.sin(sweep)])
        name = f"included {one.shaft}.{one.arms[1]}"
        (out[name],) = pose.ax.plot(
            *_barbed(arc, BARB / scale).T,
            color=shaft_colours(layout)[one.shaft][1],
            linewidth=0.8,
            zorder=3.6,
            gid=name,
            scalex=False,
            scaley=False,
        )
    return out


def _barbed(arc: FloatArray, size: float) -> FloatArray:
    """Return an arc with a barb at each end, as one line."""

    def barb(tip: FloatArray, back: FloatArray) -> list[FloatArray]:
        way = (back - tip) / max(float(np.hypot(*(back - tip))), 1e-12)
        across = np.array([-way[1], way[0]])
        return [tip + size * (way + side * 0.35 * across) for side in (1, -1)]

    one, two = barb(arc[0], arc[4]), barb(arc[-1], arc[-5])
    ends = [one[0], arc[0], one[1], arc[0]], [two[0], arc[-1], two[1]]
    return np.vstack([ends[0], arc, ends[1]])
