"""What a force of 1 N at one end of a rod does to a shaft.

Not here: where it is worked out (`lines`), the balance (`balance`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model.columns import Positions


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Push:
    """What a force of 1 N does to a shaft.

    Parameters
    ----------
    arm : float, column or ndarray, shape (n,) or (rows, n)
        Its torque, anticlockwise positive. [m]
    places : ndarray, shape (5, n) or (5, rows, n)
        What it puts on the bearings, see `friction.Carried`.
    """

    arm: Positions
    places: Positions
