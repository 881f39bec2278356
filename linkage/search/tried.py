"""Rows that were judged: what each mends, what it makes worse, how much it takes.

A finding is mended where it is gone, and not just silenced by another.

Not here: judging them (`search.engine`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.records import dataclass
from linkage.rules.order import RULES
from linkage.rules.rule import BAD, FITS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.rules.engine import Judged, Place
    from linkage.search.family import Stack

    IntArray = NDArray[np.intp]
    BoolArray = NDArray[np.bool_]

#: Rules that a change may break without harm: the pedal stop is set last.
SET_LAST: Final = frozenset({"stamp-load"})
#: Faults that no change may bring with it, not even as a first step.
NEVER: Final = frozenset({"reach", "dead-centre", "opening-sense", "rod-sense"})
#: Rules that say nothing where too little is known: of a spring that is bought by
#: its rate nobody knows the wire, so that its stress is not mended but unknown.
UNSEEN: Final = frozenset({"spring-stress"})
_BY_CODE: Final = {rule.code: rule for rule in RULES}
#: Rules of motion that no rule of another kind silences.
_SURE: Final = frozenset(
    rule.code
    for rule in RULES
    if all(_BY_CODE[s.by].needs == "motion" for s in rule.silenced_by)
)


class Tried:
    """Rows of a stack, judged.

    Parameters
    ----------
    stack : Stack
        Where they are from.
    rows : ndarray of int
        Which of its rows.
    judged : Judged
        By every rule.
    before : mapping of Place to int
        Ranks of the layout that was changed.
    upto : float
        The effort up to which all was judged.
    """

    def __init__(
        self,
        stack: Stack,
        rows: IntArray,
        judged: Judged,
        before: Mapping[Place, int],
        *,
        upto: float = 0.0,
    ) -> None:
        self.stack = stack
        self.rows = rows
        self.judged = judged
        self.before = before
        self.upto = upto
        self._heard: dict[Place, BoolArray] = {}

    @property
    def ok(self) -> BoolArray:
        """Whether it can be put together."""
        return np.broadcast_to(np.ravel(self.judged.x.ok), len(self.rows)).astype(bool)

    def gone(self, place: Place, most: int = FITS) -> BoolArray:
        """Tell in which rows a finding is gone, and not just silenced.

        With ``most`` as `LOOK`, where it no longer says ``do not fit``.
        """
        ranks = self.judged.ranks.get(place)
        quiet = self.ok if ranks is None else self.ok & (ranks <= most)
        if place[0] in UNSEEN:
            quiet = quiet & self._told(place)
        if place not in self._heard:
            code, about, part = place
            self._heard[place] = ~self.judged.silenced(_BY_CODE[code], about, part)
        return quiet & self._heard[place]

    def least(self, place: Place) -> list[int]:
        """Return the row that mends a finding with least effort, at best with no harm."""
        gone = self.gone(place)
        good = gone & ~self.harmed
        return self.rows[good if good.any() else gone][:1].tolist()

    def _told(self, place: Place) -> BoolArray:
        """Tell in which rows a rule has something to say, be it that all is well."""
        told = self.judged.told.get(place)
        return np.zeros(len(self.rows), dtype=bool) if told is None else told

    def _grown(
        self, rank: int, codes: frozenset[str] = frozenset(_BY_CODE)
    ) -> BoolArray:
        """Tell in which rows something is worse than before, and of some rank."""
        out = np.zeros(len(self.rows), dtype=bool)
        for place, ranks in self.judged.ranks.items():
            if place[0] in codes - SET_LAST:
                out |= (ranks >= rank) & (ranks > self.before.get(place, FITS))
        return out

    @cached_property
    def worse(self) -> BoolArray:
        """Rows in which anything is worse than before."""
        return self._grown(FITS)

    @cached_property
    def harmed(self) -> BoolArray:
        """Rows in which something says ``do not fit`` that did not before."""
        return self._grown(BAD) | ~self.ok

    @property
    def surely_harmed(self) -> BoolArray:
        """The same of rules that only others of motion silence."""
        return self._grown(BAD, _SURE) | ~self.ok

    @cached_property
    def never(self) -> BoolArray:
        """Rows with a fault that no change may bring with it."""
        out = ~self.ok
        for place, ranks in self.judged.ranks.items():
            if place[0] in NEVER:
                out = out | ((ranks == BAD) & (self.before.get(place, FITS) < BAD))
        return out

    @cached_property
    def bad(self) -> NDArray[np.int_]:
        """How many findings say ``do not fit``; all of them where it is in pieces."""
        unseen = sum(
            ~self._told(place)
            for place, rank in self.before.items()
            if rank == BAD and place[0] in UNSEEN
        )
        return np.where(self.ok, self.judged.count(BAD) + unseen, len(_BY_CODE))


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
    def bad(self) -> int:
        """How many findings then say ``do not fit``."""
        return int(self.tried.bad[self.k])

    @property
    def cost(self) -> tuple[bool, float]:
        """What asks for no look before what does, then the least effort."""
        return bool(self.tried.judged.verdicts[self.k] > FITS), self.effort
