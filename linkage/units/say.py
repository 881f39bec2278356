"""Values in the unit a person asked for, inches as fractions too.

Not here: the usual way to show a value (`quantities`).
"""

from __future__ import annotations

import math

from linkage.units.convert import from_si

_INCH = 0.0254  # exact by definition


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
    steps = round(abs(value) / _INCH * denominator)
    whole, part = divmod(steps, denominator)
    sign = "-" if value < 0 and steps else ""
    if part == 0:
        return f"{sign}{whole} in"
    common = math.gcd(part, denominator)
    fraction = f"{part // common}/{denominator // common}"
    return f"{sign}{whole} {fraction} in" if whole else f"{sign}{fraction} in"


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
