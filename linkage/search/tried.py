"""Rows that were judged, and one of them that mends or goes some way.

Not here: what counts as mended (`search.standing`), judging (`search.engine`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.records import dataclass
from linkage.search.standing import Before, Standing

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from linkage.rules.judged import Judged, Place
    from linkage.search.family import Stack

    IntArray = NDArray[np.intp]
    BoolArray = NDArray[np.bool_]


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
    upto : float
        The effort up to which all was judged.
    """

    def __init__(
        self,
        stack: Stack,
        rows: IntArray,
        judged: Judged,
        before: Before,
        *,
        upto: float = 0.0,
    ) -> None:
        super().__init__(judged, before)
        self.stack = stack
        self.rows = rows
        self.upto = upto

    def mends(self, place: Place, *, wholly: bool = False) -> BoolArray:
        """Tell in which rows a finding is mended, and that may be offered.

        With ``wholly`` where nothing else is worse either, not even to look at.
        """
        harm = self.worse if wholly else self.harmed
        return self.gone(place) & ~harm & ~self.barred

    def least(self, place: Place) -> list[int]:
        """Return the row that mends a finding with least effort, at best with no harm."""
        good = self.mends(place)
        return self.rows[good if good.any() else self.gone(place)][:1].tolist()

    @property
    def whole(self) -> BoolArray:
        """Rows in which nothing fails."""
        return (self.failing == 0) & ~self.barred


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
    def cost(self) -> tuple[bool, float]:
        """What asks for no look before what does, then the least effort."""
        return bool(self.tried.looks[self.k]), self.effort
