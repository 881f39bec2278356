"""The rules of a pedal that are asked of a governor too, in its words.

Not here: the rules of a governor alone (`rules.governed`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from linkage.rules import (
    angles,
    cables,
    gaps,
    guides,
    own_gaps,
    senses,
    sheaths,
    springs,
    stretch,
    travel,
)
from linkage.rules.governed import MOTION
from linkage.rules.governor_springs import FORCES
from linkage.rules.other_words import in_governors_words, reworded
from linkage.rules.rule import Rule, Silence

#: What is asked of every part that a governor moves.
ASKED: Final = (
    travel.REACH,
    senses.SHAFT_SENSE,
    senses.ROD_SENSE,
    angles.ARM_ROD,
    angles.JOINT_LEAN,
    cables.NIPPLE,
    cables.STROKE,
    sheaths.BEND,
    sheaths.LOSS,
    guides.GUIDE_JAM,
    guides.GUIDE_ROOM,
    angles.DEAD_CENTRE,
    springs.SLACK,
    stretch.OVERSTRETCHED,
    stretch.STRETCH,
    springs.STRESS,
    gaps.TOUCHED,
    gaps.GAP,
    own_gaps.OWN,
)
#: Changes of rods that lose motion, which a governor must not have.
_LOSING: Final = frozenset(
    {"slot longer", "rod lost", "over-travel way", "pedal stop", "free play"}
)
#: Those of a spring, which are called as they are.
_SPRINGS: Final = ASKED[-4:]
#: What goes before the code of a rule where a governor drives.
BEFORE: Final = "governor-"


def _asked(rule: Rule) -> Rule:
    """Return a rule as it is asked of a governor."""
    mine = {r.code for r in ASKED}
    silences = [replace(s, by=BEFORE + s.by) for s in rule.silenced_by if s.by in mine]
    return replace(
        reworded(rule, in_governors_words),
        code=BEFORE + rule.code,
        name=in_governors_words(rule.pattern)
        + " of a governor" * (rule not in _SPRINGS),
        meaning=f"The same as [{rule.code}](#{rule.code}), with a governor in the place of "
        "the pedal.",
        silenced_by=(Silence(by="governor-sense"), *silences)
        if rule not in {senses.SHAFT_SENSE, senses.ROD_SENSE}
        else tuple(silences),
        cures=tuple(kind for kind in rule.cures if kind not in _LOSING),
    )


#: All rules of a governed layout, in the order in which a fitter looks.
GOVERNED: Final[tuple[Rule, ...]] = (
    *map(_asked, ASKED[:1]),
    *MOTION,
    *FORCES,
    *map(_asked, ASKED[1:]),
)
