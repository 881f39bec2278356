"""The one search: candidates as rows, least effort first, judged by every rule.

Candidates that start from one layout are one batch. A coarse look at the motion
leaves out those that cannot do (`search.screen`); the others are judged in blocks
in order of effort, until every finding that is to be mended is, or none is left.

A finding is mended by a change where it is gone, and not just silenced by
another; nothing says ``do not fit`` that did not before.

Not here: which changes may mend a finding (`search.sources`), two or three changes
together (`search.plan`).
"""

from __future__ import annotations

from itertools import chain, repeat
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.records import dataclass
from linkage.rules.engine import judge
from linkage.rules.examine import COARSE, examine, stop_set_last
from linkage.search.screen import Hope, Screen
from linkage.search.tried import Tried

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.rules.engine import Place
    from linkage.rules.examine import Examined
    from linkage.search.family import Stack
    from linkage.search.node import Node

    IntArray = NDArray[np.intp]
    BoolArray = NDArray[np.bool_]

#: Rows of the first blocks, and of all later ones: most cures are near.
BLOCKS: Final = (32, 96, 192)
#: What a block costs, and a row of it more, in whole checks or thereabouts.
BLOCK_COST: Final = 1.0
ROW_COST: Final = 0.012
#: What the rules of motion cost of that.
MOTION_COST: Final = 0.5
#: Most rows of one stack that are judged.
MOST: Final = 288
#: Faults that a step may bring with it for another to mend, and how many rows of a
#: family are tried as such.
MENDABLE: Final = frozenset({"full-throttle", "arm-rod-angle"})
STEPS: Final = 12


@dataclass(slots=True, eq=False)
class Budget:
    """How much may still be judged, in whole checks or thereabouts."""

    left: float

    def spend(self, rows: int, share: float = 1.0) -> None:
        """Take off what a block of some rows costs, or a share of it."""
        self.left -= share * (BLOCK_COST + rows * ROW_COST)


def tries(
    node: Node,
    stack: Stack,
    targets: Sequence[Place],
    budget: Budget,
    *,
    most: int = MOST,
    whole: bool = False,
) -> Iterator[Tried]:
    """Judge the rows of a stack in blocks, the least effort first.

    First rows that may mend one of the findings and make nothing worse, then those
    that ask for a look, then some that bring a fault that another step may mend.
    The rules of motion come first, and the dear ones see only what they leave.

    Parameters
    ----------
    node : Node
        What is changed.
    stack : Stack
        The changes.
    targets : sequence of Place
        Findings to be mended; the caller may take out those that are.
    budget : Budget
        From which every block is paid.
    most : int
        Rows that are judged at most.
    whole : bool
        Only rows that may mend the whole.
    """
    before = node.ranks
    moves = stack.families[0].moves_stroke
    found = _blocks(stack, before, targets, most=most, whole=whole)
    for n, (some, step) in enumerate(found):
        if n and budget.left <= 0:  # every stack is looked at once
            return
        rows = some
        x = _solved(stack, rows)
        if moves and not step:
            seen = Tried(stack, rows, judge(x, ("motion",)), {} if whole else before)
            good = ~seen.surely_harmed
            if not good.any():
                budget.spend(len(rows), MOTION_COST)
                continue
            if 2 * good.sum() < len(rows):
                rows = rows[good]
                x = _solved(stack, rows)
        budget.spend(len(rows))
        yield Tried(stack, rows, judge(x), before)


def _solved(stack: Stack, rows: IntArray) -> Examined:
    layout = stack.layout(rows)
    moves = stack.families[0].moves_stroke
    return stop_set_last(layout, COARSE) if moves else examine(layout, COARSE)


def _blocks(
    stack: Stack,
    before: Mapping[Place, int],
    targets: Sequence[Place],
    *,
    most: int,
    whole: bool,
) -> Iterator[tuple[IntArray, bool]]:
    """Yield rows to be judged, small blocks first, and whether as a first step only."""
    rows = np.arange(len(stack.effort))
    sizes = chain(BLOCKS, repeat(BLOCKS[-1]))
    if not stack.families[0].moves_stroke or len(rows) <= BLOCKS[0]:
        begin = 0
        while begin < min(len(rows), most):
            size = next(sizes)
            yield rows[begin : begin + size], False
            begin += size
        return
    screen = Screen(stack.layout(rows))
    broken, allowed = ({}, frozenset()) if whole else (before, MENDABLE)
    done = np.zeros(len(rows), dtype=bool)
    for hope, share in ((Hope.CLEAN, 1), (Hope.FAIR, 3), (Hope.FIRST, 3)):
        left = most // share
        while left > 0:
            hopes = screen.hopes(broken, targets, allowed)
            some = np.flatnonzero((hopes == hope) & ~done)
            if hope == Hope.FIRST:
                some = _spaced(stack, some)
            some = some[: min(left, next(sizes))]
            if not some.size:
                break
            yield some, hope == Hope.FIRST
            done[some] = True
            left = 0 if hope == Hope.FIRST else left - some.size


def _spaced(stack: Stack, rows: IntArray) -> IntArray:
    """Return a few rows of every family, from the least effort to the most."""
    out = []
    for which in np.unique(stack.which[rows]):
        mine = rows[stack.which[rows] == which]
        out.append(mine[np.unique(np.linspace(0, len(mine) - 1, STEPS).astype(int))])
    return np.sort(np.concatenate(out)) if out else rows
