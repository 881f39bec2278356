"""Changes to a governed engine's linkage: its rod by turns, and its springs' sense.

The governor's own spring is never made stronger or weaker, as it sets the speed.

Not here: arms (`search.changes`), what is asked of a governor (`rules.governed`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Known, Spring
from linkage.model.refs import Ref
from linkage.motion.as_made import made_length
from linkage.rules.one_turn import TURN, last_rod
from linkage.search import anchors, spring_changes
from linkage.search.apart import free_name
from linkage.search.family import Family, Step, always
from linkage.shown_units import in_inches

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from linkage.model import Rod
    from linkage.rules.examine import Examined

#: One turn of a thread of 28 to the inch; common practice, no source. [m]
INCH_TURN: Final = 0.0254 / 28
#: So many turns either way at most, as the threads of a rod allow.
TURNS: Final = 15
#: Light torsion springs for a spindle, by their torque at rest, which they gain again
#: over some four radians: common practice, no source. [N·m]
LIGHT: Final = np.array([20, 30, 40, 60, 80, 100, 120, 160, 200, 250, 300, 400]) * 1e-3
GAIN: Final = 0.25


def turn() -> float:
    """Return one turn of the usual thread of a rod, by the rule that the file speaks. [m].

    >>> turn()
    0.001
    """
    return INCH_TURN if in_inches() else TURN


def turned(x: Examined, throttle: str) -> Iterator[Family]:
    """Yield the last rod to a plate made longer or shorter by whole turns of its thread.

    Of a cable the adjuster let out or taken up by as much.
    """
    yield replace(by_turns(x, throttle, TURNS), moves_stroke=False)


def by_turns(x: Examined, throttle: str, most: int) -> Family:
    """Return the last rod to a plate set by up to so many turns either way."""
    each = np.arange(1, most + 1)
    turns = np.stack([each, -each], axis=1).ravel()
    name = last_rod(x.layout, x.layout.throttles[throttle])
    loop = x.assembly.loop(name)
    made, base = float(made_length(loop)), float(loop.length)
    some = turns[base + turns * turn() > 0]
    return Family(
        base=x.layout,
        sets={("rods", name, "length"): np.asarray(base + some * turn(), float)},
        effort=0.02 * np.abs(some),
        step=_turn_step(x.layout.rods[name], made, some.tolist()),
    )


def _turn_step(rod: Rod, made: float, turns: list[int]) -> Callable[[int], Step]:
    """Return what sets a rod by so many turns of its thread, from the length it has."""

    def step(i: int) -> Step:
        return Step(
            kind="rod turns",
            about=Ref("rod", rod.name),
            old=made,
            new=made + turns[i] * turn(),
            more={"turns": turns[i], "rod": rod.kind, "turn": turn()},
        )

    return step


def turned_round(x: Examined, _: str) -> Iterator[Family]:
    """Yield springs that work the wrong way, chosen or anchored for the opposite sense.

    At the governor's arm one that shuts, elsewhere one that opens.
    """
    for name, opens in _opening(x).items():
        if opens != (x.layout.springs[name].shaft == x.layout.pedal.shaft):
            yield from spring_changes.other_hand(x.motion, name)
            yield from anchors.mirrored(x.motion, name)


def _opening(x: Examined) -> dict[str, bool]:
    """Tell of every spring whether it opens, by and large; those that do nothing left out."""
    work = x.forces.lines.spring_work
    sums = {name: float(np.nansum(work[name])) for name in x.layout.springs}
    return {name: total < 0 for name, total in sums.items() if total}


def hooked_to_governor(x: Examined, _: str) -> Iterator[Family]:
    """Yield springs that open at a spindle, hooked to an arm of the governor instead.

    Their anchors stay, or go across that arm.
    """
    layout, home = x.layout, x.layout.pedal.shaft
    for name, opens in _opening(x).items():
        spring = layout.springs[name]
        if not opens or spring.shaft == home or not spring.arm:
            continue
        for arm in layout.shafts[home].arms:
            base = layout.with_spring(replace(spring, shaft=home, arm=arm))
            step = Step(
                kind="spring hooked",
                about=Ref("spring", name),
                old=f"{spring.shaft}.{spring.arm}",
                new=f"{home}.{arm}",
            )
            yield Family(
                base=base,
                sets={},
                effort=np.array([0.3]),
                step=always(step),
                moves_stroke=False,
            )


def _light_ones(x: Examined) -> list[str]:
    """Return the springs that shut at a spindle; the governor's own stays as it is."""
    home = x.layout.pedal.shaft
    return [
        name
        for name, opens in _opening(x).items()
        if not opens and x.layout.springs[name].shaft != home
    ]


def weaker(x: Examined, _: str) -> Iterator[Family]:
    """Yield springs that shut at a spindle made weaker."""
    return spring_changes.scaled(x.layout, _light_ones(x), spring_changes.WEAKER)


def stronger(x: Examined, _: str) -> Iterator[Family]:
    """Yield springs that shut at a spindle made stronger."""
    return spring_changes.scaled(x.layout, _light_ones(x), spring_changes.STRONGER)


def light(x: Examined, throttle: str) -> Iterator[Family]:
    """Yield a light torsion spring on a plate's spindle that shuts it."""
    layout = x.layout
    plate = layout.throttles[throttle]
    name = free_name(layout.springs, "light")
    known = Known(rate=GAIN * LIGHT[0], preload=float(LIGHT[0]), shuts=plate.opens)
    spring = Spring(name=name, kind="torsion", shaft=plate.shaft, known=known)
    axis = layout.shafts[plate.shaft].axis
    more = {"shaft": plate.shaft, "way": plate.opens, "seen_from": axis.seen_from}

    def step(i: int) -> Step:
        torque = float(LIGHT[i])
        sizes = {**more, "preload": torque, "rate": GAIN * torque}
        about = Ref("spring", name)
        return Step(kind="spring light", about=about, new=torque, more=sizes)

    yield Family(
        base=layout.with_spring(spring),
        sets={
            ("springs", name, "known", "rate"): GAIN * LIGHT,
            ("springs", name, "known", "preload"): LIGHT,
        },
        effort=1 + LIGHT,
        step=step,
        moves_stroke=False,
    )


#: By the kind of change that a rule names: from a layout and one of its plates.
SOURCES: Final[dict[str, Callable[[Examined, str], Iterator[Family]]]] = {
    "rod turns": turned,
    "spring turned round": turned_round,
    "spring to governor": hooked_to_governor,
    "light spring": light,
    "light spring weaker": weaker,
    "light spring stronger": stronger,
}
