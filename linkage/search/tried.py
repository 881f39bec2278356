"""Rows that were judged, and one of them that mends or goes some way.

Not here: what counts as mended (`search.standing`), judging (`search.engine`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.records import dataclass
from linkage.rules.rule import BAD
from linkage.search.said import new_parts
from linkage.search.standing import Before, Standing

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.rules.finding import Finding
    from linkage.rules.judged import Judged, Place
    from linkage.search.family import Stack

    IntArray = NDArray[np.intp]
    BoolArray = NDArray[np.bool_]

#: How far a rod is set by the threads of its two ends: common practice, no source. [m]
SET: Final = 10e-3


class Tried(Standing):
    """Rows of a stack, judged.

    Parameters
    ----------
    stack : Stack
        Where they are from.
    rows : ndarray of int
        Which of its rows.
    judged : Judged
        By every rule.
    before : Before
        The layout that was changed.
    """

    def __init__(
        self,
        stack: Stack,
        rows: IntArray,
        judged: Judged,
        before: Before,
    ) -> None:
        super().__init__(judged, before, len(rows))
        self.stack = stack
        self.rows = rows

    def mends(self, place: Place, *, wholly: bool = False) -> BoolArray:
        """Tell in which rows a finding is mended, and that may be offered.

        With ``wholly`` where nothing else is worse either, not even to look at.
        """
        harm = self.worse if wholly else self.harmed
        return self.gone(place) & ~harm & ~self.barred

    def bad(self, k: int) -> Iterator[tuple[Place, Finding]]:
        """Yield what says ``do not fit`` in a row."""
        k = min(k, self.judged.rows - 1)
        for place, ranks in self.judged.ranks.items():
            if ranks[k] == BAD:
                yield place, self.judged.finding(place, k)

    @property
    def whole(self) -> BoolArray:
        """Rows in which nothing fails."""
        return (self.failing == 0) & ~self.barred


def least(block: Sequence[Tried], place: Place) -> list[int]:
    """Return the row of a block that mends a finding with least effort, if any does.

    At best one that does no harm.
    """
    if not block:
        return []
    good = [t.rows[t.mends(place)] for t in block]
    if not any(map(len, good)):
        good = [t.rows[t.gone(place)] for t in block]
    return np.concatenate(good)[:1].tolist()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """One row that mends, or goes some way.

    Parameters
    ----------
    tried : Tried
        Its block.
    k : int
        Its row there.
    """

    tried: Tried
    k: int

    @property
    def row(self) -> int:
        """Its row in the stack."""
        return int(self.tried.rows[self.k])

    @property
    def effort(self) -> float:
        """How much it takes."""
        return float(self.tried.stack.effort[self.row])

    @property
    def failing(self) -> int:
        """How many rules then fail, or cannot be judged."""
        return int(self.tried.failing[self.k])

    @property
    def rods(self) -> int:
        """How many rods have to be made anew: of given length, and not just set.

        One that is cut to fit is not made yet.
        """
        stack, count = self.tried.stack, 0
        base = stack.families[0].base
        for name in stack.family(self.row).cut:
            old, loop = base.rods[name].length, self.tried.judged.x.assembly.loop(name)
            if old is not None:
                new = np.broadcast_to(np.ravel(loop.length), len(self.tried.rows))
                count += abs(float(new[self.k]) - float(old)) > SET
        return count

    @property
    def parts(self) -> int:
        """How many parts have to be made or bought."""
        return new_parts(self.tried.stack.step(self.row)) + self.rods

    @property
    def cost(self) -> tuple[bool, int, float]:
        """What asks for no look first, then the fewest new parts, then least effort."""
        return bool(self.tried.looks[self.k]), self.parts, self.effort
