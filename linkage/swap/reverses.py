"""What a swap reverses and what it does not, as data.

Each fact is one way of turning, pulling or acting, before and after, as a sense:
1, -1 or 0. `report.reverses` puts them into words.

Not here: the move itself (`swap.mirror`), what to do about it (`swap.cures`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, TypeAlias

import numpy as np

from linkage.errors import AssemblyError
from linkage.model.columns import first, least, pick
from linkage.model.refs import Ref
from linkage.motion.senses import pull_or_push
from linkage.records import dataclass
from linkage.rules.examine import Examined, examine
from linkage.rules.senses import STILL
from linkage.rules.spring_lines import closing_arm

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from linkage.model import Layout
    from linkage.model.columns import Number, Truth
    from linkage.swap.mirror import Swap

#: What a fact is about. ``shaft``: the way it turns as the pedal goes down, 1
#: anticlockwise for its viewer, 0 still. ``throttle``: the way it opens.
#: ``pedal``: 1 where pressing opens the throttle named, -1 where it shuts it, 0 where
#: a one-way rod lets go.
#: ``rod``: 1 where it pulls, -1 where it pushes. ``spring``: 1 where it acts the
#: closing way at rest, -1 the opening way.
Kind: TypeAlias = Literal["shaft", "throttle", "pedal", "rod", "spring"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One thing that a change of side reverses or leaves as it was.

    Parameters
    ----------
    kind : Kind
        What is told.
    about : Ref
        Of which shaft, throttle, rod or spring.
    before, after : {1, 0, -1}
        The sense; None afterwards where the parts cannot be put together.
    """

    kind: Kind
    about: Ref
    before: int
    after: int | None

    @property
    def reverses(self) -> bool:
        """Whether the two are known to differ."""
        return self.after is not None and self.after != self.before

    @property
    def wrong_hand(self) -> bool:
        """Whether it is a spring that shut the throttle and now pulls it open."""
        return self.kind == "spring" and self.before > 0 and (self.after or 0) < 0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reversal:
    """All that a swap reverses, or not.

    Parameters
    ----------
    facts : tuple of Fact
        The shaft that stays, those that moved, then throttles, rods and springs.
    opens : bool, optional
        Whether pressing opens the main throttle now; None where the parts
        cannot be put together.
    idle : tuple of str
        One-way rods that would have to do now what they cannot, and let go.
    fault : str
        Why the parts cannot be put together; empty where they can.
    """

    facts: tuple[Fact, ...]
    opens: bool | None
    fault: str = ""
    idle: tuple[str, ...] = ()

    def __repr__(self) -> str:
        turned = sum(f.reverses for f in self.facts)
        return f"<Reversal: {turned} of {len(self.facts)} facts reverse>"

    @property
    def wrong_hand(self) -> tuple[str, ...]:
        """Springs that shut the throttle before and now pull the opening way."""
        return tuple(f.about.name for f in self.facts if f.wrong_hand)


def reversal(
    swap: Swap, old: Examined | None = None, new: Examined | AssemblyError | None = None
) -> Reversal:
    """Return what a swap reverses.

    Parameters
    ----------
    swap : Swap
        From `swap_sides`.
    old, new : Examined, optional
        Before and after it, where they are solved already; an error where it
        cannot be put together afterwards.

    Raises
    ------
    AssemblyError
        If the layout before the swap cannot be put together.
    """
    old = old or examine(swap.before)
    if new is None:
        try:
            new = examine(swap.after)
        except AssemblyError as error:
            new = error
    fault = new.message if isinstance(new, AssemblyError) else ""
    x = None if isinstance(new, AssemblyError) else new
    shafts = (swap.beyond, *swap.moved)
    return Reversal(
        facts=tuple(facts(old, x, swap.after, shafts)),
        opens=None if x is None else opens(x, swap.after.main.name) > 0,
        fault=fault,
        idle=() if x is None else tuple(n for n in x.layout.rods if lets_go(x, n)),
    )


def facts(
    old: Examined, new: Examined | None, after: Layout, shafts: Iterable[str]
) -> Iterator[Fact]:
    """Yield what differs in sense between two layouts, and what does not.

    Parameters
    ----------
    old : Examined
        Before.
    new : Examined, optional
        After; None where it cannot be put together.
    after : Layout
        The layout afterwards: what it has in common with the other is told.
    shafts : iterable of str
        Those whose turning is told, none that is not in both.
    """
    before = old.layout

    def fact(kind: Kind, of: str, name: str, one: int, two: int | None) -> Fact:
        return Fact(kind=kind, about=Ref(of, name), before=one, after=two)  # type: ignore[arg-type]

    for name in shafts:
        now = None if new is None else int(way_of(new, name))
        yield fact("shaft", "shaft", name, int(way_of(old, name)), now)
    for name, throttle in before.throttles.items():
        yield fact(
            "throttle", "throttle", name, throttle.opens, after.throttles[name].opens
        )
    for name in before.throttles:
        now = None if new is None else opens(new, name)
        yield fact("pedal", "throttle", name, opens(old, name), now)
    for name in before.rods:
        now = None if new is None else _pull(new, name)
        yield fact("rod", "rod", name, _pull(old, name), now)
    for name in before.springs:
        now = None if new is None else _acts(new, name)
        yield fact("spring", "spring", name, _acts(old, name), now)


def _pull(x: Examined, rod: str) -> int:
    return 1 if pulls(x, rod) else -1


def _sign(value: float) -> int:
    return 1 if value > 0 else -1


def lets_go(x: Examined, rod: str) -> bool:
    """Tell whether a rod would have to do what it cannot: a hook push, a cup pull."""
    only = x.layout.rods[rod].only
    return bool(only) and (only == "pull") != bool(pulls(x, rod))


def opens(x: Examined, throttle: str) -> int:
    """Return 1 where pressing opens a throttle at first, -1 where it shuts it.

    0 where a rod on the way lets go, so that it does not move.
    """
    t = x.layout.throttles[throttle]
    if any(lets_go(x, link.rod.name) for link in x.layout.path_to(t.shaft)):
        return 0
    return _sign(t.opens * first(x.speeds.first[t.shaft]))


def way_of(x: Examined, shaft: str) -> Number:
    """Return the sense in which pressing turns a shaft at first; 0 where it is still."""
    rate = first(x.speeds.first[shaft])
    return pick(abs(rate) > STILL, np.sign(rate), 0)


def pulls(x: Examined, rod: str) -> Truth:
    """Tell whether a rod pulls at first while the pedal goes down."""
    driven = x.assembly.loop(rod).link.driven.shaft
    return first(pull_or_push(x.speeds.first[driven], x.lines[rod])) > 0


def closes_throughout(x: Examined, name: str) -> Number:
    """Return the least torque arm of a spring through the travel, positive closing.

    A spring about its shaft has none; it counts as 1 or -1 by its sense. [m]
    """
    spring = x.layout.springs[name]
    if spring.anchor is not None and spring.arm:
        return least(closing_arm(x, spring))
    stated = spring.known.shuts
    throttle = x.layout.throttle_on(spring.shaft)
    if not stated:
        return 1.0  # about a spindle it shuts unless it says otherwise
    return -stated * (way_of(x, spring.shaft) if throttle is None else throttle.opens)


def _acts(x: Examined, name: str) -> int:
    spring = x.layout.springs[name]
    if spring.anchor is not None and spring.arm:
        return _sign(first(closing_arm(x, spring)))
    return _sign(closes_throughout(x, name))
