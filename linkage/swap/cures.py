"""Cures of a swap that shuts the throttle, or falls short: solved, judged, ranked.

Each cure is a whole layout: arms sized and clocked so that full throttle is
reached, rods cut to fit, springs hooked to close, the pedal stop set last. It is
judged by every rule of the check. A cure that fails is kept with its reason.

Not here: the searches (`swap.recipes`, `swap.reversing`), one cure's judging
(`swap.judging`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.rules import Check, check
from linkage.rules.examine import examine
from linkage.swap.ground import Ground, ground
from linkage.swap.judging import SideCure, best_of, none, nothing, rank
from linkage.swap.recipes import (
    ANYWHERE,
    CLOCKED,
    JUDGED,
    KEPT,
    OTHER_SIDE,
    Candidate,
    Vary,
    search,
    search_rod,
    sized,
)
from linkage.swap.reverses import Reversal, reversal
from linkage.swap.reversing import search_lever
from linkage.swap.search import Driven

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from linkage.swap.mirror import Swap


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solution:
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
        Best first; empty where the swap fits as it is.
    """

    swap: Swap
    reversal: Reversal
    outcome: Check | None
    cures: tuple[SideCure, ...]

    @property
    def fits_as_it_is(self) -> bool:
        """Whether the swapped layout may be fitted with nothing changed."""
        return self.outcome is not None and self.outcome.verdict != "do not fit"

    @property
    def fits(self) -> bool:
        """Whether it fits as it is, or at least one cure does."""
        return self.fits_as_it_is or any(c.fits for c in self.cures)


def solve(
    swap: Swap, *, progress: Callable[[int, int], None] | None = None
) -> Solution:
    """Say what a swap reverses, and solve the cures.

    Parameters
    ----------
    swap : Swap
        From `swap_sides`.
    progress : callable, optional
        Called with the number of cures done and the total.

    Raises
    ------
    AssemblyError
        If the layout before the swap cannot be put together.
    """
    found = reversal(swap)
    outcome = None if found.fault else check(swap.after, cures=False)
    if outcome is not None and outcome.verdict != "do not fit":
        return Solution(swap=swap, reversal=found, outcome=outcome, cures=())
    g = ground(swap, examine(swap.before))
    makers = [m for m in CURES if m is not _same_way or found.opens is not False]
    if found.opens:
        makers = [_same_way]
    cures = []
    for done, maker in enumerate(makers, start=1):
        cures.append(maker(g))
        if progress is not None:
            progress(done, len(makers))
    order = sorted(cures, key=rank)
    return Solution(swap=swap, reversal=found, outcome=outcome, cures=tuple(order))


def _fixed(count: int) -> tuple[Vary, ...]:
    return tuple(Vary(driver=KEPT, driven=KEPT) for _ in range(count))


def _onward(g: Ground, *, flipped: bool, more: bool = False) -> tuple[Vary, ...]:
    """Return the freedom of the rods after the first: arms clocked anew, or sized too."""
    arm = sized(ANYWHERE) if more else ANYWHERE
    return tuple(
        Vary(driver=arm, driven=ANYWHERE, flipped=flipped, calm=0.03)
        for _ in range(1, len(g.path))
    )


def _same_way(g: Ground) -> SideCure:
    """Pressing opens already: clock and size the arms anew."""

    def tiers() -> Iterator[Sequence[Candidate]]:
        last = g.last
        yield search(g, [*_fixed(last), Vary(driver=KEPT, driven=CLOCKED)])
        yield search(g, [*_fixed(last), Vary(driver=CLOCKED, driven=CLOCKED)])
        yield search(g, [*_fixed(last), Vary(driver=sized(CLOCKED), driven=CLOCKED)])
        free = Vary(driver=sized(CLOCKED), driven=CLOCKED)
        yield search(g, [free] * (last + 1))

    return best_of(g, "clocked-anew", "arms clocked and sized anew, each on its own side", tiers())  # fmt: skip


def _arm_other_side(g: Ground) -> SideCure:
    """Put the driving arm of the shaft that stays on its other side."""
    hole = g.path[0].driver
    title = f"arm `{hole}` to the other side of its shaft"
    k = len(g.path)

    def tiers() -> Iterator[Sequence[Candidate]]:
        yield search(g, [Vary(driver=OTHER_SIDE, driven=KEPT, flipped=True), *_onward(g, flipped=True)])  # fmt: skip
        yield search(g, [Vary(driver=sized(OTHER_SIDE), driven=KEPT if k > 1 else CLOCKED, flipped=True), *_onward(g, flipped=True)])  # fmt: skip
        yield search(g, [Vary(driver=sized(OTHER_SIDE), driven=CLOCKED, flipped=True), *_onward(g, flipped=True, more=True)])  # fmt: skip

    return best_of(g, "arm-on-the-other-side", title, tiers())


