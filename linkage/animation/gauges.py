"""What stands beside the views: the travel curve with its mark, and the rods' bars.

Not here: views, plates and words (`panel`), where all stand (`places`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.animation.places import Room
from linkage.drawing import style
from linkage.quantities import spoken_unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

    from linkage.animation.places import Places
    from linkage.animation.scene import Scene


def axes_in(figure: Figure, room: Room, gid: str) -> Axes:
    """Return new axes in a room."""
    width, height = figure.get_size_inches()
    return figure.add_axes(
        (
            room.left / width,
            room.low / height,
            room.width / width,
            room.height / height,
        ),
        gid=gid,
    )


def text_at(
    figure: Figure,
    at: tuple[float, float],
    text: str,
    size: float,
    **look: Any,  # noqa: ANN401
) -> Text:
    """Write at a place in inches from the lower left."""
    width, height = figure.get_size_inches()
    return figure.text(at[0] / width, at[1] / height, text, fontsize=size, **look)


def draw_curve(
    figure: Figure, scene: Scene, at: Places, others: Sequence[Scene]
) -> Line2D:
    """Draw the travel curve and return its mark."""
    ax = axes_in(figure, at.curve, "curve")
    everyone = (scene, *others)
    unit = spoken_unit("length")
    end = max(s.curve.pedal_end for s in everyone) / unit.factor
    swing = float(np.degrees(scene.main.throttle.swing))
    top = max(float(np.degrees(s.main.throttle.swing)) for s in everyone)
    ax.set_xlim(0, end * 1.03)
    ax.set_ylim(0, top * 1.12)
    ax.set_yticks([0, round(swing / 2), round(swing)])
    ax.grid(visible=True)
    ax.set_axisbelow(True)
    ax.tick_params(labelsize=at.size - 0.5, length=2)
    ax.set_xlabel(f"pad travel [{unit.unit}]", fontsize=at.size, labelpad=1)
    ax.set_ylabel("throttle [°]", fontsize=at.size, labelpad=1)
    ax.axhline(swing, color="0.2", linewidth=0.8, gid="full stop")
    for other in others:
        ax.plot(
            other.curve.pad_travel / unit.factor,
            np.degrees(other.curve.main.throttle_angle),
            color=style.GREY,
            linewidth=1.0,
            linestyle=(0, (3, 2)),
            gid="other curve",
        )
    look = style.look(0)
    ax.plot(
        scene.curve.pad_travel / unit.factor,
        np.degrees(scene.curve.main.throttle_angle),
        color=look.colour,
        linewidth=1.5,
        gid="curve",
    )
    (mark,) = ax.plot(
        [],
        [],
        linestyle="none",
        marker="o",
        markersize=6,
        markerfacecolor=style.ORANGE,
        markeredgecolor=style.BLACK,
        zorder=6,
        clip_on=False,
        gid="mark",
    )
    return mark


def draw_bars(
    figure: Figure, scene: Scene, at: Places
) -> tuple[dict[str, Line2D], dict[str, tuple[Text, Text]]]:
    """Draw one bar a rod: 0 on dead centre, 90° square, with the bounds marked."""
    room = at.bars
    limits = scene.layout.limits
    refuse, look = np.degrees(limits.arm_rod_refuse), np.degrees(limits.arm_rod_look)
    title = f"arm-rod angle left to dead centre (lines: {refuse:.0f}°, {look:.0f}°)"
    text_at(
        figure,
        (room.left + 0.03, room.low + room.height),
        title,
        at.size,
        va="top",
        gid="bars title",
    )
    count = len(scene.rods)
    each = min((room.height - 0.18) / count, 0.2)
    size = min(at.size, each * 72 * 0.75)
    top = room.low + room.height - 0.18
    left, right = room.left + 0.43 * room.width, room.left + room.width - 0.72
    ax = axes_in(
        figure, Room(left, top - count * each, right - left, count * each), "bars"
    )
    ax.set_axis_off()
    ax.set_xlim(0, 90)
    ax.set_ylim(count - 0.5, -0.5)

    def note(place: tuple[float, float], gid: str) -> Text:
        return text_at(figure, place, "", size, va="center", gid=gid)

    bars: dict[str, Line2D] = {}
    words: dict[str, tuple[Text, Text]] = {}
    for i, rod in enumerate(scene.rods):
        box = np.array([-0.38, 0.38])[[0, 0, 1, 1, 0]] + i
        ax.plot(
            [0, 90, 90, 0, 0],
            box,
            color=style.BLACK,
            linewidth=0.6,
            zorder=1,
            clip_on=False,
        )
        for bound, width, dash in ((refuse, 1.3, "-"), (look, 0.8, (0, (2, 1)))):
            ax.plot(
                [bound, bound],
                [i - 0.38, i + 0.38],
                color=style.BLACK,
                linewidth=width,
                linestyle=dash,
                zorder=2,
            )
        (bars[rod.name],) = ax.plot(
            [0, 0],
            [i, i],
            color=style.SKY,
            linewidth=0.5 * each * 72,
            solid_capstyle="butt",
            zorder=1.5,
            gid=f"left {rod.name}",
        )
        middle = top - (i + 0.5) * each
        words[rod.name] = (
            note((room.left + 0.03, middle), f"force {rod.name}"),
            note((right + 0.05, middle), f"angle {rod.name}"),
        )
    return bars, words
