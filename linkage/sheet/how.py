"""How a measuring sheet is read: three small sketches with their numbers.

Not here: the lettered drawing (`view`), the boxes (`table`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing.style import BLACK

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from linkage.sheet.page import Page

#: Size of a sketch. [mm]
WIDE: Final = 58.0
HIGH: Final = 46.0

#: What is done before anything is measured; common practice, no source.
FIRST: Final = (
    "Engine cold and off, battery off, choke off. Rod or cable off the carburettor lever.",
    "Choose the three datums, write them above, and keep to them.",
    "Zero the angle gauge on the chassis rail, not on the floor.",
    "Measure to the centre of the hole: caliper edge to edge, plus half of both holes.",
    "Stand where the view says. From the other side clockwise is anticlockwise.",
    "Calipers on the holes, tape on the pivots: the radii decide the result.",
    "A number that is not measured stays empty; do not guess it.",
)


def draw_how(page: Page, top: float) -> None:
    """Draw the sketches side by side, their top at a place on the sheet. [mm]."""
    gap = (page.right - page.left - 3 * WIDE) / 2
    sketches = (_pivot, _arm, _along)
    for i, draw in enumerate(sketches):
        x = page.left + i * (WIDE + gap)
        ax = page.figure.add_axes(
            (
                x / page.width,
                1 - (top + HIGH) / page.height,
                WIDE / page.width,
                HIGH / page.height,
            )
        )
        ax.set_axis_off()
        ax.set_xlim(0, WIDE)
        ax.set_ylim(0, HIGH)
        draw(ax)


def _line(ax: Axes, *points: tuple[float, float], **look: Any) -> None:  # noqa: ANN401
    x, y = zip(*points, strict=True)
    ax.plot(x, y, **{"color": BLACK, "linewidth": 0.8, **look})


def _arrow(ax: Axes, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Draw a dimension line with a head at its end."""
    ax.annotate(
        "", end, start, arrowprops={"arrowstyle": "-|>", "lw": 0.8, "fc": BLACK,
                                    "shrinkA": 0, "shrinkB": 0},
    )  # fmt: skip


def _words(ax: Axes, x: float, y: float, words: str, **look: Any) -> None:  # noqa: ANN401
    ax.text(x, y, words, **{"fontsize": 7, "va": "center", **look})


def _title(ax: Axes, words: str) -> None:
    _words(ax, 0, HIGH - 2, words, fontsize=8.5, fontweight="bold")


def _hole(ax: Axes, x: float, y: float, size: float = 6) -> None:
    ax.plot(
        [x],
        [y],
        "o",
        color=BLACK,
        markersize=size,
        markerfacecolor="white",
        markeredgecolor=BLACK,
    )


def _pivot(ax: Axes) -> None:
    """Sketch a pivot from the datum, seen from the right."""
    _title(ax, "A pivot, or an anchor")
    _line(ax, (6, 4), (6, 30), linestyle=(0, (6, 2, 1, 2)))
    _line(ax, (2, 8), (52, 8), linestyle=(0, (6, 2, 1, 2)))
    _words(ax, 7.5, 4.5, "datum")
    _arrow(ax, (6, 26), (38, 26))
    _words(ax, 22, 29, "1 forward +", ha="center")
    _arrow(ax, (38, 8), (38, 26))
    _words(ax, 40, 16, "3 up +")
    _hole(ax, 38, 26, 8)
    _words(ax, 0, 37.5, "2 to the left + (to the right −)")


def _arm(ax: Axes) -> None:
    """Sketch an arm with radius and angle, seen from the right."""
    _title(ax, "An arm, seen from its view")
    root, angle, radius = np.array([10.0, 7.0]), np.radians(38), 36.0
    tip = root + radius * np.array([np.cos(angle), np.sin(angle)])
    _line(ax, (root[0], root[1]), (52, root[1]), linestyle=(0, (6, 2, 1, 2)))
    _line(ax, tuple(root), tuple(tip), linewidth=5.5, solid_capstyle="round")
    _line(
        ax, tuple(root), tuple(tip), linewidth=3.9, solid_capstyle="round",
        color="white",
    )  # fmt: skip
    _hole(ax, *root)
    _hole(ax, *tip)
    side = 5.0 * np.array([-np.sin(angle), np.cos(angle)])
    ax.annotate(
        "", tuple(tip + side), tuple(root + side),
        arrowprops={"arrowstyle": "<|-|>", "lw": 0.8, "fc": BLACK, "shrinkA": 0,
                    "shrinkB": 0},
    )  # fmt: skip
    middle = (root + tip) / 2 + 1.6 * side
    _words(
        ax, float(middle[0]), float(middle[1]), "1 radius", ha="center",
        rotation=float(np.degrees(angle)), rotation_mode="anchor",
    )  # fmt: skip
    sweep = np.linspace(0, angle - 0.06, 20)
    arc = root + 24 * np.column_stack([np.cos(sweep), np.sin(sweep)])
    _line(ax, *(tuple(p) for p in arc))
    _arrow(ax, tuple(arc[-3]), tuple(arc[-1]))
    _words(ax, 35, 13, "2 angle +")
    _words(ax, 38, 4, "0°")


def _along(ax: Axes) -> None:
    """Sketch a shaft from its side, with arms along it and the viewer."""
    _title(ax, "Along the shaft")
    for y in (14.0, 18.0):
        _line(ax, (2, y), (44, y))
    for x in (2.0, 44.0):
        _line(ax, (x, 14), (x, 18))
    for x in (8, 40):
        ax.fill([x - 2, x + 2, x + 2, x - 2], [16, 16, 30, 30], fc="white", ec=BLACK,
                lw=0.8, zorder=3)  # fmt: skip
    _line(ax, (22, 12), (22, 34), linestyle=(0, (6, 2, 1, 2)))
    _words(ax, 22, 37, "pivot", ha="center")
    _arrow(ax, (22, 8), (40, 8))
    _words(ax, 31, 4.5, "3 toward you +", ha="center")
    _arrow(ax, (22, 8), (8, 8))
    _words(ax, 12, 4.5, "away −", ha="center")
    _words(ax, 45.5, 16, "you look\nfrom here", fontsize=6.5)
