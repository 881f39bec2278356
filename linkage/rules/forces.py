"""All rules of force in the order in which a fitter looks.

Not here: cures (`checks.spring_cures`), geometry (`checks.geometry`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.rules import angles, loads, senses, shutting, spring_rules
from linkage.rules.finding import Finding
from linkage.rules.loaded import Loaded, load
from linkage.springs import spring_laws

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.rules.examine import Examined

    Rule = Callable[[Loaded], list[Finding]]

EACH: Final[tuple[Rule, ...]] = (
    spring_rules.hand,
    spring_rules.slack,
    spring_rules.overstretched,
    spring_rules.stress,
)
#: These mean nothing while a spring works the wrong way or hangs slack: they
#: would only repeat it.
TOGETHER: Final[tuple[Rule, ...]] = (
    shutting.energy_sources,
    shutting.unsprung,
    shutting.closing_torque,
    shutting.one_off,
    shutting.time_to_idle,
)
LOADS: Final[tuple[Rule, ...]] = (
    loads.pad_force,
    loads.pull_changes,
    loads.rod_push,
    loads.stamp,
)
#: Codes of findings that rest on forces, for the search of cures.
CODES: Final = frozenset(
    {
        "closing-torque",
        "closing-torque-one-off",
        "energy-sources",
        "pad-force",
        "pad-force-light",
        "pull-changes",
        "rod-push",
        "spring-hand",
        "spring-overstretched",
        "spring-slack",
        "spring-stress",
        "stamp-load",
        "time-to-idle",
        "unsprung-if-parted",
    }
)


def force_findings(x: Examined) -> list[Finding]:
    """Judge a layout by every rule of force.

    Where pressing shuts the plate or a rod jams, nothing is said of forces:
    they would only repeat it; nor of heavy loads where an arm comes near to
    dead centre, which makes them, or of shutting where one turns the linkage back
    within its travel, or of a light pedal where a spring is missing
    or wrong. Without a spring in the layout the answer is that
    shutting was not checked.

    Parameters
    ----------
    x : Examined
        From `examine`.

    Returns
    -------
    list of Finding
        Good ones too.

    Raises
    ------
    LayoutError
        If a spring of the layout is impossible.
    """
    spring_laws(x.layout)
    if any(f.verdict != "fits" for f in senses.opening_sense(x)):
        return []
    if x.working.jam is not None or not x.working.end > x.working.start:
        return []
    if not x.layout.springs:
        return [_no_springs(x)]
    y = load(x)
    found = [f for rule in EACH for f in rule(y)]
    together = [f for rule in TOGETHER for f in rule(y)]
    heavy = [f for rule in LOADS for f in rule(y)]
    turned = any(f.verdict != "fits" for f in senses.rod_senses(x))
    if turned or spring_rules.misplaced(y.springs):
        together = [f for f in together if f.verdict == "fits"]
        heavy = [f for f in heavy if f.verdict == "fits" or f.code == "stamp-load"]
    if any(f.verdict == "do not fit" for f in found + together):
        heavy = [f for f in heavy if f.code != "pad-force-light"]
    if any(f.verdict == "do not fit" for f in angles.arm_rod(x)):
        heavy = [f for f in heavy if f.verdict == "fits" or f.code == "stamp-load"]
    return found + together + heavy


def _no_springs(x: Examined) -> Finding:
    return Finding(
        code="energy-sources",
        verdict="look",
        where=f"{x.layout.main.name}, whole travel",
        value=0.0,
        limit=float(shutting.SOURCES),
        text="no spring is given, so whether it shuts was NOT checked; add every "
        "spring, the carburettor's own too (49 CFR 571.124 S5.1 asks for two)",
    )
