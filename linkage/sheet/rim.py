"""The rim of a drum or snail, or the profile of a cam, at its true size, to cut it by.

Not here: finding one (`search.rim`, `search.cam_profile`), the sheet itself (`page`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, TypeAlias

import numpy as np

from linkage.drawing.drums import rim_of
from linkage.drawing.style import drawing_style
from linkage.errors import UsageError
from linkage.model import Cam
from linkage.model.profile import closes, outline
from linkage.quantities import say
from linkage.rules.caution import CAUTION
from linkage.sheet.page import Page, pdf_of

if TYPE_CHECKING:
    from linkage.drawing.style import Paper
    from linkage.model import Layout
    from linkage.model.parts import Hole

    Places: TypeAlias = np.ndarray[tuple[int, int], np.dtype[np.float64]]

#: Bars by which a print is proven: their length and its words. [mm]
BARS: Final = ((100.0, "100 mm"), (101.6, "4 in"))
#: A cross at the axis and at the nipple, half its width. [mm]
CROSS: Final = 4.0
#: Points of a round drum, and turn of its normal between those of a cam. [rad]
ROUND: Final = 361
STEP: Final = np.radians(0.5)
#: Room kept for words above and below the drawing. [mm]
HEAD: Final = 52.0
FOOT: Final = 48.0
#: And on its right for the upright bars. [mm]
SIDE: Final = 26.0


def cam_at(layout: Layout, hole: Hole) -> Cam | None:
    """Return the cam whose profile begins on an arm; None where none does."""
    cams = (rod for rod in layout.rods.values() if isinstance(rod, Cam))
    return next((cam for cam in cams if cam.start == hole), None)


def rim_places(layout: Layout, hole: Hole) -> Places:
    """Return the rim of a drum, or a cam's edge, from its axis, as its viewer sees it.

    Returns
    -------
    ndarray, shape (points, 2)
        To the right and up, the pedal up; the nipple, or a cam's arm, first. [mm]
    """
    arm = layout.shafts[hole.shaft].arms[hole.arm]
    cam = cam_at(layout, hole)
    if cam is None:
        turns, radii = rim_of(arm, ROUND)
        return _seen(arm.angle + arm.wound * turns, radii)
    x, y = np.array(outline(cam.profile, STEP)).T * float(arm.length) / cam.base
    return _seen(arm.angle + cam.goes * np.arctan2(y, x), np.hypot(x, y))


def _seen(angles: Any, radii: Any) -> Places:  # noqa: ANN401
    flat = (radii * np.cos(angles), radii * np.sin(angles))
    return np.asarray(1e3 * np.stack(flat, axis=1))


def roller_places(layout: Layout, cam: Cam) -> Places:
    """Return a cam's roller where it is with the pedal up, round about; as `rim_places`."""
    shafts = [layout.shafts[hole.shaft] for hole in (cam.start, cam.end)]
    arms = [
        shaft.arms[hole.arm]
        for shaft, hole in zip(shafts, (cam.start, cam.end), strict=True)
    ]
    axis = shafts[0].axis
    pin = np.array(shafts[1].pin(arms[1].name), float)
    gap = pin - np.array(shafts[0].centre(arms[0].name), float)
    round_ = np.linspace(0.0, 2 * np.pi, ROUND)
    middle = np.array([gap @ np.array(axis.u), gap @ np.array(axis.v)])
    circle = float(cam.roller) * np.stack((np.cos(round_), np.sin(round_)), axis=1)
    return np.asarray(1e3 * (middle + circle))


def rim_sheet(
    layout: Layout, hole: Hole, *, paper: Paper, refused: str | None = None
) -> bytes:
    """Return a sheet with the rim or profile at its true size, as a PDF file.

    Parameters
    ----------
    layout : Layout
        With the drum or cam.
    hole : Hole
        Its arm.
    paper : {"a4", "letter"}
        Upright.
    refused : str, optional
        Why the layout with it must not be fitted; stands at the top of the sheet.

    Raises
    ------
    UsageError
        If it is larger than the sheet.
    """
    with drawing_style():
        page = rim_page(layout, hole, paper=paper, refused=refused)
    return pdf_of([page])


def rim_page(
    layout: Layout, hole: Hole, *, paper: Paper, refused: str | None = None
) -> Page:
    """Return the sheet of `rim_sheet`; call inside `drawing_style`."""
    arm, shaft = layout.shafts[hole.shaft].arms[hole.arm], layout.shafts[hole.shaft]
    places, cam = rim_places(layout, hole), cam_at(layout, hole)
    roller = None if cam is None else roller_places(layout, cam)
    page = Page(paper)
    whole = np.vstack((places, ((0.0, 0.0),), *(() if roller is None else (roller,))))
    low, high = whole.min(axis=0), whole.max(axis=0)
    room = page.right - SIDE - page.left, page.foot - FOOT - HEAD
    if high[0] - low[0] > room[0] or high[1] - low[1] > room[1]:
        what = "drum" if cam is None else "cam"
        msg = f"{what} `{hole}` is larger than a sheet of {paper}"
        raise UsageError(msg, hint="it is drawn at its true size alone")
    # The middle of the drawing in the middle of its room; down is down on paper.
    x0 = page.left + room[0] / 2 - (low[0] + high[0]) / 2
    y0 = HEAD + room[1] / 2 + (low[1] + high[1]) / 2
    at = [(x0 + x, y0 - y) for x, y in places]
    page.line(*at, width=0.8)
    if arm.rim or (cam is not None and not closes(cam.profile)):
        page.line(at[-1], (x0, y0), at[0], width=0.4)
    if roller is not None:
        page.line(*((x0 + x, y0 - y) for x, y in roller), width=0.4)
    _cross(page, (x0, y0))
    _cross(page, at[0])
    _words(page, layout, hole, at[0], (x0, y0))
    line = (
        "the middle of the wire; its groove is half a wire deeper."
        if cam is None
        else "the edge of the cam, to be cut; circle: its roller of "
        f"{say(2 * cam.roller, 'length')} with the pedal up."
    )
    told = f"Seen from {shaft.axis.seen_from}, pedal up. Solid line: {line}"
    page.text(page.left, HEAD - 8, told, 9)
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
    arm, cam = layout.shafts[hole.shaft].arms[hole.arm], cam_at(layout, hole)
    what, start = ("drum", "nipple") if cam is None else ("cam", "begins here")
    page.text(page.left, 14, f"Template of {what} {hole}, true size", 15, weight="bold")
    room = page.right - page.left
    page.fitted(page.left, 23, layout.title, 10, room)
    first = "Nipple" if cam is None else "It begins"
    page.text(
        page.left,
        30,
        f"{first} {say(arm.length, 'length', 2)} from the axis; print at 100 %, no "
        "scaling: both bars must measure true.",
        9,
    )
    # Outside the rim, away from the axis.
    left = nipple[0] < axis[0]
    x = nipple[0] + (-CROSS - 1 if left else CROSS + 1)
    # Clear of the roller, where there is one.
    y, va = (nipple[1], "center") if cam is None else (nipple[1] + CROSS, "top")
    page.text(x, y, start, 9, ha="right" if left else "left", va=va)
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
