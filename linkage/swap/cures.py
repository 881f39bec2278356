"""Cures of a swap that shuts the throttle, or falls short: solved, judged, ranked.

Each cure is a whole layout: arms sized and clocked so that full throttle is
reached, rods cut to fit, springs hooked to close, the pedal stop set last. The
candidates of all cures are judged together as rows, the best of each kind then
alone by the whole check. A cure that fails is kept with its reason.

Not here: what each cure may change (`swap.recipes`), the judging of rows
(`swap.judging`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.errors import AssemblyError
from linkage.quantities import say
from linkage.rules.angles import least_angle
from linkage.rules.engine import judge
from linkage.rules.examine import examine
from linkage.rules.finding import RANK
from linkage.search import Check
from linkage.search.arms import HOPELESS
from linkage.swap.changes import changes
from linkage.swap.ground import Ground, ground
from linkage.swap.judging import Candidates, Verdict, judged, wholly
from linkage.swap.led_otherwise import lined_sheath
from linkage.swap.recipes import (
    REVERSING,
    bearings_across,
    other_rod,
    same_way,
)
from linkage.swap.reverses import pulls, reversal
from linkage.swap.shares import Older, Share
from linkage.swap.solution import SideCure, Solution

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from linkage.model import Layout
    from linkage.rules.examine import Examined
    from linkage.swap.mirror import Swap
    from linkage.swap.recipe import Recipe

#: Share of the swing below which a search counts as not having got there.
NEARLY: Final = 0.9


def solve(
    swap: Swap, *, progress: Callable[[int, int], None] | None = None
) -> Solution:
    """Say what a swap reverses, and solve the cures.

    Parameters
    ----------
    swap : Swap
        From `swap_sides`.
    progress : callable, optional
        Called with the number of cures done and the total.

    Raises
    ------
    AssemblyError
        If the layout before the swap cannot be put together.
    """
    old = examine(swap.before)
    was = judge(old)
    older = Older(was)
    outcome: Check | None = None
    share = Share()
    try:
        outcome, share = checked(swap.after, older)
        found = reversal(swap, old, outcome.examined)
    except AssemblyError as error:
        found = reversal(swap, old, error)
    solution = Solution(
        swap=swap,
        reversal=found,
        outcome=outcome,
        cures=(),
        was_before=tuple(f for f in was.findings() if f.verdict == "do not fit"),
        share=share,
    )
    if solution.brings_nothing:
        return solution
    g = ground(swap, old, older)
    makers = [same_way] if found.opens else list(REVERSING)
    if found.opens is None:
        makers.insert(0, same_way)
    recipes = [maker(g) for maker in makers]
    if found.idle:
        recipes.insert(0, other_rod(g, found.idle))
    lined = lined_sheath(g) if found.opens else None
    recipes += [r for r in (lined, bearings_across(g)) if r is not None]
    cures = solved(g, recipes, progress)
    return replace(solution, cures=tuple(sorted(cures, key=rank)))


def checked(layout: Layout, older: Older) -> tuple[Check, Share]:
    """Return the whole check of a layout, and what of it is older than the swap.

    Raises
    ------
    AssemblyError
        If it cannot be put together.
    """
    x = examine(layout)
    found = judge(x)
    return Check(examined=x, findings=found.findings()), older.share(found)


def solved(
    g: Ground,
    recipes: Sequence[Recipe],
    progress: Callable[[int, int], None] | None = None,
) -> list[SideCure]:
    """Solve cures, tier by tier, all that still have none good in one go.

    Parameters
    ----------
    g : Ground
        What the search stands on.
    recipes : sequence of Recipe
        What each cure may change.
    progress : callable, optional
        Called with the number of cures done and the total.
    """
    tries = [_Try(g, recipe) for recipe in recipes]
    while left := [t for t in tries if not t.over]:
        found = [t.found() for t in left]
        for one, verdicts in zip(left, judged(g, found), strict=True):
            one.verdicts += [replace(v, tier=one.tier) for v in verdicts]
        _settle(left, good=True)
        if progress is not None and any(not t.over for t in tries):
            progress(sum(t.over for t in tries), len(tries))
    _settle([t for t in tries if t.best is None], good=False)
    if progress is not None:
        progress(len(tries), len(tries))
    return [t.cure() for t in tries]


class _Try:
    """A cure that is worked on: its candidates, and the best once that is known."""

    def __init__(self, g: Ground, recipe: Recipe) -> None:
        self.g = g
        self.recipe = recipe
        #: What cannot be tried at all has nothing left to be searched.
        self.tier = len(recipe.tiers) if recipe.reason else 0
        self.reached = 0.0
        #: Judged by the cheap rules, or by all, but not alone.
        self.verdicts: list[Verdict] = []
        self.best: tuple[Check, Share] | None = None
        self._waiting: list[Candidates] = []

    @property
    def over(self) -> bool:
        """Whether the best is known, or nothing is left to be searched."""
        done = self.tier == len(self.recipe.tiers) and not self._waiting
        return done or self.best is not None

    def found(self) -> list[Candidates]:
        """Search on, tier by tier, until there are candidates near to their aims.

        Those that are far from them wait, and are only judged where none is near.
        """
        while self.tier < len(self.recipe.tiers):
            found = self.recipe.tiers[self.tier](self.g)
            self.tier += 1
            best = [float(c.reached.max()) for c in found]
            self.reached = min(max([self.reached, *best]), 1.0)
            near = [c for c in found if c.rank.min() <= HOPELESS]
            if near:
                return near
            self._waiting += found
        waiting, self._waiting = self._waiting, []
        return [] if self.verdicts else waiting

    def first_alone(self) -> None:
        """Check the best candidate alone; keep it where there is nothing to object."""
        if self.verdicts:
            first = min(self.verdicts, key=lambda v: v.order)
            if first.good:
                again = wholly([first], self.g)[0]
                if again.good:
                    self.best = checked(first.layout, self.g.older)

    def cure(self) -> SideCure:
        """Return the cure, or why there is none."""
        g, recipe = self.g, self.recipe
        if self.best is None:
            reason = recipe.reason or nothing(self.reached)
            return SideCure(name=recipe.name, title=recipe.title, reason=reason)
        outcome, share = self.best
        layout = outcome.examined.layout
        title = recipe.titled(layout) if recipe.titled else recipe.title
        if share.forbidden:
            brings = "; ".join(f"{f.code}: {f.text}" for f in share.forbidden)
            reason = f"nothing is offered that brings a fault like this: {brings}"
            return SideCure(name=recipe.name, title=title, reason=reason)
        return SideCure(
            name=recipe.name,
            title=title,
            layout=layout,
            outcome=outcome,
            changes=changes(g.layout, layout, clamped=g.swap.beyond),
            pushes=_pushing(g, outcome.examined),
            share=share,
            reason="; ".join(f"{f.short} [{f.code}]" for f in outcome.reasons),
        )


def _settle(tries: Sequence[_Try], *, good: bool) -> None:
    """Find the best of each cure; where it must be good, among those alone that may be."""
    if good:
        for one in tries:
            one.first_alone()
    left = [t for t in tries if t.best is None]
    some = [[v for v in t.verdicts if v.good or not good] for t in left]
    whole = [v for verdicts in some for v in verdicts]
    again = iter(wholly(whole, left[0].g) if left else ())
    for one, verdicts in zip(left, some, strict=True):
        judged_now = [next(again) for _ in verdicts]
        one.verdicts = [v for v in one.verdicts if v not in verdicts] + judged_now
        best = min(judged_now, key=lambda v: v.order, default=None)
        if best is not None and (best.good or not good):
            one.best = checked(best.layout, one.g.older)


def rank(cure: SideCure) -> tuple[float, ...]:
    """Return the order of cures; less is better.

    What mends the swap first; then verdict, looks, new parts, pull before push, less
    work, the larger least angle.
    """
    if cure.outcome is None or cure.changes is None:
        return (1.0, 3.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    return (
        float(not cure.mends_the_swap),
        float(RANK[cure.outcome.verdict]),
        float(cure.looks),
        float(len(cure.changes.parts)),
        float(cure.pushes),
        float(len(cure.changes.work)),
        -least_angle(cure.outcome.examined),
    )


def _pushing(g: Ground, x: Examined) -> int:
    """Return how many rods beyond the shaft that stays push."""
    way = x.layout.path_to(x.layout.main.shaft)
    first = [p.driver.shaft for p in way].index(g.swap.beyond)
    return sum(not bool(pulls(x, p.rod.name)) for p in way[first:])


def nothing(reached: float) -> str:
    """Return why no candidate could be judged, from the best share of the swing."""
    if reached >= NEARLY:
        return "no arm lengths and angles within reach can be put together so"
    if reached > 0:
        most = say(reached, "fraction", 0)
        return f"no arm lengths and angles within reach open it further than {most}"
    return (
        "no arm lengths and angles within reach turn the lever the opening way "
        "and reach through the travel"
    )
