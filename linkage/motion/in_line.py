"""Where a driving arm comes into line with its rod, over all rows and rods at once.

Not here: driven arms, at whose dead centre the rod runs out (`motion.jam`), and
margins (`motion.dead_centre`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import spread
from linkage.motion.events import (
    crossings,
    each_of,
    first_bracket,
    over_rows,
    refine,
    together,
    up_to,
)
from linkage.records import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model.columns import Positions
    from linkage.motion.chain import Chain, Solved
    from linkage.motion.events import Measure
    from linkage.motion.working import Working

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

#: Sine between arm and rod below which they lie in line.
IN_LINE: Final = 1e-12
#: Sine below which a sample asks for a closer look between samples.
BETWEEN: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Look:
    """Spans of pad travel in which dead centres are looked for, one a row.

    Parameters
    ----------
    rows : ndarray of int, shape (spans,)
        Of the layout.
    travel : ndarray, shape (spans, n)
        From its near end on. [m]
    chain : Chain
        Of these rows, or the one layout.
    solved : Solved
        The chain at these positions.
    """

    rows: IntArray
    travel: Positions
    chain: Chain
    solved: Solved

    @property
    def near(self) -> FloatArray:
        """Where each span begins. [m]."""
        return self.travel[:, 0]


def lines_up(look: Look, limit: FloatArray) -> list[FloatArray]:
    """Return by rod where its driving arm comes into line with it; nan where not.

    ``limit`` is where every span ends.
    """
    count, loops = len(look.rows), look.chain.loops
    out = [np.full(count, np.nan) for _ in loops]
    events: list[tuple[IntArray, IntArray, FloatArray, FloatArray, FloatArray]] = []
    whole = limit == look.travel[:, -1]
    inside = up_to(look.travel, limit)
    # Shafts hurry just before a jam: look there too.
    at_limit = look.chain.solve(limit[:, None])
    for k, loop in enumerate(loops):
        lever = over_rows(look.solved.lever(loop.link.rod.name), count)
        last = over_rows(at_limit.lever(loop.link.rod.name), count)
        at_near = lever[:, 0]
        out[k] = np.where(np.abs(at_near) < IN_LINE, look.near, np.nan)
        sign = np.sign(at_near)
        values = -sign[:, None] * lever
        ask = np.isnan(out[k]) & ~np.isnan(at_near)
        near = ((values > -BETWEEN) & inside).any(axis=-1)
        ask &= near | (-sign * last[:, 0] > -BETWEEN)
        same = ask & whole
        some = np.flatnonzero(same)
        if some.size:
            found, before, after = first_bracket(look.travel[some], values[some])
            some, before, after = some[found], before[found], after[found]
            events.append((some, np.full(len(some), k), sign[some], before, after))
        some = np.flatnonzero(ask & ~whole)
        if some.size:
            sub = look.chain.take(some)
            measure = _levers(np.full(len(some), k), sign[some])
            _, place = crossings(sub, measure, look.near[some], limit[some])
            out[k][some] = place
    for rows, which, signs, before, after in together(events):
        sub = look.chain.take(rows)
        measure = _levers(which, signs)
        _, place = refine(sub, measure, np.arange(len(rows)), before, after)
        for k in each_of(which):
            out[k][rows[which == k]] = place[which == k]
    return out


def _levers(which: IntArray, sign: FloatArray) -> Measure:
    """Return the measure that reaches zero where a driver comes into line.

    ``which`` is the rod of every event, ``sign`` of its share at the start.
    """

    def measure(solved: Solved, rows: IntArray) -> Positions:
        out = np.empty((len(rows), np.shape(solved.travel)[-1]))
        for k in each_of(which[rows]):
            some = which[rows] == k
            lever = solved.lever(solved.chain.loops[k].link.rod.name)
            out[some] = -sign[rows][some, None] * over_rows(lever, len(rows))[some]
        return out

    return measure


def lines_up_inside(
    working: Working, start: FloatArray, end: FloatArray
) -> list[FloatArray]:
    """Return by rod where its driver comes into line within the working travel."""
    coarse, count = working.coarse, len(start)
    chain, out = coarse.chain, []
    within = up_to(coarse.travel, end)
    for loop in chain.loops:
        name = loop.link.rod.name
        lever = over_rows(coarse.solved.lever(name), count)
        clear = (np.sign(lever[:, :1]) * lever >= BETWEEN) | ~within
        place = np.full(count, np.nan)
        some = np.flatnonzero(~clear.all(axis=-1) & ~np.isnan(end))
        if some.size:
            place[some] = _one_inside(chain.take(some), name, start[some], end[some])
        out.append(place)
    return out


def _one_inside(
    chain: Chain, rod: str, start: FloatArray, end: FloatArray
) -> FloatArray:
    travel = spread(start[:, None], end[:, None], chain.samples)
    solved = chain.solve(travel)
    look = Look(rows=np.arange(len(start)), travel=travel, chain=chain, solved=solved)
    names = [loop.link.rod.name for loop in chain.loops]
    return lines_up(look, end)[names.index(rod)]