def _lever_side(g: Ground) -> tuple[str, str]:
    """Return the name and title of a lever put over, by the way it stands now."""
    hole = g.path[-1].driven
    shaft = g.layout.shafts[hole.shaft]
    up = shaft.axis.v[2] * math.sin(shaft.arms[hole.arm].angle)
    if abs(up) < 0.2:
        return (
            "lever-on-the-other-side",
            f"lever `{hole}` on the other side of its spindle",
        )
    if up > 0:
        return "lever-hanging", f"lever `{hole}` hanging instead of standing"
    return "lever-standing", f"lever `{hole}` standing instead of hanging"


def _lever_over(g: Ground) -> SideCure:
    """Turn the lever over on its spindle, and change nothing else if possible."""
    name, title = _lever_side(g)
    fixed = _fixed(g.last)

    def tiers() -> Iterator[Sequence[Candidate]]:
        yield search(g, [*fixed, Vary(driver=KEPT, driven=OTHER_SIDE)])
        yield search(g, [*fixed, Vary(driver=CLOCKED, driven=OTHER_SIDE)])
        yield search(g, [*fixed, Vary(driver=sized(CLOCKED), driven=OTHER_SIDE)])

    return best_of(g, name, title, tiers())


def _crossed_pull(g: Ground) -> SideCure:
    """Set both arms of the last rod so that it crosses the pivots' line and pulls."""
    return _last_rod(g, "crossed-pull-rod", "crossed pull rod", pull=True)


def _push_rod(g: Ground) -> SideCure:
    """Set both arms of the last rod so that it pushes."""
    return _last_rod(g, "push-rod", "push rod, short and stiff", pull=False)


def _last_rod(g: Ground, name: str, title: str, *, pull: bool) -> SideCure:
    fixed = _fixed(g.last)

    def tiers() -> Iterator[Sequence[Candidate]]:
        yield search(g, [*fixed, Vary(driver=ANYWHERE, driven=ANYWHERE, pull=pull, calm=0.05)])  # fmt: skip
        yield search(g, [*fixed, Vary(driver=sized(ANYWHERE), driven=ANYWHERE, pull=pull, calm=0.05)])  # fmt: skip

    return best_of(g, name, title, tiers())


def _bell_crank(g: Ground) -> SideCure:
    """Exchange the crank after the shaft that stays for one of the other hand."""
    name, title = "bell-crank-of-the-other-hand", "bell crank of the other hand"
    if len(g.path) < 2:
        reason = f"rod `{g.path[0].rod.name}` leads from {g.swap.beyond} straight to the spindle: there is no bell crank between"  # fmt: skip
        return none(name, title, reason)
    title = f"{g.path[0].driven.shaft} of the other hand"

    def tiers() -> Iterator[Sequence[Candidate]]:
        yield search(g, [Vary(driver=KEPT, driven=OTHER_SIDE, flipped=True), *_onward(g, flipped=True)])  # fmt: skip
        yield search(g, [Vary(driver=CLOCKED, driven=OTHER_SIDE, flipped=True), *_onward(g, flipped=True)])  # fmt: skip
        yield search(g, [Vary(driver=sized(CLOCKED), driven=OTHER_SIDE, flipped=True), *_onward(g, flipped=True, more=True)])  # fmt: skip

    return best_of(g, name, title, tiers())


def _reversing_lever(g: Ground) -> SideCure:
    """Put a see-saw between the two halves of the last rod."""
    driver = g.driver
    for index in range(g.last):
        rows = search_rod(g, index, driver, Vary(driver=KEPT, driven=KEPT))
        if not rows or not np.isfinite(rows[0][4]).all():
            return none("reversing-lever", "reversing lever", nothing(0.0))
        turn = rows[0][4]
        driver = Driven(pad_travel=driver.pad_travel, turn=turn - turn[0])

    def tiers() -> Iterator[Sequence[Candidate]]:
        yield search_lever(g, driver, 2 * JUDGED)

    return best_of(g, "reversing-lever", f"reversing lever between {g.path[-1].driver.shaft} and {g.path[-1].driven.shaft}", tiers())  # fmt: skip


CURES: Final = (
    _same_way,
    _arm_other_side,
    _lever_over,
    _crossed_pull,
    _push_rod,
    _bell_crank,
    _reversing_lever,
)
