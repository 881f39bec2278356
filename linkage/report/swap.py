"""A swap as text, as plain data, and as layout files' comments.

Not here: solving it (`swap`), writing files (`cli`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.model.called import rod_kinds
from linkage.motion.as_made import made_length
from linkage.quantities import say
from linkage.report.cautions import cautions
from linkage.report.findings import closing_lines
from linkage.report.lines import line_width
from linkage.report.reverses import fact_data, fact_text
from linkage.report.swap_sheaths import across_lines, sheath_data
from linkage.report.tables import mm, wrapped
from linkage.report.unjudged import speaks_of
from linkage.report.verdict import headline
from linkage.report.work import job_text
from linkage.rules.angles import least_angle
from linkage.rules.caution import CAUTION
from linkage.rules.order import called_in
from linkage.spoken import DATA_UNITS
from linkage.swap import CARBURETTORS
from linkage.swap.kept import fixed_parts

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.model import Layout
    from linkage.rules.finding import Finding
    from linkage.search import Check
    from linkage.swap import Fact, Share, SideCure, Solution


def _moved(solution: Solution) -> str:
    swap = solution.swap
    kind, hand = swap.carburettor, swap.before.hand
    more = " The hand lever goes across too: where it is to stay, set its shaft back."
    return (
        f"Beyond {swap.beyond} everything goes across the plane y = "
        f"{say(swap.plane, 'length')}: {', '.join(swap.moved)}. The carburettor is "
        f"{kind}: {CARBURETTORS[kind]}."
        f"{more * (hand is not None and hand.shaft in swap.moved)}"
    )


def _outcome(solution: Solution) -> list[str]:
    found = solution.reversal
    if solution.outcome is None:
        told = f"CANNOT BE PUT TOGETHER: {found.fault}"
    else:
        told = headline(solution.outcome)
    line = wrapped(f"As swapped: {told}", "  ", first="")
    if solution.fits_as_it_is:
        return line
    bar = "=" * min(78, line_width())
    return [bar, *line, bar]


def _facts(solution: Solution, title: str, facts: list[Fact]) -> list[str]:
    if not facts:
        return []
    out = [title]
    for fact in facts:
        out += wrapped(fact_text(solution.swap, fact), "    ", first="  - ")
    return [*out, ""]


def _reached(outcome: Check) -> str:
    x = outcome.examined
    name, at = x.layout.main.name, say(x.working.end, "length")
    share, least = say(x.throttle_share, "fraction"), say(least_angle(x), "angle")
    reached = f"{name} reaches {share} at {at} of pad"
    if x.layout.governed:
        reached = f"the governor shuts {name} by {share} at {at} of its arm's travel"
    return f"{reached}; least arm-rod angle {least}"


def _verdict(cure: SideCure) -> str:
    if cure.outcome is None:
        return "DO NOT FIT"
    told = headline(cure.outcome)
    if cure.mends_the_swap and not cure.fits:
        return f"mends the swap; {told}, so before"
    return told


def _listed(title: str, findings: Iterable[Finding]) -> list[str]:
    """Return findings under a title; nothing where there are none."""
    out = []
    for f in findings:
        out += wrapped(f"{f.short} [{f.code}]", "    ", first="  - ")
    return [title, *out, ""] if out else []


def _hidden(share: Share, layout: Layout) -> str:
    """Return the rules of a layout that were judged before the swap and are no more."""
    kinds = rod_kinds(layout)
    codes = (code for code, _ in share.unjudged if speaks_of(code, layout))
    return ", ".join(dict.fromkeys(called_in(kinds, code) for code in codes))


def _two_lists(solution: Solution) -> list[str]:
    """Return what was so before the swap, and what the swap brings."""
    share = solution.share
    out = _listed(
        "Was so before the swap, and must be mended too:", solution.was_before
    )
    out += _listed("What the swap brings:", share.brings)
    hidden = _hidden(share, solution.swap.after)
    if hidden:
        out += [*wrapped(f"Not judged while that is so: {hidden}", "  ", first=""), ""]
    return out


def _jobs(cure: SideCure, jobs: str) -> list[str]:
    """Return what is made, or done, for a cure."""
    if cure.layout is None or cure.changes is None:
        return []
    return [job_text(cure.layout, job) for job in getattr(cure.changes, jobs)]


def _cure(number: int, cure: SideCure) -> list[str]:
    out = wrapped(f"{cure.title}: {_verdict(cure)}", "    ", first=f"{number:2}. ")
    if cure.outcome is None:
        return out + wrapped(f"fails: {cure.reason}", "           ", first="    ")
    for word, jobs in (
        ("make: ", _jobs(cure, "parts")),
        ("do:   ", _jobs(cure, "work")),
    ):
        for job in jobs:
            out += wrapped(word + job, "          ", first="    ")
    then = f"then: {_reached(cure.outcome)}"
    for line in (then, *_leaves(cure)):
        out += wrapped(line, "          ", first="    ")
    return out


def _leaves(cure: SideCure) -> list[str]:
    """Return what a cure leaves: what it does not mend, and what was so before."""
    share = cure.share
    out = [f"leaves: {f.short} [{f.code}]" for f in share.brings]
    if cure.layout and (hidden := _hidden(share, cure.layout)):
        out.append(f"leaves unjudged: {hidden}")
    return [*out, *(f"leaves, so before: {f.short} [{f.code}]" for f in share.before)]


def swap_lines(solution: Solution) -> list[str]:
    """Return a swap as lines for a terminal.

    Parameters
    ----------
    solution : Solution
        From `swap.solve`.
    """
    swap, found = solution.swap, solution.reversal
    title = wrapped(swap.before.title, "  ", first="")
    out = [*title, "", *wrapped(_moved(solution), ""), ""]
    out += [*_outcome(solution), "", *_two_lists(solution)]
    told = [f for f in found.facts if f.after is not None]
    unknown = [f for f in found.facts if f.after is None]
    out += _facts(solution, "What reverses:", [f for f in told if f.reverses])
    out += _facts(solution, "What does not:", [f for f in told if not f.reverses])
    out += _facts(solution, "What cannot be told:", unknown)
    if swap.recut:
        recut = f"Rods to be cut again: {', '.join(swap.recut)}"
        out += [*wrapped(recut, "  ", first=""), ""]
    out += across_lines(swap)
    if found.wrong_hand:
        names = ", ".join(f"`{n}`" for n in found.wrong_hand)
        out += [
            *wrapped(
                f"Springs of the wrong hand as swapped: {names}; the cures hook them anew.",
                "",
            ),
            "",
        ]
    return out + _cures(solution) + _closing(solution)


def _cures(solution: Solution) -> list[str]:
    """Return the cures, each with its steps and what it leaves, and what follows."""
    if solution.fits_as_it_is:
        return ["It fits as it is: no cure is needed.", ""]
    older = ", ".join(dict.fromkeys(f.called for f in solution.was_before))
    if solution.brings_nothing:
        return [
            *wrapped(
                "The swap brings nothing new: no cure of it is needed. Do not fit "
                f"before what was so before is mended: {older}.",
                "",
            ),
            "",
        ]
    out = ["Cures, best first; each solved as a whole layout and checked:"]
    for number, cure in enumerate(solution.cures, start=1):
        out += _cure(number, cure)
    out.append("")
    if solution.fits:
        return out
    out.append("No cure fits.")
    if any(c.mends_the_swap for c in solution.cures):
        out += wrapped(
            "Those that mend the swap leave what was so before it, which must be "
            f"mended too before it is fitted: {older}.",
            "",
        )
    return [*out, ""]


def _closing(solution: Solution) -> list[str]:
    outcomes = [solution.outcome, *(c.outcome for c in solution.cures)]
    checked = [o for o in outcomes if o is not None]
    if checked:
        return closing_lines(checked[-1] if solution.outcome is None else checked[0])
    out = ["Cautions:"]
    for caution in cautions(solution.swap.after):
        out += wrapped(caution, "    ", first="  - ")
    return out


def _check_data(outcome: Check | None) -> dict[str, Any] | None:
    if outcome is None:
        return None
    x = outcome.examined
    return {
        "verdict": outcome.verdict,
        "throttle_share_pct": round(x.throttle_share * 100, 4),
        "pad_travel_end_mm": mm(x.working.end),
        "rods": {p.link.rod.name: {"length_mm": mm(made_length(p))} for p in x.assembly.loops},
        "findings": [f.record() for f in outcome.findings],
    }  # fmt: skip


def _share_data(share: Share) -> dict[str, Any]:
    """Return what a swap brings, or a cure of it leaves of that, as plain data."""
    return {
        "brings": [f.record() for f in share.brings],
        "not_judged": [
            {"code": code, "part": None if about is None else str(about)}
            for code, about in share.unjudged
        ],
    }


def _cure_data(cure: SideCure, file: str | None) -> dict[str, Any]:
    return {
        "name": cure.name,
        "title": cure.title,
        "fits": cure.fits,
        "reason": cure.reason or None,
        "mends_the_swap": cure.mends_the_swap,
        "leaves_from_before": [f.record() for f in cure.share.before],
        **_share_data(cure.share),
        "looks": cure.looks,
        "rods_that_push": cure.pushes,
        "new_parts": _jobs(cure, "parts"),
        "work": _jobs(cure, "work"),
        "check": _check_data(cure.outcome),
        "file": file,
    }


def swap_data(
    solution: Solution, files: dict[str, str] | None = None
) -> dict[str, Any]:
    """Return a swap as plain data for ``--json``.

    Parameters
    ----------
    solution : Solution
        From `swap.solve`.
    files : dict of str to str, optional
        Name of the file written, by cure; ``swapped`` for the layout as swapped.
    """
    written = files or {}
    swap, found = solution.swap, solution.reversal
    return {
        "title": swap.before.title,
        "units": DATA_UNITS,
        "beyond": swap.beyond,
        "plane_mm": mm(swap.plane),
        "carburettor": swap.carburettor,
        "moved": list(swap.moved),
        "slides": [{"arm": str(s.hole), "by_mm": mm(s.by)} for s in swap.slides],
        "rods_to_cut": list(swap.recut),
        "sheaths": sheath_data(swap),
        "cams": list(swap.cams),
        "obstacles": list(swap.obstacles),
        "fixed": [str(part) for part in fixed_parts(swap.before)],
        "fits": solution.fits,
        "fits_as_it_is": solution.fits_as_it_is,
        "brings_nothing": solution.brings_nothing,
        "was_before": [f.record() for f in solution.was_before],
        **_share_data(solution.share),
        "right_way": found.opens,
        "springs_of_the_wrong_hand": list(found.wrong_hand),
        "fault": found.fault or None,
        "facts": fact_data(swap, found),
        "as_swapped": _check_data(solution.outcome),
        "file": written.get("swapped"),
        "cures": [_cure_data(c, written.get(c.name)) for c in solution.cures],
        "cautions": list(cautions(swap.after)),
    }


def swapped_comment(solution: Solution) -> str:
    """Return the comment at the top of the swapped layout's file."""
    verdict = (
        f"CANNOT BE PUT TOGETHER: {solution.reversal.fault}"
        if solution.outcome is None
        else headline(solution.outcome)
    )
    return "\n".join(
        [
            f"{solution.swap.before.title}, side-swapped with nothing else changed",
            "",
            *wrapped(_moved(solution), "", width=76),
            f"Checked: {verdict}",
            *wrapped(CAUTION, "", width=76),
        ]
    )


def cure_comment(solution: Solution, cure: SideCure) -> str:
    """Return the comment at the top of a cure's file."""
    lines = [f"{solution.swap.before.title}, side-swapped, cured by: {cure.title}", ""]
    if not cure.mends_the_swap:
        lines[0] = (
            f"{solution.swap.before.title}, side-swapped, not cured by: {cure.title}"
        )
    lines += wrapped(f"Checked: {_verdict(cure)}", "", width=76)
    for line in _leaves(cure):
        lines += wrapped(line, "      ", width=76, first="")
    for word, jobs in (("make", _jobs(cure, "parts")), ("do", _jobs(cure, "work"))):
        for job in jobs:
            lines += wrapped(job, "      ", width=76, first=f"{word}: ".ljust(6))
    return "\n".join([*lines, *wrapped(CAUTION, "", width=76)])
