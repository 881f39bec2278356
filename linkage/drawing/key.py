"""Rows over a field that say of each line what it is: a piece of it, a name, words.

The piece is drawn as the line is, so that it is found again in black and white.

Not here: names at the lines themselves (`curve_labels`, `margin`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

from matplotlib.lines import Line2D

from linkage.drawing.fit import shorten_to, width_of, wrap_to

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from matplotlib.figure import Figure

#: Of the letters, and from line to line. [pt]
SIZE: Final = 8.0
LINE: Final = 11.5
#: Where a row begins and ends, as shares of the page's width.
LEFT, RIGHT = 0.03, 0.97
#: Width of the piece of line, and the gap after it and after a name. [pt]
PIECE: Final = 40.0
GAP: Final = 8.0
#: Most of the row that a name may take.
NAME: Final = 0.32
#: Ground of the words DO NOT FIT.
LOUD: Final = "#A02000"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One row of the key.

    Parameters
    ----------
    line : mapping
        Keywords of the line as it is drawn.
    name : str
        What it is.
    text : str
        Its numbers, or nothing.
    loud : str
        Why it must not be fitted, or nothing.
    """

    line: Mapping[str, Any] = field(default_factory=dict)
    name: str = ""
    text: str = ""
    loud: str = ""


def _rows(figure: Figure, entries: Sequence[Entry]) -> list[tuple[str, list[str], int]]:
    """Return name, lines of words and number of quiet ones of every row."""
    page = figure.get_size_inches()[0] * 72
    room = (RIGHT - LEFT) * page - PIECE - GAP
    names = [shorten_to(e.name, NAME * room, SIZE, "bold") for e in entries]
    rows = []
    words = room - _widest(names) - GAP
    for entry, name in zip(entries, names, strict=True):
        quiet = wrap_to(entry.text, words, SIZE, most=2)
        loud = wrap_to(entry.loud, words, SIZE, weight="bold", most=2)
        rows.append((name, [*quiet, *loud] or [""], len(quiet)))
    return rows


def _widest(names: Sequence[str]) -> float:
    return max(width_of(name, SIZE, "bold") for name in names)


def key_height(figure: Figure, entries: Sequence[Entry]) -> float:
    """Return how high the rows stand over each other. [in]."""
    return sum(len(lines) for _, lines, _ in _rows(figure, entries)) * LINE / 72


def draw_key(figure: Figure, entries: Sequence[Entry], top: float) -> float:
    """Write the rows one under the other.

    Parameters
    ----------
    figure : Figure
        Its page.
    entries : sequence of Entry
        The first at the top.
    top : float
        Upper edge of the first, from the bottom of the page. [in]

    Returns
    -------
    float
        Lower edge of the last. [in]
    """
    width, height = figure.get_size_inches()
    rows = _rows(figure, entries)
    step = LINE / 72
    at_name = LEFT + (PIECE + GAP) / 72 / width
    at_words = at_name + (_widest([r[0] for r in rows]) + GAP) / 72 / width
    y = top
    for i, (entry, (name, lines, quiet)) in enumerate(zip(entries, rows, strict=True)):
        middle = (y - step / 2) / height
        ends = (LEFT, LEFT + PIECE / 72 / width)
        piece = Line2D(
            [ends[0], sum(ends) / 2, ends[1]],
            [middle] * 3,
            **{"markevery": [1], **entry.line},
            gid=f"key line {i}",
        )
        figure.add_artist(piece)
        figure.text(
            at_name, middle, name, size=SIZE, weight="bold", va="center_baseline",
            gid=f"key name {i}",
        )  # fmt: skip
        for n, line in enumerate(lines):
            loud = n >= quiet and bool(line)
            figure.text(
                at_words,
                (y - (n + 0.5) * step) / height,
                line,
                size=SIZE,
                va="center_baseline",
                weight="bold" if loud else "normal",
                color=LOUD if loud else "black",
                gid=f"key {'why not' if loud else 'text'} {i}",
            )
        y -= step * len(lines)
    return float(y)
