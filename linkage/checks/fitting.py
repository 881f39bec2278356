"""The whole fitting check: solve, judge, cure, verdict.

Not here: how it is printed (`report`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linkage.checks.cures import with_cures
from linkage.checks.examine import Examined, examine
from linkage.checks.finding import Finding, Verdict, worst
from linkage.checks.rules import all_findings

if TYPE_CHECKING:
    from linkage.layout import Layout


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Check:
    """The outcome of a fitting check.

    Parameters
    ----------
    examined : Examined
        The solved layout.
    findings : tuple of Finding
        Every rule, in the order in which a fitter looks.
    """

    examined: Examined
    findings: tuple[Finding, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of all findings."""
        return worst(self.findings)

    @property
    def reasons(self) -> tuple[Finding, ...]:
        """The findings for which it must not be fitted."""
        return tuple(f for f in self.findings if f.verdict == "do not fit")


def check(layout: Layout, *, cures: bool = True) -> Check:
    """Check a layout by every rule.

    Parameters
    ----------
    layout : Layout
        What was measured.
    cures : bool
        Look for a cure of every finding that is not in order.

    Raises
    ------
    AssemblyError
        If the parts cannot be put together at rest.
    """
    x = examine(layout)
    found = all_findings(x)
    return Check(examined=x, findings=tuple(with_cures(x, found) if cures else found))
