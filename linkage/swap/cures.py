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
from typing import TYPE_CHECKING, Any, Final

from linkage.errors import AssemblyError
from linkage.quantities import say
from linkage.records import dataclass
from linkage.rules.angles import least_angle
from linkage.rules.examine import examine
from linkage.rules.finding import RANK
from linkage.search import Check, check
from linkage.search.arms import HOPELESS
from linkage.swap.changes import Changes, changes
from linkage.swap.ground import Ground, ground
from linkage.swap.judging import Candidates, Verdict, judged, wholly
from linkage.swap.recipes import REVERSING, Recipe, bearings_across, same_way
from linkage.swap.reverses import Reversal, pulls, reversal
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from linkage.model import Layout
    from linkage.rules.examine import Examined
    from linkage.swap.mirror import Swap

#: Share of the swing below which a search counts as not having got there.
NEARLY: Final = 0.9


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SideCure:
    """One way to make a swapped linkage work.

    Parameters
    ----------
    name : str
        Short, fit for a file's name.
    title : str
        In trade words.
    layout : Layout, optional
        Complete; None where nothing could be put together.
    outcome : Check, optional
        Its check; None with the layout.
    changes : Changes, optional
        What it takes, from the layout as swapped.
    pushes : int
        How many rods beyond the shaft that stays push.
    reason : str
        Why it fails; empty where it fits.
    """

    name: str
    title: str
    layout: Layout | None = None
    outcome: Check | None = None
    changes: Changes | None = None
    pushes: int = 0
    reason: str = ""

    def __repr__(self) -> str:
        return f"<SideCure {self.name!r}: {'fits' if self.fits else 'do not fit'}>"

    @property
    def fits(self) -> bool:
        """Whether it may be fitted."""
        return not self.reason

    @property
    def looks(self) -> int:
        """How many findings ask for a look."""
        found = self.outcome.findings if self.outcome else ()
        return sum(f.verdict == "look" for f in found)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solution(Tabular):
    """A swap with all that follows from it.

    Parameters
    ----------
    swap : Swap
        What was moved.
    reversal : Reversal
        What that reverses.
    outcome : Check, optional
        The check of the layout as swapped; None where it cannot be assembled.
    cures : tuple of SideCure
        Best first; empty where the swap fits as it is.
    """

    swap: Swap
    reversal: Reversal
    outcome: Check | None
    cures: tuple[SideCure, ...]

    def __repr__(self) -> str:
        fitting = sum(c.fits for c in self.cures)
        as_it_is = "fits" if self.fits_as_it_is else "does not fit"
        return (
            f"<Solution: {as_it_is} as it is, {fitting} of {len(self.cures)} cures fit>"
        )

    def columns(self) -> dict[str, Any]:
        """Return one row a cure, by the names of ``--json``."""
        return {
            "name": [c.name for c in self.cures],
            "title": [c.title for c in self.cures],
            "fits": [c.fits for c in self.cures],
            "looks": [c.looks for c in self.cures],
            "rods_that_push": [c.pushes for c in self.cures],
            "reason": [c.reason for c in self.cures],
        }

    @property
    def fits_as_it_is(self) -> bool:
        """Whether the swapped layout may be fitted with nothing changed."""
        return self.outcome is not None and self.outcome.verdict != "do not fit"

    @property
    def fits(self) -> bool:
        """Whether it fits as it is, or at least one cure does."""
        return self.fits_as_it_is or any(c.fits for c in self.cures)


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
    outcome: Check | None = None
    try:
        outcome = check(swap.after, cures=False)
        found = reversal(swap, old, outcome.examined)
    except AssemblyError as error:
        found = reversal(swap, old, error)
    if outcome is not None and outcome.verdict != "do not fit":
        return Solution(swap=swap, reversal=found, outcome=outcome, cures=())
    g = ground(swap, old)
    makers = [same_way] if found.opens else list(REVERSING)
    if found.opens is None:
        makers.insert(0, same_way)
    recipes = [maker(g) for maker in makers]
    across = bearings_across(g)
    if across is not None:
        recipes.append(across)
    cures = solved(g, recipes, progress)
    order = sorted(cures, key=rank)
    return Solution(swap=swap, reversal=found, outcome=outcome, cures=tuple(order))


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
        self.tier = 0
        self.reached = 0.0
        #: Judged by the cheap rules, or by all, but not alone.
        self.verdicts: list[Verdict] = []
        self.best: Check | None = None
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
                outcome = check(first.layout, cures=False)
                words = [f.verdict for f in outcome.findings]
                if words.count("fits") == len(words):
                    self.best = outcome

    def cure(self) -> SideCure:
        """Return the cure, or why there is none."""
        g, recipe = self.g, self.recipe
        if self.best is None:
            reason = recipe.reason or nothing(self.reached)
            return SideCure(name=recipe.name, title=recipe.title, reason=reason)
        layout = self.best.examined.layout
        return SideCure(
            name=recipe.name,
            title=recipe.titled(layout) if recipe.titled else recipe.title,
            layout=layout,
            outcome=self.best,
            changes=changes(g.layout, layout, clamped=g.swap.beyond),
            pushes=_pushing(g, self.best.examined),
            reason="; ".join(f"{f.code}: {f.text}" for f in self.best.reasons),
        )


def _settle(tries: Sequence[_Try], *, good: bool) -> None:
    """Find the best of each cure; where it must be good, among those alone that may be."""
    if good:
        for one in tries:
            one.first_alone()
    left = [t for t in tries if t.best is None]
    some = [[v for v in t.verdicts if v.good or not good] for t in left]
    again = iter(wholly([v for verdicts in some for v in verdicts]))
    for one, verdicts in zip(left, some, strict=True):
        judged_now = [next(again) for _ in verdicts]
        one.verdicts = [v for v in one.verdicts if v not in verdicts] + judged_now
        best = min(judged_now, key=lambda v: v.order, default=None)
        if best is not None and (best.good or not good):
            one.best = check(best.layout, cures=False)


def rank(cure: SideCure) -> tuple[float, ...]:
    """Verdict, looks, new parts, pull before push, less work, the larger least angle."""
    if cure.outcome is None or cure.changes is None:
        return (3.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    verdict = float(RANK[cure.outcome.verdict])
    angle = least_angle(cure.outcome.examined)
    made, done = len(cure.changes.parts), len(cure.changes.work)
    return (
        verdict,
        float(cure.looks),
        float(made),
        float(cure.pushes),
        float(done),
        -angle,
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
