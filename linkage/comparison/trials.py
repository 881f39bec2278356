"""Each changed part set back alone and in pairs, solved, and judged by every rule.

All that are of one make-up are rows of one batch; those that are told are solved
again alone, and closely.

Not here: what can be set back (`comparison.units`).
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.errors import LinkageError
from linkage.model import same_make_up, stack
from linkage.records import dataclass
from linkage.rules.engine import judge
from linkage.rules.examine import SAMPLED, stop_set_last
from linkage.rules.governed import SENSE
from linkage.rules.governor_springs import OPENS_AGAIN, PARTED
from linkage.rules.room import parts
from linkage.rules.rule import BAD
from linkage.rules.senses import OPENING_SENSE
from linkage.search.fitting import check

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from linkage.comparison.units import Unit
    from linkage.model import Layout
    from linkage.rules.judged import Judged
    from linkage.search import Check

#: Most layouts that are solved: the singles, and pairs of the least effort.
MOST: Final = 160
#: Codes of rules that say that a plate is moved the wrong way: by a pedal, by a governor.
WRONG_WAY: Final = frozenset({OPENING_SENSE.code, SENSE.code})
#: What goes before the codes of rules about springs, of a pedal and of a governor.
SPRINGS: Final = ("spring", OPENS_AGAIN.code, PARTED.code)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trial:
    """One thing set back, or two, and what comes of it.

    Parameters
    ----------
    units : tuple of Unit
        One or two.
    layout : Layout
        The new layout with them set back, the pedal stop set last.
    outcome : Check
        By every rule.
    left : tuple of str
        Codes of rules that say ``do not fit`` still, as they did not of the old layout.
    """

    units: tuple[Unit, ...]
    layout: Layout
    outcome: Check
    left: tuple[str, ...]

    def __repr__(self) -> str:
        parts = " and ".join(f"{u.kind} {u.about}" for u in self.units)
        return f"<Trial of {parts}: {self.outcome.verdict}>"

    @property
    def opens(self) -> bool:
        """Whether pressing opens every plate, or a governor shuts it."""
        return WRONG_WAY.isdisjoint(f.code for f in self.outcome.reasons)

    @property
    def back(self) -> bool:
        """Whether all of it was so in the old layout."""
        return all(u.back for u in self.units)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tried:
    """The same as a first look sees it, one of many rows.

    Parameters
    ----------
    units : tuple of Unit
        One or two.
    layout : Layout
        The new layout with them set back.
    assembles, opens : bool
        Whether it can be put together, and whether pressing opens every plate, or a
        governor shuts it.
    reached : float
        Share of the swing to which the main throttle opens. [1]
    left : frozenset of str
        Codes of rules that say ``do not fit`` still, as they did not of the old layout.
    """

    units: tuple[Unit, ...]
    layout: Layout
    assembles: bool = False
    opens: bool = False
    reached: float = 0.0
    left: frozenset[str] = frozenset()

    def __repr__(self) -> str:
        parts = " and ".join(f"{u.kind} {u.about}" for u in self.units)
        return f"<Tried {parts}: {', '.join(sorted(self.left)) or 'nothing left'}>"

    @property
    def effort(self) -> float:
        """How much it takes."""
        return sum(u.effort for u in self.units)

    @property
    def back(self) -> bool:
        """Whether all of it was so in the old layout."""
        return all(u.back for u in self.units)

    @property
    def springs_alone(self) -> bool:
        """Whether nothing is left but springs to be hooked anew."""
        return all(code.startswith(SPRINGS) for code in self.left)


def try_all(
    new: Layout, some: Sequence[Unit], before: Iterable[str]
) -> tuple[Tried, ...]:
    """Return what comes of every unit alone, and of pairs that do more than each alone.

    Parameters
    ----------
    new : Layout
        As it is to be.
    some : sequence of Unit
        What can be set back, or be of the other hand.
    before : iterable of str
        Codes of the rules that say ``do not fit`` of the old layout.

    Returns
    -------
    tuple of Tried
        The least effort first.
    """
    return tuple(_judged(_rows(new, some), frozenset(before)))


def trials(
    tried: Sequence[Tried], before: Iterable[str], now: Iterable[str]
) -> tuple[Trial, ...]:
    """Return what mends the new layout, least change first, each solved alone.

    Parameters
    ----------
    tried : sequence of Tried
        From `try_all`.
    before, now : iterable of str
        Codes of the rules that say ``do not fit`` of the old and of the new layout.

    Returns
    -------
    tuple of Trial
        The least that leaves nothing that was not so before; where that is a pair or
        nothing does, what alone leaves least before it. Then a crank of the other hand, if the new
        layout does not open, and with it nothing is left but springs to be hooked
        anew. None where nothing does it.
    """
    older = frozenset(before)
    fresh = frozenset(now) - older
    shut = not WRONG_WAY.isdisjoint(fresh)
    back = [t for t in tried if t.back and t.assembles]
    alone = [t for t in back if len(t.units) == 1]
    whole = [t for t in back if not t.left][:1]
    told = whole
    if not whole or len(whole[0].units) > 1:
        less = [t for t in alone if not whole or t.effort < whole[0].effort]
        better = [t for t in less if (t.opens if shut else len(t.left) < len(fresh))]
        told = sorted(better, key=lambda t: len(t.left))[:1] + whole
        told = list(dict.fromkeys(told))
    if shut:
        hands = [t for t in tried if not t.back and t.opens and t.springs_alone]
        told += sorted(hands, key=lambda t: len(t.left))[:1]
    found = (_solved(t, older) for t in told)
    return tuple(t for t in found if t is not None)


def _rows(new: Layout, some: Sequence[Unit]) -> list[Tried]:
    """Return every unit alone, then pairs, the least effort first."""
    alone = [(u,) for u in some]
    pairs = [
        (a, b)
        for a, b in combinations(some, 2)
        if a.back and b.back and not a.holds & b.holds
    ]
    pairs.sort(key=lambda p: p[0].effort + p[1].effort)
    out = []
    for chosen in (*alone, *pairs)[:MOST]:
        layout = new
        try:
            for unit in chosen:
                layout = unit.put(layout)
        except LinkageError:
            continue
        out.append(Tried(units=chosen, layout=layout))
    return out


def _judged(rows: list[Tried], older: frozenset[str]) -> list[Tried]:
    """Judge rows, those of one make-up together; the least effort first."""
    groups: list[list[Tried]] = []
    for one in rows:
        for group in groups:
            if same_make_up(group[0].layout, one.layout):
                group.append(one)
                break
        else:
            groups.append([one])
    out = []
    for group in groups:
        for some in parts(group[0].layout, np.arange(len(group)), SAMPLED):
            few = [group[i] for i in some]
            try:
                x = stop_set_last(stack([r.layout for r in few]), SAMPLED)
                found = judge(x, refusing=True)
            except LinkageError:
                continue
            out += _told(few, found, older)
            x.forget()
    return sorted(_needed(out), key=lambda r: (r.effort, len(r.units)))


def _told(group: list[Tried], found: Judged, older: frozenset[str]) -> list[Tried]:
    count = len(group)
    reached = np.broadcast_to(np.ravel(found.x.throttle_share), count)
    ok = np.broadcast_to(np.ravel(found.x.ok), count)
    bad: list[set[str]] = [set() for _ in group]
    for (code, *_), ranks in found.ranks.items():
        for i in np.flatnonzero(np.broadcast_to(ranks, count) == BAD):
            bad[i].add(code)
    return [
        Tried(
            units=r.units,
            layout=r.layout,
            assembles=bool(ok[i]),
            opens=bool(ok[i]) and WRONG_WAY.isdisjoint(bad[i]),
            reached=float(reached[i]) if ok[i] else 0.0,
            left=frozenset(bad[i]) - older,
        )
        for i, r in enumerate(group)
    ]


def _needed(rows: list[Tried]) -> list[Tried]:
    """Leave out pairs of which one alone does as much."""
    alone = {r.units[0]: r for r in rows if len(r.units) == 1}

    def more(r: Tried) -> bool:
        ones = [alone[u] for u in r.units if u in alone]
        return r.assembles and all(
            r.opens > one.opens or len(r.left) < len(one.left) for one in ones
        )

    return [r for r in rows if len(r.units) == 1 or more(r)]


def _solved(one: Tried, older: frozenset[str]) -> Trial | None:
    """Solve what is told alone, with its pedal stop set last, by the whole check."""
    try:
        layout = stop_set_last(one.layout).layout
        outcome = check(layout, cures=False)
    except LinkageError:
        return None
    left = dict.fromkeys(f.code for f in outcome.reasons if f.code not in older)
    return Trial(units=one.units, layout=layout, outcome=outcome, left=tuple(left))
