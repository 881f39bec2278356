"""What the search for cures stands on: the way from the shaft that stays, and its aims.

Not here: which arms are tried (`swap.recipes`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from linkage.search.rods import Aim
from linkage.swap.shares import Older

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.model import Layout, Link
    from linkage.rules.examine import Examined
    from linkage.search.spans import Vary
    from linkage.swap.mirror import Swap


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ground:
    """The way from the shaft that stays to the main spindle, and what it must do.

    Parameters
    ----------
    swap : Swap
        What was swapped.
    old : Examined
        Before it.
    older : Older
        What every rule said before it.
    layout : Layout
        What is changed: the layout as swapped.
    path : tuple of Link
        Rods from the shaft that stays to the main throttle's spindle.
    senses : tuple of float
        Sense in which the driven shaft of each rod turns after the swap; the
        last is the sense in which the throttle opens.
    turns : tuple of float
        How far each turned before; the last is the throttle's swing. [rad]
    """

    swap: Swap
    old: Examined
    older: Older
    layout: Layout
    path: tuple[Link, ...]
    senses: tuple[float, ...]
    turns: tuple[float, ...]

    @property
    def last(self) -> int:
        """Index of the rod to the spindle."""
        return len(self.path) - 1

    def aim(
        self, index: int, *, flipped: bool = False, pull: bool | None = None
    ) -> Aim:
        """Return what the driven shaft of a rod shall do.

        Parameters
        ----------
        index : int
            Of the rod on the way.
        flipped : bool
            Whether an intermediate shaft turns the other way than now.
        pull : bool, optional
            Whether the rod shall pull; None takes either.
        """
        limits = self.layout.limits
        throttle = index == self.last
        sense = self.senses[index]
        return Aim(
            sense=-sense if flipped and not throttle else sense,
            turn=self.turns[index],
            throttle=throttle,
            look=limits.arm_rod_look,
            tip_in=limits.tip_in,
            pull=pull,
        )

    def aims(self, varies: Sequence[Vary], first: int = 0) -> list[Aim]:
        """Return what each rod from one on shall do."""
        return [
            self.aim(i, flipped=v.flipped, pull=v.pull)
            for i, v in enumerate(varies, start=first)
        ]


def ground(swap: Swap, old: Examined, older: Older | None = None) -> Ground:
    """Return what the search for cures stands on.

    Parameters
    ----------
    swap : Swap
        From `swap_sides`.
    old : Examined
        The layout before it, solved.
    older : Older, optional
        What every rule said of it; where not given all is held against the swap.
    """
    after = swap.after
    way = after.path_to(after.main.shaft)
    path = way[[link.driver.shaft for link in way].index(swap.beyond) :]
    driven = [link.driven.shaft for link in path]
    first, turns = old.speeds.first, old.motion.turns
    senses = [float(np.sign(first[n][0])) * swap.senses[n] for n in driven]
    swung = [abs(float(turns[n][-1] - turns[n][0])) for n in driven]
    return Ground(
        swap=swap,
        old=old,
        older=older or Older(),
        layout=after,
        path=path,
        senses=(*senses[:-1], after.main.opens),
        turns=(*swung[:-1], after.main.swing),
    )
