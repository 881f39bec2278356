"""Whether a picture can be read: what labels and leaders of a figure touch, by its pixels.

The drawing is rendered without its words, so that what a label would hide is seen
as the printer sees it, whatever made it.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from linkage.drawing.style import still_style
from tests.figures.overlap import box_of, meet, texts_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]
    Found = list[tuple[str, FloatArray]]

#: What is no part: a leader may run over it, a label may not.
NO_PARTS = {"turn", "ghost", "included", "gap", "mark", "obstacle", "within", "near"}
#: A leader ends in its own part: no deeper than this. [pt]
DEEP = 8.0
#: Lighter than this is paper. [of 255]
PAPER = 245


def kind(line: Artist) -> str:
    return str(line.get_gid() or "").partition(" ")[0]


def faults(figure: Figure, axes: list[Axes]) -> list[str]:
    """Return all that is wrong with labels and leaders on some fields of a figure."""
    with still_style():
        return _faults(figure, axes)


def _faults(figure: Figure, axes: list[Axes]) -> list[str]:
    figure.draw_without_rendering()
    renderer = figure.canvas.get_renderer()
    wanted = {t for ax in axes for t in ax.texts} | set(figure.texts)
    texts = [t for t in texts_of(figure) if t in wanted]
    boxes = [(t.get_text(), box_of(t, renderer)) for t in texts]
    lines = [line for ax in axes for line in ax.lines]
    leaders = [
        (f"leader {i}", line.get_transform().transform(line.get_xydata()))
        for i, line in enumerate(a for a in lines if kind(a) == "leader")
    ]
    words = [t for t in texts_of(figure) if t in wanted]
    pale = [a for a in lines if kind(a) in {"leader", "dot"}]
    # What is swept is paler than any part, and words on it are read as on paper.
    under = [c for ax in axes for c in ax.collections if kind(c) == "swept"]
    drawn = _ink(figure, [*words, *pale, *under])
    parts = _ink(
        figure, [*words, *pale, *under, *(a for a in lines if kind(a) in NO_PARTS)]
    )
    return [
        *_off_page(figure, boxes),
        *(
            f"{a!r} touches {b!r}"
            for (a, p), (b, q) in combinations(boxes, 2)
            if meet(p, q)
        ),
        *_over_drawing(drawn, boxes),
        *_over_parts(parts, leaders, figure.dpi / 72),
        *_over_words(leaders, boxes),
        *_over_leaders(leaders),
    ]


def _ink(figure: Figure, hidden: list[Artist]) -> NDArray[np.bool_]:
    """Return where something is drawn, shape (x, y) from the lower left corner."""
    hidden = [a for a in hidden if a.get_visible()]
    for artist in hidden:
        artist.set_visible(False)
    figure.canvas.draw()
    shades = np.asarray(figure.canvas.buffer_rgba())[..., :3].min(axis=2)
    for artist in hidden:
        artist.set_visible(True)
    return np.asarray((shades < PAPER)[::-1].T)


def _off_page(figure: Figure, boxes: Found) -> Iterator[str]:
    for text, box in boxes:
        if (box[:2] < 0).any() or (box[2:] > figure.bbox.extents[2:]).any():
            yield f"{text!r} leaves the page"


def _over_drawing(drawn: NDArray[np.bool_], boxes: Found) -> Iterator[str]:
    for text, box in boxes:
        x0, y0 = np.ceil(np.maximum(box[:2], 0)).astype(int)
        x1, y1 = np.floor(box[2:]).astype(int)
        if drawn[x0:x1, y0:y1].any():
            yield f"{text!r} is over the drawing"


def _over_parts(
    parts: NDArray[np.bool_], leaders: Found, point: float
) -> Iterator[str]:
    """Leaders may end in ink that reaches to their end, and touch no other."""
    for name, ends in leaders:
        length = float(np.hypot(*(ends[1] - ends[0])))
        share = np.linspace(1, 0, max(int(length / 0.5), 2))
        at = np.floor(ends[0] + share[:, None] * (ends[1] - ends[0])).astype(int)
        at = np.clip(at, 0, np.array(parts.shape) - 1)
        on = parts[tuple(at.T)] & ((1 - share) * length > DEEP * point)
        if on.any():
            yield f"{name} to {np.round(ends[1])} crosses a part at {at[on][0]}"


def _over_words(leaders: Found, boxes: Found) -> Iterator[str]:
    for name, ends in leaders:
        way = np.linspace(0.02, 1, 60)[:, None]
        at = ends[0] + way * (ends[1] - ends[0])
        for text, box in boxes:
            if ((at > box[:2] + 0.5) & (at < box[2:] - 0.5)).all(axis=1).any():
                yield f"{name} crosses the words {text!r}"


def _over_leaders(leaders: Found) -> Iterator[str]:
    for (a, p), (b, q) in combinations(leaders, 2):
        if _cross(p, q):
            yield f"{a} crosses {b}"


def _cross(p: FloatArray, q: FloatArray) -> bool:
    def side(a: FloatArray, b: FloatArray, c: FloatArray) -> float:
        return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))

    return (
        side(p[0], p[1], q[0]) * side(p[0], p[1], q[1]) < 0
        and side(q[0], q[1], p[0]) * side(q[0], q[1], p[1]) < 0
    )
