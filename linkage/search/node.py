"""A layout on the way to one that fits, judged by the whole check.

Not here: looking for changes (`search.engine`, `search.plan`).
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

import numpy as np

from linkage.model import row
from linkage.model.columns import is_column
from linkage.records import dataclass
from linkage.rules.engine import judge
from linkage.rules.examine import examine, stop_set_last
from linkage.rules.rule import BAD, NEEDS
from linkage.search.family import flat, merged
from linkage.search.tried import SET_LAST, UNSEEN, Candidate

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.columns import Number
    from linkage.rules.engine import Judged, Place
    from linkage.rules.examine import Examined
    from linkage.rules.finding import Finding
    from linkage.rules.rule import Need
    from linkage.search.family import Step

    IntArray = NDArray[np.intp]
    BoolArray = NDArray[np.bool_]


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
    unknown : mapping of Place to Finding
        What was bad before the steps, and is not known now.
    needs : tuple of str
        Only rules that need one of these were judged, and are of what comes of it.
    """

    many: Examined
    judged: Judged
    k: int = 0
    steps: tuple[Step, ...] = ()
    cut: tuple[str, ...] = ()
    effort: float = 0.0
    unknown: Mapping[Place, Finding] = field(default_factory=dict)
    needs: tuple[Need, ...] = NEEDS

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
        """How many findings say ``do not fit``, or did and are not known now."""
        return int(self.judged.count(BAD)[self.k]) + len(self.unknown)

    @property
    def ranks(self) -> dict[Place, int]:
        """Rank of everything that is told; what is not known now is bad still."""
        told = self.judged.told
        return {
            p: int(r[self.k]) for p, r in self.judged.ranks.items() if told[p][self.k]
        } | dict.fromkeys(self.unknown, BAD)

    def places(self, rank: int = BAD) -> list[Place]:
        """Return what is of at least some rank, in the order of the rules."""
        return [p for p, r in self.ranks.items() if r >= rank]

    def finding(self, place: Place) -> Finding:
        """Return the finding at a place."""
        return self.unknown.get(place) or self.judged.finding(place, self.k)

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
        rows = np.array([candidates[i].row for i in mine])
        layout = stack.layout(rows) if len(mine) > 1 else stack.one(rows[0])
        moves = stack.families[0].moves_stroke
        x = stop_set_last(layout) if moves else examine(layout)
        judged = judge(x, node.needs)
        for k, i in enumerate(mine):
            family, step = stack.family(rows[k]), stack.step(rows[k])
            out[i] = Node(
                many=x,
                judged=judged,
                k=k,
                steps=merged((*node.steps, *flat(step))),
                cut=tuple(dict.fromkeys((*node.cut, *family.cut))),
                effort=node.effort + candidates[i].effort,
                unknown=_unknown(node, judged, k),
                needs=node.needs,
            )
    return [out[i] for i in range(len(candidates))]


def _unknown(before: Node, judged: Judged, k: int) -> dict[Place, Finding]:
    """Return what was bad and of which too little is known to tell it now."""
    told = judged.told
    return {
        p: before.finding(p)
        for p in before.places(BAD)
        if p[0] in UNSEEN and not (p in told and told[p][k])
    }


def unharmed(root: Node, node: Node) -> bool:
    """Tell whether nothing says ``do not fit`` that did not before."""
    before = set(root.places(BAD))
    return all(p in before or p[0] in SET_LAST for p in node.places(BAD))
