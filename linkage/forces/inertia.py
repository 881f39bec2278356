"""Moments of inertia: as given, or estimated from sizes.

Estimates, all common practice without a source, on the heavy side so that the
time to idle comes out long rather than short:

- an arm is a steel flat 20 mm × 4 mm from the centre line to its hole, the
  pad's arm 25 mm × 6 mm with a pad of 0.15 kg at its end;
- between the outermost arms runs a steel bar of the bearing's diameter, 12 mm
  where that is not given;
- a rod is a steel bar of 6 mm where its diameter is not given, half its mass
  at each end;
- a plate is a brass disc 2 mm thick, where the bore is given.

Not here: how they add up through the linkage (`time`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from linkage.model import Arm, Layout, Rod, Shaft
    from linkage.motion import Assembly

#: Densities: steel, aluminium, brass; EN 1991-1-1, Table A.4 (from memory),
#: rounded. [kg/m³]
DENSITY: Final = {"steel": 7850.0, "aluminium": 2700.0, "brass": 8400.0}
FLAT: Final = 0.020 * 0.004
PAD_FLAT: Final = 0.025 * 0.006
PAD_MASS: Final = 0.15
BAR: Final = 0.012
ROD: Final = 0.006
PLATE: Final = 0.002


@dataclass(frozen=True, slots=True, kw_only=True)
class Inertia:
    """Moment of inertia of one shaft with what is fixed to it.

    Parameters
    ----------
    value : float
        About its centre line, with half of every rod at its hole. [kg·m²]
    estimated : bool
        Whether any part of it is an estimate.
    """

    value: float
    estimated: bool


def rod_mass(rod: Rod, length: float) -> float:
    """Return a rod's mass, given or estimated. [kg].

    Parameters
    ----------
    rod : Rod
        The rod.
    length : float
        Centre to centre. [m]
    """
    if rod.mass:
        return rod.mass
    outer = rod.diameter or ROD
    area = math.pi / 4 * (outer**2 - rod.bore**2)
    return DENSITY[rod.material] * area * length


def _arm(arm: Arm, *, pad: bool) -> float:
    if arm.mass:
        return arm.mass * arm.length**2 / 3
    mass = DENSITY["steel"] * (PAD_FLAT if pad else FLAT) * arm.length
    return mass * arm.length**2 / 3 + (PAD_MASS * arm.length**2 if pad else 0.0)


def _own(layout: Layout, shaft: Shaft) -> Inertia:
    """Return arms, bar and plate of a shaft without its rods."""
    if shaft.inertia:
        return Inertia(value=shaft.inertia, estimated=False)
    pedal = layout.pedal
    total = sum(
        _arm(a, pad=(shaft.name, a.name) == (pedal.shaft, pedal.pad))
        for a in shaft.arms.values()
    )
    places = [a.offset for a in shaft.arms.values()]
    bar = shaft.bearing or BAR
    mass = DENSITY["steel"] * math.pi / 4 * bar**2 * (max(places) - min(places))
    total += mass * bar**2 / 8
    for t in layout.throttles.values():
        if t.shaft == shaft.name and t.bore:
            disc = DENSITY["brass"] * math.pi / 4 * t.bore**2 * PLATE
            total += disc * t.bore**2 / 16
    return Inertia(value=total, estimated=True)


def inertias(assembly: Assembly, parted: tuple[str, ...] = ()) -> dict[str, Inertia]:
    """Return the moment of inertia of every shaft.

    Parameters
    ----------
    assembly : Assembly
        Gives the rods' lengths.
    parted : tuple of str
        Rods that have parted; they hang on nothing.
    """
    layout = assembly.layout
    out = {}
    for name, shaft in layout.shafts.items():
        own = _own(layout, shaft)
        value, estimated = own.value, own.estimated
        for loop in assembly.loops:
            rod = loop.link.rod
            if rod.name in parted:
                continue
            for hole in (rod.start, rod.end):
                if hole.shaft == name:
                    value += (
                        rod_mass(rod, loop.length)
                        / 2
                        * shaft.arms[hole.arm].length ** 2
                    )
                    estimated = estimated or not rod.mass
        out[name] = Inertia(value=value, estimated=estimated)
    return out
