"""Arms of all rods on a way, searched one rod after the other.

Each rod on the way has a range of lengths and angles for its two arms. All are
tried coarsely, the best again about themselves in fine steps, and a few good
outcomes are carried on to the next rod, each with the arms found before it.

Not here: solving and scoring one rod (`search.rods`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from linkage.model.rows import rows_of, take
from linkage.records import dataclass
from linkage.search.changes import ANGLE_STEP, length_step
from linkage.search.rods import NEVER, SAMPLES, attempt, chain, turning_right, with_arms
from linkage.search.spans import KEPT, Span

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Hole, Layout, Link
    from linkage.model.columns import FloatArray, Number
    from linkage.search.rods import Aim, Outcome
    from linkage.search.spans import Vary

    Index = NDArray[np.intp]

#: Most rows of one coarse look; wider steps are taken until there are no more.
COARSE_MOST: Final = 3000
#: Positions of a first look at many rows.
FEW: Final = 9
#: Rows from which on those that turn the wrong way are left out before it.
MANY: Final = 500
#: Outcomes of one rod that are carried on to the next.
CARRIED: Final = 3
#: Outcomes of the last rod.
KEPT_LAST: Final = 4
#: By how many values are free: looks about the best, so many steps of so many fine
#: ones either way. One value: all of them. More: nearer and nearer.
NEARER: Final = {
    0: ((0, 1),),
    1: ((5, 1),),
    2: ((2, 3), (1, 1)),
    3: ((1, 3), (1, 2), (1, 1)),
}
#: Rank from which an outcome is so far from its aims that it is as good as none; of
#: a coarse look, twice as much.
HOPELESS: Final = 25.0
#: Outcomes of a coarse look that are tried again in fine steps.
SEEDS: Final = 6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Found:
    """Arms found for the rods on a way, a row each, best first.

    Parameters
    ----------
    arms : mapping of Hole to pair of ndarray, shape (rows,)
        Lengths [m] and angles [rad].
    of : ndarray of int, shape (rows,)
        Row of the layout that was searched.
    rank : ndarray, shape (rows,)
        Score and effort together; less is better.
    reached : ndarray, shape (rows,)
        Share of the last aim's turn. [1]
    """

    arms: Mapping[Hole, tuple[FloatArray, FloatArray]]
    of: Index
    rank: FloatArray
    reached: FloatArray

    def __len__(self) -> int:
        return len(self.of)

    def layout(self, layout: Layout) -> Layout:
        """Return the layout that was searched with these arms, as rows."""
        return self.of_rows(layout, many=rows_of(layout) > 1)

    def of_rows(self, layout: Layout, *, many: bool) -> Layout:
        """Return the same where it is known whether the layout is many."""
        return arms_set(take(layout, self.of) if many else layout, self.arms)


def arms_set(
    layout: Layout, arms: Mapping[Hole, tuple[FloatArray, FloatArray]]
) -> Layout:
    """Return the layout with arms set anew, their angles from -180° to 180°.

    What stays as it was, to a billionth, keeps its very number.
    """
    changed = {}
    for hole, (length, angle) in arms.items():
        arm = layout.shafts[hole.shaft].arms[hole.arm]
        old_length, old_angle = np.ravel(arm.length), np.ravel(arm.angle)
        turned = np.radians(np.round(np.degrees(_wrapped(angle)), 9))
        stays = np.abs(_wrapped(angle - old_angle)) < 1e-9
        same = np.abs(length - old_length) < 1e-9
        size = np.where(same, old_length, np.round(length, 9))
        turned = np.where(stays, old_angle, turned)
        changed[hole] = (_alike(size), _alike(turned))
    return with_arms(layout, changed)


def _alike(values: FloatArray) -> Number:
    """Return a value for all rows as a float."""
    return float(values[0]) if values.size == 1 else values


def _wrapped(angle: FloatArray) -> FloatArray:
    return angle - 2 * np.pi * np.round(angle / (2 * np.pi))


class _Rod:
    """One rod of the way: its grid, its effort, its rows."""

    def __init__(self, layout: Layout, link: Link, vary: Vary, aim: Aim) -> None:
        self.link, self.vary, self.aim = link, vary, aim
        self.spans = vary.driver, vary.driven
        self.now = [layout.shafts[h.shaft].arms[h.arm] for h in link.holes]
        self._base, self._many = layout, False

    def stands_on(self, base: Layout, *, many: bool) -> None:
        """Take the layouts found before, cut down to this rod."""
        self._base, self._many = base, many

    def grid(self, many: int) -> FloatArray:
        """Return rows to try: both lengths, then both angles, shape (4, rows)."""
        wide = 1
        while wide < 4 and many * math.prod(map(len, self._values(wide))) > COARSE_MOST:
            wide += 1
        return _product(self._values(wide))

    def _values(self, wide: int) -> list[FloatArray]:
        pairs = list(zip(self.spans, self.now, strict=True))
        return [f(s, a, wide) for f in (Span.lengths, Span.angles) for s, a in pairs]

    def steps(self) -> FloatArray:
        """Return the fine step of each value; 0 where it stays."""
        out = [length_step() * (s.shortest != s.longest) for s in self.spans]
        return np.array(out + [ANGLE_STEP * (s.either != 0) for s in self.spans])

    def arms(self, rows: FloatArray) -> dict[Hole, tuple[FloatArray, FloatArray]]:
        """Return rows as lengths and angles by hole."""
        one, two = self.link.holes
        return {one: (rows[0], rows[2]), two: (rows[1], rows[3])}

    def base(self, of: Index) -> Layout:
        """Return the layouts that rows stand on, cut down to this rod."""
        return take(self._base, of) if self._many else self._base

    def tried(self, rows: FloatArray, of: Index, positions: int) -> _Look:
        """Try rows; little change comes first."""
        arms = self.arms(rows)
        outcome = attempt(self.base(of), self.link, arms, self.aim, positions)
        turned = np.zeros(rows.shape[1])
        grown = np.zeros(rows.shape[1])
        for i in (0, 1):
            turned += np.abs(rows[2 + i] - self.now[i].angle - self.spans[i].turn)
            grown += np.abs(rows[i] - self.now[i].length)
        calm = 90 - np.degrees(outcome.least)
        effort = 0.002 * np.degrees(turned) + 10.0 * grown + 0.2 * (grown > 1e-9)
        ranks = outcome.score + effort + self.vary.calm * calm
        return _Look(rows, of, ranks, outcome)


def _product(values: Sequence[FloatArray]) -> FloatArray:
    return np.stack([m.ravel() for m in np.meshgrid(*values, indexing="ij")])


def search(
    layout: Layout, path: Sequence[Link], varies: Sequence[Vary], aims: Sequence[Aim]
) -> Found:
    """Search all rods on a way, each after the one that drives it.

    Parameters
    ----------
    layout : Layout
        One, or some that differ before the way; each is searched.
    path : sequence of Link
        Rods that follow one another.
    varies, aims : sequence
        One for each rod.

    Returns
    -------
    Found
        No rows where no combination does what it shall.
    """
    begin = rows_of(layout)
    none = np.zeros(begin)
    found = Found(arms={}, of=np.arange(begin), rank=none, reached=none)
    for i, (link, vary, aim) in enumerate(zip(path, varies, aims, strict=True)):
        if not found.arms and vary.driver == vary.driven == KEPT and i < len(path) - 1:
            continue
        final = i == len(path) - 1
        # An arm that two rods share is set already.
        shared = link.driver in found.arms
        rod = _Rod(layout, link, replace(vary, driver=KEPT) if shared else vary, aim)
        base = chain(found.of_rows(layout, many=begin > 1), link.driven.shaft)
        rod.stands_on(base, many=len(found) > 1)
        found = _next(rod, found, final=final)
        if not len(found):
            break
    return found


class _Look(NamedTuple):
    """Rows that were tried: both lengths and angles, and what came of them.

    ``of`` is the row of what was found before on which each stands.
    """

    rows: FloatArray
    of: Index
    ranks: FloatArray
    outcome: Outcome

    def take(self, index: Index) -> _Look:
        """Return some rows."""
        outcome = self.outcome.take(index)
        return _Look(self.rows[:, index], self.of[index], self.ranks[index], outcome)


def _next(rod: _Rod, found: Found, *, final: bool) -> Found:
    """Return what was found before with the arms of one more rod."""
    grid = rod.grid(len(found))
    of = np.repeat(np.arange(len(found)), grid.shape[1])
    rows = np.tile(grid, len(found))
    if rod.link.driver in found.arms:
        rows[0], rows[2] = (v[of] for v in found.arms[rod.link.driver])
    if len(of) > MANY:
        right = turning_right(rod.base(of), rod.link, rod.arms(rows), rod.aim)
        rows, of = rows[:, right], of[right]
    if not len(of):
        return Found(arms={}, of=of, rank=np.zeros(0), reached=np.zeros(0))
    coarse = rod.tried(rows, of, FEW)
    look = coarse.take(_distinct(coarse, found.rank, SEEDS))
    hope = np.min(look.ranks + found.rank[look.of], initial=np.inf)
    if hope < 2 * HOPELESS:
        look = _refined(rod, look)
    good = look.ranks < NEVER / 2
    if not final:
        good &= ~look.outcome.jams
    total = np.where(good, look.ranks + found.rank[look.of], np.inf)
    best = np.argsort(total, kind="stable")[: KEPT_LAST if final else CARRIED]
    look = look.take(best[np.isfinite(total[best])])
    was = look.of
    arms = {hole: (a[was], b[was]) for hole, (a, b) in found.arms.items()}
    return Found(
        arms={**arms, **rod.arms(look.rows)},
        of=found.of[was],
        rank=found.rank[was] + look.ranks,
        reached=look.outcome.reached,
    )


def _refined(rod: _Rod, look: _Look) -> _Look:
    """Return the best row about each of some rows, in fine steps."""
    steps = rod.steps()
    near = NEARER[min(int(np.count_nonzero(steps)), max(NEARER))]
    for k, (either, wide) in enumerate(near, start=1):
        positions = SAMPLES if k == len(near) else SAMPLES // 2 + 1
        about = np.arange(-either, either + 1) * wide
        offsets = _product([about * s if s else np.zeros(1) for s in steps])
        seeds, each = len(look.of), offsets.shape[1]
        rows = np.repeat(look.rows, each, axis=1) + np.tile(offsets, seeds)
        look = rod.tried(rows, np.repeat(look.of, each), positions)
        best = np.argmin(look.ranks.reshape(seeds, each), axis=1)
        look = look.take(best + each * np.arange(seeds))
    return look


def _distinct(look: _Look, before: FloatArray, count: int) -> Index:
    """Return the best rows that are not all but the same."""
    apart = np.array([6e-3, 6e-3, math.radians(10), math.radians(10)])[:, None]
    best = np.argsort(look.ranks + before[look.of], kind="stable")[: 40 * count]
    best = best[look.ranks[best] < NEVER / 2]
    chosen: list[int] = []
    while best.size and len(chosen) < count:
        i = int(best[0])
        chosen.append(i)
        near = np.all(np.abs(look.rows[:, best] - look.rows[:, [i]]) < apart, axis=0)
        best = best[~(near & (look.of[best] == look.of[i]))]
    return np.array(chosen, dtype=int)
