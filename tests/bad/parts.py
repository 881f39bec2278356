"""What the mistakes share: a parsed layout file, and ways to its parts.

Not here: the mistakes themselves (`tests.bad.mistakes`, `tests.bad.spring_mistakes`).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tests.bad.chance import Chance

Table = dict[str, Any]
Mistake = Callable[[Chance, Table], None]


class NoSuchPartError(Exception):
    """The layout has no part of which this mistake could be made."""


def either(c: Chance, low: float, high: float) -> float:
    """Return a number between two others, or its negative."""
    return c.sign() * c.between(low, high)


def arm_of(t: Table, hole: str) -> Table:
    """Return the table of the arm that ``shaft.arm`` names."""
    shaft, arm = hole.split(".")
    return t["shafts"][shaft]["arms"][arm]
