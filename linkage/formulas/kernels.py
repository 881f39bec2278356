"""The derived formulas as functions over NumPy arrays.

Every function broadcasts: a position may be a float or an array, and so may
every coefficient. Long arrays go through in blocks that stay in the
processor's cache, which is faster and keeps memory flat.

Not here: chains (`motion`), symbols (`derivation`).
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.formulas import store
from linkage.formulas.source import derive_sources

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

#: Positions a block; eight arrays of this length fit the cache of one core.
BLOCK = 8192


@cache
def functions() -> dict[str, Callable[..., tuple[Any, ...]]]:
    """Compile every derived formula, once a process.

    Returns
    -------
    dict
        ``coefficients``, ``close``, ``moments``, ``rates``, ``ratio`` and
        ``partials``; see `linkage.formulas.derivation` for what each returns.
    """
    return compile_sources(store.sources(derive_sources))


def compile_sources(sources: dict[str, str]) -> dict[str, Callable[..., Any]]:
    """Compile sources of `formulas.source`; they see arithmetic and nothing else."""
    space: dict[str, Any] = {
        "__builtins__": {},
        "sqrt": np.sqrt,
        "cos": np.cos,
        "sin": np.sin,
    }
    for name, text in sources.items():
        exec(compile(text, f"<derived {name}>", "exec"), space)  # noqa: S102
    return {name: space[name] for name in sources}


def coefficients(*parameters: float | FloatArray) -> tuple[Any, ...]:
    """Return the nine reduced coefficients of one rod.

    Parameters
    ----------
    *parameters : float or ndarray
        In the order of `formulas.source.PARAMETER_NAMES`, in SI.

    Returns
    -------
    tuple
        A0 A1 A2 B0 B1 B2 K0 K1 K2. [m]
    """
    return functions()["coefficients"](*parameters)


def close(
    cos1: FloatArray,
    sin1: FloatArray,
    reduced: Sequence[Any],
    branch: float | FloatArray,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Solve one rod at every position of its driver.

    Parameters
    ----------
    cos1, sin1 : ndarray, shape (n,) or any that broadcasts
        Of the driver's turn from rest.
    reduced : sequence of 9
        The coefficients.
    branch : {1, -1} or ndarray
        Assembly branch.

    Returns
    -------
    cos2, sin2 : ndarray
        Of the driven turn from rest; nan where the rod does not reach.
    reach : ndarray
        Negative where the rod does not reach, 0 at the driven arm's dead centre.
    """
    kernel = functions()["close"]
    with np.errstate(invalid="ignore", divide="ignore"):
        if np.ndim(cos1) != 1 or np.size(cos1) <= BLOCK:
            return kernel(cos1, sin1, *reduced, branch)
        n = np.size(cos1)
        out = np.empty((3, n))
        for begin in range(0, n, BLOCK):
            part = slice(begin, begin + BLOCK)
            out[:, part] = kernel(cos1[part], sin1[part], *reduced, branch)
    return out[0], out[1], out[2]


def follow(driver_turn: FloatArray, reduced: Sequence[Any], branch: int) -> FloatArray:
    """Return the driven turn for every turn of the driver, block by block.

    Parameters
    ----------
    driver_turn : ndarray, shape (n,)
        From rest. [rad]
    reduced : sequence of 9 floats
        The coefficients.
    branch : {1, -1}
        Assembly branch.

    Returns
    -------
    ndarray, shape (n,)
        From rest, in (-π, π]; nan where the rod does not reach. [rad]
    """
    kernel = functions()["close"]
    out = np.empty(len(driver_turn))
    with np.errstate(invalid="ignore", divide="ignore"):
        for begin in range(0, len(driver_turn), BLOCK):
            part = slice(begin, begin + BLOCK)
            block = driver_turn[part]
            cos2, sin2, _ = kernel(np.cos(block), np.sin(block), *reduced, branch)
            np.arctan2(sin2, cos2, out=out[part])
    return out


def rates(
    turn1: tuple[FloatArray, FloatArray],
    turn2: tuple[FloatArray, FloatArray],
    reduced: Sequence[Any],
) -> tuple[FloatArray, FloatArray]:
    """Return dq2/dq1 and d²q2/dq1².

    Parameters
    ----------
    turn1, turn2 : pair of ndarray
        Cosine and sine of the driver's and the driven turn, each shape (n,).
    reduced : sequence of 9
        The coefficients.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        one, two = functions()["rates"](*turn1, *turn2, *reduced)
    shape = np.shape(turn1[0])
    return np.broadcast_to(one, shape), np.broadcast_to(two, shape)


def ratio(
    turn1: tuple[FloatArray, FloatArray],
    turn2: tuple[FloatArray, FloatArray],
    reduced: Sequence[Any],
) -> FloatArray:
    """Return dq2/dq1 alone; arguments as for `rates`."""
    with np.errstate(invalid="ignore", divide="ignore"):
        (one,) = functions()["ratio"](*turn1, *turn2, *reduced)
    return np.broadcast_to(one, np.shape(turn1[0]))


def moments(
    turn1: tuple[FloatArray, FloatArray],
    turn2: tuple[FloatArray, FloatArray],
    reduced: Sequence[Any],
) -> tuple[FloatArray, FloatArray]:
    """Return the loop's derivatives by driver's and driven turn. [m].

    Each is zero at a dead centre of its own arm.
    """
    one, two = functions()["moments"](*turn1, *turn2, *reduced)
    shape = np.shape(turn1[0])
    return np.broadcast_to(one, shape), np.broadcast_to(two, shape)


def partials(
    turn1: tuple[FloatArray, FloatArray],
    turn2: tuple[FloatArray, FloatArray],
    parameters: Sequence[Any],
) -> FloatArray:
    """Return the change of the driven turn by each measured parameter.

    Parameters
    ----------
    turn1, turn2 : pair of ndarray
        Cosine and sine of both turns, each shape (n,).
    parameters : sequence
        In the order of `formulas.source.PARAMETER_NAMES`.

    Returns
    -------
    ndarray, shape (13, n)
        Rows in the order of `formulas.source.MEASURED_NAMES`. [rad/m, rad/rad]
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        rows = functions()["partials"](*turn1, *turn2, *parameters)
    shape = np.shape(turn1[0])
    return np.array([np.broadcast_to(row, shape) for row in rows])
