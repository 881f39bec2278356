"""What samples find: numbers with their bounds, and how often a finding says so.

Not here: the samples (`band.sampled`), the words (`report.band`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.records import dataclass
from linkage.rules.rule import BAD, LOOK
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.band.effects import Effects
    from linkage.rules.examine import Examined
    from linkage.rules.judged import Judged, Place

    FloatArray = NDArray[np.float64]

#: By how much the sampled spread may differ from that of first order, as a share.
ALIKE: Final = 0.15


def values(judged: Judged, place: Place) -> FloatArray:
    """Return what was found at a place in every row; nan where nothing was told.

    Returns
    -------
    ndarray, shape (rows,)
        [SI]
    """
    value = judged.outcome(place).value
    found = np.nan if value is None else np.ravel(value)
    return np.where(judged.told[place], found, np.nan).astype(float)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Answer:
    """A number that is found, and its band.

    Parameters
    ----------
    place : Place
        The rule, the part, and what tells it from others.
    who : str
        The part in words.
    kind : str
        Of the number, for `quantities.say`.
    nominal : float
        As measured; nan where the rule finds none then.
    low, middle, high : float
        5, 50 and 95 % of all samples lie below.
    spread : float
        Standard deviation of the samples.
    first_order : float
        That which the effects of single errors make together.
    samples : int
        How many tell it.
    """

    place: Place
    who: str
    kind: str
    nominal: float
    low: float
    middle: float
    high: float
    spread: float
    first_order: float
    samples: int

    @property
    def straight(self) -> bool:
        """Whether first order tells the same, so that single effects may be added.

        True too where no single error does anything, as to a plate that its stop holds.
        """
        if self.spread <= 0 or not self.first_order > 0:
            return True
        # Few samples tell a spread no better.
        doubt = np.sqrt(2 / self.samples)
        return bool(abs(self.first_order / self.spread - 1) <= ALIKE + doubt)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Chance:
    """How often a finding says so, of all samples.

    Parameters
    ----------
    place : Place
        The rule, the part, and what tells it from others.
    who : str
        The part in words.
    looks, bad : float
        Share of samples with that rank.
    was : int
        Its rank as measured.
    """

    place: Place
    who: str
    looks: float
    bad: float
    was: int

    @property
    def turns(self) -> float:
        """Share of samples in which it says another thing than as measured."""
        here = {BAD: self.bad, LOOK: self.looks}.get(
            self.was, 1 - self.looks - self.bad
        )
        return 1 - here


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Band(Tabular):
    """What measuring errors and wear make of a layout; see `band`.

    Parameters
    ----------
    examined : Examined
        As measured.
    judged : Judged
        The same by every rule, as closely as samples.
    effects : Effects
        One error at a time.
    count, seed : int
        Samples, and the seed of their draws.
    even : bool
        Whether they were spread evenly.
    fits : float
        Share of samples of which nothing says ``do not fit``.
    torn : float
        Share that could not be put together.
    answers, chances : tuple
        In the order in which a fitter looks.
    full_at : tuple of float
        Pad travel at which all is full or stopped: 5, 50 and 95 %. [m]
    pad_travel : ndarray, shape (n,)
        Of the curve's band. [m]
    curve : ndarray, shape (3, n)
        Main throttle's opening: 5, 50 and 95 %. [rad]
    """

    examined: Examined
    judged: Judged
    effects: Effects
    count: int
    seed: int
    even: bool
    fits: float
    torn: float
    answers: tuple[Answer, ...]
    chances: tuple[Chance, ...]
    full_at: tuple[float, float, float]
    pad_travel: FloatArray
    curve: FloatArray

    def __repr__(self) -> str:
        title = self.examined.layout.title
        return f"<Band of {title!r}: {self.fits:.0%} of {self.count} fit>"

    def columns(self) -> dict[str, Any]:
        """Return the curve's band, in shown units."""
        low, middle, high = np.degrees(self.curve)
        return {
            "pad_travel_mm": 1e3 * self.pad_travel,
            "throttle_angle_5_deg": low,
            "throttle_angle_50_deg": middle,
            "throttle_angle_95_deg": high,
        }
