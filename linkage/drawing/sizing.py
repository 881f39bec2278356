"""Picture of the arm chooser: length against throttle reached and least angle.

Not here: the search (`search.arm`), its table (`report.sizing`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.drawing.style import (
    BLUE,
    GREY,
    VERMILION,
    drawing_style,
    new_figure,
    notes,
)
from linkage.drawing.words import as_written
from linkage.quantities import say, shown
from linkage.spoken import in_spoken, unit_word

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from linkage.drawing.style import Paper
    from linkage.model import Layout
    from linkage.search.sized import Row, Sizing


def _along(sizing: Sizing) -> tuple[str, list[float], list[int]]:
    """Return label, values and rows of the axis: the first quantity that varies.

    With two varied, the other is held at the chosen row's value (at the nearest
    one's where none fits, at the middle one's where none can be put together).
    """
    kept = sizing.best or sizing.rows[len(sizing.rows) // 2]
    varied: list[tuple[int, str]] = []
    for i, choice in enumerate(sizing.choices):
        varied += [(i, "length")] * (len(choice.lengths) > 1)
        varied += [(i, "angle")] * (len(choice.angles) > 1)
    index, kind = varied[0] if varied else (0, "length")
    held = varied[1:]

    def same(row: Row) -> bool:
        return all(_value(row, i, k) == _value(kept, i, k) for i, k in held)

    rows = [n for n, row in enumerate(sizing.rows) if same(row)]
    values = [in_spoken(_value(sizing.rows[n], index, kind), kind) for n in rows]
    name = str(sizing.choices[index].hole)
    label = f"{kind} of arm {name} [{unit_word(kind)}]"
    return label, values, rows


def _value(row: Row, index: int, kind: str) -> float:
    return row.lengths[index] if kind == "length" else row.angles[index]


def _bound(ax: Axes, value: float, words: str) -> None:
    """Name a bound in the margin, where no curve runs."""
    ax.annotate(
        words,
        (1.0, value),
        xycoords=("axes fraction", "data"),
        xytext=(5, 0),
        textcoords="offset points",
        fontsize=8,
        va="center",
    )


@as_written
def draw_sizing(ax: Axes, angle_ax: Axes, sizing: Sizing, layout: Layout) -> None:
    """Draw throttle reached above, least arm-rod angle below.

    Parameters
    ----------
    ax, angle_ax : Axes
        Share one horizontal axis.
    sizing : Sizing
        From `search.arm.size_arms`.
    layout : Layout
        For its limits.
    """
    label, values, indices = _along(sizing)
    rows = [sizing.rows[i] for i in indices]
    share = np.array([row.throttle_share * 100 for row in rows])
    full = np.array(
        [np.nan if r.full_share is None else r.full_share * 100 for r in rows]
    )
    least = np.array([shown(row.least_angle, "angle") for row in rows])
    fits = np.array([row.fits for row in rows])
    x = np.array(values)
    late = (0, (6, 2))
    ax.plot(
        x,
        share,
        color=BLUE,
        ls="-",
        label="throttle reached, % of swing",
        gid="throttle",
    )
    ax.plot(
        x,
        full,
        color=VERMILION,
        ls=late,
        label="full met at, % of pad travel",
        gid="full",
    )
    angle_ax.plot(x, least, color=BLUE, ls="-", gid="least")
    _draw_bounds(ax, angle_ax, layout)
    for axes, curve in ((ax, share), (angle_ax, least)):
        names = ("fits", "fails") if axes is ax else (None, None)
        axes.plot(
            x[fits], curve[fits], "o", ms=4, mfc="white", mec=BLUE, label=names[0]
        )
        axes.plot(x[~fits], curve[~fits], "x", ms=4, color=GREY, label=names[1])
    if sizing.chosen is not None:
        _draw_chosen(ax, angle_ax, float(x[indices.index(sizing.chosen)]))
    ax.set_ylabel("%")
    ax.set_ylim(min(float(np.nanmin(share)), 60) - 3, 109)
    ax.legend(loc="best", fontsize=8, framealpha=1)
    ax.tick_params(labelbottom=False)
    angle_ax.set_ylabel("least arm-rod angle [°]")
    angle_ax.set_ylim(0, 92)
    angle_ax.set_xlabel(label)
    for axes in (ax, angle_ax):
        axes.grid(visible=True)


def _draw_bounds(ax: Axes, angle_ax: Axes, layout: Layout) -> None:
    """Draw what is asked of the throttle, and of the arm-rod angle."""
    limit = layout.limits.full_throttle * 100
    ax.axhline(limit, color=GREY, lw=0.8, ls=":")
    _bound(ax, limit, f"{limit:g} % of\nswing asked")
    for bound, word in (
        (layout.limits.arm_rod_look, "look below"),
        (layout.limits.arm_rod_refuse, "do not fit below"),
    ):
        angle_ax.axhline(shown(bound, "angle"), color=GREY, lw=0.8, ls=":")
        _bound(angle_ax, shown(bound, "angle"), f"{word} {say(bound, 'angle', 0)}")


def _draw_chosen(ax: Axes, angle_ax: Axes, place: float) -> None:
    """Mark the chosen value on both axes."""
    for axes in (ax, angle_ax):
        axes.axvline(place, color="black", lw=0.8)
    ax.annotate(
        f"chosen {place:.{3 if unit_word('length') == 'in' else 2}f}",
        (place, 1.0),
        xycoords=("data", "axes fraction"),
        xytext=(4, -12),
        textcoords="offset points",
        fontsize=9,
        weight="bold",
    )


def sizing_figure(
    sizing: Sizing, layout: Layout, *, paper: Paper | None = None
) -> Figure:
    """Return the picture of a search.

    Parameters
    ----------
    sizing : Sizing
        From `search.arm.size_arms`.
    layout : Layout
        As it was before.
    paper : {"a4", "letter"}, optional
        None gives a size for the screen.
    """
    with drawing_style():
        figure = new_figure(paper)
        banner = None if sizing.chosen is not None else "nothing tried fits"
        top = 0.83 if banner else 0.885
        ax = figure.add_axes((0.075, 0.45, 0.795, top - 0.45))
        angle_ax = figure.add_axes((0.075, 0.115, 0.795, 0.295), sharex=ax)
        notes(figure, title=f"{layout.title}: choosing an arm", banner=banner)
        draw_sizing(ax, angle_ax, sizing, layout)
    return figure
