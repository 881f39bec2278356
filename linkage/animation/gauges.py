"""The travel curve with its mark, which stands beside the views.

Not here: views, plates and words (`panel`), where all stand (`places`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.animation.places import LETTERS
from linkage.drawing import style
from linkage.drawing.curve_others import further_look, one_swing, others
from linkage.drawing.labels import Placer, Tag
from linkage.quantities import say, spoken_unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

    from linkage.animation.places import Room
    from linkage.animation.scene import Scene

#: Room over the full stop, as a share of the swing.
OVER: Final = 1.15
#: And under shut, so that the mark keeps off the number there.
UNDER: Final = 0.07
#: Where along a further throttle's line its name may stand, best first.
NAMED: Final = (0.6, 0.5, 0.7, 0.4, 0.3, 0.8)


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
    **look: Any,  # noqa: ANN401
) -> Text:
    """Write at a place in inches from the lower left."""
    width, height = figure.get_size_inches()
    return figure.text(
        at[0] / width, at[1] / height, text, **{"fontsize": LETTERS, **look}
    )


def draw_curve(
    figure: Figure, scene: Scene, room: Room, others: Sequence[Scene]
) -> Line2D:
    """Draw the travel curve, marked at its ends alone, and return its mark."""
    ax = axes_in(figure, room, "curve")
    everyone = (scene, *others)
    unit = spoken_unit("length")
    end = max(s.curve.pedal_end for s in everyone)
    swing = float(np.degrees(scene.main.throttle.swing))
    top = max(float(np.degrees(s.main.throttle.swing)) for s in everyone)
    ax.set_xlim(0, end / unit.factor * 1.03)
    ax.set_ylim(-UNDER * top, top * OVER)
    ends = ["0°", f"{swing:.0f}°"] if one_swing(scene.curve) else ["0 %", "100 %"]
    ax.set_yticks([0, swing], ends)
    ax.set_xticks([end / unit.factor], [say(end, "length", 0)])
    ax.get_xticklabels()[0].set_horizontalalignment("right")
    ax.tick_params(labelsize=LETTERS, length=3)
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
        linewidth=1.8,
        gid="curve",
    )
    _draw_further(ax, scene)
    (mark,) = ax.plot(
        [],
        [],
        linestyle="none",
        marker="o",
        markersize=7,
        markerfacecolor=style.ORANGE,
        markeredgecolor=style.BLACK,
        zorder=6,
        clip_on=False,
        gid="mark",
    )
    return mark


def _draw_further(ax: Axes, scene: Scene) -> None:
    """Draw further throttles that run otherwise, named where there is room.

    As shares of their own swings, so that all run to one full stop.
    """
    curve, unit = scene.curve, spoken_unit("length")
    x = curve.pad_travel / unit.factor
    tags = []
    for number, other in enumerate(others(curve), start=1):
        y = np.degrees(other.throttle_share * curve.main.swing)
        ax.plot(
            x,
            y,
            linewidth=0.9,
            markevery=max(len(x) // 8, 1),
            gid=f"further {other.name}",
            **further_look(0, number),
        )
        places = [
            (float(x[k]), float(y[k])) for k in (len(x) * np.array(NAMED)).astype(int)
        ]
        tags.append(
            Tag(
                text=other.name,
                at=places[0],
                also=tuple(places[1:]),
                toward=(1, -1),
                style={"fontsize": LETTERS, "gid": f"name {other.name}"},
            )
        )
    if not tags:
        return
    placer = Placer(ax)
    for line in ax.lines:
        spots = line.get_transform().transform(np.asarray(line.get_xydata(), float))
        placer.avoid(ax.transData.inverted().transform(spots), 3.0)
    placer.place(tags)
