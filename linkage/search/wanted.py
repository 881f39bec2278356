"""What curve is wanted of a drum or a cam: a share of the throttle at a share of the pedal.

One number bends a curve so that it goes through there: of a drum the fall of its wire's
arm, of a cam the rise of its ratio. Where that number cannot be had, the nearest one that
can is.

Not here: the curves, and the rim or profile that does it (`search.rim`,
`search.cam_way`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.errors import UsageError
from linkage.motion import assemble, working_travel
from linkage.motion.curve import travel_curve
from linkage.records import dataclass
from linkage.search.arm import BEST_FULL
from linkage.search.fitting import check

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from linkage.model import Arm, Hole, Layout, Throttle
    from linkage.motion.curve import TravelCurve
    from linkage.search.fitting import Check

    FloatArray = NDArray[np.float64]

#: Share of the throttle that is wanted at a share of the pedal, where none is told: a
#: third of it for nearly half the way, common practice, no source.
THROTTLE: Final = 1 / 3
PEDAL: Final = 0.45
#: Least radius, of what a wire is bent to and of a cam about its shaft: common practice,
#: no source. [m]
LEAST: Final = 0.012
#: Steps of a search by halves.
HALVES: Final = 80


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Shaped:
    """A layout with a rim or a profile of the curve that is wanted.

    Parameters
    ----------
    hole : Hole
        The drum's arm, or the cam's.
    layout : Layout
        With it.
    plate : str
        The throttle that it turns.
    wanted : pair of float
        Share of the throttle, and of the pad's travel to the pedal's own end, that were
        asked for.
    nearest : float
        Share of the pad's travel at which so much of the throttle is had.
    bounded : bool
        Whether it is not what was asked for, but the nearest that can be.
    before, after : TravelCurve
        As it was, and with it.
    check : Check
        Of the layout with it.
    """

    hole: Hole
    layout: Layout
    plate: str
    wanted: tuple[float, float]
    nearest: float
    bounded: bool
    before: TravelCurve
    after: TravelCurve
    check: Check

    @property
    def arm(self) -> Arm:
        """The arm itself."""
        return self.layout.shafts[self.hole.shaft].arms[self.hole.arm]


def asked(layout: Layout, throttle: float, pedal: float) -> tuple[float, float]:
    """Return the pad's travel at full throttle, and at the share asked for. [m].

    Raises
    ------
    UsageError
        If one of the shares is none.
    """
    for share, word in ((throttle, "throttle"), (pedal, "pedal's travel")):
        if not 0.02 <= share <= 0.98:
            msg = f"a share of {share:.0%} of the {word} cannot be asked for"
            raise UsageError(msg, hint="between 2 % and 98 %")
    end = layout.pedal.end
    return float(sum(BEST_FULL) / 2 * end), float(pedal * end)


def between(inside: float, outside: float, within: Callable[[float], bool]) -> float:
    """Return the last number that can be, on the way to one that cannot."""
    for _ in range(HALVES):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if within(middle) else (inside, middle)
    return inside


def nearest(
    wanted: float,
    tried: FloatArray,
    within: Callable[[float], bool],
) -> float | None:
    """Return what is nearest to a wanted number and can be; None where nothing can.

    Parameters
    ----------
    wanted : float
        The number.
    tried : ndarray, shape (n,)
        Numbers among which one is looked for, in even steps.
    within : callable
        Whether one can be.
    """
    if within(wanted):
        return wanted
    step = float(tried[1] - tried[0])
    for one in tried[np.argsort(np.abs(tried - wanted), kind="stable")].tolist():
        if within(one):
            way = min(step, abs(wanted - one))
            return between(one, one + math.copysign(way, wanted - one), within)
    return None


def had_at(
    layout: Layout, curve: TravelCurve, plate: Throttle, throttle: float
) -> float:
    """Return the share of the pad's travel at which so much of a throttle is had.

    Raises
    ------
    UsageError
        If it does not open so far.
    """
    shares = curve.throttles[plate.name].throttle_share
    if not shares[-1] > throttle:
        msg = f"`{plate.name}` opens to {shares[-1]:.0%} at most with it"
        raise UsageError(msg, hint="something stops the linkage before: see `check`")
    return float(np.interp(throttle, shares, curve.pad_travel) / layout.pedal.end)


def curve_of(layout: Layout) -> TravelCurve:
    """Return the travel curve of a layout at 201 positions."""
    assembly = assemble(layout)
    return travel_curve(assembly, working_travel(assembly), points=201)


def whole_check(layout: Layout) -> Check:
    """Return the whole check of a layout, without cures."""
    return check(layout, cures=False)
