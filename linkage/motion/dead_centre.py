"""Dead centres with the stops removed: where an arm and its rod come into line.

At a dead centre of the driven arm the rod runs out of reach and the linkage
jams; at one of the driving arm the driven shaft stands still and then turns
back, and what closes the plate can no longer bring the driver home.

Not here: whether the margin is enough (`rules`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from linkage.model.columns import is_column, spread
from linkage.motion.chain import NEAR_SEAM, WHOLE
from linkage.motion.events import (
    flat,
    over_rows,
)
from linkage.motion.in_line import Look, lines_up, lines_up_inside
from linkage.motion.jam import jams
from linkage.records import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.connect import Connector
    from linkage.model import Hole
    from linkage.model.columns import Number, Positions
    from linkage.motion.assembly import Assembly
    from linkage.motion.chain import Solved
    from linkage.motion.working import Working

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]
    Side = Literal["full", "idle", "inside"]

#: How far the pedal is turned beyond each end in search of dead centres.
SEARCH: Final = np.radians(75)


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
    beyond = lines_up(sides, limit)
    lost = [np.where(rods == k, places, np.nan) for k in range(len(assembly.loops))]
    each = [place for pair in zip(lost, beyond, strict=True) for place in pair]
    there = sides.chain.solve(np.stack(each, axis=-1))
    for k, loop in enumerate(assembly.loops):
        for j, hole in enumerate((loop.link.driven, loop.link.driver), 2 * k):
            found = _beyond(sides, hole.shaft, there, j)
            put(loop, hole, "full", sides.rows[full], found[:, full])
            put(loop, hole, "idle", sides.rows[~full], found[:, ~full])
    for k, place in enumerate(lines_up_inside(working, start, end)):
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
) -> Look:
    """Return spans beyond the full end, where no jam is, and then the idle end."""
    chain = working.coarse.chain
    far = SEARCH * flat(chain.pedal[1], len(start))
    rows = np.concatenate((open_end, np.arange(len(start))))
    near = np.concatenate((end[open_end], start))
    limit = np.concatenate(((end + far)[open_end], start - far))
    travel = spread(near[:, None], limit[:, None], chain.samples)
    some = chain.take(rows)
    return Look(rows=rows, travel=travel, chain=some, solved=some.solve(travel))


def _beyond(look: Look, shaft: str, there: Solved, j: int) -> FloatArray:
    """Return place, margin and pad margin of dead centres beyond an end.

    ``there`` is the chain at all of them, of which this is the j-th of every span.
    """
    place = there.travel[:, j]
    out = np.full((3, len(place)), np.nan)
    some = np.flatnonzero(~np.isnan(place))
    if not some.size:
        return out
    near, at = look.near[some], place[some]
    out[0, some], out[2, some] = at, np.abs(at - near)
    if shaft == look.chain.root:
        turns = look.chain.take(some).pedal_turn(np.stack((near, at), axis=-1))
        out[1, some] = np.abs(turns[:, 1] - turns[:, 0])
        return out
    cosine, sine = (over_rows(c, len(place))[some, j] for c in there.pair(shaft))
    turn = np.arctan2(sine, cosine)
    cosine, sine = (over_rows(c, len(look.rows)) for c in look.solved.pair(shaft))
    start = np.arctan2(sine[some, 0], cosine[some, 0])
    margin = turn - start
    seam = (np.abs(turn) > NEAR_SEAM) | (np.abs(start) > NEAR_SEAM)
    if seam.any():
        rows = some[seam]
        on_way = np.arctan2(sine[rows], cosine[rows])
        margin[seam] += _whole_turns(look.travel[rows], on_way, turn[seam], at[seam])
    out[1, some] = np.abs(margin)
    return out


def _whole_turns(
    travel: Positions, on_way: Positions, turn: FloatArray, at: FloatArray
) -> FloatArray:
    """Return the whole turns by which turns at places fall short across the seam.

    ``on_way`` are the turns on the way there.
    """
    way = np.diff(on_way, axis=-1)
    way = np.nan_to_num(way - WHOLE * np.round(way / WHOLE))
    passed = np.abs(travel[:, 1:] - travel[:, :1]) <= np.abs(at - travel[:, 0])[:, None]
    last = on_way[np.arange(len(at)), passed.sum(axis=-1)]
    rest = turn - last
    gone = np.sum(way * passed, axis=-1) + rest - WHOLE * np.round(rest / WHOLE)
    return WHOLE * np.round((gone - turn + on_way[:, 0]) / WHOLE)
