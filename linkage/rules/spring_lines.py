"""The rule about springs' lines: how near each comes to the shaft it acts on.

Not here: arms and rods (`rules.angles`), how springs work (`rules.springs`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Hole
from linkage.model.columns import at, first, last, where_least, where_most
from linkage.model.refs import Ref
from linkage.motion.frame import dot
from linkage.quantities import say
from linkage.rules.rule import BAD, SHUT, Outcome, Rule, Short, Silence, graded

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Spring
    from linkage.model.columns import Positions
    from linkage.rules.examine import Examined

#: Distance under which a spring's line goes through its spindle. [m]
THROUGH: Final = 1e-5
#: Distance that is but rounding. [m]
ROUNDING: Final = 1e-12


def closing_arm(x: Examined, spring: Spring) -> Positions:
    """Return a spring's torque arm about its shaft, positive closing.

    Closing is against the way in which pressing turns the shaft at the start;
    a spring on a throttle's spindle closes against its opening sense.

    Returns
    -------
    ndarray, shape (n,) or (rows, n)
        Distance of the spring's line from the centre line, signed. [m]
    """
    shaft = x.layout.shafts[spring.shaft]
    hole = Hole(shaft=spring.shaft, arm=spring.arm)
    here = x.speeds
    line = here.vector(spring.anchor or (0, 0, 0)) - here.pin(hole)
    along = line / np.sqrt(dot(line, line))
    if spring.kind == "compression":
        along = -along
    arm = shaft.lever(spring.arm) * dot(here.tangent(hole), along)
    throttle = x.layout.throttle_on(shaft.name)
    opening = throttle.opens if throttle else np.sign(first(here.first[shaft.name]))
    return np.asarray(-opening * arm)


def _line(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.spring_line
    pad = x.motion.pad_travel
    for name, spring in x.layout.springs.items():
        if spring.anchor is None or not spring.arm:
            continue
        if x.layout.shafts[spring.shaft].slides:
            continue  # it has no arm: what it does along the guide is judged as force
        arm = closing_arm(x, spring)
        worst = where_least(arm)
        value = at(arm, worst)
        yield Outcome(
            about=Ref("spring", name),
            rank=graded(value >= limit, value > ROUNDING),
            value=value,
            limit=limit,
            kind="length",
            at=at(pad, worst),
            facts={
                "shaft": spring.shaft,
                "start": first(arm),
                "end": last(arm),
                "opens": at(pad, where_most(arm <= 0)),
                "shuts": at(pad, where_most(arm > 0)),
            },
        )


def _line_words(o: Outcome) -> str:
    f, shaft = o.facts, o.facts["shaft"]
    if o.rank < BAD:
        word = (
            f"keeps {say(o.value, 'length')} of torque arm about {shaft}, least at pad "
            f"{say(o.at, 'length')}"
        )
    elif f["start"] > ROUNDING:
        word = (
            f"crosses {shaft} at pad {say(f['opens'], 'length')} and holds it open "
            "from there"
        )
    else:
        word = "works the opening way from the start: it is on the wrong side"
        if f["start"] > -THROUGH:
            word = f"passes through {shaft} at the start"
        if f["end"] > 0:
            word += f" and shuts only from pad {say(f['shuts'], 'length')} on"
    return f"spring `{o.about.name}` {word}; at least {say(o.limit, 'length')} is asked"


def _line_short(o: Outcome) -> Short:
    f, spring = o.facts, f"spring `{o.about.name}`"
    asked = f"at least {say(o.limit, 'length')} of arm is asked"
    if o.rank < BAD:
        only = "only " if o.rank else ""
        what = (
            f"{spring} keeps {only}{say(o.value, 'length')} of arm about `{f['shaft']}`"
        )
        return what, asked if o.rank else ""
    if f["start"] > ROUNDING:
        what = f"{spring} crosses `{f['shaft']}` and holds it open"
        return what, f"from pad {say(f['opens'], 'length')} on; {asked}"
    return f"{spring} works the opening way from the start", asked


SPRING_LINE: Final = Rule(
    code="spring-line",
    judge=_line,
    name="springs' lines",
    words=_line_words,
    short=_line_short,
    meaning="The least distance of each spring's line from the shaft it acts on: the arm "
    "that is left to its pull. A line that crosses the shaft holds the plate open.",
    verdicts="fits, look, or do not fit",
    limits=("spring_line",),
    silenced_by=(SHUT, Silence(by="spring-hand", same=True)),
    cures=("arm angle any way", "arm length", "spring anchor round"),
    cure="the spring's arm turned or lengthened, or its anchor swung round",
)
