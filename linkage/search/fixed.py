"""What is bought, or not to be touched: which parts a search leaves as they are.

Not here: the changes themselves (`search.changes`, `swap.recipes`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from linkage.model import Hole, Layout


def may_size(layout: Layout, hole: Hole) -> bool:
    """Tell whether an arm may be made longer or shorter, or put elsewhere on its shaft.

    Neither where the arm is fixed nor where its shaft is, which is one piece with
    its arms. Of a slide no pin is moved.
    """
    shaft = layout.shafts[hole.shaft]
    return not (shaft.slides or shaft.fixed or shaft.arms[hole.arm].fixed)


def may_turn(layout: Layout, hole: Hole) -> bool:
    """Tell whether an arm may be clocked: set to another angle on its shaft."""
    free = layout.shafts[hole.shaft].arms[hole.arm].clocking == "free"
    return free and may_size(layout, hole)


def may_cut(layout: Layout, rod: str) -> bool:
    """Tell whether a rod may be cut to another length, parted, or made anew."""
    return not layout.rods[rod].fixed


def may_be_parted(layout: Layout, rod: str) -> bool:
    """Tell whether a lever may be put between two halves of a rod; of no cable or cam.

    Nor where it ends on a slide, which has no plane that a lever could turn in.
    """
    part = layout.rods[rod]
    slides = any(layout.shafts[h.shaft].slides for h in (part.start, part.end))
    return may_cut(layout, rod) and part.kind == "rod" and not slides


def why_not(layout: Layout, hole: Hole, *, turned: bool = False) -> str:
    """Return why an arm may not be changed, in words; empty where it may.

    Parameters
    ----------
    layout : Layout
        As it is.
    hole : Hole
        The arm.
    turned : bool
        Whether it is to be turned on its shaft, and not just made longer.
    """
    shaft = layout.shafts[hole.shaft]
    if shaft.slides:
        return f"`{hole}` is a pin of a slide, which has no length and no angle"
    if shaft.fixed:
        return f"shaft `{shaft.name}` is fixed, and its arm `{hole}` with it"
    if shaft.arms[hole.arm].fixed:
        return f"arm `{hole}` is fixed: bought, or not to be touched"
    if turned and not may_turn(layout, hole):
        return f"arm `{hole}` may not be turned on its shaft: its clocking is fixed"
    return ""
