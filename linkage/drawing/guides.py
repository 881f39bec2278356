"""Slides as they are drawn: a bar through its guide, two lines with hatching outside.

The bar is drawn from the end of its guide that is farther from a pin up to the pin, which
so moves alone; off the bar's middle it stands on a foot that goes with it.

Not here: where pins are (`track`), what is said of slides (`layout_labels`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.quantities import say

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.drawing.views import View
    from linkage.model import Slide

    FloatArray = NDArray[np.float64]

#: Half the width between the two lines, length of a hatch and way between two. [pt]
HALF: Final = 4.6
HATCH: Final = 4.2
APART: Final = 4.0
#: Whither something goes that goes forward, left or up in the vehicle, and back.
WHITHER: Final = (
    ("to the front", "to the rear"),
    ("to the left", "to the right"),
    ("up", "down"),
)
#: A guide that is seen shorter than this is seen along itself. [pt]
LEAST: Final = 2.0


def bar_root(slide: Slide, pin: str) -> FloatArray:
    """Return the end of a slide's guide that is farther from a pin, shape (3,). [m]."""
    low, high = slide.bearings or (0.0, 0.0)
    middle = (float(low) + float(high)) / 2
    far = slide.guide[0 if float(slide.arms[pin].offset) > middle else 1]
    return np.array(far, float)


def bar_feet(slide: Slide, pin: str, ways: FloatArray) -> FloatArray:
    """Return the foot of a pin on the bar at some ways, shape (n, 3). [m].

    Parameters
    ----------
    slide : Slide
        Of one layout.
    pin : str
        Its pin.
    ways : ndarray, shape (n,)
        Of the slide from rest. [m]
    """
    foot = np.array(slide.centre(pin), float)
    return foot + np.outer(ways, np.array(slide.axis.n, float))


def guide_line(slide: Slide, view: View, point: float) -> FloatArray:
    """Return a guide as one line with gaps, on a view.

    Parameters
    ----------
    slide : Slide
        Of one layout.
    view : View
        On which it is seen.
    point : float
        A printed point in the vehicle. [m]

    Returns
    -------
    ndarray, shape (n, 2)
        Two lines along it with hatches outside of them; a square where it is seen along
        itself. nan parts its pieces. [m]
    """
    ends = view.project(np.array(slide.guide, float))
    along = ends[1] - ends[0]
    size = float(np.hypot(*along))
    half = HALF * point
    if size < LEAST * point:
        square = np.array([[1, 1], [-1, 1], [-1, -1], [1, -1], [1, 1]], float)
        return np.asarray(ends[0] + half * square)
    unit = along / size
    out = np.array([-unit[1], unit[0]])
    gap = np.full((1, 2), np.nan)
    pieces = []
    for side in (1.0, -1.0):
        edge = ends + side * half * out
        pieces += [edge, gap]
        many = max(int(size / (APART * point)), 1)
        for share in (np.arange(many) + 0.5) / many:
            foot = edge[0] + share * along
            tip = foot + HATCH * point * 0.7 * (side * out - unit)
            pieces += [np.array([foot, tip]), gap]
    return np.vstack(pieces[:-1])


def way_words(slide: Slide, way: float) -> str:
    """Return whither a slide goes in the vehicle, and how far.

    The left and right of a picture are those of the vehicle in some views alone.

    Parameters
    ----------
    slide : Slide
        Of one layout.
    way : float
        How far, positive as of the slide. [m]
    """
    gone = way * np.array(slide.axis.n, float)
    k = int(np.abs(gone).argmax())
    if not abs(gone[k]) > 0:
        return "does not move"
    return f"goes {WHITHER[k][int(gone[k] < 0)]} {say(abs(way), 'length')}"
