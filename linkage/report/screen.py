"""A check in one screen: verdict, why, what to do, what was not looked at.

Not here: the whole list (`report.findings`), one finding explained (`report.why`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from linkage.report.answers import answers
from linkage.report.assumed import assumed_short
from linkage.report.cautions import brief
from linkage.report.lines import line_width, wrapped
from linkage.report.todo import rods_text, todo_lines
from linkage.report.unjudged import unjudged_short
from linkage.report.verdict import grouped, headline, loosened_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from linkage.rules import Finding
    from linkage.search import Check

#: Most reasons, and most things to look at, that stand on the screen.
REASONS: Final = 4
#: Lines of a screen.
ROOM: Final = 24
LOOKS: Final = 3


def screen_lines(
    check: Check,
    *,
    slips: Sequence[str] = (),
    echo: Sequence[tuple[str, str, str]] = (),
) -> list[str]:
    """Return a check as lines of one screen.

    Parameters
    ----------
    check : Check
        From `search.check`.
    slips : sequence of str
        Lines about slips that may explain it; told before anything is to be cut.
    echo : sequence of (key, as written, understood)
        What was read; told last, where it is given.
    """
    top = wrapped(headline(check), "  ", first="")
    if check.verdict == "do not fit" and (loose := loosened_text(check)):
        top += wrapped(loose, "  ", first="")
    top += slips
    title = wrapped(check.examined.layout.title, "  ", first="")
    head = []
    told: dict[str, list[str]] = {}
    for question, answer in answers(check):
        told.setdefault(answer, []).append(question)
    for answer, questions in told.items():
        head += wrapped(answer, " " * 9, first=f"  {' '.join(questions)} ")
    rods = wrapped(rods_text(check), "  ", first="")
    last = [*rods, *closing(check)]
    above = [top, title, head, _why(check), todo_lines(check)]
    if sum(map(len, above)) + len(last) > ROOM:
        last = [*rods, *closing(check, tight=True)]
    below = [*above[3:], last]
    # A slip is worth more than what the file is called.
    count = sum(map(len, (top, title, head, *below)))
    title = title if count <= ROOM or not any(slips) else []
    blocks = [[*top, *title, *head], *below]
    return [*spaced(blocks), *echo_lines(echo)]


def spaced(blocks: Iterable[list[str]], room: int = ROOM) -> list[str]:
    """Return blocks of lines one after the other, apart where there is room for that.

    >>> spaced([["a"], [], ["b"], ["c"]], room=4)
    ['a', '', 'b', 'c']
    """
    first, *others = [b for b in blocks if b]
    spare = room - len(first) - sum(map(len, others))
    out = list(first)
    for block in others:
        out += [""] if spare > 0 else []
        out += block
        spare -= 1
    return out


def echo_lines(echo: Sequence[tuple[str, str, str]]) -> list[str]:
    """Return how every number was understood; nothing where that is not asked."""
    if not echo:
        return []
    out = ["", "Understood:"]
    for key, written, understood in echo:
        out += wrapped(f"{key} = {written}: {understood}", "      ", first="  ")
    return out


def _why(check: Check) -> list[str]:
    """Return why it does not fit, worst first; of one that fits what to look at."""
    groups = [g for g in grouped(check.findings) if g[0].verdict != "fits"]
    bad = [g for g in groups if g[0].verdict == "do not fit"]
    looks = [g for g in groups if g[0].verdict == "look"]
    if not groups:
        return []
    if not bad:
        return ["To look at:", *_told(looks, LOOKS)]
    out = ["Why, worst first:", *_told(bad, REASONS)]
    if looks:
        named = ", ".join(dict.fromkeys(g[0].called for g in looks))
        out += wrapped(f"To look at as well: {named}.", "  ", first="")
    return out


def _told(groups: list[list[Finding]], most: int) -> list[str]:
    out = []
    for group in groups[:most]:
        out += wrapped(_one(group), "    ", first="  - ")
    if len(groups) > most:
        out.append(f"  and {len(groups) - most} more: --all")
    return out


def _one(group: list[Finding]) -> str:
    first, more = group[0], len(group) - 1
    others = f", and {more} more like it" if more else ""
    return f"{first.short}{others} [{first.code}]"


def closing(check: Check, *, tight: bool = False) -> list[str]:
    """Return how much was in order, not checked and assumed, and three cautions.

    Parameters
    ----------
    check : Check
        From `search.check`.
    tight : bool
        What is in order and what was not checked in one line.
    """
    fits = sum(f.verdict == "fits" for f in check.findings)
    word = "checks" if len(check.findings) == fits else "other checks"
    good = f"{fits} {word} in order"
    out = [f"{good}: --all"] if fits and not tight else []
    head = f"{good}. " if fits and tight else ""
    out += packed(f"{head}Not checked:", unjudged_short(check))
    out += packed("Assumed:", assumed_short(check))
    for caution in brief(check.examined.layout):
        out += wrapped(caution, "  ", first="- ")
    return out


def packed(head: str, items: Sequence[str]) -> list[str]:
    """Return as many items as one line holds, and how many more there are.

    >>> packed("Not checked:", ["bending", "wear"])
    ['Not checked: bending, wear. More: --all']
    """
    if not items:
        return []
    lines = []
    for count in range(len(items), 0, -1):
        left = len(items) - count
        tail = f", {left} more: --all" if left else ". More: --all"
        lines.append(f"{head} {', '.join(items[:count])}{tail}")
    line = next((x for x in lines if len(x) <= line_width()), lines[-1])
    return wrapped(line, "  ", first="")
