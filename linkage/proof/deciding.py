"""The one measurement that tells explanations apart, which the readings do not.

Not here: the explanations (`proof.doubt`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.measured import Measured
from linkage.model.readings import Reading, to_read
from linkage.model.refs import Ref
from linkage.proof.fit import noise_of
from linkage.proof.predicted import Predicted
from linkage.proof.unknowns import is_setting
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.proof.doubt import Explanation

    FloatArray = NDArray[np.float64]

#: Shares of the working travel at which a throttle or a lever could be read.
SHARES: Final = (0.25, 0.5, 0.75, 1.0)
#: So many standard deviations apart two explanations are told from each other.
APART: Final = 3.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Deciding:
    """A measurement that tells explanations apart.

    Parameters
    ----------
    about : Measured or Reading
        What to measure, again or for the first time.
    error : float
        How far that may be off, with the usual or a better instrument. [SI]
    expected : tuple of float
        What it shows if each explanation is the right one. [SI]
    apart : float
        How far the first stands from the nearest other, in standard deviations of both.
    """

    about: Measured | Reading
    error: float
    expected: tuple[float, ...]
    apart: float


def deciding(
    predicted: Predicted, some: Sequence[Explanation], nominal: FloatArray, end: float
) -> Deciding | None:
    """Return the measurement that tells the first explanation from the others best.

    Parameters
    ----------
    predicted : Predicted
        What is said of the readings.
    some : sequence of Explanation
        At least two, the most likely first.
    nominal : ndarray, shape (unknowns,)
        Each unknown as measured; 0 of a setting. [SI]
    end : float
        Pad travel at which all is full or stopped. [m]

    Returns
    -------
    Deciding or None
        None where none tells them apart.
    """
    layout = predicted.layout
    readings = [*predicted.readings, *could_be_read(layout, end)]
    among = Predicted(layout, predicted.some, readings)
    said, errors = [], []
    for e in some:
        values, by_pad, by = among.slopes(e.fit.off)
        noise = noise_of(among, by_pad)
        spread = np.sum((by @ e.fit.covariance) * by, axis=1) + noise
        said.append((values, e.fit.off + nominal))
        known = np.array([_again(m) for m in predicted.some]) ** 2 / 3
        errors.append((spread, np.diag(e.fit.covariance) + known))
    abouts: list[Measured | Reading] = [*readings, *predicted.some]
    values = np.array([np.concatenate(pair) for pair in said])
    spreads = np.array([np.concatenate(pair) for pair in errors])
    apart = np.abs(values[1:] - values[0]) / np.sqrt((spreads[1:] + spreads[0]) / 2)
    useful = np.array([not isinstance(a, Measured) or _tells_more(a) for a in abouts])
    least = np.where(useful, np.nan_to_num(apart.min(axis=0)), 0.0)
    best = int(least.argmax())
    if least[best] < APART:
        return None
    about = abouts[best]
    error = _again(about) if isinstance(about, Measured) else about.error
    return Deciding(
        about=about,
        error=error,
        expected=tuple(values[:, best].tolist()),
        apart=float(least[best]),
    )


def _tells_more(m: Measured) -> bool:
    """Tell whether a number can be measured better than it was.

    One that was measured as well as can be is not asked for a second time: that it was
    wrong then can be told by something else alone.
    """
    return not is_setting(m) and m.better() is not None


def _again(m: Measured) -> float:
    """Return how far a number may be off that is measured again, as well as can be."""
    better = m.better()
    return m.error if better is None else better[1]


def could_be_read(layout: Layout, end: float) -> Iterator[Reading]:
    """Yield what could be read of a layout on the vehicle, with the usual instruments.

    Parameters
    ----------
    layout : Layout
        One.
    end : float
        Pad travel at which all is full or stopped. [m]
    """
    for name, throttle in layout.throttles.items():
        for share in SHARES[:-1]:
            half = float(throttle.swing) / 2
            yield to_read("throttle", Ref("throttle", name), half, share * end)
    for hole in (link.driven for link in layout.links):
        angle = float(layout.shafts[hole.shaft].arms[hole.arm].angle)
        for share in (0.0, *SHARES):
            about = Ref("arm", hole.shaft, hole.arm)
            yield to_read("lever", about, angle, share * end)
    for name, rod in layout.rods.items():
        if rod.kind == "rod":
            yield to_read("rod", Ref("rod", name), 1.0)
