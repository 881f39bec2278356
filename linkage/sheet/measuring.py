"""The measuring sheet of a family of layouts: a drawing with letters, and boxes.

Not here: what is measured (`letters`, `boxes`), how it is drawn (`view`, `table`).
"""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Final

from linkage.drawing.style import drawing_style
from linkage.rules.caution import CAUTION
from linkage.sheet.how import FIRST, HIGH, draw_how
from linkage.sheet.letters import lettered
from linkage.sheet.page import MARGIN, Page, pdf_of
from linkage.sheet.table import draw_table
from linkage.sheet.view import draw_lettered

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.drawing.style import Paper
    from linkage.model import Layout

#: Height of a line of small print. [mm]
LINE: Final = 3.9
_HEAD: Final = 44.0


def measuring_sheet(
    layout: Layout,
    *,
    name: str,
    paper: Paper,
    inches: bool = False,
    cautions: Sequence[str] = (),
) -> bytes:
    """Return the blank measuring sheet of a layout as a PDF file.

    Parameters
    ----------
    layout : Layout
        Drawn and lettered; its sizes are not written.
    name : str
        Of the starter layout, whose comments have the same letters.
    paper : {"a4", "letter"}
        Upright.
    inches : bool
        Whether the boxes are in inches and pounds.
    cautions : sequence of str
        Printed at the end.
    """
    with drawing_style():
        pages = sheet_pages(
            layout, name=name, paper=paper, inches=inches, cautions=cautions
        )
    return pdf_of(pages)


def sheet_pages(
    layout: Layout,
    *,
    name: str,
    paper: Paper,
    inches: bool = False,
    cautions: Sequence[str] = (),
) -> list[Page]:
    """Return the sheets of `measuring_sheet`; call inside `drawing_style`."""
    groups = lettered(layout)
    first = Page(paper)
    _write_head(first, layout, inches=inches)
    below = first.foot - 8 - LINE * (len(_wrapped(FIRST, 118)) + 1) - HIGH
    draw_lettered(first.figure, layout, groups, first.room(_HEAD, below))
    draw_how(first, below + 3)
    _write_list(first, below + HIGH + 6, "Before you measure", FIRST)
    pages, used = draw_table(groups, paper, inches=inches)
    if cautions:
        long = LINE * (len(_wrapped(cautions, 118)) + 1)
        if used + 4 + long > pages[-1].foot:
            pages.append(Page(paper))
            used = MARGIN
        _write_list(pages[-1], used + 4, "Cautions", cautions)
    every = [first, *pages]
    for i, page in enumerate(every, start=1):
        _write_foot(page, name, f"sheet {i} of {len(every)}")
    return every


def _write_head(page: Page, layout: Layout, *, inches: bool) -> None:
    page.text(page.left, MARGIN, "Measuring sheet", 15, weight="bold")
    page.fitted(
        page.left + 52, MARGIN + 1.6, f"drawn after: {layout.title}", 8.5,
        page.right - page.left - 52,
    )  # fmt: skip
    y = MARGIN + 15
    _blanks(page, y, (("vehicle", 0.46), ("measured by", 0.32), ("date", 0.22)))
    y += 9
    _blanks(
        page,
        y,
        (("datums: forward from", 0.39), ("to the left from", 0.33), ("up from", 0.28)),
    )
    unit = 'length = "in", angle = "deg", force = "lbf"'
    if not inches:
        unit = 'length = "mm", angle = "deg", force = "N"'
    page.text(
        page.left, y + 2.2,
        f"Write each number into the starter file where its letter stands. Units: {unit}",
        7.5,
    )  # fmt: skip


def _blanks(page: Page, y: float, blanks: Sequence[tuple[str, float]]) -> None:
    """Draw words with lines to write on behind them, sharing the width."""
    x, wide = page.left, page.right - page.left
    for words, share in blanks:
        text = page.text(x, y, words, 8.5, va="bottom")
        start = x + page.measured(text)[0] + 1.5
        x += share * wide
        page.line((start, y), (x - 3, y))


def _wrapped(lines: Sequence[str], width: int) -> list[str]:
    out = []
    for line in lines:
        out += textwrap.wrap(
            line, width, initial_indent="• ", subsequent_indent="   ",
            break_on_hyphens=False,
        )  # fmt: skip
    return out


def _write_list(page: Page, y: float, title: str, lines: Sequence[str]) -> None:
    page.text(page.left, y, title, 9, weight="bold")
    for i, line in enumerate(_wrapped(lines, 118), start=1):
        page.fitted(page.left, y + i * LINE + 0.8, line, 7.5, page.right - page.left)


def _write_foot(page: Page, name: str, number: str) -> None:
    y = page.height - MARGIN + 1
    page.line((page.left, y - 5.4), (page.right, y - 5.4))
    page.text(page.left, y, CAUTION, 7.5, va="bottom")
    told = page.text(page.right, y, number, 7.5, va="bottom", ha="right")
    wide = page.measured(told)[0]
    page.text(
        page.right - wide - 4, y, f"starter: {name}", 7.5, va="bottom", ha="right"
    )
