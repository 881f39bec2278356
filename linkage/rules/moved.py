"""Rules about the linkage with the engine moved: senses, springs, closing torque.

What holds with the engine at rest must hold when it rolls either way, and when a
mount has gone and it rises or sinks. The rules are those of the engine at rest, asked
of every movement over its whole travel; with a mount gone no more closing torque is
asked than with any one part failed.

Not here: how far the moved engine moves the plate (`rules.rock`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules import (
    angles,
    cables,
    drums,
    senses,
    shutting,
    slots,
    spring_lines,
    springs,
    stretch,
    travel,
)
from linkage.rules.judged import judged_by
from linkage.rules.rule import (
    BAD,
    FITS,
    JAM,
    SHUT,
    Outcome,
    Rule,
    Short,
    Silence,
    about,
    fixed,
    with_silencers,
)
from linkage.rules.shutting import MISPLACED
from linkage.rules.slack import used_up_at_rest
from linkage.rules.states import movement, seen, states

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator

    from numpy.typing import NDArray

    from linkage.rules.examine import Examined
    from linkage.rules.judged import Judged, Place
    from linkage.rules.states import States

_SENSES: Final = (
    travel.REACH,
    slots.DRIVES,
    slots.STICKS,
    senses.OPENING_SENSE,
    senses.ROD_SENSE,
    angles.DEAD_CENTRE,
    cables.NIPPLE,
    drums.UNWOUND,
    drums.COVERED,
)
_SPRINGS: Final = (
    spring_lines.SPRING_LINE,
    springs.HAND,
    springs.SLACK,
    stretch.OVERSTRETCHED,
    stretch.STRETCH,
    springs.STRESS,
)
_CLOSING: Final = (shutting.CLOSING_TORQUE, shutting.ONE_OFF)
#: All that is asked of a moved engine.
ASKED: Final = (*_SENSES, *_SPRINGS, *_CLOSING)


#: What is asked where a mount is lost, and what only where none is.
_LOST: Final = tuple(rule for rule in ASKED if rule is not shutting.ONE_OFF)
_WHOLE: Final = with_silencers(shutting.ONE_OFF, ASKED)


def _judged(moved: States) -> Judged:
    """Judge every movement by all that is asked of it, once."""
    if not moved.judged:
        rules = ASKED if moved.rolled is moved else _LOST
        moved.judged.append(judged_by(moved.x, _WHOLE if moved.some else rules))
    return moved.judged[0]


def _places(moved: States, codes: Collection[str]) -> Iterator[tuple[States, Place]]:
    """Yield of what some rules find where, and among which movements."""
    one_off = shutting.ONE_OFF.code
    for place in _judged(moved).ranks:
        if place[0] in codes:
            yield moved, place
    rolled = moved.rolled
    if rolled is not None and rolled is not moved and one_off in codes:
        for place in _judged(rolled).ranks:
            if place[0] == one_off:
                yield rolled, place


def _torn(moved: States) -> NDArray[np.bool_]:
    """Tell in which movements and rows a rod does not reach with the pedal up."""
    return np.logical_not(moved.over(moved.assembly.ok))


def _bad(moved: States, place: Place) -> NDArray[np.bool_]:
    """Tell of a place in which movements and rows it does not fit."""
    bad = moved.over(_judged(moved).ranks[place] == BAD) & ~_torn(moved)
    if place[0] == shutting.ONE_OFF.code:
        bad = bad & ~moved.over(moved.lifted)  # a lost mount is the one failure
    return bad


def _worst(moved: States, outcome: Outcome, bad: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Return by row the movement in which least is left, of those that do not fit."""
    if outcome.value is None:
        return bad.argmax(axis=0)
    value = np.nan_to_num(moved.over(outcome.value), nan=-np.inf)
    return np.where(bad, value, np.inf).argmin(axis=0)


def _asked(
    *rules: Rule,
) -> Callable[[Examined], Iterator[Outcome]]:
    codes = {rule.code: rule for rule in rules}

    def found(x: Examined) -> Iterator[Outcome]:
        moved = states(x)
        if moved is None:
            return
        fits = ~np.any(_torn(moved), axis=0)
        if not fits.all() and travel.REACH in rules:
            yield _lost(moved)
        for some, place in _places(moved, codes):
            bad = _bad(some, place)
            if not bad.any():
                continue
            fits &= ~bad.any(axis=0)
            yield _told(some, place, bad)
        yield Outcome(
            about=Ref("engine"),
            applies=moved.number(fits),
            at=math.nan,
            facts={"moves": tuple(map(any, zip(*moved.moves, strict=True)))},
        )

    return found


def _lost(moved: States) -> Outcome:
    """Return that a rod tears or jams with the pedal up."""
    torn = _torn(moved)
    row = torn.argmax(axis=0) * moved.rows + np.arange(moved.rows)
    short = used_up_at_rest(moved.assembly)
    used = {
        Ref("rod", rod): moved.number(moved.over(more).ravel()[row])
        for rod, more in short.items()
    }
    return Outcome(
        about=Ref("engine"),
        part=("torn",),
        applies=moved.number(np.any(torn, axis=0)),
        rank=BAD,
        at=0.0,
        facts={**_where(moved, row), "used": used},
    )


def _where(moved: States, row: NDArray[np.intp]) -> dict[str, Any]:
    """Return where the engine is, as facts."""
    return {
        "roll": moved.number(moved.over(moved.roll).ravel()[row]),
        "lift": moved.number(moved.over(moved.lift).ravel()[row]),
        "seen": seen(moved.rest),
    }


