"""The words of an animation at one position, for picture and page alike.

Not here: the numbers (`scene`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.animation.scene import SAME
from linkage.quantities import say, spoken_unit

if TYPE_CHECKING:
    from collections.abc import Iterable

    from linkage.animation.scene import RodColumns, Scene
    from linkage.model import Limits

#: By sense: a rod that carries a force, or the way it would.
SENSES: Final = {1: "pull", -1: "push", 0: "neither"}
#: Of a rod whose force is known and is none.
NO_LOAD: Final = "no load"


def stop_words(scene: Scene, index: int) -> str:
    """Return which stop is met; empty between the stops.

    Parameters
    ----------
    scene : Scene
        What is shown.
    index : int
        The position.
    """
    pad = float(scene.motion.pad_travel[index])
    if pad >= scene.working.end - SAME:
        return end_words(scene)
    if pad <= SAME:
        return "pedal up"
    return ""


def end_words(scene: Scene) -> str:
    """Return what stops the pedal at the end of its working travel."""
    met = scene.working.stopped_by
    if met.kind == "jam":
        return f"jammed: rod {met.name} reaches no further"
    return f"stopped by {met}"


def readout(scene: Scene, index: int, *, pressing: bool) -> list[str]:
    """Return pad, throttle, force and stop, a line each.

    Parameters
    ----------
    scene : Scene
        What is shown.
    index : int
        The position.
    pressing : bool
        Whether the pedal goes down.
    """
    pad = float(scene.motion.pad_travel[index])
    main = scene.main
    swing = 100 * float(main.share[index])
    lines = [
        f"pedal {'going down' if pressing else 'coming up'}",
        f"pad {say(pad, 'length')} of {say(scene.working.end, 'length')}",
        f"throttle {say(float(main.angle[index]), 'angle')} = {swing:.0f} % of swing",
    ]
    if scene.pad_force is not None:
        force = float(scene.pad_force[0 if pressing else 1][index])
        lines.append(
            f"pad force {'not known' if np.isnan(force) else say_force(force)}"
        )
    return [*lines, stop_words(scene, index)]


def rod_words(rod: RodColumns, index: int, *, pressing: bool) -> str:
    """Return a rod's name with pull or push, and its force where it is known."""
    way = 0 if pressing else 1
    sense = SENSES[int(rod.sense[way][index])]
    if rod.force is None or np.isnan(rod.force[way][index]):
        return f"{rod.name}: {sense}"
    if sense == SENSES[0]:
        return f"{rod.name}: {NO_LOAD}"
    carried = say_force(abs(float(rod.force[way][index])))
    return f"{rod.name}: {sense} {carried}"


def short_names(names: Iterable[str], letters: int) -> dict[str, str]:
    """Return names cut in the middle to so many letters, still all different.

    Parameters
    ----------
    names : iterable of str
        Of things of one kind.
    letters : int
        At most; more where names would be alike.

    Examples
    --------
    >>> short_names(["carb", "from bell crank to carburettor"], 12)
    {'carb': 'carb', 'from bell crank to carburettor': 'from be…ettor'}
    """
    whole = list(names)
    for most in range(letters, max(map(len, whole), default=0) + 1):
        out = {name: _cut(name, most) for name in whole}
        if len(set(out.values())) == len(whole):
            return out
    return {name: name for name in whole}


def _cut(name: str, letters: int) -> str:
    if len(name) <= letters + 1:
        return name
    start = (letters + 2) // 2
    return f"{name[:start].rstrip()}…{name[start - letters :].lstrip()}"


def force_decimals() -> int:
    """Return the digits of a force after the point: whole newtons are enough."""
    return 0 if spoken_unit("force").unit == "N" else 1


def say_force(force: float) -> str:
    """Return a force with its unit, as short as what moves must be.

    >>> say_force(22.6)
    '23 N'
    """
    return say(force, "force", force_decimals())


def sense_texts(scene: Scene, letters: int) -> dict[str, tuple[str, str]]:
    """Return of every rod its name cut short, and the longest that its word gets.

    Parameters
    ----------
    scene : Scene
        What is shown.
    letters : int
        Of a name, about.
    """
    short = short_names((rod.name for rod in scene.rods), letters)
    return {name: (text, f"{text}: {SENSES[-1]}") for name, text in short.items()}


def near_word(left: float, limits: Limits) -> str:
    """Return how near an arm-rod angle is to dead centre.

    Parameters
    ----------
    left : float
        Angle left to dead centre. [rad]
    limits : Limits
        Whose bounds count.
    """
    if left < limits.arm_rod_refuse:
        return "TOO NEAR"
    return "near" if left < limits.arm_rod_look else ""
