"""The whole fitting check: solve, judge, cure, verdict.

Not here: how it is printed (`report`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.quantities import say
from linkage.records import dataclass, short
from linkage.rules.caution import CAUTION, GEOMETRY_ALONE
from linkage.rules.engine import judge
from linkage.rules.examine import Examined, examine
from linkage.rules.finding import RANK, Cure, Finding, Verdict, worst
from linkage.rules.rule import GEOMETRY, NEEDS
from linkage.search.at_rest import lost_known
from linkage.tabular import Tabular, html_table

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.model import Layout

#: What is told of a finding as plain data.
FINDING: Final = ("code", "verdict", "where", "value", "limit", "unit", "text", "cure")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Check(Tabular):
    """The outcome of a fitting check.

    Parameters
    ----------
    examined : Examined
        The solved layout.
    findings : tuple of Finding
        Every rule, in the order in which a fitter looks.
    plan : Cure, optional
        The changes that mend the whole, one or more together; None where nothing
        says ``do not fit``, none was found, or none was looked for.
    geometry : bool
        Whether geometry alone was judged, and no force and no spring.
    cut : bool
        Whether the layout is so large that not every change was looked at for cures.
    """

    examined: Examined
    findings: tuple[Finding, ...]
    plan: Cure | None = None
    geometry: bool = False
    cut: bool = False

    def __repr__(self) -> str:
        codes = ", ".join(dict.fromkeys(f.code for f in self.reasons))
        why = f" for {short(codes)}" if codes else ""
        alone = ", geometry alone" if self.geometry else ""
        title = short(self.examined.layout.title)
        return f"<Check of {title!r}: {self.verdict}{why}{alone}>"

    def columns(self) -> dict[str, Any]:
        """Return one row a finding, by the names of ``--json``, in shown units."""
        records = [f.record() for f in self.findings]
        out: dict[str, Any] = {n: [r[n] or "" for r in records] for n in FINDING}
        for name in ("value", "limit"):
            out[name] = np.array([r[name] for r in records], dtype=float)
        return out

    def _repr_html_(self) -> str:
        found = sorted(self.findings, key=lambda f: -RANK[f.verdict])
        head = ("verdict", "rule", "where", "number", "limit", "sentence")
        rows = [
            (f.verdict, f.code, f.where, _said(f.value, f), _said(f.limit, f), f.text)
            for f in found
        ]
        foot = f"What mends it: {self.plan.text}. " if self.plan else ""
        foot += f"{GEOMETRY_ALONE}. " if self.geometry else ""
        return html_table(repr(self).strip("<>"), head, rows, foot + CAUTION)

    @property
    def verdict(self) -> Verdict:
        """The worst of all findings."""
        return worst(self.findings)

    @property
    def reasons(self) -> tuple[Finding, ...]:
        """The findings for which it must not be fitted."""
        return tuple(f for f in self.findings if f.verdict == "do not fit")


def _said(value: float | None, finding: Finding) -> str:
    return "-" if value is None or value != value else say(value, finding.kind)  # noqa: PLR0124


def check(
    layout: Layout,
    *,
    cures: bool = True,
    geometry: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Check:
    """Check a layout by every rule.

    Parameters
    ----------
    layout : Layout
        What was measured.
    cures : bool
        Look for a cure of every finding that is not in order, and for a plan.
    geometry : bool
        Judge geometry alone: travel, senses, angles, dead centres and the rocking
        engine, and no force and no spring. What fits so may not be fitted yet.
    progress : callable, optional
        Called with the number of cures found so far and of those looked for.

    Raises
    ------
    AssemblyError
        If the parts cannot be put together at rest.
    """
    x = examine(lost_known(layout))
    needs = GEOMETRY if geometry else NEEDS
    judged = judge(x, needs)
    findings = judged.findings()
    if not cures or all(f.verdict == "fits" for f in findings):
        return Check(examined=x, findings=findings, geometry=geometry)
    # What is in order needs no search, and does not wait for it to load.
    from linkage.search.cures import with_cures  # noqa: PLC0415
    from linkage.search.node import Node  # noqa: PLC0415

    root = Node(many=x, judged=judged, needs=needs)
    found, plan = with_cures(root, progress)
    cut = root.work.cut
    return Check(examined=x, findings=found, plan=plan, geometry=geometry, cut=cut)
