"""The rules of a pedal's motion that are asked of a governor too, in its words.

Not here: the rules of a governor alone (`rules.governed`).
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.rules import angles, senses, travel
from linkage.rules.governed import MOTION
from linkage.rules.governor_springs import FORCES
from linkage.rules.rule import Rule, Silence

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.rules.rule import Outcome, Short

#: What is asked of every part that a governor moves.
ASKED: Final = (
    travel.REACH,
    senses.SHAFT_SENSE,
    senses.ROD_SENSE,
    angles.ARM_ROD,
    angles.JOINT_LEAN,
    angles.DEAD_CENTRE,
)
#: What goes before the code of a rule where a governor drives.
BEFORE: Final = "governor-"
#: What is said of a pedal, and what of a governor. Names in backticks stay.
_SAID: Final = (
    (r"\bwith the pad at\b", "with the governor's arm at"),
    (r"\bat pad\b", "at arm travel"),
    (r"\bof pad\b", "of the governor's arm"),
    (r"\bpad travel\b", "arm travel"),
    (r"\bpedal down\b", "engine faster"),
    (r"\bwhile pressing\b", "while it shuts"),
    (r"\bwith the pedal up\b", "at rest"),
    (r"\bthe pedal's end\b", "the end of the governor's travel"),
    (r"\bfull end\b", "shut end"),
    (r"\bidle end\b", "open end"),
    (r"\bpast full\b", "past shut"),
    (r"\bpast idle\b", "past open"),
    (r"\bpedal\b", "governor"),
    (r"\bpad\b", "arm"),
)


def in_governors_words(text: str) -> str:
    """Return what is said of a pedal as it is said of a governor.

    >>> in_governors_words("rod `pad` jams with the pad at 12.0 mm")
    "rod `pad` jams with the governor's arm at 12.0 mm"
    """
    return re.sub(r"`[^`]*`?|[^`]+", _of_governor, text)


def _of_governor(piece: re.Match[str]) -> str:
    text = piece[0]
    if "`" not in text:
        for said, instead in _SAID:
            text = re.sub(said, instead, text)
    return text


def _said(words: Callable[[Outcome], str]) -> Callable[[Outcome], str]:
    return lambda o: in_governors_words(words(o))


def _asked(rule: Rule) -> Rule:
    """Return a rule as it is asked of a governor."""

    def short(o: Outcome) -> Short:
        what, more = rule.brief(o)
        return in_governors_words(what), in_governors_words(more)

    mine = {r.code for r in ASKED}
    silences = [replace(s, by=BEFORE + s.by) for s in rule.silenced_by if s.by in mine]
    return replace(
        rule,
        code=BEFORE + rule.code,
        words=_said(rule.words),
        short=short,
        name=f"{in_governors_words(rule.called)} of a governor",
        meaning=f"The same as [{rule.code}](#{rule.code}), with a governor in the place of "
        "the pedal.",
        silenced_by=(Silence(by="governor-sense"), *silences)
        if rule not in {senses.SHAFT_SENSE, senses.ROD_SENSE}
        else tuple(silences),
        cures=(),
        cure="",
        who=_said(rule.who),
        place=_said(rule.place),
        advice=None,
        task=None,
    )


#: All rules of a governed layout, in the order in which a fitter looks.
GOVERNED: Final[tuple[Rule, ...]] = (
    *map(_asked, ASKED[:1]),
    *MOTION,
    *FORCES,
    *map(_asked, ASKED[1:]),
)
