"""What each measured number does to what is found, one at a time: first order.

What the plate does follows from the derivatives of the rods' closure, exact; other
numbers are found by solving the layout anew with each one off either way.

Not here: all of them off at once (`band.sampled`), the corners (`rules.corners`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.band.found import values
from linkage.model.measured import measured
from linkage.motion import frame, sweep_clear
from linkage.motion.sweep import pads
from linkage.motion.tangent import carried
from linkage.records import dataclass
from linkage.rules.corners import off_by
from linkage.rules.engine import judge
from linkage.rules.examine import SAMPLED, stop_set_last
from linkage.rules.order import UNCERTAIN
from linkage.rules.room import parts
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.measured import Measured
    from linkage.rules.examine import Examined
    from linkage.rules.judged import Place

    FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Effect:
    """What one measured number does.

    Parameters
    ----------
    measured : Measured
        The number and its error.
    opening : float
        Of the main plate where the pedal stops, by a unit, pad and stops kept. [rad/SI]
    pad : float
        Pad travel at which the main plate is full, by a unit; nan where it is not
        what stops the pedal. [m/SI]
    found : mapping of Place to float
        Of each finding's number, by its whole error.
    """

    measured: Measured
    opening: float
    pad: float
    found: Mapping[Place, float]


class Effects(Tabular):
    """All effects of a layout, the greatest on the plate first; see `effects`."""

    def __init__(self, each: Sequence[Effect]) -> None:
        self.each = tuple(
            sorted(each, key=lambda e: -abs(e.opening * e.measured.error))
        )

    def __repr__(self) -> str:
        return f"<Effects of {len(self.each)} measured numbers>"

    def columns(self) -> dict[str, Any]:
        """Return one row a measured number."""
        errors = np.array([e.measured.error for e in self.each])
        return {
            "measured": [e.measured.called for e in self.each],
            "by": [e.measured.by or "given" for e in self.each],
            "throttle angle_deg": np.degrees([e.opening for e in self.each] * errors),
            "pad travel_mm": 1e3 * np.array([e.pad for e in self.each]) * errors,
        }

    def spread(self, values: Sequence[float]) -> float:
        """Return the standard deviation that all errors together make of a number.

        Parameters
        ----------
        values : sequence of float
            What each whole error does, in the order of `each`.
        """
        some = np.nan_to_num(np.asarray(values, dtype=float))
        return float(np.sqrt(np.sum(some**2) / 3))  # of rectangular distributions


def effects(x: Examined) -> Effects:
    """Return what each measured number of one layout does.

    Parameters
    ----------
    x : Examined
        One layout, its rods and stops as they are.
    """
    some = measured(x.layout)
    opening, pad = _plate(x, some)
    found = _found(x.layout, some)
    return Effects(
        [
            Effect(
                measured=m,
                opening=opening[i],
                pad=pad[i],
                found={place: float(v[i]) for place, v in found.items()},
            )
            for i, m in enumerate(some)
        ]
    )


def _plate(x: Examined, some: Sequence[Measured]) -> tuple[list[float], list[float]]:
    """Return the plate's opening at the end, and the pad where it is full, by a unit."""
    layout, main = x.layout, x.layout.main
    still = frame(sweep_clear(x.assembly, pads(0.0, x.working.end)))
    rate = main.opens * float(np.ravel(still.first[main.shaft])[-1])
    full = bool(x.working.is_stopped_by("full stop", main.name))
    opening, pad = [], []
    for m in some:
        swing = m.path == ("throttles", main.name, "swing")
        turns = carried(still, m.path) if _moves(m) else None
        by = 0.0 if turns is None else turns[main.shaft]
        one = main.opens * float(np.broadcast_to(by, (2,))[-1])
        if m.path == ("pedal", "travel") and not full and layout.pedal.stop is None:
            one = rate
        opening.append(one)
        pad.append((float(swing) - one) / rate if full else np.nan)
    return opening, pad


def _moves(m: Measured) -> bool:
    """Tell whether a number may move a shaft with the pad kept where it is."""
    if m.path[0] == "shafts":
        return m.path[2] != "drag"
    return m.path[0] == "rods"


def _found(layout: Layout, some: Sequence[Measured]) -> Mapping[Place, FloatArray]:
    """Return half of what each finding's number differs by with one number off."""
    count = len(some)
    errors = np.array([m.error for m in some])
    shift = np.zeros((2 * count, count))
    shift[0::2], shift[1::2] = np.diag(errors), -np.diag(errors)
    found: dict[Place, FloatArray] = {}
    for rows in parts(layout, np.arange(2 * count), SAMPLED):
        x = stop_set_last(off_by(layout, some, shift[rows]), SAMPLED)
        judged = judge(x, rules=UNCERTAIN)
        for place in judged.ranks:
            here = found.setdefault(place, np.full(2 * count, np.nan))
            here[rows] = values(judged, place)
    return {p: (v[0::2] - v[1::2]) / 2 for p, v in found.items()}
