"""All rules of geometry in the order in which a fitter looks.

Not here: cures (`checks.cures`), forces (`checks.forces`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.rules import angles, senses, travel

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.rules.examine import Examined
    from linkage.rules.finding import Finding

    Rule = Callable[[Examined], list[Finding]]

#: Rules that need no search beyond the stops.
QUICK: Final[tuple[Rule, ...]] = (
    travel.reach,
    senses.opening_sense,
    travel.full_throttle,
    travel.left_over,
    travel.idle,
    travel.lost_travel,
    travel.setting,
    travel.stop_gaps,
    travel.spread,
    travel.tip_in,
    senses.shaft_senses,
    senses.rod_senses,
    angles.arm_rod,
    angles.joint_tilt,
    angles.spring_line,
)
#: What can still be told when pressing shuts a plate: nothing else moves then.
WHEN_SHUTTING: Final[tuple[Rule, ...]] = (
    senses.opening_sense,
    senses.shaft_senses,
    senses.rod_senses,
)


def geometry_findings(x: Examined, *, quick: bool = False) -> list[Finding]:
    """Judge a layout by every rule of geometry.

    A finding that is only the consequence of another is left out, so that what
    is named is what is wrong: with the wrong sense the travel means nothing,
    and where a rod jams its arm is in line by definition.

    Parameters
    ----------
    x : Examined
        From `examine`.
    quick : bool
        Leave out the dead centres, which take the longest.

    Returns
    -------
    list of Finding
        Good ones too: what was looked at is part of the answer.
    """
    if any(f.verdict != "fits" for f in senses.opening_sense(x)):
        return [finding for rule in WHEN_SHUTTING for finding in rule(x)]
    found = [finding for rule in QUICK for finding in rule(x)]
    if not quick:
        found += angles.dead_centre(x)
    if x.working.jam is None:
        return found
    hole = x.assembly.loop(x.working.jam.rod).link.driven
    at = f"rod {x.working.jam.rod} at {hole}"
    return [
        f
        for f in found
        if f.code not in {"full-throttle", "tip-in"}
        and not (f.code in {"arm-rod-angle", "dead-centre"} and f.where.startswith(at))
    ]
