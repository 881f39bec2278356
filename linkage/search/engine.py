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

from dataclasses import dataclass
from functools import cached_property
from itertools import chain, repeat
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import row
from linkage.model.columns import is_column
from linkage.rules.engine import judge
from linkage.rules.examine import COARSE, examine, stop_set_last
from linkage.rules.order import RULES
from linkage.rules.rule import BAD, FITS
from linkage.search.family import flat, merged
from linkage.search.screen import Hope, Screen

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.columns import Number
    from linkage.rules.engine import Judged, Place
    from linkage.rules.examine import Examined
    from linkage.rules.finding import Finding
    from linkage.search.family import Stack, Step

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
#: Rules that a change may break without harm: the pedal stop is set last.
SET_LAST: Final = frozenset({"stamp-load"})
#: Rules that say nothing where too little is known: of a spring that is bought by
#: its rate nobody knows the wire, so that its stress is not mended but unknown.
UNSEEN: Final = frozenset({"spring-stress"})
#: Faults that no change may bring with it, not even as a first step.
NEVER: Final = frozenset({"reach", "dead-centre", "opening-sense", "rod-sense"})
#: Faults that a step may bring with it for another to mend, and how many rows of a
#: family are tried as such.
MENDABLE: Final = frozenset({"full-throttle", "arm-rod-angle"})
STEPS: Final = 12
_BY_CODE: Final = {rule.code: rule for rule in RULES}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Node:
    """A layout on the way to one that fits: judged, with the steps that led to it.

    Parameters
    ----------
    many : Examined
        One layout, or many as rows.
    judged : Judged
        By every rule, looked at closely.
    k : int
        Which row.
    steps : tuple of Step
        What was done so far.
    cut : tuple of str
        Rods that have to be cut again.
    effort : float
        Of all steps.
    """

    many: Examined
    judged: Judged
    k: int = 0
    steps: tuple[Step, ...] = ()
    cut: tuple[str, ...] = ()
    effort: float = 0.0

    @property
    def layout(self) -> Layout:
        """The layout, its pedal stop set."""
        return row(self.many.layout, self.k)

    @property
    def x(self) -> Examined:
        """The layout alone, solved."""
        return self.many if self.judged.rows == 1 else examine(self.layout)

    @property
    def bad(self) -> int:
        """How many findings say ``do not fit``."""
        return int(self.judged.count(BAD)[self.k])

    @property
    def ranks(self) -> dict[Place, int]:
        """Rank of everything that is told."""
        told = self.judged.told
        return {
            p: int(r[self.k]) for p, r in self.judged.ranks.items() if told[p][self.k]
        }

    def places(self, rank: int = BAD) -> list[Place]:
        """Return what is of at least some rank, in the order of the rules."""
        return [p for p, r in self.ranks.items() if r >= rank]

    def finding(self, place: Place) -> Finding:
        """Return the finding at a place."""
        return self.judged.finding(place, self.k)

    def number(self, value: Number) -> float:
        """Return a number of this layout, of a float or a column."""
        return float(value[self.k, 0]) if is_column(value) else float(value)


