"""Words in the margin right of a field: each at the height of its line's end.

Before the words stands a piece of the line as it is drawn, so that it is known in
black and white; a thin leader goes to the line's end where words had to give way.

Not here: words among the lines (`curve_labels`), rows over a field (`key`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.lines import Line2D

from linkage.drawing.canvas import figure_of
from linkage.drawing.fit import wrap_to

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from matplotlib.axes import Axes

#: Of the letters, and from line to line. [pt]
SIZE: Final = 8.0
LINE: Final = 10.5
#: Length of the piece of line, the gap to the field and to the words. [pt]
PIECE: Final = 22.0
LEAD: Final = 12.0
GAP: Final = 4.0
#: Least clear height between two words. [pt]
APART: Final = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """What is said at the end of a line.

    Parameters
    ----------
    value : float
        Where the line ends, in data; what is not finite is not said.
    word : str
        What it is.
    line : mapping
        Keywords of the line as it is drawn; empty for words about a level or a band.
    """

    value: float
    word: str
    line: Mapping[str, Any] = field(default_factory=dict)


def name_in_margin(ax: Axes, ends: Sequence[End], *, room: float = 0.985) -> None:
    """Name lines at their right end, words pushed apart where lines meet.

    Parameters
    ----------
    ax : Axes
        Its place on the page and its bounds must be settled.
    ends : sequence of End
        In any order.
    room : float
        Share of the page's width at which the margin ends.
    """
    figure = figure_of(ax)
    box = ax.get_position()
    high = box.height * figure.get_size_inches()[1] * 72
    wide = (room - box.x1) * figure.get_size_inches()[0] * 72
    low, top = ax.get_ylim()
    said = sorted((e for e in ends if math.isfinite(e.value)), key=lambda e: e.value)
    said = [e for e in said if low <= e.value <= top]
    words = [_lines(e, wide) for e in said]
    heights = [len(w) * LINE for w in words]
    if sum(heights) + APART * len(heights) > high:  # one line each
        words = [_lines(e, wide, most=1) for e in said]
        heights = [LINE] * len(words)
    wished = [(e.value - low) / (top - low) * high for e in said]
    for end, text, at, y in zip(
        said, words, _spread(wished, heights, high), wished, strict=True
    ):
        _write(ax, end, "\n".join(text), (at / high, y / high))


def _lines(end: End, wide: float, most: int = 2) -> list[str]:
    piece = PIECE + GAP if end.line else 0.0
    return wrap_to(end.word, wide - LEAD - GAP - piece, SIZE, most=most)


def _spread(
    wished: Sequence[float], heights: Sequence[float], high: float
) -> list[float]:
    """Return the middles of words, in order and apart, as near their wish as can be.

    Parameters
    ----------
    wished, heights : sequence of float
        Middle and height of each, from low to high. [pt]
    high : float
        Of the field; words may stand a little beyond both its ends. [pt]
    """
    groups: list[tuple[list[int], float]] = []
    need = [h + APART for h in heights]

    def middle(members: list[int]) -> float:
        """Return the middle of a pile that lies nearest to all its wishes."""
        whole, base = sum(need[i] for i in members), 0.0
        starts = []
        for i in members:
            starts.append(wished[i] - base - need[i] / 2)
            base += need[i]
        start = min(max(float(np.mean(starts)), -LINE), high + LINE - whole)
        return start + whole / 2

    for i in range(len(wished)):
        members = [i]
        at = middle(members)
        while groups:
            last, there = groups[-1]
            below = there + sum(need[k] for k in last) / 2
            if at - sum(need[k] for k in members) / 2 >= below - 1e-9:
                break
            members = last + members
            groups.pop()
            at = middle(members)
        groups.append((members, at))
    out = [0.0] * len(wished)
    for members, at in groups:
        base = at - sum(need[i] for i in members) / 2
        for i in members:
            out[i] = base + need[i] / 2
            base += need[i]
    return out


def _write(ax: Axes, end: End, text: str, heights: tuple[float, float]) -> None:
    """Write words at the first height, with a piece of line and a leader to the second."""
    figure = figure_of(ax)
    box = ax.get_position()
    pt = 1 / (box.width * figure.get_size_inches()[0] * 72)
    at, level = heights
    start = 1 + (LEAD + GAP) * pt if end.line else 1 + LEAD * pt
    for x, y, style, gid in (
        ([1.0, 1 + LEAD * pt], [level, at], {"color": "0.45", "lw": 0.6}, "leader"),
        ([start, start + PIECE * pt], [at, at], dict(end.line), "piece"),
    ):
        if style:
            ax.add_line(
                Line2D(x, y, transform=ax.transAxes, clip_on=False, gid=gid, **style)
            )
    ax.text(
        start + (PIECE + GAP) * pt * bool(end.line) + GAP * pt * (not end.line),
        at,
        text,
        transform=ax.transAxes,
        fontsize=SIZE,
        va="center",
        linespacing=1.05,
        gid="margin",
    )  # fmt: skip
