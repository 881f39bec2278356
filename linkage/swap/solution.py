"""A swap with all that follows from it: what it reverses, what it brings, its cures.

Not here: solving it (`swap.cures`), what is older than the swap (`swap.shares`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.records import dataclass
from linkage.swap.shares import Share
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from linkage.model import Layout
    from linkage.rules.finding import Finding
    from linkage.search import Check
    from linkage.swap.changes import Changes
    from linkage.swap.mirror import Swap
    from linkage.swap.reverses import Reversal

#: Nothing that is older than a swap, and nothing that it brings.
NOTHING: Final = Share()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SideCure:
    """One way to make a swapped linkage work.

    Parameters
    ----------
    name : str
        Short, fit for a file's name.
    title : str
        In trade words.
    layout : Layout, optional
        Complete; None where nothing is offered.
    outcome : Check, optional
        Its check; None with the layout.
    changes : Changes, optional
        What it takes, from the layout as swapped.
    pushes : int
        How many rods beyond the shaft that stays push.
    share : Share
        What it leaves: of what was so before the swap, and of what the swap brings.
    reason : str
        Why it fails, or nothing is offered; empty where it fits.
    """

    name: str
    title: str
    layout: Layout | None = None
    outcome: Check | None = None
    changes: Changes | None = None
    pushes: int = 0
    share: Share = NOTHING
    reason: str = ""

    def __repr__(self) -> str:
        return f"<SideCure {self.name!r}: {'fits' if self.fits else 'do not fit'}>"

    @property
    def fits(self) -> bool:
        """Whether it may be fitted: the whole check says nothing against it."""
        return not self.reason

    @property
    def mends_the_swap(self) -> bool:
        """Whether it leaves nothing of what the swap brings."""
        return self.fits or self.share.only_older

    @property
    def looks(self) -> int:
        """How many findings ask for a look."""
        found = self.outcome.findings if self.outcome else ()
        return sum(f.verdict == "look" for f in found)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solution(Tabular):
    """A swap with all that follows from it.

    Parameters
    ----------
    swap : Swap
        What was moved.
    reversal : Reversal
        What that reverses.
    outcome : Check, optional
        The check of the layout as swapped; None where it cannot be assembled.
    cures : tuple of SideCure
        Best first; empty where the swap brings nothing to be cured.
    was_before : tuple of Finding
        What says ``do not fit`` of the layout before the swap.
    share : Share
        Of the layout as swapped: what is older than the swap, and what is not.
    """

    swap: Swap
    reversal: Reversal
    outcome: Check | None
    cures: tuple[SideCure, ...]
    was_before: tuple[Finding, ...] = ()
    share: Share = NOTHING

    def __repr__(self) -> str:
        fitting = sum(c.fits for c in self.cures)
        as_it_is = "fits" if self.fits_as_it_is else "does not fit"
        return (
            f"<Solution: {as_it_is} as it is, {fitting} of {len(self.cures)} cures fit>"
        )

    def columns(self) -> dict[str, Any]:
        """Return one row a cure, by the names of ``--json``."""
        return {
            "name": [c.name for c in self.cures],
            "title": [c.title for c in self.cures],
            "fits": [c.fits for c in self.cures],
            "mends_the_swap": [c.mends_the_swap for c in self.cures],
            "looks": [c.looks for c in self.cures],
            "rods_that_push": [c.pushes for c in self.cures],
            "reason": [c.reason for c in self.cures],
        }

    @property
    def fits_as_it_is(self) -> bool:
        """Whether the swapped layout may be fitted with nothing changed."""
        return self.outcome is not None and self.outcome.verdict != "do not fit"

    @property
    def brings_nothing(self) -> bool:
        """Whether the swap itself needs no cure, whatever was so before it."""
        return self.fits_as_it_is or self.share.only_older

    @property
    def fits(self) -> bool:
        """Whether it fits as it is, or at least one cure does."""
        return self.fits_as_it_is or any(c.fits for c in self.cures)
