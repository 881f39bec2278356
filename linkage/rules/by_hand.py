"""The rules of a pedal that are asked of a hand lever too, in the hand's words.

Each is a rule of its own: it judges the layout as the hand sees it (`Examined.by_hand`),
and is silent where the same is told of the same part with the pedal already. What a foot
alone does is not asked of a hand: how heavy, how touchy, how quickly let go, how hard
stamped on, and what a stamped foot does to rods that are pushed.

Not here: what either input does to the other (`rules.two_inputs`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.refs import Ref
from linkage.rules import (
    angles,
    cables,
    drums,
    gaps,
    guides,
    heat,
    own_gaps,
    rest,
    rock,
    senses,
    sheath_moved,
    sheaths,
    shutting,
    slots,
    sources,
    spring_lines,
    springs,
    stretch,
    travel,
    wires,
)
from linkage.rules.judged import MOVED
from linkage.rules.other_words import in_hands_words, reworded
from linkage.rules.rule import BAD, JAM, SHUT, Outcome, Rule, Silence

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from linkage.rules.examine import Examined

#: What is asked of every part that the hand lever moves.
_OF_ALL: Final = (
    travel.REACH,
    slots.DRIVES,
    senses.OPENING_SENSE,
    rest.IDLE,
    heat.HEAT_IDLE,
    heat.HEAT_CLEARANCE,
    slots.AT_REST,
    senses.ROD_SENSE,
    angles.ARM_ROD,
    angles.JOINT_LEAN,
    angles.DEAD_CENTRE,
    drums.UNWOUND,
    drums.COVERED,
    guides.GUIDE_JAM,
    guides.GUIDE_ROOM,
    cables.NIPPLE,
    cables.SLACK,
    sheaths.BEND,
    sheaths.LOSS,
    sheath_moved.PULLED,
    wires.WIRE,
    gaps.GAP,
    own_gaps.OWN,
    sources.ENERGY_SOURCES,
    sources.UNSPRUNG,
    shutting.CLOSING_TORQUE,
    shutting.ONE_OFF,
    rock.ENGINE_ROCK,
    rock.MOUNT_GONE,
)
#: What is asked of springs that the pedal does not move.
_OF_OWN_SPRINGS: Final = (
    spring_lines.SPRING_LINE,
    springs.HAND,
    springs.SLACK,
    stretch.OVERSTRETCHED,
    stretch.STRETCH,
    springs.STRESS,
)
#: All rules that are asked of a hand lever too.
ASKED: Final = (*_OF_ALL, *_OF_OWN_SPRINGS)
#: What goes before the code of a rule where the hand lever drives.
BEFORE: Final = "hand-"
#: Tells that nothing can be put together from another thing about the hand lever.
_TORN: Final = ("torn",)
#: What a hand pulls with in the place of a foot.
_LOADS: Final = {"stamp_load": "hand_load"}
#: Changes of the pedal alone, which mend nothing by hand.
_PEDALS: Final = frozenset(
    {"pedal stop", "stop later", "free play", "free play for heat", "rod for heat"}
)


def _judge(rule: Rule) -> Callable[[Examined], Iterator[Outcome]]:
    def found(x: Examined) -> Iterator[Outcome]:
        if rule is travel.REACH:
            yield from _torn(x)
        y = x.by_hand
        if y is None or (rule.needs == "forces" and not x.layout.springs):
            return
        moves = y.moves if rule.needs in MOVED else True
        own = {link.driven.shaft for link in x.layout.links if link.own is not None}
        for o in rule.judge(y):
            if rule in _OF_OWN_SPRINGS and not _on(y, o, own):
                continue
            yield replace(o, applies=o.applies & moves & y.ok)

    return found


def _torn(x: Examined) -> Iterator[Outcome]:
    """Yield that rods cannot be put together as the hand sees them, where that is so."""
    if (hand := x.layout.hand) is None:
        return
    y = x.by_hand
    yield Outcome(
        about=Ref("arm", hand.shaft, hand.lever),
        part=_TORN,
        applies=True if y is None else np.logical_not(y.ok),
        rank=BAD,
        at=0.0,
        facts={"why": x.torn_by_hand, "row": np.arange(x.rows)[:, None]},
    )


def _why_torn(o: Outcome) -> str:
    why = o.facts["why"](int(o.facts["row"]))
    return f"by hand, pushed home: {why}"


def _on(y: Examined, o: Outcome, shafts: set[str]) -> bool:
    """Tell whether an outcome is about a spring on one of some shafts."""
    return o.about.kind == "spring" and y.layout.springs[o.about.name].shaft in shafts


def _or_torn(rule: Rule) -> Rule:
    """Return reach as it also says why nothing can be put together."""
    return replace(
        rule,
        words=lambda o: _why_torn(o) if o.part == _TORN else rule.words(o),
        short=lambda o: (_why_torn(o), "") if o.part == _TORN else rule.brief(o),
    )


def _asked(rule: Rule) -> Rule:
    """Return a rule as it is asked of a hand lever."""
    codes = {r.code for r in ASKED}
    silences = [
        replace(s, by=BEFORE + s.by) if s.by in codes else s for s in rule.silenced_by
    ]
    if rule.needs == "forces":
        silences += [SHUT, JAM]  # as of all that is told of forces
    told = reworded(rule, in_hands_words, "by hand: ")
    return replace(
        _or_torn(told) if rule is travel.REACH else told,
        code=BEFORE + rule.code,
        judge=_judge(rule),
        name=f"{rule.pattern} by hand",
        meaning=f"The same as [{rule.code}](#{rule.code}), with the hand lever pulled "
        "instead of the pedal pressed.",
        silenced_by=(*silences, Silence(by=rule.code, same=True)),
        cure="a thicker wire" if rule is wires.WIRE else rule.cure,
        limits=tuple(_LOADS.get(name, name) for name in rule.limits),
        cures=tuple(kind for kind in rule.cures if kind not in _PEDALS),
        hand=True,
    )


#: The same rules as they are asked of a hand lever.
BY_HAND: Final[tuple[Rule, ...]] = tuple(map(_asked, ASKED))
