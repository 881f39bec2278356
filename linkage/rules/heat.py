"""Rules about heat: a plate that growth holds open, what clearance it leaves, full throttle.

Not here: the states, as rows (`rules.warm`), what grows how far (`motion.grown`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.heat import heat_known
from linkage.model.refs import Ref
from linkage.quantities import say, say_round
from linkage.rules.rest import IDLE, RESTS
from linkage.rules.rule import (
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    Silence,
    fixed,
    ranked,
    the_plate,
)
from linkage.rules.travel import FULL_THROTTLE, STROKE
from linkage.rules.warm import warmed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from linkage.rules.examine import Examined
    from linkage.rules.warm import Warm

    FloatArray = NDArray[np.float64]

#: Changes that leave more, or less, at the idle stop.
_SET: Final = ("rod for heat", "free play for heat", "rod lost")
#: Changes of temperature told as one where all parts have it.
_SAME: Final = 1e-9


def _throttles(x: Examined) -> Iterator[tuple[Warm, str]]:
    """Yield every throttle of a layout of whose heat something is known."""
    warm = warmed(x) if heat_known(x.layout) else None
    if warm is not None:
        for name in x.layout.throttles:
            yield warm, name


def _at(warm: Warm, worst: NDArray[np.intp], values: FloatArray) -> Any:  # noqa: ANN401
    """Return values of shape (states, rows) in the worst state of each row."""
    return warm.number(values[worst, np.arange(warm.rows)])


def _facts(warm: Warm, worst: NDArray[np.intp]) -> dict[str, Any]:
    """Return which state it is, and how warm each part is in it."""
    facts: dict[str, Any] = {
        "state": warm.number(worst.astype(float)),
        "states": tuple(state.words for state in warm.states),
    }
    for part, degrees in warm.degrees.items():
        if part != "manifold" or warm.heat.manifold:
            facts[part] = _at(warm, worst, warm.over(degrees)[1:])
    return facts


def _change(warm: Warm, moved: FloatArray) -> tuple[Any, Any]:
    """Return the least and greatest change over the states, shape (states, rows)."""
    return warm.number(moved.min(axis=0)), warm.number(moved.max(axis=0))


def _state(o: Outcome) -> str:
    """Return a state in a few words."""
    words: str = o.facts["states"][int(o.facts["state"])]
    return words


def _when(o: Outcome) -> str:
    """Return a state in words: when, and how warm each part is then."""
    f, words = o.facts, _state(o)
    told = {p: f[p] for p in ("block", "manifold", "rods", "body") if p in f}
    if max(told.values()) - min(told.values()) < _SAME:
        return f"{words}, all at {say_round(f['body'], 'temperature')}"
    each = ", ".join(f"{p} {say_round(t, 'temperature')}" for p, t in told.items())
    return f"{words} ({each})"


def _idle(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.idle_gap
    for warm, name in _throttles(x):
        off, left = warm.off(name)[1:], warm.left(name)[1:]
        # What is torn comes first, as nan does; then what is held off furthest.
        torn = np.isnan(off)
        worst = np.where(torn, np.inf, -np.nan_to_num(left)).argmax(axis=0)
        value = _at(warm, worst, np.where(off <= RESTS, 0.0, off))
        yield Outcome(
            about=Ref("throttle", name),
            rank=ranked(value <= limit),
            value=value,
            limit=limit,
            kind="angle",
            at=0.0,
            facts={
                **_facts(warm, worst),
                "way": _at(warm, worst, -left),
                "change": _change(warm, warm.moved(name)[0]),
            },
        )


def _torn(o: Outcome) -> str:
    return f"a {o.a_rod} to {the_plate(o.about.name)} tears or jams {_state(o)}"


def _moves(o: Outcome, where: str) -> str:
    """Return between what heat moves a plate, in words."""
    low, high = o.facts["change"]
    if not (math.isfinite(low) and math.isfinite(high)):
        return ""
    return (
        f"; with the pedal {where} heat moves what the linkage asks of it by "
        f"{say(low, 'angle')} to {say(high, 'angle')}"
    )


def _idle_words(o: Outcome) -> str:
    name = o.about.name
    if math.isnan(o.value):
        return _torn(o)
    if not o.rank:
        return f"heat leaves {name} on its idle stop with the pedal up{_moves(o, 'up')}"
    return (
        f"{name} is held {say(o.value, 'angle')} off its idle stop with the pedal up, "
        f"{_when(o)}, {say(o.facts['way'], 'length', 2)} at its lever{_moves(o, 'up')}"
    )


def _idle_short(o: Outcome) -> Short:
    name = the_plate(o.about.name)
    if math.isnan(o.value):
        return _torn(o), ""
    if not o.rank:
        return f"heat leaves {name} on its idle stop", ""
    return (
        f"heat holds {name} {say(o.value, 'angle')} open with the pedal up",
        f"{_state(o)}, {say(o.facts['way'], 'length', 2)} at its lever",
    )


HEAT_IDLE: Final = Rule(
    code="heat-idle",
    judge=_idle,
    name="rest at idle, hot and cold",
    words=_idle_words,
    short=_idle_short,
    place=fixed("pedal up"),
    meaning="Block, manifold, rods and body grow by what they are of and how warm they get, "
    "as `[heat]` says: each lever still rests on its idle stop with the pedal up, in a cold "
    "start, warming up, hot on a cold day and stopped hot. The pedal's free play, and what "
    "a slot or a slack wire leaves, is used up first.",
    limits=("idle_gap",),
    silenced_by=(SHUT, Silence(by=IDLE.code, same=True)),
    cures=_SET,
    cure="the last rod set by turns of its thread so that something is left at idle, free "
    "play left at the pedal, or a rod with a slot set to lose more",
)


def _clearance(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.idle_clearance
    for warm, name in _throttles(x):
        if x.layout.throttles[name].kind != "plate":
            continue  # no engine hangs at speed for it
        left, other = warm.left(name), warm.fellow_holds(name)[1:]
        known = np.where(np.isnan(left[1:]), -np.inf, left[1:])
        worst = np.where(other, np.inf, known).argmin(axis=0)
        value = _at(warm, worst, left[1:])
        yield Outcome(
            about=Ref("throttle", name),
            applies=warm.number(~other.all(axis=0)),
            rank=ranked(value >= limit, LOOK),
            value=value,
            limit=limit,
            kind="length",
            digits=2,
            at=0.0,
            facts={
                **_facts(warm, worst),
                "set": warm.number(left[0]),
            },
        )


def _clearance_words(o: Outcome) -> str:
    name, left = o.about.name, say(max(o.value, 0.0), "length", 2)
    text = f"{left} are left at the lever of {name} at idle, {_when(o)}"
    if o.value < 0:
        text = f"nothing is left at the lever of {name} at idle, {_when(o)}"
    return (
        f"{text}, {say(max(o.facts['set'], 0.0), 'length', 2)} as it was set; at least "
        f"{say(o.limit, 'length', 2)} is asked"
    )


def _clearance_short(o: Outcome) -> Short:
    left = say(max(o.value, 0.0), "length", 2)
    return (
        f"heat leaves {left} at the lever of {the_plate(o.about.name)} at idle",
        f"{_state(o)}; {say(o.limit, 'length', 2)} is asked",
    )


HEAT_CLEARANCE: Final = Rule(
    code="heat-clearance",
    judge=_clearance,
    name="what heat leaves at idle",
    words=_clearance_words,
    short=_clearance_short,
    place=fixed("pedal up"),
    meaning="What is left between lever and linkage with the pedal up, in the state in "
    "which least is, told at the lever, or at the pin of a rod that loses motion. 0.1 to "
    "0.5 mm at the lever is common practice.",
    verdicts="fits, or look",
    refuses=False,
    limits=("idle_clearance",),
    silenced_by=(
        SHUT,
        Silence(by=IDLE.code, same=True),
        Silence(by=HEAT_IDLE.code, same=True),
    ),
    cures=_SET,
    cure=HEAT_IDLE.cure,
)


def _full(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.full_throttle
    found: list[Outcome] = []
    for i, (warm, name) in enumerate(_throttles(x)):
        found = found or list(FULL_THROTTLE.judge(warm.x))
        share = warm.over(found[i].value)[1:]
        # A rod that jams where none did before: what it opens to then is no matter.
        was = np.broadcast_to(np.ravel(x.working.jammed), x.rows)
        jams = (warm.over(warm.x.working.jammed)[1:] > 0) & ~was
        worst = np.where(np.isnan(share) | jams, -np.inf, share).argmin(axis=0)
        value = _at(warm, worst, np.where(jams, np.nan, share))
        yield Outcome(
            about=Ref("throttle", name),
            rank=ranked(value >= limit),
            value=value,
            limit=limit,
            kind="fraction",
            at=x.working.end,
            facts={
                **_facts(warm, worst),
                "change": _change(warm, warm.moved(name)[1]),
            },
        )


def _full_words(o: Outcome) -> str:
    name = o.about.name
    if math.isnan(o.value):
        return _torn(o)
    reached = f"{name} reaches {say(o.value, 'fraction')}"
    if not o.rank:
        return f"{reached} at least, hot and cold{_moves(o, 'down')}"
    return (
        f"{reached} only, {_when(o)}; at least {say(o.limit, 'fraction')} is asked"
        f"{_moves(o, 'down')}"
    )


def _full_short(o: Outcome) -> Short:
    name = the_plate(o.about.name)
    if math.isnan(o.value):
        return _torn(o), ""
    share = say(o.value, "fraction")
    if not o.rank:
        return f"{name} opens {share} at least, hot and cold", ""
    return f"heat lets {name} open only {share}", _state(o)


HEAT_FULL: Final = Rule(
    code="heat-full",
    judge=_full,
    name="full throttle, hot and cold",
    words=_full_words,
    short=_full_short,
    meaning="Each plate reaches its full stop with the pedal on its own, less the play of "
    "all rods on the way, in every state of `[heat]`; no rod jams in any.",
    limits=("full_throttle",),
    silenced_by=(SHUT, JAM, Silence(by=FULL_THROTTLE.code, same=True)),
    cures=("rod for heat", *STROKE),
    cure="the last rod set by turns of its thread, or what gives the plate more of its "
    "swing: a pedal stop set later, an arm longer, shorter or turned",
)
