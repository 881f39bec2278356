"""Candidates of all cures finished as whole layouts and judged together, as rows.

Not here: which arms a cure changes (`swap.recipes`), which cures there are
(`swap.cures`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.errors import AssemblyError
from linkage.model.columns import pick, some
from linkage.model.rows import row, rows_of, same_make_up, stack, take
from linkage.rules.engine import judge
from linkage.rules.examine import COARSE, WHOLE, Grain, examine, stop_set_last
from linkage.rules.rule import BAD, LOOK, NEEDS, Need
from linkage.search.arms import arms_set
from linkage.swap.rehook import rehooked, sense_of
from linkage.swap.reverses import pulls

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.columns import FloatArray, Truth
    from linkage.rules.examine import Examined
    from linkage.swap.ground import Ground

    Index = NDArray[np.intp]

#: What those rules need that look at every candidate.
CHEAP: Final[tuple[Need, ...]] = ("motion",)


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
    merit : tuple of 2 int
        How bad it is, then how many findings ask for a look; (0, 0) is best.
    pushes : int
        How many rods push.
    rank : float
        Of the search.
    whole : Layout
        The candidates that were judged with it, finished.
    row : int
        Which of them it is.
    tier : int
        Of the recipe: how much is changed.
    """

    merit: tuple[int, int]
    pushes: int
    rank: float
    whole: Layout
    row: int
    tier: int = 0

    @property
    def good(self) -> bool:
        """Whether there is nothing to object."""
        return self.merit == (0, 0)

    @property
    def order(self) -> tuple[float, ...]:
        """Less is better: merit, tier, pull before push, then what the search says."""
        return (*self.merit, self.tier, self.pushes, self.rank)

    @property
    def layout(self) -> Layout:
        """The candidate alone."""
        return row(self.whole, self.row)


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
        Rows and their layouts, of one make-up each; none where all are one
        layout that cannot be put together.
    """
    try:
        x = stop_set_last(alongside(ground, layout), COARSE)
    except AssemblyError:
        return []
    layout = x.layout
    stops = {}
    for name, stop in layout.stops.items():
        if stop.shaft in ground.swap.moved:
            over = _turned_over(ground, x, stop.shaft)
            if some(over):
                stops[name] = replace(stop, turn=pick(over, -stop.turn, stop.turn))
    if stops:
        layout = replace(layout, stops={**layout.stops, **stops})
        x = stop_set_last(layout, COARSE)
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
    """Judge the candidates of many cures together, by the cheap rules.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    cures : sequence of sequence of Candidates
        Of each cure.

    Returns
    -------
    list of list of Verdict
        Of each cure, those that can be put together.
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
        many = rows_of(whole) > 1
        verdicts: dict[int, Verdict] = {}
        for rows, part in finished(ground, whole):
            verdicts |= {int(rows[v.row]): v for v in _judged(part, CHEAP, COARSE)}
        for k, i in enumerate(which):
            verdict = verdicts.get(k if many else 0)  # all may have found the same one
            if verdict is not None:
                out[i].append(replace(verdict, rank=float(ranks[k])))
    return out


def wholly(verdicts: Sequence[Verdict]) -> list[Verdict]:
    """Judge candidates again, by every rule, and return them in their order."""
    out = list(verdicts)
    for whole in {id(v.whole): v.whole for v in verdicts}.values():
        some = [i for i, v in enumerate(verdicts) if v.whole is whole]
        rows = np.array([verdicts[i].row for i in some])
        part = take(whole, rows) if rows_of(whole) > 1 else whole
        found = _judged(part, NEEDS, WHOLE)
        for k, i in enumerate(some):
            out[i] = replace(out[i], merit=found[min(k, len(found) - 1)].merit)
    return out


def _judged(whole: Layout, needs: Iterable[Need], grain: Grain) -> list[Verdict]:
    """Return the verdicts of those rows that can be put together."""
    found = judge(examine(whole, grain), needs)
    rows = found.rows
    bad, looks = found.verdicts + found.count(BAD), found.count(LOOK)
    pulling = [np.broadcast_to(np.ravel(pulls(found.x, n)), rows) for n in whole.rods]
    pushes = len(pulling) - np.sum(pulling, axis=0)
    return [
        Verdict(
            merit=(int(bad[i]), int(looks[i])),
            pushes=int(pushes[i]),
            rank=0.0,
            whole=whole,
            row=i,
        )
        for i in np.flatnonzero(np.broadcast_to(np.ravel(found.x.ok), rows)).tolist()
    ]
