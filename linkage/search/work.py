"""How much a search may still work: counted in numbers, so that an answer comes again.

A usual layout takes a third of it at most, and all of it less than two seconds of a
processor. Of a very large one a search would run for minutes, of one with many faults for
some seconds; it ends where the work does, and then says so: nothing is said of what was
not looked at.

Not here: how many rows are judged at once (`rules.room`), how much is judged for each
kind of change (`search.engine`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from linkage.rules.room import cost
from linkage.spoken import listed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.model import Layout
    from linkage.rules.examine import Grain
    from linkage.rules.rule import Need

#: What a search may work, and what of it is kept to judge closely what was found.
MOST: Final = 1.75e8
KEPT: Final = 2.5e7
#: Shares of the work of judging rows, by measurement: of the rules of motion, and of all
#: that is asked with the engine at rest where it moves or a hand lever moves the linkage.
MOTION: Final = 0.15
AT_REST: Final = 0.4
#: Shafts, rods, springs and throttles together from which on a layout is called large.
LARGE: Final = 24


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
        self,
        layout: Layout,
        rows: int,
        grain: Grain,
        *,
        kept: float = 0.0,
        share: float = 1.0,
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
        share : float
            Of what judging them takes, as in `spend`.
        """
        able, each = rows, cost(layout, grain)
        while able and share * each.of(able) > self.left - kept:
            able -= 1
        self.cut = self.cut or able < rows
        return able

    def spend(
        self, layout: Layout, rows: int, grain: Grain, *, share: float = 1.0
    ) -> None:
        """Take off what judging some rows takes, or a share of it.

        That of the rules of motion is `MOTION`, that of all rules at rest `AT_REST`.
        """
        self.spent += share * cost(layout, grain).of(rows)


def shares(needs: Iterable[Need]) -> tuple[float, float]:
    """Return which shares of the work judging takes, at rest and in all.

    Parameters
    ----------
    needs : iterable of str
        Rules that need one of these are judged.
    """
    asked = set(needs)
    if "forces" in asked:
        return AT_REST, 1.0
    return MOTION, AT_REST if "rock" in asked else MOTION


def is_large(layout: Layout) -> bool:
    """Tell whether a layout has so many parts that all with it takes long."""
    counts = (layout.shafts, layout.rods, layout.springs, layout.plates)
    return sum(map(len, counts)) > LARGE


def too_large(layout: Layout) -> str:
    """Say why not every change was looked at: of what a layout has so much, if it has.

    Else there are but more changes that might do than are tried.
    """
    if not is_large(layout):
        return "there are more than are tried"
    counts = (
        ("shaft", len(layout.shafts)),
        ("rod", len(layout.rods)),
        ("spring", len(layout.springs)),
        ("throttle", len(layout.plates)),
    )
    parts = [f"{n} {word}{'s' * (n != 1)}" for word, n in counts if n]
    return f"{listed(parts)} are too many"
