"""Dead centres with the stops removed: where an arm and its rod come into line.

At a dead centre of the driven arm the rod runs out of reach and the linkage
jams; at one of the driving arm the driven shaft stands still and then turns
back, and what closes the plate can no longer bring the driver home.

Not here: whether the margin is enough (`rules`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

import numpy as np

from linkage.model.columns import is_column, spread
from linkage.motion.events import (
    SAMPLES,
    crossings,
    first_bracket,
    flat,
    over_rows,
    refine,
)
from linkage.motion.jam import jams

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.connect import Connector
    from linkage.model import Hole
    from linkage.model.columns import Number, Positions
    from linkage.motion.assembly import Assembly
    from linkage.motion.chain import Chain, Solved
    from linkage.motion.events import Measure
    from linkage.motion.working import Working

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]
    Side = Literal["full", "idle", "inside"]

#: How far the pedal is turned beyond each end in search of dead centres.
SEARCH: Final = np.radians(75)
#: Sine between arm and rod below which they lie in line.
IN_LINE: Final = 1e-12
#: Sine below which a sample asks for a closer look between samples.
BETWEEN: Final = 0.05
#: Rows up to which all rods are looked at together, at the price of solving some
#: further than asked: then calls cost more than numbers.
FEW: Final = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class DeadCentre:
    """A dead centre and how far it lies from the working travel.

    Parameters
    ----------
    rod : str
        The rod.
    hole : Hole
        The arm that comes into line with it.
    side : {"full", "idle", "inside"}
        Beyond which end of the working travel it lies.
    pad_travel : float or column
        Where it lies, from the pedal's rest; nan in rows that have none. [m]
    margin : float or column
        Turn of the arm's shaft from the end of the working travel; 0 inside. [rad]
    pad_margin : float or column
        Pad travel from that end; 0 inside. [m]
    """

    rod: str
    hole: Hole
    side: Side
    pad_travel: Number
    margin: Number
    pad_margin: Number


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Look:
    """Spans of pad travel in which dead centres are looked for, one a row.

    ``rows`` are those of the layout; ``values`` the chain at the positions.
    """

    rows: IntArray
    travel: Positions
    chain: Chain
    solved: Solved

    @property
    def near(self) -> FloatArray:
        return self.travel[:, 0]


def dead_centres(assembly: Assembly, working: Working) -> tuple[DeadCentre, ...]:
    """Find the nearest dead centre of every arm, beyond both ends and inside.

    Parameters
    ----------
    assembly : Assembly
        What moves; one layout, or many as rows.
    working : Working
        Its working travel.

    Returns
    -------
    tuple of DeadCentre
        The nearest of each arm on each side, those inside first, then by
        margin. Arms without one within 75° of pedal are left out. Of many
        layouts, one for each arm and side of which any row has one, in driving
        order.
    """
    many = is_column(working.stopped)
    count = len(working.stopped) if many else 1
    start, end = flat(working.start, count), flat(working.end, count)
    jammed = np.broadcast_to(np.ravel(working.jammed), count)
    out: dict[tuple[str, Hole, Side], FloatArray] = {}

    def put(
        loop: Connector, hole: Hole, side: Side, rows: IntArray, found: FloatArray
    ) -> None:
        some = ~np.isnan(found[0])
        if not some.any():
            return
        key = (loop.link.rod.name, hole, side)
        table = out.setdefault(key, np.full((3, count), np.nan))
        table[:, rows[some]] = found[:, some]

    for loop in assembly.loops:
        rows = np.flatnonzero(
            flat(working.is_stopped_by("jam", loop.link.rod.name), count)
        )
        put(loop, loop.link.driven, "inside", rows, _inside(end[rows]))
    sides = _sides(working, start, end, np.flatnonzero(~jammed))
    rods, places = jams(sides.chain, sides.travel, sides.solved)
    limit = np.where(rods < 0, sides.travel[:, -1], places)
    full = np.arange(len(sides.rows)) < len(sides.rows) - count
    beyond = _lines_up(sides, limit)
    for k, loop in enumerate(assembly.loops):
        lost = np.where(rods == k, places, np.nan)
        for hole, place in ((loop.link.driven, lost), (loop.link.driver, beyond[k])):
            found = _beyond(sides, hole.shaft, place)
            put(loop, hole, "full", sides.rows[full], found[:, full])
            put(loop, hole, "idle", sides.rows[~full], found[:, ~full])
    for k, place in enumerate(_lines_up_inside(working, start, end)):
        loop = assembly.loops[k]
        put(loop, loop.link.driver, "inside", np.arange(count), _inside(place))
    return _told(out, many=many)


def _told(
    out: dict[tuple[str, Hole, Side], FloatArray], *, many: bool
) -> tuple[DeadCentre, ...]:
    found = []
    for (rod, hole, side), table in out.items():
        place, margin, pad = (
            (row[:, None] if many else float(row[0])) for row in table
        )
        found.append(
            DeadCentre(
                rod=rod,
                hole=hole,
                side=side,
                pad_travel=place,
                margin=margin,
                pad_margin=pad,
            )
        )
    if many:
        return tuple(found)
    return tuple(sorted(found, key=lambda d: (d.side != "inside", d.margin)))


def _inside(place: FloatArray) -> FloatArray:
    """Return place, margin and pad margin of what lies inside the travel."""
    none = np.where(np.isnan(place), np.nan, 0.0)
    return np.array([place, none, none])


def _sides(
    working: Working, start: FloatArray, end: FloatArray, open_end: IntArray
) -> _Look:
    """Return spans beyond the full end, where no jam is, and then the idle end."""
    chain = working.coarse.chain
    far = SEARCH * flat(chain.pedal[1], len(start))
    rows = np.concatenate((open_end, np.arange(len(start))))
    near = np.concatenate((end[open_end], start))
    limit = np.concatenate(((end + far)[open_end], start - far))
    travel = spread(near[:, None], limit[:, None], SAMPLES)
    some = chain.take(rows)
    return _Look(rows=rows, travel=travel, chain=some, solved=some.solve(travel))


def _lines_up(look: _Look, limit: FloatArray) -> list[FloatArray]:
    """Return by rod where its driving arm comes into line with it; nan where not.

    ``limit`` is where every span ends.
    """
    count, loops = len(look.rows), look.chain.loops
    out = [np.full(count, np.nan) for _ in loops]
    events: list[tuple[IntArray, IntArray, FloatArray, FloatArray, FloatArray]] = []
    whole = limit == look.travel[:, -1]
    inside = np.abs(np.roll(look.travel, 1, axis=-1) - look.near[:, None])
    inside = inside < np.abs(limit - look.near)[:, None]
    inside[:, 0] = True
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
    groups = _together(events)
    for rows, which, signs, before, after in groups:
        sub = look.chain.take(rows)
        measure = _levers(which, signs)
        _, place = refine(sub, measure, np.arange(len(rows)), before, after)
        for k in np.unique(which):
            out[k][rows[which == k]] = place[which == k]
    return out


def _together(events: list[tuple[Any, ...]]) -> list[tuple[Any, ...]]:
    """Return events as one where they are few."""
    if len(events) < 2 or sum(len(e[0]) for e in events) > FEW:
        return events
    return [tuple(np.concatenate(parts) for parts in zip(*events, strict=True))]


def _levers(which: IntArray, sign: FloatArray) -> Measure:
    """Return the measure that reaches zero where a driver comes into line.

    ``which`` is the rod of every event, ``sign`` of its share at the start.
    """

    def measure(solved: Solved, rows: IntArray) -> Positions:
        out = np.empty((len(rows), np.shape(solved.travel)[-1]))
        for k in np.unique(which[rows]):
            some = which[rows] == k
            lever = solved.lever(solved.chain.loops[k].link.rod.name)
            out[some] = -sign[rows][some, None] * over_rows(lever, len(rows))[some]
        return out

    return measure


def _lines_up_inside(
    working: Working, start: FloatArray, end: FloatArray
) -> list[FloatArray]:
    """Return by rod where its driver comes into line within the working travel."""
    coarse, count = working.coarse, len(start)
    chain, out = coarse.chain, []
    within = np.roll(coarse.travel, 1, axis=-1) < end[:, None]
    within[:, 0] = True
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
    travel = spread(start[:, None], end[:, None], SAMPLES)
    solved = chain.solve(travel)
    look = _Look(rows=np.arange(len(start)), travel=travel, chain=chain, solved=solved)
    names = [loop.link.rod.name for loop in chain.loops]
    return _lines_up(look, end)[names.index(rod)]


def _beyond(look: _Look, shaft: str, place: FloatArray) -> FloatArray:
    """Return place, margin and pad margin of dead centres beyond an end."""
    out = np.full((3, len(place)), np.nan)
    some = np.flatnonzero(~np.isnan(place))
    if some.size:
        near, at = look.near[some], place[some]
        chain = look.chain.take(some)
        solved = chain.solve(np.stack((near, at), axis=-1))
        turns = over_rows(solved.turn(shaft), len(some))
        margin = np.abs(turns[:, 1] - turns[:, 0])
        out[:, some] = at, margin, np.abs(at - near)
    return out
