"""Values in a unit that was asked for, and which units a person speaks.

Not here: the usual way to show a value (`quantities`), tables (`spoken`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.quantities import SPOKEN
from linkage.shown_units import INCH, KGF
from linkage.spoken import fraction
from linkage.units.convert import from_si
from linkage.units.table import UNITS, canonical

if TYPE_CHECKING:
    from collections.abc import Mapping

_INCHES: Final = {"in", "ft", "lbf", "lbf/in", "lbf·in", "lbf·ft", "lbf·in/deg", "lb",
                  "psi", "kpsi", "deg/in"}  # fmt: skip
_KILOGRAMS: Final = {"kgf", "kgf/mm", "kgf·cm"}


def inch_fraction(value: float, denominator: int = 32) -> str:
    """Return a length as inches and the nearest fraction.

    Parameters
    ----------
    value : float
        A length. [m]
    denominator : int
        Finest step, such as 16, 32 or 64.

    Returns
    -------
    str
        In lowest terms.

    >>> inch_fraction(0.060325)
    '2 3/8 in'
    >>> inch_fraction(-0.0127)
    '-1/2 in'
    """
    return f"{fraction(value, denominator)} in"


def say_in(value: float, kind: str, unit: str, decimals: int = 3) -> str:
    """Return an SI value as text in a chosen unit.

    Parameters
    ----------
    value : float
        In SI. [SI]
    kind : str
        Key of `linkage.quantities.SHOWN`.
    unit : str
        A unit of that kind.
    decimals : int
        Digits after the point.

    >>> say_in(0.0254, "length", "mm", 1)
    '25.4 mm'
    """
    number = f"{from_si(value, kind, unit):.{decimals}f}"
    if float(number) == 0:
        number = number.removeprefix("-")
    return f"{number} {unit}"


def spoken_words(units: Mapping[str, str]) -> dict[str, str]:
    """Return the units in which a person speaks who measures in these.

    Parameters
    ----------
    units : mapping of str to str
        Unit of bare numbers by kind, as in the ``[units]`` table of a layout file.

    Returns
    -------
    dict of str to str
        For `quantities.speak_in`. Who measures in inches is taken to pull with pounds
        where the force has no unit.

    >>> spoken_words({"length": "in", "force": "lbf"})["rate"]
    'lbf/in'
    >>> spoken_words({"length": "mm"})
    {}
    """
    named = {}
    for key, spelling in units.items():
        kind = key.replace("_", " ")
        if spelling in UNITS.get(kind, {}):
            named[kind] = canonical(kind, spelling)
    out = {}
    inches = named.get("length") in _INCHES
    pounds = named.get("force", "lbf" if inches else "") in _INCHES
    of_length = ("length", "angle per travel", "mass", "stress")
    of_both = ("rate", "torque", "torsion rate")
    for kind, row in INCH.items():
        asked = (
            pounds
            if kind == "force"
            else inches
            if kind in of_length
            else inches and pounds and kind in of_both
        )
        if named[kind] in _INCHES if kind in named else asked:
            out[kind] = row.unit
    for kind, row in KGF.items():
        if named.get(kind, named.get("force")) in _KILOGRAMS:
            out[kind] = row.unit
    return {k: w for k, w in out.items() if w in SPOKEN[k]}
