"""Chains and branches of any number of shafts, and springs by the number; all invented.

Every rod is upright and every arm level, so that whatever hangs on it turns alike.

Not here: what is measured on them (`tests.benchmarks.checks`), what is counted
(`tests/unit/test_branches.py`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from linkage.model import Layout, Pedal, Throttle
from tests.build import arm, rod, shaft
from tests.sprung import line_spring

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.model import Rod, Shaft, Spring


def _cross(k: int, holes: int = 1) -> Shaft:
    """Return a shaft between, the first 300 mm over the pedal and each 150 mm further.

    With one arm that drives for each hole, 90 mm apart.
    """
    out = [arm(f"out {i}", 60, 0, -90 * i) for i in range(holes)]
    at = (0, 0, 300 + 150 * k)
    return shaft(f"cross {k}", at, "across", arm("in", 60, 0), *out)


def _spindle(k: int, on: Shaft, hole: int = 0) -> Shaft:
    """Return the spindle of a carburettor, over a hole of a cross shaft."""
    _, y, z = on.centre(f"out {hole}")
    arms = arm("lever", 45, 0), arm("near", 30, 180, 20), arm("far", 30, 180, -20)
    return shaft(f"spindle {k}", (15, 1e3 * y, 1e3 * z + 200), "across", *arms)


def _springs(plates: list[Shaft], many: int = 2) -> list[Spring]:
    """Return springs that shut every plate, in turns on either arm."""
    return [
        line_spring(
            f"{s.name} {i}",
            f"{s.name}.{at}",
            (-15 - 0.5 * i, 1e3 * s.centre(at)[1], 1e3 * s.pivot[2] + 120),
            greatest_length=0.19,
        )
        for s in plates
        for i in range(many)
        for at in ["far" if i % 2 else "near"]
    ]


def _layout(
    shafts: list[Shaft], rods: list[Rod], plates: list[Shaft], many: int = 2
) -> Layout:
    pad, out = arm("pad", 180, -90), arm("out 0", 60, 0)
    pedal = shaft("pedal", (0, 0, 0), "across", pad, out)
    swing = math.radians(28)
    return Layout(
        title=f"{len(shafts) + 1} shafts",
        shafts={s.name: s for s in [pedal, *shafts]},
        rods={r.name: r for r in rods},
        pedal=Pedal(shaft="pedal", pad="pad", travel=0.075, presses=1),
        throttles={
            s.name: Throttle(name=s.name, shaft=s.name, opens=1, swing=swing)
            for s in plates
        },
        springs={s.name: s for s in _springs(plates, many)},
    )


def _line(many: int, holes: int = 1) -> tuple[list[Shaft], list[Rod]]:
    """Return shafts between, one driving the next."""
    shafts = [_cross(k, holes) for k in range(many)]
    before = ["pedal", *(s.name for s in shafts)]
    rods = [
        rod(f"to {s.name}", f"{start}.out 0", f"{s.name}.in", diameter=0.008)
        for start, s in zip(before, shafts, strict=False)
    ]
    return shafts, rods


def _drop(start: Shaft, to: Shaft, hole: int = 0) -> Rod:
    ends = f"{start.name}.out {hole}", f"{to.name}.lever"
    return rod(f"to {to.name}", *ends, diameter=0.006)


def chain(shafts: int, springs: int = 2) -> Layout:
    """Return one shaft after the other, the plate last."""
    line, rods = _line(shafts - 2)
    plate = _spindle(0, line[-1])
    return _layout([*line, plate], [*rods, _drop(line[-1], plate)], [plate], springs)


def _beside(shafts: int) -> tuple[list[Shaft], list[Shaft], list[Rod]]:
    """Return one cross shaft, all spindles that it works, and all rods."""
    many = shafts - 2
    line, rods = _line(1, many)
    spindles = [_spindle(k, line[0], k) for k in range(many)]
    drops = [_drop(line[0], s, k) for k, s in enumerate(spindles)]
    return line, spindles, rods + drops


def star(shafts: int) -> Layout:
    """Return one cross shaft that works all plates, a spring to each."""
    line, spindles, rods = _beside(shafts)
    return _layout(line + spindles, rods, spindles, 1)


def twigs(shafts: int) -> Layout:
    """Return the same where all shafts but the first work nothing."""
    line, spindles, rods = _beside(shafts)
    return _layout(line + spindles, rods, spindles[:1])


def comb(shafts: int) -> Layout:
    """Return shafts one after the other, with a plate to each as far as they go."""
    line, rods = _line(shafts // 2)
    some = line[: shafts - 1 - len(line)]
    plates = [_spindle(k, s) for k, s in enumerate(some)]
    drops = [_drop(s, p) for s, p in zip(some, plates, strict=True)]
    return _layout(line + plates, rods + drops, plates)


#: By what they are called, each of a number of shafts.
BRANCHED: dict[str, Callable[[int], Layout]] = {
    "star": star,
    "comb": comb,
    "twigs": twigs,
}
