"""The boxes of a measuring sheet on paper, group after group, sheet after sheet.

Not here: what the boxes are (`boxes`, `letters`), the drawing (`view`).
"""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Final

from linkage.sheet.page import MARGIN, Page

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from linkage.drawing.style import Paper
    from linkage.sheet.boxes import Box
    from linkage.sheet.letters import Group, Row

#: Width of the column of letters, and of the words beside. [mm]
LETTER: Final = 9.0
WORDS: Final = 41.0
#: Boxes side by side.
ACROSS: Final = 4
#: Height of a box, of the words over it, and of the gap below it. [mm]
BOX: Final = 8.2
CAPTION: Final = 3.9
GAP: Final = 1.3
LINE: Final = CAPTION + BOX + GAP
#: Height of a group's heading. [mm]
HEAD: Final = 10.0


def lines_of(row: Row) -> list[Sequence[Box]]:
    """Return the boxes of a row, those side by side together."""
    return [row.boxes[i : i + ACROSS] for i in range(0, len(row.boxes), ACROSS)]


def draw_table(
    groups: Sequence[Group], paper: Paper, *, inches: bool
) -> tuple[list[Page], float]:
    """Draw every group on as many sheets as it takes.

    Parameters
    ----------
    groups : sequence of Group
        From `letters.lettered`.
    paper : {"a4", "letter"}
        The sheets.
    inches : bool
        Whether the boxes are in inches and pounds.

    Returns
    -------
    pages : list of Page
        One or more.
    used : float
        How far down the last is used. [mm]
    """
    pages = [Page(paper)]
    y = MARGIN
    for group in groups:
        first = True
        for row in group.rows:
            high = LINE * len(lines_of(row)) + HEAD * first
            if y + high > pages[-1].foot:
                pages.append(Page(paper))
                y = MARGIN
                if not first:
                    y = _head(pages[-1], y, f"{group.title}, continued", group.note)
            if first:
                y = _head(pages[-1], y, group.title, group.note)
            first = False
            y = _row(pages[-1], y, row, inches=inches)
    return pages, y


def _head(page: Page, y: float, title: str, note: str) -> float:
    page.line((page.left, y + 1.2), (page.right, y + 1.2), width=0.9)
    name = page.fitted(page.left, y + 2.6, title, 10, WORDS + LETTER, weight="bold")
    start = max(LETTER + WORDS, page.measured(name)[0] + 4)
    room = page.right - page.left - start
    page.fitted(page.left + start, y + 3.2, note, 7.5, room)
    return y + HEAD


def _row(page: Page, y: float, row: Row, *, inches: bool) -> float:
    middle = y + CAPTION + BOX / 2
    page.text(
        page.left + LETTER / 2 - 0.8, middle, row.letter, 12, weight="bold",
        ha="center", va="center", gid=f"letter {row.letter}",
    )  # fmt: skip
    words = "\n".join(textwrap.wrap(row.words, 27, break_on_hyphens=False)[:3])
    size = 8.0 if words.count("\n") < 2 else 7.0
    page.fitted(page.left + LETTER, middle, words, size, WORDS - 2, va="center")
    start = page.left + LETTER + WORDS
    wide = (page.right - start) / ACROSS
    number = 0
    for line in lines_of(row):
        for i, box in enumerate(line):
            number += 1
            called = f"{row.letter}{number}"
            _box(page, (start + i * wide, y, wide - 2.0), box, called, inches=inches)
        y += LINE
    return y


def _box(
    page: Page,
    at: tuple[float, float, float],
    box: Box,
    called: str,
    *,
    inches: bool,
) -> None:
    """Draw one box under its words."""
    x, y, wide = at
    number = called.lstrip("ABCDEFGHJKLMNPQRSTUVWXYZ")
    page.fitted(x, y + 0.5, f"{number} {box.words}", 7.8, wide)
    top = y + CAPTION
    if box.kind == "tick":
        for choice, place in zip(box.choices, _halves(len(box.choices)), strict=True):
            page.box(x, top + place, 2.4, 2.4, gid=f"tick {called} {choice}")
            page.text(x + 4, top + place + 1.2, choice, 7, va="center")
        return
    page.box(x, top, wide, BOX, gid=f"box {called}")
    edge = top + BOX - 0.9
    unit = page.text(
        x + wide - 0.9, edge, box.unit(inches=inches), 7.5, ha="right", va="baseline"
    )
    room = wide - page.measured(unit)[0] - 3
    tool = box.tool.words(inches=inches)
    page.fitted(x + 0.9, edge, tool, 6, room, va="baseline")


def _halves(count: int) -> Iterator[float]:
    """Yield where words to tick stand, one under the other. [mm]."""
    step = BOX / count
    yield from ((i + 0.5) * step - 1.2 for i in range(count))