class Tried:
    """Rows of a stack, judged.

    Parameters
    ----------
    stack : Stack
        Where they are from.
    rows : ndarray of int
        Which of its rows.
    judged : Judged
        By every rule.
    before : mapping of Place to int
        Ranks of the layout that was changed.
    """

    def __init__(
        self, stack: Stack, rows: IntArray, judged: Judged, before: Mapping[Place, int]
    ) -> None:
        self.stack = stack
        self.rows = rows
        self.judged = judged
        self.before = before
        self._heard: dict[Place, BoolArray] = {}

    @property
    def ok(self) -> BoolArray:
        """Whether it can be put together."""
        return np.broadcast_to(np.ravel(self.judged.x.ok), len(self.rows)).astype(bool)

    def gone(self, place: Place, most: int = FITS) -> BoolArray:
        """Tell in which rows a finding is gone, and not just silenced.

        With ``most`` as `LOOK`, where it no longer says ``do not fit``.
        """
        ranks = self.judged.ranks.get(place)
        if ranks is None and place[0] in UNSEEN:
            return np.zeros(len(self.rows), dtype=bool)
        quiet = self.ok if ranks is None else self.ok & (ranks <= most)
        if place not in self._heard:
            self._heard[place] = ~self._silenced(place)
        return quiet & self._heard[place]

    def _silenced(self, place: Place) -> BoolArray:
        """Tell in which rows another finding leaves a rule nothing to say."""
        code, about, part = place
        out = np.zeros(len(self.rows), dtype=bool)
        for silence in _BY_CODE[code].silenced_by:
            for (by, other, its), ranks in self.judged.ranks.items():
                if by != silence.by:
                    continue
                if silence.same and (other != about or part[: len(its)] != its):
                    continue
                out |= ranks >= silence.at_least
        return out

    def _grown(self, rank: int) -> BoolArray:
        """Tell in which rows something is worse than before, and of some rank."""
        out = np.zeros(len(self.rows), dtype=bool)
        for place, ranks in self.judged.ranks.items():
            if place[0] not in SET_LAST:
                out |= (ranks >= rank) & (ranks > self.before.get(place, FITS))
        return out

    @cached_property
    def worse(self) -> BoolArray:
        """Rows in which anything is worse than before."""
        return self._grown(FITS)

    @cached_property
    def harmed(self) -> BoolArray:
        """Rows in which something says ``do not fit`` that did not before."""
        return self._grown(BAD) | ~self.ok

    @cached_property
    def never(self) -> BoolArray:
        """Rows with a fault that no change may bring with it."""
        out = ~self.ok
        for place, ranks in self.judged.ranks.items():
            if place[0] in NEVER:
                out = out | ((ranks == BAD) & (self.before.get(place, FITS) < BAD))
        return out

    @cached_property
    def bad(self) -> NDArray[np.int_]:
        """How many findings say ``do not fit``; all of them where it is in pieces."""
        unseen = sum(
            rank == BAD and place[0] in UNSEEN and place not in self.judged.ranks
            for place, rank in self.before.items()
        )
        return np.where(self.ok, self.judged.count(BAD) + unseen, len(_BY_CODE))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """One row that mends, or goes some way.

    Parameters
    ----------
    tried : Tried
        Its block.
    k : int
        Its row there.
    """

    tried: Tried
    k: int

    @property
    def row(self) -> int:
        """Its row in the stack."""
        return int(self.tried.rows[self.k])

    @property
    def effort(self) -> float:
        """How much it takes."""
        return float(self.tried.stack.effort[self.row])

    @property
    def bad(self) -> int:
        """How many findings then say ``do not fit``."""
        return int(self.tried.bad[self.k])

    @property
    def cost(self) -> tuple[bool, float]:
        """What asks for no look before what does, then the least effort."""
        return bool(self.tried.judged.verdicts[self.k] > FITS), self.effort


def made(node: Node, candidates: Sequence[Candidate]) -> list[Node]:
    """Make changes, and judge what comes of each by the whole check.

    Parameters
    ----------
    node : Node
        What is changed.
    candidates : sequence of Candidate
        The changes; those of one stack are judged together.

    Returns
    -------
    list of Node
        One for each.
    """
    out: dict[int, Node] = {}
    for stack in {id(c.tried.stack): c.tried.stack for c in candidates}.values():
        mine = [i for i, c in enumerate(candidates) if c.tried.stack is stack]
        rows = np.array([candidates[i].row for i in mine])
        layout = stack.layout(rows) if len(mine) > 1 else stack.one(rows[0])
        moves = stack.families[0].moves_stroke
        x = stop_set_last(layout) if moves else examine(layout)
        judged = judge(x)
        for k, i in enumerate(mine):
            family, step = stack.family(rows[k]), stack.step(rows[k])
            out[i] = Node(
                many=x,
                judged=judged,
                k=k,
                steps=merged((*node.steps, *flat(step))),
                cut=tuple(dict.fromkeys((*node.cut, *family.cut))),
                effort=node.effort + candidates[i].effort,
            )
    return [out[i] for i in range(len(candidates))]


def unharmed(root: Node, node: Node) -> bool:
    """Tell whether nothing says ``do not fit`` that did not before."""
    before = set(root.places(BAD))
    return all(p in before or p[0] in SET_LAST for p in node.places(BAD))


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
    for some, step in _blocks(stack, before, targets, most=most, whole=whole):
        if budget.left <= 0:
            return
        rows = some
        x = _solved(stack, rows)
        if moves and not step:
            seen = Tried(stack, rows, judge(x, ("motion",)), {} if whole else before)
            good = ~seen.harmed
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
