"""What a check finds: one frozen record a rule, with its number, limit and cure.

Not here: the rules (`checks.geometry`, `checks.forces`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

from linkage.quantities import SHOWN

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.model import Layout

Verdict = Literal["fits", "look", "do not fit"]

#: From good to bad.
RANK: Final[dict[str, int]] = {"fits": 0, "look": 1, "do not fit": 2}


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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Finding:
    """The outcome of one rule at one place.

    Parameters
    ----------
    code : str
        The rule, for example ``dead-centre``.
    verdict : {"fits", "look", "do not fit"}
        How bad it is.
    where : str
        Part and place in the travel.
    value, limit : float, optional
        What was found and what it is held against. [SI]
    kind : str
        Kind of both; a key of `quantities.SHOWN`.
    text : str
        One sentence for a person.
    cure : Cure, optional
        What would mend it.
    """

    code: str
    verdict: Verdict
    where: str
    value: float | None = None
    limit: float | None = None
    kind: str = "ratio"
    text: str
    cure: Cure | None = None

    @property
    def place(self) -> tuple[str, str]:
        """Rule and part: what tells two findings apart before and after a cure."""
        return self.code, self.where.split(",", maxsplit=1)[0]

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
