"""Every rule: geometry first, then forces, then the rocking engine.

Not here: the rules themselves (`checks.geometry`, `checks.forces`, `checks.rock`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.rules.angles import arm_rod
from linkage.rules.forces import force_findings
from linkage.rules.geometry import geometry_findings
from linkage.rules.rock import rock_findings
from linkage.rules.senses import opening_sense

if TYPE_CHECKING:
    from linkage.rules.examine import Examined
    from linkage.rules.finding import Finding


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
    rocking = [] if _says_nothing_of_rock(x) else rock_findings(x)
    wrong = {
        f.place[1]
        for f in forces
        if f.code == "spring-hand" and f.verdict == "do not fit"
    }
    return [
        f
        for f in geometry_findings(x)
        if not (f.code == "spring-line" and f.place[1] in wrong)
    ] + [*forces, *rocking]


def _says_nothing_of_rock(x: Examined) -> bool:
    """Tell whether the rocking engine would only repeat what is wrong already.

    Where pressing shuts or a rod jams the travel means nothing; near dead centre
    any movement at all is too much.
    """
    if x.working.jam is not None:
        return True
    told = [*opening_sense(x), *arm_rod(x)]
    return any(f.verdict == "do not fit" for f in told)
