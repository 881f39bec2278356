"""Where a rod runs out: the pad position past which it no longer reaches.

A rod that fails only for a moment between two samples is found too: every low
point of its reach is looked at again more closely.

Not here: stops (`motion.working`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np

from linkage.model.columns import spread
from linkage.motion.events import (
    FINE,
    SAME,
    crossings,
    each_of,
    one_crossing,
    over_rows,
    together,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.model.columns import Positions
    from linkage.motion.chain import Chain, Solved
    from linkage.motion.events import Measure

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

#: Reach below which a low point is looked at more closely.
LOW: Final = 0.02
#: Reach that is more than rounding below zero.
GONE: Final = -1e-12


def jams(
    chain: Chain, travel: Positions, solved: Solved
) -> tuple[IntArray, FloatArray]:
    """Return the first rod that runs out in every row, and where.

    Parameters
    ----------
    chain : Chain
        What moves.
    travel : ndarray, shape (rows, n)
        From a position that can be reached, in either direction. [m]
    solved : Solved
        The chain at these positions.

    Returns
    -------
    rods : ndarray of int, shape (rows,)
        Index of the rod in driving order; -1 where all reach.
    places : ndarray, shape (rows,)
        The last pad position that can be reached; nan where all reach. [m]
    """
    rows = len(travel)
    start = travel[:, 0]
    rods = np.full(rows, -1)
    first = np.full(rows, np.nan)
    for k, spot in _spots(chain, travel, solved).items():
        place = _lost(chain, spot, travel, first)
        away, best = np.abs(place - start), np.abs(first - start)
        nearer = (away < best - SAME) | (np.isnan(first) & ~np.isnan(place))
        # As good as at once with one before: that one is told.
        first = np.where(nearer | (away < best), place, first)
        rods = np.where(nearer, k, rods)
    return rods, first


class _Spot(NamedTuple):
    """Where one rod's reach falls below zero among the samples, in every row."""

    rod: str
    #: The first sample at which it does not reach, or the number of samples.
    end: IntArray
    #: Rows in which it is gone there, as the rod that drives it has run out.
    lost: IntArray
    #: The last position that can be reached, as far as that is known; else nan. [m]
    place: FloatArray


def _spots(chain: Chain, travel: Positions, solved: Solved) -> Mapping[int, _Spot]:
    """Return by rod where it falls below zero; of those that come near to it."""
    rows, count = travel.shape
    every, soonest = np.arange(rows), np.full(rows, count)
    spots: dict[int, _Spot] = {}
    events: list[tuple[Any, ...]] = []
    for k, loop in enumerate(chain.loops):
        name = loop.link.rod.name
        reach = over_rows(solved.reach(name), rows)
        if np.min(reach, initial=np.inf) >= LOW:  # nan is not
            continue
        bad = ~(reach >= 0)
        end = np.where(bad.any(axis=-1), bad.argmax(axis=-1), count)
        place = _momentary(chain, name, travel, reach, end)
        at_end = np.minimum(end, count - 1)
        # No need to look where another has run out before.
        ask = (end < count) & np.isnan(place) & (end <= soonest)
        lost = ask & np.isnan(reach[every, at_end])
        spots[k] = _Spot(name, end, np.flatnonzero(lost), place)
        some = np.flatnonzero(ask & ~lost)
        near = travel[some, np.maximum(end[some] - 1, 0)]
        events.append((np.full(len(some), k), some, near, travel[some, end[some]]))
        soonest = np.minimum(soonest, end)
    for which, some, near, far in together(events):
        if some.size:
            measure = _fail(chain, which)
            before, _ = one_crossing(chain.take(some), measure, near, far)
            for k in each_of(which):
                spots[k].place[some[which == k]] = before[which == k]
    return spots


