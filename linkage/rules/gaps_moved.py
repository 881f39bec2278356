"""The rule about gaps with the engine moved: rolled either way, risen and sunk.

Not here: the engine at rest (`rules.gaps`, `rules.own_gaps`), where the moved engine holds
its parts (`motion.rock`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.gaps import asked_of
from linkage.model import Obstacle
from linkage.model.columns import least
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.gaps import facts_of, over_travel, place_of
from linkage.rules.near_words import (
    asked_short,
    at_pad_or_rest,
    both,
    further,
    obstacle,
    part,
    touches,
)
from linkage.rules.own_gaps import NEAR
from linkage.rules.rule import JAM, SHUT, Outcome, Rule, Short, Silence, fixed, ranked
from linkage.rules.states import movement, seen, states

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from linkage.gaps import Part
    from linkage.model.columns import Number, Positions
    from linkage.rules.examine import Examined
    from linkage.rules.states import States


class _Moved:
    """What is found in all movements together."""

    def __init__(self, moved: States) -> None:
        self.moved = moved
        #: Where rods do not reach: another rule tells of that.
        self.torn = ~moved.over(moved.assembly.ok)
        #: Whether all is clear, and the least gap of all, by rows.
        self.clear = np.ones(moved.rows, dtype=bool)
        self.nearest = np.full(moved.rows, np.inf)

    def outcome(
        self,
        one: Part,
        other: Part | Obstacle,
        gap: Positions,
        ask: Number,
        why: str,
    ) -> Outcome:
        """Return what is found of two parts; with a mount gone they must not touch."""
        moved = self.moved
        ref = Ref("obstacle", other.name) if isinstance(other, Obstacle) else other.ref
        gap = over_travel(moved.x, gap)
        value = moved.over(least(gap))
        asks = np.broadcast_to(np.ravel(ask), moved.rows)[None]
        asks = np.where(moved.over(moved.lifted), 0.0, asks)
        left = np.where(self.torn, np.inf, value - asks)
        which = left.argmin(axis=0), np.arange(moved.rows)
        row = which[0] * moved.rows + which[1]
        worst, least_asked = value[which], asks[which]
        fits = self.torn[which] | ((worst >= least_asked) & (worst > 0))
        self.clear &= fits
        if isinstance(other, Obstacle):
            self.take(value)

        def there(values: Any) -> Any:  # noqa: ANN401
            return moved.number(moved.over(values).ravel()[row])

        return Outcome(
            about=one.ref,
            part=(ref, one.what),
            applies=moved.number(~fits),
            rank=ranked(moved.number(fits)),
            value=moved.number(worst),
            limit=moved.number(least_asked),
            kind="length",
            at=there(place_of(moved.x, gap)),
            facts=facts_of(
                one,
                other,
                why=why,
                roll=there(moved.roll),
                lift=there(moved.lift),
                seen=seen(moved.rest),
            ),
        )

    def take(self, value: Any) -> None:  # noqa: ANN401
        """Take note of how near some come, shape (count, rows)."""
        known = np.where(self.torn, np.inf, self.moved.over(value)).min(axis=0)
        self.nearest = np.minimum(self.nearest, known)

    def all_clear(self) -> Outcome:
        """Return that nothing comes too near."""
        return Outcome(
            about=Ref("engine"),
            applies=self.moved.number(self.clear),
            value=self.moved.number(self.nearest),
            limit=0.0,
            kind="length",
            at=np.nan,
        )


def _near(x: Examined) -> Iterator[Outcome]:
    # Nothing is moved for a layout that names no obstacle: it has no gaps.
    moved = states(x) if x.layout.obstacles else None
    if moved is None:
        return
    found, gaps = _Moved(moved), moved.x.gaps
    for name, each in gaps.to.items():
        one = x.layout.obstacles[name]
        for of, gap in zip(gaps.parts, each, strict=True):
            if of.held == {one.on} and not _travels(of, gap):
                continue  # neither moves: what is so at rest is so always
            ask = asked_of(x.layout, of, one, moved=True)
            yield found.outcome(of, one, gap, ask.gap, ask.why)
    for pair, gap in gaps.among(NEAR):
        yield found.outcome(*gaps.both(pair), gap, 0.0, "")
    found.take(gaps.nearest_pair(NEAR))
    yield found.all_clear()


def _travels(of: Part, gap: NDArray[Any]) -> bool:
    """Tell whether a part moves at all through the travel."""
    return of.bars.start.shape[-1] > 1 and gap.shape[-1] > 1


def _where(o: Outcome) -> str:
    return movement(o.facts["roll"], o.facts["lift"], o.facts["seen"])


def _words(o: Outcome) -> str:
    if not o.rank:
        return (
            "wherever the engine moves, no part comes too near to another or to an "
            f"obstacle; the least gap is {say(o.value, 'length')}"
        )
    begins = f"with the engine {_where(o)}: {part(o)}"
    if touches(o):
        return f"{begins} runs into {obstacle(o)}, {at_pad_or_rest(o)}"
    return (
        f"{begins} comes within {say(o.value, 'length')} of {obstacle(o)}, "
        f"{at_pad_or_rest(o)}; {asked_short(o)}"
    )


def _short(o: Outcome) -> Short:
    if not o.rank:
        return "gaps hold with the engine moved too", say(o.value, "length")
    where = f"with the engine {_where(o)}"
    if touches(o):
        return f"{part(o)} runs into {obstacle(o)} {where}", at_pad_or_rest(o)
    return (
        f"{part(o)} comes too near to {obstacle(o)} {where}",
        f"{say(o.value, 'length')} {at_pad_or_rest(o)}; {asked_short(o)}",
    )


def _who(o: Outcome) -> str:
    return "engine" if o.about == Ref("engine") else both(o)


def _further(o: Outcome) -> str:
    return "" if o.about == Ref("engine") else further(o)


MOVED: Final = Rule(
    code="engine-gap",
    needs="rock",
    judge=_near,
    name="gaps with the engine moved",
    words=_words,
    short=_short,
    who=_who,
    place=fixed("engine moved"),
    meaning="The same gaps, to obstacles and between its own parts, with the engine moved: "
    "rolled either way, risen and sunk by its lift, and both together, each over the whole "
    "travel; of a layout that names an obstacle. Rolled, as much is asked to an obstacle "
    "as at rest, but for what the limit across asks for the rolling itself; off a lost "
    "mount nothing may touch an obstacle, and its own parts may not touch each other "
    "either way.",
    limits=("gap_fixed", "gap_moving", "gap_exhaust"),
    silenced_by=(
        SHUT,
        JAM,
        Silence(by="engine-senses"),
        Silence(by="touched-at-rest", same=True),
    ),
    cures=(
        *("bracket", "steady", "catch", "arm offset"),
        *("spring anchor on engine", "spring anchor aside", "sheath point"),
    ),
    cure="a shaft bracketed to the body, an engine steady or catch, an arm slid along its "
    "shaft, or the obstacle moved",
    advice=_further,
    advised_last=True,
    task=_further,
)
