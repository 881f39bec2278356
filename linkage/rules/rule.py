"""A rule as one object, and what it finds over rows.

All that is known of a rule stands in it: what it needs, how it judges, the limits
it reads, what silences it, its words, where its cures come from. What it finds
is data; a sentence is made of it when it is asked for.

Not here: the rules (`rules.order`), who is silent (`rules.engine`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from functools import cache
from graphlib import TopologicalSorter
from typing import TYPE_CHECKING, Any, Final, Literal, TypeAlias

import numpy as np

from linkage.model.called import a_rod, all_rods, called, part_name
from linkage.model.columns import pick
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from linkage.model.columns import Number, Truth
    from linkage.rules.examine import Examined

#: What a rule needs to be worked out, cheap before dear.
Need: TypeAlias = Literal["motion", "dead centres", "rock", "forces"]
NEEDS: Final[tuple[Need, ...]] = ("motion", "dead centres", "rock", "forces")
#: What can be judged without any spring, weight or friction.
GEOMETRY: Final = NEEDS[:3]

_PLAIN: Final = (int, str, type(None), Ref)

#: A short sentence: what is found, and its number with what is asked; either alone
#: reads as a clause, both together as "what: number".
Short: TypeAlias = "tuple[str, str]"

#: From good to bad.
FITS, LOOK, BAD = range(3)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outcome:
    """What one rule finds at one part, in every row.

    Parameters
    ----------
    about : Ref
        The part.
    part : tuple
        What tells it from others about the same part: a hole, a side, a
        failure, another plate. Data that can be compared and hashed.
    rank : int or column
        `FITS`, `LOOK` or `BAD`.
    value, limit : float or column, optional
        What was found and what it is held against. [SI]
    kind : str
        Kind of both; a key of `quantities.SHOWN`.
    digits : int, optional
        Digits after the point with which both are said, in the unit of `SHOWN`, where
        those are not the usual ones; they take more where both would read alike.
    at : float or column, optional
        Pad travel at which it was found; nan where in the whole travel. [m]
    applies : bool or column
        Whether the rule has anything to say.
    told : bool or column
        Whether it is told: another rule may name what is wrong, and this one
        only silence others.
    order : float or column
        Findings of one rule are told in rising order.
    facts : mapping of str to number, column or data
        What else the words need.
    kinds : mapping of str to str
        Of every rod whether it is a ``rod`` or a ``cable``; empty where all are rods.
        Set by who hears the rule, so that no rule need tell.
    """

    about: Ref
    part: tuple[Any, ...] = ()
    rank: Any = FITS
    value: Any = None
    limit: Any = None
    kind: str = "ratio"
    digits: int | None = None
    at: Any = None
    applies: Truth = True
    told: Truth = True
    order: Number = 0.0
    facts: Mapping[str, Any] = field(default_factory=dict)
    kinds: Mapping[str, str] = field(default_factory=dict)

    @property
    def called(self) -> str:
        """The rod or cable that it is about, and its name."""
        return called(self.kinds, self.about.name)

    @property
    def is_cable(self) -> bool:
        """Whether it is about a cable."""
        return self.about.kind == "rod" and self.kinds.get(self.about.name) == "cable"

    @property
    def a_rod(self) -> str:
        """What one that joins arms is in its layout; see `model.called.a_rod`."""
        return a_rod(self.kinds)

    @property
    def rods(self) -> str:
        """What they are together; see `model.called.all_rods`."""
        return all_rods(self.kinds)

    def rod(self, name: str) -> str:
        """Return what one by that name is, a rod or a cable, and its name."""
        return called(self.kinds, name)

    def part_name(self, ref: Ref) -> str:
        """Return a part in words, a cable as one."""
        return part_name(self.kinds, ref)

    def rank_of(self, i: int) -> int:
        """Return the rank of one row."""
        return int(_row(self.rank, i))

    def order_of(self, i: int) -> float:
        """Return the order of one row."""
        return float(_row(self.order, i))

    def row(self, i: int) -> Outcome:
        """Return the outcome of one row, all numbers floats."""
        return Outcome(**{n: _row(getattr(self, n), i) for n in self.__slots__})


def _row(value: Any, i: int) -> Any:  # noqa: ANN401
    if isinstance(value, _PLAIN):
        return value
    if isinstance(value, np.ndarray) and value.ndim:
        return value[min(i, len(value) - 1), 0].item()
    if isinstance(value, np.generic | np.ndarray):
        return value.item()
    if isinstance(value, Mapping):
        return {key: _row(v, i) for key, v in value.items()}
    return tuple(_row(v, i) for v in value) if isinstance(value, tuple) else value


def ranked(fits: Truth, otherwise: int = BAD) -> Any:  # noqa: ANN401
    """Return the rank where something fits, and where it does not.

    Write what fits so that nan does not pass.
    """
    return pick(fits, FITS, otherwise)


def graded(fits: Truth, not_bad: Truth) -> Any:  # noqa: ANN401
    """Return the rank of what may fit, be bad, or lie between and ask for a look."""
    return pick(not_bad, pick(fits, FITS, LOOK), BAD)


@dataclass(frozen=True, slots=True, kw_only=True)
class Silence:
    """When another rule's finding leaves a rule nothing to say.

    Parameters
    ----------
    by : str
        Code of the other rule.
    at_least : int
        Rank from which it silences.
    same : bool
        Only where both are about the same part (and hole, where the other names
        one).
    keeps_good : bool
        Whether what fits is told all the same.
    """

    by: str
    at_least: int = BAD
    same: bool = False
    keeps_good: bool = False


#: Where pressing shuts a plate the travel means nothing, and forces only repeat it.
SHUT: Final = Silence(by="opening-sense")
#: Where a rod jams the same.
JAM: Final = Silence(by="reach")


def at_pad(o: Outcome) -> str:
    """Return the place in the travel in words."""
    if o.at is None:
        return ""
    return "whole travel" if np.isnan(o.at) else f"at pad {say(o.at, 'length')}"


def the_plate(name: str) -> str:
    """Return a throttle in a short sentence; the only one is the plate.

    >>> the_plate("throttle"), the_plate("front")
    ('the plate', 'plate `front`')
    """
    return "the plate" if name == "throttle" else f"plate `{name}`"


def fixed(words: str) -> Callable[[Outcome], str]:
    """Return what says the same of every outcome."""
    return lambda _: words


def about(o: Outcome) -> str:
    """Return the part in words."""
    return o.part_name(o.about)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rule:
    """One rule.

    Parameters
    ----------
    code : str
        Its name, for example ``dead-centre``.
    needs : {"motion", "dead centres", "rock", "forces"}
        What has to be worked out for it.
    judge : callable
        From an examined layout, one or many as rows, to outcomes.
    words : callable
        From the outcome of one row to one sentence.
    meaning : str
        What it looks at, for docs/findings.md.
    verdicts : str
        Which verdicts it gives, in words.
    refuses : bool
        Whether ``do not fit`` is among them.
    limits : tuple of str
        Limits that it reads.
    silenced_by : tuple of Silence
        Findings of other rules that leave it nothing to say.
    springless : bool
        Whether a rule of force speaks of a layout without springs too.
    cures : tuple of str
        Kinds of changes that may mend it; the parts follow from the finding.
    cure : str
        The same in words, for docs/findings.md.
    who, place : callable
        From the outcome of one row to the part, and to the place in the travel,
        in words.
    advice : callable, optional
        From the outcome of one row to what to do where no change of the layout is
        to be sought; empty where there is nothing.
    advised_last : bool
        Whether a change that was solved again is worth more than the advice.
    name : str
        What it is called in a sentence; its code where none is given. ``{rod}`` and
        ``{rods}`` stand for what the layout has, rods or cables.
    short : callable, optional
        From the outcome of one row to what is found, and its number, for one line of a
        screen; the long sentence where not given.
    task : callable, optional
        The advice for one line of a screen; the long one where not given.
    hand : bool
        Whether it is about a hand lever: then it judges the layout as the hand sees it.
    """

    code: str
    needs: Need = "motion"
    judge: Callable[[Examined], Iterable[Outcome]]
    words: Callable[[Outcome], str]
    meaning: str
    verdicts: str = "fits, or do not fit"
    refuses: bool = True
    limits: tuple[str, ...] = ()
    silenced_by: tuple[Silence, ...] = ()
    springless: bool = False
    cures: tuple[str, ...] = ()
    cure: str = ""
    who: Callable[[Outcome], str] = about
    place: Callable[[Outcome], str] = at_pad
    advice: Callable[[Outcome], str] | None = None
    advised_last: bool = False
    name: str = ""
    short: Callable[[Outcome], Short] | None = None
    task: Callable[[Outcome], str] | None = None
    hand: bool = False

    @property
    def called(self) -> str:
        """What it is called in a sentence."""
        return self.called_in({})

    def called_in(self, kinds: Mapping[str, str]) -> str:
        """Return the same in a layout of whose rods some are cables, by name."""
        return self.pattern.format(rod=a_rod(kinds), rods=all_rods(kinds))

    @property
    def pattern(self) -> str:
        """The same with ``{rod}`` and ``{rods}`` open."""
        return self.name or self.code.replace("-", " ")

    def brief(self, o: Outcome) -> Short:
        """Return what is found, and its number, for one line of a screen."""
        return self.short(o) if self.short else (self.words(o), "")

    def where(self, o: Outcome) -> str:
        """Return part and place in the travel, in words."""
        return ", ".join(filter(None, (self.who(o), self.place(o))))


@cache
def silencers_first(rules: tuple[Rule, ...]) -> tuple[Rule, ...]:
    """Return rules so that each comes after those among them that silence it.

    Raises
    ------
    graphlib.CycleError
        If silences go round.
    """
    by_code = {rule.code: rule for rule in rules}
    graph = {
        code: [s.by for s in rule.silenced_by if s.by in by_code]
        for code, rule in by_code.items()
    }
    return tuple(by_code[code] for code in TopologicalSorter(graph).static_order())


def with_silencers(rule: Rule, rules: Iterable[Rule]) -> tuple[Rule, ...]:
    """Return a rule and those of some others that may silence it, in their order."""
    by_code = {r.code: r for r in rules}
    codes: set[str] = set()
    ahead = [rule.code]
    while ahead:
        code = ahead.pop()
        if code in by_code and code not in codes:
            codes.add(code)
            ahead += [s.by for s in by_code[code].silenced_by]
    return tuple(r for code, r in by_code.items() if code in codes)
