"""The travel curve as a picture: throttle against pad, and the local ratio below.

No two lines differ by colour alone: each curve has its dash, its open area is thin
with filled marks, a further throttle thin with hollow ones.

Not here: the numbers (`motion.curve`), axes and bounds (`curve_frame`), words
(`curve_labels`, `curve_words`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing.curve_beside import apart, draw_beside
from linkage.drawing.curve_frame import draw_ends, draw_frame, draw_limits
from linkage.drawing.curve_labels import Drawn, label_lines, label_tip_in
from linkage.drawing.curve_others import draw_starts, further_look, one_swing, others
from linkage.drawing.curve_words import (
    LENGTH,
    Scale,
    entries,
    head_text,
    legend,
    length_word,
    short_names,
    title_of,
)
from linkage.drawing.fit import shorten_to, wrap_to
from linkage.drawing.key import draw_key, key_height
from linkage.drawing.style import LOOKS, look, new_figure, notes, still_style
from linkage.drawing.words import as_written
from linkage.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

    from linkage.drawing.curve_words import LengthUnit, Named
    from linkage.drawing.style import Paper
    from linkage.motion.curve import TravelCurve

#: As many curves as can be told from each other.
MOST: Final = len(LOOKS)
#: Height of the band of plates that are apart, on a screen, and how much higher the
#: figure is then, so that the field above stays as it is. [in]
BAND, MORE = 1.1, (1.1 + 0.12) / 0.84
#: Of more curves the open areas are told by the key alone, and not named.
AREAS: Final = 3


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class CurveArtists:
    """What was drawn, one entry a curve where a list says nothing else.

    Parameters
    ----------
    lines, ratio_lines : list of Line2D
        Throttle of the main plate; local ratio, if it has a panel.
    other_lines : list of Line2D
        Further throttles that differ from the main one.
    asked_lines : list of Line2D
        Where the linkage would drive the plate past its idle stop.
    area_lines : list of Line2D
        Open area of those with bore data.
    marks : list of Line2D
        Points at 25, 50 and 75 % of the swing; where further throttles start and are
        full.
    limits : list of Line2D
        Full stop and full-throttle limit.
    labels : list of Text
        All text in the field.
    left_out : list of str
        Labels for which there was no room.
    named : list of (Line2D, str, str)
        Lines that get a name, with it and its colour.
    """

    lines: list[Line2D]
    ratio_lines: list[Line2D]
    other_lines: list[Line2D]
    asked_lines: list[Line2D]
    area_lines: list[Line2D]
    marks: list[Line2D]
    limits: list[Line2D]
    labels: list[Text]
    left_out: list[str] = field(default_factory=list)
    named: list[tuple[Line2D, str, str]] = field(default_factory=list)


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
        Label and curve, one to six.
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

    Raises
    ------
    UsageError
        If there are more than six, as no line would be told from the first again.
    """
    if len(curves) > MOST:
        msg = f"{len(curves)} curves cannot be told from each other on one picture"
        raise UsageError(msg, hint=f"draw at most {MOST}, or write a table of each")
    scale = _scale(curves, length_unit)
    art = CurveArtists(
        lines=[], ratio_lines=[], other_lines=[], asked_lines=[], area_lines=[],
        marks=[], limits=[], labels=[],
    )  # fmt: skip
    draw_frame(ax, curves, scale, ratio_ax)
    names = short_names([name for name, _ in curves])
    for index, (name, (_, curve)) in enumerate(zip(names, curves, strict=True)):
        _draw_one(ax, curve, (index, name, len(curves)), scale, art)
        if ratio_ax is not None:
            _draw_ratio(ratio_ax, curve, index, scale, art)
    art.limits.extend(draw_limits(ax, curves, scale))
    ends = draw_ends(ax, curves, scale)
    if labels:
        drawn = Drawn(
            lines=[*art.lines, *art.other_lines, *art.area_lines, *art.asked_lines],
            across=art.limits,
            symbols=[*art.marks, *ends],
            named=art.named,
        )
        placed = [label_lines(ax, curves, scale, drawn)]
        if ratio_ax is not None:
            placed.append(label_tip_in(ratio_ax, curves, scale, art.ratio_lines))
        for texts, left_out in placed:
            art.labels.extend(texts)
            art.left_out.extend(left_out)
    return art


def _scale(curves: Sequence[Named], length_unit: LengthUnit | None) -> Scale:
    """Return what the axes show: per cent where swings differ."""
    unit = length_word(length_unit)
    swings = {round(c.main.swing, 9) for _, c in curves}
    shares = len(swings) > 1 or not all(one_swing(c) for _, c in curves)
    return Scale(length=LENGTH[unit], unit=unit, shares=shares)


