"""Every rule, in the order in which a fitter looks.

Not here: the rules themselves, one file a family.
"""

from __future__ import annotations

from graphlib import CycleError
from typing import TYPE_CHECKING, Final

from linkage.model import LIMIT_ROWS
from linkage.rules import (
    angles,
    at_worst,
    cables,
    cams,
    drums,
    fast_idle,
    gaps,
    gaps_moved,
    guides,
    hand_lever,
    heat,
    loads,
    moved,
    over_travel,
    own_gaps,
    pedal_springs,
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
    stamp,
    stretch,
    time,
    together,
    travel,
    two_inputs,
    wires,
)
from linkage.rules.by_hand import BEFORE, BY_HAND
from linkage.rules.governor_words import BEFORE as GOVERNORS
from linkage.rules.governor_words import GOVERNED
from linkage.rules.rule import silencers_first

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.rules.rule import Rule

RULES: Final[tuple[Rule, ...]] = (
    travel.REACH,
    slots.DRIVES,
    senses.OPENING_SENSE,
    travel.FULL_THROTTLE,
    at_worst.FULL_AT_WORST,
    travel.LEFT_OVER,
    rest.IDLE,
    slots.AT_REST,
    cables.SLACK,
    rest.LOST_TRAVEL,
    rest.FULL_THEN_IDLE,
    rest.STOP_GAP,
    together.SPREAD,
    together.KICKDOWN,
    slots.STICKS,
    travel.TIP_IN,
    senses.SHAFT_SENSE,
    senses.ROD_SENSE,
    angles.ARM_ROD,
    angles.JOINT_LEAN,
    cables.NIPPLE,
    cables.STROKE,
    drums.UNWOUND,
    drums.COVERED,
    sheaths.BEND,
    sheaths.LOSS,
    guides.GUIDE_JAM,
    guides.GUIDE_ROOM,
    cams.END,
    cams.PRESSURE,
    pedal_springs.SPRING_PEDAL,
    spring_lines.SPRING_LINE,
    angles.DEAD_CENTRE,
    at_worst.DEAD_AT_WORST,
    springs.HAND,
    springs.SLACK,
    stretch.OVERSTRETCHED,
    stretch.STRETCH,
    springs.STRESS,
    sources.ENERGY_SOURCES,
    sources.UNSPRUNG,
    shutting.CLOSING_TORQUE,
    shutting.ONE_OFF,
    time.TIME_TO_IDLE,
    time.DRAG,
    loads.PAD_FORCE_LIGHT,
    loads.PAD_FORCE,
    loads.PULL_CHANGES,
    loads.ROD_PUSH,
    wires.WIRE,
    over_travel.OVER_TRAVEL,
    stamp.STAMP,
    gaps.TOUCHED,
    gaps.GAP,
    own_gaps.OWN,
    rock.ENGINE_ROCK,
    rock.MOUNT_GONE,
    sheath_moved.PULLED,
    moved.SENSES,
    moved.SPRINGS,
    moved.CLOSING,
    gaps_moved.MOVED,
    heat.HEAT_IDLE,
    heat.HEAT_CLEARANCE,
    heat.HEAT_FULL,
    two_inputs.PEDAL_DRAGS,
    two_inputs.HAND_DRAGS,
    hand_lever.HOLDS,
    hand_lever.OPENS,
    fast_idle.FAST_IDLE,
    hand_lever.STAYS,
    *BY_HAND,
)


def consistent(rules: tuple[Rule, ...]) -> None:
    """Refuse rules that do not belong together.

    Raises
    ------
    ValueError
        If two rules have one code, silences go round, a rule names a limit or
        silencer that there is not, or a limit is read by no rule.
    """
    by_code = {rule.code: rule for rule in rules}
    if len(by_code) < len(rules):
        msg = "two rules have one code"
        raise ValueError(msg)
    read: set[str] = set().union(*(rule.limits for rule in rules))
    named = {s.by for rule in rules for s in rule.silenced_by}
    wrong = [
        *(f"there is no limit `{name}`" for name in read - set(LIMIT_ROWS)),
        *(f"there is no rule `{code}`" for code in named - set(by_code)),
        *(f"no rule reads the limit `{name}`" for name in set(LIMIT_ROWS) - read),
    ]
    if wrong:
        raise ValueError("; ".join(sorted(wrong)))
    try:
        silencers_first(rules)
    except CycleError as error:
        msg = f"rules silence each other: {', '.join(error.args[1])}"
        raise ValueError(msg) from error


