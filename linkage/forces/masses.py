"""Masses of levers, pads and rods: as given, or estimated from sizes.

Estimates are common practice without a source, on the heavy side: a lever is a steel
flat 20 mm x 5 mm from the centre line to its hole, its mass taken at half its length;
the pad is 0.3 kg at its hole, unless the mass of its lever is given; a rod is a bar of
its diameter, half its mass at each end; a slide is a bar twice as long as its guide, its
mass spread evenly over its pins.

Each weight that opens the plate counts whole; each that shuts it counts half, as it may
be less than was estimated. So what opens is not made good by what is only estimated.

Not here: moments of inertia (`inertia`), the balance (`balance`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect.bar import DENSITY
from linkage.model import Hole, Slide
from linkage.model.columns import every, pick
from linkage.model.refs import Ref
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.forces.friction import Carried
    from linkage.model import Layout, Shaft
    from linkage.model.columns import Number, Positions
    from linkage.motion.frame import Frame

#: Standard acceleration of gravity, ISO 80000-3. [m/s²]
GRAVITY: Final = 9.80665
#: Width and thickness of a lever of which no mass is given; common practice, no
#: source. [m]
FLAT: Final = (0.020, 0.005)
#: Diameter of a slide's bar of which none is given; common practice, no source. [m]
BAR: Final = 0.012
#: Mass of a pad; common practice, no source. [kg]
PAD: Final = 0.3
#: Share of weight that counts where it shuts the plate; common practice, no source.
SHUTTING: Final = 0.5
#: Share of a lever's radius at which its mass is taken.
HALF: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Mass:
    """One mass on a shaft.

    Parameters
    ----------
    hole : Hole
        On the arm of which hole it is.
    value : float or column
        [kg]
    share : float
        Of the arm's radius at which it is.
    rod : Ref, optional
        The rod of which it is half.
    """

    hole: Hole
    value: Number
    share: float
    rod: Ref | None = None


def lever_mass(shaft: Shaft, arm: str) -> Number:
    """Return the mass of a lever, given or estimated; a pin's share of its bar. [kg]."""
    part = shaft.arms[arm]
    if isinstance(shaft, Slide):
        return pick(part.mass > 0, part.mass, bar_mass(shaft) / len(shaft.arms))
    return pick(
        part.mass > 0, part.mass, DENSITY["steel"] * FLAT[0] * FLAT[1] * part.length
    )


def bar_mass(slide: Slide) -> Number:
    """Return the mass of a slide's bar, given or estimated. [kg].

    Estimated: a steel bar of its diameter, twice as long as its guide.
    """
    thick = pick(slide.bearing > 0, slide.bearing, BAR)
    bar = DENSITY["steel"] * math.pi / 4 * thick**2 * 2 * slide.guided
    return pick(slide.mass > 0, slide.mass, bar)


def masses(layout: Layout, shaft: str, rods: Mapping[str, Number]) -> list[Mass]:
    """Return every mass on a shaft.

    Parameters
    ----------
    layout : Layout
        One or many.
    shaft : str
        The shaft.
    rods : mapping of str to (float or column)
        Masses of rods. [kg]
    """
    here = layout.shafts[shaft]
    foot = layout.foot or layout.pedal  # as the hand sees it a lever drives
    pad = foot.pad if shaft == foot.shaft and not layout.governed else ""
    out = []
    for name in here.arms:
        hole = Hole(shaft=shaft, arm=name)
        share = 1.0 if here.slides else HALF
        out.append(Mass(hole=hole, value=lever_mass(here, name), share=share))
        if name == pad:
            extra = pick(here.arms[name].mass > 0, 0.0, PAD)
            out.append(Mass(hole=hole, value=extra, share=1.0))
    for rod in layout.rods.values():
        ref = Ref("rod", rod.name)
        for hole in (rod.start, rod.end):
            if hole.shaft == shaft and (borne := rod.bears(hole)):
                mass = rods[rod.name] * borne
                out.append(Mass(hole=hole, value=mass, share=1.0, rod=ref))
    return out


def guessed(layout: Layout) -> tuple[Ref, ...]:
    """Return the levers and rods whose mass is estimated in every row."""
    levers = tuple(
        Ref("arm", shaft.name, arm.name)
        for shaft in layout.shafts.values()
        for arm in shaft.arms.values()
        if every(arm.mass <= 0)
    )
    rods = layout.rods.values()
    bars = (r for r in rods if r.kind != "cam")
    return levers + tuple(Ref("rod", r.name) for r in bars if every(r.mass <= 0))


class Weights:
    """The weight on one shaft at every position.

    Parameters
    ----------
    frame : Frame
        Where everything is.
    shaft : str
        The shaft.
    rods : mapping of str to (float or column)
        Masses of rods. [kg]
    """

    def __init__(self, frame: Frame, shaft: str, rods: Mapping[str, Number]) -> None:
        self._frame = frame
        self._first = frame.first[shaft]
        self._masses = masses(frame.layout, shaft, rods)
        self._found: dict[frozenset[Ref], Positions] = {}
        self._mine = frozenset(m.rod for m in self._masses if m.rod is not None)

    def torque(self, gone: frozenset[Ref]) -> Positions:
        """Return the torque of weight, anticlockwise positive. [N·m].

        A rod that has parted may hang on the shaft with its whole weight, or be
        gone: what opens the plate counts.
        """
        away = gone & self._mine
        if away not in self._found:
            total: Any = 0.0
            for mass in self._masses:
                hangs = mass.rod in away
                torque = self._torque(mass) * (2 if hangs else 1)
                shutting = 0.0 if hangs else SHUTTING
                total = total + torque * np.where(torque * self._first > 0, 1, shutting)
            self._found[away] = total
        return self._found[away]

    def reactions(self, carried: Carried) -> Positions:
        """Return what all weight puts on the places of the shaft. [N]."""
        total: Any = 0.0
        for mass in self._masses:
            force = self._frame.vector((0.0, 0.0, -GRAVITY * mass.value))
            total = total + carried.reactions(force, mass.hole, mass.share)
        return total

    def _torque(self, mass: Mass) -> Positions:
        hole = self._frame.hole(mass.hole)
        reach = mass.share * hole.length * hole.tangent[2]
        return -GRAVITY * mass.value * reach
