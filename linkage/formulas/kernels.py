"""The derived formulas over NumPy arrays of any shapes that broadcast.

A position is a float or an array of shape (n,) or (rows, n); a coefficient is a
float, or a column of shape (rows, 1) where every row has its own. Large arrays go
through in blocks that stay in the processor's cache, which is faster and keeps
memory flat; the size of a block changes no number.

Not here: chains (`motion`), symbols (`derivation`), the formulas (`derived`).
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.formulas import derived

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.model.columns import Number, Positions

    FloatArray = NDArray[np.float64]

#: Entries a block: what a formula is at work on stays in the cache.
BLOCK = 32768


def _blocks(shape: tuple[int, ...]) -> Iterator[tuple[slice, ...]]:
    """Cut a shape into parts of at most `BLOCK` entries, whole rows where they fit."""
    whole = (slice(None),) * (len(shape) - 1)
    row = math.prod(shape[1:])
    if row <= BLOCK:
        step = BLOCK // max(row, 1)
        for begin in range(0, shape[0], step):
            yield (slice(begin, begin + step), *whole)
        return
    for i in range(shape[0]):
        for rest in _blocks(shape[1:]):
            yield (slice(i, i + 1), *rest)


def _cut(value: Positions, part: tuple[slice, ...]) -> Positions:
    """Return a part of what broadcasts to the whole shape; an axis of one stays."""
    shape = np.shape(value)
    if not shape:
        return value
    ends = zip(shape, part[-len(shape) :], strict=True)
    return np.asarray(value)[tuple(s if n > 1 else slice(None) for n, s in ends)]


def _over(
    function: Callable[..., tuple[Any, ...]], count: int, *arguments: Positions
) -> tuple[Any, ...]:
    """Return the results of a formula, each of the shape of all arguments together."""
    shapes = {a.shape for a in arguments if isinstance(a, np.ndarray)}
    shape = shapes.pop() if len(shapes) == 1 else _together(frozenset(shapes))
    with np.errstate(invalid="ignore", divide="ignore"):
        if math.prod(shape) <= BLOCK:
            values = function(*arguments)
            if not shape:
                return values
            return tuple([_whole(value, shape) for value in values])
        out = tuple(np.empty(shape) for _ in range(count))
        for part in _blocks(shape):
            values = function(*(_cut(a, part) for a in arguments))
            for array, value in zip(out, values, strict=True):
                array[part] = value
    return out


@lru_cache(maxsize=256)
def _together(shapes: frozenset[tuple[int, ...]]) -> tuple[int, ...]:
    """Return the shape of arrays of some shapes together; the same few are asked."""
    return np.broadcast_shapes(*shapes)


def _whole(value: Positions, shape: tuple[int, ...]) -> Positions:
    if isinstance(value, np.ndarray) and value.shape == shape:
        return value
    return np.broadcast_to(value, shape)


def coefficients(*parameters: Number) -> tuple[Number, ...]:
    """Return the nine reduced coefficients of one rod, or of a rod in many rows.

    Parameters
    ----------
    *parameters : float or column
        In the order of `formulas.PARAMETER_NAMES`, in SI.

    Returns
    -------
    tuple
        A0 A1 A2 B0 B1 B2 K0 K1 K2, each a float or of the parameters' shape. [m]
    """
    return _over(derived.coefficients, 9, *parameters)


def close(
    cos1: FloatArray, sin1: FloatArray, reduced: Sequence[Number], branch: Number
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Solve one rod at every position of its driver.

    Parameters
    ----------
    cos1, sin1 : ndarray, shape (n,) or (rows, n)
        Of the driver's turn from rest.
    reduced : sequence of 9 floats or columns
        The coefficients.
    branch : {1, -1} or column
        Assembly branch.

    Returns
    -------
    cos2, sin2 : ndarray, shape (n,) or (rows, n)
        Of the driven turn from rest; nan where the rod does not reach.
    reach : ndarray
        Negative where the rod does not reach, 0 at the driven arm's dead centre.
    """
    cos2, sin2, reach = _over(derived.close, 3, cos1, sin1, *reduced, branch)
    return cos2, sin2, reach


