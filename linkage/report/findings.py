"""A check as text and as plain data.

Not here: the check itself (`search.fitting`), printing it (`cli`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.model import LIMIT_ROWS, turning
from linkage.quantities import say
from linkage.report.assumed import assumed, friction_given
from linkage.report.cautions import CAUTIONS
from linkage.report.tables import wrapped
from linkage.report.unjudged import unjudged
from linkage.rules.caution import FORCES_LEFT_OUT, GEOMETRY_ALONE
from linkage.rules.finding import RANK
from linkage.rules.order import FORCE_CODES
from linkage.rules.sources import ENERGY_SOURCES
from linkage.spoken import DATA_UNITS, say_rod

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.rules import Finding
    from linkage.search import Check

#: The verdict as it stands in front of a line; words, never colour alone.
MARK: Final[dict[str, str]] = {
    "fits": "fits       ",
    "look": "look       ",
    "do not fit": "DO NOT FIT ",
}
_BAR: Final = "=" * 78
#: Why a layout without springs is not to be fitted yet.
NO_SPRING: Final = "no spring is given, so whether it shuts was not checked"


def _springless(check: Check) -> bool:
    """Tell whether nothing but the lack of any spring keeps it from being fitted."""
    return not check.examined.layout.springs and all(
        f.code == ENERGY_SOURCES.code for f in check.reasons
    )


def reason(check: Check) -> str | None:
    """Return why it must not be fitted, in a few words; None where it may be."""
    if check.verdict != "do not fit":
        return None
    if _springless(check):
        return NO_SPRING
    codes = ", ".join(dict.fromkeys(f.code for f in check.reasons))
    return f"{codes} ({GEOMETRY_ALONE})" if check.geometry else codes


def headline(check: Check) -> str:
    """Return the verdict in one line."""
    why = reason(check)
    if why is not None:
        return f"DO NOT FIT{' YET' * _springless(check)}: {why}"
    looks = sum(f.verdict == "look" for f in check.findings)
    asked = f", with {looks if looks > 1 else 'one'} to look at" if looks else ""
    loose = ", ".join(check.examined.layout.limits.loosened())
    asked += f"; loosened: {loose}" if loose else ""
    if check.geometry:
        return f"geometry alone: fits{asked}; {FORCES_LEFT_OUT}"
    return f"fits{asked}"


def finding_lines(finding: Finding) -> list[str]:
    """Return a finding with its cure, wrapped."""
    lines = wrapped(
        f"{finding.code}: {finding.text}", " " * 11, first=MARK[finding.verdict]
    )
    if finding.cure is not None:
        word = "cure: " if finding.cure.proven else "try: "
        word = "" if finding.cure.barred else word
        lines += wrapped(word + finding.cure.text, " " * 17, first=" " * 11)
    elif finding.verdict != "fits":
        lines += wrapped("no single change within reach mends this", " " * 11)
    return lines


def rods_lines(check: Check) -> list[str]:
    """Return the length of every rod, and how it came about."""
    out = ["Rods, centre to centre:"]
    for loop in check.examined.assembly.loops:
        rod = loop.link.rod
        how = "cut to fit" if rod.length is None else "as given"
        out.append(
            f"  {rod.name}: {say_rod(loop.length)} ({how}), "
            f"from {loop.link.driver} to {loop.link.driven}"
        )
    return out


def check_lines(
    check: Check, *, echo: Sequence[tuple[str, str, str]] = ()
) -> list[str]:
    """Return the whole check as lines for a terminal.

    Parameters
    ----------
    check : Check
        From `search.check`.
    echo : sequence of (key, as written, understood)
        What was read; shown where it is given.
    """
    layout = check.examined.layout
    out = [layout.title, ""]
    if echo:
        out += ["Understood:", *(f"  {k} = {w}: {u}" for k, w, u in echo), ""]
    if check.verdict == "do not fit":
        out += [_BAR, *wrapped(headline(check), "  ", first=""), _BAR, ""]
    else:
        out += [*wrapped(headline(check), "  ", first=""), ""]
    pedal = layout.pedal
    seen = layout.shafts[pedal.shaft].axis.seen_from
    way, travel = turning(pedal.presses), say(pedal.end, "length")
    out += [
        f"Pressing turns {pedal.shaft} {way} seen from {seen}; {travel} of pad travel.",
        "",
    ]
    out += [*rods_lines(check), ""]
    for finding in sorted(check.findings, key=lambda f: -RANK[f.verdict]):
        out += finding_lines(finding)
    out += ["", *plan_lines(check), *changed_lines(check), *closing_lines(check)]
    return out


def plan_lines(check: Check) -> list[str]:
    """Return what mends the whole, where no cure of a finding says it already."""
    plan = check.plan
    if plan is None or plan.text in {f.cure.text for f in check.findings if f.cure}:
        return []
    return [*wrapped(f"To mend the whole: {plan.text}", "  ", first=""), ""]


def changed_lines(check: Check) -> list[str]:
    """Return which limits and frictions the file changed, and which let more pass."""
    limits = check.examined.layout.limits
    changed, loosened = limits.changed(), limits.loosened()
    out = ["Limits changed in the file:"] if changed else []
    for name in sorted(changed, key=lambda n: n not in loosened):
        (value, default), kind = changed[name], LIMIT_ROWS[name].kind
        word = "loosened: " if name in loosened else ""
        out.append(
            f"  {word}{name}: {say(value, kind)} instead of {say(default, kind)}"
        )
    if rubs := friction_given(check.examined.layout):
        out += ["Friction given in the file:", *(f"  {line}" for line in rubs)]
    return [*out, ""] if out else []


def assumptions(check: Check) -> list[str]:
    """Return what was assumed where the layout gives nothing; none without forces."""
    judged = not FORCE_CODES.isdisjoint(f.code for f in check.findings)
    layout = check.examined.layout
    return assumed(layout) if judged and layout.springs else []


def closing_lines(check: Check) -> list[str]:
    """Return what was assumed, what was not checked, and the cautions."""
    out = []
    if taken := "; ".join(assumptions(check)):
        out += [*wrapped(f"Assumed, as not given: {taken}.", "  ", first=""), ""]
    missing = "; ".join(unjudged(check))
    out += wrapped(f"Not checked: {missing}.", "  ", first="")
    out += ["", "Cautions:"]
    for caution in CAUTIONS:
        out += wrapped(caution, "    ", first="  - ")
    return out


def check_data(check: Check) -> dict[str, Any]:
    """Return the whole check as plain data for ``--json``."""
    x = check.examined
    layout = x.layout
    return {
        "title": layout.title,
        "units": DATA_UNITS,
        "verdict": check.verdict,
        "geometry_alone": check.geometry,
        "findings": [f.record() for f in check.findings],
        "plan": None if check.plan is None else check.plan.text,
        "rods": {
            p.link.rod.name: {
                "length_mm": round(p.length * 1e3, 4),
                "cut_to_fit": p.link.rod.length is None,
            }
            for p in x.assembly.loops
        },
        "stopped_by": str(x.working.stopped_by),
        "pad_travel_end_mm": round(x.working.end * 1e3, 4),
        "limits_changed": sorted(layout.limits.changed()),
        "limits_loosened": sorted(layout.limits.loosened()),
        "friction_given": friction_given(layout),
        "assumed": assumptions(check),
        "not_checked": unjudged(check),
        "cautions": list(CAUTIONS),
    }
