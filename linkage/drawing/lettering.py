"""Write the labels of a view, each where it touches nothing, with thin leaders.

A leader ends in a dot within its part (after ISO 128-2, leader lines that end
within an outline; from memory).

Not here: which places a label has (`board`), which it gets (`settling`), what it
says (`layout_labels`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.board import Board
from linkage.drawing.canvas import outer, point_of
from linkage.drawing.settling import settled

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.text import Annotation
    from numpy.typing import NDArray

    from linkage.drawing.board import Places
    from linkage.drawing.label import Label

    FloatArray = NDArray[np.float64]

#: Width of the dot in which a leader ends. [pt]
DOT: Final = 2.0


def board_of(ax: Axes) -> Board:
    """Return the board of a view, with all that is drawn and written on it."""
    ax.apply_aspect()
    board = Board(ax)
    seen = [t for t in ax.texts if t.get_text() and t.get_visible()]
    board.fill(outer(t) / point_of(ax) for t in seen)
    return board


def letter(board: Board, tags: Sequence[Label]) -> tuple[list[Annotation], list[Label]]:
    """Write labels on a view.

    Parameters
    ----------
    board : Board
        From `board_of`; what is written is noted on it.
    tags : sequence of Label
        The most needed first.

    Returns
    -------
    labels : list of Annotation
        Those for which there was room.
    left_out : list of Label
        Those for which there was none: a label over a part or another label can
        be misread, so it is not drawn.
    """
    ax = board.ax
    point = point_of(ax)
    labels = [_written(ax, tag) for tag in tags]
    found = []
    for tag, label in zip(tags, labels, strict=True):
        tips = ax.transData.transform(np.array([tag.at, *tag.also], float)) / point
        halves = []
        for form in (tag.text, *tag.forms):
            label.set_text(form)
            x0, y0, x1, y1 = outer(label) / point
            halves.append(((x1 - x0) / 2, (y1 - y0) / 2))
        found.append(board.places(tag, tips, np.array(halves)))
    placed, left_out = [], []
    for tag, label, places, at in zip(tags, labels, found, settled(found), strict=True):
        if at is None:
            label.remove()
            left_out.append(tag)
            continue
        place = places.only(np.array([at]))
        _put(ax, tag, label, place, point)
        board.take(place)
        placed.append(label)
    return placed, left_out


def _written(ax: Axes, tag: Label) -> Annotation:
    look = {"fontsize": 8, "zorder": 10, **tag.style}
    return ax.annotate(
        tag.text,
        tag.at,
        xytext=(0, 0),
        textcoords="offset points",
        ha="center",
        va="center",
        annotation_clip=False,
        **look,
    )


def _put(ax: Axes, tag: Label, label: Annotation, place: Places, point: float) -> None:
    """Put a label at its place and draw its leader."""
    box, tip, end = place.boxes[0], place.tips[0], place.ends[0]
    back = ax.transData.inverted()
    label.set_text((tag.text, *tag.forms)[int(place.forms[0])])
    label.xy = tuple(back.transform(tip * point))
    label.set_position(tuple((box[:2] + box[2:]) / 2 - tip))
    if not place.led[0]:
        return
    line = back.transform(np.array([end, tip]) * point)
    colour = tag.style.get("color", "0.3")
    for name, places, look in (
        ("leader", line, {"linewidth": 0.5}),
        ("dot", line[1:], {"linestyle": "none", "marker": "o", "markersize": DOT}),
    ):
        (drawn,) = ax.plot(
            *places.T, color=colour, zorder=9, scalex=False, scaley=False, gid=name,
            **look,
        )  # fmt: skip
        drawn.set_clip_on(False)
