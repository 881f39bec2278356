"""Numbers of a part that could not be, refused when it is made.

Not here: limits of good practice (`model.limits`).
"""

from __future__ import annotations

import math

from linkage.errors import LayoutError
from linkage.model.columns import Number, every


def positive(value: Number, what: str, key: tuple[str, ...]) -> None:
    """Refuse a value that is not a finite number above zero."""
    if not every((value > 0) & (value < math.inf)):
        msg = f"{what} must be more than zero"
        raise LayoutError(msg, hint="measure it again, centre to centre", key=key)


def finite(values: tuple[Number, ...], what: str, key: tuple[str, ...]) -> None:
    """Refuse numbers that are not finite."""
    if not all(every(abs(v) < math.inf) for v in values):
        msg = f"{what} must be finite"
        raise LayoutError(msg, hint="write a plain decimal number", key=key)
