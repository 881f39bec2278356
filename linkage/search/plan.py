"""Changes together: the least that mend a whole layout, one, two or three of them.

From the layout as it is, and from the most promising of what one change makes of
it, every change that may mend what is left is tried; three deep at most. Where that is too
few, how it moves is mended so, and then the rest.

Not here: one change (`search.engine`), the stages (`search.stages`), how it is told
(`search.cures`).
"""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.rules.examine import COARSE, WHOLE
from linkage.rules.rule import BAD, LOOK
from linkage.search.engine import BLOCKS, MOST, Budget, tries
from linkage.search.expansion import Expansion, by_family
from linkage.search.family import joined, only, stacked, stacks, thinned
from linkage.search.node import Node, made
from linkage.search.sources import families
from linkage.search.stages import staged
from linkage.search.work import KEPT

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from linkage.rules.finding import Finding
    from linkage.rules.judged import Place
    from linkage.search.family import Family, Stack
    from linkage.search.tried import Candidate, Tried

#: Families with which a second change is tried.
FAMILIES: Final = 4
#: Most pairs of a stack that are judged.
PAIRS: Final = 96
#: Pairs that are looked at coarsely, and rows of the first change that are kept.
SCREENED: Final = 2400
FEW: Final = 4
#: The one row of a family.
FIRST: Final = np.array([0])
#: Rows of changes times shafts beyond which wider steps are taken.
MOVED: Final = 300_000
#: Pairs after which a third change is tried.
BEAM: Final = 1
#: How much is judged for one change, for what asks for a look only, for two changes,
#: for two of fewer new parts where one mends the whole, and for three.
ONE: Final = 4.0
LOOKS: Final = 1.4
TWO: Final = 2.8
FEWER: Final = 1.0
THREE: Final = 1.4


def _each_once(node: Node, findings: Iterable[Finding]) -> list[Family]:
    """Return the changes that may mend any of some findings, each change once."""
    out: dict[object, Family] = {}
    for finding in findings:
        for family in families(node.x, finding):
            step = family.step(0)
            ends = [(p, float(v[0]), float(v[-1])) for p, v in family.sets.items()]
            parts = [
                repr(step.more.get(k)) for k in ("shafts", "springs", "shaft", "arm")
            ]
            key = (step.kind, step.about, repr(step.new), *parts, *ends, family.cut)
            out.setdefault(key, family)
    return list(out.values())


def _fewer(node: Node, some: list[Family]) -> list[Family]:
    """Return changes of a very large layout in wider steps."""
    moved = sum(f.size for f in some) * len(node.layout.shafts)
    if moved <= MOVED:
        return some
    node.work.cut = True
    return [thinned(f, math.ceil(moved / MOVED)) for f in some]


def _try_all(
    node: Node,
    targets: list[Place],
    some: Iterable[Stack],
    found: Expansion,
    budget: Budget,
    *,
    pairs: bool,
) -> None:
    """Judge stacks block by block in turn, until nothing more is asked for."""
    waiting: deque[tuple[Iterator[tuple[float, list[Tried]]], Stack, list[Place]]] = (
        deque()
    )
    for stack in sorted(some, key=lambda s: float(s.effort[0])):
        left = list(targets)
        most = PAIRS if pairs else MOST
        blocks = tries(node, stack, left, budget, most=most, whole=pairs)
        waiting.append((blocks, stack, left))
    while waiting:
        blocks, stack, left = waiting.popleft()
        if not found.open(left, float(stack.effort[0]), stack.parts):
            continue  # what takes less mends all that it might
        block = next(blocks, None)
        if block is None:
            continue
        upto, tried = block
        found.take(tried, targets)
        if pairs and found.fits:
            return
        left[:] = found.open(targets, upto, stack.parts)
        if left:
            waiting.append((blocks, stack, left))


