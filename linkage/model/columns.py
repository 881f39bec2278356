"""Layouts as rows: a number is a float or a column, and everything broadcasts.

One layout has floats for numbers and arrays of shape (n,) over n positions. Many
layouts of one make-up have columns of shape (rows, 1) for the numbers in which
they differ, and arrays of shape (rows, n). Code that is written for the one
serves the other; these few functions are where it has to know the last axis.

Not here: which numbers of a layout are columns (`model.rows`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from linkage.errors import LayoutError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

#: A float, or a column of floats of shape (rows, 1).
Number: TypeAlias = Any
#: A bool, or a column of bools of shape (rows, 1).
Truth: TypeAlias = Any
#: Over positions: shape (n,) or (rows, n).
Positions: TypeAlias = Any


def column(values: Iterable[float]) -> FloatArray:
    """Return values as a column, one a row.

    >>> column([1, 2]).shape
    (2, 1)
    """
    return np.array(list(values), dtype=float)[:, None]


def given(value: Any, what: str, key: tuple[str, ...] = ()) -> Number:  # noqa: ANN401
    """Return what a person gives for a number: a float, or many as a column.

    Parameters
    ----------
    value : float, or array_like of shape (rows,) or (rows, 1)
        In SI.
    what : str
        The number in words, for the error.
    key : tuple of str
        Where it stands in the file.

    Raises
    ------
    LayoutError
        If it is no number, or has another shape.

    >>> given([0.03, 0.04], "length").shape
    (2, 1)
    """
    try:
        array = np.asarray(math.nan if value is None else value, dtype=float)
    except (TypeError, ValueError):
        array = np.empty((0, 0))
    if value is None or array.ndim > 2 or array.shape[1:] not in {(), (1,)}:
        msg = f"{what} is no number"
        hint = "give it in metres or radians; a list, or an array of one axis, gives a row each"
        raise LayoutError(msg, hint=hint, key=key)
    return array.reshape(-1, 1) if array.ndim else float(array)


def is_column(value: Number) -> bool:
    """Tell whether a number is a column, or an array over positions."""
    return isinstance(value, np.ndarray)


def every(truth: Truth) -> bool:
    """Tell whether something holds in every row.

    >>> every(column([1, 2]) > 0), every(1 > 2)
    (True, False)
    """
    return bool(truth.all()) if isinstance(truth, np.ndarray) else bool(truth)


def negated(truth: Truth) -> Truth:
    """Return where something does not hold, nan included."""
    return ~truth if isinstance(truth, np.ndarray) else not truth


def some(truth: Truth) -> bool:
    """Tell whether something holds in any row."""
    return bool(truth.any()) if isinstance(truth, np.ndarray) else bool(truth)


def some_rows(value: Number, rows: Any) -> Number:  # noqa: ANN401
    """Return rows of a column, by an index array; a float stays as it is."""
    return value[rows] if is_column(value) else value


def plain(value: Number) -> Number:
    """Return a number of one layout, NumPy's or Python's, as a plain float."""
    return value if np.ndim(value) else float(value)


def pick(truth: Truth, yes: Number, no: Number) -> Number:
    """Return one number where something holds and the other where it does not.

    >>> pick(True, 1.0, 2.0)
    1.0
    """
    if isinstance(truth, np.ndarray):
        return np.where(truth, yes, no)
    return yes if truth else no


def lesser(one: Number, two: Number) -> Number:
    """Return the lesser of two numbers, row by row."""
    if isinstance(one, np.ndarray) or isinstance(two, np.ndarray):
        return np.minimum(one, two)
    return min(one, two)


def greater(one: Number, two: Number) -> Number:
    """Return the greater of two numbers, row by row."""
    if isinstance(one, np.ndarray) or isinstance(two, np.ndarray):
        return np.maximum(one, two)
    return max(one, two)


def cosine(angle: Number) -> Number:
    """Return the cosine; a float stays a plain float."""
    return np.cos(angle) if isinstance(angle, np.ndarray) else math.cos(angle)


def sine(angle: Number) -> Number:
    """Return the sine; a float stays a plain float."""
    return np.sin(angle) if isinstance(angle, np.ndarray) else math.sin(angle)


def exponential(power: Number) -> Number:
    """Return e to a power; a float stays a plain float."""
    return np.exp(power) if isinstance(power, np.ndarray) else math.exp(power)


def log10(value: Number) -> Number:
    """Return the decimal logarithm; a float stays a plain float."""
    return np.log10(value) if isinstance(value, np.ndarray) else math.log10(value)


def _over(function: Any, values: Positions) -> Number:  # noqa: ANN401
    return function(values, axis=-1, keepdims=np.ndim(values) > 1)


def least(values: Positions) -> Number:
    """Return the least over positions; nan where any is nan."""
    return _over(np.minimum.reduce, values)


def most(values: Positions) -> Number:
    """Return the greatest over positions; nan where any is nan."""
    return _over(np.maximum.reduce, values)


def any_of(values: Positions) -> Truth:
    """Tell whether any position is true."""
    return _over(np.logical_or.reduce, values)


def all_of(values: Positions) -> Truth:
    """Tell whether every position is true."""
    return _over(np.logical_and.reduce, values)


def where_least(values: Positions) -> Number:
    """Return the index of the least over positions, for `at`; nan comes first."""
    return _over(np.argmin, values)


def where_most(values: Positions) -> Number:
    """Return the index of the greatest over positions, for `at`; nan comes first."""
    return _over(np.argmax, values)


def at(values: Positions, index: Number) -> Number:
    """Return the value at one position, by its index or a column of indices.

    >>> at(np.array([[1.0, 2.0], [3.0, 4.0]]), np.array([[0], [1]]))
    array([[1.],
           [4.]])
    """
    if values.ndim == 1:
        return values[index]
    if not np.ndim(index):
        return values[..., [index]]
    each = np.arange(len(values))[:, None] if len(values) > 1 else 0
    return values[each, index]


def first(values: Positions) -> Number:
    """Return the value at the first position."""
    return at(values, 0)


def last(values: Positions) -> Number:
    """Return the value at the last position."""
    return at(values, -1)


def spread(low: Number, high: Number, count: int) -> Positions:
    """Return positions evenly from one number to another, both included.

    Parameters
    ----------
    low, high : float or column
        Ends; ``high`` may be less than ``low``.
    count : int
        Two or more.

    Returns
    -------
    ndarray, shape (count,) or (rows, count)
        To the last bit what `numpy.linspace` gives for floats.

    >>> spread(0.0, column([1, 2]), 3)
    array([[0. , 0.5, 1. ],
           [0. , 1. , 2. ]])
    """
    if not np.ndim(low) and not np.ndim(high):
        return np.linspace(low, high, count)
    # As numpy.linspace does it for one span; for many it would let one span of
    # nothing change the last bits of all.
    out = np.arange(count) * ((high - low) / (count - 1)) + low
    out[:, -1:] = high
    return out


def rows_below(columns: dict[str, Positions]) -> dict[str, Any]:
    """Return arrays over positions with one axis: row below row, its number first.

    >>> {n: c.tolist() for n, c in rows_below({"a": np.array([[1], [2]])}).items()}
    {'row': [0, 1], 'a': [1, 2]}
    """
    shape = np.broadcast_shapes((1,), *map(np.shape, columns.values()))
    out = {n: np.broadcast_to(v, shape).ravel() for n, v in columns.items()}
    if len(shape) == 1:
        return out
    return {"row": np.repeat(np.arange(shape[0]), shape[1]), **out}
