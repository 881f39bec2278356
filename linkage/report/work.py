"""What it takes to come from one layout to another, in words.

Not here: the jobs themselves (`swap.changes`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.model import Arm
from linkage.quantities import say, say_point
from linkage.search.said import said
from linkage.search.said_of_rods import cut_step
from linkage.spoken import say_hole, say_rod
from linkage.swap.changes import turned

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from linkage.model import Layout
    from linkage.search.family import Step


def _size(arm: Arm) -> str:
    return f"{say_hole(arm.length)} at {say(arm.angle, 'angle', 0)}"


def _sizes(arms: Iterable[Arm]) -> list[str]:
    return [f"`{arm.name}` {_size(arm)}" for arm in arms]


def _seen(layout: Layout, job: Step) -> str:
    return f"seen from {layout.shafts[job.about.name].axis.seen_from}"


def _arm(job: Step) -> str:
    """Return an arm, or a drum, by its name; its step has it, or says what it is."""
    new = job.new
    word = new.called if isinstance(new, Arm) else job.more["arm"]
    return f"{word} `{job.about.name}.{job.about.part}`"


def _new_shaft(layout: Layout, job: Step) -> str:
    arms = " and ".join(_sizes(job.new.arms.values()))
    at = say_point(job.new.pivot, 1)
    return f"{job.about.name}, pivot at {at}, arms {arms} {_seen(layout, job)}"


def _new_crank(layout: Layout, job: Step) -> str:
    arms = ", ".join(_sizes(a for n, a in job.new.arms.items() if n in job.old.arms))
    return f"{job.about.name} with arms {arms}, {_seen(layout, job)}"


def _new_length(layout: Layout, job: Step) -> str:  # noqa: ARG001
    old, new = job.old, job.new
    radius = "" if new.called == "arm" else " radius"
    was = say_hole(old.length)
    text = f"{_arm(job)} of {say_hole(new.length)}{radius} instead of {was}"
    if turned(old, new):
        text += (
            f", at {say(new.angle, 'angle', 0)} instead of {say(old.angle, 'angle', 0)}"
        )
    return text


def _angle(layout: Layout, job: Step) -> str:
    turn = f"{say(job.new, 'angle', 0)} instead of {say(job.old, 'angle', 0)}"
    nipple = "" if job.more["arm"] == "arm" else ", its nipple"
    return f"set {_arm(job)}{nipple} at {turn}, {_seen(layout, job)}"


def _offset(layout: Layout, job: Step) -> str:
    toward = layout.shafts[job.about.name].axis.toward(job.new)
    text = f"slide {_arm(job)} to {say(job.new, 'length')} along its shaft"
    return f"{text}, {toward}" if toward else text


def _bearings(layout: Layout, job: Step) -> str:  # noqa: ARG001
    by = job.new[1] - job.old[1]
    way = "left" if by > 0 else "right"
    return (
        f"move the bearings of {job.about.name} {say(abs(by), 'length')} to the {way}, "
        f"pivot to {say_point(job.new, 1)}"
    )


def _cut(layout: Layout, job: Step) -> str:  # noqa: ARG001
    if "cable" in job.more:
        was = math.nan if job.old is None else job.old
        cable = job.more["cable"]
        return cut_step(cable, job.new, was, pulls=True, set_anew=False)
    text = f"cut rod `{job.about.name}` to {say_rod(job.new)}"
    text += "" if job.old is None else f" instead of {say_rod(job.old)}"
    return text + _between(job)


def _between(job: Step) -> str:
    """Say between what a rod with a slot is measured."""
    return f", {job.more['between']}" if "between" in job.more else ""


_WORDS: Final[dict[str, Callable[[Layout, Step], str]]] = {
    "shaft": _new_shaft,
    "crank": _new_crank,
    "arm": lambda _, j: f"{_arm(j)}, {_size(j.new)}",
    "arm length": _new_length,
    "rod": lambda _, j: (
        f"rod `{j.about.name}` of {say_rod(j.more['length'])}, "
        f"from {j.new.start} to {j.new.end}{_between(j)}"
    ),
    "rod way": lambda _, j: said(j).removeprefix("make ").removeprefix("fit "),
    "bearings": _bearings,
    "arm angle": _angle,
    "arm offset": _offset,
    "spring anchor": lambda _, j: (
        f"anchor spring `{j.about.name}` at {say_point(j.new)}"
    ),
    "spring hand": lambda _, j: f"fit spring `{j.about.name}` of the other hand",
    "pedal stop": lambda _, j: (
        f"set the pedal stop to {say(j.new, 'length')} of pad travel"
    ),
    "rod cut": _cut,
    "drum wound": lambda _, j: said(j),
    "sheath lined": lambda _, j: said(j).removeprefix("fit "),
    "sheath end": lambda _, j: said(j),
}


def job_text(layout: Layout, job: Step) -> str:
    """Return a job in words.

    Parameters
    ----------
    layout : Layout
        The layout that it leads to.
    job : Step
        One of `swap.changes`.
    """
    return _WORDS[job.kind](layout, job)
