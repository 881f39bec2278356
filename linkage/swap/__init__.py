"""Swap: the carburettor on the other side, what that reverses, and the cures."""

from linkage.swap.changes import Changes, changes
from linkage.swap.cures import solve
from linkage.swap.mirror import (
    CARBURETTORS,
    Carburettor,
    Swap,
    beyond_shaft,
    last_body_shaft,
    plane_to,
    swap_sides,
)
from linkage.swap.reverses import Fact, Reversal, reversal
from linkage.swap.shares import Share
from linkage.swap.slides import Slide
from linkage.swap.solution import SideCure, Solution

__all__ = [
    "CARBURETTORS",
    "Carburettor",
    "Changes",
    "Fact",
    "Reversal",
    "Share",
    "SideCure",
    "Slide",
    "Solution",
    "Swap",
    "beyond_shaft",
    "changes",
    "last_body_shaft",
    "plane_to",
    "reversal",
    "solve",
    "swap_sides",
]