def close_moments(
    cos1: FloatArray, sin1: FloatArray, reduced: Sequence[Number], branch: Number
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return what `close` returns, then what `moments` returns there.

    Arguments as for `close`; quicker than the two one after the other.
    """
    found = _over(derived.close_moments, 5, cos1, sin1, *reduced, branch)
    cos2, sin2, reach, driver, driven = found
    return cos2, sin2, reach, driver, driven


def _turn(driver_turn: Positions, *coefficients: Number) -> tuple[Positions]:
    y, x = derived.ray(np.tan(0.5 * driver_turn), *coefficients)
    return (np.arctan2(y, x),)


def follow(
    driver_turn: FloatArray, reduced: Sequence[Number], branch: Number
) -> FloatArray:
    """Return the driven turn for every turn of the driver.

    Quicker than `close` where neither cosines nor the reach are asked for.

    Parameters
    ----------
    driver_turn : ndarray, shape (n,) or (rows, n)
        From rest. [rad]
    reduced : sequence of 9 floats or columns
        The coefficients.
    branch : {1, -1} or column
        Assembly branch.

    Returns
    -------
    ndarray, shape (n,) or (rows, n)
        From rest, in (-π, π]; nan where the rod does not reach. [rad]
    """
    (turn,) = _over(_turn, 1, driver_turn, *reduced, branch)
    return np.asarray(turn)


def rates(
    turn1: tuple[FloatArray, FloatArray],
    turn2: tuple[FloatArray, FloatArray],
    reduced: Sequence[Number],
) -> tuple[FloatArray, FloatArray]:
    """Return dq2/dq1 and d²q2/dq1².

    Parameters
    ----------
    turn1, turn2 : pair of ndarray
        Cosine and sine of the driver's and the driven turn, each shape (n,) or
        (rows, n).
    reduced : sequence of 9 floats or columns
        The coefficients.
    """
    one, two = _over(derived.rates, 2, *turn1, *turn2, *reduced)
    return one, two


def ratio(
    turn1: tuple[FloatArray, FloatArray],
    turn2: tuple[FloatArray, FloatArray],
    reduced: Sequence[Number],
) -> FloatArray:
    """Return dq2/dq1 alone; arguments as for `rates`."""
    (one,) = _over(derived.ratio, 1, *turn1, *turn2, *reduced)
    return np.asarray(one)


def moments(
    turn1: tuple[FloatArray, FloatArray],
    turn2: tuple[FloatArray, FloatArray],
    reduced: Sequence[Number],
) -> tuple[FloatArray, FloatArray]:
    """Return the loop's derivatives by driver's and driven turn. [m].

    Each is zero at a dead centre of its own arm; arguments as for `rates`.
    """
    one, two = _over(derived.moments, 2, *turn1, *turn2, *reduced)
    return one, two


def miss(
    turn1: tuple[FloatArray, FloatArray],
    turn2: tuple[FloatArray, FloatArray],
    reduced: Sequence[Number],
) -> FloatArray:
    """Return by how much any two turns miss a closed loop, (L² - d²)/(2 r). [m].

    Zero where the pins are a rod's length apart, negative where they are further;
    arguments as for `rates`.
    """
    (one,) = _over(derived.miss, 1, *turn1, *turn2, *reduced)
    return np.asarray(one)


def partials(
    turn1: tuple[FloatArray, FloatArray],
    turn2: tuple[FloatArray, FloatArray],
    parameters: Sequence[Number],
) -> FloatArray:
    """Return the change of the driven turn by each measured parameter.

    Parameters
    ----------
    turn1, turn2 : pair of ndarray
        Cosine and sine of both turns, each shape (n,) or (rows, n).
    parameters : sequence of float or column
        In the order of `formulas.PARAMETER_NAMES`.

    Returns
    -------
    ndarray, shape (13, n) or (13, rows, n)
        In the order of `formulas.MEASURED_NAMES`. [rad/m, rad/rad]
    """
    count = len(derived.MEASURED_NAMES)
    return np.array(_over(derived.partials, count, *turn1, *turn2, *parameters))
