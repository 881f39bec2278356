"""Names at the lines of a travel curve.

Lines that lie on each other as drawn share one name, as none could be told from
the other there; elsewhere a name stands where its line is clear of the others.

Not here: the other labels (`curve_labels`), how room is found (`labels`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from linkage.drawing.canvas import point_of
from linkage.drawing.fit import ink, wrap_to
from linkage.drawing.labels import Tag

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

#: Lines nearer than this from end to end are drawn on each other. [pt]
SAME: Final = 3.0
#: Height of a line of a label, width of a letter, and clear space about one. [pt]
HIGH: Final = 11.0
BROAD: Final = 5.8
CLEAR: Final = 7.0
#: Widest that a name may be before it is wrapped. [pt]
WIDE: Final = 115.0


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Drawn:
    """What labels keep off.

    Parameters
    ----------
    lines, across, symbols : sequence of Line2D
        Curves; lines across the whole field; markers.
    named : sequence of (Line2D, str, str)
        Those of the curves that get a name, with it and its colour.
    """

    lines: Sequence[Line2D]
    across: Sequence[Line2D]
    symbols: Sequence[Line2D]
    named: Sequence[tuple[Line2D, str, str]]


def points_of(line: Line2D) -> FloatArray:
    """Return the points of a line, shape (n, 2)."""
    return np.asarray(line.get_xydata(), dtype=float)


def finite(points: FloatArray) -> FloatArray:
    """Return those points that are numbers."""
    return points[np.isfinite(points).all(axis=1)]


def _bundles(ys: Sequence[FloatArray], ends: Sequence[float]) -> list[list[int]]:
    """Return lines that lie on each other, by number, from their heights. [pt]."""
    out: list[list[int]] = []
    for i, y in enumerate(ys):
        for bundle in out:
            first = bundle[0]
            apart = np.abs(ys[first] - y)
            apart = apart[np.isfinite(apart)]
            near = not apart.size or apart.max() < SAME  # or both are a mere spot
            if near and abs(ends[first] - ends[i]) < 3 * SAME:
                bundle.append(i)
                break
        else:
            out.append([i])
    return out


def name_tags(ax: Axes, drawn: Drawn) -> list[Tag]:
    """Return the names of lines, each where its line is clear of the others."""
    pt = point_of(ax)
    box = ax.bbox
    grid = np.linspace(box.x0 + 0.04 * box.width, box.x0 + 0.97 * box.width, 48)
    lines = [finite(ax.transData.transform(points_of(n[0]))) for n in drawn.named]
    heights = [
        np.interp(grid, at[:, 0], at[:, 1], left=np.nan, right=np.nan) / pt
        for at in lines
    ]
    bundles = _bundles(heights, [float(at[-1, 0]) / pt for at in lines])
    levels = [np.asarray(line.get_ydata())[0] for line in drawn.across]
    across = [ax.transData.transform((0.0, float(level)))[1] for level in levels]
    flat = np.array([*across, box.y0, box.y1]) / pt
    marks = [finite(ax.transData.transform(points_of(m))) for m in drawn.symbols]
    tags: list[Tag] = []
    for number, bundle in enumerate(bundles):
        y = heights[bundle[0]]
        beside = [heights[b[0]] for n, b in enumerate(bundles) if n != number]
        text = _listed([drawn.named[i][1] for i in bundle])
        words = wrap_to(text, WIDE, 9, weight="bold", most=4)
        where = (0.5, 0.35, 0.65, 0.22, 0.8)[number % 5]
        taken = _marked(np.column_stack([grid, y * pt]), marks, 12 * pt)
        own = lines[bundle[0]] / pt
        line = Spots(grid / pt, y, own[[-1, len(own) // 2, 0]], taken, where)
        size = (BROAD * max(map(len, words)), HIGH * len(words) + CLEAR)
        spots, way = _spots(line, (beside, flat), size)
        data = ax.transData.inverted().transform(spots * pt)
        first = drawn.named[bundle[0]]
        gids = [str(drawn.named[i][0].get_gid()) for i in bundle]
        style = {
            "color": ink(first[2]) if len(bundle) == 1 else "#000000",
            "fontsize": 9,
            "fontweight": "bold",
            "gid": "name: " + "; ".join(gids),
        }
        tags.append(
            Tag(
                text="\n".join(words),
                at=tuple(data[0]),
                also=tuple(tuple(p) for p in data[1:]),
                toward=(-0.3 * way, way),
                # Another line is near too, so it is led to however near it stands.
                **({"lead": 0.0} if len(drawn.named) > 1 else {}),
                style=style,
            )
        )
    return tags


def _marked(
    line: FloatArray, marks: Sequence[FloatArray], near: float
) -> NDArray[np.bool_]:
    """Return which points of a line a mark stands at, shape (n,)."""
    at = np.vstack([np.empty((0, 2)), *marks])
    apart = np.hypot(*np.moveaxis(line[:, None] - at[None], 2, 0))
    return np.asarray((apart < near).any(axis=1))


def _listed(words: Sequence[str]) -> str:
    """Return names of lines that lie on each other as one."""
    plain = list(dict.fromkeys(words))
    kinds = {w.partition(": ")[0] for w in plain if ": " in w}
    if len(kinds) == 1 and all(": " in w for w in plain):
        (kind,) = kinds
        return f"{kind}: " + _listed([w.partition(": ")[2] for w in plain])
    return plain[0] if len(plain) == 1 else f"{', '.join(plain[:-1])} and {plain[-1]}"


@dataclass(frozen=True, slots=True, eq=False)
class Spots:
    """Where on a line a name may stand.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        The line; nan where it is not drawn. [pt]
    points : ndarray, shape (3, 2)
        Its end, middle and start, for a line shorter than a step of those. [pt]
    taken : ndarray of bool, shape (n,)
        Where a mark stands.
    where : float
        The share of the line at which its name would be liked.
    """

    x: FloatArray
    y: FloatArray
    points: FloatArray
    taken: NDArray[np.bool_]
    where: float


def _spots(
    line: Spots,
    beside: tuple[Sequence[FloatArray], FloatArray],
    size: tuple[float, float],
) -> tuple[FloatArray, int]:
    """Return points of a line clear of others on one side, the best first, and the side.

    Parameters
    ----------
    line : Spots
        The line.
    beside : (sequence of ndarray, ndarray)
        Heights of other lines at its points, and of lines across the field. [pt]
    size : (float, float)
        Width and height that the name takes. [pt]
    """
    need = size[1]
    drawn = np.isfinite(line.y)
    if not drawn.any():  # all of it lies between two steps of the grid
        return line.points, 1
    seen = np.flatnonzero(drawn & ~line.taken)
    seen = seen if seen.size else np.flatnonzero(drawn)
    x, y = line.x[seen], line.y[seen]
    steps = np.array([b[seen] for b in beside[0]] + [y * 0 + b for b in beside[1]]) - y
    every = np.array([*beside[0], *(line.y * 0 + b for b in beside[1])])
    step = line.x[1] - line.x[0]
    over = [_room(way * line.y, way * every, size[0] / step)[seen] for way in (1, -1)]
    if np.max(over) < need:  # then where the line itself is clear
        over = [_room(way * line.y, way * every, 0.0)[seen] for way in (1, -1)]
    near = (np.abs(np.nan_to_num(steps, nan=np.inf)) <= SAME).any(axis=0)
    wish = seen[0] + line.where * (seen[-1] - seen[0])
    tried = []
    for way, clear in zip((1, -1), over, strict=True):
        room = np.minimum(clear, need) / need - 0.5 * near
        score = room - 0.25 * np.abs(seen - wish) / len(seen) + 0.05 * (way > 0)
        order = np.argsort(-score, kind="stable")
        good = [int(i) for i in order if room[i] >= 1] or [int(order[0])]
        tried.append((float(score[good[0]]), good[:12], way))
    _, good, way = max(tried)
    return np.column_stack([x[good], y[good]]), way


def _room(own: FloatArray, others: FloatArray, wide: float) -> FloatArray:
    """Return the height above a line to the next, over the width of a name, shape (n,).

    Parameters
    ----------
    own : ndarray, shape (n,)
        Heights of the line; nan where it is not drawn. [pt]
    others : ndarray, shape (lines, n)
        Of those beside it. [pt]
    wide : float
        Of the name, in steps.
    """
    half = round(wide / 2)
    over = np.where(others - own > SAME, others, np.inf).min(axis=0)
    there = np.where(np.isfinite(own), own, -np.inf)
    window = 2 * half + 1
    ceiling = sliding_window_view(np.pad(over, half, "edge"), window).min(axis=1)
    floor = sliding_window_view(np.pad(there, half, "edge"), window).max(axis=1)
    return np.asarray(ceiling - floor)
