"""A layout on the way to one that fits, judged by the whole check.

Not here: looking for changes (`search.engine`, `search.plan`).
"""

from __future__ import annotations

from dataclasses import field, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from linkage.model import row
from linkage.model.columns import is_column
from linkage.records import dataclass
from linkage.rules.engine import judge
from linkage.rules.examine import WHOLE, examine, stop_set_last
from linkage.rules.room import parts
from linkage.rules.rule import BAD, FITS, NEEDS
from linkage.search.family import flat, merged
from linkage.search.said import parts_of
from linkage.search.standing import NOTHING, Before, Standing
from linkage.search.work import Work

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.columns import Number
    from linkage.rules.examine import Examined
    from linkage.rules.finding import Finding
    from linkage.rules.judged import Judged, Place
    from linkage.rules.rule import Need
    from linkage.search.family import Stack, Step
    from linkage.search.tried import Candidate

    IntArray = NDArray[np.intp]
    BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True, eq=False)  # no slots: some of it is kept
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
    rods : int
        Rods that were of given length, and have to be made anew.
    unknown : mapping of Place to Finding
        What was bad before the steps, and is not known now.
    needs : tuple of str
        Only rules that need one of these were judged, and are of what comes of it.
    work : Work
        What is left for the search of which it is.
    """

    many: Examined
    judged: Judged
    k: int = 0
    steps: tuple[Step, ...] = ()
    cut: tuple[str, ...] = ()
    effort: float = 0.0
    rods: int = 0
    unknown: Mapping[Place, Finding] = field(default_factory=dict)
    needs: tuple[Need, ...] = NEEDS
    work: Work = field(default_factory=Work)

    @cached_property
    def layout(self) -> Layout:
        """The layout, its pedal stop set."""
        return row(self.many.layout, self.k)

    @property
    def x(self) -> Examined:
        """The layout alone, solved."""
        return self.many if self.judged.rows == 1 else examine(self.layout)

    @property
    def bad(self) -> int:
        """How many rules fail or cannot be judged, or did and are not known now."""
        alone = Standing(self.judged, NOTHING)
        return int(alone.failing[self.k]) + len(self.unknown)

    @property
    def each(self) -> tuple[Step, ...]:
        """The steps, each of several together by itself."""
        return tuple(
            one for step in self.steps for one in step.more.get("steps", (step,))
        )

    @property
    def parts(self) -> int:
        """How many parts have to be made or bought for all steps."""
        return parts_of(self.each) + self.rods

    @property
    def cost(self) -> tuple[bool, int, float]:
        """What asks for no look first, then the fewest new parts, then least effort."""
        looks = Standing(self.judged, NOTHING).looks
        return bool(looks[self.k]), self.parts, self.effort

    @cached_property
    def before(self) -> Before:
        """What it is, for those that are made of it to be held against."""
        own = Before.of(self.judged, self.k, self.layout)
        return replace(own, told={**own.told, **dict.fromkeys(self.unknown, BAD)})

    def places(self, rank: int = BAD) -> list[Place]:
        """Return what is of at least some rank, in the order of the rules."""
        return [p for p, r in self.before.told.items() if r >= rank]

    @property
    def mute(self) -> list[str]:
        """Codes of rules that could not be judged, in their order."""
        return [code for code, rows in self.judged.mute.items() if rows[self.k]]

    def finding(self, place: Place) -> Finding:
        """Return the finding at a place."""
        return self.unknown.get(place) or self.judged.finding(place, self.k)

    def mends(self, root: Node, place: Place, most: int = FITS) -> bool:
        """Tell whether a finding of what it was made from is gone, and known to be."""
        gone = Standing(self.judged, root.before).gone(place, most)
        return bool(gone[self.k]) and place not in self.unknown

    def harms(self, root: Node) -> bool:
        """Tell whether a rule fails that did not before, or cannot be judged now."""
        return bool(Standing(self.judged, root.before).harmed[self.k])

    def barred(self, root: Node) -> bool:
        """Tell whether it may not be offered instead of what it was made from."""
        return bool(Standing(self.judged, root.before).barred[self.k])

    def number(self, value: Number) -> float:
        """Return a number of this layout, of a float or a column."""
        return float(value[self.k, 0]) if is_column(value) else float(value)


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
        for some in parts(stack.base, np.array(mine), WHOLE):
            rows = np.array([candidates[i].row for i in some])
            for i, one in zip(some.tolist(), _made(node, stack, rows), strict=True):
                effort, rods = candidates[i].effort, candidates[i].rods
                out[i] = replace(
                    one, effort=node.effort + effort, rods=node.rods + rods
                )
    return [out[i] for i in range(len(candidates))]


def _made(node: Node, stack: Stack, rows: NDArray[np.intp]) -> Iterator[Node]:
    """Yield some changes of a stack, made and judged together."""
    layout = stack.layout(rows) if len(rows) > 1 else stack.one(rows[0])
    moves = stack.families[0].moves_stroke
    node.work.spend(stack.base, len(rows), WHOLE)
    x = stop_set_last(layout) if moves else examine(layout)
    judged = judge(x, node.needs)
    x.forget()
    standing = Standing(judged, node.before)
    for k, which in enumerate(rows.tolist()):
        family, step = stack.family(which), stack.step(which)
        yield Node(
            many=x,
            judged=judged,
            k=k,
            steps=merged((*node.steps, *flat(step))),
            cut=tuple(dict.fromkeys((*node.cut, *family.cut))),
            unknown=_unknown(node, standing, k),
            needs=node.needs,
            work=node.work,
        )


def _unknown(before: Node, standing: Standing, k: int) -> dict[Place, Finding]:
    """Return what was bad and of which too little is known to tell it now."""
    return {p: before.finding(p) for p in before.places() if standing.unknown(p)[k]}
