"""Rules about loads: pad force, and rods that push.

Not here: shutting (`rules.shutting`), what takes a stamped foot (`rules.stamp`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import any_of, at, greater, pick, where_most
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.rule import (
    BAD,
    FITS,
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    Silence,
    graded,
    ranked,
)
from linkage.rules.shutting import MISPLACED

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.rules.examine import Examined

#: Push below which a rod's diameter does not matter. [N]
SLIGHT: Final = 1.0
#: Near dead centre any load is heavy.
_DEAD: Final = Silence(by="arm-rod-angle", keeps_good=True)
_HEAVY: Final = (SHUT, JAM, *MISPLACED, _DEAD)
#: Nothing is said of a light pedal where a spring is missing or wrong.
_WEAK: Final = tuple(
    Silence(by=code)
    for code in (
        "spring-hand",
        "spring-slack",
        "spring-overstretched",
        "spring-stress",
        "energy-sources",
        "unsprung-if-parted",
        "closing-torque",
        "closing-torque-one-off",
        "time-to-idle",
    )
)


def _light(x: Examined) -> Iterator[Outcome]:
    s, limit = x.forces.statics, x.layout.limits.pad_force_light
    # Where motion is lost the foot moves nothing yet, as in the pedal's free play.
    begins = where_most(s.pad_travel >= x.working.picked_up)
    value = at(s.pad_force_pressing, begins)
    yield Outcome(
        about=Ref("pedal"),
        applies=np.logical_not(any_of(np.isnan(s.pad_force_pressing))),
        rank=ranked(value >= limit, LOOK),
        value=value,
        limit=limit,
        kind="force",
        at=at(s.pad_travel, begins),
    )


PAD_FORCE_LIGHT: Final = Rule(
    code="pad-force-light",
    needs="forces",
    judge=_light,
    words=lambda o: (
        f"pad force {say(o.value, 'force')} at the start; under "
        f"{say(o.limit, 'force')} the foot has no feel"
    ),
    name="a light pedal",
    short=lambda o: (
        f"the pedal takes {say(o.value, 'force')} at the start",
        f"under {say(o.limit, 'force')} the foot has no feel",
    ),
    meaning="The force on the pad at the start, once motion that is lost on purpose is taken "
    "up: below the limit the foot has no feel.",
    verdicts="fits, or look",
    refuses=False,
    limits=("pad_force_light",),
    silenced_by=(*_HEAVY, *_WEAK),
    cures=("springs stronger",),
    cure="stronger springs",
)


def _pad(x: Examined) -> Iterator[Outcome]:
    limits, s = x.layout.limits, x.forces.statics
    look, refuse = limits.pad_force_look, limits.pad_force_refuse
    force = s.pad_force_pressing
    locked = any_of(np.isnan(force))
    worst = where_most(np.isnan(force))
    yield Outcome(
        about=Ref("pedal"),
        part=("locked",),
        applies=locked,
        rank=BAD,
        at=at(s.pad_travel, worst),
        facts={"slides": any(part.slides for part in x.layout.shafts.values())},
    )
    worst = where_most(force)
    value = at(force, worst)
    yield Outcome(
        about=Ref("pedal"),
        applies=np.logical_not(locked),
        rank=graded(value <= look, value <= refuse),
        value=value,
        limit=pick(value > refuse, refuse, look),
        kind="force",
        at=at(s.pad_travel, worst),
        facts={
            "shares": {name: at(share, worst) for name, share in s.split.items()},
            "over travel": {
                name: at(share, worst) for name, share in s.over_travel_share.items()
            },
            "friction": at(force, worst) - at(s.pad_force, worst),
            "weight": at(s.weight_share, worst),
            "releasing": at(s.pad_force_releasing, worst),
            "look": look,
            "refuse": refuse,
        },
    )


def _pad_words(o: Outcome) -> str:
    f, place = o.facts, say(o.at, "length")
    if o.part:
        where, how = ("bearing", "the shaft it should turn")
        if f.get("slides"):
            where += " or a guide"
            how += ", or across a guide that is too short for it"
        return (
            f"friction in a {where} locks the linkage at pad {place}: the {o.a_rod} "
            f"pulls almost through {how}"
        )
    shares = ", ".join(
        f"`{n}` {say(share, 'force')}" for n, share in f["shares"].items()
    )
    for name, share in f["over travel"].items():
        if share:
            shares += f", over-travel spring of {o.rod(name)} {say(share, 'force')}"
    shares += f", friction {say(f['friction'], 'force')}"
    if f["weight"]:
        shares += f", weight {say(f['weight'], 'force')}"
    return (
        f"pad force at most {say(o.value, 'force')} pressing, at pad {place} "
        f"({shares}), {say(f['releasing'], 'force')} releasing there; over "
        f"{say(f['look'], 'force')} is heavy, over {say(f['refuse'], 'force')} bad"
    )


def _pad_short(o: Outcome) -> Short:
    f, place = o.facts, f"at pad {say(o.at, 'length')}"
    if o.part:
        return (
            f"friction locks the linkage {place}",
            f"a {o.a_rod} pulls almost through its shaft"
            + (" or across its guide" if f.get("slides") else ""),
        )
    heavy = "the pedal is heavy, " if o.rank else "the pedal takes at most "
    look, refuse = say(f["look"], "force"), say(f["refuse"], "force")
    return (
        f"{heavy}{say(o.value, 'force')}",
        f"{place}, over {look} is heavy, over {refuse} bad",
    )


PAD_FORCE: Final = Rule(
    name="the force on the pad",
    short=_pad_short,
    code="pad-force",
    needs="forces",
    judge=_pad,
    words=_pad_words,
    meaning="The greatest force on the pad while pressing, split spring by spring, "
    "over-travel springs too, and friction.",
    verdicts="fits, look, or do not fit",
    limits=("pad_force_look", "pad_force_refuse"),
    silenced_by=_HEAVY,
    cures=("springs weaker", "over-travel load less", "sheath lined", "sheath bends"),
    cure="weaker springs, an over-travel spring put in with less load, or a lined sheath "
    "and larger bends",
)


def _changes(x: Examined) -> Iterator[Outcome]:
    for r in x.forces.rods:
        yield Outcome(
            about=Ref("rod", r.rod),
            rank=pick(r.turns_over, LOOK, FITS),
            value=greater(r.most_pull, r.most_push),
            kind="force",
            at=r.turns_at,
            facts={"way": r.way, "pull": r.most_pull, "push": r.most_push},
        )


def _changes_words(o: Outcome) -> str:
    way, rod = o.facts["way"], o.called
    one, other = ("pull", "push") if way > 0 else ("push", "pull")
    if o.rank:
        return (
            f"{rod} turns from {one} to {other} at pad {say(o.at, 'length')} under "
            "load: its joints knock through their play there"
        )
    if not way:
        return f"{rod}: carries nothing"
    return f"{rod}: {one}, {say(o.facts[one], 'force')} at most while pressing"


def _changes_short(o: Outcome) -> Short:
    way, rod = o.facts["way"], o.called
    one, other = ("pull", "push") if way > 0 else ("push", "pull")
    if not o.rank:
        return _changes_words(o), ""
    return (
        f"{rod} turns from {one} to {other} at pad {say(o.at, 'length')} under load",
        "its joints knock through their play",
    )


PULL_CHANGES: Final = Rule(
    name="pull and push under load",
    short=_changes_short,
    code="pull-changes",
    needs="forces",
    judge=_changes,
    words=_changes_words,
    meaning="Whether a rod changes between pull and push under load: its joints then "
    "knock through their play.",
    verdicts="fits, or look",
    refuses=False,
    silenced_by=_HEAVY,
    cures=("springs balanced",),
    cure="one spring, or all of them, stronger or weaker",
)


def _push(x: Examined) -> Iterator[Outcome]:
    y, share = x.forces, x.layout.limits.euler_share
    stamp = y.stamp
    for r in y.rods:
        if x.layout.rods[r.rod].kind == "cam":
            continue  # it cannot buckle; what its face bears is told as not judged
        stamped = greater(-stamp.real.rods[r.rod], 0.0)
        push = greater(r.most_push, stamped)
        by_foot = stamped >= r.most_push
        euler = stamp.euler[r.rod]
        limit = None if euler is None else share * euler
        yield Outcome(
            about=Ref("rod", r.rod),
            applies=push > SLIGHT,
            rank=LOOK if limit is None else ranked(push <= limit),
            value=push,
            limit=limit,
            kind="force",
            digits=0,
            at=pick(by_foot, stamp.pad_travel, r.most_push_at),
            facts={
                "foot": by_foot & (np.logical_not(stamp.by_pedal) | (stamp.late > 0)),
                "late": pick(stamp.by_pedal, stamp.late, 0.0),
                "euler": euler,
                "share": share,
            },
        )


def _push_words(o: Outcome) -> str:
    f = o.facts
    cause = " under a stamped foot" if f["foot"] else ""
    if cause and f["late"]:
        cause += f", until the pedal stop is met {say(f['late'], 'length')} after the full stop,"
    text = (
        f"{o.called} is pushed with {say(o.value, 'force')}{cause} at pad "
        f"{say(o.at, 'length')}"
    )
    if f["euler"] is None and o.is_cable:
        return f"{text}; its `push_limit` is not given, so whether it gives way was not checked"
    if f["euler"] is None:
        return f"{text}; its `diameter` is not given, so buckling was not checked"
    if o.is_cable:
        return (
            f"{text}; it gives way at {say(f['euler'], 'force', 0)}, and "
            f"{say(f['share'], 'fraction', 0)} of that is allowed"
        )
    return (
        f"{text}; it buckles at {say(f['euler'], 'force', 0)} (Euler, pin-ended, "
        f"straight), and {say(f['share'], 'fraction', 0)} of that is allowed"
    )


def _push_short(o: Outcome) -> Short:
    f, rod = o.facts, o.called
    pushed = f"pushed with {say(o.value, 'force', 0)}" + " by a foot" * bool(f["foot"])
    if f["euler"] is None and o.is_cable:
        return f"what {rod} bears was not checked", f"{pushed}; give its `push_limit`"
    if f["euler"] is None:
        return f"buckling of {rod} was not checked", f"{pushed}; give its `diameter`"
    allowed = f["euler"] * f["share"]
    return (
        f"{rod} may {'give way' if o.is_cable else 'buckle'}, {pushed}"
        if o.rank
        else f"{rod} is {pushed}",
        f"{say(allowed, 'force', 0)} is allowed",
    )


ROD_PUSH: Final = Rule(
    name="{rods} that are pushed",
    short=_push_short,
    code="rod-push",
    needs="forces",
    judge=_push,
    words=_push_words,
    meaning="Every push, a stamped foot included, against Euler's limit of the straight, "
    "pin-ended rod. A pedal stop that comes after the full stop lets the foot on to the "
    "rods until it is met, by as much as the linkage is stiff over that way. Without "
    "`diameter`: look, as buckling was not checked. A push-pull cable against its "
    "`push_limit`, at which its inner member gives way.",
    verdicts="fits, look, or do not fit",
    limits=("euler_share", "stamp_load", "pin_apart"),
    silenced_by=_HEAVY,
    cures=("pedal stop", "rod bar", "cable push"),
    cure="a thicker bar, or a push-pull cable that takes more",
)
