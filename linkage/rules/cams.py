"""Rules about cams: how the push leans on the roller's arm, how much profile is left.

That the roller runs off the profile is told by the reach of what joins arms
(`rules.travel`), that the cam pushes at all by `rules.slots`.

Not here: cams themselves (`connect.cam`), springs that hold the roller on
(`rules.shutting`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect import CamPush
from linkage.model.columns import at, last, where_least, where_most
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules.rule import JAM, SHUT, Outcome, Rule, graded

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model.columns import Truth
    from linkage.rules.examine import Examined

#: Turn of its normal from the end of a profile at which a roller is there. [rad]
AT_END: Final = 1e-6


def cams(x: Examined) -> Iterator[CamPush]:
    """Yield the cams of a layout as they are put together, in driving order."""
    for loop in x.assembly.loops:
        if isinstance(loop, CamPush):
            yield loop


def _arm(loop: CamPush, i: int) -> Ref:
    hole = loop.link.holes[i]
    return Ref("arm", hole.shaft, hole.arm)


def _pressure(x: Examined) -> Iterator[Outcome]:
    limits = x.layout.limits
    for loop in cams(x):
        name = loop.link.rod.name
        line: Any = x.lines[name]
        angle = np.where(x.speeds.slack[name], 0.0, line.pressure_angle)
        worst = where_most(angle)
        value = at(angle, worst)
        yield Outcome(
            about=Ref("rod", name),
            part=(_arm(loop, 1),),
            rank=graded(
                value <= limits.cam_pressure_look, value <= limits.cam_pressure_refuse
            ),
            value=value,
            limit=np.where(
                value <= limits.cam_pressure_refuse,
                limits.cam_pressure_look,
                limits.cam_pressure_refuse,
            )[()],
            kind="angle",
            at=at(x.motion.pad_travel, worst),
        )


def _pressure_words(o: Outcome) -> str:
    text = (
        f"the push of {o.called} leans {say(o.value, 'angle')} at most from the way in which "
        f"the roller on `{o.part[0]}` moves, at pad {say(o.at, 'length')}"
    )
    if not o.rank:
        return text
    bound = f"more than {say(o.limit, 'angle', 0)}"
    if o.rank == 1:
        return f"{text}; {bound} wears pin and roller, and gets heavy"
    return f"{text}; {bound} presses the arm into its bearing and may jam"


PRESSURE: Final = Rule(
    code="cam-pressure",
    judge=_pressure,
    name="the pressure angle of cams",
    words=_pressure_words,
    short=lambda o: (
        f"{o.called} pushes its roller {say(o.value, 'angle')} aside",
        f"at pad {say(o.at, 'length')}"
        + f", up to {say(o.limit, 'angle', 0)} is in order" * bool(o.rank),
    ),
    meaning="The pressure angle of a cam: how far its push, square to the profile, leans "
    "from the way in which the roller's arm moves it, greatest anywhere in the travel "
    "where it touches. 30° is what textbooks ask of rollers in a guide, 45° what is "
    "common for those on an arm.",
    verdicts="fits, look, or do not fit",
    limits=("cam_pressure_look", "cam_pressure_refuse"),
    silenced_by=(SHUT, JAM),
    cures=("arm angle",),
    cure="the roller's arm or the cam turned on its shaft",
)


def _end(x: Examined) -> Iterator[Outcome]:
    limit = x.layout.limits.cam_left
    for loop in cams(x):
        driver, driven = (x.motion.pair(hole.shaft) for hole in loop.link.holes)
        left = loop.rod.faces(driver, driven)
        worst = where_least(left)
        value = at(left, worst)
        yield Outcome(
            about=Ref("rod", loop.link.rod.name),
            part=(_arm(loop, 0),),
            rank=graded(value >= limit, value > 0),
            value=value,
            limit=limit,
            kind="angle",
            at=at(x.motion.pad_travel, worst),
        )


def _end_words(o: Outcome) -> str:
    text = (
        f"the roller of {o.called} is {say(o.value, 'angle')} from an end of the profile at the "
        f"least, at pad {say(o.at, 'length')}; at least {say(o.limit, 'angle')} is asked"
    )
    if not o.rank:
        return text
    return f"{text}: past it the roller drops off, and the cam may hold it there"


END: Final = Rule(
    code="cam-end",
    judge=_end,
    name="the ends of cams",
    words=_end_words,
    short=lambda o: (
        f"the roller of {o.called} "
        + ("comes near the profile's end" if o.rank else "stays on the profile"),
        f"{say(o.value, 'angle')} left at pad {say(o.at, 'length')}"
        + f", {say(o.limit, 'angle', 0)} asked" * bool(o.rank),
    ),
    meaning="How much of a cam's profile is left, as the turn of its normal, where the "
    "roller comes nearest to either end of it. Past an end the roller drops off, and the "
    "cam may hold it there. A roller that runs off within the travel is told by the reach.",
    verdicts="fits, look, or do not fit",
    limits=("cam_left",),
    silenced_by=(SHUT, JAM),
    cures=("arm angle", "cam longer"),
    cure="the cam turned on its shaft; a profile that goes on further",
)


def at_its_end(x: Examined, rod: str) -> Truth:
    """Tell whether a cam's roller is at an end of its profile when the pedal stops."""
    loop = x.assembly.loop(rod)
    if not isinstance(loop, CamPush):
        return False
    ends = (x.motion.pair(hole.shaft) for hole in loop.link.holes)
    return last(loop.rod.faces(*ends)) < AT_END


def runs_off(o: Outcome) -> str:
    """Return that the roller of a cam goes no further, in words; empty of all else."""
    if o.kinds.get(o.about.name) != "cam":
        return ""
    why = "runs off the end of the profile"
    if not o.facts["off"]:
        why = f"stands in line with the push and arm `{o.part[0]}`, and jams,"
    return f"the roller of {o.called} {why} at {say(o.at, 'length')} of pad"
