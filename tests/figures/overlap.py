"""What touches what on a figure, measured by the renderer and not by eye.

Boxes are left, bottom, right, top; segments are pairs of points; all in pixels.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.text import Annotation, Text

from linkage.drawing.style import still_style

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

#: Boxes that share less than this are beside each other. [px]
SLACK = 0.5


def fields(figure: Figure) -> list[Axes]:
    """Return every axes, with scales that stand at another axes' edge."""
    return [a for ax in figure.axes for a in (ax, *ax.child_axes)]


def texts_of(figure: Figure) -> list[Text]:
    """Return every text that is seen: notes, labels, names and numbers of axes."""
    found: list[Text] = list(figure.texts)
    for ax in fields(figure):
        if not ax.get_visible():
            continue
        found += [*ax.texts, ax.title]
        legend = ax.get_legend()
        found += [] if legend is None else legend.get_texts()
        for axis in (ax.xaxis, ax.yaxis) if ax.axison else ():
            found.append(axis.label)
            for tick in axis._update_ticks():
                found += [tick.label1, tick.label2]
    return [t for t in found if t.get_visible() and t.get_text().strip()]


def box_of(text: Text, renderer: Any) -> FloatArray:
    """Return the box of a text alone, without its leader, but with its ground."""
    if isinstance(text, Annotation):
        text.update_positions(renderer)
    ground = text.get_bbox_patch()
    if ground is not None:
        text.update_bbox_position_size(renderer)
        return np.array(ground.get_window_extent(renderer).extents)
    return np.array(Text.get_window_extent(text, renderer).extents)


def segments_of(line: Line2D) -> FloatArray:
    """Return what is drawn of a line, shape (n, 2, 2), cut off at its field."""
    if line.get_linestyle() in {"None", "none", "", " "}:
        return np.empty((0, 2, 2))
    points = line.get_transform().transform(np.asarray(line.get_xydata(), float))
    pairs = np.stack([points[:-1], points[1:]], axis=1)
    pairs = pairs[np.isfinite(pairs).all(axis=(1, 2))]
    if line.axes is None or not line.get_clip_on() or not len(pairs):
        return pairs
    enter, leave = _inside(pairs, np.array(line.axes.bbox.extents))
    step = pairs[:, 1] - pairs[:, 0]
    cut = np.stack([pairs[:, 0] + s[:, None] * step for s in (enter, leave)], axis=1)
    return cut[enter <= leave]


def markers_of(line: Line2D) -> FloatArray:
    """Return the box of each of a line's markers, shape (n, 4)."""
    if line.get_marker() in {"None", "none", "", " ", None}:
        return np.empty((0, 4))
    points = line.get_transform().transform(np.asarray(line.get_xydata(), float))
    every = line.get_markevery()
    if every is not None:
        points = points[every] if isinstance(every, list) else points[::every]
    points = points[np.isfinite(points).all(axis=1)]
    half = line.get_markersize() / 2 * line.get_figure(root=True).dpi / 72
    narrow = half * (0.2 if line.get_marker() == "|" else 1.0)
    size = np.array([narrow, half])
    return np.hstack([points - size, points + size])


