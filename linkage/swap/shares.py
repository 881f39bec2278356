"""What was so before a swap, and what the swap brings: told apart by place, as data.

A place is the rule, the part and what tells it from others about the same part. A
rule that was judged before and is left nothing to say afterwards counts as failing:
nobody knows what it would say.

Not here: cures of what the swap brings (`swap.cures`), what counts as mended
(`search.standing`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.records import dataclass
from linkage.rules.judged import NOT_TOLD
from linkage.rules.order import BY_CODE
from linkage.rules.rule import BAD, FITS, LOOK, NEEDS
from linkage.search.standing import (
    NEVER,
    NOTHING,
    WRONG,
    Before,
    Standing,
    may_be_quiet,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from numpy.typing import NDArray

    from linkage.model.refs import Ref
    from linkage.rules.finding import Finding
    from linkage.rules.judged import Judged, Place
    from linkage.rules.rule import Need

    IntArray = NDArray[np.int_]

#: What no cure may bring: a jam, a dead centre, a wrong sense, of a spring too.
FORBIDDEN: Final = NEVER | WRONG
#: More than all findings of a layout: what no cure may bring weighs so much.
HEAVY: Final = 1000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Share:
    """Of one layout after a swap: what is older than the swap, and what is not.

    Parameters
    ----------
    before : tuple of Finding
        What says ``do not fit`` as it did before the swap.
    brings : tuple of Finding
        What says ``do not fit`` and did not before.
    unjudged : tuple of (str, Ref or None)
        Rules, and parts, that were judged before and are left nothing to say; no
        part where that is so of all.
    """

    before: tuple[Finding, ...] = ()
    brings: tuple[Finding, ...] = ()
    unjudged: tuple[tuple[str, Ref | None], ...] = ()

    @property
    def only_older(self) -> bool:
        """Whether all that keeps it from fitting was so before the swap.

        A jam, a dead centre or a wrong sense that was there before leaves too much
        unjudged for that.
        """
        grave = any(f.code in NEVER for f in self.before)
        return bool(self.before) and not (self.brings or self.unjudged or grave)

    @property
    def forbidden(self) -> tuple[Finding, ...]:
        """What no cure may bring: a jam, a dead centre, a wrong sense."""
        return tuple(f for f in self.brings if f.code in FORBIDDEN)


class Older:
    """What every rule said before the swap, by place.

    Parameters
    ----------
    judged : Judged, optional
        The layout before it, one row, by every rule; None where nothing is known.
    """

    def __init__(self, judged: Judged | None = None) -> None:
        self.before = NOTHING
        if judged is not None:
            self.before = Before.of(judged, 0, judged.x.layout)
        known = (*self.before.told.items(), *self.before.hidden.items())
        #: Springs that worked the wrong way, by whichever rule that was told.
        self._wrong = {p[1] for p, rank in known if p[0] in WRONG and rank == BAD}

    def share(self, judged: Judged, i: int = 0) -> Share:
        """Return what of a layout after the swap is older than it, and what is not."""
        bad = [f for f in judged.findings(i) if f.verdict == "do not fit"]
        if not bad:
            return Share()
        lost = [(code, ref) for code, ref, rows in self._lost(judged, NEEDS) if rows[i]]
        return Share(
            before=tuple(f for f in bad if self._was(f.place) == BAD),
            brings=tuple(f for f in bad if self._was(f.place) < BAD),
            unjudged=tuple(dict.fromkeys(lost)),
        )

    def merits(
        self, judged: Judged, needs: Iterable[Need] = NEEDS
    ) -> tuple[IntArray, IntArray, IntArray]:
        """Return how bad rows are, each of shape (rows,); less is better.

        Parameters
        ----------
        judged : Judged
            Candidates, one or many as rows.
        needs : iterable of str
            What was judged of them.

        Returns
        -------
        bad : ndarray of int
            Findings that say ``do not fit`` and did not before, and rules that were
            judged before and no more; what no cure may bring weighs more than all
            others, and older ones of motion too, as they leave the rest unjudged.
        looks : ndarray of int
            Findings that ask for a look and did not before.
        older : ndarray of int
            Findings that say ``do not fit`` as before.
        """
        bad, looks, older = (np.zeros(judged.rows, dtype=int) for _ in range(3))
        for place, ranks in judged.ranks.items():
            was, wrong = self._was(place), ranks == BAD
            if place[0] in NEVER or (place[0] in WRONG and was < BAD):
                bad += HEAVY * wrong
            elif was < BAD:
                bad += wrong
            else:
                older += wrong
            if was < LOOK:
                looks += ranks == LOOK
        wrong = bad + older > 0
        for _, _, lost in self._lost(judged, needs):
            bad += lost & wrong
        ok = np.broadcast_to(np.ravel(judged.x.ok), judged.rows)
        return np.where(ok, bad, HEAVY**2), looks, older

    def _was(self, place: Place) -> int:
        """Return the rank of before, be it that another finding named it.

        A spring that worked the wrong way did so, whichever rule says it now.
        """
        if place[0] in WRONG and place[1] in self._wrong:
            return BAD
        return max(
            self.before.told.get(place, FITS), self.before.hidden.get(place, FITS)
        )

    def _lost(
        self, judged: Judged, needs: Iterable[Need]
    ) -> Iterator[tuple[str, Ref | None, Any]]:
        """Yield rules that were judged and are no more, and in which rows.

        Rules as a whole first; then those that found something that another finding
        names, or of which nothing is known any more, though they do not say nothing
        where nothing is wrong.
        """
        wanted = set(needs)
        mute, hidden = judged.mute, judged.hidden
        for code, rows in mute.items():
            if code not in self.before.mute:
                yield code, None, rows
        for place, ranks in hidden.items():
            if self._was(place) < BAD:
                yield place[0], place[1], ranks == BAD
        standing = Standing(judged, self.before)
        for place, rank in self.before.told.items():
            code, about, _ = place
            if may_be_quiet(place) or BY_CODE[code].needs not in wanted:
                continue
            known = standing.told(place) | (hidden.get(place, NOT_TOLD) > NOT_TOLD)
            lost = standing.silenced(place) & ~known
            if rank < BAD:
                yield code, about, lost & ~mute[code] if code in mute else lost
