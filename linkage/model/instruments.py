"""What is measured with what, and how far each instrument is honestly off.

All figures are common practice with no source; a `±` beside a value takes their place.

Not here: the numbers of a layout that were measured so (`model.measured`), what is read
on the vehicle with the linkage fitted (`model.readings`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.model.frozen import FrozenDict
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """What is measured in one way.

    Parameters
    ----------
    means : str
        What it covers, in words.
    kind : str
        ``length``, ``angle``, or ``share`` of the value itself.
    errors : mapping of str to float
        By instrument: the error either way that nobody should be held to beat; the
        usual instrument first. [m], [rad], or a share.
    """

    means: str
    kind: str
    errors: Mapping[str, float]

    @property
    def usual(self) -> str:
        """The instrument that is assumed where none is given."""
        return next(iter(self.errors))

    @property
    def usually(self) -> float:
        """The error of the usual instrument."""
        return self.errors[self.usual]

    def off(self, value: float, by: str) -> float:
        """Return how far a value may be off that was measured by an instrument. [SI].

        >>> GROUPS["springs"].off(-20.0, "spring balance")
        2.0
        """
        error = self.errors[by]
        return error * abs(value) if self.kind == "share" else error


def degrees(**errors: float) -> Mapping[str, float]:
    """Return errors by instrument, given in degrees. [rad]."""
    return _named(math.radians(1), errors)


def millimetres(**errors: float) -> Mapping[str, float]:
    """Return errors by instrument, given in millimetres. [m]."""
    return _named(1e-3, errors)


def _named(unit: float, errors: Mapping[str, float]) -> Mapping[str, float]:
    return FrozenDict({k.replace("_", " "): unit * v for k, v in errors.items()})


#: By the key of the table `[measured]`. Common practice, no source.
GROUPS: Final[Mapping[str, Group]] = FrozenDict(
    {
        "holes": Group(
            means="radii of arms, drums and hooks, and slots",
            kind="length",
            errors=millimetres(rule=0.5, caliper=0.2, tape=3, photo=5),
        ),
        "offsets": Group(
            means="places of arms along their shafts",
            kind="length",
            errors=millimetres(tape=5, rule=2, caliper=0.5, photo=5),
        ),
        "angles": Group(
            means="angles of arms at rest",
            kind="angle",
            errors=degrees(phone=1, angle_block=0.3, protractor=2, photo=2),
        ),
        "pivots": Group(
            means="places of pivots, of springs' anchors and of the ends of sheaths",
            kind="length",
            errors=millimetres(tape=5, rule=1, caliper=0.5, photo=5),
        ),
        "pad": Group(
            means="radius of the pad's path, and of a hand lever's",
            kind="length",
            errors=millimetres(tape=5, rule=1),
        ),
        "travel": Group(
            means="travel of the pad, and of a hand lever",
            kind="length",
            errors=millimetres(tape=3, rule=1),
        ),
        "swing": Group(
            means="swing of a throttle between its stops",
            kind="angle",
            errors=degrees(pointer=1, angle_block=0.5, protractor=2),
        ),
        "springs": Group(
            means="rates, loads and pulls of springs",
            kind="share",
            errors=FrozenDict({"spring balance": 0.1, "scales": 0.05}),
        ),
        "drag": Group(
            means="friction that was measured",
            kind="share",
            errors=FrozenDict({"spring balance": 0.2}),
        ),
    }
)
