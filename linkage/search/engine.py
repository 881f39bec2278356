"""The one search: candidates as rows, least effort first, judged by every rule.

Candidates that start from one layout are one batch. A coarse look at the motion
leaves out those that cannot do (`search.screen`); the others are judged in blocks
in order of effort, until every finding that is to be mended is, or none is left.

What counts as mended stands in `search.standing`.

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
from linkage.rules.order import AT_REST
from linkage.rules.room import parts
from linkage.search.family import evenly
from linkage.search.screen import Hope, Screen
from linkage.search.sieve import in_steps, promising
from linkage.search.standing import NOTHING
from linkage.search.tried import Tried, least
from linkage.search.work import KEPT, MOTION, shares

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.rules.examine import Examined
    from linkage.rules.judged import Place
    from linkage.search.family import Stack
    from linkage.search.node import Node
    from linkage.search.standing import Before

    IntArray = NDArray[np.intp]
    BoolArray = NDArray[np.bool_]

#: Rows of the first blocks, and of all later ones: most cures are near.
BLOCKS: Final = (32, 96, 192)
#: What a block costs, and a row of it more, in whole checks or thereabouts.
BLOCK_COST: Final = 1.0
ROW_COST: Final = 0.022
#: What the rules of motion cost of that.
MOTION_COST: Final = 0.2
#: Most rows of one stack that are judged.
MOST: Final = 288
#: Faults that a step may bring with it for another to mend, and how many rows of a
#: family are tried as such.
MENDABLE: Final = frozenset(
    {
        *("full-throttle", "arm-rod-angle"),
        *("governor-shuts", "governor-arm-rod-angle"),
    }
)
STEPS: Final = 12
#: Rows of a family, each way, that are judged with the first block.
FAR: Final = 7


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
) -> Iterator[tuple[float, list[Tried]]]:
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

    Yields
    ------
    float, list of Tried
        The effort up to which all was judged, and what of a block may be of use, in its
        order, in as many parts as do not go at once.
    """
    before = node.before
    moves = stack.families[0].moves_stroke
    order = _Order(stack, before, targets, budget, whole=whole)
    for block in order.blocks(most):
        able = node.work.afford(stack.base, len(block.rows), COARSE, kept=KEPT)
        rows, x = block.rows[:able], None
        if not able:
            return
        if moves and not block.step:
            node.work.spend(stack.base, able, COARSE, share=MOTION)
            good, x = _moving(stack, rows, NOTHING if whole else before)
            if not good.any():
                budget.spend(len(rows), MOTION_COST)
                continue
            if 2 * good.sum() < len(rows):
                rows, x = rows[good], None
        budget.spend(len(rows))
        tried = []
        for some in parts(stack.base, rows, COARSE):
            tried += _tried(node, stack, (some, x), targets)
            x = None
        order.hits = [r for place in targets for r in least(tried, place)]
        yield block.upto, tried


def _tried(
    node: Node,
    stack: Stack,
    which: tuple[IntArray, Examined | None],
    targets: Sequence[Place],
) -> list[Tried]:
    """Judge rows, solved already or not; none that the rules at rest leave no hope of.

    What only those were asked of would seem to leave less undone than it does.
    """
    rows, x = which
    x = _solved(stack, rows) if x is None else x
    base, work, needs = stack.base, node.work, node.needs
    at_rest, every = shares(needs)
    done = 0.0
    if in_steps(base, needs):
        found = Tried(stack, rows, judge(x, needs, rules=AT_REST), node.before)
        work.spend(base, len(rows), COARSE, share=at_rest)
        left, done = promising(found, targets), at_rest
        if not left.any():
            x.forget()
            return []
        if 2 * left.sum() < len(rows):
            x.forget()
            rows, done = rows[left], 0.0
            x = _solved(stack, rows)
    work.spend(base, len(rows), COARSE, share=every - done)
    found = Tried(stack, rows, judge(x, needs), node.before)
    x.forget()
    return [found]


