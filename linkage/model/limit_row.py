"""What a limit of the check is: default, bounds, meaning and source.

Not here: the limits themselves (`model.limit_rows`).
"""

from __future__ import annotations

from typing import Final

from linkage.quantities import say_round
from linkage.records import dataclass

MORE: Final = 1
LESS: Final = -1

PRACTICE: Final = "common practice, no source"


@dataclass(frozen=True, slots=True)
class LimitRow:
    """Default, bounds, kind and source of one limit.

    Parameters
    ----------
    default : float
        In SI. [SI]
    kind : str
        Key of `linkage.quantities.SHOWN`.
    meaning : str
        What it bounds.
    source : str
        Where the default comes from.
    within : tuple of 2 floats
        Least and most that it may be set to: beyond, it would pass what nobody
        should drive, or nothing at all. Common practice, no source. [SI]
    looser : int
        `MORE` where a greater value lets more pass, `LESS` where a lesser does.
    """

    default: float
    kind: str
    meaning: str
    source: str
    within: tuple[float, float]
    looser: int

    def say(self, value: float) -> str:
        """Return a value of it as text, with no more digits than it needs.

        >>> row = LimitRow(1.0, "length", "most", PRACTICE, (0.0, 2.0), MORE)
        >>> row.say(0.005)
        '5 mm'
        """
        return say_round(value, self.kind)
