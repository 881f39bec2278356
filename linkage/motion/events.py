"""Where something happens for the first time: bracketing over all rows at once.

A measure is looked at in a chain's `samples` positions; between the last at which it is
below zero and the first at which it is not, it is looked at again in `FINE`,
four times over. What is found lies in places a few billionths of the span apart.

Not here: what is looked for (`motion.working`, `motion.jam`, `motion.dead_centre`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, Protocol

import numpy as np

from linkage.model.columns import spread

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model.columns import Number, Positions
    from linkage.motion.chain import Chain, Solved

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]
    Rows = Any

#: Samples that are passed over at once where one crossing is looked for; their
#: number less one is a multiple of it.
STRIDE: Final = 15
#: Events up to which all samples are looked at in one call.
AT_ONCE: Final = 6
#: Positions between two samples, and how often they are looked at again.
FINE: Final = 33
TIMES: Final = 4
#: Events up to which all rods are looked at together, at the price of solving some
#: further than asked: then calls cost more than numbers.
FEW: Final = 64
#: Slack below which two positions are one; far under anything measurable. [m]
SAME: Final = 1e-9


class Measure(Protocol):
    """What is below zero until something happens."""

    def __call__(self, solved: Solved, rows: Rows, /) -> Positions:
        """Return it at positions of some rows of a chain.

        Parameters
        ----------
        solved : Solved
            Some rows, or the one layout at positions of shape (events, n).
        rows : ndarray of int
            Which events these are, in the order in which they were asked for.
        """


def each_of(which: IntArray) -> list[int]:
    """Return the different numbers, rising; `numpy.unique` would load masked arrays."""
    return sorted(set(which.tolist()))


def flat(value: Number, rows: int) -> FloatArray:
    """Return a number as an array of shape (rows,)."""
    return np.broadcast_to(np.ravel(value), rows)


def over_rows(values: Positions, rows: int) -> Positions:
    """Return an array over positions with all its rows."""
    shape = np.shape(values)
    whole = (rows, shape[-1])
    return values if shape == whole else np.broadcast_to(values, whole)


def up_to(travel: Positions, end: FloatArray) -> NDArray[np.bool_]:
    """Return which positions lie before an end, and the first one that does not.

    Parameters
    ----------
    travel : ndarray, shape (rows, n)
        In the order in which they are met, in either direction. [m]
    end : ndarray, shape (rows,)
        [m]
    """
    out = np.ones(travel.shape, dtype=bool)
    away = np.abs(travel[:, :-1] - travel[:, :1])
    out[:, 1:] = away < np.abs(end - travel[:, 0])[:, None]
    return out


def together(events: list[tuple[Any, ...]]) -> list[tuple[Any, ...]]:
    """Return groups of events, each of arrays of one length, as one where they are few."""
    if len(events) < 2 or sum(len(e[0]) for e in events) > FEW:
        return events
    return [tuple(np.concatenate(parts) for parts in zip(*events, strict=True))]


def first_bracket(
    travel: Positions, values: Positions
) -> tuple[NDArray[np.bool_], FloatArray, FloatArray]:
    """Return where a measure is first not below zero, and the position before.

    Parameters
    ----------
    travel, values : ndarray, shape (rows, n)
        Positions in the order in which they are met, and the measure.

    Returns
    -------
    found : ndarray of bool, shape (rows,)
        Whether it is so at all.
    before, after : ndarray, shape (rows,)
        Twice the first position where it is so at once. [m]
    """
    met = values >= 0
    index = met.argmax(axis=-1)
    every = np.arange(len(met))
    before = travel[every, np.maximum(index - 1, 0)]
    return met[every, index], before, travel[every, index]


def refine(
    chain: Chain, measure: Measure, rows: Rows, low: FloatArray, high: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Narrow brackets four times; arguments and results of shape (events,).

    Parameters
    ----------
    chain : Chain
        Of just these events, or the one layout.
    measure : callable
        See `Measure`.
    rows : ndarray of int, shape (events,)
        Handed to the measure.
    low, high : ndarray, shape (events,)
        Below zero, and not below. [m]
    """
    for _ in range(TIMES):
        travel = spread(low[:, None], high[:, None], FINE)
        values = measure(chain.solve(travel), rows)
        met, before, after = first_bracket(travel, values)
        # Seen before but not now: lost in rounding, it lies at the far end.
        low, high = np.where(met, before, low), np.where(met, after, high)
    return low, high


def crossings(
    chain: Chain,
    measure: Measure,
    low: FloatArray,
    high: FloatArray,
    rows: Rows | None = None,
) -> tuple[FloatArray, FloatArray]:
    """Return the two pad positions between which measures first reach zero.

    Parameters
    ----------
    chain : Chain
        Of just these events, or the one layout.
    measure : callable
        See `Measure`.
    low, high : ndarray, shape (events,)
        Where to look; ``high`` may be less than ``low``. [m]
    rows : ndarray of int, shape (events,), optional
        Handed to the measure; 0, 1, 2 ... where not given.

    Returns
    -------
    before, after : ndarray, shape (events,)
        The last position below zero and the first not below; twice ``low``
        where it starts at zero or above; nan where it stays below. [m]
    """
    rows = np.arange(len(low)) if rows is None else rows
    travel = spread(low[:, None], high[:, None], chain.samples)
    return closer(chain, measure, rows, travel, measure(chain.solve(travel), rows))


def one_crossing(
    chain: Chain, measure: Measure, low: FloatArray, high: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return `crossings` of measures that reach zero once between low and high.

    The same positions, but of the samples only every 15th is looked at, and then
    those between two; all at once where they are few.
    """
    if len(low) <= AT_ONCE:
        return crossings(chain, measure, low, high)
    rows = np.arange(len(low))
    travel = spread(low[:, None], high[:, None], chain.samples)
    some = travel[:, ::STRIDE]
    met, before, after = first_bracket(some, measure(chain.solve(some), rows))
    index = np.argmax(some == before[:, None], axis=-1) * STRIDE
    near = np.minimum(index[:, None] + np.arange(STRIDE + 1), chain.samples - 1)
    between = np.take_along_axis(travel, near, axis=-1)
    values = np.array(over_rows(measure(chain.solve(between), rows), len(rows)))
    values[~met | (before == after)] = -1.0
    values[met & (before == after), 0] = 0.0
    return closer(chain, measure, rows, between, values)


def closer(
    chain: Chain, measure: Measure, rows: Rows, travel: Positions, values: Positions
) -> tuple[FloatArray, FloatArray]:
    """Return `crossings` of a measure that was looked at already."""
    values = over_rows(values, len(rows))
    travel = over_rows(travel, len(rows))
    found, before, after = first_bracket(travel, values)
    some = np.flatnonzero(found & (before != after))
    if some.size:
        finer = refine(chain.take(some), measure, rows[some], before[some], after[some])
        before, after = before.copy(), after.copy()
        before[some], after[some] = finer
    return np.where(found, before, np.nan), np.where(found, after, np.nan)
