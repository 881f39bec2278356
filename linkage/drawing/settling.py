"""Which label gets which place: none touches another, and the whole costs least.

After J. Christensen, J. Marks, S. Shieber (1995), "An empirical study of
algorithms for point-feature label placement", ACM Transactions on Graphics 14
(3), 203-232: each label has places to choose from, and a choice is bettered
step by step. Here a step moves one label and, where that takes the place of
others, these too; the same view always comes out the same.

Not here: which places there are (`board`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.board import PAD, Places
from linkage.drawing.meeting import crossing, over, through

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    IntArray = NDArray[np.int64]
    BoolArray = NDArray[np.bool_]

#: What it costs to leave a label out; those that come first cost more.
OUT: Final = 400.0
#: Times that all labels are gone through, at most.
ROUNDS: Final = 6
#: A step that would move more other labels than this is not tried.
MOVED: Final = 3


def settled(places: Sequence[Places]) -> list[int | None]:
    """Return for each label which of its places it gets; None where there is none.

    Parameters
    ----------
    places : sequence of Places
        Of each label, the most needed label first.
    """
    many = [len(p.costs) for p in places]
    if not sum(many):
        return [None] * len(places)
    search = _Search(places, many)
    order = sorted(range(len(places)), key=lambda t: (many[t] > 12, t))
    for label in order:
        search.put(label, search.best(label))
    for _ in range(ROUNDS):
        moved = [search.better(label) for label in range(len(places))]
        if not any(moved):
            break
    return [
        None if at < 0 else int(at - start)
        for at, start in zip(search.chosen, search.starts, strict=False)
    ]


class _Search:
    """A choice of places, and what each place would meet."""

    def __init__(self, places: Sequence[Places], many: Sequence[int]) -> None:
        self.starts = np.concatenate([[0], np.cumsum(many)]).astype(np.int64)
        self.costs = np.concatenate([p.costs for p in places])
        self.meets = _meeting(places, self.starts)
        self.label = np.repeat(np.arange(len(places)), many)
        #: Of each label its place, -1 for none; and how many of these each place meets.
        self.chosen = np.full(len(places), -1, dtype=np.int64)
        self.met = np.zeros(len(self.costs), dtype=np.int64)
        self.out = OUT - np.arange(len(places))

    def cost(self, label: int, at: int) -> float:
        return float(self.out[label] if at < 0 else self.costs[at])

    def put(self, label: int, at: int) -> None:
        """Give a label a place, or -1 for none."""
        if self.chosen[label] >= 0:
            self.met -= self.meets[self.chosen[label]]
        if at >= 0:
            self.met += self.meets[at]
        self.chosen[label] = at

    def best(self, label: int) -> int:
        """Return the best place of a label that meets no other, -1 where all do."""
        one, two = self.starts[label], self.starts[label + 1]
        free = np.flatnonzero(self.met[one:two] == 0)
        if not len(free):
            return -1
        return int(one + free[np.argmin(self.costs[one:two][free])])

    def better(self, label: int) -> bool:
        """Move a label, and others out of its way, where all together then cost less."""
        before = int(self.chosen[label])
        self.put(label, -1)
        for at in range(int(self.starts[label]), int(self.starts[label + 1])):
            if self.costs[at] >= self.cost(label, before) - 1e-9 and before >= 0:
                break  # places stand in order, and moving others only costs
            if self.met[at] <= MOVED and self._moved(label, at, before):
                return True
        self.put(label, before)
        return False

    def _moved(self, label: int, at: int, before: int) -> bool:
        """Try one place; undo it where the whole does not cost less."""
        others = [
            int(other)
            for other in np.flatnonzero(self.chosen >= 0)
            if self.meets[at, self.chosen[other]]
        ]
        olds = [int(self.chosen[other]) for other in others]
        for other in others:
            self.put(other, -1)
        self.put(label, at)
        for other in others:
            self.put(other, self.best(other))
        news = [int(self.chosen[other]) for other in others]
        gain = self.cost(label, before) - self.cost(label, at)
        gain += sum(
            self.cost(o, old) - self.cost(o, new)
            for o, old, new in zip(others, olds, news, strict=True)
        )
        if gain > 1e-6:
            return True
        for other in others:
            self.put(other, -1)
        self.put(label, -1)
        for other, old in zip(others, olds, strict=True):
            self.put(other, old)
        return False


def _meeting(places: Sequence[Places], starts: IntArray) -> BoolArray:
    """Return which places of different labels cannot be had together."""
    total = int(starts[-1])
    meets = np.zeros((total, total), dtype=bool)
    for i, one in enumerate(places):
        for j in range(i):
            other = places[j]
            if not _near(one, other):
                continue
            block = _meet(one, other)
            rows = slice(starts[i], starts[i + 1])
            columns = slice(starts[j], starts[j + 1])
            meets[rows, columns] = block
            meets[columns, rows] = block.T
    return meets


def _near(one: Places, other: Places) -> bool:
    """Tell whether any place of one label could meet any of another."""
    if not len(one.costs) or not len(other.costs):
        return False
    spans = [np.vstack([p.boxes[:, :2], p.boxes[:, 2:], p.tips]) for p in (one, other)]
    low = [span.min(axis=0) - PAD for span in spans]
    high = [span.max(axis=0) + PAD for span in spans]
    return bool((low[0] <= high[1]).all() and (low[1] <= high[0]).all())


def _meet(one: Places, other: Places) -> BoolArray:
    """Return which places of two labels meet, shape (n, m)."""
    meets = over(one.boxes, other.boxes)
    meets |= one.led[:, None] & through(one.ends, one.tips, other.boxes)
    meets |= other.led[None] & through(other.ends, other.tips, one.boxes).T
    both = one.led[:, None] & other.led[None]
    meets |= both & crossing(one.ends, one.tips, other.ends, other.tips)
    close = np.hypot(*(one.tips[:, None] - other.tips[None]).transpose(2, 0, 1))
    return np.asarray(meets | (both & (close < PAD)))
