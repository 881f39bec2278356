"""One cure: finished as a whole layout, judged by the check, with its reason.

Not here: which arms a cure changes (`swap.cures`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from linkage.errors import LinkageError
from linkage.quantities import say
from linkage.rules import Check, check
from linkage.rules.angles import least_angle
from linkage.rules.examine import Examined, stop_set_last
from linkage.rules.finding import RANK
from linkage.rules.senses import pulls
from linkage.swap.changes import Changes, changes
from linkage.swap.recipes import alongside
from linkage.swap.rehook import rehooked, sense_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from linkage.model import Layout
    from linkage.swap.ground import Ground
    from linkage.swap.recipes import Candidate

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

    @property
    def fits(self) -> bool:
        """Whether it may be fitted."""
        return not self.reason

    @property
    def looks(self) -> int:
        """How many findings ask for a look."""
        return 0 if self.outcome is None else sum(f.verdict == "look" for f in self.outcome.findings)  # fmt: skip


def rank(cure: SideCure) -> tuple[float, ...]:
    """Verdict, looks, new parts, pull before push, less work, the larger least angle."""
    if cure.outcome is None or cure.changes is None:
        return (3.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    verdict = float(RANK[cure.outcome.verdict])
    least = least_angle(cure.outcome.examined)
    made, done = len(cure.changes.parts), len(cure.changes.work)
    return (verdict, float(cure.looks), float(made), float(cure.pushes), float(done), -least)  # fmt: skip


def _pushing(g: Ground, x: Examined) -> int:
    """Return how many rods beyond the shaft that stays push."""
    way = x.layout.path_to(x.layout.main.shaft)
    names = [p.driver.shaft for p in way]
    return sum(not pulls(x, p.rod.name)[0] for p in way[names.index(g.swap.beyond) :])


def _finished(g: Ground, layout: Layout) -> Layout:
    """Return a candidate with stops turned over, springs hooked and the pedal stop set."""
    layout = alongside(g, layout)
    _, x = stop_set_last(layout)
    stops = {
        name: replace(stop, turn=-stop.turn)
        if stop.shaft in g.swap.moved and _turned_over(g, x, stop.shaft)
        else stop
        for name, stop in layout.stops.items()
    }
    _, x = stop_set_last(replace(layout, stops=stops))
    return stop_set_last(rehooked(g.old, x))[0]


def _turned_over(g: Ground, x: Examined, shaft: str) -> bool:
    """Tell whether a shaft now turns against the way its stop was moved along."""
    if x.layout.throttle_on(shaft) is not None:
        return False  # the stop went with its carburettor
    return sense_of(x, shaft) * sense_of(g.old, shaft) * g.swap.senses[shaft] < 0


def _judge(g: Ground, candidate: Candidate) -> tuple[Layout, Check] | None:
    try:
        layout = _finished(g, candidate.layout)
        return layout, check(layout, cures=False)
    except LinkageError:
        return None


def _reason(outcome: Check) -> str:
    return "; ".join(f"{f.code}: {f.text}" for f in outcome.reasons)


def _merit(outcome: Check) -> tuple[float, float]:
    """Return how bad a layout is, then how many findings ask for a look; 0 is best."""
    looks = sum(f.verdict == "look" for f in outcome.findings)
    return float(RANK[outcome.verdict] + len(outcome.reasons)), float(looks)


def none(name: str, title: str, reason: str) -> SideCure:
    """Return a cure that has no layout, with the reason."""
    return SideCure(name=name, title=title, reason=reason)


def best_of(
    g: Ground, name: str, title: str, tiers: Iterator[Sequence[Candidate]]
) -> SideCure:
    """Judge candidates tier by tier, and stop at the first with nothing to object."""
    judged: list[tuple[tuple[float, float], Layout, Check]] = []
    reached = 0.0
    for tier in tiers:
        for candidate in tier:
            reached = max(reached, min(candidate.reached, 1.0))
            one = _judge(g, candidate)
            if one is not None:
                judged.append((_merit(one[1]), *one))
        if any(merit == (0.0, 0.0) for merit, _, _ in judged):
            break
    if not judged:
        return none(name, title, nothing(reached))
    _, layout, outcome = min(judged, key=lambda j: j[0])
    made = changes(g.layout, layout, clamped=g.swap.beyond)
    return SideCure(
        name=name,
        title=title,
        layout=layout,
        outcome=outcome,
        changes=made,
        pushes=_pushing(g, outcome.examined),
        reason=_reason(outcome),
    )


def nothing(reached: float) -> str:
    """Return why no candidate could be judged, from the best share of the swing."""
    if reached >= NEARLY:
        return "no arm lengths and angles within reach can be put together so"
    if reached > 0:
        return f"no arm lengths and angles within reach open it further than {say(reached, 'fraction', 0)}"  # fmt: skip
    return "no arm lengths and angles within reach turn the lever the opening way and reach through the travel"  # fmt: skip
