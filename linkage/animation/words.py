"""The words of an animation at one position, for picture and page alike.

Not here: the numbers (`scene`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from linkage.animation.scene import SAME
from linkage.drawing.sprung import gives_words
from linkage.drawing.track import SLACK
from linkage.model.called import a_rod
from linkage.quantities import say, spoken_unit

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from linkage.animation.scene import Scene

#: By sense: a rod that carries a force, or the way it would.
SENSES: Final = {1: "pull", -1: "push", 0: "neither", SLACK: "slack"}


class Driver(NamedTuple):
    """What films and page say of what drives: its name, its end, its places and ways."""

    name: str
    end: str
    rest: str
    full: str
    still: str
    moves: str
    ways: tuple[str, str]

    @property
    def going(self) -> str:
        """What it does while the linkage is driven on."""
        return f"{self.moves} {self.ways[0]}"

    @property
    def coming(self) -> str:
        """What it does while it goes back."""
        return f"{self.moves} {self.ways[1]}"


_DRIVERS: Final = (
    Driver(
        name="pedal",
        end="pad",
        rest="pedal up",
        full="pedal down",
        still="the pedal stands up",
        moves="pedal",
        ways=("going down", "coming up"),
    ),
    Driver(
        name="hand lever",
        end="hand",
        rest="hand lever home",
        full="hand lever pulled",
        still="the hand lever is home",
        moves="hand lever",
        ways=("pulled on", "pushed back"),
    ),
    Driver(
        name="governor",
        end="arm",
        rest="engine stopped",
        full="engine at its fastest",
        still="the engine stands still",
        moves="engine",
        ways=("running faster", "slowing"),
    ),
)
DRIVERS: Final = {one.name: one for one in _DRIVERS}


def driver_of(scene: Scene) -> Driver:
    """Return the words of what drives: pedal, hand lever or governor."""
    return DRIVERS[scene.layout.driver]


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
        return driver_of(scene).rest
    return ""


def end_words(scene: Scene) -> str:
    """Return what stops the pedal, or what drives, at the end of its working travel."""
    met = scene.working.stopped_by
    if met.kind == "jam":
        kind = scene.layout.rods[met.name].kind
        return f"jammed: {kind} {met.name} reaches no further"
    if scene.layout.driver != "pedal" and met.kind == "floor":
        return "at the end of its travel"
    said = str(met)
    if scene.layout.governed:
        said = said.replace("full stop", "shut stop")
    return f"stopped by {said}"


def readout(scene: Scene, index: int, *, pressing: bool) -> list[str]:
    """Return pad or hand, throttle, stop or way, and rods whose spring gives, a line each.

    Parameters
    ----------
    scene : Scene
        What is shown.
    index : int
        The position.
    pressing : bool
        Whether the pedal goes down, or the hand lever is pulled.
    """
    pad = float(scene.motion.pad_travel[index])
    main = scene.main
    swing = 100 * float(main.share[index])
    driver = driver_of(scene)
    gone = say(pad, "length").removesuffix(f" {spoken_unit('length').unit}")
    gives = [
        f"rod {rod.name} {gives_words(float(rod.given[index]), rod.way)}"
        for rod in scene.rods
        if rod.given is not None and rod.given[index] > 0
    ]
    return [
        f"{driver.end} {gone} of {say(scene.working.end, 'length')}",
        f"throttle {say(float(main.angle[index]), 'angle')} = {swing:.0f} %",
        stop_words(scene, index) or (driver.going if pressing else driver.coming),
        *gives,
    ]


def line_words(scenes: Sequence[Scene]) -> str:
    """Return what one line of the drawings is: ``rod``, ``cable``, or ``rod or cable``.

    A cam has none: it is drawn as a rim and a ring.
    """
    return a_rod({kind: kind for kind in _kinds(scenes) - {"cam"}})


def joined_words(scenes: Sequence[Scene]) -> str:
    """Return what one of all that joins arms is: as `line_words`, or a ``cam``."""
    return a_rod({kind: kind for kind in _kinds(scenes)})


def _kinds(scenes: Sequence[Scene]) -> set[str]:
    return {rod.kind for one in scenes for rod in one.layout.rods.values()}


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
