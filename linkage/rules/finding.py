"""What a check finds, with its number, limit and cure.

A finding is data: which rule, what it is about, how bad, how much. Its sentence
is made when it is asked for.

Not here: the rules (`rules.order`).
"""

from __future__ import annotations

import math
from contextlib import nullcontext
from dataclasses import field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final, Literal

from linkage.quantities import SHOWN
from linkage.records import dataclass, short
from linkage.shown_units import closely

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Mapping
    from contextlib import AbstractContextManager

    from linkage.model import Layout
    from linkage.model.refs import Ref
    from linkage.rules.rule import Outcome, Rule, Short

Verdict = Literal["fits", "look", "do not fit"]

#: From good to bad; its index is the rank.
VERDICTS: Final[tuple[Verdict, ...]] = ("fits", "look", "do not fit")
RANK: Final[dict[str, int]] = {v: i for i, v in enumerate(VERDICTS)}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cure:
    """A change that mends a finding.

    Parameters
    ----------
    text : str
        What to change, with the number.
    layout : Layout, optional
        The changed layout; None where the cure is not one of the file.
    proven : bool
        Whether the changed layout was solved again and shown to mend the
        finding without a new reason not to fit.
    barred : bool
        Whether it only names the fixed parts for which none was looked for.
    steps : tuple of str
        What to do, one thing after the other, each with its number.
    outcome : str
        What comes of it, as far as that was solved.
    leaves : str
        What is left to be mended or looked at after it.
    rods : mapping of str to float
        Length of every rod after it, between joint centres. [m]
    cut : frozenset of str
        Rods that are cut anew.
    sets_stop : bool
        Whether the pedal stop is set anew.
    """

    text: str
    layout: Layout | None = None
    proven: bool = False
    barred: bool = False
    steps: tuple[str, ...] = ()
    outcome: str = ""
    leaves: str = ""
    rods: Mapping[str, float] = field(default_factory=dict)
    cut: frozenset[str] = frozenset()
    sets_stop: bool = False


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class Finding:
    """The outcome of one rule at one part, in one layout.

    Parameters
    ----------
    rule : Rule
        Which rule.
    rows : Outcome
        What it found, in one layout or many rows.
    row : int
        Which row.
    cure : Cure, optional
        What would mend it.
    """

    rule: Rule
    rows: Outcome
    row: int = 0
    cure: Cure | None = None

    @cached_property
    def outcome(self) -> Outcome:
        """What it found in the row, all numbers floats."""
        return self.rows.row(self.row)

    def advised(self) -> Finding:
        """Return the finding with its rule's own advice as a cure, if it has any.

        None is made of a number that is not known.
        """
        unknown = self.value is not None and math.isnan(self.value)
        if self.rule.advice is None or unknown:
            return self
        advice = self.rule.advice(self.outcome)
        return replace(self, cure=Cure(text=advice)) if advice else self

    def __repr__(self) -> str:
        return f"<Finding {self.code} of {short(self.where, 100)}: {self.verdict}>"

    @property
    def code(self) -> str:
        """The rule's name, for example ``dead-centre``."""
        return self.rule.code

    @property
    def called(self) -> str:
        """What its rule is called in a sentence about this layout."""
        return self.rule.called_in(self.rows.kinds)

    @property
    def about(self) -> Ref:
        """The part."""
        return self.rows.about

    @property
    def part(self) -> tuple[Any, ...]:
        """What tells it from others about the same part."""
        return self.rows.part

    @property
    def verdict(self) -> Verdict:
        """How bad it is."""
        return VERDICTS[self.rows.rank_of(self.row)]

    @property
    def value(self) -> float | None:
        """What was found. [SI]."""
        return self.outcome.value

    @property
    def limit(self) -> float | None:
        """What it is held against. [SI]."""
        return self.outcome.limit

    @property
    def kind(self) -> str:
        """Kind of value and limit; a key of `quantities.SHOWN`."""
        return self.rows.kind

    @property
    def place(self) -> tuple[str, Ref, tuple[Hashable, ...]]:
        """Rule, part, and what tells it from others about the same part.

        It tells two findings apart before and after a cure.
        """
        return self.code, self.rows.about, self.rows.part

    @property
    def where(self) -> str:
        """Part and place in the travel, in words."""
        return self.rule.where(self.outcome)

    def closely(self) -> AbstractContextManager[None]:
        """Let sentences tell its number from the limit that it misses, in a block."""
        o = self.outcome
        if self.verdict == "fits" or o.value is None or o.limit is None:
            return nullcontext()
        digits = SHOWN[o.kind].decimals if o.digits is None else o.digits
        return closely(o.kind, (o.value, o.limit), digits)

    @property
    def text(self) -> str:
        """One sentence for a person."""
        with self.closely():
            return self.rule.words(self.outcome)

    @property
    def brief(self) -> Short:
        """What is found, and its number, for one line of a screen."""
        with self.closely():
            return self.rule.brief(self.outcome)

    @property
    def clause(self) -> str:
        """What is found, as the verdict says it: ``the plate opens only 57.0%``."""
        return self.brief[0]

    @property
    def short(self) -> str:
        """The sentence for one line of a screen: what is found, and its number."""
        return ": ".join(filter(None, self.brief))

    def record(self) -> dict[str, Any]:
        """Return the finding as plain data, in the shown unit, for ``--json``."""
        row = SHOWN[self.kind]

        def out(value: float | None) -> float | None:
            if value is None or not math.isfinite(value):
                return None
            return round(value / row.factor, 6)

        return {
            "code": self.code,
            "verdict": self.verdict,
            "where": self.where,
            "value": out(self.value),
            "limit": out(self.limit),
            "unit": row.unit,
            "text": self.text,
            "short": self.short,
            "cure": self.cure.text if self.cure else None,
        }


def worst(findings: Iterable[Finding]) -> Verdict:
    """Return the worst verdict; no finding at all fits."""
    return max((f.verdict for f in findings), key=RANK.__getitem__, default="fits")
