"""Every rule, geometry first, then forces.

Not here: the rules themselves (`checks.geometry`, `checks.forces`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.checks.forces import force_findings
from linkage.checks.geometry import geometry_findings

if TYPE_CHECKING:
    from linkage.checks.examine import Examined
    from linkage.checks.finding import Finding


def all_findings(x: Examined) -> list[Finding]:
    """Judge a layout by every rule.

    A spring of the wrong hand is named once, as that: that its line lies on the
    wrong side of the spindle says the same.

    Parameters
    ----------
    x : Examined
        From `examine`.

    Raises
    ------
    LayoutError
        If a spring of the layout is impossible.
    """
    forces = force_findings(x)
    wrong = {
        f.place[1]
        for f in forces
        if f.code == "spring-hand" and f.verdict == "do not fit"
    }
    return [
        f
        for f in geometry_findings(x)
        if not (f.code == "spring-line" and f.place[1] in wrong)
    ] + forces
