"""Candidates of all cures finished as whole layouts and judged together, as rows.

Not here: which arms a cure changes (`swap.recipes`), which cures there are
(`swap.cures`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import AssemblyError
from linkage.model.columns import pick, some
from linkage.model.rows import row, rows_of, same_make_up, stack, take
from linkage.rules.engine import judge
from linkage.rules.examine import COARSE, examine, stop_set_last
from linkage.swap.branches import alongside, opened
from linkage.swap.changes import SAME_LENGTH
from linkage.swap.kept import rods_kept
from linkage.swap.rehook import rehooked, sense_of
from linkage.swap.reverses import pulls

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.columns import FloatArray, Truth
    from linkage.rules.examine import Examined
    from linkage.rules.rule import Need
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
        How bad it is, then how many findings ask for a look, both beyond what was so
        before the swap; (0, 0) is best.
    older : int
        How many findings say ``do not fit`` as before the swap.
    sized : int
        How many arms are longer or shorter than they were, so that new ones are
        made.
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
    older: int
    sized: int
    pushes: int
    rank: float
    whole: Layout
    row: int
    tier: int = 0

    @property
    def good(self) -> bool:
        """Whether there is nothing to object that was not there before the swap."""
        return self.merit == (0, 0)

    @property
    def order(self) -> tuple[float, ...]:
        """Less is better: merit, what is older, new arms, tier, pull before push, rank."""
        return (
            *self.merit,
            self.older,
            self.sized,
            self.tier,
            self.pushes,
            self.rank,
        )

    @property
    def layout(self) -> Layout:
        """The candidate alone."""
        return row(self.whole, self.row)


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
        x = stop_set_last(rods_kept(ground.layout, alongside(ground, layout)), COARSE)
        layout = opened(ground, x)
        if layout is not x.layout:
            layout = rods_kept(ground.layout, layout)
            x = stop_set_last(layout, COARSE)
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
            verdicts |= {int(rows[v.row]): v for v in _judged(ground, part)}
        for k, i in enumerate(which):
            verdict = verdicts.get(k if many else 0)  # all may have found the same one
            if verdict is not None:
                out[i].append(replace(verdict, rank=float(ranks[k])))
    return out


def wholly(verdicts: Sequence[Verdict], ground: Ground) -> list[Verdict]:
    """Judge candidates again, by every rule, and return them in their order."""
    out = list(verdicts)
    for whole in {id(v.whole): v.whole for v in verdicts}.values():
        some = [i for i, v in enumerate(verdicts) if v.whole is whole]
        rows = np.array([verdicts[i].row for i in some])
        part = take(whole, rows) if rows_of(whole) > 1 else whole
        bad, looks, older = ground.older.merits(judge(examine(part)))
        for k, i in enumerate(some):
            one = min(k, len(bad) - 1)
            merit = (int(bad[one]), int(looks[one]))
            out[i] = replace(out[i], merit=merit, older=int(older[one]))
    return out


def _judged(ground: Ground, whole: Layout) -> list[Verdict]:
    """Return the verdicts of those rows that can be put together, by the cheap rules."""
    found = judge(examine(whole, COARSE), CHEAP)
    bad, looks, older = ground.older.merits(found, CHEAP)

    def rows(values: Any) -> NDArray[Any]:  # noqa: ANN401
        return np.broadcast_to(np.ravel(values), found.rows)

    pushes = np.sum([1 - rows(pulls(found.x, name)) for name in whole.rods], axis=0)
    grown = [
        rows(np.abs(arm.length - old.arms[name].length) > SAME_LENGTH).astype(int)
        for old in ground.layout.shafts.values()
        for name, arm in whole.shafts[old.name].arms.items()
    ]
    sized = np.sum(grown, axis=0)
    return [
        Verdict(
            merit=(int(bad[i]), int(looks[i])),
            older=int(older[i]),
            sized=int(sized[i]),
            pushes=int(pushes[i]),
            rank=0.0,
            whole=whole,
            row=i,
        )
        for i in np.flatnonzero(rows(found.x.ok)).tolist()
    ]
