"""The working travel: where the plate starts, what stops first, what is left over.

Not here: jams (`motion.jam`), dead centres beyond the stops (`motion.dead_centre`).
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import is_column, some, spread
from linkage.model.refs import Ref
from linkage.motion.chain import SAMPLES, Chain
from linkage.motion.events import (
    SAME,
    closer,
    crossings,
    flat,
    over_rows,
    up_to,
)
from linkage.motion.jam import jams
from linkage.motion.stops import TOUCH, may_stop, opens_by
from linkage.motion.sweep import pads, sweep_clear
from linkage.records import dataclass, short

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout, Rod
    from linkage.model.columns import Number, Positions, Truth
    from linkage.motion.assembly import Assembly
    from linkage.motion.chain import Solved
    from linkage.motion.events import Measure

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

#: How near to a stop a sample asks for a closer look between samples. [rad]
BETWEEN: Final = 0.02
#: Opening at which a plate has begun to move. [rad]
BEGINS: Final = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Jam:
    """A place where a rod no longer reaches.

    Parameters
    ----------
    rod : str
        The rod.
    pad_travel : float
        The last pad position that can be reached. [m]
    miss : float
        By how much the rod fails at the pedal's end: positive too short,
        negative too long. [m]
    """

    rod: str
    pad_travel: float
    miss: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Coarse:
    """The chain at its `samples` positions from rest to the pedal's own end."""

    chain: Chain
    travel: Positions
    solved: Solved


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Working:
    """What the linkage does between its stops; numbers are floats or columns.

    Parameters
    ----------
    start : float or column
        Pad travel at which the last throttle leaves its idle stop: with the
        foot off, the levers on their stops hold the pedal there. [m]
    end : float or column
        Pad travel at which the pedal stops. [m]
    picked_up : float or column
        Pad travel at which the main plate begins to move, where a rod that leads to
        it loses motion: ``end`` where it never does, 0 where none loses any. [m]
    stops : tuple of Ref
        All that can stop the pedal: ``floor``, ``pedal stop``, every ``full
        stop``, ``stop`` and ``jam``.
    stopped : int or column of int
        Which of them does; -1 in rows that cannot be put together.
    left_over : float or column
        Pad travel that is left to the pedal's own end. [m]
    opening_at_rest : mapping of str to float or column
        By throttle, where the linkage alone would bring it with the pedal up:
        negative against its idle stop, which it cannot pass. [rad]
    opening_at_start : mapping of str to float or column
        By throttle, at ``start``: positive held off the idle stop. [rad]
    opening_at_end : mapping of str to float or column
        By throttle, at ``end``. [rad]
    miss : float or column
        By how much a rod that jams fails at the pedal's end: positive too
        short, negative too long, 0 where that cannot be told; nan where nothing
        jams. [m]
    reaches : bool or column
        Whether every rod reaches up to the pedal's end, whatever stops it before.
    jam_at : float or column
        Pad travel past which one does not; nan where all do. [m]
    coarse : Coarse
        What the events were looked for in.
    """

    start: Number
    end: Number
    picked_up: Number
    stops: tuple[Ref, ...]
    stopped: Number
    left_over: Number
    opening_at_rest: Mapping[str, Number]
    opening_at_start: Mapping[str, Number]
    opening_at_end: Mapping[str, Number]
    miss: Number
    reaches: Truth
    jam_at: Number
    coarse: Coarse = field(repr=False)

    def __repr__(self) -> str:
        if is_column(self.stopped):
            return f"<Working travel of {len(self.stopped)} rows>"
        low, high = 1e3 * self.start, 1e3 * self.end
        met = " ".join(filter(None, (self.stopped_by.kind, self.stopped_by.name)))
        return (
            f"<Working travel: pad {low:.1f} to {high:.1f} mm, stopped by {short(met)}>"
        )

    @property
    def stopped_by(self) -> Ref:
        """What stops the pedal, of one layout."""
        return self.stops[self.stopped]

    def is_stopped_by(self, kind: str, name: str | None = None) -> Truth:
        """Tell whether a kind of stop, or just one of that kind, stops the pedal.

        Parameters
        ----------
        kind : str
            Of `Ref`: ``full stop``, say.
        name : str, optional
            Any of the kind where it is not given.
        """
        some = [
            i
            for i, ref in enumerate(self.stops)
            if ref.kind == kind and name in {None, ref.name}
        ]
        if is_column(self.stopped):
            return np.isin(self.stopped, some)
        return self.stopped in some

    @property
    def jammed(self) -> Truth:
        """Whether a jam stops the pedal."""
        return self.is_stopped_by("jam")

    @property
    def jam(self) -> Jam | None:
        """The jam that stops the pedal of one layout; None where none does."""
        if not self.jammed:
            return None
        return Jam(rod=self.stopped_by.name, pad_travel=self.end, miss=self.miss)


def _jam(rod: Rod) -> Ref:
    return Ref("jam", rod.name, "cable" if rod.kind == "cable" else "")


