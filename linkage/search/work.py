"""How much a search may still work: counted in numbers, so that an answer comes again.

A usual layout takes a tenth of it. Of a very large one a search would run for minutes;
it ends where the work does, and then says so: nothing is said of what was not looked at.

Not here: how many rows are judged at once (`rules.room`), how much is judged for each
kind of change (`search.engine`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from linkage.rules.room import cost
from linkage.spoken import listed

if TYPE_CHECKING:
    from linkage.model import Layout
    from linkage.rules.examine import Grain

#: What a search may work, and what of it is kept to judge closely what was found.
MOST: Final = 2.5e8
KEPT: Final = 0.8e8


@dataclass(slots=True, eq=False)
class Work:
    """What is left of the work that a search may do.

    Parameters
    ----------
    most : float
        Numbers that may be worked out.
    cut : bool
        Whether something was left out for it.
    spent : float
        Numbers that were worked out.
    """

    most: float = MOST
    cut: bool = False
    spent: float = 0.0

    @property
    def left(self) -> float:
        """Numbers that may still be worked out."""
        return self.most - self.spent

    def afford(
        self, layout: Layout, rows: int, grain: Grain, *, kept: float = 0.0
    ) -> int:
        """Return how many of some rows may be judged, and take note where not all may.

        Parameters
        ----------
        layout : Layout
            Of which they are.
        rows : int
            How many there are.
        grain : Grain
            How closely they are looked at.
        kept : float
            What is not to be spent on them.
        """
        able, each = rows, cost(layout, grain)
        while able and each.of(able) > self.left - kept:
            able -= 1
        self.cut = self.cut or able < rows
        return able

    def spend(self, layout: Layout, rows: int, grain: Grain) -> None:
        """Take off what judging some rows takes."""
        self.spent += cost(layout, grain).of(rows)


def too_large(layout: Layout) -> str:
    """Say of what a layout has so much that not every change was looked at."""
    counts = (
        ("shaft", len(layout.shafts)),
        ("rod", len(layout.rods)),
        ("spring", len(layout.springs)),
        ("throttle", len(layout.plates)),
    )
    parts = [f"{n} {word}{'s' * (n != 1)}" for word, n in counts if n]
    return f"{listed(parts)} are too many"
