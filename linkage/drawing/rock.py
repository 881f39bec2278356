"""A moving engine as a picture: arrows by what each way does to the throttle.

Not here: the numbers (`motion.drift`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.style import (
    BLACK,
    GREY,
    PALE,
    VERMILION,
    new_figure,
    notes,
    still_style,
)
from linkage.motion.drift import LEAST, WAYS, Drift, opens
from linkage.quantities import say, say_round

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from linkage.drawing.style import Paper
    from linkage.model import Layout

#: Two views: name, the ways that point right, left, up and down on it.
VIEWS: Final = (
    ("seen from the right", ("forward", "back", "up", "down")),
    ("seen from behind", ("right", "left", "up", "down")),
)
#: Where such an arrow points.
POINTS: Final = ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))


def rock_figure(d: Drift, layout: Layout, *, paper: Paper | None = None) -> Figure:
    """Return a figure of what a moving engine does: an arrow a way, as long as it does.

    Parameters
    ----------
    d : Drift
        From `motion.drift`.
    layout : Layout
        Whose limits are drawn as circles.
    paper : {"a4", "letter"}, optional
        Lying; None gives a size for the screen.
    """
    with still_style():
        figure = new_figure(paper)
        below = (
            f"an arrow points where the engine goes, {say_round(d.by, 'length')}; it is as "
            "long as what the throttle does then, every rod as it is; pedal up"
        )
        notes(figure, title=f"{d.title}: when the engine moves", below=below)
        limits = [
            float(layout.limits.engine_rock_look),
            float(layout.limits.engine_rock_refuse),
        ]
        found = np.abs(d.idle[np.isfinite(d.idle)])
        far = 1.5 * float(max([*found, limits[1]]))  # room for words at both ends
        look, refused = (say(limit, "angle") for limit in limits)
        rings = (
            f"dotted: {look}, from which on the engine's own roll and lift ask for a look; "
            f"dashed: {refused}, from which on they are refused"
        )
        figure.text(0.03, 0.075, rings, size=8, color=GREY)
        for i, (name, ways) in enumerate(VIEWS):
            ax = figure.add_axes((0.04 + 0.48 * i, 0.12, 0.44, 0.74), gid=name)
            ax.set_title(name, size=10, loc="left", weight="bold")
            _view(ax, d, ways, limits, far)
    return figure


def _view(
    ax: Axes, d: Drift, ways: tuple[str, ...], limits: list[float], far: float
) -> None:
    """Draw one view: circles of what is asked, and an arrow each way."""
    ax.set_aspect("equal")
    ax.set_xlim(-far, far)
    ax.set_ylim(-far, far)
    ax.set_axis_off()
    turn = np.linspace(0, 2 * np.pi, 121)
    for limit, dash in zip(limits, (":", "--"), strict=True):
        x, y = limit * np.cos(turn), limit * np.sin(turn)
        ax.plot(x, y, color=GREY, ls=dash, linewidth=0.9)
    for way, to in zip(ways, POINTS, strict=True):
        turn_by = float(d.idle[WAYS.index(way)])
        _arrow(ax, way, to, turn_by, far, limits[1])
    ax.plot(0, 0, marker="o", color=BLACK, markersize=5)


def _arrow(
    ax: Axes, way: str, to: tuple[float, float], turn: float, far: float, least: float
) -> None:
    """Draw one way, its words at its end but outside of the circles.

    A rod that tears has no length.
    """
    x, y = to
    torn = not np.isfinite(turn)
    length = 0.5 * far if torn else abs(turn)
    if torn or length > LEAST:
        ax.annotate(
            "",
            (length * x, length * y),
            (0.0, 0.0),
            arrowprops={
                "arrowstyle": "-|>",
                "color": VERMILION if torn or turn > 0 else BLACK,
                "linewidth": 2.4,
                "linestyle": "--" if torn else "-",
                "shrinkA": 0,
                "shrinkB": 0,
                "mutation_scale": 14,
            },
        )
    away = max(length, least) + 0.03 * far
    ha = {1.0: "left", -1.0: "right"}.get(x, "center")
    va = {1.0: "bottom", -1.0: "top"}.get(y, "center")
    ax.text(
        away * x,
        away * y,
        f"{way}\n{opens(turn)}",
        size=8.5,
        ha=ha,
        va=va,
        bbox={"facecolor": "white", "edgecolor": PALE, "pad": 2.0},
        zorder=5,
    )
