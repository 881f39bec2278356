"""The sources of energy that shut each plate.

Not here: how many are asked for (`rules`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.forces.statics import per_opening
from linkage.model.columns import all_of, every
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.forces.lines import Lines
    from linkage.model.columns import Number, Positions, Truth


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
    """

    throttle: str
    shuts: Mapping[str, Truth]
    spindle: frozenset[str]

    @property
    def count(self) -> Number:
        """How many shut it at every position."""
        return sum(1.0 * shuts for shuts in self.shuts.values())

    @property
    def shutting(self) -> tuple[str, ...]:
        """Springs that shut it at every position, in every row."""
        return tuple(name for name, shuts in self.shuts.items() if every(shuts))


def sources(lines: Lines) -> tuple[Sources, ...]:
    """Count the sources of energy of every plate (49 CFR 571.124 S5.1).

    A spring before a rod that carries one way only is none: it lets the plate go; one
    beyond such a rod is none where that is slack.
    """
    layout = lines.layout
    out = []
    for plate in layout.plates:
        opening = per_opening(lines, plate.name)
        ways = {n: np.sign(opening) for n in lines.spring_work}
        if lines.one_way:
            ways = {n: way * acts_on(lines, plate.shaft, n) for n, way in ways.items()}
        shuts = {
            name: all_of(lines.full(work) * ways[name] < 0)
            for name, work in lines.spring_work.items()
        }
        out.append(
            Sources(
                throttle=plate.name,
                shuts=shuts,
                spindle=frozenset(
                    n for n, line in lines.springs.items() if line.shaft == plate.shaft
                ),
            )
        )
    return tuple(out)


def acts_on(lines: Lines, spindle: str, spring: str) -> Positions:
    """Return whether what a spring does comes to a spindle at all.

    Parameters
    ----------
    lines : Lines
        Of one layout, or many as rows.
    spindle, spring : str
        Their names.

    Returns
    -------
    bool, or ndarray of bool, shape (n,) or (rows, n)
        Not past a rod that carries one way only, and not by one that is slack.
    """
    on = lines.springs[spring].shaft
    together = lines.hanging.together(spindle, lines.lets_go(spindle))
    if on not in together:
        return np.False_
    return np.logical_not(lines.slack_from(together[0], on))