def _draw_one(
    ax: Axes,
    curve: TravelCurve,
    which: tuple[int, str, int],
    scale: Scale,
    art: CurveArtists,
) -> None:
    index, name, count = which
    alone = count == 1
    kind = look(index)
    of = f": {name}" * (not alone)
    main = curve.main
    x = scale.pad(curve.pad_travel)
    line: dict[str, Any] = {"color": kind.colour, "linestyle": kind.dash}
    angle = scale.angle(main.throttle_angle, main)
    art.lines.extend(ax.plot(x, angle, linewidth=1.9, gid=f"throttle {index}", **line))
    several = bool(others(curve))
    said = f"{name}: throttle angle" + f" of {main.name}" * several if alone else name
    art.named.append((art.lines[-1], said, kind.colour))
    if main.asked_angle.min() < -1e-6:
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
    every = max(len(x) // 16, 1)
    for number, other in enumerate(others(curve), start=1):
        y = scale.angle(other.throttle_angle, other if scale.shares else main)
        (drawn,) = ax.plot(
            x, y, linewidth=0.8, markevery=every,
            gid=f"other {index} {other.name}", **further_look(index, number),
        )  # fmt: skip
        art.other_lines.append(drawn)
        art.named.append((drawn, f"throttle {other.name}{of}", kind.colour))
    art.marks.extend(draw_starts(ax, curve, index, scale))
    if main.open_area is not None:
        # The right-hand scale reads per cent: 100 stands level with the full stop.
        area = main.open_area * scale.angle(main.swing, main)
        line |= {"linewidth": 0.8, "marker": kind.marker, "markersize": 2.5}
        (drawn,) = ax.plot(x, area, markevery=every, gid=f"area {index}", **line)
        art.area_lines.append(drawn)
        if alone or (curve.opens and count <= AREAS):
            art.named.append((drawn, f"open area{of}", kind.colour))
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
    ratio = np.where(
        np.isfinite(curve.main.local_ratio), curve.main.local_ratio, np.nan
    )
    art.ratio_lines.extend(
        ax.plot(
            scale.pad(curve.pad_travel),
            ratio * scale.ratio,
            color=kind.colour,
            linestyle=kind.dash,
            gid=f"ratio {index}",
        )
    )
    if curve.opens and not curve.governed:
        _draw_tip_in(ax, curve, index, scale)
    # Near a jam the ratio has no bound; what is read is the rest of the curve.
    known = np.concatenate([np.asarray(line.get_ydata()) for line in art.ratio_lines])
    known = known[np.isfinite(known)]
    top = min(float(known.max(initial=0)), 4 * float(np.median(known)))
    top = top if top > 1e-6 else 1.0
    low = min(float(known.min(initial=0)), -0.04 * top)  # none on the edge itself
    ax.set_ylim(max(1.1 * low, -0.5 * top), 1.25 * top)


def _draw_tip_in(ax: Axes, curve: TravelCurve, index: int, scale: Scale) -> None:
    """Draw the mean ratio of the start as a bar as long as what it is taken over."""
    ax.plot(
        [scale.pad(curve.start), scale.pad(curve.tip_in_end)],
        [curve.tip_in * scale.ratio] * 2,
        color=look(index).colour,
        linewidth=4,
        alpha=0.45,
        solid_capstyle="butt",
        marker=look(index).marker,
        markersize=5,
        markevery=[1],
        gid=f"tip-in {index}",
    )


def curve_figure(
    curves: Sequence[Named],
    *,
    paper: Paper | None = None,
    length_unit: LengthUnit | None = None,
    banner: str | None = None,
    title: str | None = None,
    refused: Sequence[str | None] = (),
) -> Figure:
    """Return a figure of travel curves over their local ratio.

    Parameters
    ----------
    curves : sequence of (str, TravelCurve)
        Label and curve, one to six. Of several each has a row over the field, with a
        piece of its line and its numbers.
    paper : {"a4", "letter"}, optional
        Lying; None gives a size for the screen.
    length_unit : {"mm", "in"}, optional
        Of the pad axis; None takes that of the file.
    banner : str, optional
        The reason not to fit, printed large.
    title : str, optional
        None takes the layout's own, if there is but one.
    refused : sequence of (str or None)
        Why each of several must not be fitted, said in its row.
    """
    with still_style():
        figure = new_figure(paper)
        rows = entries(curves, _scale(curves, length_unit), refused)
        twins = apart(curves)
        if paper is None:  # a page has its size, a screen not
            width, height = figure.get_size_inches()
            more = key_height(figure, rows) if len(curves) > 1 else MORE * bool(twins)
            figure.set_size_inches(width, height + more)
        width, height = figure.get_size_inches()
        if title is None:
            title = title_of(curves)
        alone = len(curves) == 1  # of several the key has it
        full = head_text(curves[0][1], _scale(curves, length_unit)) * alone
        notes(figure, title=title, banner=banner, below=full)
        top = height - (0.98 if banner else 0.48) - 0.2 * bool(full)
        if len(curves) > 1:
            top = draw_key(figure, rows, top) - 0.06
            words = wrap_to(legend(curves), 0.94 * width * 72, 7.5)
            for line in words:
                figure.text(0.03, top / height, line, size=7.5, va="top", gid="legend")
                top -= 0.15
        low, foot = 0.95, 0.16 * height  # of the ratio's field, and its height
        middle, top = low + foot + 0.24, top - 0.47
        band_low, band = middle, BAND if paper is None else 0.13 * height
        middle += (band + 0.12) * bool(twins)
        ax = figure.add_axes((0.09, middle / height, 0.84, (top - middle) / height))
        ratio_ax = figure.add_axes((0.09, low / height, 0.84, foot / height))
        art = draw_curve(ax, curves, ratio_ax=ratio_ax, length_unit=length_unit)
        if twins:
            field = figure.add_axes((0.09, band_low / height, 0.84, band / height))
            scale = _scale(curves, length_unit)
            labels, left_out = draw_beside(
                field, curves[0][1], twins, scale, ax.get_xlim()
            )
            art.labels.extend(labels)
            art.left_out.extend(left_out)
        if art.left_out:
            text = "No room at its place for: " + "; ".join(art.left_out)
            text = shorten_to(text.replace("\n", " "), 0.94 * width * 72, 7)
            figure.text(0.03, 0.3 / height, text, size=7, gid="left out")
    return figure
