"""Rules about measuring errors and wear: full throttle and dead centre at worst.

What fits as measured may not fit as made: every number is off by as much as what it
was measured with, all of them the unkind way at once.

Not here: the corners (`rules.corners`), bands and chances (`band`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.columns import column, lesser
from linkage.model.instruments import GROUPS
from linkage.model.measured import errors_known
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.angles import DEAD_CENTRE, ref
from linkage.rules.corners import AtWorst, margin, moving
from linkage.rules.rule import (
    JAM,
    LOOK,
    SHUT,
    Outcome,
    Rule,
    Short,
    Silence,
    at_pad,
    ranked,
    the_plate,
)
from linkage.rules.travel import FULL_THROTTLE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Hole
    from linkage.model.measured import Measured
    from linkage.rules.examine import Examined

_GIVE: Final = "give its `±`, or under [measured] what it was measured with"
#: How far past its limit a margin as measured leaves no doubt: with the usual tools,
#: which take 4° to 7°, and where anything is known worse. [rad]
NO_DOUBT: Final = np.radians(20)
WORSE: Final = np.radians(60)
#: What usual errors take from a margin, for a search that looks coarsely. [rad]
USUAL: Final = np.radians(6)


def _number(values: Any, x: Examined) -> Any:  # noqa: ANN401
    """Return values of shape (rows,) as a column, or of one layout as a float."""
    return column(values) if x.rows > 1 else float(values[0])


def _first(worst: AtWorst, i: int, x: Examined, rows: Any) -> dict[str, Any]:  # noqa: ANN401
    """Return which two numbers matter most, those off at the corner first."""
    effects, still = np.zeros((2, len(worst.measured), x.rows))
    effects[:, rows] = np.abs(worst.effects[i])
    still[:, rows] = worst.corners[i] == 0
    order = np.lexsort((-effects, still), axis=0)
    facts: dict[str, Any] = {"measured": worst.measured}
    for k, name in enumerate(("first", "second")):
        facts[name] = _number(order[k].astype(float), x)
        most = np.take_along_axis(effects, order[k : k + 1], axis=0)[0]
        facts[f"{name} does"] = _number(most, x)
    return facts


def _measured(o: Outcome, which: str) -> Measured:
    one: Measured = o.facts["measured"][int(o.facts[which])]
    return one


def _full(x: Examined) -> Iterator[Outcome]:
    if not (x.grain.corners and errors_known(x.layout)):
        return
    limits = x.layout.limits
    limit = lesser(limits.full_throttle_worst, limits.full_throttle)
    names = [*x.layout.throttles]
    ok = np.broadcast_to(np.ravel(x.ok), x.rows) & ~_true(x.working.jammed, x)
    rows = np.flatnonzero(ok)
    if not rows.size:
        return
    worst = AtWorst(x, rows, [("full", name) for name in names])
    found = list(FULL_THROTTLE.judge(worst.x))
    for i, name in enumerate(names):
        values = np.full(x.rows, np.nan)
        here = np.broadcast_to(np.ravel(found[i].value), len(names) * len(rows))
        values[rows] = here.reshape(len(names), -1)[i]
        share = _number(values, x)
        yield Outcome(
            about=Ref("throttle", name),
            applies=_number(ok.astype(float), x) > 0,
            rank=ranked(share >= limit, LOOK),
            value=share,
            limit=limit,
            kind="fraction",
            facts=_first(worst, i, x, rows),
        )


def _torn(o: Outcome) -> str:
    """Return that the corner cannot be put together, in words; empty where it can."""
    if math.isfinite(o.value):
        return ""
    return f"it cannot be put together, as a {o.a_rod} does not reach"


def _true(truth: Any, x: Examined) -> Any:  # noqa: ANN401
    return np.broadcast_to(np.ravel(truth), x.rows).astype(bool)


def _again(o: Outcome) -> str:
    """Return what to measure again, and with what, in words."""
    words = []
    for which in ("first", "second"):
        one = _measured(o, which)
        better = one.better()
        how = f" with a {better[0]}" if better and better[0] != "scales" else ""
        words.append(f"the {one.called}{how}")
    return f"measure again {words[0]}, then {words[1]}"


def _full_words(o: Outcome) -> str:
    one = _measured(o, "first")
    found = _torn(o) or (
        f"{o.about.name} may reach only {say(o.value, 'fraction')}; below "
        f"{say(o.limit, 'fraction')} look"
    )
    text = (
        f"with every measuring error the unkind way and joints worn, {found}. "
        f"Most of it is the {one.called}, known to {say(one.error, one.kind)}"
    )
    return f"{text}; {_again(o)}" if o.rank else text


def _full_short(o: Outcome) -> Short:
    if torn := _torn(o):
        return f"with every measuring error the unkind way {torn}", ""
    what = f"{the_plate(o.about.name)} opens {say(o.value, 'fraction')} at worst error"
    if not o.rank:
        return what, "measuring errors all the unkind way"
    return (
        f"{the_plate(o.about.name)} may open only {say(o.value, 'fraction')}",
        "with every measuring error the unkind way",
    )


FULL_AT_WORST: Final = Rule(
    code="full-throttle-worst",
    needs="motion",
    judge=_full,
    name="full throttle at worst measuring error",
    words=_full_words,
    short=_full_short,
    meaning="How far each plate opens if every number is off by as much as what it was "
    "measured with, all the unkind way at once, and joints are worn: rods set until the "
    "plate rests on its stop, the pedal stop where full throttle is met. Asks for a look "
    "too where it cannot be put together so. Names what to measure again first.",
    verdicts="fits, or look",
    refuses=False,
    limits=("full_throttle_worst", "full_throttle"),
    silenced_by=(SHUT, JAM, Silence(by="full-throttle", same=True)),
    advice=lambda o: f"{_again(o)}; {_GIVE}" if o.rank else "",
    task=lambda o: _again(o) if o.rank else "",
)


def _doubt(x: Examined) -> float:
    """Return how far past its limit a margin leaves no doubt. [rad]."""
    worse = any(
        m.group
        and GROUPS[m.group].kind != "share"
        and m.error > GROUPS[m.group].usually
        for m in moving(x.layout)
    )
    return WORSE if worse else NO_DOUBT


def _arms(x: Examined) -> Iterator[tuple[str, Hole, Any]]:
    """Yield every arm of which any row has a dead centre that is not past doubt."""
    most = x.layout.limits.dead_centre + _doubt(x)
    for d in x.dead_centres:
        if d.side == "full":
            away = margin(x, d.rod, d.hole)
            near = away < np.ravel(most)
            if near.any():
                yield d.rod, d.hole, away


def _dead(x: Examined) -> Iterator[Outcome]:
    if not errors_known(x.layout):
        return
    limit = x.layout.limits.dead_centre
    arms = list(_arms(x))
    if not arms:
        return
    doubt = np.ravel(limit + _doubt(x))
    near = np.any([away < doubt for *_, away in arms], axis=0)
    rows = np.flatnonzero(near)
    asked = [("dead", rod, hole) for rod, hole, _ in arms]
    worst = AtWorst(x, rows, asked) if x.grain.corners else None
    for i, (rod, hole, away) in enumerate(arms):
        values = away - USUAL
        facts: dict[str, Any] = {"nominal": _number(away, x)}
        if worst is not None:
            values = np.full(x.rows, np.nan)
            values[rows] = worst.margins[i]
            facts |= _first(worst, i, x, rows)
        value = _number(values, x)
        yield Outcome(
            about=Ref("rod", rod),
            part=(ref(hole), "full"),
            applies=_number((away < doubt).astype(float), x) > 0,
            rank=ranked(value >= limit),
            value=value,
            limit=limit,
            kind="angle",
            order=np.nan_to_num(value, nan=-np.inf),
            facts=facts,
        )


def _dead_words(o: Outcome) -> str:
    hole = o.part[0]
    one = _measured(o, "first")
    if torn := _torn(o):
        return (
            f"with every measuring error the unkind way {torn}, and how near arm `{hole}` "
            f"comes into line with {o.called} is not known; {say(o.facts['nominal'], 'angle')} "
            f"beyond the full end as measured. Most of it is the {one.called}, known to "
            f"{say(one.error, one.kind)}; {_again(o)}"
        )
    does = say(o.facts["first does"], "angle")
    text = (
        f"with every measuring error the unkind way arm `{hole}` comes into line with "
        f"{o.called} {say(o.value, 'angle')} of {hole.part} beyond the full end, "
        f"{say(o.facts['nominal'], 'angle')} as measured; at least "
        f"{say(o.limit, 'angle')} is asked. Of that {does} is the {one.called}, known to "
        f"{say(one.error, one.kind)}"
    )
    return f"{text}; {_again(o)}" if o.rank else text


def _dead_short(o: Outcome) -> Short:
    if torn := _torn(o):
        return f"with every measuring error the unkind way {torn}", ""
    line = f"arm `{o.part[0]}` and {o.called} in one line"
    if not o.rank:
        return f"dead centre is {say(o.value, 'angle')} past full at worst error", line
    return (
        f"dead centre may be only {say(o.value, 'angle')} past full",
        f"{line} at worst measuring error; {say(o.limit, 'angle', 0)} asked",
    )


DEAD_AT_WORST: Final = Rule(
    code="dead-centre-worst",
    needs="dead centres",
    judge=_dead,
    name="dead centre at worst measuring error",
    words=_dead_words,
    short=_dead_short,
    who=lambda o: f"{o.part_name(o.about)} at {o.part[0]}",
    place=at_pad,
    meaning="The dead centre beyond the full end of an arm, where it is within 20° of "
    "what is asked (60° where anything is known worse than the usual tool tells it), if "
    "every number is off by as much as what it was measured with, all the unkind way at "
    "once: rods and pedal stop set anew, joints worn. As much is asked as of the layout "
    "as measured; what cannot be put together so does not fit. Names what to measure again "
    "first.",
    limits=("dead_centre",),
    silenced_by=(SHUT, JAM, Silence(by=DEAD_CENTRE.code, same=True)),
    cures=("arm angle", "arm length", "sheath end"),
    cure="the arms at the rod turned or made longer or shorter; or what it was measured "
    "with, better",
)
