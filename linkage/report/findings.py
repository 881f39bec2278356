"""A whole check as text, every finding in its place, and as plain data.

Not here: its one screen (`report.screen`), the check itself (`search.fitting`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from linkage.model import LIMIT_ROWS, Cable, Cam, turning
from linkage.model.called import part_name, rod_kinds
from linkage.model.columns import last
from linkage.motion.as_made import made_length
from linkage.quantities import say
from linkage.report.assumed import assumptions, friction_given
from linkage.report.cables import cable_data, cable_text
from linkage.report.cams import cam_data, cam_text
from linkage.report.cautions import cautions
from linkage.report.lost_motion import lost_motion, lost_motion_data
from linkage.report.screen import echo_lines
from linkage.report.tables import mm, wrapped
from linkage.report.twins import twin_data, twin_lines
from linkage.report.unjudged import unjudged
from linkage.report.verdict import headline, worst_first
from linkage.spoken import DATA_UNITS, say_rod

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from linkage.connect import Connector
    from linkage.model import Rod
    from linkage.rules import Examined, Finding
    from linkage.search import Check

#: The verdict as it stands in front of a line; words, never colour alone.
MARK: Final[dict[str, str]] = {
    "fits": "fits       ",
    "look": "look       ",
    "do not fit": "DO NOT FIT ",
}


def finding_lines(finding: Finding) -> list[str]:
    """Return a finding with its cure, wrapped."""
    lines = wrapped(
        f"{finding.text} [{finding.code}]", " " * 11, first=MARK[finding.verdict]
    )
    if finding.cure is not None:
        word = "cure: " if finding.cure.proven else "try: "
        word = "" if finding.cure.barred else word
        lines += wrapped(word + finding.cure.text, " " * 17, first=" " * 11)
    elif finding.verdict != "fits":
        lines += wrapped("no single change within reach mends this", " " * 11)
    return lines


def told_lines(check: Check, about: Sequence[Finding]) -> list[str]:
    """Return the verdict, and of some findings those that are not in order.

    Parameters
    ----------
    check : Check
        From `search.check`.
    about : sequence of Finding
        Those of its findings that are asked for.
    """
    out = wrapped(headline(check), "  ", first="")
    for finding in worst_first(f for f in about if f.verdict != "fits"):
        out += finding_lines(finding)
    fits = sum(f.verdict == "fits" for f in about)
    text = f"{fits} checks of springs and forces in order: check --all"
    return out + (wrapped(text, "  ", first="") if fits else [])


def rods_lines(check: Check) -> list[str]:
    """Return the length of every rod and cable, and how it came about."""
    loops = check.examined.assembly.loops
    bars = [p for p in loops if p.link.rod.kind == "rod"]
    cams = [p for p in loops if isinstance(p.link.rod, Cam)]
    wires = [p for p in loops if isinstance(p.link.rod, Cable)]
    out = ["Rods, centre to centre:"] if bars else []
    for loop in bars:
        out += wrapped(_rod_text(check, loop), "    ", first="  ")
    up = "at rest" if check.examined.layout.governed else "with the pedal up"
    out += [f"Cables, free wire {up}:"] if wires else []
    for loop in wires:
        out += wrapped(cable_text(check, loop), "    ", first="  ")
    out += ["Cams:"] if cams else []
    for loop in cams:
        out += wrapped(cam_text(check, loop), "    ", first="  ")
    return out


def _rod_text(check: Check, loop: Connector) -> str:
    rod = loop.link.rod
    how = "cut to fit" if rod.length is None else "as given"
    lost = f"; {text}" if (text := lost_motion(check, rod.name)) else ""
    ends = loop.link.holes if loop.link.own is None else loop.link.holes[::-1]
    text = (
        f"{rod.name}: {say_rod(made_length(loop))} ({how}), "
        f"from {ends[0]} to {ends[1]}{lost}"
    )
    if rod.gives:
        far = float(last(check.examined.speeds.given[rod.name]))
        text += (
            f"; its over-travel spring has given {say(far, 'length')} of "
            f"{say(rod.over_travel, 'length')} at the pedal's end"
        )
    return text


def check_lines(
    check: Check,
    *,
    slips: Iterable[str] = (),
    echo: Sequence[tuple[str, str, str]] = (),
) -> list[str]:
    """Return the whole check as lines for a terminal, every finding in its place.

    Parameters
    ----------
    check : Check
        From `search.check`.
    slips : iterable of str
        Lines about slips that may explain it.
    echo : sequence of (key, as written, understood)
        What was read; shown where it is given.
    """
    layout = check.examined.layout
    out = [*wrapped(headline(check), "  ", first=""), *slips]
    out += [*wrapped(layout.title, "  ", first=""), *echo_lines(echo), ""]
    pedal = layout.pedal
    seen = layout.shafts[pedal.shaft].axis.seen_from
    way, travel = turning(pedal.presses), say(pedal.end, "length")
    pressing = (
        f"Pressing turns {pedal.shaft} {way} seen from {seen}; {travel} of pad travel."
    )
    if layout.governed:
        pressing = (
            f"As the engine runs faster {pedal.shaft} turns {way} seen from {seen}; "
            f"{travel} of travel of the governor's arm."
        )
    out += [*wrapped(pressing, "  ", first=""), *pulling(check), ""]
    out += [*rods_lines(check), ""]
    for finding in worst_first(check.findings):
        out += finding_lines(finding)
    out += ["", *plan_lines(check), *twin_lines(check)]
    out += [*changed_lines(check), *closing_lines(check)]
    return out


def pulling(check: Check) -> list[str]:
    """Return which way a hand lever is pulled, and how far; nothing where there is none."""
    layout = check.examined.layout
    if (hand := layout.hand) is None:
        return []
    seen = layout.shafts[hand.shaft].axis.seen_from
    way, travel = turning(hand.pulls), say(hand.travel, "length")
    text = (
        f"Pulling turns {hand.shaft} {way} seen from {seen}; {travel} of travel at "
        f"{hand.shaft}.{hand.lever}."
    )
    return wrapped(text, "  ", first="")


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


def closing_lines(check: Check) -> list[str]:
    """Return what was assumed, what was not checked, and the cautions."""
    out = []
    if taken := "; ".join(assumptions(check)):
        out += [*wrapped(f"Assumed, as not given: {taken}.", "  ", first=""), ""]
    missing = "; ".join(unjudged(check))
    out += wrapped(f"Not checked: {missing}.", "  ", first="")
    out += ["", "Cautions:"]
    for caution in cautions(check.examined.layout):
        out += wrapped(caution, "    ", first="  - ")
    return out


def _over_travel(x: Examined, rod: Rod) -> dict[str, Any]:
    """Return how far an over-travel spring can give and has given, as plain data."""
    if not rod.gives:
        return {}
    return {
        "over_travel_mm": mm(rod.over_travel),
        "given_at_end_mm": mm(last(x.speeds.given[rod.name])),
    }


def _by_hand(y: Examined | None) -> dict[str, Any] | None:
    """Return how a hand lever moves, as plain data; None where there is none."""
    if y is None:
        return None
    by = y.working.stopped_by
    home = by.kind == "floor"
    return {
        "stopped_by": "the end of its travel" if home else str(by),
        "hand_travel_end_mm": mm(y.working.end),
        "throttle_share_pct": round(float(y.throttle_share) * 100, 4),
    }


def check_data(check: Check) -> dict[str, Any]:
    """Return the whole check as plain data for ``--json``."""
    x = check.examined
    layout = x.layout
    return {
        "title": layout.title,
        "units": DATA_UNITS,
        "verdict": check.verdict,
        "headline": headline(check),
        "geometry_alone": check.geometry,
        "findings": [f.record() for f in check.findings],
        "plan": None if check.plan is None else check.plan.text,
        "cures_cut_short": check.cut,
        "plan_steps": [] if check.plan is None else list(check.plan.steps),
        "rods": {
            p.link.rod.name: {
                "length_mm": mm(made_length(p)),
                "kind": p.link.rod.kind,
                "cut_to_fit": p.link.rod.cut,
                **cable_data(check, p),
                **cam_data(p),
                **lost_motion_data(check, p.link.rod.name),
                **_over_travel(x, p.link.rod),
            }
            for p in x.assembly.loops
        },
        "plates_beside": twin_data(check),
        "stopped_by": part_name(rod_kinds(layout), x.working.stopped_by),
        "pad_travel_end_mm": mm(x.working.end),
        "by_hand": _by_hand(x.by_hand),
        "limits_changed": sorted(layout.limits.changed()),
        "limits_loosened": sorted(layout.limits.loosened()),
        "friction_given": friction_given(layout),
        "assumed": assumptions(check),
        "not_checked": unjudged(check),
        "cautions": list(cautions(layout)),
    }
