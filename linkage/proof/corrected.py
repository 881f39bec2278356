"""The layout that fits the readings, each number as well known as it is then.

Not here: the fit (`proof.fit`), writing the file (`config`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import row
from linkage.model.paths import applied, read
from linkage.proof.unknowns import is_setting
from linkage.quantities import spoken_unit
from linkage.rules.corners import off_by

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.model import Layout
    from linkage.model.measured import Measured
    from linkage.proof.fit import Fit

#: A number that is known better by less than this share keeps its own error.
BETTER: Final = 0.95


def corrected(layout: Layout, some: Sequence[Measured], best: Fit) -> Layout:
    """Return the layout that fits the readings.

    Parameters
    ----------
    layout : Layout
        As measured.
    some : sequence of Measured
        What may be off of it.
    best : Fit
        By how much it is.

    Returns
    -------
    Layout
        With every number that the readings tell of corrected, and a `±` beside it where
        it is known better, or less well: its standard deviation as that of an
        instrument. That some are known together is lost. Rods are to be set anew.
    """
    numbers = [m for m in some if not is_setting(m)]
    new = {
        m.path: _rounded(float(read(layout, m.path)), float(v), m.kind)
        for m, v in zip(numbers, best.off, strict=False)
    }
    off = np.array([new[m.path] - float(read(layout, m.path)) for m in numbers])
    made = off_by(layout, numbers, off[None])
    spread = np.sqrt(np.maximum(np.diag(best.covariance), 0.0))
    tolerances = dict(layout.tolerances)
    for i, m in enumerate(numbers):
        known = math.sqrt(3) * float(spread[i])
        if off[i] and not BETTER * m.error < known <= m.error:
            tolerances[m.key] = _two_digits(known, m.kind)
    if not off.any():
        return replace(layout, tolerances=tolerances)
    # As written, not as added up, which may end in a long row of digits.
    made = applied(row(made, 0), {m.path: new[m.path] for m in numbers})
    return replace(made, tolerances=tolerances)


def _rounded(value: float, off: float, kind: str) -> float:
    """Return a number that is off, to a digit more than it is told; itself where it is not."""
    unit = spoken_unit(kind)
    told = round((value + off) / unit.factor, unit.decimals + 1)
    was = round(value / unit.factor, unit.decimals + 1)
    return value if told == was else _si(told, kind)


def _si(told: float, kind: str) -> float:
    """Return a number that is told in the spoken unit. [SI]."""
    there = told * spoken_unit(kind).factor
    # A length as a file gives it, nearer to its decimals than a product of two binaries.
    return float(f"{there:.15g}") if kind == "length" else float(there)


def _two_digits(value: float, kind: str) -> float:
    """Return a number with two digits in the spoken unit, never less than it is. [SI]."""
    told = value / spoken_unit(kind).factor
    digits = 1 - math.floor(math.log10(told))
    return _si(round(math.ceil(told * 10.0**digits) / 10.0**digits, digits), kind)
