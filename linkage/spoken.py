"""Numbers of tables, axes and cut lengths in the units that the layout file speaks.

And words that are listed.

Not here: which units these are (`quantities`, `shown_units`), JSON and CSV, whose
units stand in their names and never change (`tabular`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

from linkage.quantities import SHOWN, other_unit, say, spoken_unit
from linkage.shown_units import INCH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.shown_units import ShownUnit

#: Nearest parts of an inch to which rods are cut, and holes drilled.
ROD_PART: Final = 32
HOLE_PART: Final = 64
#: What plain data say of their units.
DATA_UNITS: Final = "mm, N, N·m and degrees, as the keys say, whatever the file speaks"


def listed(words: Sequence[str]) -> str:
    """Return words as a person lists them.

    >>> listed(["a", "b", "c"]), listed(["a"]), listed([])
    ('a, b and c', 'a', '')
    """
    return " and ".join([", ".join(words[:-1]), *words[-1:]] if words[1:] else words)


def in_spoken(value: Any, kind: str) -> Any:  # noqa: ANN401 - float or array
    """Return SI values in the unit that people are spoken to in.

    >>> in_spoken(0.05, "length")
    50.0
    """
    return value / spoken_unit(kind).factor


def number(value: float, kind: str, decimals: int | None = None) -> str:
    """Return an SI value as a number in the spoken unit; a dash where there is none.

    Parameters
    ----------
    value : float
        [SI]
    kind : str
        A key of `quantities.SHOWN`.
    decimals : int, optional
        Digits after the point in the unit of `SHOWN`, as for `say`.

    >>> number(0.0712, "length"), number(float("nan"), "length")
    ('71.2', '-')
    """
    more = 0 if decimals is None else decimals - SHOWN[kind].decimals
    return _number(value, spoken_unit(kind), more)


def _number(value: float, row: ShownUnit, more: int = 0) -> str:
    if not math.isfinite(value):
        return "-"
    digits = max(row.decimals + more, 0)
    return f"{round(value / row.factor, digits) + 0.0:.{digits}f}"


def unit_word(kind: str) -> str:
    """Return the spoken unit as it stands in a heading or on an axis.

    >>> unit_word("rate")
    'N/mm'
    """
    return spoken_unit(kind).unit


def other_heads(words: str, kind: str) -> list[str]:
    r"""Return the heading of a column of the other system, in a list; none if not asked for.

    >>> other_heads("pad", "length")
    []
    """
    row = other_unit(kind)
    return [] if row is None else [f"{words}\n{row.unit}"]


def other_cells(value: float, kind: str) -> list[str]:
    """Return the number beneath `other_heads`."""
    row = other_unit(kind)
    return [] if row is None else [_number(value, row)]


def fraction(value: float, part: int) -> str:
    """Return a length in inches as a whole number and the nearest fraction of them.

    Parameters
    ----------
    value : float
        [m]
    part : int
        Finest step, such as 32 for thirty-seconds.

    Returns
    -------
    str
        In lowest terms and without a unit.

    >>> fraction(0.060325, 32), fraction(-0.0127, 64), fraction(0.0762, 32)
    ('2 3/8', '-1/2', '3')
    """
    steps = round(abs(value) / INCH["length"].factor * part)
    whole, rest = divmod(steps, part)
    common = math.gcd(rest, part)
    words = [str(whole)] if whole or not rest else []
    words += [f"{rest // common}/{part // common}"] if rest else []
    return ("-" if value < 0 and steps else "") + " ".join(words)


def say_rod(length: float) -> str:
    """Return the length a rod is cut to, in inches to the nearest 1/32 beside.

    Parameters
    ----------
    length : float
        Centre to centre. [m]

    >>> say_rod(0.3396)
    '339.6 mm'
    """
    return _cut(length, ROD_PART, None)


def say_hole(length: float, decimals: int | None = None) -> str:
    """Return the radius of a hole, or the size of a part, in inches to 1/64 beside.

    Parameters
    ----------
    length : float
        [m]
    decimals : int, optional
        Digits after the point in millimetres.

    >>> say_hole(0.0335, 2)
    '33.50 mm'
    """
    return _cut(length, HOLE_PART, decimals)


def _cut(length: float, part: int, decimals: int | None) -> str:
    inches = spoken_unit("length") is INCH["length"]
    if not math.isfinite(length):
        return say(length, "length")
    beside = [fraction(length, part)] if inches else []
    row = other_unit("length")
    if row is not None:
        beside.append(f"{_number(length, row)} {row.unit}")
        beside += [] if inches else [fraction(length, part)]
    if inches and decimals is None and part == HOLE_PART:
        decimals = SHOWN["length"].decimals + 1  # 1/64 in needs three digits
    told = say(length, "length", decimals)
    return f"{told} ({', '.join(beside)})" if beside else told
