"""Rules over every row: ordered, silenced, collected.

Not here: what a rule is (`rules.rule`), which there are (`rules.order`), judging by
all of them (`rules.engine`).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from itertools import groupby
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final, NamedTuple, TypeAlias

import numpy as np

from linkage.model.called import rod_kinds
from linkage.model.columns import pick, some
from linkage.rules.finding import VERDICTS, Finding
from linkage.rules.rule import (
    BAD,
    FITS,
    LOOK,
    NEEDS,
    Need,
    Outcome,
    Rule,
    silencers_first,
)
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Iterator, Mapping

    from numpy.typing import NDArray

    from linkage.model.columns import Truth
    from linkage.model.refs import Ref
    from linkage.rules.examine import Examined

    BoolArray = NDArray[np.bool_]

#: Rule, part, and what tells it from others about the same part.
Place: TypeAlias = "tuple[str, Ref, tuple[Hashable, ...]]"

#: What means nothing where there is no working travel.
MOVED: Final = frozenset({"forces", "rock"})
#: Less than any rank.
NOT_TOLD: Final = -1


class _Told(NamedTuple):
    """An outcome, in which rows it speaks, and with what weight it silences."""

    rule: Rule
    outcome: Outcome
    told: Truth
    #: Its rank where it is not silenced itself, else less than any.
    weight: Any
    #: Its rank where it found something that another names, else less than any.
    hidden: Any = NOT_TOLD

    @property
    def place(self) -> Place:
        return self.rule.code, self.outcome.about, self.outcome.part


class Judged(Tabular):
    """What rules find in every row of an examined layout; see `judged_by`.

    Parameters
    ----------
    x : Examined
        One layout, or many as rows.
    told : sequence of _Told
        In the order in which a fitter looks.
    heard : mapping of str to list of _Told
        By rule: all that was judged, what only silences others too.
    rules : sequence of Rule
        All that were judged.
    """

    def __init__(
        self,
        x: Examined,
        told: Iterable[_Told],
        heard: Mapping[str, list[_Told]] = MappingProxyType({}),
        rules: Iterable[Rule] = (),
    ) -> None:
        self.x = x
        self.rows = x.rows
        self._told = {t.place: t for t in told}
        self._judged = heard
        self._rules = tuple(rules)

    def __repr__(self) -> str:
        counts = np.bincount(self.verdicts, minlength=3)
        said = ", ".join(f"{n} {v}" for n, v in zip(counts, VERDICTS, strict=True))
        return f"<Judged {self.rows} row{'s' * (self.rows > 1)}: {said}>"

    def columns(self) -> dict[str, Any]:
        """Return the verdict of every row, how many looks, and the rules it breaks."""
        broken = [[] for _ in range(self.rows)]  # type: list[list[str]]
        for (code, *_), ranks in self.ranks.items():
            for i in np.flatnonzero(ranks == BAD).tolist():
                if code not in broken[i]:
                    broken[i].append(code)
        return {
            "row": np.arange(self.rows),
            "assembles": self._over(self.x.ok, bool),
            "verdict": [VERDICTS[v] for v in self.verdicts],
            "looks": self.count(LOOK),
            "breaks": list(map(tuple, broken)),
        }

    def _over(self, value: Any, kind: type = int) -> NDArray[Any]:  # noqa: ANN401
        if not isinstance(value, np.ndarray):
            return np.full(self.rows, value, dtype=kind)
        return np.broadcast_to(np.ravel(value), self.rows).astype(kind)

    @cached_property
    def ranks(self) -> Mapping[Place, NDArray[np.int_]]:
        """By place: `FITS`, `LOOK` or `BAD`, shape (rows,); `FITS` where not told."""
        return {
            place: self._over(pick(t.told, t.outcome.rank, FITS))
            for place, t in self._told.items()
        }

    @cached_property
    def told(self) -> Mapping[Place, NDArray[np.bool_]]:
        """By place: whether it is told, shape (rows,)."""
        return {p: self._over(t.told, bool) for p, t in self._told.items()}

    @cached_property
    def hidden(self) -> Mapping[Place, NDArray[np.int_]]:
        """By place: the rank of what was found and not told, shape (rows,).

        Another finding names what is wrong there, or nothing is. `NOT_TOLD` where
        nothing was found, or all is told.
        """
        return {
            t.place: self._over(t.hidden)
            for told in self._judged.values()
            for t in told
            if some(t.hidden > NOT_TOLD)
        }

    @cached_property
    def mute(self) -> Mapping[str, BoolArray]:
        """By code of a rule that refuses: where it could not be judged, shape (rows,).

        Another finding leaves it nothing to say of any part, nothing moves, or it
        cannot be put together. Codes that are judged in every row are left out.
        """
        ok, moves = (self._over(v, bool) for v in (self.x.ok, self.x.moves))
        out: dict[str, BoolArray] = {}
        for rule in self._rules:
            if rule.refuses:
                heard, *_ = _heard(rule, self._judged)
                judged = ok & self._over(heard, bool)
                judged = judged & moves if rule.needs in MOVED else judged
                if not judged.all():
                    out[rule.code] = ~judged
        return out

    def silenced(self, rule: Rule, about: Ref, part: tuple[Hashable, ...]) -> BoolArray:
        """Tell in which rows another finding leaves a rule nothing to say of a part.

        Parameters
        ----------
        rule : Rule
            What may be silenced.
        about : Ref
            The part.
        part : tuple
            What tells it from others about the same part, as in `Outcome`.

        Returns
        -------
        ndarray of bool, shape (rows,)
        """
        open_rows, good_only, alike = _heard(rule, self._judged)
        for other, lets in alike:
            if _same(other, about, part):
                open_rows = open_rows & lets
        return self._over(np.logical_not(open_rows) | good_only, bool)

    @cached_property
    def verdicts(self) -> NDArray[np.int_]:
        """Worst rank of every row, shape (rows,); `BAD` where nothing assembles."""
        ok = self._over(self.x.ok, bool)
        return np.where(
            ok, np.max([*self.ranks.values(), self._over(FITS)], axis=0), BAD
        )

    def count(self, rank: int) -> NDArray[np.int_]:
        """Return how many findings of every row have a rank, shape (rows,)."""
        told = self.told
        each = [told[p] & (ranks == rank) for p, ranks in self.ranks.items()]
        return np.sum([*each, self._over(0)], axis=0)

    def outcome(self, place: Place) -> Outcome:
        """Return what a rule finds at a place, over all rows."""
        return self._told[place].outcome

    def finding(self, place: Place, i: int = 0) -> Finding:
        """Return the finding at a place in one row, told or not."""
        t = self._told[place]
        return Finding(rule=t.rule, rows=t.outcome, row=i).advised()

    def findings(self, i: int = 0) -> tuple[Finding, ...]:
        """Return all that is told of one row, in the order in which a fitter looks.

        Good ones too: what was looked at is part of the answer.
        """
        told = [t for t in self._told.values() if _true(t.told, i)]
        places = []
        for _, same in groupby(told, key=lambda t: t.rule):
            ranked = sorted(same, key=lambda t: t.outcome.order_of(i))
            places += [t.place for t in ranked]
        return tuple(self.finding(place, i) for place in places)


def _true(truth: Truth, i: int) -> bool:
    """Return a truth in one row."""
    if isinstance(truth, np.ndarray) and truth.ndim:
        return bool(truth[min(i, len(truth) - 1), 0])
    return bool(truth)


def judged_by(
    x: Examined,
    rules: tuple[Rule, ...],
    needs: Iterable[Need] = NEEDS,
    *,
    refusing: bool = False,
) -> Judged:
    """Judge every row by some rules.

    A finding that is only the consequence of another is left out, so that what
    is named is what is wrong. A rule that is not judged silences none.

    Parameters
    ----------
    x : Examined
        From `examine`; one layout, or many as rows.
    rules : tuple of Rule
        In the order in which a fitter looks.
    needs : iterable of str
        Only rules that need one of these; all where not given. What was judged
        once is kept in ``x``, so that a caller may judge the cheap rules first,
        and go on with them and the dear ones.
    refusing : bool
        Only those that may say ``do not fit``.

    Raises
    ------
    LayoutError
        If a spring of a single layout is impossible.
    """
    wanted = set(needs)
    if "forces" in wanted:
        _ = x.forces.lines  # an impossible spring is refused, whatever else is wrong
    dearest = max(map(NEEDS.index, wanted))
    told: dict[str, list[_Told]] = {}
    for rule in silencers_first(rules):
        if NEEDS.index(rule.needs) <= dearest and (rule.refuses or not refusing):
            told[rule.code] = list(_spoken(rule, x, told))
    return Judged(
        x,
        (
            t
            for rule in rules
            if rule.needs in wanted
            for t in told.get(rule.code, ())
            if some(t.told)
        ),
        told,
        (rule for rule in rules if rule.code in told),
    )


def _spoken(
    rule: Rule, x: Examined, told: Mapping[str, list[_Told]]
) -> Iterator[_Told]:
    """Judge a rule, unless nothing that it could find would be told."""
    if rule.needs == "forces" and not (x.layout.springs or rule.springless):
        return
    open_rows: Truth = x.moves if rule.needs in MOVED else True
    heard, good_only, alike = _heard(rule, told)
    open_rows = open_rows & heard
    if not some(open_rows):
        return
    for o in _judged(rule, x):
        found = speaks = o.applies & open_rows
        if some(good_only):
            speaks = speaks & (np.logical_not(good_only) | (o.rank == FITS))
        for other, lets in alike:
            if _same(other, o.about, o.part):
                speaks = speaks & lets
        says = speaks & o.told
        weight = pick(speaks, o.rank, NOT_TOLD)
        hidden = pick(found & np.logical_not(says), o.rank, NOT_TOLD)
        yield _Told(rule, o, says, weight, hidden)


def _heard(
    rule: Rule, told: Mapping[str, list[_Told]]
) -> tuple[Truth, Truth, list[tuple[Outcome, Truth]]]:
    """Return where no other rule silences one, and where only what fits is told.

    Then the outcomes that silence it about the same part, and where they let it speak.
    """
    heard: Truth = True
    good_only: Truth = False
    alike: list[tuple[Outcome, Truth]] = []
    for silence in rule.silenced_by:
        for other in told.get(silence.by, ()):
            lets = other.weight < silence.at_least
            if silence.keeps_good:
                good_only = good_only | np.logical_not(lets)
            elif silence.same:
                alike.append((other.outcome, lets))
            else:
                heard = heard & lets
    return heard, good_only, alike


def _judged(rule: Rule, x: Examined) -> tuple[Outcome, ...]:
    """Return the outcomes of a rule, worked out once."""
    found = x.outcomes.get(rule.code)
    if found is None:
        kinds = rod_kinds(x.layout)
        found = x.outcomes[rule.code] = tuple(_sure(o, kinds) for o in rule.judge(x))
    return found


def _sure(o: Outcome, kinds: Mapping[str, str]) -> Outcome:
    """Return an outcome that knows its rods, and does not fit where it is not finite."""
    o = replace(o, kinds=kinds) if kinds else o
    if o.value is None:
        return o
    unsure = np.logical_not(np.isfinite(o.value)) & (o.rank == FITS) & o.applies
    return replace(o, rank=pick(unsure, BAD, o.rank)) if some(unsure) else o


def _same(other: Outcome, about: Ref, part: tuple[Hashable, ...]) -> bool:
    """Tell whether both are about the same part, and hole if the other names one."""
    return other.about == about and part[: len(other.part)] == other.part
