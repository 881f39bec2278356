"""One kind of cure of a swap: a name, its title, and what is tried, by tiers.

Not here: which there are (`swap.recipes`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.model import Layout
    from linkage.swap.ground import Ground
    from linkage.swap.judging import Candidates


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Recipe:
    """One kind of cure.

    Parameters
    ----------
    name : str
        Short, fit for a file's name.
    title : str
        In trade words.
    tiers : tuple of callable
        From little change to much; each gives candidates from a ground.
    reason : str
        Why there is none at all; empty where it can be tried.
    titled : callable, optional
        Title by the layout that is found, where that has a say in it.
    """

    name: str
    title: str
    tiers: tuple[Callable[[Ground], list[Candidates]], ...] = ()
    reason: str = ""
    titled: Callable[[Layout], str] | None = None
