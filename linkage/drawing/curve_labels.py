"""What a travel curve says of itself: names at the lines, not a legend.

Not here: the lines (`curve`), their names (`curve_names`), the words of ends and
areas (`curve_words`).
"""

from __future__ import annotations

import textwrap
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing.curve_names import Drawn, finite, name_tags, points_of
from linkage.drawing.curve_others import placed_words
from linkage.drawing.curve_words import (
    LengthUnit,
    area_word,
    end_text,
    idle_words,
    length_word,
)
from linkage.drawing.fit import ink
from linkage.drawing.labels import Placer, Tag
from linkage.drawing.style import look
from linkage.rules.other_words import in_words_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.text import Text
    from numpy.typing import NDArray

    from linkage.drawing.curve_words import Named, Scale
    from linkage.motion.curve import TravelCurve

    FloatArray = NDArray[np.float64]

__all__ = [
    "Drawn",
    "LengthUnit",
    "label_lines",
    "label_tip_in",
    "length_word",
    "name_curves",
]


#: A curve that ends before this share of the pedal's travel has no room for its marks.
SHORT: Final = 0.12
#: Share of the bore by which an open area at its end is still level.
LEVEL: Final = 5e-3


def label_lines(
    ax: Axes, curves: Sequence[Named], scale: Scale, drawn: Drawn
) -> tuple[list[Text], list[str]]:
    """Label lines, marks, limits and ends of a travel curve in place.

    Returns
    -------
    labels : list of Text
        Those that found room.
    left_out : list of str
        What the others say.
    """
    alone = len(curves) == 1
    placer = Placer(ax, (0.004, 0.012, 0.996, 0.988))
    for line in drawn.lines:
        placer.avoid(points_of(line))
        if line.get_marker() not in {"None", None}:
            every = line.get_markevery()
            step = every if isinstance(every, int) else 1
            placer.avoid_points(finite(points_of(line)[::step]), 5.0)
    for line in drawn.across:
        placer.avoid(np.column_stack([ax.get_xlim(), np.asarray(line.get_ydata())]))
    for line in drawn.symbols:
        if line.get_linestyle() == "None":
            placer.avoid_points(finite(points_of(line)))
        else:
            placer.avoid(points_of(line))
    for end in {c.pedal_end for _, c in curves}:
        placer.avoid(np.column_stack([[scale.pad(end)] * 2, ax.get_ylim()]))
    first: list[Tag] = []
    told = _limit_tags(curves, scale)
    if alone:  # where it ends is needed most
        end, *more = _alone_tags(curves[0][1], scale)
        first, told = [end], [*more, *told]
    driver = curves[0][1].driver
    first, told = (
        [replace(tag, text=in_words_of(driver, tag.text)) for tag in some]
        for some in (first, told)
    )
    tags = [*first, *name_tags(ax, drawn), *told]
    return list(placer.place(tags)), [tag.text for tag in placer.left_out]


def name_curves(ax: Axes, named: Sequence[tuple[Line2D, str, str]]) -> list[Text]:
    """Write names alone at lines that are drawn already, off all that is on the field.

    Parameters
    ----------
    ax : Axes
        Its place on the figure must be settled.
    named : sequence of (Line2D, str, str)
        Each with its name and colour.
    """
    room = Placer(ax, (0.004, 0.02, 0.996, 0.98))
    lines: list[Line2D] = []
    across: list[Line2D] = []
    marks: list[Line2D] = []
    for line in ax.lines:
        spots = ax.transData.inverted().transform(
            line.get_transform().transform(points_of(line))
        )
        if line.get_linestyle() == "None":
            room.avoid_points(finite(spots), 10.0)
            marks.append(line)
        else:
            room.avoid(spots)
            level = len(spots) == 2 and spots[0, 1] == spots[1, 1]
            (across if level else lines).append(line)
    drawn = Drawn(lines=lines, across=across, symbols=marks, named=named)
    return list(room.place(name_tags(ax, drawn)))


