"""Lengths that can be drilled: ranges in metric or inch steps, lists of holes.

Not here: trying them (`search.arm`).
"""

from __future__ import annotations

import math
from typing import Final

from linkage.errors import UsageError
from linkage.search.changes import LENGTH_STEP
from linkage.shown_units import in_inches

#: Steps in which holes are drilled, on a metric and on an inch rule. [m]
METRIC_STEP: Final = LENGTH_STEP
INCH_STEP: Final = 0.0254 / 16
#: Step in which rates of springs are tried on an inch car, 1/4 lbf/in. [N/m]
INCH_RATE: Final = 0.25 * 4.4482216152605 / 0.0254

#: Most values of one arm; past that the search is a mistake, not a search.
MOST_VALUES: Final = 2000


def stepped(low: float, high: float, step: float) -> tuple[float, ...]:
    """Return the whole multiples of a step within a range.

    Parameters
    ----------
    low, high : float
        Both included where they are multiples. [SI]
    step : float
        More than zero. [SI]

    Returns
    -------
    tuple of float
        Rising.

    Raises
    ------
    UsageError
        If the range is empty, turned round or holds more than 2000 values.

    >>> stepped(0.030, 0.0315, 0.0005)
    (0.03, 0.0305, 0.031, 0.0315)
    """
    if not (math.isfinite(low) and math.isfinite(high)) or step <= 0:
        msg = "a range needs two finite ends and a step above zero"
        raise UsageError(msg, hint="write it as `25 to 45 mm by 0.5 mm`")
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    if last < first:
        msg = "there is no value in the range"
        raise UsageError(
            msg, hint="give the lower end first, and a range wider than the step"
        )
    if last - first + 1 > MOST_VALUES:
        msg = f"the range holds {last - first + 1} values, more than {MOST_VALUES}"
        raise UsageError(msg, hint="take a wider step or a narrower range")
    return tuple(round(i * step, 12) for i in range(first, last + 1))


def usual_step(*, alone: bool) -> float:
    """Return the step of a range that is not given, on the rule that the file speaks.

    Parameters
    ----------
    alone : bool
        Whether one arm is tried; of several together, fewer sizes each.

    >>> usual_step(alone=True)
    0.0005
    """
    if in_inches():
        return INCH_STEP / 2 if alone else INCH_STEP
    return METRIC_STEP if alone else 4 * METRIC_STEP


def around(length: float) -> tuple[float, float]:
    """Return the range searched when none is given: 0.6 to 1.6 times the length."""
    return 0.6 * length, 1.6 * length
