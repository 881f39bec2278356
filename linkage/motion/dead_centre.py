"""Dead centres with the stops removed: where an arm and its rod come into line.

At a dead centre of the driven arm the rod runs out of reach and the linkage
jams; at one of the driving arm the driven shaft stands still and then turns
back, and what closes the plate can no longer bring the driver home. Where both
arms are in line at once the driven one may go on either way.

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
    from linkage.model.columns import Number, Positions, Truth
    from linkage.motion.assembly import Assembly
    from linkage.motion.chain import Chain, Solved
    from linkage.motion.working import Working

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]
    Side = Literal["full", "idle", "inside"]

#: How far the pedal is turned beyond each end in search of dead centres.
SEARCH: Final = np.radians(75)
#: Sine between the rod's other arm and the rod under which play decides which way
#: that arm goes on: 5°, at which on an arm of 50 mm a fifth of a millimetre takes
#: it over; common practice, no source.
BOTH: Final = np.sin(np.radians(5))
#: Sine that is but rounding: there the other arm has its dead centre too.
SAME_PLACE: Final = 1e-4


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
        Turn of the arm's shaft from the end of the working travel; 0 inside. At a
        slide the angle of its rod there from square to the guide. [rad]
    pad_margin : float or column
        Pad travel from that end; 0 inside. [m]
    both : bool or column
        Whether the rod's other arm is in line there too, to within 5°: from
        there on the driven shaft may go either way, and motion beyond it is that
        of one of two ways.
    """

    rod: str
    hole: Hole
    side: Side
    pad_travel: Number
    margin: Number
    pad_margin: Number
    both: Truth = False


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
        table = out.setdefault(key, np.full((4, count), np.nan))
        table[:, rows[some]] = found[:, some]

    sides = _sides(working, start, end, np.flatnonzero(~jammed))
    rods, places = jams(sides.chain, sides.travel, sides.solved)
    limit = np.where(rods < 0, sides.travel[:, -1], places)
    full = np.arange(len(sides.rows)) < len(sides.rows) - count
    beyond = lines_up(sides, limit)
    lost = [np.where(rods == k, places, np.nan) for k in range(len(assembly.loops))]
    lost = _in_line(sides.chain, lost)
    each, both = _each_and_both(sides.chain, lost, beyond)
    there = sides.chain.solve(np.stack(each, axis=-1))
    for k, loop in enumerate(assembly.loops):
        for j, hole in enumerate((loop.link.driven, loop.link.driver), 2 * k):
            beyond_it = _beyond(sides, hole.shaft, there, j)
            if assembly.layout.shafts[hole.shaft].slides:
                beyond_it[1] = _swing_left(sides, loop, hole, beyond_it[0])
            found = np.array([*beyond_it, both[k]], float)
            put(loop, hole, "full", sides.rows[full], found[:, full])
            put(loop, hole, "idle", sides.rows[~full], found[:, ~full])
    lost = [
        np.where(
            flat(working.is_stopped_by("jam", loop.link.rod.name), count), end, np.nan
        )
        for loop in assembly.loops
    ]
    lost = _in_line(working.coarse.chain, lost)
    inside = lines_up_inside(working, start, end)
    each, both = _each_and_both(working.coarse.chain, lost, inside)
    for k, loop in enumerate(assembly.loops):
        for j, hole in enumerate((loop.link.driven, loop.link.driver), 2 * k):
            none = np.where(np.isnan(each[j]), np.nan, 0.0)
            found = np.array([each[j], none, none, both[k]], float)
            put(loop, hole, "inside", np.arange(count), found)
    return _told(out, many=many)


def _each_and_both(
    chain: Chain, lost: list[FloatArray], lined_up: list[FloatArray]
) -> tuple[list[FloatArray], list[NDArray[np.bool_]]]:
    """Return dead centres of both arms of every rod, and where they are at once.

    Parameters
    ----------
    chain : Chain
        What moves, of as many rows.
    lost, lined_up : list of ndarray, shape (rows,)
        By rod, where its driven arm and where its driver is in line; nan where
        they are not. An arm is looked at only up to where the other is met. [m]

    Returns
    -------
    places : list of ndarray, shape (rows,)
        By rod, driven arm and then driver. [m]
    both : list of ndarray of bool, shape (rows,)
        By rod.
    """
    places = [place for pair in zip(lost, lined_up, strict=True) for place in pair]
    both = [np.zeros(len(place), dtype=bool) for place in lost]
    if np.isnan(places).all():
        return places, both
    there = chain.solve(np.stack(places, axis=-1))
    for k, loop in enumerate(chain.loops):
        sines = there.levers(loop.link.rod.name)
        driver, driven = (over_rows(np.abs(v), len(lost[k])) for v in sines)
        at_lost, at_lined_up = driver[:, 2 * k], driven[:, 2 * k + 1]
        both[k] = (at_lost < BOTH) | (at_lined_up < BOTH)
        here = (at_lined_up < SAME_PLACE) & np.isnan(lost[k])
        places[2 * k] = np.where(here, lined_up[k], lost[k])
        here = (at_lost < SAME_PLACE) & np.isnan(lined_up[k])
        places[2 * k + 1] = np.where(here, lost[k], lined_up[k])
    return places, both


def _in_line(chain: Chain, lost: list[FloatArray]) -> list[FloatArray]:
    """Return where rods run out at a dead centre, not at the end of slot or spring."""
    out = []
    for loop, places in zip(chain.loops, lost, strict=True):
        if not np.isnan(places).all():
            there = chain.solve(places[:, None])
            pairs = [there.pair(hole.shaft) for hole in loop.link.holes]
            for far in (loop.slack(*pairs), loop.given(*pairs)):
                if far is not None:
                    used = over_rows(far, len(places))[:, 0] > 0
                    places = np.where(used, np.nan, places)  # noqa: PLW2901
        out.append(places)
    return out


def _told(
    out: dict[tuple[str, Hole, Side], FloatArray], *, many: bool
) -> tuple[DeadCentre, ...]:
    found = []
    for (rod, hole, side), table in out.items():
        place, margin, pad, both = (
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
                both=both == 1,
            )
        )
    if many:
        return tuple(found)
    return tuple(sorted(found, key=lambda d: (d.side != "inside", d.margin)))


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


def _swing_left(
    look: Look, loop: Connector, hole: Hole, place: FloatArray
) -> FloatArray:
    """Return how far a rod must swing at an end until square to a slide's guide. [rad]."""
    lever = look.solved.levers(loop.link.rod.name)[int(hole == loop.link.driven)]
    near = over_rows(np.abs(lever), len(place))[:, 0]
    return np.where(np.isnan(place), np.nan, np.arcsin(np.minimum(near, 1.0)))


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
