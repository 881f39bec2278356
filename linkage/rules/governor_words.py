"""The rules of a pedal's motion that are asked of a governor too, in its words.

Not here: the rules of a governor alone (`rules.governed`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.rules import angles, senses, travel
from linkage.rules.governed import MOTION
from linkage.rules.governor_springs import FORCES
from linkage.rules.other_words import in_governors_words
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
