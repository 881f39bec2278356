"""Moments of inertia: as given, or estimated from sizes.

Estimates, all common practice without a source, on the heavy side so that the
time to idle comes out long rather than short:

- levers and the pad are those of `masses`, a lever spread evenly from the centre
  line to its hole;
- between the outermost arms runs a steel bar of the bearing's diameter, 12 mm
  where that is not given;
- a rod is a steel bar of 6 mm where its diameter is not given, half its mass
  at each end;
- a plate is a brass disc 2 mm thick, where the bore is given.

What of a shaft is a moment of inertia is of a slide its mass, in kg.

Not here: how they add up through the linkage (`time`).
"""

from __future__ import annotations

import math
from functools import reduce
from typing import TYPE_CHECKING, Final

from linkage.connect.bar import DENSITY
from linkage.forces.balance import NOTHING
from linkage.forces.masses import PAD, lever_mass
from linkage.model import Slide
from linkage.model.columns import greater, lesser, pick
from linkage.model.refs import Ref
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.forces.balance import Gone
    from linkage.model import Layout, Shaft
    from linkage.model.columns import Number, Truth
    from linkage.motion import Assembly

#: Density: EN 1991-1-1, Table A.4 (from memory), rounded. [kg/m³]
BRASS: Final = 8400.0
BAR: Final = 0.012
PLATE: Final = 0.002


@dataclass(frozen=True, slots=True, kw_only=True)
class Inertia:
    """Moment of inertia of one shaft with what is fixed to it.

    Parameters
    ----------
    own : float or column
        Of arms, bar and plate about its centre line. [kg·m²]
    rods : mapping of Ref to (float or column)
        Of half of every rod, or the roller of a cam, at its hole. [kg·m²]
    own_estimated : bool or column
        Whether any part of ``own`` is an estimate.
    rods_estimated : mapping of Ref to (bool or column)
        Whether the rod's mass is one.
    """

    own: Number
    rods: Mapping[Ref, Number]
    own_estimated: Truth
    rods_estimated: Mapping[Ref, Truth]

    def value(self, gone: Gone = NOTHING) -> Number:
        """Return it about the centre line, less the rods that are gone. [kg·m²]."""
        return sum((v for ref, v in self.rods.items() if ref not in gone), self.own)

    def estimated(self, gone: Gone = NOTHING) -> Truth:
        """Tell whether any part of it is an estimate."""
        found = self.own_estimated
        for ref, guessed in self.rods_estimated.items():
            found = found if ref in gone else found | guessed
        return found


def _arm(shaft: Shaft, arm: str, *, pad: bool) -> Number:
    if shaft.slides:
        return lever_mass(shaft, arm)
    mass, radius = lever_mass(shaft, arm), shaft.arms[arm].length
    extra = pick(shaft.arms[arm].mass > 0, 0.0, PAD) if pad else 0.0
    return mass * radius**2 / 3 + extra * radius**2


def _guess(layout: Layout, shaft: Shaft) -> Number:
    """Return arms, bar and plate of a shaft without its rods, from sizes."""
    pedal, foot = layout.pedal, not layout.governed
    total = sum(
        _arm(shaft, arm, pad=foot and (shaft.name, arm) == (pedal.shaft, pedal.pad))
        for arm in shaft.arms
    )
    if shaft.slides:
        return total
    places = [a.offset for a in shaft.arms.values()]
    bar = pick(shaft.bearing > 0, shaft.bearing, BAR)
    width = reduce(greater, places) - reduce(lesser, places)
    mass = DENSITY["steel"] * math.pi / 4 * bar**2 * width
    total += mass * bar**2 / 8
    for t in layout.throttles.values():
        if t.shaft == shaft.name:
            disc = BRASS * math.pi / 4 * t.bore**2 * PLATE
            total += disc * t.bore**2 / 16
    return total


def inertias(assembly: Assembly) -> dict[str, Inertia]:
    """Return the moment of inertia of every shaft.

    Parameters
    ----------
    assembly : Assembly
        Gives the rods' lengths.
    """
    layout = assembly.layout
    out = {}
    for name, shaft in layout.shafts.items():
        rods: dict[Ref, Number] = {}
        guessed: dict[Ref, Truth] = {}
        for loop in assembly.loops:
            rod = loop.link.rod
            for hole in (rod.start, rod.end):
                if hole.shaft == name and (borne := rod.bears(hole)):
                    mass = loop.mass * borne
                    rods[Ref("rod", rod.name)] = mass * shaft.lever(hole.arm) ** 2
                    guessed[Ref("rod", rod.name)] = rod.mass <= 0
        given = shaft.inertia > 0
        measured = shaft.mass if isinstance(shaft, Slide) else shaft.inertia
        out[name] = Inertia(
            own=pick(given, shaft.inertia, _guess(layout, shaft)),
            rods=rods,
            own_estimated=measured <= 0,
            rods_estimated=guessed,
        )
    return out
