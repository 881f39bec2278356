"""What something is drawn on, and how large it is there.

Not here: figures and how they are saved (`style`), words of a given width (`fit`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.text import Annotation, Text

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]


def figure_of(artist: Artist) -> Figure:
    """Return the figure on which something is drawn, itself for a figure."""
    figure = artist.get_figure(root=True)
    assert figure is not None  # noqa: S101 - what is drawn stands on a figure
    return figure


def renderer_of(artist: Artist) -> Any:  # noqa: ANN401
    """Return what measures words on the figure of something."""
    canvas: Any = figure_of(artist).canvas
    return canvas.get_renderer()


def point_of(artist: Artist) -> float:
    """Return how many pixels a printed point takes on the figure of something."""
    return float(figure_of(artist).dpi / 72)


def points_per_metre(ax: Axes) -> float:
    """Return how many printed points a metre of the drawing takes."""
    left, right = ax.get_xlim()
    return float(ax.get_window_extent().width / point_of(ax) / (right - left))


def extent(text: Text) -> FloatArray:
    """Return left, bottom, right, top of a text alone, without any arrow. [px]."""
    renderer = renderer_of(text)
    if isinstance(text, Annotation):
        text.update_positions(renderer)
    return np.asarray(Text.get_window_extent(text, renderer).extents, dtype=float)


def outer(text: Text) -> FloatArray:
    """Return left, bottom, right, top of a text with its frame, if it has one. [px]."""
    box = extent(text)
    frame = text.get_bbox_patch()
    if frame is None:
        return box
    renderer = renderer_of(text)
    text.update_bbox_position_size(renderer)
    return np.asarray(frame.get_window_extent(renderer).extents, dtype=float)
