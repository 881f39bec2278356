"""Slips that would explain what is wrong, and sizes that are asked about, as text.

Not here: finding them (`slips`), printing them (`cli`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.model.called import rod_kinds
from linkage.report.tables import wrapped
from linkage.rules.order import called_in

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.slips import Question, Slip
    from linkage.slips.slip import Slips

_AGAIN = "look again before you cut"


def doubt_lines(
    slips: Slips, questions: Sequence[Question], *, fits: bool = False
) -> list[str]:
    """Return what a person should look at again, wrapped; empty where nothing is.

    Of a size that a slip explains nothing is asked, unless all fits as it is: then
    the question comes first, and what it may have been after it.

    Parameters
    ----------
    slips : Slips
        From `slips.suspected`.
    questions : sequence of Question
        From `slips.questions`.
    fits : bool
        Whether it fits as it is, the odd size with it.
    """
    if fits:
        return [*question_lines(questions), *slip_lines(slips, fits=True)]
    told = {slip.key for slip in slips}
    asked = [q for q in questions if q.key not in told]
    cut = ["Not every usual slip was looked at, as that would take too long."]
    return [*slip_lines(slips), *question_lines(asked), *cut * slips.cut]


def slip_lines(slips: Sequence[Slip], *, fits: bool = False) -> list[str]:
    """Return slips alone, in a line or two each.

    Parameters
    ----------
    slips : sequence of Slip
        From `slips.suspected`, the likeliest first.
    fits : bool
        Whether it fits as it is, with an odd size.
    """
    if not slips:
        return []
    if len(slips) == 1:
        said = f"{slips[0].text}, as is usual" if fits else _said(slips[0])
        return wrapped(f"or a slip? {said}: {_AGAIN}", "  ", first="")
    what = "gives a usual size" if fits else "makes all fit"
    out = wrapped(f"or a slip? One of these {what}: {_AGAIN}", "  ", first="")
    return out + [
        line for slip in slips for line in wrapped(slip.text, "    ", first="  - ")
    ]


def _said(slip: Slip) -> str:
    """Return a slip with what comes of it."""
    if slip.left:
        kinds = rod_kinds(slip.layout)
        left = ", ".join(dict.fromkeys(called_in(kinds, code) for code in slip.left))
        return f"{slip.text}, and all moves as it should; it leaves {left}"
    springless = "" if slip.layout.springs else "; springs are still to be given"
    looks = f", with {slip.looks} to look at" if slip.looks else ""
    return f"{slip.text}, and all fits{looks}{springless}"


def question_lines(questions: Sequence[Question]) -> list[str]:
    """Return what a person is asked about sizes, wrapped; empty where all are usual."""
    return [line for q in questions for line in wrapped(q.text, "  ", first="")]


def slip_data(slips: Slips, questions: Sequence[Question]) -> dict[str, Any]:
    """Return both as plain data for ``--json``."""
    return {
        "slips": [slip.record() for slip in slips],
        "slips_cut_short": slips.cut,
        "questions": [question.record() for question in questions],
    }