def _alone_tags(curve: TravelCurve, scale: Scale) -> list[Tag]:
    """Return what is said of a curve that has the field for itself."""
    main = curve.main
    style = {"color": ink(look(0).colour)}
    last = (
        float(scale.pad(curve.end)),
        float(scale.angle(main.throttle_angle[-1], main)),
    )
    tags = [
        Tag(
            text=end_text(curve, scale),
            at=last,
            toward=(-1, 1),
            style={**style, "gid": "end"},
        )
    ]
    short = curve.end < SHORT * curve.pedal_end
    for share, at in curve.marks.items():
        if at is not None and not short:
            point = (float(scale.pad(at)), float(scale.angle(share * main.swing, main)))
            text = f"{100 * share:.0f} % of swing at {scale.say_pad(at)}"
            mark = {**style, "gid": "mark"}
            tags.append(Tag(text=text, at=point, toward=(1, -1), style=mark))
    if area_word(curve):
        area = np.zeros(1) if main.open_area is None else main.open_area
        level = float(area[-1]) * float(scale.angle(main.swing, main))
        flat = np.flatnonzero(np.abs(area - area[-1]) < LEVEL)
        start = (
            float(scale.pad(curve.pad_travel[flat[0]])) if flat.size > 1 else last[0]
        )
        tags.append(
            Tag(
                text=_narrow(area_word(curve)),
                at=(last[0], level),
                also=(((last[0] + start) / 2, level), (start, level)),
                toward=(-1, -1),
                style={**style, "gid": "area end"},
            )
        )
    more = {"starts": placed_words, "idle": idle_words}
    return tags + [
        Tag(text=text, at=at, toward=way, style={**style, "gid": gid})
        for gid, words in more.items()
        for text, at, way in words(curve, scale)
    ]


def _narrow(text: str) -> str:
    """Return words about the end of a line in short lines, to stand near it."""
    first, _, rest = text.partition("\n")
    return "\n".join([first, *textwrap.wrap(rest, 26)])


def _limit_tags(curves: Sequence[Named], scale: Scale) -> list[Tag]:
    main = curves[0][1].main
    full = scale.angle(main.swing, main)
    grey = {"color": "0.2", "fontsize": 7.5}
    widest = scale.pad(max(c.pedal_end for _, c in curves))

    def along(y: float) -> dict[str, Any]:
        places = [
            (float(share * widest), float(y)) for share in (0.1, 0.2, 0.3, 0.45, 0.6)
        ]
        return {"at": places[0], "also": tuple(places[1:])}

    stop = "full stop" if scale.shares else f"full stop {full:.1f}°"
    tags = [
        Tag(text=stop, toward=(0, 1), style={**grey, "gid": "full stop"}, **along(full))
    ]
    for limit in sorted({c.full_limit for _, c in curves}):
        text = f"full throttle from {100 * limit:.0f} %"
        share = limit
        if curves[0][1].governed:
            share = 1 - limit
            text = f"shut from {100 * share:.0f} % down"
        text += "" if scale.shares else f": {share * full:.1f}°"
        tags.append(
            Tag(
                text=text,
                toward=(0, 1 if curves[0][1].governed else -1),
                style={**grey, "gid": "full limit"},
                **along(share * full),
            )
        )
    if len(curves) > 1:  # told of each in the key
        return tags
    for end in sorted({c.pedal_end for _, c in curves}):
        places = [
            (float(scale.pad(end)), share * full)
            for share in (0.1, 0.25, 0.4, 0.55, 0.7)
        ]
        tags.append(
            Tag(
                text=f"pedal's own end\n{scale.say_pad(end)}",
                at=places[0],
                also=tuple(places[1:]),
                toward=(-1, 0),
                style={**grey, "gid": "pedal end"},
            )
        )
    return tags  # fmt: skip


def label_tip_in(
    ax: Axes, curves: Sequence[Named], scale: Scale, lines: Sequence[Line2D]
) -> tuple[list[Text], list[str]]:
    """Write the mean ratio of the start beside its bar; of several that they are so."""
    placer = Placer(ax, (0.004, 0.03, 0.996, 0.97))
    for line in lines:
        placer.avoid(points_of(line))
    opening = [c for _, c in curves if c.opens and not c.governed]
    if not opening:
        return [], []
    for c in opening:
        level = c.tip_in * scale.ratio
        placer.avoid(
            np.array([[scale.pad(c.start), level], [scale.pad(c.tip_in_end), level]]),
            4.0,
        )
    spots = [
        (float(scale.pad(c.tip_in_end)), float(c.tip_in * scale.ratio)) for c in opening
    ]
    text = f"tip-in {scale.say_ratio(opening[0].tip_in)}"
    if len(curves) > 1:
        text = "bars: tip-in, the mean of the first tenth"
    style = {
        "color": ink(look(0).colour) if len(curves) == 1 else "black",
        "gid": "tip-in",
    }
    tag = Tag(text=text, at=spots[0], also=tuple(spots[1:]), toward=(1, 1), style=style)
    return list(placer.place([tag])), [t.text for t in placer.left_out]  # fmt: skip
