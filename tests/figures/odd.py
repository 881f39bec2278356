"""Odd layouts of our own to draw: jammed, back again, at once, in inches, crowded.

Not for judging: what a rule says of them is asked elsewhere. All sizes invented.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from linkage.config import loads
from linkage.motion import assemble
from tests.build import hauler, hole
from tests.inches import VAN, in_inches
from tests.sprung import line_spring, sprung_hauler, torsion_spring, with_springs
from tests.unit.edits import PEDAL_ROD, TRUCK, edited, lever

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.model import Layout, Spring

LONG = "the lorry from the upper yard with the carburettor turned about " * 4


def rods(pedal: tuple[int, int], at_plate: tuple[int, int], swing: int = 76) -> Layout:
    """Return the truck with other arms at both ends of its rod. [mm], [°]."""
    arm = f"arms.rod = {{ length = {pedal[0]}, angle = {pedal[1]} }}"
    return edited(
        TRUCK,
        (PEDAL_ROD, arm),
        lever(*at_plate),
        ("swing        = 76", f"swing        = {swing}"),
    )


def plate(**changed: float) -> Layout:
    """Return the hauler with another plate."""
    layout = sprung_hauler()
    main = replace(layout.main, **changed)
    return replace(layout, throttles={main.name: main})


def rod_off(layout: Layout, more: float) -> Layout:
    """Return a layout whose last rod is longer than cut to fit. [m]."""
    return layout.with_rod("last", assemble(layout).loop("last").length + more)


def springs(count: int, **data: float) -> list[Spring]:
    """Return springs side by side at the hauler's spindle, no two alike."""
    return [
        line_spring(
            f"return spring {i}",
            "spindle.spring",
            (194 + 6 * i, -100, 130),
            **{"rate": 200.0 + 90 * i, **data},
        )
        for i in range(1, count + 1)
    ]


def named_long(layout: Layout) -> Layout:
    """Return a layout with a title and names of springs no page is wide enough for."""
    found = {}
    for i, spring in enumerate(layout.springs.values(), start=1):
        name = f"{LONG[:70].strip()} {i}"
        found[name] = replace(spring, name=name)
    return replace(layout, title=LONG.strip(), springs=found)


def unlike_plates() -> Layout:
    """Return the twin carburettors with one plate's lever longer, so that it lags."""
    layout = edited("twin-side-draught")
    return layout.with_arm(hole("rear spindle.lever"), length=0.038)


def wrong_hand() -> Layout:
    """Return the hauler with a spring about its spindle that opens, and one that shuts."""
    return with_springs(
        hauler(),
        torsion_spring("opener", "spindle", 1, 0.2, 0.3),
        torsion_spring("shutter", "spindle", -1, 0.3, 0.9),
    )


BORE = {"bore": 0.036, "spindle": 0.008, "closed_angle": math.radians(8)}

ODD: dict[str, Callable[[], Layout]] = {
    "jams part-way": lambda: rods((177, -28), (43, 117)),
    "jams early": lambda: rods((99, 51), (72, -150)),
    "comes back": lambda: rods((188, -179), (32, 24), 150),
    "comes back from half": lambda: rods((91, -2), (38, -22)),
    "jams while it opens": lambda: rods((160, 139), (37, 133), 150),
    "opens at once": lambda: rods((182, -126), (19, -7)),
    "opens at once, then jams": lambda: rods((138, 124), (99, 171), 150),
    "never opens": lambda: plate(opens=-1, **BORE),
    "past edge-on": lambda: plate(swing=math.radians(118), **BORE).with_arm(
        hole("spindle.lever"), length=0.026
    ),
    "opens a little": lambda: sprung_hauler().with_arm(hole("spindle.lever"), length=0.09),
    "thick spindle": lambda: plate(bore=0.02, spindle=0.012),
    "no spindle": lambda: plate(bore=0.036),
    "small swing": lambda: plate(swing=math.radians(20), **BORE),
    "long rod": lambda: rod_off(sprung_hauler(), 0.004),
    "short rod": lambda: rod_off(sprung_hauler(), -0.004),
    "in inches": lambda: loads(VAN).layout,
    "up-pull in inches": lambda: loads(in_inches("up-pull-side-draught")).layout,
    "plates out of step": unlike_plates,
    "long names": lambda: named_long(edited("hanging-pedal")),
    "no spring": hauler,
    "one spring": lambda: with_springs(hauler(), *springs(1)),
    "two alike": lambda: with_springs(hauler(), *(replace(springs(1)[0], name=n) for n in "ab")),
    "spring of no load": lambda: with_springs(hauler(), *springs(1, rate=1e-9, initial_tension=0.0)),
    "slack spring": lambda: with_springs(hauler(), *springs(1, free_length=0.4)),
    "eight springs": lambda: with_springs(hauler(), *springs(8)),
    "eight springs, long names": lambda: named_long(with_springs(hauler(), *springs(8))),
    "fourteen springs": lambda: with_springs(hauler(), *springs(14)),
    "spring of the wrong hand": wrong_hand,
    "spring that crosses": lambda: edited("fault-spring-over-spindle"),
    "heavy pedal": lambda: with_springs(hauler(), *springs(2, rate=9000.0)),
    "free play": lambda: sprung_hauler(pedal={"free_play": 0.03}),
    "short travel": lambda: sprung_hauler(travel_mm=4.0),
    "long travel": lambda: sprung_hauler(travel_mm=140.0),
    "floor first": lambda: sprung_hauler(travel_mm=40.0),
    "turned viewer": lambda: edited("crank-wrong-hand"),
}  # fmt: skip


@cache
def odd(name: str) -> Layout:
    """Return an odd layout by its name."""
    return ODD[name]()
