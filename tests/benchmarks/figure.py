"""One measured ratio, and how times are taken.

Not here: what is measured (`tests.benchmarks.measure`, `tests.benchmarks.checks`).
"""

from __future__ import annotations

import statistics
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One measured ratio (or size) and the bound it must keep."""

    what: str
    value: float
    bound: float
    at_least: bool
    unit: str
    detail: str

    @property
    def kept(self) -> bool:
        return self.value >= self.bound if self.at_least else self.value <= self.bound


def medians(
    repeats: int,
    *functions: Callable[[], object],
    clock: Callable[[], float] = time.perf_counter,
) -> list[float]:
    """Run functions in turns and return the median time of each. [s]."""
    times: list[list[float]] = [[] for _ in functions]
    for function in functions:
        function()  # warm
    for _ in range(repeats):
        for taken, function in zip(times, functions, strict=True):
            begin = clock()
            function()
            taken.append(clock() - begin)
    return [statistics.median(t) for t in times]


def times(value: float, bound: float, what: str, detail: str) -> Figure:
    """Return a figure that is a number of times, at most a bound."""
    return Figure(
        what=what, value=value, bound=bound, at_least=False, unit="×", detail=detail
    )
