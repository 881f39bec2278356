"""Digits of a number as a person writes it.

Not here: which numbers of a layout are written (`slips.written`).
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

#: A number of more digits was worked out and not read off.
MOST: Final = 4


def as_read(value: float, unit: float) -> bool:
    """Tell whether a number has no more digits than a person reads off.

    Parameters
    ----------
    value, unit : float
        The number, and that of which it is told. [SI]

    >>> as_read(0.0347, 1e-3), as_read(0.05 / 3, 1e-3)
    (True, False)
    """
    return len(_text(value, unit).replace(".", "").lstrip("0")) <= MOST


def _text(value: float, unit: float) -> str:
    return f"{abs(value) / unit:.7f}".rstrip("0").rstrip(".")


def swapped(value: float, unit: float) -> tuple[float, ...]:
    """Return what a number was if two of its neighbouring digits were swapped.

    Parameters
    ----------
    value : float
        [SI]
    unit : float
        SI value of the unit that it was written in. [SI]

    Returns
    -------
    tuple of float
        None with a leading nought, which nobody writes. [SI]

    >>> swapped(0.047, 1e-3), swapped(0.05, 1e-3)
    ((0.074,), ())
    >>> [round(v / 0.0254, 3) for v in swapped(1.25 * 0.0254, 0.0254)]
    [2.15, 1.52]
    """
    text = _text(value, unit)
    places = [i for i, sign in enumerate(text) if sign != "."]
    if not as_read(value, unit):
        return ()
    out = []
    for one, two in pairwise(places):
        a, b = text[one], text[two]
        if a == b or (one == 0 and "0" in {a, b}):
            continue
        other = text[:one] + b + text[one + 1 : two] + a + text[two + 1 :]
        out.append(float(other) * unit * (-1 if value < 0 else 1))
    return tuple(out)