def expand(node: Node, budget: float, *, looks: float = LOOKS) -> Expansion:
    """Try every single change that may mend what a layout has.

    Parameters
    ----------
    node : Node
        The layout.
    budget : float
        How much may be judged, in whole checks or thereabouts.
    looks : float
        The same for what asks for a look only.
    """
    found = Expansion()
    bad = node.places(BAD)
    others = [p for p in node.places(LOOK) if p not in bad] if looks else []
    for targets, most in ((bad, budget), (others, looks)):
        some = stacks(_fewer(node, _each_once(node, map(node.finding, targets))))
        _try_all(node, targets, some, found, Budget(most), pairs=False)
    return found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sought:
    """The outcome of a search.

    Parameters
    ----------
    alone : dict of Place to Node
        By finding: the least single change that mends it.
    plan : Node, optional
        The least found after which nothing says ``do not fit``; None where none is.
    nearest : Node, optional
        What comes nearest, where there is no plan.
    near : dict of Place to Node
        The same for findings that nothing mends alone: what mends them, at the cost
        of another fault.
    """

    alone: dict[Place, Node]
    plan: Node | None
    nearest: Node | None
    near: dict[Place, Node] = field(default_factory=dict)


def _pairs(node: Node, firsts: list[Candidate], fewer: float) -> list[Family]:
    """Return some rows of one family with every change that may mend what is left.

    Only those that take fewer new parts than so many.
    """
    stack = firsts[0].tried.stack
    first = stack.family(firsts[0].row)
    rows = np.array([stack.index[c.row] for c in firsts])
    left: dict[Place, Finding] = {}
    for c in (firsts[0], firsts[-1]):
        left = {**dict(c.tried.bad(c.k)), **left}
    seconds = _each_once(node, left.values())
    seconds = [s for s in seconds if first.parts + s.parts < fewer]
    many = len(rows) * sum(s.size for s in seconds)
    if many > SCREENED:  # a coarser choice of both
        rows = rows[:: math.ceil(many / SCREENED)] if len(rows) > FEW else rows
        many = len(rows) * sum(s.size for s in seconds)
        seconds = [thinned(s, math.ceil(many / SCREENED)) for s in seconds]
    pairs = (joined(node.layout, first, rows, second) for second in seconds)
    return [pair for pair in pairs if pair is not None]


def _two(root: Node, first: Expansion, plan: Node | None) -> Expansion:
    """Try two changes together: the most promising with all that may follow.

    Where there is a plan already, only those that take fewer new parts.
    """
    fewer = math.inf if plan is None else plan.parts
    found, budget = Expansion(), Budget(TWO if plan is None else FEWER)
    able = [cs for cs in by_family(first) if cs[0].parts < fewer]
    for firsts in able[:FAMILIES]:
        some = stacks(_pairs(root, firsts, fewer))
        _try_all(root, root.places(), some, found, budget, pairs=True)
        if found.fits or budget.left <= 0:
            break
    return found


def _together(root: Node, first: Expansion) -> Expansion:
    """Make the least cure of every fault at once: what is apart stays apart."""
    found = Expansion()
    chosen: list[Candidate] = []
    for place in root.places():
        cure = first.clean.get(place) or first.fair.get(place)
        if cure is None:
            return found
        if not any(c.tried.gone(place)[c.k] for c in chosen):
            chosen.append(cure)
    if len(chosen) < 2:
        return found
    parts = [(c.tried.stack.family(c.row), c.tried.stack.index[c.row]) for c in chosen]
    whole: Family | None = only(*parts[0])
    for family, i in parts[1:]:
        whole = joined(root.layout, whole, FIRST, only(family, i)) if whole else None
    if whole is not None:
        for _, tried in tries(root, stacked([whole]), root.places(), Budget(1.0)):
            found.take(tried, root.places())
    return found


def _third(root: Node, two: Expansion) -> tuple[Node | None, Node | None]:
    """Try one more change after the best pairs; return plan and nearest."""
    nearest: Node | None = None
    for node in _made(root, [some[0] for some in by_family(two)[:BEAM]]):
        if not node.barred(root) and (nearest is None or node.bad < nearest.bad):
            nearest = node
        plan = _plan(root, node, expand(node, THREE, looks=0.0))
        if plan is not None:
            return plan, None
    return None, nearest


def _plan(root: Node, node: Node, found: Expansion) -> Node | None:
    """Return the layout after which no rule fails, if one was found."""
    if found.whole is None:
        return None
    plans = _made(node, [found.whole])
    return next((p for p in plans if p.bad == 0 and not p.barred(root)), None)


