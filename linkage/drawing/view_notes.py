"""What is noted on a view beside its parts: its name, which way is up, its scale.

Not here: the parts and their labels (`layout`, `layout_labels`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from linkage.drawing import style
from linkage.drawing.canvas import points_per_metre

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from linkage.drawing.curve_labels import LengthUnit
    from linkage.drawing.pose import Pose
    from linkage.drawing.views import View

Labels = Literal["sizes", "senses", "words", "none"]

#: A shaft turned less than this stands as in the file. [rad]
MOVED: Final = float(np.radians(0.05))
#: Lengths of the scale bar to choose from. [m]
BARS: Final = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0)


def foot_of_notes(lines: int) -> float:
    """Return how far down a view's name goes, and so many lines of a note below. [pt]."""
    return 15.0 + 10.5 * lines


def draw_name(ax: Axes, view: View, pose: Pose, labels: Labels) -> None:
    """Name the view and show which way is front and up."""
    point = 1 / points_per_metre(ax)
    left, low = ax.get_xlim()[0], ax.get_ylim()[0]
    high = ax.get_ylim()[1]
    pose.fixed["view name"] = ax.text(
        left + 3 * point,
        high - 3 * point,
        view.name,
        ha="left",
        va="top",
        fontsize=9,
        fontweight="bold",
        gid="view name",
    )
    base = {"across": "the front", "along": "the right", "upright": "the front"}
    square = any(map(view.facing, pose.track.motion.assembly.layout.shafts.values()))
    if labels == "sizes" and square and view.axis.name in base:
        text = f"angles from {base[view.axis.name]}, anticlockwise positive"
        if any(abs(turn[pose.index]) > MOVED for turn in pose.track.turns.values()):
            text += "\nin brackets: at rest, as in the file"
        pose.fixed["view angles"] = ax.text(
            left + 3 * point,
            high - 16 * point,
            text,
            ha="left",
            va="top",
            fontsize=7,
            gid="view angles",
        )
    ways = view.compass()
    foot = np.array(
        [
            left + (24 if any(way[0] < -0.3 for _, way in ways) else 8) * point,
            low + (24 if any(way[1] < -0.3 for _, way in ways) else 8) * point,
        ]
    )
    if any(way[0] < -0.3 for _, way in ways):
        foot[0] += 22 * point
    for word, way in ways:
        tip = foot + 22 * point * way
        barb = [
            tip - 5 * point * (way + side * np.array([-way[1], way[0]]) * 0.5)
            for side in (1, -1)
        ]
        line = np.array([foot, tip, barb[0], tip, barb[1]])
        (pose.fixed[f"arrow {word}"],) = ax.plot(
            line[:, 0],
            line[:, 1],
            color=style.BLACK,
            linewidth=0.9,
            gid=f"arrow {word}",
            scalex=False,
            scaley=False,
        )
        at = tip + 3 * point * way
        across = "left" if way[0] > 0.5 else "right" if way[0] < -0.5 else "center"
        pose.fixed[f"compass {word}"] = ax.text(
            at[0],
            at[1],
            word,
            fontsize=7.5,
            ha=across,
            va="center" if across != "center" else "bottom" if way[1] > 0 else "top",
            gid=f"compass {word}",
        )


def draw_bar(ax: Axes, length_unit: LengthUnit = "mm") -> None:
    """Draw a scale bar in the lower right of a view, before what it must not meet."""
    metre = points_per_metre(ax)
    inches = length_unit == "in"
    lengths = [bar * 2.54 if inches else bar for bar in BARS]
    length = max((b for b in lengths if b * metre <= 90), default=lengths[0])
    x, y = ax.get_xlim()[1] - 6 / metre, ax.get_ylim()[0] + 6 / metre
    tick = 3 / metre
    ax.plot(
        [x - length, x - length, x - length, x, x, x],
        [y - tick, y + tick, y, y, y + tick, y - tick],
        color=style.BLACK,
        linewidth=0.9,
        gid="bar",
        scalex=False,
        scaley=False,
    )
    text = f"{length / 0.0254:.3g} in" if inches else f"{length * 1e3:.3g} mm"
    ax.text(
        x - length / 2,
        y + 2 / metre,
        text,
        fontsize=7.5,
        ha="center",
        va="bottom",
        gid="bar text",
    )