def _inside(pairs: FloatArray, box: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return from and to which share of itself each segment lies in a box."""
    start, step = pairs[:, 0], pairs[:, 1] - pairs[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        near, far = (box[:2] - start) / step, (box[2:] - start) / step
    within = (start >= box[:2]) & (start <= box[2:])
    level = step == 0
    near = np.where(level, np.where(within, -np.inf, np.inf), near)
    far = np.where(level, np.where(within, np.inf, -np.inf), far)
    enter = np.minimum(near, far).max(axis=1)
    leave = np.maximum(near, far).min(axis=1)
    apart = (level & ~within).any(axis=1)
    return np.where(apart, 2.0, np.clip(enter, 0, None)), np.clip(leave, None, 1)


def crosses(box: FloatArray, segments: FloatArray) -> bool:
    """Tell whether any segment runs through a box."""
    enter, leave = _inside(segments, np.asarray(box, float))
    return bool((enter <= leave).any())


def meet(one: FloatArray, other: FloatArray, slack: float = SLACK) -> bool:
    """Tell whether two boxes share more than a hair."""
    return bool(
        (one[:2] + slack < other[2:]).all() and (other[:2] + slack < one[2:]).all()
    )


def frames_of(ax: Axes) -> FloatArray:
    """Return the drawn edges of a field, shape (n, 2, 2)."""
    if not ax.axison or not hasattr(ax, "spines"):
        return np.empty((0, 2, 2))
    x0, y0, x1, y1 = ax.bbox.extents
    sides = {
        "left": ((x0, y0), (x0, y1)),
        "right": ((x1, y0), (x1, y1)),
        "bottom": ((x0, y0), (x1, y0)),
        "top": ((x0, y1), (x1, y1)),
    }
    seen = [s for name, s in sides.items() if ax.spines[name].get_visible()]
    return np.array(seen, float).reshape(-1, 2, 2)


def faults(
    figure: Figure, belongs: Callable[[Text, Line2D], bool] | None = None
) -> list[str]:
    """Return all that is wrong with where the texts of a figure stand.

    Parameters
    ----------
    figure : Figure
        With an Agg canvas.
    belongs : callable, optional
        Whether a text may lie on a line; None where none may lie on any.

    Returns
    -------
    list of str
        Texts over each other, on lines, markers, leaders or the edge of a field,
        and what leaves the page.
    """
    with still_style():  # letters as wide as they are saved
        figure.draw_without_rendering()
        renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
        texts = texts_of(figure)
        boxes = [box_of(t, renderer) for t in texts]
        return [
            *_off_page(figure, texts, boxes),
            *_on_texts(texts, boxes),
            *_on_lines(figure, texts, boxes, belongs or (lambda _text, _line: False)),
        ]


def _off_page(
    figure: Figure, texts: list[Text], boxes: list[FloatArray]
) -> Iterator[str]:
    page = np.array(figure.bbox.extents)
    for text, box in zip(texts, boxes, strict=True):
        if (box[:2] < page[:2] - SLACK).any() or (box[2:] > page[2:] + SLACK).any():
            yield f"{text.get_text()!r} leaves the page"


def _on_texts(texts: list[Text], boxes: list[FloatArray]) -> Iterator[str]:
    for (a, one), (b, other) in combinations(zip(texts, boxes, strict=True), 2):
        if meet(one, other):
            yield f"{a.get_text()!r} is over {b.get_text()!r}"


def _on_lines(
    figure: Figure,
    texts: list[Text],
    boxes: list[FloatArray],
    belongs: Callable[[Text, Line2D], bool],
) -> Iterator[str]:
    for line in figure.lines:
        yield from _on_line(line, texts, boxes, belongs)
    for ax in fields(figure):
        edge = frames_of(ax)
        for text, box in zip(texts, boxes, strict=True):
            if crosses(box, edge):
                yield f"{text.get_text()!r} is on the edge of a field"
        for line in ax.lines:
            if line.get_visible():
                yield from _on_line(line, texts, boxes, belongs)


def _near(box: FloatArray, points: FloatArray) -> bool:
    """Tell whether a box meets the least box around points; quick, as most do not."""
    if not len(points):
        return False
    low, high = points.min(axis=0), points.max(axis=0)
    return bool((low <= box[2:]).all() and (high >= box[:2]).all())


def _on_line(
    line: Line2D,
    texts: list[Text],
    boxes: list[FloatArray],
    belongs: Callable[[Text, Line2D], bool],
) -> Iterator[str]:
    segments, markers = segments_of(line), markers_of(line)
    leader = line.get_gid() == "leader"  # it may end at the box it comes from
    name = line.get_gid() or line.get_label()
    drawn = np.concatenate([segments.reshape(-1, 2), markers.reshape(-1, 2)])
    for text, box in zip(texts, boxes, strict=True):
        if not _near(box, drawn):
            continue
        inner = box + (3 if leader else SLACK) * np.array([1, 1, -1, -1])
        if belongs(text, line):
            continue
        if crosses(inner, segments):
            yield f"{text.get_text()!r} is on the line {name!r}"
        elif any(meet(inner, m, 0.0) for m in markers):
            yield f"{text.get_text()!r} is on a marker of {name!r}"
