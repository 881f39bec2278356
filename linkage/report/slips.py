"""Slips that would explain what is wrong, and sizes that are asked about, as text.

Not here: finding them (`slips`), printing them (`cli`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.report.tables import wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from linkage.slips import Question, Slip

_AGAIN = "look again before you cut"


def slip_lines(slips: Sequence[Slip]) -> list[str]:
    """Return what a person should look at again, wrapped; empty where nothing is.

    Parameters
    ----------
    slips : sequence of Slip
        From `slips.suspected`, the likeliest first.
    """
    if not slips:
        return []
    if len(slips) == 1:
        return wrapped(f"or a slip? {_said(slips[0])}: {_AGAIN}", "  ", first="")
    out = wrapped(f"or a slip? One of these makes all fit: {_AGAIN}", "  ", first="")
    return out + [
        line for slip in slips for line in wrapped(slip.text, "    ", first="  - ")
    ]


def _said(slip: Slip) -> str:
    """Return a slip with what comes of it."""
    if slip.left:
        return (
            f"{slip.text} and all moves as it should; it leaves {', '.join(slip.left)}"
        )
    springless = "" if slip.layout.springs else "; springs are still to be given"
    looks = f", with {slip.looks} to look at" if slip.looks else ""
    return f"{slip.text}, and all fits{looks}{springless}"


def question_lines(
    questions: Sequence[Question], slips: Sequence[Slip] = ()
) -> list[str]:
    """Return what a person is asked about sizes, wrapped; empty where all are usual.

    Parameters
    ----------
    questions : sequence of Question
        From `slips.questions`.
    slips : sequence of Slip
        That are told already; of the sizes that they name nothing is asked.
    """
    told = {slip.key for slip in slips}
    asked = [q for q in questions if q.key not in told]
    return [line for q in asked for line in wrapped(q.text, "  ", first="")]


def slip_data(
    slips: Sequence[Slip], questions: Sequence[Question]
) -> dict[str, list[dict[str, Any]]]:
    """Return both as plain data for ``--json``."""
    return {
        "slips": [slip.record() for slip in slips],
        "questions": [question.record() for question in questions],
    }
