"""Draws from one seeded source, the same by every version of Python.

Only ``random.Random(seed).random()`` is drawn, as that never changes.

Not here: what is drawn (`tests.bad.layouts`).
"""

from __future__ import annotations

import random
from typing import TypeVar

T = TypeVar("T")


class Chance:
    """Draws from one seeded source."""

    def __init__(self, seed: int) -> None:
        self._source = random.Random(seed)  # noqa: S311

    def yes(self, share: float) -> bool:
        """Return True in a share of the draws."""
        return self._source.random() < share

    def between(self, low: float, high: float) -> float:
        """Return a number between two others."""
        return low + (high - low) * self._source.random()

    def sign(self) -> int:
        """Return 1 or -1."""
        return 1 if self.yes(0.5) else -1

    def pick(self, things: list[T]) -> T:
        """Return one of several things."""
        return things[int(self._source.random() * len(things))]
