"""Masses on shafts for checks of forces, estimated again where they are not given.

What the program says of it, written out once more: a lever is a steel flat of 20 x 5 mm
with its mass at half its length, a pad is 0.3 kg unless its lever's mass is given, a rod
is a bar of its diameter with half of it at each end.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.motion import Assembly

#: EN 1991-1-1, Table A.4, structural steel, 77 to 78.5 kN/m³ (from memory). [kg/m³]
STEEL = 7850.0
#: A rod that names no diameter; common practice, no source. [m]
ROD = 0.006


def hung(assembly: Assembly) -> Iterator[tuple[str, str, float, float]]:
    """Yield shaft, arm, mass and share of the arm's radius of each mass. [kg]."""
    layout = assembly.layout
    for shaft in layout.shafts.values():
        for arm in shaft.arms.values():
            flat = STEEL * 0.020 * 0.005 * arm.length
            yield shaft.name, arm.name, arm.mass or flat, 0.5
            if (shaft.name, arm.name) == (layout.pedal.shaft, layout.pedal.pad):
                yield shaft.name, arm.name, 0.0 if arm.mass else 0.3, 1.0
    for loop in assembly.loops:
        rod = loop.link.rod
        thick = rod.diameter or ROD
        bar = STEEL * math.pi / 4 * (thick**2 - rod.bore**2) * loop.length
        for hole in (rod.start, rod.end):
            yield hole.shaft, hole.arm, (rod.mass or bar) / 2, 1.0
