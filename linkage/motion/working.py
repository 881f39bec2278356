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

    from linkage.layout import Stop
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
        Pad travel at which the main plate leaves its idle stop. [m]
    end : float
        Pad travel at which the pedal stops. [m]
    stopped_by : str
        What stops it: ``floor``, ``pedal stop``, ``full stop of NAME``,
        ``stop NAME`` or ``jam of rod NAME``.
    left_over : float
        Pad travel that is left to the pedal's own end. [m]
    opening_at_rest : mapping of str to float
        By throttle, with the pedal up: positive held off the idle stop. [rad]
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
    opening_at_end: Mapping[str, float]
    jam: Jam | None


def crossing(
    assembly: Assembly, measure: Measure, low: float, high: float
) -> float | None:
    """Return the first pad position from ``low`` at which a measure reaches zero.

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
    float or None
        To a billionth of the span; None where it stays below zero. [m]
    """
    count = SAMPLES
    for _ in range(5):
        travel = np.linspace(low, high, count)
        values = measure(sweep(assembly, travel))
        met = np.flatnonzero(values >= 0)
        if not met.size:
            return None
        first = int(met[0])
        if first == 0:
            return float(travel[0])
        low, high = float(travel[first - 1]), float(travel[first])
        count = 33
        if high == low:
            break
    return high


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
        place = _runs_out(assembly, name, travel, motion.reach[name])
        if place is not None and (first is None or abs(place - low) < abs(first[1] - low) - SAME):  # fmt: skip
            first = (name, place)
    return first


def _runs_out(
    assembly: Assembly, rod: str, travel: FloatArray, reach: FloatArray
) -> float | None:
    """Return where one rod's reach first falls below zero, looking between samples."""

    def beyond(motion: Motion) -> FloatArray:
        return -motion.reach[rod] - 1e-300

    for i in range(1, len(travel)):
        here = reach[i]
        if np.isnan(here):  # an earlier rod ran out before
            return None
        dips = (
            i + 1 < len(travel)
            and 0 <= here < 0.02
            and here <= reach[i - 1]
            and here <= reach[i + 1]
        )
        if here < 0 or dips:
            far = travel[i] if here < 0 else travel[i + 1]
            place = crossing(assembly, beyond, float(travel[i - 1]), float(far))
            if place is not None:
                return _last_good(assembly, rod, float(travel[i - 1]), place)
    return None


def _last_good(assembly: Assembly, rod: str, low: float, high: float) -> float:
    """Return the last reachable position just before ``high``."""
    for _ in range(60):
        middle = (low + high) / 2
        if middle in {low, high}:
            break
        if sweep(assembly, np.array([middle])).reach[rod][0] >= 0:
            low = middle
        else:
            high = middle
    return low


def _stop_measure(stop: Stop) -> Measure:
    sense = 1.0 if stop.turn >= 0 else -1.0

    def measure(motion: Motion) -> FloatArray:
        return sense * (motion.turns[stop.shaft] - stop.turn) + 1e-12

    return measure


def _opening_measure(throttle: str, target: float) -> Measure:
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
    stopped_by = "floor" if layout.pedal.stop is None or layout.pedal.stop > layout.pedal.travel else "pedal stop"  # fmt: skip
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
    start = _start(assembly, rest[layout.main.name], reachable)
    end = reachable
    for what, measure in _stops(assembly):
        place = crossing(assembly, measure, start, end)
        if place is not None and place < end - SAME:
            end, stopped_by = place, what
    if not stopped_by.startswith("jam"):
        jam = None
    at_end = sweep(assembly, np.array([0.0, end]))
    return Working(
        start=start,
        end=end,
        stopped_by=stopped_by,
        left_over=limit - end,
        opening_at_rest=rest,
        opening_at_end={n: float(at_end.opening(n)[1]) for n in layout.throttles},
        jam=jam,
    )


def _miss(at_end: Motion, rod: str) -> float:
    """Return the rod's miss at the pedal's end, or where its driver stops before."""
    miss = miss_at(at_end, rod, 2)
    return 0.0 if np.isnan(miss) else miss


def _start(assembly: Assembly, opening: float, reachable: float) -> float:
    """Return where the plate leaves its stop: later where the lever rests on it."""
    if opening >= -1e-12:
        return 0.0
    name = assembly.layout.main.name
    place = crossing(assembly, _opening_measure(name, 0.0), 0.0, reachable)
    return 0.0 if place is None else place


def _stops(assembly: Assembly) -> list[tuple[str, Measure]]:
    layout = assembly.layout
    out = [
        (f"full stop of {name}", _opening_measure(name, t.swing))
        for name, t in layout.throttles.items()
    ]
    out += [(f"stop {name}", _stop_measure(stop)) for name, stop in layout.stops.items()]
    return out
