"""What the search for cures stands on: how the shaft that stays turns, and the way on.

Not here: which arms are tried (`swap.recipes`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from linkage.motion import sweep
from linkage.swap.search import SAMPLES, Aim, Driven

if TYPE_CHECKING:
    from linkage.model import Layout, Link
    from linkage.rules.examine import Examined
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
    path : tuple of Link
        Rods from the shaft that stays to the main throttle's spindle.
    driver : Driven
        Turns of the shaft that stays.
    senses : tuple of float
        Sense in which the driven shaft of each rod turns after the swap; the
        last is the sense in which the throttle opens.
    turns : tuple of float
        How far each turned before; the last is the throttle's swing. [rad]
    """

    swap: Swap
    old: Examined
    path: tuple[Link, ...]
    driver: Driven
    senses: tuple[float, ...]
    turns: tuple[float, ...]

    @property
    def layout(self) -> Layout:
        """The swapped layout, as it is."""
        return self.swap.after

    @property
    def last(self) -> int:
        """Index of the rod to the spindle."""
        return len(self.path) - 1

    def aim(self, index: int, *, flipped: bool, pull: bool | None = None) -> Aim:
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


def ground(swap: Swap, old: Examined) -> Ground:
    """Return what the search for cures stands on.

    Parameters
    ----------
    swap : Swap
        From `swap_sides`.
    old : Examined
        The layout before it, solved.
    """
    after = swap.after
    way = after.path_to(after.main.shaft)
    names = [link.driver.shaft for link in way]
    path = way[names.index(swap.beyond) :]
    travel = np.linspace(0.0, after.pedal.travel, SAMPLES)
    motion = sweep(old.assembly, travel)
    turn = motion.turns[swap.beyond] - motion.turns[swap.beyond][0]
    rates, whole = old.speeds.first, old.motion.turns
    senses = [
        float(np.sign(rates[p.driven.shaft][0])) * swap.senses[p.driven.shaft]
        for p in path
    ]
    turns = [
        abs(float(whole[p.driven.shaft][-1] - whole[p.driven.shaft][0])) for p in path
    ]
    senses[-1] = after.main.opens
    turns[-1] = after.main.swing
    return Ground(
        swap=swap,
        old=old,
        path=path,
        driver=Driven(pad_travel=travel, turn=turn),
        senses=tuple(senses),
        turns=tuple(turns),
    )
