"""What to do, as numbered steps: what mends the whole, or what there is instead.

Not here: looking for it (`search.cures`), the words of a step (`search.said`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.model.called import rod_kinds
from linkage.motion.as_made import made_length
from linkage.quantities import say
from linkage.report.tables import wrapped
from linkage.report.verdict import springless, worst_first
from linkage.spoken import say_rod

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.rules import Cure, Finding
    from linkage.search import Check

#: What is said where nothing was found.
NOTHING: Final = "No change within reach mends this: measure again, or move a pivot."
#: What to do where the file names no spring.
_SPRINGS: Final = (
    "write every return spring into the file, the carburettor's own too",
    "check again; until then --geometry judges travel and angles alone",
)
#: Most things to look at of which it is told what to do.
FEW: Final = 5


def todo_lines(check: Check) -> list[str]:
    """Return what to do, with the size of everything that is made or set anew.

    Parameters
    ----------
    check : Check
        From `search.check`.
    """
    if check.verdict != "do not fit":
        return _looks(check)
    if springless(check):
        return ["WHAT TO DO:", *_numbered(_SPRINGS)]
    return _mends(check)


def _mends(check: Check) -> list[str]:
    """Return what mends it, or what there is instead."""
    if check.plan is not None and check.plan.steps:
        return _steps("WHAT TO DO", check.plan)
    cure = _nearest(check)
    if cure is None:
        return wrapped(f"WHAT TO DO: {_bars(check) or NOTHING}", "  ", first="")
    if not cure.steps:
        return [*wrapped("WHAT TO DO FIRST:", "  ", first=""), *_numbered([cure.text])]
    word = (
        "WHAT TO DO FIRST" if cure.proven else "WHAT COMES NEAREST, and is not enough"
    )
    return _steps(word, cure)


def chosen(check: Check) -> Cure | None:
    """Return the change whose steps are told, if any are."""
    if check.verdict != "do not fit" or springless(check):
        return None
    found = check.plan or _nearest(check)
    return found if found is not None and found.steps else None


def _nearest(check: Check) -> Cure | None:
    """Return the cure of the worst fault that has one."""
    cures = [f.cure for f in worst_first(check.reasons) if f.cure and not f.cure.barred]
    stepped = (c for c in cures if c.steps)
    return next(stepped, cures[0] if cures else None)


def _bars(check: Check) -> str:
    """Return which fixed parts bar a cure, if any do."""
    return next((f.cure.text for f in check.reasons if f.cure and f.cure.barred), "")


def _steps(word: str, cure: Cure) -> list[str]:
    """Return the steps of a change, with what comes of them and what they leave."""
    out = wrapped(f"{word} (solved again, {cure.outcome}):", "  ", first="")
    out += _numbered(cure.steps)
    return out + (wrapped(f"{_sentence(cure.leaves)}", "     ") if cure.leaves else [])


def _looks(check: Check) -> list[str]:
    """Return what may be done about what is to be looked at."""
    looks = [f for f in worst_first(check.findings) if f.verdict == "look"]
    done = list(dict.fromkeys(filter(None, map(_look, looks))))
    return ["WHAT MAY BE DONE:", *_numbered(done[:FEW])] if done else []


def _look(finding: Finding) -> str:
    """Return in one sentence what may be done about one thing to look at."""
    cure, task = finding.cure, finding.rule.task
    if cure is None or cure.barred:
        return ""
    if cure.steps:
        return "; ".join(cure.steps)
    return task(finding.outcome) if task else cure.text


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"


def _numbered(steps: Iterable[str]) -> list[str]:
    out = []
    for number, step in enumerate(steps, start=1):
        out += wrapped(_sentence(step), "     ", first=f"  {number}. ")
    return out


def rods_text(check: Check) -> str:
    """Return every rod's length and where the pedal stop is, after what is to be done.

    Empty where the steps say it all.
    """
    cure, x = chosen(check), check.examined
    if cure is not None and _told_by(cure):
        return ""
    lengths = {p.link.rod.name: made_length(p) for p in x.assembly.loops}
    layout = x.layout if cure is None or cure.layout is None else cure.layout
    after = lengths if cure is None else cure.rods
    gives = {n: " until it gives" * layout.rods[n].gives for n in after}
    kinds = rod_kinds(layout)
    told = {
        n: f"`{n}` {say(v, 'length') if kinds.get(n) == 'cable' else say_rod(v)}{gives[n]}"
        for n, v in after.items()
    }
    slots = any(layout.rods[n].slot for n in after if n in layout.rods)
    where = "joint centres" + ", in a slot at the end that drives" * slots
    then = "" if cure is None else " then"
    parts = [
        f"{word}{then}, {what}: {', '.join(told[n] for n in named)}"
        for word, what, named in (
            (
                "Rods",
                f"between {where}",
                [n for n in told if kinds.get(n, "rod") == "rod"],
            ),
            ("Cables", "free wire", [n for n in told if kinds.get(n) == "cable"]),
        )
        if named
    ]
    stop = layout.pedal.stop
    at = "no pedal stop" if stop is None else f"pedal stop at {say(stop, 'length')}"
    return "; ".join(parts if layout.governed else [*parts, at]) + "."


def _told_by(cure: Cure) -> bool:
    """Tell whether the steps of a change cut every rod and set the pedal stop."""
    return cure.cut == frozenset(cure.rods) and cure.sets_stop
