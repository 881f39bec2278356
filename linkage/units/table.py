"""Which units a quantity may be written in: a list for each kind, nothing else.

Each unit has one word in which it is echoed, the spellings that are read, and
the name by which pint knows it.

Not here: conversion (`convert`), numbers (`grammar`).
"""

from __future__ import annotations

from itertools import product
from typing import Final

from linkage.records import dataclass


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit.

    Parameters
    ----------
    word : str
        As it is echoed.
    pint : str
        pint's expression for it.
    spellings : tuple of str
        Other ways to write it.
    """

    word: str
    pint: str
    spellings: tuple[str, ...] = ()


def _joined(one: str, two: str, *, close: bool = False) -> tuple[str, ...]:
    """Return the ways to write a product of two units."""
    marks = ["·", ".", "*", " ", "-"] + ([""] if close else [])
    return tuple(f"{one}{mark}{two}" for mark in marks)


_NM: Final = _joined("N", "m", close=True)
_NMM: Final = _joined("N", "mm", close=True)
_LBF_IN: Final = _joined("lbf", "in")


def _per(tops: tuple[str, ...], bottoms: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{top}/{bottom}" for top, bottom in product(tops, bottoms))


_DEG: Final = ("deg", "°")
#: Marks of inches and feet as they are typed, and as a pencil or a phone makes them.
INCH_MARKS: Final = ('"', "″", "”", "''")
FOOT_MARKS: Final = ("'", "′", "’")


def _square(mass: str, length: str) -> tuple[str, ...]:
    powers = (f"{length}²", f"{length}2", f"{length}^2")
    return tuple(word for power in powers for word in _joined(mass, power))


_ROWS: Final[dict[str, tuple[Unit, ...]]] = {
    "length": (
        Unit("mm", "millimeter"),
        Unit("cm", "centimeter"),
        Unit("m", "meter"),
        Unit("in", "inch", ("inch", "inches", *INCH_MARKS)),
        Unit("ft", "foot", ("foot", "feet", *FOOT_MARKS)),
    ),
    "angle": (Unit("deg", "degree", ("°",)), Unit("rad", "radian")),
    "force": (
        Unit("N", "newton"),
        Unit("kgf", "kilogram_force"),
        Unit("lbf", "pound_force"),
    ),
    "rate": (
        Unit("N/mm", "newton / millimeter"),
        Unit("N/m", "newton / meter"),
        Unit("lbf/in", "pound_force / inch"),
        Unit("kgf/mm", "kilogram_force / millimeter"),
    ),
    "torque": (
        Unit("N·m", "newton * meter", _NM),
        Unit("N·mm", "newton * millimeter", _NMM),
        Unit("lbf·in", "pound_force * inch", _LBF_IN),
        Unit("lbf·ft", "pound_force * foot", _joined("lbf", "ft")),
        Unit("kgf·cm", "kilogram_force * centimeter", _joined("kgf", "cm")),
    ),
    "torsion rate": (
        Unit("N·m/deg", "newton * meter / degree", _per(_NM, _DEG)),
        Unit("N·mm/deg", "newton * millimeter / degree", _per(_NMM, _DEG)),
        Unit("N·m/rad", "newton * meter / radian", _per(_NM, ("rad",))),
        Unit("lbf·in/deg", "pound_force * inch / degree", _per(_LBF_IN, _DEG)),
    ),
    "mass": (Unit("kg", "kilogram"), Unit("g", "gram"), Unit("lb", "pound")),
    "time": (Unit("s", "second"), Unit("ms", "millisecond")),
    "stress": (
        Unit("MPa", "megapascal"),
        Unit("GPa", "gigapascal"),
        Unit("Pa", "pascal"),
        Unit("psi", "psi"),
        Unit("kpsi", "ksi"),
    ),
    "temperature": (
        Unit("degC", "degree_Celsius", ("°C",)),
        Unit("degF", "degree_Fahrenheit", ("°F",)),
    ),
    "fraction": (Unit("%", "percent"),),
    "ratio": (),
    "angle per travel": (
        Unit("deg/mm", "degree / millimeter", ("°/mm",)),
        Unit("deg/in", "degree / inch", ("°/in",)),
        Unit("rad/m", "radian / meter"),
    ),
    "inertia": (
        Unit("kg·m²", "kilogram * meter ** 2", _square("kg", "m")),
        Unit("kg·cm²", "kilogram * centimeter ** 2", _square("kg", "cm")),
        Unit("kg·mm²", "kilogram * millimeter ** 2", _square("kg", "mm")),
        Unit("g·cm²", "gram * centimeter ** 2", _square("g", "cm")),
    ),
}

#: Kinds of quantity; the same as the keys of `linkage.quantities.SHOWN`.
KINDS: Final = tuple(_ROWS)

#: Every spelling of every unit, by kind.
UNITS: Final[dict[str, dict[str, Unit]]] = {
    kind: {word: unit for unit in rows for word in (unit.word, *unit.spellings)}
    for kind, rows in _ROWS.items()
}

#: Kinds whose numbers need no unit.
BARE: Final = frozenset({"fraction", "ratio"})


def words(kind: str) -> tuple[str, ...]:
    """Return the units of a kind, one word each.

    >>> words("angle")
    ('deg', 'rad')
    """
    return tuple(unit.word for unit in _ROWS[kind])


def canonical(kind: str, spelling: str) -> str:
    """Return the word for a spelling of a unit.

    >>> canonical("torque", "Nm")
    'N·m'
    """
    return UNITS[kind][spelling].word
