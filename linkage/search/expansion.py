"""What single changes of a layout do: for each finding the least, and for the whole.

Not here: which are tried (`search.plan`), what counts as mended (`search.standing`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.rules.rule import LOOK
from linkage.search.family import evenly
from linkage.search.tried import Candidate, Tried

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from linkage.rules.judged import Place


#: Rows of a family with which a second change is tried.
SPACED: Final = 8


@dataclass(slots=True, eq=False)
class Expansion:
    """What single changes of a layout do.

    Parameters
    ----------
    clean : dict
        By finding: the least change after which it is gone and nothing is worse.
    fair : dict
        By finding: the least after which no rule fails that did not before.
    whole : Candidate, optional
        The least after which no rule fails at all.
    partly : list of Candidate
        Others that mend a finding, those with least left first.
    nearer : list of (float, Candidate)
        Those that mend none and bring one nearer to its limit, with no harm: of every
        family in a block the one that comes nearest, with what is left of the way. [1]
    """

    clean: dict[Place, Candidate] = field(default_factory=dict)
    fair: dict[Place, Candidate] = field(default_factory=dict)
    whole: Candidate | None = None
    partly: list[Candidate] = field(default_factory=list)
    nearer: list[tuple[float, Candidate]] = field(default_factory=list)

    def take(self, block: Sequence[Tried], targets: Sequence[Place]) -> None:
        """Keep the best of a block, in whatever parts it was judged."""
        near: dict[int, tuple[float, Candidate]] = {}
        for tried in block:
            some_gone = np.zeros(len(tried.rows), dtype=bool)
            left = np.full(len(tried.rows), np.inf)
            for place in targets:
                some_gone |= tried.gone(place, LOOK)
                left = np.minimum(left, tried.nearer(place))
                _least(self.clean, place, tried, tried.mends(place, wholly=True))
                _least(self.fair, place, tried, tried.mends(place), fewest=True)
            for k in np.flatnonzero(tried.whole).tolist():
                new = Candidate(tried=tried, k=k)
                if self.whole is None or new.cost < self.whole.cost:
                    self.whole = new
            better = np.flatnonzero(some_gone & ~tried.never).tolist()
            self.partly += [Candidate(tried=tried, k=k) for k in better]
            left[some_gone | tried.never] = np.inf
            _nearest(near, tried, left)
        self.nearer += [near[family] for family in sorted(near)]

    @property
    def fits(self) -> bool:
        """Whether something was found that asks for no look either."""
        return self.whole is not None and not self.whole.cost[0]

    def open(self, targets: Sequence[Place], effort: float, parts: int) -> list[Place]:
        """Return the findings that something of more effort may mend with less.

        All of them, where it may mend the whole with fewer new parts, or less effort.
        """
        whole = self.whole
        if whole is not None and (whole.parts, whole.effort) > (parts, effort):
            return list(targets)
        clean = self.clean
        return [p for p in targets if p not in clean or clean[p].effort > effort]


def _nearest(
    near: dict[int, tuple[float, Candidate]], tried: Tried, left: NDArray[np.float64]
) -> None:
    """Keep of every family the row with the least way left."""
    which = tried.stack.which[tried.rows]
    for family in np.unique(which[np.isfinite(left)]).tolist():
        k = int(np.where(which == family, left, np.inf).argmin())
        if family not in near or left[k] < near[family][0]:
            near[family] = float(left[k]), Candidate(tried=tried, k=k)


def _least(
    kept: dict[Place, Candidate],
    place: Place,
    tried: Tried,
    good: NDArray[np.bool_],
    *,
    fewest: bool = False,
) -> None:
    """Keep the row of least effort, or of those that leave the fewest failing."""
    rows = np.flatnonzero(good)
    if not rows.size:
        return
    least = rows[tried.failing[rows].argmin()] if fewest else rows[0]
    new, old = Candidate(tried=tried, k=int(least)), kept.get(place)
    if old is None or _key(new, fewest=fewest) < _key(old, fewest=fewest):
        kept[place] = new


def _key(c: Candidate, *, fewest: bool) -> tuple[int, float]:
    return c.failing if fewest else 0, c.effort


def by_family(found: Expansion) -> list[list[Candidate]]:
    """Return what goes some way, by family, those that leave least first.

    What mends none of the findings counts only where nothing mends one. Of every family
    those that leave least, from the least effort to the most, as the next change may
    need the room.
    """
    pool: dict[tuple[int, int], dict[int, Candidate]] = {}
    mends = (*found.clean.values(), *found.fair.values(), *found.partly)
    if not mends:
        return [[c] for _, c in sorted(found.nearer, key=lambda pair: pair[0])]
    for c in mends:
        key = (id(c.tried.stack), int(c.tried.stack.which[c.row]))
        pool.setdefault(key, {})[c.row] = c
    out = []
    for some in pool.values():
        least = min(c.failing for c in some.values())
        best = sorted(
            (c for c in some.values() if c.failing <= least + 1), key=lambda c: c.effort
        )
        out.append([best[i] for i in evenly(len(best), SPACED).tolist()])
    return sorted(out, key=lambda cs: min((c.failing, c.effort) for c in cs))
