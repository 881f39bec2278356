"""Does the vehicle agree with the file: all that readings tell of a layout.

Not here: single steps (`proof.fit`, `proof.doubt`, `proof.deciding`), the layout that
they correct (`proof.corrected`), the words (`report.proof`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.band import band
from linkage.band.draws import Told
from linkage.errors import UsageError
from linkage.model.measured import refuse_unsure
from linkage.model.paths import read
from linkage.model.readings import refuse_readings
from linkage.proof.corrected import corrected
from linkage.proof.dangers import Danger, dangers
from linkage.proof.deciding import Deciding, deciding
from linkage.proof.doubt import TOLD, Explanation, explanations
from linkage.proof.fit import Fit, fit, misfit
from linkage.proof.odds import beyond, within
from linkage.proof.predicted import Predicted
from linkage.proof.said import said_of
from linkage.proof.unknowns import is_setting, unknowns
from linkage.records import dataclass
from linkage.rules.examine import COARSE, examine
from linkage.search import Check, check
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from linkage.band import Band
    from linkage.model import Layout
    from linkage.model.measured import Measured
    from linkage.model.readings import Reading

    FloatArray = NDArray[np.float64]

#: Of sound vehicles so many differ more than one that agrees: one in twenty.
AGREES: Final = 0.05
#: One number explains what was seen where no fewer sound vehicles would differ as much.
EXPLAINS: Final = 0.01
#: One that is so many times less likely than the first is not told.
UNLIKELY: Final = 100.0
#: The share of vehicles that lie within the stated region.
REGION: Final = 0.95
#: Samples of each of the two bands.
SAMPLES: Final = 400


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Proof(Tabular):
    """What readings tell of a layout; see `prove`.

    Parameters
    ----------
    layout : Layout
        As measured.
    readings : tuple of Reading
        What was read.
    unknowns : tuple of Measured
        What may be off.
    said : ndarray, shape (readings,)
        What the layout as measured says of each. [as read]
    sure : ndarray, shape (readings,)
        Nine of ten such vehicles, so read, lie within so much of it.
    fit : Fit
        With nothing wrong.
    agrees : float
        Share of sound vehicles that would differ as much.
    explanations : tuple of Explanation
        What may be wrong where it does not agree, the most likely first; those that
        the readings do not tell from the first, and one after.
    open : int
        How many of them the readings do not tell apart.
    deciding : Deciding or None
        What would tell them apart, where there are several.
    taken : int or None
        Which explanation what follows rests on; None where nothing is wrong, or where
        nothing rests on any.
    rubs : ndarray, shape (readings,)
        Friction reckoned with at each pull's hole; nan of other readings. [N]
    before : Band
        Samples of vehicles that would have been measured as this was.
    after : Band or None
        The same of such that agree with the readings too, their rods set again; None
        where several numbers may be wrong, or no one explains it.
    corrected : Layout or None
        The layout that fits the readings; None likewise.
    check : Check or None
        What every rule says of it.
    dangers : tuple of Danger
        What was read that is wrong by itself.
    """

    layout: Layout
    readings: tuple[Reading, ...]
    unknowns: tuple[Measured, ...]
    said: FloatArray
    sure: FloatArray
    fit: Fit
    agrees: float
    explanations: tuple[Explanation, ...]
    open: int
    deciding: Deciding | None
    taken: int | None
    rubs: FloatArray
    before: Band
    after: Band | None
    corrected: Layout | None
    check: Check | None
    dangers: tuple[Danger, ...]

    def __repr__(self) -> str:
        word = "agrees" if self.sound else "does not agree"
        return (
            f"<Proof of {self.layout.title!r}: {word}, {len(self.readings)} readings>"
        )

    @property
    def sound(self) -> bool:
        """Whether the vehicle agrees with the layout."""
        return self.agrees >= AGREES

    @property
    def good(self) -> bool:
        """Whether it agrees, what it agrees with fits, and nothing is wrong by itself."""
        fits = self.check is not None and self.check.verdict != "do not fit"
        return self.sound and fits and not self.dangers

    def allows(self, off: FloatArray) -> bool:
        """Tell whether unknowns lie within the region that holds 95 of 100 vehicles.

        Those of which the sum of all squares is no more above the least than a
        chi-squared number of as many unknowns is but once in twenty.

        Parameters
        ----------
        off : ndarray, shape (unknowns,)
            By how much each is off. [SI]
        """
        least = self.best
        predicted = Predicted(self.layout, self.unknowns, self.readings)
        (said,), _ = predicted.at(off[None])
        there = misfit(off, predicted.wanted - said, least.prior, least.noise)
        return bool(there - least.misfit <= within(REGION, len(off)))

    @property
    def off(self) -> FloatArray:
        """By how much each reading differs from what is said, shape (readings,)."""
        return np.array([r.value for r in self.readings]) - self.said

    @property
    def best(self) -> Fit:
        """The fit that what follows rests on."""
        return self.fit if self.taken is None else self.explanations[self.taken].fit

    def columns(self) -> dict[str, Any]:
        """Return one row a reading. [rad, m or N]."""
        return {
            "reading": [r.called for r in self.readings],
            "predicted": self.said,
            "nine_of_ten_within": self.sure,
            "seen": np.array([r.value for r in self.readings]),
        }


def prove(
    layout: Layout,
    readings: Sequence[Reading],
    *,
    take: int | None = None,
    samples: int = SAMPLES,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Proof:
    """Hold what was read on the vehicle against a layout.

    Parameters
    ----------
    layout : Layout
        As measured; one with a pedal.
    readings : sequence of Reading
        What was read.
    take : int, optional
        Which explanation to go on with, from 0, where several are left.
    samples, seed : int
        Of the bands before and after.
    progress : callable, optional
        Called with the samples judged so far and of how many.

    Raises
    ------
    AssemblyError
        If the parts cannot be put together, or do not get to where something was read.
    LayoutError
        If a reading is of what the layout does not have.
    UsageError
        If the layout is that of a governed engine or has a cam or a slide, or there is
        no such explanation.
    """
    refuse_unsure(layout, "prove")
    refuse_readings(layout, readings)
    x = examine(layout, COARSE)
    end = float(x.working.end)
    some = unknowns(layout)
    predicted = Predicted(layout, some, readings)
    base = fit(predicted)
    agrees = beyond(base.misfit, len(readings))
    found: tuple[Explanation, ...] = ()
    left, decides = 0, None
    if agrees < AGREES:
        found = tuple(
            e
            for e in explanations(predicted, base)
            if e.agrees >= EXPLAINS and e.odds < UNLIKELY
        )
        left = sum(e.odds < TOLD for e in found)
        found = found[: left + 1]
        if left > 1:
            nominal = np.array([_value(layout, m) for m in some])
            decides = deciding(predicted, found[:left], nominal, end)
    bad = tuple(dangers(layout, tuple(readings)))
    # Where a reading is a danger nothing rests on its being wrong, but on request.
    taken = _taken(take, found, 0 if bad else left)
    best = base if taken is None else found[taken].fit
    said, sure = said_of(predicted)
    settled = agrees >= AGREES or taken is not None
    bands = 2 if settled else 1

    def so_far(done: int, whole: int, earlier: int) -> None:
        if progress is not None:
            progress(earlier * whole + done, bands * whole)

    before = band(
        layout,
        samples=samples,
        seed=seed,
        progress=lambda done, whole: so_far(done, whole, 0),
    )
    after = mended = None
    if settled:
        count = sum(not is_setting(m) for m in some)
        after = band(
            layout,
            samples=samples,
            seed=seed,
            told=Told(off=best.off[:count], root=_root(best.covariance)[:count]),
            progress=lambda done, whole: so_far(done, whole, 1),
        )
        mended = corrected(layout, some, best)
    return Proof(
        layout=layout,
        readings=tuple(readings),
        unknowns=some,
        said=said,
        sure=sure,
        fit=base,
        agrees=agrees,
        explanations=found,
        open=left,
        deciding=decides,
        taken=taken,
        rubs=predicted.rubs(best.off),
        before=before,
        after=after,
        corrected=mended,
        check=None if mended is None else check(mended, cures=False),
        dangers=bad,
    )


def _taken(take: int | None, found: Sequence[Explanation], left: int) -> int | None:
    """Return which explanation to go on with; None where it is not clear which."""
    if take is None:
        return 0 if left == 1 else None
    if not 0 <= take < len(found):
        msg = f"there is no explanation {take + 1}"
        hint = (
            f"there are {len(found)}, counted from 1"
            if found
            else "the vehicle agrees with the layout, or no one number explains it"
        )
        raise UsageError(msg, hint=hint)
    return take


def _value(layout: Layout, m: Measured) -> float:
    return 0.0 if is_setting(m) else float(read(layout, m.path))


def _root(covariance: FloatArray) -> FloatArray:
    """Return a root of a covariance, which may have directions of none."""
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))
