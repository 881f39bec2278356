"""A row of values in words: ``25 to 45 mm by 0.5 mm``, or ``28, 31, 34 mm``.

Not here: what the values are for (`search`).
"""

from __future__ import annotations

import re

from linkage.errors import UsageError
from linkage.records import dataclass
from linkage.units.grammar import parse


@dataclass(frozen=True, slots=True)
class Series:
    """Values to try.

    Parameters
    ----------
    values : tuple of float
        A list as given; empty for a range. [SI]
    low, high, step : float
        A range; step 0 where none is given. [SI]
    """

    values: tuple[float, ...] = ()
    low: float = 0.0
    high: float = 0.0
    step: float = 0.0


def _unit(text: str) -> str | None:
    """Return the unit word at the end of a value, if there is one."""
    found = re.search(r"(?:[A-Za-z°][A-Za-z°/·.]*|''|[\"″”'′’])$", text.strip())
    return found.group() if found else None


def parse_series(text: str, kind: str) -> Series:
    """Read a range or a list.

    A value without a unit takes the one of the values after it, so that one
    unit at the end is enough.

    Parameters
    ----------
    text : str
        ``A to B``, ``A to B by S``, or values with commas between them.
    kind : str
        Key of `linkage.quantities.SHOWN`.

    Returns
    -------
    Series
        In SI.

    Raises
    ------
    UsageError
        If it is neither.
    UnitError
        If a value is no number of that kind.

    Examples
    --------
    >>> parse_series("25 to 45 mm by 0.5 mm", "length").step
    0.0005
    >>> parse_series("1, 1 1/8, 1 1/4 in", "length").values
    (0.0254, 0.028575, 0.03175)
    """
    ranged = re.fullmatch(r"\s*(.+?)\s+to\s+(.+?)(?:\s+by\s+(.+?))?\s*", text)
    if ranged is not None:
        low, high, step = ranged.groups()
        last = _unit(high) or (_unit(step) if step else None)
        return Series(
            low=parse(low, kind, default_unit=_unit(low) or last).value,
            high=parse(high, kind, default_unit=last).value,
            step=parse(step, kind, default_unit=_unit(step) or last).value
            if step
            else 0.0,
        )
    parts = [part.strip() for part in text.split(",")]
    if not all(parts):
        msg = f"`{text}` is neither a range nor a list"
        raise UsageError(
            msg, hint="write `25 to 45 mm by 0.5 mm`, or `28 mm, 31 mm, 34 mm`"
        )
    unit = None
    values = []
    for part in reversed(parts):
        unit = _unit(part) or unit
        values.append(parse(part, kind, default_unit=unit).value)
    return Series(values=tuple(reversed(values)))
