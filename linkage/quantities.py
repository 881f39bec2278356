"""The quantities of the trade: one row each, one word everywhere.

The same name stands in Python, in the TOML key, the CSV column, the JSON key,
the axis label and the message; tests compare them to this table.

Inside the program every value is SI. A value leaves through `shown`, which
knows the factor to the unit that people read.

Not here: the units themselves (`shown_units`), reading text with a unit (`units`),
tables and cut lengths in them (`spoken`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.records import dataclass
from linkage.shown_units import (
    SHOWN,
    SPOKEN,
    ShownUnit,
    other_unit,
    speak_both,
    speak_in,
    spoken_unit,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "QUANTITIES",
    "SHOWN",
    "SPOKEN",
    "Quantity",
    "ShownUnit",
    "other_unit",
    "say",
    "say_point",
    "say_round",
    "shown",
    "speak_both",
    "speak_in",
    "spoken_unit",
]


@dataclass(frozen=True, slots=True)
class Quantity:
    """One row of the table.

    Parameters
    ----------
    name : str
        The word used everywhere.
    kind : str
        Which units fit it: a key of `SHOWN`.
    symbol : str
        As printed in a formula.
    meaning : str
        One sentence, with zero and positive sense where they matter.
    """

    name: str
    kind: str
    symbol: str
    meaning: str

    @property
    def column(self) -> str:
        """CSV column and JSON key: the name with the shown unit as suffix."""
        suffix = SHOWN[self.kind].suffix
        word = self.name.replace(" ", "_").replace("-", "_")
        return f"{word}_{suffix}" if suffix else word

    @property
    def label(self) -> str:
        """Axis label: the name with the shown unit in brackets."""
        unit = SHOWN[self.kind].unit
        return f"{self.name} [{unit}]" if unit else self.name


_ROWS: Final = (
    Quantity(
        "pad travel",
        "length",
        "s",
        "Way of the pad along its arc, 0 with the pedal up, positive pressing.",
    ),
    Quantity(
        "pad travel share",
        "fraction",
        "s/s_floor",
        "Pad travel as a share of the travel to the floor or pedal stop.",
    ),
    Quantity(
        "throttle angle",
        "angle",
        "ψ",
        "Turn of the spindle from the idle stop, positive opening.",
    ),
    Quantity(
        "throttle share",
        "fraction",
        "ψ/ψ_swing",
        "Throttle angle as a share of the swing between the stops.",
    ),
    Quantity(
        "ahead of first",
        "angle",
        "Δψ",
        "Throttle angle of a further plate less that of the first, positive where it is ahead.",
    ),
    Quantity(
        "open area",
        "fraction",
        "A/A_bore",
        "Open area seen along the bore as a share of the bore area.",
    ),
    Quantity(
        "local ratio",
        "angle per travel",
        "dψ/ds",
        "Degrees of throttle a millimetre of pad gives here.",
    ),
    Quantity(
        "shaft turn",
        "angle",
        "q",
        "Turn of a shaft from its measured rest angle, "
        "anticlockwise positive for the viewer of its axis.",
    ),
    Quantity(
        "slide way",
        "length",
        "x",
        "Way of a slide from its measured rest, positive toward the second end of its guide.",
    ),
    Quantity(
        "arm-rod angle",
        "angle",
        "μ",
        "Angle between an arm and its rod; its sine is the share of the rod force "
        "that turns the shaft; 90° is best, 0° and 180° are dead centres.",
    ),
    Quantity(
        "joint tilt",
        "angle",
        "β",
        "Lean of a rod out of the plane in which its joint turns freely.",
    ),
    Quantity(
        "dead-centre margin",
        "angle",
        "δ",
        "Turn of the shaft left between the end of its working travel "
        "and the dead centre of its arm.",
    ),
    Quantity(
        "length",
        "length",
        "L",
        "Distance between joint centres, or radius of a hole from its pivot.",
    ),
    Quantity(
        "angle",
        "angle",
        "α",
        "Direction of an arm, from u towards v, anticlockwise positive for the viewer of its axis.",
    ),
    Quantity(
        "offset",
        "length",
        "e",
        "Place of an arm along its shaft, positive toward the viewer.",
    ),
    Quantity("gap", "length", "g", "Clear distance."),
    Quantity(
        "spring arm",
        "length",
        "h",
        "Distance from a spring's line to the shaft it acts on.",
    ),
    Quantity(
        "pad force",
        "force",
        "F_pad",
        "Force of the foot on the pad along its path, positive pressing.",
    ),
    Quantity(
        "pad force pressing",
        "force",
        "F_press",
        "Pad force while the pad moves down slowly.",
    ),
    Quantity(
        "pad force releasing",
        "force",
        "F_release",
        "Pad force while the pad comes up slowly.",
    ),
    Quantity(
        "rod force", "force", "T", "Force along a rod: pull positive, push negative."
    ),
    Quantity(
        "bearing reaction",
        "force",
        "B",
        "Force between a shaft and one of its bearings.",
    ),
    Quantity(
        "closing torque",
        "torque",
        "M",
        "Torque about the spindle that shuts the plate, positive shutting.",
    ),
    Quantity(
        "friction torque",
        "torque",
        "M_f",
        "Torque by which bearings and joints resist turning.",
    ),
    Quantity(
        "torque",
        "torque",
        "M",
        "Torque about a shaft, anticlockwise positive for the viewer of its axis.",
    ),
    Quantity("rate", "rate", "k", "Force a millimetre of stretch adds."),
    Quantity("torsion rate", "torsion rate", "k_t", "Torque a degree of turn adds."),
    Quantity("load", "force", "F", "Force of a spring at a given length."),
    Quantity("stress", "stress", "τ", "Greatest stress in the wire."),
    Quantity(
        "time to idle",
        "time",
        "t",
        "Time from full throttle on release to the idle stop.",
    ),
    Quantity("mass", "mass", "m", "Mass of a part."),
    Quantity("temperature", "temperature", "ϑ", "Ambient temperature."),
)

QUANTITIES: Final[dict[str, Quantity]] = {row.name: row for row in _ROWS}


def shown(value: float, kind: str) -> float:
    """Return an SI value in the unit that people read.

    Parameters
    ----------
    value : float
        In SI. [SI]
    kind : str
        A key of `SHOWN`.

    >>> shown(0.0254, "length")
    25.4
    """
    return value / SHOWN[kind].factor


def say_point(point: Sequence[float], decimals: int = 0) -> str:
    """Return a place as text in the unit that sentences speak in.

    Parameters
    ----------
    point : sequence of float
        In vehicle axes. [m]
    decimals : int
        Digits after the point in millimetres; two more in a larger unit.

    >>> say_point((0.194, -0.1, 0.13))
    '[194, -100, 130] mm'
    """
    row = spoken_unit("length")
    digits = decimals if row.factor == SHOWN["length"].factor else decimals + 2
    words = (f"{round(c / row.factor, digits) + 0.0:.{digits}f}" for c in point)
    return f"[{', '.join(words)}] {row.unit}"


def say(value: float, kind: str, decimals: int | None = None) -> str:
    """Return an SI value as text with the unit that sentences speak in.

    Parameters
    ----------
    value : float
        [SI]
    kind : str
        A key of `SHOWN`.
    decimals : int, optional
        Digits after the point in the unit of `SHOWN`; as many more or less in
        another as its size asks for.

    >>> say(0.0712, "length")
    '71.2 mm'
    >>> say(math.pi / 2, "angle")
    '90.0°'
    """
    row = spoken_unit(kind)
    more = 0 if decimals is None else decimals - SHOWN[kind].decimals
    return _told(value, row, max(row.decimals + more, 0))


def _told(value: float, row: ShownUnit, digits: int) -> str:
    number = f"{value / row.factor:.{digits}f}"
    if float(number) == 0:
        number = number.removeprefix("-")
    space = "" if row.unit in {"°", "%", ""} else " "
    return f"{number}{space}{row.unit}"


def say_round(value: float, kind: str) -> str:
    """Return the same with no more digits than it needs, four after the point at most.

    >>> say_round(0.0125, "length"), say_round(0.012, "length")
    ('12.5 mm', '12 mm')
    """
    row = spoken_unit(kind)
    there = value / row.factor
    exact = (d for d in range(4) if math.isclose(round(there, d), there, rel_tol=1e-9))
    most = 4 if row is SHOWN[kind] else max(row.decimals, 2)
    return _told(value, row, next(exact, most))
