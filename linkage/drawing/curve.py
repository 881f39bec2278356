"""The travel curve as a picture: throttle against pad, and the local ratio below.

Not here: the numbers (`motion.curve`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.drawing.curve_labels import (
    LENGTH,
    Drawn,
    Scale,
    label_lines,
    label_tip_in,
    length_word,
    others,
)
from linkage.drawing.style import GREY, drawing_style, look, new_figure, notes
from linkage.drawing.words import as_written

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

    from linkage.drawing.curve_labels import LengthUnit, Named
    from linkage.drawing.style import Paper
    from linkage.motion.curve import TravelCurve


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class CurveArtists:
    """What was drawn, one entry a curve where a list says nothing else.

    Parameters
    ----------
    lines, ratio_lines : list of Line2D
        Throttle of the main plate; local ratio (empty without that panel).
    other_lines : list of Line2D
        Further throttles that differ from the main one.
    asked_lines : list of Line2D
        Where the rods would drive the plate past its idle stop.
    area_lines : list of Line2D
        Open area of those with bore data.
    marks : list of Line2D
        Points at 25, 50 and 75 % of the swing.
    limits : list of Line2D
        Full stop and full-throttle limit.
    labels : list of Text
        All text in the field.
    """

    lines: list[Line2D]
    ratio_lines: list[Line2D]
    other_lines: list[Line2D]
    asked_lines: list[Line2D]
    area_lines: list[Line2D]
    marks: list[Line2D]
    limits: list[Line2D]
    labels: list[Text]


@as_written
def draw_curve(
    ax: Axes,
    curves: Sequence[Named],
    *,
    ratio_ax: Axes | None = None,
    length_unit: LengthUnit | None = None,
    labels: bool = True,
) -> CurveArtists:
    """Draw travel curves over each other.

    Parameters
    ----------
    ax : Axes
        Its place on the figure must be settled, as labels are fitted in.
    curves : sequence of (str, TravelCurve)
        Label and curve, one or more.
    ratio_ax : Axes, optional
        For the local ratio, under `ax` with the same pad axis.
    length_unit : {"mm", "in"}, optional
        Of the pad axis; None takes that of the file.
    labels : bool
        Whether the lines are labelled.

    Returns
    -------
    CurveArtists
        In the order of `curves`.
    """
    swings = {round(c.main.swing, 9) for _, c in curves}
    unit = length_word(length_unit)
    scale = Scale(length=LENGTH[unit], unit=unit, shares=len(swings) > 1)
    art = CurveArtists(
        lines=[], ratio_lines=[], other_lines=[], asked_lines=[], area_lines=[],
        marks=[], limits=[], labels=[],
    )  # fmt: skip
    _frame(ax, curves, scale, ratio_ax)
    for index, (_, curve) in enumerate(curves):
        _draw_one(ax, curve, index, scale, art)
        if ratio_ax is not None:
            _draw_ratio(ratio_ax, curve, index, scale, art)
    _draw_limits(ax, curves, scale, art)
    _draw_ends(ax, curves, scale)
    if labels:
        drawn = Drawn(
            lines=[*art.lines, *art.other_lines, *art.area_lines, *art.asked_lines],
            across=art.limits,
            symbols=art.marks,
        )
        art.labels.extend(label_lines(ax, curves, scale, drawn))
        if ratio_ax is not None:
            art.labels.extend(label_tip_in(ratio_ax, curves, scale, art.ratio_lines))
    return art


def _frame(
    ax: Axes, curves: Sequence[Named], scale: Scale, ratio_ax: Axes | None
) -> None:
    """Set axes, their second scales and their words."""
    ends = {round(c.pedal_end, 9) for _, c in curves}
    widest = max(c.pedal_end for _, c in curves)
    ax.set_xlim(0, scale.pad(widest) * 1.02)
    tops = [scale.angle(c.main.swing, c.main) for _, c in curves]
    lows = [
        scale.angle(float(np.nanmin(c.main.asked_angle)), c.main) for _, c in curves
    ]
    low = max(min(lows), -0.3 * max(tops))  # past the idle stop only as a hint
    ax.set_ylim(1.1 * low if low < -1e-6 else 0, max(tops) * 1.12)
    ax.grid(visible=True)
    ax.set_axisbelow(True)
    pad_label = f"pad travel [{scale.unit}]"
    if ratio_ax is None:
        ax.set_xlabel(pad_label)
    else:
        ax.tick_params(labelbottom=False)
        ratio_ax.set_xlim(ax.get_xlim())
        ratio_ax.set_xlabel(pad_label)
        ratio_ax.set_ylabel(f"local ratio\n[°/{scale.unit}]")
        ratio_ax.grid(visible=True)
        ratio_ax.set_axisbelow(True)
    if len(ends) == 1:
        factor = 100 / scale.pad(widest)
        top = ax.secondary_xaxis(
            "top", functions=(lambda x: x * factor, lambda x: x / factor)
        )
        top.set_xlabel("share of the pedal's travel [%]")
    areas = any(c.main.open_area is not None for _, c in curves)
    words = "throttle share [%]" + (", open area [%]" if areas else "")
    if scale.shares:
        ax.set_ylabel(words)
        return
    ax.set_ylabel("throttle angle [°]")
    swing = 100 / tops[0]
    right = ax.secondary_yaxis(
        "right", functions=(lambda y: y * swing, lambda y: y / swing)
    )
    right.set_ylabel(words)


def _draw_one(
    ax: Axes, curve: TravelCurve, index: int, scale: Scale, art: CurveArtists
) -> None:
    kind = look(index)
    main = curve.main
    x = scale.pad(curve.pad_travel)
    line: dict[str, Any] = {"color": kind.colour, "linestyle": kind.dash}
    angle = scale.angle(main.throttle_angle, main)
    art.lines.extend(ax.plot(x, angle, linewidth=1.9, gid=f"throttle {index}", **line))
    if main.asked_angle.min() < -1e-9:
        asked = np.where(main.asked_angle <= 1e-9, main.asked_angle, np.nan)
        y = scale.angle(asked, main)
        art.asked_lines.extend(
            ax.plot(
                x,
                y,
                color=kind.colour,
                linestyle=":",
                linewidth=1.0,
                gid=f"asked {index}",
            )
        )
    for other in others(curve):
        y = scale.angle(other.throttle_angle, other if scale.shares else main)
        art.other_lines.extend(ax.plot(x, y, linewidth=0.8, gid=other.name, **line))
    if main.open_area is not None:
        # The right-hand scale reads per cent: 100 stands level with the full stop.
        area = main.open_area * scale.angle(main.swing, main)
        line |= {"linewidth": 0.8, "marker": kind.marker, "markersize": 2.5}
        every = max(len(x) // 16, 1)
        art.area_lines.extend(
            ax.plot(x, area, markevery=every, gid=f"area {index}", **line)
        )
    met = [(at, share) for share, at in curve.marks.items() if at is not None]
    art.marks.extend(
        ax.plot(
            [scale.pad(at) for at, _ in met],
            [scale.angle(share * main.swing, main) for _, share in met],
            linestyle="none",
            marker=kind.marker,
            markersize=6,
            markerfacecolor="white",
            markeredgecolor=kind.colour,
            gid=f"marks {index}",
        )
    )


def _draw_ratio(
    ax: Axes, curve: TravelCurve, index: int, scale: Scale, art: CurveArtists
) -> None:
    kind = look(index)
    factor = np.degrees(1) * scale.length
    ratio = np.where(
        np.isfinite(curve.main.local_ratio), curve.main.local_ratio, np.nan
    )
    art.ratio_lines.extend(
        ax.plot(
            scale.pad(curve.pad_travel),
            ratio * factor,
            color=kind.colour,
            linestyle=kind.dash,
            gid=f"ratio {index}",
        )
    )
    if curve.opens:
        _draw_tip_in(ax, curve, index, scale)
    # Near a jam the ratio has no bound; what is read is the rest of the curve.
    known = np.concatenate([np.asarray(line.get_ydata()) for line in art.ratio_lines])
    known = known[np.isfinite(known)]
    top = min(float(known.max(initial=0)), 4 * float(np.median(known)))
    top = top if top > 1e-6 else 1.0
    low = min(float(known.min(initial=0)), 0.0)
    ax.set_ylim(max(1.1 * low, -0.5 * top), 1.25 * top)


def _draw_tip_in(ax: Axes, curve: TravelCurve, index: int, scale: Scale) -> None:
    """Draw the mean ratio of the start as a bar as long as what it is taken over."""
    ax.plot(
        [scale.pad(curve.start), scale.pad(curve.tip_in_end)],
        [curve.tip_in * np.degrees(1) * scale.length] * 2,
        color=look(index).colour,
        linewidth=4,
        alpha=0.45,
        solid_capstyle="butt",
        gid=f"tip-in {index}",
    )


def _draw_limits(
    ax: Axes, curves: Sequence[Named], scale: Scale, art: CurveArtists
) -> None:
    """Draw the full stop and the share of it that counts as full."""
    main = curves[0][1].main
    full = scale.angle(main.swing, main)
    line: dict[str, Any] = {"color": "0.2", "linewidth": 0.9}
    art.limits.append(ax.axhline(full, gid="full stop", **line))
    for limit in sorted({c.full_limit for _, c in curves}):
        dash = (0, (4, 3))
        art.limits.append(
            ax.axhline(limit * full, linestyle=dash, gid="full limit", **line)
        )


def _draw_ends(ax: Axes, curves: Sequence[Named], scale: Scale) -> None:
    """Show where each curve stops, and pedal travel that is left over."""
    for index, (_, curve) in enumerate(curves):
        y = scale.angle(curve.main.throttle_angle[-1], curve.main)
        kind = look(index)
        if curve.left_over > 1e-6:
            ax.plot(
                [scale.pad(curve.end), scale.pad(curve.pedal_end)],
                [y, y],
                color=kind.colour,
                linewidth=0.8,
                linestyle=":",
                gid=f"left over {index}",
            )
        ax.plot(
            [scale.pad(curve.end)],
            [y],
            marker="|",
            markersize=11,
            color=kind.colour,
            markeredgewidth=1.8,
            linestyle="none",
            gid=f"end {index}",
        )
    for end in sorted({c.pedal_end for _, c in curves}):
        ax.axvline(
            scale.pad(end), color=GREY, linewidth=0.8, linestyle=(0, (8, 3, 1, 3))
        )


def curve_figure(
    curves: Sequence[Named],
    *,
    paper: Paper | None = None,
    length_unit: LengthUnit | None = None,
    banner: str | None = None,
    title: str | None = None,
) -> Figure:
    """Return a figure of travel curves over their local ratio.

    Parameters
    ----------
    curves : sequence of (str, TravelCurve)
        Label and curve, one or more.
    paper : {"a4", "letter"}, optional
        Lying; None gives a size for the screen.
    length_unit : {"mm", "in"}, optional
        Of the pad axis; None takes that of the file.
    banner : str, optional
        The reason not to fit, printed large.
    title : str, optional
        None takes the layout's own, if there is but one.
    """
    with drawing_style():
        figure = new_figure(paper)
        top = 0.83 if banner else 0.885
        ax = figure.add_axes((0.075, 0.36, 0.855, top - 0.36))
        ratio_ax = figure.add_axes((0.075, 0.115, 0.855, 0.215))
        if title is None:
            title = curves[0][1].title if len(curves) == 1 else "Travel curves"
        notes(figure, title=title, banner=banner)
        draw_curve(ax, curves, ratio_ax=ratio_ax, length_unit=length_unit)
    return figure
