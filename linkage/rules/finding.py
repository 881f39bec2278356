"""What a check finds, with its number, limit and cure.

A finding is data: which rule, what it is about, how bad, how much. Its sentence
is made when it is asked for.

Not here: the rules (`rules.order`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final, Literal

from linkage.quantities import SHOWN
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable

    from linkage.model import Layout
    from linkage.model.refs import Ref
    from linkage.rules.rule import Outcome, Rule

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
    """

    text: str
    layout: Layout | None = None
    proven: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Finding:
    """The outcome of one rule at one part, in one layout.

    Parameters
    ----------
    rule : Rule
        Which rule.
    outcome : Outcome
        What it found, all numbers floats.
    cure : Cure, optional
        What would mend it.
    """

    rule: Rule
    outcome: Outcome
    cure: Cure | None = None

    @classmethod
    def of(cls, rule: Rule, outcome: Outcome) -> Finding:
        """Return what a rule found in one row, with its advice as a cure."""
        advice = rule.advice(outcome) if rule.advice else ""
        return cls(
            rule=rule, outcome=outcome, cure=Cure(text=advice) if advice else None
        )

    def __repr__(self) -> str:
        return f"<Finding {self.code} of {self.where}: {self.verdict}>"

    @property
    def code(self) -> str:
        """The rule's name, for example ``dead-centre``."""
        return self.rule.code

    @property
    def about(self) -> Ref:
        """The part."""
        return self.outcome.about

    @property
    def part(self) -> tuple[Any, ...]:
        """What tells it from others about the same part."""
        return self.outcome.part

    @property
    def verdict(self) -> Verdict:
        """How bad it is."""
        return VERDICTS[self.outcome.rank]

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
        return self.outcome.kind

    @property
    def place(self) -> tuple[str, Ref, tuple[Hashable, ...]]:
        """Rule, part, and what tells it from others about the same part.

        It tells two findings apart before and after a cure.
        """
        return self.code, self.outcome.about, self.outcome.part

    @property
    def where(self) -> str:
        """Part and place in the travel, in words."""
        return self.rule.where(self.outcome)

    @property
    def text(self) -> str:
        """One sentence for a person."""
        return self.rule.words(self.outcome)

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
            "cure": self.cure.text if self.cure else None,
        }


def worst(findings: Iterable[Finding]) -> Verdict:
    """Return the worst verdict; no finding at all fits."""
    return max((f.verdict for f in findings), key=RANK.__getitem__, default="fits")
