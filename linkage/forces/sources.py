"""The sources of energy that shut each plate, and what two of them share.

Not here: how many are asked for (`rules`).
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from linkage.forces.statics import per_opening
from linkage.model.columns import all_of, every
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.forces.lines import Lines
    from linkage.model import Spring
    from linkage.model.columns import Number, Truth


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sources:
    """Sources of energy that shut a plate.

    Parameters
    ----------
    throttle : str
        The plate.
    shuts : mapping of str to bool or column
        By spring: whether it shuts the plate at every position; one of several
        strands is one.
    spindle : frozenset of str
        Springs that act on its spindle itself.
    share : mapping of (str, str) to bool or column
        By pair of springs: whether both shut the plate and share a hook or an
        anchor, so that one fault may take both.
    """

    throttle: str
    shuts: Mapping[str, Truth]
    spindle: frozenset[str]
    share: Mapping[tuple[str, str], Truth]

    @property
    def count(self) -> Number:
        """How many shut it at every position."""
        return sum(1.0 * shuts for shuts in self.shuts.values())

    @property
    def shutting(self) -> tuple[str, ...]:
        """Springs that shut it at every position, in every row."""
        return tuple(name for name, shuts in self.shuts.items() if every(shuts))

    @property
    def shared(self) -> tuple[tuple[str, str], ...]:
        """Pairs of them that share a hook or an anchor, in every row."""
        return tuple(pair for pair, shares in self.share.items() if every(shares))


def sources(lines: Lines) -> tuple[Sources, ...]:
    """Count the sources of energy of every plate (49 CFR 571.124 S5.1)."""
    layout = lines.layout
    out = []
    for plate in layout.plates:
        opening = per_opening(lines, plate.name)
        shuts = {
            name: all_of(lines.full(work) * np.sign(opening) < 0)
            for name, work in lines.spring_work.items()
        }
        out.append(
            Sources(
                throttle=plate.name,
                shuts=shuts,
                spindle=frozenset(
                    n for n, line in lines.springs.items() if line.shaft == plate.shaft
                ),
                share={
                    (one, two): shuts[one] & shuts[two] & _share(a, b)
                    for (one, a), (two, b) in combinations(layout.springs.items(), 2)
                },
            )
        )
    return tuple(out)


def _share(one: Spring, two: Spring) -> Truth:
    if one.arm and (one.shaft, one.arm) == (two.shaft, two.arm):
        return True
    if one.anchor is None or two.anchor is None:
        return False
    same: Truth = True
    for a, b in zip(one.anchor, two.anchor, strict=True):
        same = same & (a == b)
    return same
