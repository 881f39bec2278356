"""Draws of how far every measured number is off: seeded, one answer for any block.

Of an instrument nobody knows more than its limits: all within is as likely (JCGM
100:2008, the GUM, 4.3.7, rectangular distribution). What readings on the vehicle tell
of many numbers together is taken as normal.

Not here: what is made of the draws (`band.sampled`).
"""

from __future__ import annotations

import warnings
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.errors import UsageError
from linkage.records import dataclass
from linkage.rules.corners import WORN

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.model.measured import Measured

    FloatArray = NDArray[np.float64]

#: Binary digits of a scrambled Sobol sequence, which ends after so many doublings.
_BITS: Final = 30


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Told:
    """What is known of measured numbers together, instead of each one's own error.

    Parameters
    ----------
    off : ndarray, shape (numbers,)
        By how much each is most likely off. [SI]
    root : ndarray, shape (numbers, any)
        Root of their covariance: it times its own transpose.
    """

    off: FloatArray
    root: FloatArray


def draws(  # noqa: PLR0913 - what is drawn, and how
    some: Sequence[Measured],
    rods: int,
    count: int,
    block: int,
    *,
    seed: int,
    even: bool,
    told: Told | None = None,
) -> Iterator[tuple[FloatArray, FloatArray]]:
    """Yield how far numbers are off and rods are worn, block by block.

    Parameters
    ----------
    some : sequence of Measured
        The numbers.
    rods : int
        How many rods wear.
    count, block : int
        Samples in all, and in a block; the size of a block changes no number.
    seed : int
        One seed gives one answer.
    even : bool
        Whether they are spread evenly, by a scrambled Sobol sequence.
    told : Told, optional
        What is known of the numbers instead of their own errors; not spread evenly.

    Yields
    ------
    off : ndarray, shape (n, numbers)
        [SI]
    worn : ndarray, shape (n, rods)
        Play that is added. [m]

    Raises
    ------
    UsageError
        If even ones are asked for and SciPy is not there.
    """
    if told is not None:
        yield from _of(told, rods, count, block, seed=seed)
        return
    errors = np.array([m.error for m in some])
    width = len(errors) + rods
    engine = _even(width, seed) if even else _plain(width, seed)
    for begin in range(0, count, block):
        shares = engine(min(block, count - begin))
        yield (
            (2 * shares[:, : len(errors)] - 1) * errors,
            shares[:, len(errors) :] * WORN,
        )


def _of(
    told: Told, rods: int, count: int, block: int, *, seed: int
) -> Iterator[tuple[FloatArray, FloatArray]]:
    """Yield the same of numbers that are known together; a generator for each of both."""
    numbers, wear = (np.random.default_rng([seed, i]) for i in (0, 1))
    for begin in range(0, count, block):
        n = min(block, count - begin)
        normal = numbers.standard_normal((n, told.root.shape[1]))
        yield told.off + normal @ told.root.T, wear.random((n, rods)) * WORN


def _plain(width: int, seed: int) -> Callable[[int], FloatArray]:
    generator = np.random.default_rng(seed)
    return lambda n: generator.random((n, width))


def _even(width: int, seed: int) -> Callable[[int], FloatArray]:
    try:
        from scipy.stats import qmc  # type: ignore[import-untyped]  # noqa: PLC0415
    except ImportError as error:
        msg = "evenly spread samples need SciPy, which is not installed"
        hint = "pip install 'throttle-linkage[even]', or leave --even out"
        raise UsageError(msg, hint=hint) from error
    sequence = qmc.Sobol(width, seed=seed, bits=_BITS)

    def some(count: int) -> FloatArray:
        with warnings.catch_warnings():
            # That they are even best of 2, 4, 8 ... is no reason to take none else.
            warnings.simplefilter("ignore", UserWarning)
            return np.asarray(sequence.random(count))

    return some
