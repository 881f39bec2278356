"""Candidates of all cures finished as whole layouts and judged together, as rows.

Not here: which arms a cure changes (`swap.recipes`), which cures there are
(`swap.cures`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from linkage.errors import LinkageError
from linkage.model.columns import pick, some
from linkage.model.rows import row, rows_of, same_make_up, stack, take
from linkage.rules.examine import stop_set_last
from linkage.rules.finding import RANK
from linkage.search import check
from linkage.search.arms import arms_set
from linkage.swap.rehook import rehooked, sense_of
from linkage.swap.reverses import pulls

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.columns import FloatArray, Truth
    from linkage.rules.examine import Examined
    from linkage.swap.ground import Ground

    Index = NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidates:
    """Layouts found for one cure, a row each.

    Parameters
    ----------
    layout : Layout
        The swapped layout with other arms, its rods cut to fit.
    rank : ndarray, shape (rows,)
        Score and effort together; less is better.
    reached : ndarray, shape (rows,)
        Share of the swing. [1]
    """

    layout: Layout
    rank: FloatArray
    reached: FloatArray

    def take(self, rows: Index) -> Candidates:
        """Return some of them."""
        layout = take(self.layout, rows)
        return Candidates(
            layout=layout, rank=self.rank[rows], reached=self.reached[rows]
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Verdict:
    """One candidate, judged.

    Parameters
    ----------
    merit : tuple of 2 numbers
        How bad it is, then how many findings ask for a look; (0, 0) is best.
    pushes : int
        How many rods push.
    rank : float
        Of the search.
    layout : Layout
        Finished.
    """

    merit: tuple[int, int]
    pushes: int
    rank: float
    layout: Layout

    @property
    def good(self) -> bool:
        """Whether there is nothing to object."""
        return self.merit == (0, 0)


def alongside(ground: Ground, layout: Layout) -> Layout:
    """Return the layout with other carburettors on the same shaft set alike.

    Two carburettors on one shaft have equal drop links; what is done to the
    arms of the main one's rod is done to those of the others.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    layout : Layout
        One or many, with the arms of the main throttle's rod set.
    """
    main = ground.path[-1]
    if layout.path_to(main.driven.shaft)[-1].driver != main.driver:
        return layout  # a reversing lever in between, for one rod alone
    for throttle in layout.plates:
        path = layout.path_to(throttle.shaft)
        if not path or throttle.shaft == main.driven.shaft:
            continue
        link = path[-1]
        if link.driver.shaft != main.driver.shaft:
            continue
        arms = {}
        for model, hole in ((main.driver, link.driver), (main.driven, link.driven)):
            if hole != model:
                old = ground.layout.shafts[model.shaft].arms[model.arm]
                new = layout.shafts[model.shaft].arms[model.arm]
                arm = layout.shafts[hole.shaft].arms[hole.arm]
                length = np.ravel(arm.length * new.length / old.length)
                arms[hole] = (length, np.ravel(arm.angle + new.angle - old.angle))
        layout = arms_set(layout, arms).with_rod(link.rod.name, None)
    return layout


def finished(ground: Ground, layout: Layout) -> list[tuple[Index, Layout]]:
    """Return candidates with stops turned over, springs hooked and the pedal stop set.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    layout : Layout
        Many as rows.

    Returns
    -------
    list of tuple
        Rows and their layouts, of one make-up each.
    """
    x = stop_set_last(alongside(ground, layout))
    layout = x.layout
    stops = {}
    for name, stop in layout.stops.items():
        if stop.shaft in ground.swap.moved:
            over = _turned_over(ground, x, stop.shaft)
            if some(over):
                stops[name] = replace(stop, turn=pick(over, -stop.turn, stop.turn))
    if stops:
        layout = replace(layout, stops={**layout.stops, **stops})
        x = stop_set_last(layout)
        layout = x.layout
    return rehooked(ground.old, x)


def _turned_over(ground: Ground, x: Examined, shaft: str) -> Truth:
    """Tell whether a shaft now turns against the way its stop was moved along."""
    if x.layout.throttle_on(shaft) is not None:
        return False  # the stop went with its carburettor
    was = sense_of(ground.old, shaft) * ground.swap.senses[shaft]
    return sense_of(x, shaft) * was < 0


def judged(
    ground: Ground, cures: Sequence[Sequence[Candidates]]
) -> list[list[Verdict]]:
    """Judge the candidates of many cures together.

    The cheap rules look at all, the dear ones at the few of each cure that are best.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    cures : sequence of sequence of Candidates
        Of each cure.

    Returns
    -------
    list of list of Verdict
        Of each cure, those that every rule looked at.
    """
    left = [(i, one) for i, found in enumerate(cures) for one in found]
    out: list[list[Verdict]] = [[] for _ in cures]
    while left:
        model = left[0][1].layout
        alike = [same_make_up(model, one.layout) for _, one in left]
        group = [some for some, same in zip(left, alike, strict=True) if same]
        left = [some for some, same in zip(left, alike, strict=True) if not same]
        which = np.repeat([i for i, _ in group], [len(c.rank) for _, c in group])
        ranks = np.concatenate([c.rank for _, c in group])
        whole = stack([c.layout for _, c in group])
        if rows_of(whole) == 1:  # all found the same
            verdicts = [v for _, v in _judged(ground, whole, which[:1], ranks)]
            for i in dict.fromkeys(which):
                out[i] += verdicts
            continue
        for i, verdict in _judged(ground, whole, which, ranks):
            out[i].append(verdict)
    return out


def _judged(
    ground: Ground, layout: Layout, which: Index, ranks: FloatArray
) -> Iterator[tuple[int, Verdict]]:
    """Yield the verdicts of the rows of one make-up that can be put together."""
    for i in range(len(which)):
        try:
            ((_, whole),) = finished(ground, row(layout, i))
            outcome = check(whole, cures=False)
        except LinkageError:
            continue
        verdicts = [f.verdict for f in outcome.findings]
        bad = RANK[outcome.verdict] + verdicts.count("do not fit")
        x = outcome.examined
        yield (
            int(which[i]),
            Verdict(
                merit=(bad, verdicts.count("look")),
                pushes=sum(not bool(pulls(x, n)) for n in whole.rods),
                rank=float(ranks[i]),
                layout=whole,
            ),
        )
