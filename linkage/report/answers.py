"""Five questions that are asked of every linkage, and their answers with a number.

Does the pedal open the plate, and fully? Does it shut, can it lock open, is it heavy? Of
a governor: is it open at rest, does it shut and open, what of a parted rod, can it lock?

Not here: the findings one by one (`report.findings`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model.called import a_rod, rod_kinds
from linkage.quantities import say
from linkage.report.lost_motion import starts
from linkage.report.verdict import worst_first
from linkage.rules.angles import least_angle
from linkage.rules.by_hand import BEFORE
from linkage.rules.governor_words import BEFORE as GOVERNORS

if TYPE_CHECKING:
    from linkage.rules import Finding
    from linkage.search import Check

#: Rules that tell whether it shuts, and whether it can lock.
_SHUTS: Final = frozenset(
    {
        "spring-line",
        "spring-hand",
        "spring-pedal",
        "spring-slack",
        "closing-torque",
        "closing-torque-one-off",
        "energy-sources",
        "slot-lets-go",
        "unsprung-if-parted",
        "time-to-idle",
    }
)
_LOCKS: Final = frozenset({"reach", "rod-sense", "dead-centre", "arm-rod-angle"})
#: The same, asked of a hand lever or governor too; one that is dragged along holds it open.
SHUTS: Final = _SHUTS | {BEFORE + code for code in _SHUTS} | {"pedal-drags-hand"}
LOCKS: Final = frozenset(
    before + code for code in _LOCKS for before in ("", BEFORE, GOVERNORS)
)
#: What is said where another finding left nothing to judge.
LATER: Final = "not judged before the rest is mended"


def answers(check: Check) -> list[tuple[str, str]]:
    """Return the five questions, each with its answer, and one of a hand lever.

    Parameters
    ----------
    check : Check
        From `search.check`.

    Returns
    -------
    list of (question, answer)
        In the order in which a fitter asks.
    """
    if check.examined.layout.governed:
        return [
            ("at rest?", _worst(check, "governor-rest")),
            ("shuts?", _worst(check, "governor-sense", "governor-shuts")),
            ("opens?", _worst(check, "governor-spring")),
            ("parted?", _worst(check, "governor-parted")),
            ("locks?", _locks(check)),
        ]
    return [
        ("opens?", _opens(check)),
        ("fully?", _fully(check)),
        ("shuts?", _shuts(check)),
        ("locks?", _locks(check)),
        ("heavy?", _heavy(check)),
        *_by_hand(check),
    ]


def _worst(check: Check, *codes: str) -> str:
    """Return what the worst finding of some rules says, yes or no before it."""
    found = _of(check, *codes)
    if not found:
        return LATER
    told = found[-1] if found[0].verdict == "fits" else found[0]
    word = {"fits": "yes", "look": "look", "do not fit": "NO"}[told.verdict]
    return f"{word}, {told.short}"


def _by_hand(check: Check) -> list[tuple[str, str]]:
    """Return the same of a hand lever, in one answer; none where there is none."""
    hand = check.examined.layout.hand
    if hand is None:
        return []
    fast = hand.fast_idle is not None
    found = _of(check, "hand-fast-idle" if fast else "hand-opens")
    if not found:
        return [("fast idle?" if fast else "by hand?", LATER)]
    first = min(found, key=lambda f: f.value or 0.0)
    drags = _of(check, "pedal-drags-hand", "hand-drags-pedal")
    clear = bool(drags) and drags[0].verdict != "do not fit"
    both = "; neither moves the other" * clear
    if fast:
        return [("fast idle?", f"{_worst(check, 'hand-fast-idle')}{both}")]
    return [("by hand?", f"to {first.brief[1]}{both}")]


def _of(check: Check, *codes: str) -> list[Finding]:
    """Return findings of some rules, worst first."""
    return worst_first(f for f in check.findings if f.code in codes)


def _more(finding: Finding) -> str:
    return finding.brief[1]


def _opens(check: Check) -> str:
    found = _of(check, "opening-sense")
    if not found:
        return LATER
    late = f"; {text}" if (text := starts(check)) else ""
    return f"{'yes' if found[0].verdict == 'fits' else 'NO'}, {_more(found[0])}{late}"


def _fully(check: Check) -> str:
    found = _of(check, "full-throttle")
    if not found:
        return LATER
    first = min(found, key=lambda f: f.value or 0.0)
    o = first.outcome
    of = f"{say(o.facts['reached'], 'angle')} of {say(o.facts['swing'], 'angle')}"
    yes = "yes" if first.verdict == "fits" else "NO"
    with first.closely():
        share = say(o.value, "fraction")
    return f"{yes}, {share}: {of} at {say(o.at, 'length')} of pad travel"


def _shuts(check: Check) -> str:
    found = _of(check, *SHUTS)
    if check.geometry:
        return "not judged: geometry alone was asked"
    if not check.examined.layout.springs:
        return "NOT CHECKED: no spring is given"
    if found and found[0].verdict == "do not fit":
        return f"NO, {found[0].clause}"
    ratios = _ratios(check, "closing-torque")
    if not ratios:
        return LATER
    text = f"yes, closing torque {say(ratios[0].outcome.value, 'ratio', 1)} times the friction"
    alone = _ratios(check, "closing-torque-one-off")
    if alone:
        first = alone[0]
        failed = first.part[0].brief
        text += f", {say(first.outcome.value, 'ratio', 1)} with {failed}"
    return text


def _ratios(check: Check, code: str) -> list[Finding]:
    """Return what a rule finds of torque against friction, the least first."""
    found = [f for f in check.findings if f.code == code and f.kind == "ratio"]
    return sorted(found, key=lambda f: f.value or 0.0)


def _locks(check: Check) -> str:
    found = _of(check, *LOCKS)
    if found and found[0].verdict == "do not fit":
        return f"MAY: {found[0].clause}"
    if not _of(check, "arm-rod-angle", f"{GOVERNORS}arm-rod-angle"):
        return LATER
    flat = say(least_angle(check.examined), "angle")
    text = (
        f"no, flattest {flat} between {a_rod(rod_kinds(check.examined.layout))} and arm"
    )
    past = [
        f.outcome.facts["pad"]
        for f in _of(check, "dead-centre")
        if f.part and f.part[1] == "full"
    ]
    return text + (
        f", dead centre {say(min(past), 'length')} past full" if past else ""
    )


def _heavy(check: Check) -> str:
    found = _of(check, "pad-force")
    if not found:
        judged = not check.geometry and check.examined.layout.springs
        return LATER if judged else "not judged without springs"
    first = found[0]
    if first.part:
        return f"LOCKED: {first.clause}"
    yes = "no" if first.verdict == "fits" else "YES"
    over = say(first.outcome.facts["look"], "force", 0)
    at_most = say(first.outcome.value, "force")
    springs = sum(first.outcome.facts["over travel"].values())
    of_it = f", {say(springs, 'force')} of it over-travel" if springs else ""
    return f"{yes}, the pad takes {at_most} at most{of_it}; over {over} is heavy"
