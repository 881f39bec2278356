"""How far plates are apart, as a band under a travel curve: who is ahead of whom, and where.

Not here: the numbers (`motion.twins`), the curve itself (`curve`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.drawing.curve_names import finite, points_of
from linkage.drawing.curve_others import SAME_CURVE, further_look, others
from linkage.drawing.fit import ink
from linkage.drawing.labels import Placer, Tag
from linkage.drawing.style import look

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

    from linkage.drawing.curve_words import Named, Scale
    from linkage.motion.curve import TravelCurve
    from linkage.motion.twins import Twins


def apart(curves: Sequence[Named]) -> tuple[Twins, ...]:
    """Return the plates of the one curve that are to go together and do not.

    None of several curves, whose band nobody could read.
    """
    if len(curves) > 1:
        return ()
    return tuple(t for t in curves[0][1].together if abs(t.greatest) > SAME_CURVE)


def draw_beside(
    ax: Axes,
    curve: TravelCurve,
    twins: Sequence[Twins],
    scale: Scale,
    limits: tuple[float, float],
) -> tuple[list[Text], list[str]]:
    """Draw the difference of plates over the pad travel.

    Parameters
    ----------
    ax : Axes
        The band; its place on the figure must be settled.
    curve : TravelCurve
        Whose plates they are.
    twins : sequence of Twins
        From `apart`.
    scale : Scale
        Of pad travel.
    limits : tuple of 2 floats
        Of the pad axis.

    Returns
    -------
    labels : list of Text
        Names and greatest differences.
    left_out : list of str
        Those for which there was no room.
    """
    ax.set_xlim(limits)
    ax.tick_params(labelbottom=False)
    ax.set_ylabel("apart\n[°]")
    ax.grid(visible=True)
    ax.set_axisbelow(True)
    ax.axhline(0.0, color="0.2", linewidth=0.9, gid="together")
    lines: list[Line2D] = []
    x = scale.pad(curve.pad_travel)
    drawn = [other.name for other in others(curve)]
    for one in twins:
        lines += ax.plot(
            x,
            np.degrees(curve.ahead(one)),
            linewidth=0.9,
            markevery=max(len(x) // 16, 1),
            gid=f"apart {one.other}",
            # As its own line over it.
            **further_look(0, 1 + drawn.index(one.other)),
        )
    known = np.concatenate([np.asarray(line.get_ydata()) for line in lines] + [[0.0]])
    low, high = float(np.nanmin(known)), float(np.nanmax(known))
    room = 0.3 * (high - low)
    ax.set_ylim(low - room, high + room)
    return _labels(ax, twins, lines, scale)


def _labels(
    ax: Axes, twins: Sequence[Twins], lines: Sequence[Line2D], scale: Scale
) -> tuple[list[Text], list[str]]:
    """Name every line by who is ahead, with the most and its place."""
    placer = Placer(ax, (0.004, 0.03, 0.996, 0.97))
    placer.avoid(np.column_stack([ax.get_xlim(), [0.0, 0.0]]))
    tags = []
    for one, line in zip(twins, lines, strict=True):
        points = points_of(line)
        placer.avoid(points)
        most = float(np.degrees(one.greatest))
        names = (one.other, one.first)
        first, second = names if most > 0 else names[::-1]
        at_pad = scale.say_pad(float(one.greatest_at))
        text = (
            f"{first} ahead of {second}, {abs(most):.1f}° at most, at {at_pad} of pad"
        )
        known = finite(points)
        spots = [
            tuple(known[int(share * (len(known) - 1))])
            for share in (0.5, 0.35, 0.65, 0.2)
        ]
        style = {"color": ink(look(0).colour), "gid": f"apart {one.other}"}
        way = (-1, 1) if most > 0 else (-1, -1)
        tags.append(
            Tag(text=text, at=spots[0], also=tuple(spots[1:]), toward=way, style=style)
        )
    return list(placer.place(tags)), [tag.text for tag in placer.left_out]