consistent(RULES)  # what is wrong with the rules is told when they are loaded
#: Codes of rules, the worst that they find first: what holds the plate open or cannot
#: shut it, what keeps it from opening, what breaks, what is a bother.
_GRAVEST: Final[tuple[str, ...]] = (
    "opening-sense",
    "reach",
    "touched-at-rest",
    "slot-lets-go",
    "pedal-drags-hand",
    "hand-drags-pedal",
    "hand-fast-idle",
    "rod-sense",
    "dead-centre",
    "dead-centre-worst",
    "gap",
    "own-gap",
    "nipple-room",
    "drum-covered",
    "drum-unwound",
    "sheath-bend",
    "sheath-loss",
    "guide-jam",
    "guide-room",
    "cam-end",
    "cam-pressure",
    "arm-rod-angle",
    "spring-line",
    "spring-hand",
    "spring-pedal",
    "engine-senses",
    "engine-gap",
    "sheath-pulled",
    "closing-torque",
    "energy-sources",
    "unsprung-if-parted",
    "closing-torque-one-off",
    "time-to-idle",
    "spring-slack",
    "mount-gone",
    "engine-rock",
    "engine-springs",
    "engine-closing",
    "heat-idle",
    "idle",
    "slot-drives",
    "cable-stroke",
    "kickdown",
    "full-throttle",
    "heat-full",
    "over-travel-load",
    "spring-overstretched",
    "spring-stress",
    "spring-stretch",
    "wire-strength",
    "joint-tilt",
    "rod-push",
    "pad-force",
)
#: Codes of rules about a hand lever beside the pedal.
_OF_BOTH: Final = frozenset(
    rule.code
    for rule in (
        two_inputs.PEDAL_DRAGS,
        two_inputs.HAND_DRAGS,
        hand_lever.HOLDS,
        hand_lever.OPENS,
        fast_idle.FAST_IDLE,
        hand_lever.STAYS,
    )
)
_ASKED_BY_HAND: Final = frozenset(rule.code for rule in BY_HAND)
#: The same, each followed by the one that asks it of a hand lever.
GRAVEST: Final[tuple[str, ...]] = tuple(
    one
    for code in _GRAVEST
    for one in (code, BEFORE + code)
    if one == code or one in _ASKED_BY_HAND
)


def gravity(code: str) -> int:
    """Return the place of a rule among what is worst, from 0, those of a bother last."""
    return GRAVEST.index(code) if code in GRAVEST else len(GRAVEST)


#: What is asked with the engine at rest and the pedal pressed; all else takes longer.
AT_REST: Final = tuple(
    rule
    for rule in RULES
    if not (rule.hand or rule.needs == "rock")
    and rule.code not in {moved.SPRINGS.code, moved.CLOSING.code, *_OF_BOTH}
)
#: Codes of rules about measuring errors, and what is asked of rows that have them.
AT_WORST: Final = frozenset({at_worst.FULL_AT_WORST.code, at_worst.DEAD_AT_WORST.code})
UNCERTAIN: Final = tuple(rule for rule in RULES if rule.code not in AT_WORST)
#: Every rule by its code, those of a governor too.
BY_CODE: Final = {rule.code: rule for rule in (*RULES, *GOVERNED)}


def alike(*codes: str) -> frozenset[str]:
    """Return codes of rules, with those that ask the same of a hand lever or a governor.

    >>> sorted(alike("gap", "engine-gap"))
    ['engine-gap', 'gap', 'governor-gap', 'hand-gap']
    """
    each = {f"{before}{code}" for code in codes for before in ("", BEFORE, GOVERNORS)}
    return frozenset(each & set(BY_CODE))


#: Codes of rules about gaps: of what is touched at rest, and of all others.
TOUCHED: Final = alike(gaps.TOUCHED.code)
GAPS: Final = alike(gaps.GAP.code, own_gaps.OWN.code, gaps_moved.MOVED.code)
#: Codes of rules that rest on forces, and of those about the rocking engine.
FORCE_CODES: Final = frozenset(r.code for r in RULES if r.needs == "forces")
ROCK_CODES: Final = frozenset(r.code for r in RULES if r.needs == "rock")


def called_in(kinds: Mapping[str, str], code: str) -> str:
    """Return what a rule is called in a layout with such rods; its code if it is none.

    >>> called_in({"main": "cable"}, "reach")
    'the reach of cables'
    """
    rule = BY_CODE.get(code)
    return code if rule is None else rule.called_in(kinds)