def working_travel(assembly: Assembly, *, samples: int = SAMPLES) -> Working:
    """Find where the plate starts, what stops first and what is left over.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`; one layout, or many as rows.
    samples : int
        Positions in which events are looked for; fewer serve a search.

    Returns
    -------
    Working
        All pad positions from the pedal's own rest; nan in rows that cannot be
        put together.
    """
    layout = assembly.layout
    many = is_column(assembly.ok)
    rows = len(assembly.ok) if many else 1
    chain = Chain.of(assembly, samples)
    limit = flat(layout.pedal.end, rows)
    coarse = look_coarsely(chain, limit)
    travel = coarse.travel
    rods, places = jams(chain, travel, coarse.solved)
    end = np.where(rods < 0, limit, places)
    start, starts, rest = starts_late(assembly, coarse, end)
    refs, measures = may_stop(assembly)
    stops = (Ref("floor"), Ref("pedal stop"), *refs)
    stopped = np.where(rods < 0, flat(layout.pedal.stop_met, rows), rods + len(stops))
    for i, measure in enumerate(measures):
        place = _first_met(coarse, measure, start, end)
        sooner = place < end - SAME
        end = np.where(sooner, place, end)
        stopped = np.where(sooner, i + 2, stopped)
    jammed = stopped >= len(stops)
    miss = np.full(rows, np.nan)
    for k, loop in enumerate(assembly.loops):
        which = np.flatnonzero(jammed & (rods == k))
        if which.size:
            miss[which] = _miss(chain, loop.link.rod.name, limit, which)
    ok = np.ravel(assembly.ok)

    def number(values: FloatArray) -> Number:
        return np.where(ok, values, np.nan)[:, None] if many else float(values[0])

    ends = sweep_clear(assembly, pads(number(start), number(end)))
    openings = {name: ends.opening(name) for name in layout.throttles}
    at_stop = {name: (starts[name] == start) & (start > 0) for name in openings}
    return Working(
        start=number(start),
        end=number(end),
        picked_up=number(_picked_up(layout, coarse, start, end)),
        stops=(*stops, *(_jam(loop.link.rod) for loop in assembly.loops)),
        stopped=np.where(ok, stopped, -1)[:, None] if many else int(stopped[0]),
        left_over=number(limit - end),
        opening_at_rest={name: number(a) for name, a in rest.items()},
        opening_at_start={
            name: number(np.where(at_stop[name], 0.0, flat(a[..., 0], rows)))
            for name, a in openings.items()
        },
        opening_at_end={
            name: number(flat(a[..., 1], rows)) for name, a in openings.items()
        },
        miss=number(miss),
        reaches=(rods < 0)[:, None] if many else bool(rods[0] < 0),
        jam_at=number(places),
        coarse=coarse,
    )


def look_coarsely(chain: Chain, limit: FloatArray) -> Coarse:
    """Return a chain at its samples from rest to the pedal's end, shape (rows,). [m]."""
    travel = spread(np.zeros((len(limit), 1)), limit[:, None], chain.samples)
    return Coarse(chain=chain, travel=travel, solved=chain.solve(travel))


def starts_late(
    assembly: Assembly, coarse: Coarse, reachable: FloatArray
) -> tuple[FloatArray, Mapping[str, FloatArray], Mapping[str, FloatArray]]:
    """Return where the plates leave their stops, and where they are at rest.

    That is later where a lever rests on its stop.
    """
    rows = len(reachable)
    zero = np.zeros(rows)
    starts, rest = {}, {}
    for name, t in assembly.layout.throttles.items():
        at_rest = t.opens * coarse.solved.turn(t.shaft)[..., 0]
        rest[name] = flat(at_rest, rows)
        late = np.flatnonzero(rest[name] < -TOUCH)
        starts[name] = zero
        if late.size:
            chain = coarse.chain.take(late)
            measure = opens_by(assembly.layout, name, 0.0)
            _, place = crossings(chain, measure, zero[late], reachable[late])
            starts[name] = zero.copy()
            starts[name][late] = np.nan_to_num(place)
    return np.max(list(starts.values()), axis=0), starts, rest


def _picked_up(
    layout: Layout, coarse: Coarse, start: FloatArray, end: FloatArray
) -> FloatArray:
    """Return where the main plate begins to move, after motion is lost on its way."""
    loops = [coarse.chain.by_rod[k.rod.name] for k in layout.path_to(layout.main.shaft)]
    if not any(some(loop.carries != 0) for loop in loops):
        return np.zeros(len(start))
    begins = opens_by(layout, layout.main.name, BEGINS)
    place = _first_met(coarse, begins, start, end)
    return np.where(np.isnan(place), end, place)


def _first_met(
    coarse: Coarse, measure: Measure, start: FloatArray, end: FloatArray
) -> FloatArray:
    """Return where a stop is first met from start to end; nan where it is not."""
    travel, count = coarse.travel, len(start)
    values = over_rows(measure(coarse.solved, np.arange(count)), count)
    place = np.full(count, np.nan)
    # The coarse positions serve where nothing came in between ...
    same = (start == 0) & (end == travel[:, -1])
    some = np.flatnonzero(same)
    if some.size:
        chain = coarse.chain.take(some)
        _, place[some] = closer(chain, measure, some, travel[some], values[some])
    # ... and tell where else to look.
    some = np.flatnonzero(~same)
    if some.size:
        far = values[some] < -BETWEEN
        some = some[(~far & up_to(travel[some], end[some])).any(axis=-1)]
    if some.size:
        chain = coarse.chain.take(some)
        _, place[some] = crossings(chain, measure, start[some], end[some], some)
    return place


def _miss(
    chain: Chain, rod: str, limit: FloatArray, rows: Sequence[int] | IntArray
) -> FloatArray:
    """Return a rod's miss at the pedal's end; 0 where its driver is gone there."""
    loop = chain.by_rod[rod]
    if loop.link.driver.shaft != chain.root:
        return np.zeros(len(rows))
    some = chain.take(rows)
    turn = some.pedal_turn(limit[rows][:, None])
    miss = some.by_rod[rod].short_by(turn)
    return np.where(np.isnan(miss), 0.0, miss)[:, 0]
