"""The working travel: where the plate starts, what stops first, what is left over.

Also the jam: the pad position at which a rod no longer reaches.

Not here: dead centres beyond the stops (`motion.dead_centre`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from linkage.motion.sweep import Motion, miss_at, sweep

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from numpy.typing import NDArray

    from linkage.model import Stop
    from linkage.motion.assembly import Assembly

    FloatArray = NDArray[np.float64]
    Measure = Callable[[Motion], FloatArray]

#: Positions over the pedal's travel in which events are looked for.
SAMPLES = 241
#: Slack below which two positions are one; far under anything measurable. [m]
SAME = 1e-9


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """What the linkage does between its stops.

    Parameters
    ----------
    start : float
        Pad travel at which the last throttle leaves its idle stop: with the
        foot off, the levers on their stops hold the pedal there. [m]
    end : float
        Pad travel at which the pedal stops. [m]
    stopped_by : str
        What stops it: ``floor``, ``pedal stop``, ``full stop of NAME``,
        ``stop NAME`` or ``jam of rod NAME``.
    left_over : float
        Pad travel that is left to the pedal's own end. [m]
    opening_at_rest : mapping of str to float
        By throttle, where the linkage alone would bring it with the pedal up:
        negative against its idle stop, which it cannot pass. [rad]
    opening_at_start : mapping of str to float
        By throttle, at ``start``: positive held off the idle stop. [rad]
    opening_at_end : mapping of str to float
        By throttle, at ``end``. [rad]
    jam : Jam, optional
        Where a rod runs out, if that is what stops the pedal.
    """

    start: float
    end: float
    stopped_by: str
    left_over: float
    opening_at_rest: Mapping[str, float]
    opening_at_start: Mapping[str, float]
    opening_at_end: Mapping[str, float]
    jam: Jam | None


def bracket(
    assembly: Assembly, measure: Measure, low: float, high: float
) -> tuple[float, float] | None:
    """Return the two pad positions between which a measure first reaches zero.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    measure : callable
        From a motion to an array that starts below zero.
    low, high : float
        Where to look; ``high`` may be less than ``low``. [m]

    Returns
    -------
    tuple of 2 floats, or None
        The last position below zero and the first not below, a few billionths
        of the span apart; twice ``low`` where it starts at zero or above; None
        where it stays below. [m]
    """
    count = SAMPLES
    first = 0
    for _ in range(5):
        travel = np.linspace(low, high, count)
        met = np.flatnonzero(measure(sweep(assembly, travel)) >= 0)
        if not met.size:
            # Seen before but not now: lost in rounding, it lies at the far end.
            return (low, high) if first else None
        first = int(met[0])
        if first == 0:
            return float(travel[0]), float(travel[0])
        low, high = float(travel[first - 1]), float(travel[first])
        count = 33
    return low, high


def crossing(
    assembly: Assembly, measure: Measure, low: float, high: float
) -> float | None:
    """Return the first pad position from ``low`` at which a measure reaches zero.

    Arguments as for `bracket`; None where the measure stays below zero. [m]
    """
    found = bracket(assembly, measure, low, high)
    return None if found is None else found[1]


def find_jam(assembly: Assembly, low: float, high: float) -> tuple[str, float] | None:
    """Return the first rod that runs out between two pad positions, and where.

    A rod that fails only for a moment between two samples is found too: every
    low point of its reach is looked at again more closely.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    low, high : float
        From a position that can be reached, in either direction. [m]

    Returns
    -------
    tuple of str and float, or None
        The rod, and the last pad position that can be reached. [m]
    """
    travel = np.linspace(low, high, SAMPLES)
    motion = sweep(assembly, travel)
    first: tuple[str, float] | None = None
    for loop in assembly.loops:
        name = loop.link.rod.name
        limit = high if first is None else first[1]
        place = _runs_out(assembly, name, travel, motion.reach[name], limit)
        if place is None:
            continue
        if first is None or abs(place - low) < abs(first[1] - low) - SAME:
            first = (name, place)
        elif abs(place - low) < abs(first[1] - low):  # as good as at once
            first = (first[0], place)
    return first


def _runs_out(
    assembly: Assembly, rod: str, travel: FloatArray, reach: FloatArray, limit: float
) -> float | None:
    """Return where one rod's reach first falls below zero, looking between samples.

    ``limit`` is where a rod that was looked at before has run out.
    """

    def beyond(motion: Motion) -> FloatArray:
        return np.where(motion.reach[rod] < 0, 0.0, -1.0)

    last = len(travel) - 1
    beside = np.concatenate(([np.inf], reach, [np.inf]))
    dips = (reach < 0.02) & (reach <= beside[:-2]) & (reach <= beside[2:])
    for i in np.flatnonzero(~(reach >= 0) | dips).tolist():
        near, far = float(travel[max(i - 1, 0)]), float(travel[min(i + 1, last)])
        if np.isnan(reach[i]):
            # The rod that drives it ran out; this one may have done so just before.
            if abs(limit - travel[0]) <= abs(near - travel[0]):
                return None
            far = limit
        elif reach[i] < 0:
            far = float(travel[i])
        found = bracket(assembly, beyond, near, far)
        if found is not None:
            return found[0]
    return None


def _stop_measure(stop: Stop) -> Measure:
    sense = 1.0 if stop.turn >= 0 else -1.0

    def measure(motion: Motion) -> FloatArray:
        return sense * (motion.turns[stop.shaft] - stop.turn) + 1e-12

    return measure


def opens_by(throttle: str, target: float) -> Measure:
    """Return the measure that reaches zero where a throttle opens by an angle. [rad]."""

    def measure(motion: Motion) -> FloatArray:
        return motion.opening(throttle) - target + 1e-12

    return measure


def working_travel(assembly: Assembly) -> Working:
    """Find where the plate starts, what stops first and what is left over.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.

    Returns
    -------
    Working
        All pad positions from the pedal's own rest.
    """
    layout = assembly.layout
    limit = layout.pedal.end
    stopped_by: str = layout.pedal.end_name
    found = find_jam(assembly, 0.0, limit)
    reachable = limit
    jam = None
    if found is not None:
        rod, reachable = found
        at_end = sweep(assembly, np.array([0.0, reachable, limit]))
        jam = Jam(rod=rod, pad_travel=reachable, miss=_miss(at_end, rod))
        stopped_by = f"jam of rod {rod}"
    at_rest = sweep(assembly, np.array([0.0]))
    rest = {name: float(at_rest.opening(name)[0]) for name in layout.throttles}
    starts = {name: _start(assembly, name, rest[name], reachable) for name in rest}
    start = max(starts.values())
    end = reachable
    for what, measure in _stops(assembly):
        place = crossing(assembly, measure, start, end)
        if place is not None and place < end - SAME:
            end, stopped_by = place, what
    if not stopped_by.startswith("jam"):
        jam = None
    at_end = sweep(assembly, np.array([start, end]))
    return Working(
        start=start,
        end=end,
        stopped_by=stopped_by,
        left_over=limit - end,
        opening_at_rest=rest,
        opening_at_start={
            n: 0.0 if starts[n] == start > 0 else float(at_end.opening(n)[0])
            for n in layout.throttles
        },
        opening_at_end={n: float(at_end.opening(n)[1]) for n in layout.throttles},
        jam=jam,
    )


def _miss(at_end: Motion, rod: str) -> float:
    """Return the rod's miss at the pedal's end, or where its driver stops before."""
    miss = miss_at(at_end, rod, 2)
    return 0.0 if np.isnan(miss) else miss


def _start(assembly: Assembly, name: str, opening: float, reachable: float) -> float:
    """Return where a plate leaves its stop: later where the lever rests on it."""
    if opening >= -1e-12:
        return 0.0
    place = crossing(assembly, opens_by(name, 0.0), 0.0, reachable)
    return 0.0 if place is None else place


def _stops(assembly: Assembly) -> list[tuple[str, Measure]]:
    layout = assembly.layout
    out = [
        (f"full stop of {name}", opens_by(name, t.swing))
        for name, t in layout.throttles.items()
    ]
    out += [
        (f"stop {name}", _stop_measure(stop)) for name, stop in layout.stops.items()
    ]
    return out
