"""Rules about how far each spring is stretched, its greatest length known or not.

Of a spring whose wire is known its stress says how far it may go; one of which
neither wire nor greatest length is known is held against its free length, and against
what it was pulled to when it was measured.

Not here: stress (`rules.springs`), springs about a shaft, which have no length.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import (
    Number,
    Truth,
    greater,
    lesser,
    pick,
    where_least,
    where_most,
)
from linkage.model.columns import at as value_at
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.rule import BAD, JAM, LOOK, SHUT, Outcome, Rule, Short, ranked
from linkage.rules.springs import each_spring
from linkage.springs import stresses

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.forces.spring_line import SpringLine
    from linkage.model import Spring
    from linkage.rules.examine import Examined

#: How much further than it works a spring is pulled to try it, and what it may be
#: longer afterwards: common practice, no source. [1], [m]
TRIED: Final = 1.05
BACK: Final = 0.5e-3
#: To which the length to try is rounded up. [m]
WHOLE: Final = 1e-3
_NEARER: Final = ("spring anchor nearer", "spring longer")
_CURE: Final = "the anchor moved nearer, or a longer spring"


def _bound(line: SpringLine) -> Number:
    """Return the greatest, or of a pressed spring the solid, length. [m]."""
    pressed = line.law.kind == "compression"
    return line.law.shortest if pressed else line.law.longest


def _bounded(line: SpringLine) -> Truth:
    bound = _bound(line)
    return (bound > 0) & (bound < np.inf)


def _over(x: Examined) -> Iterator[Outcome]:
    for sense, line in each_spring(x):
        pressed = line.law.kind == "compression"
        if not line.law.along_line:
            continue
        yield Outcome(
            about=Ref("spring", sense.spring),
            applies=_bounded(line),
            rank=ranked(sense.over <= 0),
            value=sense.shortest if pressed else sense.longest,
            limit=_bound(line),
            kind="length",
            at=sense.over_at,
            facts={"over": sense.over, "pressed": pressed},
        )


def _over_words(o: Outcome) -> str:
    f = o.facts
    word = "solid" if f["pressed"] else "greatest"
    if not math.isfinite(f["over"]):
        return (
            f"how long spring `{o.about.name}` gets could not be worked out; its {word} "
            f"length is {say(o.limit, 'length')}"
        )
    text = (
        f"spring `{o.about.name}` is {say(o.value, 'length')} long at pad "
        f"{say(o.at, 'length')}; its {word} length is {say(o.limit, 'length')}"
    )
    if o.rank and f["pressed"]:
        text += (
            ", so the coils touch and the plate cannot move "
            f"{say(f['over'], 'length')} of it"
        )
    elif o.rank:
        text += f": it is driven {say(f['over'], 'length')} past it and stays longer"
    return text


def _over_short(o: Outcome) -> Short:
    f, spring = o.facts, f"spring `{o.about.name}`"
    word = "solid" if f["pressed"] else "greatest"
    bound = f"its {word} length is {say(o.limit, 'length')}"
    if not math.isfinite(f["over"]):
        return f"how long {spring} gets could not be worked out", bound
    long = f"{say(o.value, 'length')} at pad {say(o.at, 'length')}, {bound}"
    if not o.rank:
        return f"{spring} stays within its {word} length", long
    if f["pressed"]:
        return f"{spring} goes solid and holds the plate", long
    return f"{spring} is stretched {say(f['over'], 'length')} too far", long


OVERSTRETCHED: Final = Rule(
    code="spring-overstretched",
    needs="forces",
    judge=_over,
    name="springs stretched too far",
    words=_over_words,
    short=_over_short,
    meaning="Whether each spring stays within its greatest length, or a compression "
    "spring short of solid.",
    silenced_by=(SHUT, JAM),
    cures=_NEARER,
    cure=_CURE,
)


def _stress_known(spring: Spring) -> Truth:
    """Tell whether the wire is known, so that its stress says how far it may go."""
    allowed = [s.allowed for s in stresses(spring, 0.0)]
    known: Truth = bool(allowed)
    for one in allowed:
        known = known & (one is not None and np.isfinite(one))
    return known


def _measured(spring: Spring, free: Number) -> Number:
    """Return how far it was stretched or pressed when it was measured; inf if never."""
    known = spring.known
    if known.rate is not None or known.load_1 is None or known.length_1 is None:
        return math.inf
    if spring.kind == "compression":
        return greater(free - lesser(known.length_1, known.length_2), 0.0)
    return greater(greater(known.length_1, known.length_2) - free, 0.0)


def _unknown(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.spring_stretch
    for sense, line in each_spring(x):
        spring, law = x.layout.springs[sense.spring], line.law
        if line.length is None:
            continue
        pressed = law.kind == "compression"
        worst = where_least(line.length) if pressed else where_most(line.length)
        length = sense.shortest if pressed else sense.longest
        worked = law.free_length - length if pressed else length - law.free_length
        measured = _measured(spring, law.free_length)
        # Beyond what was measured is no matter of a spring that hangs slack.
        beyond = ~(worked <= limit * measured) & ~(worked <= 0)
        times = length / law.free_length
        # How short a pressed spring may get its free length does not say.
        far = ~np.isfinite(times) if pressed else ~(times <= limit)
        yield Outcome(
            about=Ref("spring", sense.spring),
            applies=~(np.asarray(_bounded(line)) | np.asarray(_stress_known(spring))),
            rank=pick(beyond | far, BAD, LOOK),
            value=times,
            limit=None if pressed else limit,
            digits=2,
            at=value_at(x.forces.statics.pad_travel, worst),
            facts={
                "length": length,
                "free": law.free_length,
                "worked": worked,
                "measured": measured,
                "beyond": beyond,
                "asked": limit,
                "pressed": pressed,
            },
        )


def _stretch_words(o: Outcome) -> str:
    f, spring = o.facts, f"spring `{o.about.name}`"
    word = "solid" if f["pressed"] else "greatest"
    if not math.isfinite(o.value):
        return (
            f"how long {spring} gets could not be worked out, and its {word} length is "
            "not known"
        )
    text = (
        f"the {word} length of {spring} is not known, nor its wire: at pad "
        f"{say(o.at, 'length')} it is {say(f['length'], 'length')} long, "
    )
    if f["pressed"]:
        text += (
            f"pressed together by {say(max(f['worked'], 0.0), 'length')} of the "
            f"{say(f['free'], 'length')} it is long when free"
        )
    else:
        text += (
            f"{say(o.value, 'ratio', 2)} times its free length of "
            f"{say(f['free'], 'length')}"
        )
    if f["beyond"]:
        how = "pressed" if f["pressed"] else "stretched"
        return (
            f"{text}, and {how} {say(f['worked'], 'length')} where it was measured over "
            f"{say(f['measured'], 'length')} only; beyond {say(f['asked'], 'ratio', 1)} "
            f"times that it is not to be fitted until its {word} length is known"
        )
    if o.rank == BAD:
        return (
            f"{text}; beyond {say(f['asked'], 'ratio', 1)} times it is not to be fitted "
            f"until its {word} length is known"
        )
    return f"{text}; whether it stays within what it bears was NOT checked"


def _stretch_advice(o: Outcome) -> str:
    f = o.facts
    if not math.isfinite(o.value):
        return ""
    if f["pressed"]:
        return (
            "press it together in a vice until its coils touch, measure it there and give "
            "`solid_length`; or give `wire`, `coil`, `turns` and `material`"
        )
    tried = say(math.ceil(f["length"] * TRIED / WHOLE) * WHOLE, "length")
    return (
        f"give `greatest_length`: ask its maker, or take it off, pull it to {tried} five "
        f"times and measure it: where it is no more than {say(BACK, 'length')} longer than "
        f"before, {tried} may be given; or give `wire`, `coil`, `turns` and `material`, "
        "and check again"
    )


def _stretch_short(o: Outcome) -> Short:
    f, spring = o.facts, f"spring `{o.about.name}`"
    how = "pressed together" if f["pressed"] else "stretched"
    what = f"how far spring `{o.about.name}` may be {how} is not known"
    if not math.isfinite(o.value):
        return f"how long {spring} gets could not be worked out", ""
    if f["beyond"]:
        return what, (
            f"{how} {say(f['worked'], 'length')}, measured over "
            f"{say(f['measured'], 'length')} only"
        )
    if f["pressed"]:
        return what, f"{say(f['worked'], 'length')} of {say(f['free'], 'length')}"
    times = (
        f"{say(o.value, 'ratio', 2)} times its free length at pad {say(o.at, 'length')}"
    )
    asked = f", more than {say(f['asked'], 'ratio', 1)}" if o.rank == BAD else ""
    return what, times + asked


def _stretch_task(o: Outcome) -> str:
    f, spring = o.facts, f"spring `{o.about.name}`"
    if f["pressed"]:
        return f"press {spring} solid in a vice, measure it and give `solid_length`"
    tried = say(math.ceil(f["length"] * TRIED / WHOLE) * WHOLE, "length")
    return (
        f"pull {spring} to {tried} five times: if it stays no longer, give that as "
        "`greatest_length`"
    )


STRETCH: Final = Rule(
    code="spring-stretch",
    needs="forces",
    judge=_unknown,
    name="how far springs may be stretched",
    words=_stretch_words,
    short=_stretch_short,
    advice=_stretch_advice,
    task=_stretch_task,
    meaning="How far a spring is worked whose greatest length, or solid length, is not "
    "known, and whose wire is not known either: look, as what it bears was not checked. "
    "Stretched to more times its free length than is allowed, or worked beyond as many "
    "times what it was measured over by two loads: do not fit until it is known.",
    verdicts="look, or do not fit",
    limits=("spring_stretch",),
    silenced_by=(SHUT, JAM),
    cures=_NEARER,
    cure=_CURE,
)
