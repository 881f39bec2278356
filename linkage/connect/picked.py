"""Numbers of which one holds at each position: of the corners of a rim, the arcs of a cam.

Not here: which of them holds (`connect.snail`, `connect.cam`).
"""

from __future__ import annotations

from typing import Any

import numpy as np

from linkage.model.columns import is_column


def side_by_side(numbers: Any) -> Any:  # noqa: ANN401
    """Return numbers, floats or columns, as one array with an axis for them, the last."""
    if any(map(is_column, numbers)):
        return np.concatenate(np.broadcast_arrays(*numbers), axis=1)
    return np.array(numbers, dtype=float)


def picked(values: Any, which: Any) -> Any:  # noqa: ANN401
    """Return of such an array one number at every position, by its index."""
    if values.ndim == 1:
        return values[which]
    at = np.broadcast_to(which, (len(values), np.shape(np.atleast_1d(which))[-1]))
    return np.take_along_axis(values, at, axis=1)


def one_of(values: Any, i: int) -> Any:  # noqa: ANN401
    """Return of such an array the number of one place: a float, or a column."""
    return values[i] if values.ndim == 1 else values[:, i : i + 1]


def beside(values: Any) -> Any:  # noqa: ANN401
    """Return such an array so that it goes with positions that have an axis more, the last."""
    return values if values.ndim == 1 else values[:, None, :]


def ahead(pair: Any) -> tuple[Any, Any]:  # noqa: ANN401
    """Return cosine and sine of turns with an axis more, the last."""
    return np.asarray(pair[0])[..., None], np.asarray(pair[1])[..., None]


def some_of(values: Any, rows: Any) -> Any:  # noqa: ANN401
    """Return some rows of such an array; itself where all rows are alike."""
    return values[rows] if values.ndim > 1 else values
