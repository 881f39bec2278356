"""The rim of a drum or snail at its true size, to cut it by.

Not here: finding a rim (`search.rim`), the sheet itself (`page`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.drums import rim_of
from linkage.drawing.style import drawing_style
from linkage.errors import UsageError
from linkage.quantities import say
from linkage.rules.caution import CAUTION
from linkage.sheet.page import Page, pdf_of

if TYPE_CHECKING:
    from linkage.drawing.style import Paper
    from linkage.model import Layout
    from linkage.model.parts import Hole

#: Bars by which a print is proven: their length and its words. [mm]
BARS: Final = ((100.0, "100 mm"), (101.6, "4 in"))
#: A cross at the axis and at the nipple, half its width. [mm]
CROSS: Final = 4.0
#: Points of a round drum.
ROUND: Final = 361
#: Room kept for words above and below the drawing. [mm]
HEAD: Final = 52.0
FOOT: Final = 48.0
#: And on its right for the upright bars. [mm]
SIDE: Final = 26.0


def rim_places(
    layout: Layout, hole: Hole
) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Return the rim of a drum from its axis, seen by the viewer of its shaft.

    Returns
    -------
    ndarray, shape (points, 2)
        To the right and up, the pedal up; the nipple first. [mm]
    """
    arm = layout.shafts[hole.shaft].arms[hole.arm]
    turns, radii = rim_of(arm, ROUND)
    angles = arm.angle + arm.wound * turns
    return 1e3 * np.stack((radii * np.cos(angles), radii * np.sin(angles)), axis=1)


def rim_sheet(
    layout: Layout, hole: Hole, *, paper: Paper, refused: str | None = None
) -> bytes:
    """Return a sheet with the rim at its true size, as a PDF file.

    Parameters
    ----------
    layout : Layout
        With the drum.
    hole : Hole
        Its arm.
    paper : {"a4", "letter"}
        Upright.
    refused : str, optional
        Why the layout with it must not be fitted; stands at the top of the sheet.

    Raises
    ------
    UsageError
        If the drum is larger than the sheet.
    """
    with drawing_style():
        page = rim_page(layout, hole, paper=paper, refused=refused)
    return pdf_of([page])


def rim_page(
    layout: Layout, hole: Hole, *, paper: Paper, refused: str | None = None
) -> Page:
    """Return the sheet of `rim_sheet`; call inside `drawing_style`."""
    arm, shaft = layout.shafts[hole.shaft].arms[hole.arm], layout.shafts[hole.shaft]
    places = rim_places(layout, hole)
    page = Page(paper)
    whole = np.vstack((places, ((0.0, 0.0),)))
    low, high = whole.min(axis=0), whole.max(axis=0)
    room = page.right - SIDE - page.left, page.foot - FOOT - HEAD
    if high[0] - low[0] > room[0] or high[1] - low[1] > room[1]:
        msg = f"drum `{hole}` is larger than a sheet of {paper}"
        raise UsageError(msg, hint="it is drawn at its true size alone")
    # The middle of the drawing in the middle of its room; down is down on paper.
    x0 = page.left + room[0] / 2 - (low[0] + high[0]) / 2
    y0 = HEAD + room[1] / 2 + (low[1] + high[1]) / 2
    at = [(x0 + x, y0 - y) for x, y in places]
    page.line(*at, width=0.8)
    if arm.rim:
        page.line(at[-1], (x0, y0), at[0], width=0.4)
    _cross(page, (x0, y0))
    _cross(page, at[0])
    _words(page, layout, hole, at[0], (x0, y0))
    page.text(
        page.left,
        HEAD - 8,
        f"Seen from {shaft.axis.seen_from}, pedal up. Solid line: the middle of the wire; "
        "its groove is half a wire deeper.",
        9,
    )
    if refused is not None:
        why = f"DO NOT FIT: {refused}"
        page.fitted(page.left, 37, why, 12, page.right - page.left, weight="bold")
    _bars(page)
    return page


def _cross(page: Page, at: tuple[float, float]) -> None:
    x, y = at
    page.line((x - CROSS, y), (x + CROSS, y), width=0.4)
    page.line((x, y - CROSS), (x, y + CROSS), width=0.4)


def _words(
    page: Page,
    layout: Layout,
    hole: Hole,
    nipple: tuple[float, float],
    axis: tuple[float, float],
) -> None:
    arm = layout.shafts[hole.shaft].arms[hole.arm]
    page.text(page.left, 14, f"Template of drum {hole}, true size", 15, weight="bold")
    room = page.right - page.left
    page.fitted(page.left, 23, layout.title, 10, room)
    page.text(
        page.left,
        30,
        f"Nipple {say(arm.length, 'length', 2)} from the axis; print at 100 %, no scaling: "
        "both bars must measure true.",
        9,
    )
    # Outside the rim, away from the axis.
    left = nipple[0] < axis[0]
    x = nipple[0] + (-CROSS - 1 if left else CROSS + 1)
    page.text(x, nipple[1], "nipple", 9, ha="right" if left else "left", va="center")
    page.text(axis[0] + 2.5, axis[1] + 2.0, f"axis of {hole.shaft}", 9)


def _bars(page: Page) -> None:
    """Draw the bars that prove the print, both ways, and the caution."""
    y = page.foot - 34
    for i, (long, words) in enumerate(BARS):
        at = y + 9 * i
        page.line((page.left, at), (page.left + long, at), width=0.8)
        for x in (page.left, page.left + long):
            page.line((x, at - 2), (x, at + 2), width=0.8)
        page.text(page.left + long + 3, at - 2, words, 9)
    x = page.right - 6
    for i, (long, words) in enumerate(BARS):
        at = x - 12 * i
        low = page.foot - 4
        page.line((at, low - long), (at, low), width=0.8)
        for end in (low - long, low):
            page.line((at - 2, end), (at + 2, end), width=0.8)
        page.text(at - 1, low - long - 6, words, 9, ha="center")
    page.fitted(page.left, page.foot - 10, CAUTION, 8, page.right - page.left - SIDE)
