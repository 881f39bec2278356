"""Conversion to and from SI.

The units in which results are shown, and SI itself, convert with the factors of
`quantities`; every other unit with what pint says of it, kept in `factors`. A test
compares both with pint's own answers.

Not here: reading text (`grammar`), asking pint (`write`).
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from linkage.quantities import SHOWN
from linkage.units.factors import FACTORS
from linkage.units.table import UNITS

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
    word = UNITS[kind][word].word
    if word == shown_word(kind):
        return SHOWN[kind].factor, 0.0
    return FACTORS[kind][word]


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
    exact = len(short) <= 12  # 0.001 and 0.0254 are exact as decimals, not as floats
    value = float(number * Fraction(short)) if exact else float(number) * factor
    if step or not offset:
        return value
    return round(value + offset, 9)  # the sum leaves 1e-14


def from_si(value: float, kind: str, word: str) -> float:
    """Return an SI value as a number of a unit.

    >>> from_si(0.0603, "length", "mm")
    60.3
    """
    factor, offset = line(kind, word)
    return (value - offset) / factor
