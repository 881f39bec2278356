"""Rules about shutting: torque against friction, with any single part failed too.

Not here: each spring by itself (`rules.springs`), sources of energy
(`rules.sources`), the time it takes (`rules.time`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.forces import INTACT
from linkage.model.columns import at, first, last, pick
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.play import lever_radius
from linkage.rules.rule import (
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
    the_plate,
)

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterator

    from linkage.forces import Return
    from linkage.model.columns import Number, Truth
    from linkage.rules.examine import Examined

#: What would only repeat that a spring works the wrong way or hangs slack, or that a
#: rod turns the linkage back.
MISPLACED: Final = (
    Silence(by="rod-sense", keeps_good=True),
    Silence(by="spring-hand", at_least=LOOK, keeps_good=True),
    Silence(by="spring-slack", keeps_good=True),
)
STRONGER: Final = (
    "spring stronger",
    "springs stronger together",
    "spring added",
    "bearing",
    "sheath lined",
    "sheath bends",
)


def _torques(r: Return) -> dict[str, Any]:
    """Return torque and friction at the worst position, as facts."""
    return {
        "torque": at(r.closing_torque, r.worst),
        "lost": at(r.friction_torque, r.worst),
    }


def _torque_words(o: Outcome) -> str:
    """Say torque against friction at the worst position."""
    torque, lost = o.facts["torque"], o.facts["lost"]
    if math.isinf(lost):
        return "friction locks it"
    against = (
        f"against {say(lost, 'torque')} of friction" if lost else "and no friction"
    )
    word = "closing torque" if torque > 0 else "torque, which does not shut it"
    return f"{say(torque, 'torque')} of {word} {against}"


def _times(o: Outcome) -> str:
    """Say torque and friction in one clause, with their ratio where there is one."""
    lost = o.facts["lost"]
    if not math.isfinite(o.value + lost) or not lost or not o.facts["torque"] > 0:
        return _torque_words(o)
    return (
        f"closing torque is {say(o.value, 'ratio', 1)} times the friction, "
        f"{say(o.facts['torque'], 'torque')} against {say(lost, 'torque')}"
    )


def _times_short(o: Outcome, name: str, when: str = "") -> Short:
    """Say the same for a screen; of how much too little it is, where it is."""
    place = f"{say(o.limit, 'ratio', 1)} is asked"
    of = "" if name == the_plate("throttle") else f" of {name}"
    lost = o.facts["lost"]
    if math.isinf(lost):
        return f"{when}friction locks {name}", place
    if not o.facts["torque"] > 0:
        return f"{when}no spring shuts {name} at pad {say(o.at, 'length')}", ""
    if not lost:
        return f"{when}the springs shut {name} and there is no friction", ""
    times = ("only " * bool(o.rank)) + say(o.value, "ratio", 1)
    return f"{when}closing torque{of} is {times} times the friction", place


def _pulls(x: Examined, r: Return) -> dict[str, Any]:
    """Return what a spring balance at the lever's hole shows, opening and letting go.

    At idle and at full, square to the lever. [N]
    """
    radius = lever_radius(x.layout, x.layout.throttles[r.throttle])
    more, less = (
        (r.closing_torque + sign * r.friction_torque) / radius for sign in (1, -1)
    )
    return {
        "idle": (first(more), first(less)),
        "full": (last(more), last(less)),
        "radius": radius,
    }


def _closing(x: Examined) -> Iterator[Outcome]:
    y, limits = x.forces, x.layout.limits
    for r in y.intact:
        value = at(r.ratio, r.worst)
        yield Outcome(
            about=Ref("throttle", r.throttle),
            rank=ranked(value >= limits.closing_ratio),
            value=value,
            limit=limits.closing_ratio,
            digits=1,
            at=at(y.statics.pad_travel, r.worst),
            facts={**_torques(r), **_pulls(x, r)},
        )
        yield from _floor(x, r, limits.closing_least, limits.closing_look)


def _floor(
    x: Examined,
    r: Return,
    least: Number,
    look: Number,
    part: tuple[Hashable, ...] = (),
    *,
    applies: Truth = True,
) -> Iterator[Outcome]:
    """Judge a closing torque by itself, whatever the friction; told where it is low."""
    value = at(r.closing_torque, r.weakest)
    rank = graded(value >= look, value >= least)
    yield Outcome(
        about=Ref("throttle", r.throttle),
        part=(*part, "floor"),
        applies=applies,
        told=rank > FITS,
        rank=rank,
        value=value,
        limit=pick(value >= least, look, least),
        kind="torque",
        at=at(x.motion.pad_travel, r.weakest),
    )


def _balance(o: Outcome) -> str:
    """Say what a spring balance shows, so that it can be proved on the car."""
    places = "; ".join(
        f"at {end} {say(more, 'force')} opening, {say(max(less, 0.0), 'force')} letting go"
        if math.isfinite(more)
        else f"at {end} it moves neither way"
        for end, (more, less) in ((e, o.facts[e]) for e in ("idle", "full"))
    )
    return (
        f"a spring balance square to the lever, {say(o.facts['radius'], 'length')} from "
        f"the spindle: {places}"
    )


def _closing_words(o: Outcome) -> str:
    if o.part:
        return _floor_words(o, o.about.name)
    return (
        f"{o.about.name}: {_times(o)}, at pad {say(o.at, 'length')}, where least is left; "
        f"at least {say(o.limit, 'ratio', 1)} times is asked ({_balance(o)})"
    )


def _closing_short(o: Outcome) -> Short:
    name = the_plate(o.about.name)
    return _floor_short(o, name) if o.part else _times_short(o, name)


def _floor_short(o: Outcome, name: str, when: str = "") -> Short:
    return (
        f"{when}only {say(o.value, 'torque')} shuts {name}",
        f"at pad {say(o.at, 'length')}, {say(o.limit, 'torque')} is asked",
    )


def _floor_words(o: Outcome, name: str) -> str:
    word = "weak" if o.rank == LOOK else "too weak"
    return (
        f"{name}: only {say(o.value, 'torque')} of closing torque at the spindle at pad "
        f"{say(o.at, 'length')}: {word}, whatever the friction; at least "
        f"{say(o.limit, 'torque')} is asked"
    )


CLOSING_TORQUE: Final = Rule(
    name="closing torque",
    short=_closing_short,
    code="closing-torque",
    needs="forces",
    judge=_closing,
    words=_closing_words,
    meaning="The least closing torque of all springs together, against friction and by "
    "itself at the spindle. Told also as what a spring balance shows at the lever's hole, "
    "so that it can be proved on the car.",
    verdicts="fits, look, or do not fit",
    limits=("closing_ratio", "closing_least", "closing_look"),
    silenced_by=(SHUT, JAM, *MISPLACED),
    cures=STRONGER,
    cure="stronger springs or freer bearings",
)


def _one_off(x: Examined) -> Iterator[Outcome]:
    y, limits = x.forces, x.layout.limits
    for r in y.returns:
        if r.failure == INTACT:
            continue
        value = at(r.ratio, r.worst)
        # That no spring is left is told by another rule.
        applies = np.logical_not(r.unsprung) & r.failure.applies
        yield Outcome(
            about=Ref("throttle", r.throttle),
            part=(r.failure,),
            applies=applies,
            rank=ranked(value >= limits.closing_ratio_one_off),
            value=value,
            limit=limits.closing_ratio_one_off,
            digits=1,
            at=at(y.statics.pad_travel, r.worst),
            facts={**_torques(r), "dirt": limits.dirt_factor},
        )
        least = limits.closing_least_one_off
        yield from _floor(x, r, least, least, (r.failure,), applies=applies)


def _one_off_words(o: Outcome) -> str:
    if len(o.part) > 1:
        return _floor_words(o, _with_failure(o))
    return (
        f"{_with_failure(o)}: {_times(o)}, that taken "
        f"{say(o.facts['dirt'], 'ratio', 1)} times for cold and dirt, at pad "
        f"{say(o.at, 'length')}; at least {say(o.limit, 'ratio', 1)} times is asked"
    )


def _one_off_short(o: Outcome) -> Short:
    name, when = the_plate(o.about.name), f"with {o.part[0].brief} "
    return (
        _floor_short(o, name, when) if len(o.part) > 1 else _times_short(o, name, when)
    )


def _with_failure(o: Outcome) -> str:
    return f"{o.about.name} with {o.part[0].text}"


ONE_OFF: Final = Rule(
    name="closing torque with one part failed",
    short=_one_off_short,
    code="closing-torque-one-off",
    needs="forces",
    judge=_one_off,
    words=_one_off_words,
    who=_with_failure,
    meaning="The same with any one part failed, one finding each: a spring off, a rod "
    "parted, a pin or lever, the anchor of several springs, a shaft. Friction is taken "
    "`dirt_factor` times, for cold and dirt.",
    limits=("closing_ratio_one_off", "closing_least_one_off", "dirt_factor"),
    silenced_by=(SHUT, JAM, *MISPLACED),
    cures=("spring anchor apart", "spring own arm", *STRONGER),
    cure="stronger springs, springs that share no anchor, pin or lever, or freer bearings",
)
