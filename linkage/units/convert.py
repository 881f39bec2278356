"""Conversion to and from SI.

The units in which results are shown, and SI itself, convert with the factors of
`quantities`, which a test compares with pint's; every other unit asks pint. So
a layout in millimetres and newtons never waits for pint to start, and pint
never sees more than a number and a unit from our own list.

Not here: reading text (`grammar`).
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

from linkage.quantities import SHOWN
from linkage.units.table import UNITS

if TYPE_CHECKING:
    from pathlib import Path

#: pint's name of the unit used inside, by kind.
SI: Final[dict[str, str]] = {
    "length": "meter",
    "angle": "radian",
    "force": "newton",
    "rate": "newton / meter",
    "torque": "newton * meter",
    "torsion rate": "newton * meter / radian",
    "mass": "kilogram",
    "time": "second",
    "stress": "pascal",
    "temperature": "degree_Celsius",
    "fraction": "dimensionless",
    "ratio": "dimensionless",
    "angle per travel": "radian / meter",
    "inertia": "kilogram * meter ** 2",
}

#: The word in `table` of the shown unit, where it differs from `SHOWN`.
_SHOWN_WORD: Final = {
    "°": "deg",
    "°C": "degC",
    "°/mm": "deg/mm",
    "N·m/°": "N·m/deg",
}


def shown_word(kind: str) -> str:
    """Return the word of the unit in which a kind is shown.

    >>> shown_word("angle")
    'deg'
    """
    unit = SHOWN[kind].unit
    return _SHOWN_WORD.get(unit, unit)


def cache_folder() -> Path:
    """Return the folder in which pint keeps its parsed definitions."""
    import platformdirs  # noqa: PLC0415  (slow to start)

    return platformdirs.user_cache_path("throttle-linkage") / "pint"


@lru_cache(maxsize=1)
def registry() -> Any:  # noqa: ANN401  (pint's registry type is made at run time)
    """Return the one registry, made when it is first needed.

    A cache that is damaged or cannot be written is done without.
    """
    import pint  # noqa: PLC0415  (slow to start)

    try:
        folder = cache_folder()
        folder.mkdir(parents=True, exist_ok=True)
        made: Any = pint.UnitRegistry(cache_folder=folder)
        made.Quantity(1.0, "inch").to("meter")
    except Exception:  # noqa: BLE001  (a damaged cache can raise anything)
        made = pint.UnitRegistry()
    return made


@lru_cache(maxsize=256)
def line(kind: str, word: str) -> tuple[float, float]:
    """Return (factor, offset) with SI = factor * number + offset.

    Parameters
    ----------
    kind : str
        Key of `linkage.quantities.SHOWN`.
    word : str
        Word of a unit of that kind; empty for SI itself.

    >>> line("length", "mm")
    (0.001, 0.0)
    """
    if not word or UNITS[kind][word].pint == SI[kind]:
        return 1.0, 0.0
    if word == shown_word(kind):
        return SHOWN[kind].factor, 0.0
    quantity = registry().Quantity
    name = UNITS[kind][word].pint
    if kind == "temperature":
        step = quantity(1.0, "delta_" + name).to("delta_" + SI[kind]).magnitude
        return float(step), float(quantity(0.0, name).to(SI[kind]).magnitude)
    return float(quantity(1.0, name).to(SI[kind]).magnitude), 0.0


def to_si(number: Fraction, kind: str, word: str, *, step: bool = False) -> float:
    """Return a number of a unit in SI, correctly rounded for decimal factors.

    Parameters
    ----------
    number : Fraction
        As written, exactly.
    kind, word : str
        Its kind and unit; an empty word is SI itself.
    step : bool
        Whether it is a difference, such as a tolerance.

    >>> to_si(Fraction("50.1"), "length", "mm")
    0.0501
    """
    factor, offset = line(kind, word)
    short = repr(factor)
    if len(short) <= 12:  # 0.001 and 0.0254 are exact as decimals, not as floats
        value = float(number * Fraction(short))
    else:
        value = float(number) * factor
    if step or not offset:
        return value
    return round(value + offset, 9)  # pint's way over kelvin leaves 1e-14


def from_si(value: float, kind: str, word: str) -> float:
    """Return an SI value as a number of a unit.

    >>> from_si(0.0603, "length", "mm")
    60.3
    """
    factor, offset = line(kind, word)
    return (value - offset) / factor