def _moving(
    stack: Stack, rows: IntArray, before: Before
) -> tuple[BoolArray, Examined | None]:
    """Tell which rows the rules of motion leave; all solved where they go at once."""
    good: list[BoolArray] = []
    x: Examined | None = None
    for some in parts(stack.base, rows, COARSE):
        x = _solved(stack, some)
        tried = Tried(stack, some, judge(x, ("motion",)), before)
        good.append(~tried.surely_harmed)
    return np.concatenate(good), x if len(good) == 1 else None


def _solved(stack: Stack, rows: IntArray) -> Examined:
    layout = stack.layout(rows)
    moves = stack.families[0].moves_stroke
    return stop_set_last(layout, COARSE) if moves else examine(layout, COARSE)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Block:
    """Rows to be judged, the effort below which all are, and whether as a first step."""

    rows: IntArray
    upto: float
    step: bool = False


class _Order:
    """The order in which the rows of a stack are judged, block by block.

    With the least come some from all over; where one of those mends, what takes
    less than it comes next.

    Parameters
    ----------
    stack : Stack
        The changes.
    before : Before
        The layout that is changed.
    targets : sequence of Place
        Findings to be mended still.
    budget : Budget
        Where it is spent, the least is still looked at once, what is near to a
        change that mends, and where none does, what may be a first step.
    whole : bool
        Only rows that may mend the whole.
    """

    def __init__(
        self,
        stack: Stack,
        before: Before,
        targets: Sequence[Place],
        budget: Budget,
        *,
        whole: bool,
    ) -> None:
        rows = len(stack.effort)
        self.stack, self.targets, self.budget = stack, targets, budget
        #: Rows that mend, set by who judges them.
        self.hits: list[int] = []
        self.done = np.zeros(rows, dtype=bool)
        self.upto = 0.0
        self.sizes = chain(BLOCKS, repeat(BLOCKS[-1]))
        self.broken, self.allowed = (
            (NOTHING, frozenset()) if whole else (before, MENDABLE)
        )
        coarse = stack.families[0].moves_stroke and rows > BLOCKS[0]
        self.screen = Screen(stack.layout(np.arange(rows))) if coarse else None

    def blocks(self, most: int) -> Iterator[Block]:
        """Yield what is judged, of every hope so many rows at most."""
        for hope, share in ((Hope.CLEAN, 1), (Hope.FAIR, 3), (Hope.FIRST, 3)):
            left = most // share
            while left > 0 and (block := self._next(hope, left)) is not None:
                self.done[block.rows] = True
                yield block
                left = 0 if block.step else left - block.rows.size
            if self.screen is None:
                return

    def _next(self, hope: Hope, most: int) -> Block | None:
        step = hope == Hope.FIRST
        some = np.flatnonzero(~self.done & self._hope(hope))
        near = self._near(some)
        if self.budget.left <= 0 and self.done.any() and (self.hits or not step):
            return Block(rows=near, upto=self.upto) if near.size else None
        if step:
            some = _spaced(self.stack.which, some, STEPS)
        rows = some[: min(most, next(self.sizes))]
        if not rows.size:
            return None
        self.upto = max(self.upto, float(self.stack.effort[rows[-1]]))
        if not self.done.any():
            near = _spaced(self.stack.way, some, FAR)
        rows = np.union1d(rows, near)
        return Block(rows=rows, upto=self.upto, step=step)

    def _hope(self, hope: Hope) -> BoolArray:
        if self.screen is None:
            return np.ones(len(self.done), dtype=bool)
        return self.screen.hopes(self.broken, self.targets, self.allowed) == hope

    def _near(self, some: IntArray) -> IntArray:
        """Return what takes less than a row that mends, down to what was judged."""
        out = [some[:0]]
        for hit in self.hits:
            same = self.stack.way == self.stack.way[hit]
            below = np.flatnonzero(same[:hit] & self.done[:hit])
            least = below[-1] if below.size else -1
            between = some[(some > least) & (some < hit) & same[some]]
            out.append(between[:: 1 + len(between) // BLOCKS[0]])
        return np.unique(np.concatenate(out))


def _spaced(group: IntArray, rows: IntArray, many: int) -> IntArray:
    """Return a few rows of every group, from the least effort to the most."""
    out = []
    for which in np.unique(group[rows]):
        mine = rows[group[rows] == which]
        out.append(mine[evenly(len(mine), many)])
    return np.sort(np.concatenate(out)) if out else rows