def _lost(
    chain: Chain, spot: _Spot, travel: Positions, limit: FloatArray
) -> FloatArray:
    """Return where a rod runs out, also where the rod that drives it is gone.

    Then it may have run out just before: ``limit`` is where one that was looked at
    before has run out; nan if none.
    """
    some, place = spot.lost, spot.place
    near = travel[some, np.maximum(spot.end[some] - 1, 0)]
    start, far = travel[some, 0], np.where(np.isnan(limit), travel[:, -1], limit)[some]
    ask = np.abs(far - start) > np.abs(near - start)
    some, near, far = some[ask], near[ask], far[ask]
    if some.size:
        sub = chain.take(some)
        place[some], _ = one_crossing(sub, _fails(spot.rod), near, far)
    return place


def _fail(chain: Chain, which: IntArray) -> Measure:
    """Return the measure of events, each of its own rod; its index is given."""
    known = each_of(which)
    names = [chain.loops[k].link.rod.name for k in known]
    if len(names) == 1:
        return _fails(names[0])
    mine = [(which == k)[:, None] for k in known]

    def measure(solved: Solved, rows: IntArray) -> Positions:
        out = np.full((len(rows), np.shape(solved.travel)[-1]), -1.0)
        for name, here in zip(names, mine, strict=True):
            np.copyto(out, 0.0, where=here[rows] & (solved.reach(name) < 0))
        return out

    return measure


def _fails(rod: str) -> Measure:
    def measure(solved: Solved, rows: IntArray) -> Positions:
        return over_rows(np.where(solved.reach(rod) < 0, 0.0, -1.0), len(rows))

    return measure


def _momentary(
    chain: Chain, rod: str, travel: Positions, reach: Positions, end: IntArray
) -> FloatArray:
    """Return where the reach dips below zero between samples before ``end``."""
    place = np.full(len(reach), np.nan)
    which, at = np.nonzero(reach < LOW)
    before, after = np.maximum(at - 1, 0), np.minimum(at + 1, reach.shape[-1] - 1)
    here = reach[which, at]
    left, right = reach[which, before], reach[which, after]
    # Not higher than either side; a nan beside it comes after it, at the end. Nor as
    # high as both: while nothing moves, as in free play, there is no low point.
    dips = (here <= left) & (at < end[which])
    dips &= ~(here > right) & ~np.isnan(right)
    dips &= (here < left) | (here < right)
    which, at, before, after = which[dips], at[dips], before[dips], after[dips]
    if not which.size:
        return place
    low, high = travel[which, before], travel[which, after]
    some = chain.take(which)
    before, _ = crossings(some, _fails(rod), low, high)
    hidden = np.flatnonzero(np.isnan(before))
    if hidden.size:
        before[hidden] = _narrow(some.take(hidden), rod, low[hidden], high[hidden])
    found = np.flatnonzero(~np.isnan(before))[::-1]  # so that the first is written last
    place[which[found]] = before[found]
    return place


def _narrow(chain: Chain, rod: str, low: FloatArray, high: FloatArray) -> FloatArray:
    """Return where the reach falls below zero for less than a sample's width.

    Goes down to the lowest point, and back up from there.
    """
    near, far = low, high
    every = np.arange(len(low))
    lowest, bottom = np.full(len(low), np.inf), low
    for _ in range(6):
        travel = spread(near[:, None], far[:, None], FINE)
        reach = over_rows(chain.solve(travel).reach(rod), len(low))
        at = np.argmin(np.where(np.isnan(reach), np.inf, reach), axis=-1)
        lower = reach[every, at] < lowest
        lowest = np.where(lower, reach[every, at], lowest)
        bottom = np.where(lower, travel[every, at], bottom)
        near = travel[every, np.maximum(at - 1, 0)]
        far = travel[every, np.minimum(at + 1, FINE - 1)]
        if (lowest < GONE).all():
            break
    place = np.full(len(low), np.nan)
    some = np.flatnonzero(lowest < GONE)
    if some.size:
        measure = _fails(rod)
        before, _ = crossings(chain.take(some), measure, low[some], bottom[some])
        place[some] = before
    return place
