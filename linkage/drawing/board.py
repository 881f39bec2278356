"""A view as a board of cells: where a label may stand, and where its leader may run.

A label may lie on nothing that is drawn. A leader runs over no part but the one
that it names, in which it ends; over turn arrows and pale lines only where it
must. What fits is worked out for many places of a label at once.

Not here: which label gets which place (`settling`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.canvas import point_of
from linkage.drawing.inked import Ink, inked
from linkage.drawing.meeting import along, counted, summed

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    from linkage.drawing.label import Label

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.int64]
    BoolArray = NDArray[np.bool_]

#: Distances of a label from its point that are tried. [pt]
RINGS: Final = np.array(
    [4.0, 7, 11, 16, 22, 29, 38, 48, 61, 77, 98, 124, 156, 195, 245, 300]
)
DIRECTIONS: Final = 32
#: A leader is drawn where the label is farther than this from its point. [pt]
NEAR: Final = 6.0
#: Clear space about all that is drawn, and about every label. [pt]
CLEAR: Final = 1.2
PAD: Final = 1.8
#: So near its end a leader may touch the clear space about another part. [pt]
GRACE: Final = 1.5
#: A leader ends in its own part no deeper than this. [pt]
DEEP: Final = 6.5
#: A label without a leader is so much nearer to its own part than to another. [pt]
BESIDE: Final = 3.0
#: Distances that are near; the others are tried where fewer places than this fit.
CLOSE: Final = 10
ENOUGH: Final = 40
NAMES: Final = ("boxes", "tips", "ends", "led", "forms", "costs")
#: Most places of a label that are kept.
KEPT: Final = 48
#: What a leader costs, and running over a turn arrow or a pale line, each.
LED: Final = 1.0
OVER: Final = 2.5
#: So many steps of a leader are looked at together. [pt]
STRIDE: Final = 16
#: What a leader meets in a cell: words, a part not its own, its own, other lines.
_WORD, _FOREIGN, _OWN, _SOFT = 1, 2, 4, 8


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Places:
    """Places at which a label may stand, the best first; all lengths in points.

    Parameters
    ----------
    boxes : ndarray, shape (n, 4)
        Left, bottom, right, top, with clear space.
    tips : ndarray, shape (n, 2)
        What the label belongs to.
    ends : ndarray, shape (n, 2)
        Where its leader leaves the box.
    led : ndarray of bool, shape (n,)
        Whether a leader is drawn.
    forms : ndarray of int, shape (n,)
        Which of the label's forms stands there.
    costs : ndarray, shape (n,)
        How bad the place is.
    """

    boxes: FloatArray
    tips: FloatArray
    ends: FloatArray
    led: BoolArray
    forms: IntArray
    costs: FloatArray

    def only(self, which: IntArray) -> Places:
        """Return some of the places."""
        return Places(**{name: getattr(self, name)[which] for name in NAMES})


class Board:
    """What is drawn on a view, in cells of one point.

    Parameters
    ----------
    ax : Axes
        With its place and its limits settled.
    """

    def __init__(self, ax: Axes) -> None:
        self.ax = ax
        self.field = np.asarray(ax.get_window_extent().extents) / point_of(ax)
        size = np.ceil(self.field[2:] - self.field[:2]).astype(int) + 1
        shape = (int(size[0]), int(size[1]))
        self._all = np.zeros(shape, dtype=bool)
        self._parts = np.zeros(shape, dtype=np.int16)
        self._soft = np.zeros(shape, dtype=bool)
        self._words = np.zeros(shape, dtype=bool)
        self._own: dict[str, list[IntArray]] = {}
        self._total: IntArray | None = None
        for ink in inked(ax):
            self.add(ink)

    def add(self, ink: Ink) -> None:
        """Note a stroke."""
        cells = self._cells(_spread(ink.points, ink.width + 2 * CLEAR))
        self._total = None
        self._all.flat[cells] = True
        if ink.part:
            self._parts.flat[cells] += 1
            self._own.setdefault(ink.owner, []).append(cells)
        else:
            self._soft.flat[cells] = True

    def fill(self, boxes: Iterable[FloatArray]) -> None:
        """Note boxes that neither labels nor leaders may touch. [pt]."""
        self._total = None
        for box in boxes:
            low = np.clip(self._index(box[:2] - PAD), 0, self._all.shape)
            high = np.clip(self._index(box[2:] + PAD) + 1, 0, self._all.shape)
            self._all[low[0] : high[0], low[1] : high[1]] = True
            self._words[low[0] : high[0], low[1] : high[1]] = True

    def take(self, place: Places) -> None:
        """Note a label that is written, with its leader."""
        self.fill(place.boxes + PAD * np.array([1, 1, -1, -1]))
        if place.led[0]:
            way = np.array([place.ends[0], place.tips[0]])
            ink = Ink(owner="leader", points=way, width=0.5)
            self.add(ink)
            self._words.flat[self._cells(_spread(way, 0.5 + 2 * CLEAR))] = True

    def places(self, tag: Label, tips: FloatArray, halves: FloatArray) -> Places:
        """Return the places at which a label may stand, the best first.

        Parameters
        ----------
        tag : Label
            What it says and whose it is.
        tips : ndarray, shape (n, 2)
            Its points. [pt]
        halves : ndarray, shape (forms, 2)
            Half the width and the height of each of its forms. [pt]
        """
        near, far = RINGS[:CLOSE], RINGS[CLOSE:]
        found = self._fitting(tag, _tried(tag, tips, halves, near))
        if len(found.costs) < ENOUGH:
            found = joined(found, self._fitting(tag, _tried(tag, tips, halves, far)))
        return _spread_out(found)

    def _fitting(self, tag: Label, found: Places) -> Places:
        """Return the places at which a label hides nothing and its leader runs free."""
        low, high = self.field[:2], self.field[2:]
        inside = (found.boxes[:, :2] >= low) & (found.boxes[:, 2:] <= high)
        found = found.only(np.flatnonzero(inside.all(axis=1)))
        found = found.only(np.flatnonzero(~self._hides(found.boxes)))
        unclear = self._beside_others(found, tag.owners) & ~found.led
        found.led[:] |= unclear
        found.costs[:] += LED * unclear
        refused, soft = self._on_the_way(found, tag.owners)
        found.costs[:] += OVER * soft
        return found.only(np.flatnonzero(~refused))

    def _on_the_way(
        self, found: Places, owners: Collection[str]
    ) -> tuple[BoolArray, IntArray]:
        """Return which leaders run over a part, and over how many other lines."""
        hit = self._told(owners)
        refused = np.zeros(len(found.costs), dtype=bool)
        soft = np.zeros(len(found.costs), dtype=np.int64)
        way = found.tips - found.ends
        length = np.hypot(*way.T)
        unit = way / np.maximum(length, 1e-9)[:, None]
        before = np.zeros((len(found.costs), 1), dtype=bool)
        for start in range(0, int(length.max(initial=0)) + 1, STRIDE):
            live = np.flatnonzero((start <= length) & ~refused)
            back = np.arange(start, start + STRIDE, dtype=float)
            at = [
                found.tips[live, k, None] - back * unit[live, k, None] for k in (0, 1)
            ]
            on = hit.take(self._flat(*at))
            on[back > length[live, None]] = 0
            refuses = np.full(STRIDE, _WORD, dtype=np.uint8)
            refuses[back > GRACE] |= _FOREIGN
            refuses[back > DEEP] |= _OWN
            refused[live] = (on & refuses).any(axis=1)
            over = (on & _SOFT != 0) & (back > 2 * CLEAR + 1)
            over = np.hstack([before[live], over])
            soft[live] += (over[:, 1:] & ~over[:, :-1]).sum(axis=1)
            before[live] = over[:, -1:]
        return refused, soft

    def _told(self, owners: Collection[str]) -> NDArray[np.uint8]:
        """Return what a leader to these parts would meet in each cell, as bits."""
        own = self._owned(owners)
        hit = np.where(self._parts > own, _FOREIGN, 0).astype(np.uint8)
        hit[own > 0] |= _OWN
        hit[self._words] |= _WORD
        hit[self._soft] |= _SOFT
        return hit

    def _flat(self, x: FloatArray, y: FloatArray) -> IntArray:
        """Return the cells of points as places in the board laid flat, the nearest."""
        wide, high = self._parts.shape
        i = np.floor(x - self.field[0]).astype(np.int64).clip(0, wide - 1)
        j = np.floor(y - self.field[1]).astype(np.int64).clip(0, high - 1)
        return np.asarray(i * high + j)

    def _owned(self, owners: Collection[str]) -> NDArray[np.int16]:
        """Return how many strokes of these parts lie in each cell."""
        own = np.zeros(self._parts.shape, dtype=np.int16)
        for owner in owners:
            for cells in self._own.get(owner, ()):
                own.flat[cells] += 1
        return own

    def _beside_others(self, found: Places, owners: Collection[str]) -> BoolArray:
        """Return which places are as near to another part as to their own."""
        length = np.hypot(*(found.tips - found.ends).T)[:, None] + BESIDE
        boxes = found.boxes + length * np.array([-1, -1, 1, 1])
        return self._any_in(boxes, summed(self._parts > self._owned(owners)))

    def _hides(self, boxes: FloatArray) -> BoolArray:
        """Return which boxes lie on anything drawn."""
        if self._total is None:
            self._total = summed(self._all)
        return self._any_in(boxes, self._total)

    def _any_in(self, boxes: FloatArray, total: IntArray) -> BoolArray:
        """Return which boxes hold a cell that is set, from their `summed`."""
        return counted(self._index(boxes[:, :2]), self._index(boxes[:, 2:]), total) > 0

    def free(self, width: float, height: float) -> tuple[float, float] | None:
        """Return the lower left corner of an empty box, the lowest; None for none. [pt]."""
        i, j = np.indices(self._all.shape).reshape(2, -1)[:, ::7]
        low = self.field[:2] + np.column_stack([i, j])
        size = np.array([width, height]) + 2 * PAD
        boxes = np.hstack([low, low + size])
        boxes = boxes[(boxes[:, 2:] <= self.field[2:]).all(axis=1)]
        boxes = boxes[~self._hides(boxes)]
        if not len(boxes):
            return None
        best = boxes[np.lexsort((boxes[:, 0], boxes[:, 1]))[0]]
        return float(best[0]) + PAD, float(best[1]) + PAD

    def _index(self, points: FloatArray) -> IntArray:
        return np.asarray(np.floor(points - self.field[:2]), dtype=np.int64)

    def _cells(self, points: FloatArray) -> IntArray:
        cells = self._index(points)
        within = ((cells >= 0) & (cells < self._all.shape)).all(axis=1)
        return np.unique(cells[within, 0] * self._all.shape[1] + cells[within, 1])


def _spread(points: FloatArray, width: float) -> FloatArray:
    """Return points closely over a stroke and about its ends, shape (n, 2)."""
    length = np.hypot(*np.diff(points, axis=0).T)
    many = np.maximum(np.ceil(length / 0.7).astype(np.int64), 1)
    middle = np.vstack([along(points, many), points[-1:]])
    return np.asarray((middle[:, None, :] + _disk(width)).reshape(-1, 2))


@cache
def _disk(width: float) -> FloatArray:
    """Return points closely over a round spot, shape (n, 2); of few widths."""
    grid = np.arange(-width / 2, width / 2 + 0.7, 0.7)
    disk = [(x, y) for x in grid for y in grid if np.hypot(x, y) <= width / 2]
    return np.array([*disk, (0.0, 0.0)])


def joined(one: Places, other: Places) -> Places:
    """Return the places of both."""
    return Places(
        **{
            name: np.concatenate([getattr(p, name) for p in (one, other)])
            for name in NAMES
        }
    )


def _tried(
    tag: Label, tips: FloatArray, halves: FloatArray, rings: FloatArray
) -> Places:
    """Return every place of a label, whether it fits or not."""
    angles = np.linspace(0, 2 * np.pi, DIRECTIONS, endpoint=False)
    ways = np.column_stack([np.cos(angles), np.sin(angles)])
    index = np.indices((len(halves), len(tips), len(rings), DIRECTIONS)).reshape(4, -1)
    half, tip = halves[index[0]] + PAD, tips[index[1]]
    ring, way = rings[index[2]], ways[index[3]]
    centre = tip + ring[:, None] * way + way * half
    boxes = np.hstack([centre - half, centre + half])
    ends = np.clip(tip, boxes[:, :2], boxes[:, 2:])
    length = np.hypot(*(tip - ends).T)
    led = length > NEAR
    costs = length / 5 + LED * led + 0.04 * index[1] + 0.4 * index[0]
    if any(tag.toward):
        wished = np.array(tag.toward) / np.hypot(*tag.toward)
        costs = costs + 1.2 * (1 - way @ wished)
    return Places(
        boxes=boxes, tips=tip, ends=ends, led=led, forms=index[0], costs=costs
    )


def _spread_out(found: Places) -> Places:
    """Return the best places, of each side and distance at least one."""
    order = np.argsort(found.costs, kind="stable")
    middle = (found.boxes[order, :2] + found.boxes[order, 2:]) / 2
    away = middle - found.tips[order]
    side = np.floor(np.arctan2(away[:, 1], away[:, 0]) / (2 * np.pi) * 16)
    far = np.digitize(
        np.hypot(*(found.ends[order] - found.tips[order]).T), [12, 40, 90]
    )
    kind = (side * 10 + far).astype(np.int64)
    _, first = np.unique(kind, return_index=True)
    chosen = list(np.sort(first)[:KEPT])
    taken = set(chosen)
    chosen += [i for i in range(len(order)) if i not in taken][: KEPT - len(chosen)]
    return found.only(order[np.sort(np.array(chosen, dtype=np.int64))])
