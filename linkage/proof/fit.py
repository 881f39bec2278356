"""Which unknowns fit the readings best: least squares, each weighted by what it is known to.

An instrument's error is taken as its standard uncertainty, the error over the root of
three (JCGM 100:2008, the GUM, 4.3.7), and all of them together as normal.

Not here: what is said of the readings (`proof.predicted`), which of them is likely
wrong (`proof.doubt`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.errors import AssemblyError, LinkageError
from linkage.records import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.proof.predicted import Predicted

    FloatArray = NDArray[np.float64]

#: Steps at most, and halvings of one; and when they end, as a share of each error.
STEPS: Final = 15
HALVINGS: Final = 6
SETTLED: Final = 1e-3
#: No reading is known better than this, as its share of a turn, a metre or a newton.
LEAST: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """The unknowns that fit best; see `fit`.

    Parameters
    ----------
    off : ndarray, shape (unknowns,)
        By how much each is off. [SI]
    said : ndarray, shape (readings,)
        What is said of the readings then.
    by : ndarray, shape (readings, unknowns)
        The same by a unit of each unknown.
    prior : ndarray, shape (unknowns,)
        Variance of each unknown before anything was read.
    noise : ndarray, shape (readings,)
        Variance of each reading, that of the pad travel at which it was read in it.
    misfit : float
        Sum of all squares, each over its variance: of unknowns and of readings.
    left : ndarray, shape (readings,)
        What was read less what is said.
    """

    off: FloatArray
    said: FloatArray
    by: FloatArray
    prior: FloatArray
    noise: FloatArray
    misfit: float
    left: FloatArray

    @property
    def spread(self) -> FloatArray:
        """Covariance of the readings before any was read, shape (readings, readings)."""
        return (self.by * self.prior) @ self.by.T + np.diag(self.noise)

    @property
    def covariance(self) -> FloatArray:
        """Covariance of the unknowns afterwards, shape (unknowns, unknowns)."""
        gain = self.prior[:, None] * self.by.T
        found = np.diag(self.prior) - gain @ np.linalg.solve(self.spread, gain.T)
        return np.asarray((found + found.T) / 2)

    @property
    def likelihood(self) -> float:
        """Logarithm of how likely the readings were, but for a constant."""
        return float(-(self.misfit + np.linalg.slogdet(self.spread)[1]) / 2)


def fit(
    predicted: Predicted,
    *,
    wide: FloatArray | None = None,
    wide_readings: FloatArray | None = None,
) -> Fit:
    """Return the unknowns that fit the readings best.

    Parameters
    ----------
    predicted : Predicted
        What is said of the readings.
    wide, wide_readings : ndarray, optional
        How many times as far as it is known to each unknown, and each reading, may be
        off: 1 where not given.

    Returns
    -------
    Fit
        By Gauss and Newton's steps, each halved while it makes it worse.

    Raises
    ------
    AssemblyError
        If the layout as measured reaches no position at which something was read.
    """
    readings = predicted.readings
    prior = predicted.errors**2 / 3
    prior = prior if wide is None else prior * wide**2
    factor = np.ones(len(readings)) if wide_readings is None else wide_readings
    wanted = predicted.wanted
    off = np.zeros(len(prior))
    said, by_pad, by = predicted.slopes(off)
    if not np.isfinite(said).all():
        far = readings[int(np.flatnonzero(~np.isfinite(said))[0])]
        msg = f"the layout as measured does not get to where the {far.called} was read"
        hint = "`check` tells what jams; mend the layout's own numbers first"
        raise AssemblyError(msg, hint=hint, key=())
    for _ in range(STEPS):
        noise = noise_of(predicted, by_pad) * factor**2
        gain = prior[:, None] * by.T
        spread = by @ gain + np.diag(noise)
        aim = gain @ np.linalg.solve(spread, wanted - said + by @ off)
        now = misfit(off, wanted - said, prior, noise)
        for _ in range(HALVINGS):
            there = _there(predicted, aim)
            if there is not None and misfit(
                aim, wanted - there[0], prior, noise
            ) <= now * (1 + 1e-9):
                break
            aim = (aim + off) / 2
        else:
            break
        moved = np.abs(aim - off) / np.sqrt(prior)
        assert there is not None  # noqa: S101
        off, (said, by_pad, by) = aim, there
        if moved.max(initial=0.0) < SETTLED:
            break
    noise = noise_of(predicted, by_pad) * factor**2
    return Fit(
        off=off,
        said=said,
        by=by,
        prior=prior,
        noise=noise,
        misfit=misfit(off, wanted - said, prior, noise),
        left=wanted - said,
    )


def _there(
    predicted: Predicted, aim: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray] | None:
    """Return what is said with the unknowns so far off; None where no vehicle is so."""
    try:
        return predicted.slopes(aim)
    except LinkageError:  # an arm of no length, a rod that reaches nowhere
        return None


def noise_of(predicted: Predicted, by_pad: FloatArray) -> FloatArray:
    """Return the variance of each reading, that of the pad travel in it.

    Parameters
    ----------
    predicted : Predicted
        What is said of the readings.
    by_pad : ndarray, shape (readings,)
        The same by a unit of the pad travel.
    """
    own = [r.error for r in predicted.readings]
    pads = np.array([r.pad_error for r in predicted.readings]) * by_pad
    return np.asarray((np.array(own) ** 2 + pads**2) / 3 + LEAST**2)


def misfit(
    off: FloatArray, left: FloatArray, prior: FloatArray, noise: FloatArray
) -> float:
    """Return the sum of all squares, each over its variance; inf where one is nan.

    Parameters
    ----------
    off : ndarray, shape (unknowns,)
        By how much each is off. [SI]
    left : ndarray, shape (readings,)
        What was read less what is said.
    prior : ndarray, shape (unknowns,)
        Variance of each unknown.
    noise : ndarray, shape (readings,)
        Variance of each reading.
    """
    found = float(np.sum(off**2 / prior) + np.sum(left**2 / noise))
    return found if np.isfinite(found) else np.inf
