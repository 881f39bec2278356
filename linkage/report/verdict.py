"""The verdict of a check in a plain sentence, and its findings worst first.

Not here: the screen (`report.screen`), the whole list (`report.findings`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model import LIMIT_ROWS
from linkage.quantities import say
from linkage.rules.caution import FORCES_LEFT_OUT, GEOMETRY_ALONE
from linkage.rules.finding import RANK
from linkage.rules.order import gravity
from linkage.rules.sources import ENERGY_SOURCES

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.rules import Finding
    from linkage.search import Check

#: Why a layout without springs is not to be fitted yet.
NO_SPRING: Final = "no spring is given, so whether it shuts was not checked"


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """Return findings by verdict, then by what is worst; alike in their order.

    That no spring is given, so that nothing is known of it, comes after what is wrong.
    """

    def key(finding: Finding) -> tuple[int, bool, int]:
        unknown = bool(finding.rows.facts.get("none"))
        return -RANK[finding.verdict], unknown, gravity(finding.code)

    return sorted(findings, key=key)


def grouped(findings: Iterable[Finding]) -> list[list[Finding]]:
    """Return findings worst first, those of one rule and verdict together."""
    out: dict[tuple[str, str], list[Finding]] = {}
    for finding in worst_first(findings):
        out.setdefault((finding.verdict, finding.code), []).append(finding)
    return list(out.values())


def springless(check: Check) -> bool:
    """Tell whether nothing but the lack of any spring keeps it from being fitted."""
    return not check.examined.layout.springs and all(
        f.code == ENERGY_SOURCES.code for f in check.reasons
    )


def reason(check: Check) -> str | None:
    """Return why it must not be fitted: the worst, and how many more; None where it may."""
    if check.verdict != "do not fit":
        return None
    if springless(check):
        return NO_SPRING
    worst, *others = grouped(check.reasons)
    more = len(others)
    text = worst[0].clause
    if more:
        text += ", and one more fault" if more == 1 else f", and {more} more faults"
    return f"{text} ({GEOMETRY_ALONE})" if check.geometry else text


def headline(check: Check) -> str:
    """Return the verdict in one sentence, with its number."""
    why = reason(check)
    if why is not None:
        return f"DO NOT FIT{' YET' * springless(check)}: {why}"
    looks = sum(f.verdict == "look" for f in check.findings)
    things = f"{looks} things" if looks > 1 else "one thing"
    asked = f", with {things} to look at" if looks else ""
    loose = ", ".join(check.examined.layout.limits.loosened())
    asked += f"; loosened: {loose}" if loose else ""
    if check.geometry:
        return f"Geometry alone: FITS{asked}; {FORCES_LEFT_OUT}"
    return f"FITS{asked}"


def loosened_text(check: Check) -> str:
    """Return which limits let more pass than usual, with their numbers; or nothing."""
    limits = check.examined.layout.limits
    changed, parts = limits.changed(), []
    for name in limits.loosened():
        (value, usual), kind = changed[name], LIMIT_ROWS[name].kind
        parts.append(f"{name} {say(value, kind)} instead of {say(usual, kind)}")
    return f"Loosened in the file: {', '.join(parts)}." if parts else ""
