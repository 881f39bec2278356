"""The views of a layout: which are needed, where they stand, how points fall.

Views are set out as in third-angle projection (ISO 5456-2): what is seen from
behind stands left of what is seen from the right, what is seen from above
stands over it, all to one scale.

Not here: what is drawn in them (`pose`, `layout`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.cables import hung_on, smooth
from linkage.drawing.drums import farthest
from linkage.drawing.loose import loose_rods
from linkage.drawing.obstacles import shown_points
from linkage.drawing.pad import pad_ends
from linkage.model import NAMED, Axis, Cable, Hole, Shaft, Slide
from linkage.motion import frame

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout, Vector
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Cosine above which a shaft counts as seen square on.
SQUARE: Final = 1 - 1e-9
#: Directions that a view names with an arrow, in the order of choice.
COMPASS: Final[tuple[tuple[str, Vector], ...]] = (
    ("front", (1, 0, 0)),
    ("up", (0, 0, 1)),
    ("left", (0, 1, 0)),
    ("right", (0, -1, 0)),
)


#: Holes, anchors and sheaths farther apart than this toward the viewer ask for a second
#: view: more than levers beside each other are (common practice, no source). [m]
OUT: Final = 0.010


#: Least width of a view: its name goes into it. [in]
NAME: Final = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """One view.

    Parameters
    ----------
    name : str
        For example ``seen from the right``.
    axis : Axis
        u points right on the picture, v up, n at the viewer.
    """

    name: str
    axis: Axis

    def project(self, points: FloatArray) -> FloatArray:
        """Return where points fall, shape (..., 3) to (..., 2). [m]."""
        return np.asarray(points @ np.array([self.axis.u, self.axis.v], float).T)

    def facing(self, shaft: Shaft) -> int:
        """Return 1 or -1 where a shaft is seen square on, from its side or the other.

        0 where it is not.
        """
        cosine = float(np.dot(self.axis.n, shaft.viewed.n))
        return int(np.sign(cosine)) if abs(cosine) > SQUARE else 0

    def compass(self) -> list[tuple[str, FloatArray]]:
        """Return the two clearest vehicle directions on this view, each shape (2,)."""
        fallen = [(word, self.project(np.array(d, float))) for word, d in COMPASS]
        clear = [(word, way) for word, way in fallen if np.hypot(*way) > 0.5]
        return clear[:2]


def view_along(axis: Axis) -> View:
    """Return the view of a shaft's own viewer, for example of ``NAMED["along"]``."""
    return View(name=f"seen from {axis.seen_from}", axis=axis)


def views_needed(layout: Layout) -> tuple[View, ...]:
    """Return the views in which some shaft is seen square on, and one more for depth.

    Where all shafts are seen square on in one view, it does not tell which arm
    lies how far along its shaft, nor how a rod or a spring leans out of the plane;
    where any of them does, a second view shows it.

    Parameters
    ----------
    layout : Layout
        Any.

    Returns
    -------
    tuple of View
        Of right, behind and above those needed, then one for each shaft that
        stands square in none of them, then the one for depth.
    """
    named = [view_along(axis) for axis in NAMED.values()]
    shafts = list(layout.shafts.values())
    views = [v for v in named if any(v.facing(s) for s in shafts)]
    for shaft in shafts:
        if not any(view.facing(shaft) for view in views):
            views.append(view_along(shaft.viewed))
    if len(views) == 1 and depth(layout, views[0]) > OUT:
        first = np.array(views[0].axis.n, float)
        views.append(min(named, key=lambda v: abs(float(np.dot(v.axis.n, first)))))
    return tuple(views)


def depth(layout: Layout, view: View) -> float:
    """Return how far holes, anchors and sheaths lie apart toward the viewer. [m]."""
    points = [s.pin(a) for s in layout.shafts.values() for a in s.arms]
    points += [s.anchor for s in layout.springs.values() if s.anchor is not None]
    for rod in layout.rods.values():
        points += rod.route if isinstance(rod, Cable) else ()
    return float(np.ptp(np.array(points, float) @ np.array(view.axis.n, float)))


def share_of(layout: Layout, view: View) -> float:
    """Return how much room labels of a view ask for beside those of another.

    A shaft seen square on has its sense and the size of every arm beside it; of
    others stands the name alone.
    """
    full = [shaft for shaft in layout.shafts.values() if view.facing(shaft)]
    return 1.0 + 0.2 * sum(1 + len(shaft.arms) for shaft in full)