def _made(node: Node, candidates: list[Candidate]) -> list[Node]:
    """Make changes, the first of them where not all can be judged any more."""
    able = node.work.afford(node.layout, len(candidates), WHOLE)
    return made(node, candidates[:able])


def _singles(root: Node, found: Expansion) -> tuple[dict[Place, Node], Node | None]:
    """Judge what single changes do by the whole check; return cures and a plan."""
    best = {**found.fair, **found.clean}
    some = {(id(c.tried), c.k): c for c in (*best.values(), found.whole) if c}
    # Where not all can be judged any more, what mends the whole comes first.
    able = root.work.afford(root.layout, len(some), WHOLE)
    first = sorted(some, key=lambda i: some[i] is not found.whole)[:able]
    once = [i for i in some if i in first]
    nodes = dict(zip(once, made(root, [some[i] for i in once]), strict=True))
    alone = {}
    for place, candidate in best.items():
        node = nodes.get((id(candidate.tried), candidate.k))
        if not node or node.harms(root) or node.barred(root):
            continue
        if node.mends(root, place):
            alone[place] = node
    fits = [n for n in nodes.values() if n.bad == 0 and not n.barred(root)]
    return alone, min(fits, key=lambda n: n.cost, default=None)


def seek(root: Node) -> Sought:
    """Look for the cures of a layout, and for a plan that mends the whole.

    Parameters
    ----------
    root : Node
        The layout as it is.
    """
    if root.work.afford(root.layout, BLOCKS[0], COARSE, kept=KEPT) < BLOCKS[0]:
        return Sought(alone={}, plan=None, nearest=None)
    first = expand(root, ONE)
    alone, plan = _singles(root, first)
    if root.bad == 0:
        return Sought(alone=alone, plan=None, nearest=None)
    plan, nearest = _together_or_deep(root, first, plan)
    end = staged(root, _stage) if plan is None else None
    if end is not None and not end.bad and not end.barred(root):
        plan = end
    if plan is not None:
        return Sought(alone=alone, plan=plan, nearest=None)
    ways = (nearest, end, *_made(root, _best(first.partly)))
    able = [n for n in ways if n is not None and not n.barred(root)]
    nearest = min(able, key=lambda n: (n.bad, n.effort), default=None)
    near = _near(root, first, [p for p in root.places() if p not in alone])
    return Sought(alone=alone, plan=None, nearest=nearest, near=near)


def _together_or_deep(
    root: Node, first: Expansion, plan: Node | None
) -> tuple[Node | None, Node | None]:
    """Return a plan of at most three changes, or what comes nearest to one."""
    if plan is None:
        plan = _plan(root, root, _together(root, first))
    if plan is not None and not plan.parts:
        return plan, None
    two = _two(root, first, plan)
    pair = _plan(root, root, two)
    if plan is None and pair is None:
        return _third(root, two)
    found = [n for n in (plan, pair) if n is not None]
    return min(found, key=lambda n: n.cost), None


def _stage(root: Node) -> Node | None:
    """Return the plan of one stage."""
    first = expand(root, ONE, looks=0.0)
    _, plan = _singles(root, first)
    plan, _ = _together_or_deep(root, first, plan)
    return plan


def _best(some: Iterable[Candidate]) -> list[Candidate]:
    """Return the one of some that may be offered and leaves least, if there is any."""
    able = [c for c in some if not c.tried.barred[c.k]]
    return sorted(able, key=lambda c: (c.failing, c.effort))[:1]


def _near(root: Node, found: Expansion, places: list[Place]) -> dict[Place, Node]:
    """Return for each of some findings the change that mends it and leaves least."""
    out = {}
    blocks = {id(c.tried): c.tried for c in found.partly}.values()
    known: dict[tuple[int, int], list[Node]] = {}
    for place in places:
        gone = {id(t): t.gone(place, LOOK) for t in blocks}
        mends = [c for c in found.partly if gone[id(c.tried)][c.k]]
        for best in _best(mends):
            which = id(best.tried), best.k
            known[which] = known.get(which) or _made(root, [best])
            for node in known[which]:
                if node.mends(root, place, LOOK) and not node.barred(root):
                    out[place] = node
    return out