def _told(moved: States, place: Place, bad: NDArray[np.bool_]) -> Outcome:
    outcome = _judged(moved).outcome(place)
    row = _worst(moved, outcome, bad) * moved.rows + np.arange(moved.rows)

    def there(values: Any) -> Any:  # noqa: ANN401
        if values is None:
            return None
        return moved.number(moved.over(values).ravel()[row])

    return Outcome(
        about=outcome.about,
        part=(place[0], *outcome.part),
        applies=moved.number(np.any(bad, axis=0)),
        rank=BAD,
        value=there(outcome.value),
        limit=there(outcome.limit),
        kind=outcome.kind,
        digits=outcome.digits,
        at=there(outcome.at),
        facts={
            "rule": _BY_CODE[place[0]],
            "outcome": outcome,
            "row": moved.number(row),
            **_where(moved, row),
        },
    )


_BY_CODE: Final = {rule.code: rule for rule in ASKED}


def _words(good: str) -> Callable[[Outcome], str]:
    def words(o: Outcome) -> str:
        if o.rank == FITS:
            ways = ("rolled either way", "risen and sunk off a lost mount")
            moves = [w for w, true in zip(ways, o.facts["moves"], strict=True) if true]
            return (
                f"{good.format(rod=o.a_rod)} with the engine {' and '.join(moves)} too"
            )
        where = movement(o.facts["roll"], o.facts["lift"], o.facts["seen"])
        if "rule" not in o.facts:
            for rod, more in o.facts["used"].items():
                if more > 0:
                    return (
                        f"with the engine {where} and the pedal up the slot of "
                        f"{o.rod(rod.name)} is used up: it must be {say(more, 'length')} longer"
                    )
            return f"with the engine {where} a {o.a_rod} does not reach any more: it tears or jams"
        inner = o.facts["outcome"].row(o.facts["row"])
        return f"with the engine {where}: {o.facts['rule'].words(inner)}"

    return words


def _short(good: str) -> Callable[[Outcome], Short]:
    words = _words(good)

    def short(o: Outcome) -> Short:
        if o.rank == FITS or "rule" not in o.facts:
            return words(o), ""
        where = movement(o.facts["roll"], o.facts["lift"], o.facts["seen"])
        what, more = o.facts["rule"].brief(o.facts["outcome"].row(o.facts["row"]))
        return f"{what}, with the engine {where}", more

    return short


def _who(o: Outcome) -> str:
    if "rule" not in o.facts:
        return about(o)
    return str(o.facts["rule"].who(o.facts["outcome"].row(o.facts["row"])))


def _limits(rules: tuple[Rule, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for rule in rules for name in rule.limits))


def _repeats(*rules: Rule) -> tuple[Silence, ...]:
    """Return silences by what is wrong with the engine at rest already."""
    return tuple(Silence(by=rule.code) for rule in rules)


SENSES: Final = Rule(
    code="engine-senses",
    needs="rock",
    judge=_asked(*_SENSES),
    name="reach and senses with the engine moved",
    words=_words("every {rod} reaches, senses hold and no dead centre is near"),
    short=_short("reach and senses hold"),
    who=_who,
    place=fixed("engine moved"),
    meaning="Reach, senses and dead centres with the engine moved: rolled either way, "
    "risen and sunk by its lift, and both together; of cables, room for their nipples and "
    "the wire on their drums.",
    limits=_limits(_SENSES),
    silenced_by=(
        SHUT,
        JAM,
        *_repeats(slots.DRIVES, slots.STICKS, senses.ROD_SENSE, angles.DEAD_CENTRE),
        *_repeats(cables.NIPPLE, drums.UNWOUND, drums.COVERED),
    ),
    cures=(
        *("bracket", "steady", "catch", "slot longer", "rod lost"),
        *("arm angle", "arm length", "sheath held"),
    ),
    cure="a shaft bracketed to the body, an engine steady or a catch, a slot made longer, "
    "or arms further from dead centre",
)
SPRINGS: Final = Rule(
    code="engine-springs",
    needs="forces",
    judge=_asked(*_SPRINGS),
    name="springs with the engine moved",
    words=_words("every spring works the right way, neither slack nor overstretched,"),
    short=_short("springs keep their way"),
    who=_who,
    place=fixed("engine moved"),
    meaning="Every spring with the engine moved, anchored where `anchored_on` says: on the "
    "right side of its shaft, not slack at idle, not past its greatest length or stress.",
    limits=_limits(_SPRINGS),
    silenced_by=(SHUT, JAM, *_repeats(*_SPRINGS, SENSES)),
    cures=(
        "spring anchor on engine",
        "steady",
        "catch",
        "spring anchor away",
        "spring shorter",
    ),
    cure="its anchor on what its hook moves with, or an engine steady or catch",
)
CLOSING: Final = Rule(
    code="engine-closing",
    needs="forces",
    judge=_asked(*_CLOSING),
    name="closing torque with the engine moved",
    words=_words("closing torque stays in order"),
    short=_short("closing torque holds"),
    who=_who,
    place=fixed("engine moved"),
    meaning="Closing torque with the engine moved: rolled as at rest, with all springs and "
    "with any one part failed; with a mount gone as with any one part failed.",
    limits=_limits(_CLOSING),
    silenced_by=(
        SHUT,
        JAM,
        *MISPLACED,
        *_repeats(*_CLOSING, SENSES, SPRINGS),
        Silence(by="energy-sources"),
        Silence(by="unsprung-if-parted"),
    ),
    cures=(
        *("spring anchor on engine", "sheath held", "steady", "catch"),
        *shutting.STRONGER,
    ),
    cure="springs anchored on what their hooks move with, stronger springs, or an engine "
    "steady or catch",
)