def shaft_line(shaft: Shaft, least: float = 0.012) -> FloatArray:
    """Return the two ends of a shaft's centre line, shape (2, 3). [m].

    Parameters
    ----------
    shaft : Shaft
        Its arms' offsets and its pivot span it; of a slide its guide.
    least : float
        Length beyond the outermost of these; half the longest arm where that is
        less. [m]
    """
    if isinstance(shaft, Slide):
        return np.array(shaft.guide, float)
    along = [0.0, *(arm.offset for arm in shaft.arms.values())]
    normal = np.array(shaft.axis.n, float)
    least = min(least, 0.5 * max(float(arm.length) for arm in shaft.arms.values()))
    ends = np.array([min(along) - least, max(along) + least])
    return np.asarray(np.array(shaft.pivot) + ends[:, None] * normal)


def extent_of(motion: Motion, view: View) -> tuple[float, float, float, float]:
    """Return left, bottom, right and top of all that moves or stands. [m].

    Parameters
    ----------
    motion : Motion
        The whole travel.
    view : View
        On which it falls.
    """
    layout = motion.assembly.layout
    holes = [Hole(shaft=n, arm=arm) for n, s in layout.shafts.items() for arm in s.arms]
    points = [shaft_line(shaft) for shaft in layout.shafts.values()]
    points += [frame(motion).pin(hole).T for hole in holes]
    points += [np.array([s.anchor], float) for s in layout.springs.values() if s.anchor]
    points += list(pad_ends(motion))
    points += _slot_ends(motion)
    points += [smooth(r.route) for r in layout.rods.values() if isinstance(r, Cable)]
    points += _rims(layout)
    points += shown_points(motion)
    flat = np.vstack([view.project(np.vstack(points)), hung_on(motion, view)])
    low, high = np.nanmin(flat, axis=0), np.nanmax(flat, axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _rims(layout: Layout) -> list[FloatArray]:
    """Return circles round all that drums and cams sweep, each shape (36, 3). [m]."""
    angles, out = np.linspace(0, 2 * np.pi, 36, endpoint=False), []
    for hole, most in farthest(layout).items():
        shaft = layout.shafts[hole.shaft]
        axes = np.array([shaft.axis.u, shaft.axis.v], float)
        ring = most * np.column_stack([np.cos(angles), np.sin(angles)]) @ axes
        out.append(np.array(shaft.centre(hole.arm), float) + ring)
    return out


def _slot_ends(motion: Motion) -> list[FloatArray]:
    """Return where slots end that reach beyond their pins, each shape (n, 3). [m]."""
    out = []
    for name, loose in loose_rods(motion).items():
        rod = motion.assembly.layout.rods[name]
        holes = (rod.start, rod.end) if loose.at else (rod.end, rod.start)
        eye, pin = (frame(motion).pin(hole).T for hole in holes)
        out.append(eye + loose.far[:, None] * (pin - eye))
    return out


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Where the views stand on a figure.

    Parameters
    ----------
    scale : float
        Inches on the picture a metre in the vehicle. [in/m]
    boxes : tuple of 4-tuples
        Left, bottom, width, height of each view. [in]
    limits : tuple of 4-tuples
        Left, right, bottom, top of each view in the vehicle. [m]
    """

    scale: float
    boxes: tuple[tuple[float, float, float, float], ...]
    limits: tuple[tuple[float, float, float, float], ...]


_CELLS: Final = {"across": (1, 1), "along": (0, 1), "upright": (1, 0)}


def set_out(
    views: Sequence[View],
    extents: Sequence[tuple[float, float, float, float]],
    room: tuple[float, float, float, float],
    margin: tuple[float, float] = (0.95, 0.72),
    shares: Sequence[float] | None = None,
) -> Sheet:
    """Set views out in a field, all to the greatest scale at which they fit.

    Parameters
    ----------
    views : sequence of View
        One or more.
    extents : sequence of 4-tuples
        Of each view, from `extent_of`. [m]
    room : tuple of 4 floats
        Left, bottom, width, height of the field. [in]
    margin : tuple of 2 floats
        Room for labels beside and above each view. [in]
    shares : sequence of float, optional
        Of each view in the room that is left over; None for the same for each.
    """
    best: tuple[float, list[tuple[int, int]]] | None = None
    for cells in _arrangements(views):
        scale = _fit(cells, extents, room, margin)
        if best is None or scale > best[0]:
            best = (scale, cells)
    assert best is not None  # noqa: S101 - there is always one in a row
    if best[0] <= 0:  # a small field: rather less room for labels than no drawing
        return set_out(views, extents, room, (margin[0] / 2, margin[1] / 2), shares)
    return _placed(best[1], best[0], extents, room, shares or [1.0] * len(views))


def _arrangements(views: Sequence[View]) -> list[list[tuple[int, int]]]:
    """Return ways to set the views out, as (column, row from the top)."""
    names = [view.axis.name for view in views]
    row = [(i, 0) for i in range(len(views))]
    if set(names) <= set(_CELLS) and "across" in names and len(views) > 1:
        order = [_CELLS[name] for name in names]
        columns = sorted({c for c, _ in order})
        rows = sorted({r for _, r in order})
        angle = [(columns.index(c), rows.index(r)) for c, r in order]
        return [angle, row] if names == ["across", "upright"] else [angle]
    if len(views) > 3:
        return [[(i % 2, i // 2) for i in range(len(views))], row]
    return [row]


def _spans(
    cells: Sequence[tuple[int, int]],
    extents: Sequence[tuple[float, float, float, float]],
) -> tuple[FloatArray, FloatArray]:
    """Return the widest view of each column and the tallest of each row. [m]."""
    wide = np.zeros(max(c for c, _ in cells) + 1)
    tall = np.zeros(max(r for _, r in cells) + 1)
    for (column, row), (x0, y0, x1, y1) in zip(cells, extents, strict=True):
        wide[column] = max(wide[column], x1 - x0)
        tall[row] = max(tall[row], y1 - y0)
    return wide, tall


def _fit(
    cells: Sequence[tuple[int, int]],
    extents: Sequence[tuple[float, float, float, float]],
    room: tuple[float, float, float, float],
    margin: tuple[float, float],
) -> float:
    wide, tall = _spans(cells, extents)
    across = room[2] - 2 * margin[0] * len(wide)
    up = room[3] - 2 * margin[1] * len(tall)
    return float(min(across / max(wide.sum(), 1e-3), up / max(tall.sum(), 1e-3)))


def _wide_enough(widths: FloatArray, room: float) -> FloatArray:
    """Return widths of columns so that the name of a view goes into each. [in]."""
    least = min(NAME, room / len(widths))
    spare = np.maximum(widths - least, 0.0)
    lack = np.maximum(least - widths, 0.0).sum()
    return np.maximum(widths, least) - lack * spare / max(float(spare.sum()), 1e-9)


def _placed(
    cells: Sequence[tuple[int, int]],
    scale: float,
    extents: Sequence[tuple[float, float, float, float]],
    room: tuple[float, float, float, float],
    shares: Sequence[float],
) -> Sheet:
    """Share out what room is left and centre each view in its cell."""
    wide, tall = (span * scale for span in _spans(cells, extents))
    part = np.zeros(len(wide))
    for (column, _), share in zip(cells, shares, strict=True):
        part[column] = max(part[column], share)
    widths = _wide_enough(wide + (room[2] - wide.sum()) * part / part.sum(), room[2])
    heights = tall + (room[3] - tall.sum()) / len(tall)
    lefts = room[0] + np.concatenate([[0], np.cumsum(widths)])
    tops = room[1] + room[3] - np.concatenate([[0], np.cumsum(heights)])
    boxes, limits = [], []
    for (column, row), (x0, y0, x1, y1) in zip(cells, extents, strict=True):
        box = (
            float(lefts[column]),
            float(tops[row + 1]),
            float(lefts[column + 1] - lefts[column]),
            float(tops[row] - tops[row + 1]),
        )
        half_x, half_y = box[2] / scale / 2, box[3] / scale / 2
        middle_x, middle_y = (x0 + x1) / 2, (y0 + y1) / 2
        boxes.append(box)
        limits.append(
            (middle_x - half_x, middle_x + half_x, middle_y - half_y, middle_y + half_y)
        )
    return Sheet(scale=scale, boxes=tuple(boxes), limits=tuple(limits))
