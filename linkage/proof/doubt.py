"""Which one number is most likely wrong, where readings and layout do not agree.

Each measured number, each rod's setting and each reading is in turn allowed to be far
off. How likely the readings are then, all else as well known as it is said to be, ranks
them: one that explains all, and needs to be off no further than people err, comes first.

Not here: what would tell two of them apart (`proof.deciding`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.measured import Measured
from linkage.proof.fit import Fit, fit
from linkage.proof.odds import beyond
from linkage.records import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model.readings import Reading
    from linkage.proof.predicted import Predicted

    FloatArray = NDArray[np.float64]

#: A wrong number is allowed to be off by so many times its error at least, and as much
#: further as explains most; twice as far is a quarter as likely. Common practice, no
#: source.
GROSS: Final = 5.0
#: As the standard deviation of a wrong number over that of one that is not.
WIDE: Final = GROSS * np.sqrt(3)
#: Of those that come first by the slopes so many are solved.
SOLVED: Final = 6
#: A measured number is never taken to be off by more than so many times its error: what
#: is that far off is another part. A reading may be.
FURTHEST: Final = 40.0
#: A wrong number is solved again where it is off by so many times more than was allowed.
MUCH: Final = 1.5
ROUNDS: Final = 3
#: One that is so many times less likely than the first is told apart from it.
TOLD: Final = 10.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Explanation:
    """One number that would explain what does not agree.

    Parameters
    ----------
    about : Measured or Reading
        The number.
    place : int
        Its own among the unknowns, or among the readings.
    fit : Fit
        All numbers, with this one allowed to be far off.
    off : float
        By how much it is off: true less measured, or less read. [as it is]
    sure : float
        Standard deviation of that.
    likely : float
        Logarithm of how likely the readings were, but for a constant.
    odds : float
        How many times less likely it is than the first; 1 of the first.
    agrees : float
        Share of sound vehicles that would differ as much as what is left.
    """

    about: Measured | Reading
    place: int
    fit: Fit
    off: float
    sure: float
    likely: float
    odds: float
    agrees: float

    @property
    def is_reading(self) -> bool:
        """Whether it is a reading that would be wrong."""
        return not isinstance(self.about, Measured)


def explanations(predicted: Predicted, base: Fit) -> tuple[Explanation, ...]:
    """Return the numbers that explain the readings, the most likely first.

    Parameters
    ----------
    predicted : Predicted
        What is said of the readings.
    base : Fit
        With nothing wrong.

    Returns
    -------
    tuple of Explanation
        At most `SOLVED`.
    """
    likely, wide = wrong_each(base, differs(predicted, base))
    count = len(predicted.some)
    likely[:count][wide[:count] > FURTHEST * np.sqrt(3)] = -np.inf
    ranked = np.argsort(-likely, kind="stable")[:SOLVED]
    tried = [_one(predicted, int(i), float(wide[i])) for i in ranked]
    found = [e for e in tried if e.is_reading or _near(e)]
    found.sort(key=lambda e: -e.likely)
    best = found[0].likely if found else 0.0
    return tuple(
        replace(e, odds=float(np.exp(min(best - e.likely, 700.0)))) for e in found
    )


def _near(e: Explanation) -> bool:
    """Tell whether a measured number is off by no more than one may be."""
    assert isinstance(e.about, Measured)  # noqa: S101
    return abs(e.off) <= FURTHEST * e.about.error


def wrong_each(base: Fit, left: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return how likely readings are with each number in turn far off, by the slopes.

    By Sherman and Morrison's formula for a matrix and one more square.

    Parameters
    ----------
    base : Fit
        Whose slopes count.
    left : ndarray, shape (readings,)
        By how much the readings differ from what the layout as measured says.

    Returns
    -------
    likely : ndarray, shape (unknowns + readings,)
        Logarithm, but for a constant.
    wide : ndarray, shape (unknowns + readings,)
        As how many times its own standard deviation each is taken for that: `WIDE`, or
        that by which it explains most.
    """
    inverse = np.linalg.inv(base.spread)
    columns = np.hstack([base.by * np.sqrt(base.prior), np.diag(np.sqrt(base.noise))])
    through = inverse @ columns
    weight = np.sum(columns * through, axis=0)
    pull = (left @ through) ** 2
    with np.errstate(divide="ignore", invalid="ignore"):
        most = np.nan_to_num((pull / weight - 1) / weight, posinf=0.0, neginf=0.0)
    more = np.maximum(WIDE**2 - 1, most)
    grows = 1 + more * weight
    misfit = left @ inverse @ left - more * pull / grows
    wide = np.sqrt(more + 1)
    return -(misfit + np.log(grows)) / 2 - np.log(wide / WIDE), wide


def differs(predicted: Predicted, base: Fit) -> FloatArray:
    """Return by how much readings differ from the layout as measured, by the slopes.

    Parameters
    ----------
    predicted : Predicted
        What is said of the readings.
    base : Fit
        Whose slopes count.
    """
    return np.asarray(predicted.wanted - base.said + base.by @ base.off)


def _one(predicted: Predicted, place: int, times: float) -> Explanation:
    """Solve with one number allowed to be so many times as far off as it is known to."""
    count = len(predicted.some)
    found = _widened(predicted, place, times)
    for _ in range(ROUNDS):
        # Where the slopes are those of what was found, it may be off by more.
        own = found.prior[place] if place < count else found.noise[place - count]
        far = found.off[place] if place < count else found.left[place - count]
        there = max(WIDE, times * abs(float(far)) / float(np.sqrt(own)))
        if there <= times * MUCH:
            break
        times = there
        found = _widened(predicted, place, times)
    about: Measured | Reading
    if place < count:
        about = predicted.some[place]
        off = float(found.off[place])
        sure = float(np.sqrt(found.covariance[place, place]))
    else:
        place -= count
        about = predicted.readings[place]
        off, sure = -float(found.left[place]), _unsure(found, place)
    return Explanation(
        about=about,
        place=place,
        fit=found,
        off=off,
        sure=sure,
        likely=found.likelihood - float(np.log(times / WIDE)),
        odds=1.0,
        agrees=beyond(found.misfit, len(predicted.readings) - 1),
    )


def _widened(predicted: Predicted, place: int, times: float) -> Fit:
    """Return the fit with one number known so many times less well."""
    count = len(predicted.some)
    wide = np.ones(count + len(predicted.readings))
    wide[place] = times
    return fit(predicted, wide=wide[:count], wide_readings=wide[count:])


def _unsure(found: Fit, k: int) -> float:
    """Return the standard deviation of what is said of a reading."""
    row = found.by[k]
    return float(np.sqrt(row @ found.covariance @ row))
