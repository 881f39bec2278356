"""Which one number is most likely wrong, where readings and layout do not agree.

Each measured number, each rod's setting and each reading is in turn allowed to be far
off. How likely the readings are then, all else as well known as it is said to be, ranks
them: one that explains all, and needs to be off no further than people err, comes first.

Not here: what would tell two of them apart (`proof.deciding`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.proof.fit import Fit, fit
from linkage.proof.odds import beyond
from linkage.records import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model.measured import Measured
    from linkage.model.readings import Reading
    from linkage.proof.predicted import Predicted

    FloatArray = NDArray[np.float64]

#: So many times its error a wrong number is usually off: common practice, no source.
GROSS: Final = 5.0
#: As the standard deviation of a wrong number over that of one that is not.
WIDE: Final = GROSS * np.sqrt(3)
#: Of those that come first by the slopes so many are solved.
SOLVED: Final = 6
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
        By how much it is off: true less measured, or less read. Of ``full`` in pad
        travel. [as it is]
    sure : float
        Standard deviation of that.
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
    odds: float
    agrees: float

    @property
    def is_reading(self) -> bool:
        """Whether it is a reading that would be wrong."""
        return not hasattr(self.about, "path")


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
    ranked = np.argsort(-likelihoods(predicted, base), kind="stable")[:SOLVED]
    found = [_one(predicted, int(i)) for i in ranked]
    found.sort(key=lambda e: -e.fit.likelihood)
    best = found[0].fit.likelihood
    return tuple(
        _with_odds(e, float(np.exp(min(best - e.fit.likelihood, 700.0)))) for e in found
    )


def likelihoods(predicted: Predicted, base: Fit) -> FloatArray:
    """Return how likely the readings are with each number in turn far off, by the slopes.

    Parameters
    ----------
    predicted : Predicted
        What is said of the readings.
    base : Fit
        With nothing wrong.

    Returns
    -------
    ndarray, shape (unknowns + readings,)
        Logarithm, but for a constant.
    """
    left = predicted.wanted - base.said + base.by @ base.off
    return wrong_each(base, left)


def wrong_each(base: Fit, left: FloatArray) -> FloatArray:
    """Return the same for readings that differ by so much from what was measured.

    By Sherman and Morrison's formula for a matrix and one more square.
    """
    inverse = np.linalg.inv(base.spread)
    more = WIDE**2 - 1
    one = base.by * np.sqrt(base.prior)
    columns = np.hstack([one, np.diag(np.sqrt(base.noise))])
    through = inverse @ columns
    grows = 1 + more * np.sum(columns * through, axis=0)
    explains = more * (left @ through) ** 2 / grows
    misfit = left @ inverse @ left - explains
    return np.asarray(-(misfit + np.log(grows)) / 2)


def _one(predicted: Predicted, place: int) -> Explanation:
    """Solve with one number allowed to be far off."""
    count = len(predicted.some)
    wide = np.ones(count)
    wide_readings = np.ones(len(predicted.readings))
    about: Measured | Reading
    if place < count:
        about = predicted.some[place]
        wide[place] = WIDE
    else:
        about = predicted.readings[place - count]
        wide_readings[place - count] = WIDE
    found = fit(predicted, wide=wide, wide_readings=wide_readings)
    agrees = beyond(found.misfit, len(predicted.readings) - 1)
    if place < count:
        off = float(found.off[place])
        sure = float(np.sqrt(found.covariance[place, place]))
    else:
        k = place - count
        off, sure = -float(found.left[k]), _unsure(found, k)
        if predicted.readings[k].what == "full":
            _, by_pad, _ = predicted.slopes(found.off)
            off, sure = -off / by_pad[k], sure / abs(by_pad[k])
    return Explanation(
        about=about,
        place=place if place < count else place - count,
        fit=found,
        off=off,
        sure=sure,
        odds=1.0,
        agrees=agrees,
    )


def _unsure(found: Fit, k: int) -> float:
    """Return the standard deviation of what is said of a reading."""
    row = found.by[k]
    return float(np.sqrt(row @ found.covariance @ row))


def _with_odds(e: Explanation, odds: float) -> Explanation:
    return Explanation(
        about=e.about,
        place=e.place,
        fit=e.fit,
        off=e.off,
        sure=e.sure,
        odds=odds,
        agrees=e.agrees,
    )
