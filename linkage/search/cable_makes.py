"""Cables of another make, as strong as a finding asks for.

Not here: how they are made (`search.cables`), other findings (`search.sources`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from linkage.search import cables

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined
    from linkage.rules.finding import Finding
    from linkage.search.family import Family


def push_taken(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield a push-pull cable that takes the push that is asked of it."""
    least = (finding.value or 0.0) / x.layout.limits.euler_share
    step = cables.NEWTONS
    sold = step * (np.ceil(least / step) + np.arange(3.0))
    name = finding.about.name
    yield from cables.of_make(x.layout, name, "push_limit", least, sold)


def thicker(x: Examined, finding: Finding) -> Iterator[Family]:
    """Yield a cable whose wire is strong enough: its strength goes with the square."""
    name, found = finding.about.name, finding.outcome
    share = (found.limit or 1.0) / (found.value or 1.0)
    least = found.facts["thick"] * math.sqrt(share)
    yield from cables.of_make(x.layout, name, "wire", least, cables.WIRES)
