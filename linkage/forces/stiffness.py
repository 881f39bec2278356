"""How stiff a linkage is at the pad, held at the shaft whose stop is met.

Rods stretch, levers bend as cantilevers, a shaft twists between its arms, and an
over-travel spring that has begun to give goes on. Each
gives a little (a slide nothing), felt at the pad by the square of what it carries of 1 N there, and
what they give adds up. Hubs, clamps, joints, brackets and the lean of rods give
too; they are left out, so that the linkage counts as stiffer and the foot puts
more on it.

Not here: what the foot does with it (`stamp`).

References
----------
.. [1] J. E. Shigley, Mechanical Engineering Design: a bar in tension, L/(E A);
   a cantilever with an end load, r³/(3 E I); a round bar in torsion, L/(G J);
   deflections by strain energy, Castigliano (from memory).
.. [2] W. C. Young, Roark's Formulas for Stress and Strain: a beam with an
   overhang, a² (a + b)/(3 E I) at its loaded end (from memory).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.connect.bar import YOUNG
from linkage.forces.common import one_lever
from linkage.forces.friction import bearing_of
from linkage.model.columns import greater, last, lesser, pick

if TYPE_CHECKING:
    from linkage.forces.lines import Lines
    from linkage.model import Arm, Layout
    from linkage.model.columns import Number

#: A lever of steel flat, standing in the plane in which it turns; common practice,
#: no source. [m]
LEVER_HEIGHT: Final = 0.020
LEVER_THICK: Final = 0.004
#: Shear modulus of steel: EN 1993-1-1, from memory. [Pa]
SHEAR: Final = 81e9

_BENDING: Final = YOUNG["steel"] * LEVER_THICK * LEVER_HEIGHT**3 / 12


def bent(length: Number) -> Number:
    """Return how far a lever gives under torque, as a cantilever. [rad/(N·m)].

    Parameters
    ----------
    length : float or column
        From its shaft to its hole. [m]
    """
    return length / (3 * _BENDING)


def twisted(thick: Number, along: Number) -> Number:
    """Return how far a shaft gives under torque over a part of its length. [rad/(N·m)].

    Parameters
    ----------
    thick : float or column
        Diameter. [m]
    along : float or column
        The part of its length; of either sign. [m]
    """
    return abs(along) / (SHEAR * math.pi / 32 * thick**4)


def between(layout: Layout, shaft: str, one: Arm, two: Arm) -> Number:
    """Return how far two arms of a shaft give against each other. [rad/(N·m)].

    Two holes one behind the other are taken as one lever on its pivot: only what
    stands out past the nearer hole bends much, as at a pedal.

    Parameters
    ----------
    layout : Layout
        With the shaft, which is taken to be as thick as its bearing.
    shaft : str
        With both arms.
    one, two : Arm
        Of which one passes its torque on to the other.
    """
    if layout.shafts[shaft].slides:
        return 0.0
    far, near = greater(one.length, two.length), lesser(one.length, two.length)
    bending = pick(
        one_lever(one, two, layout.limits.pin_apart),
        bent((far - near) ** 2 / far),
        bent(one.length) + bent(two.length),
    )
    return bending + twisted(bearing_of(layout, shaft), one.offset - two.offset)


def _spring(lines: Lines, rod: str) -> Number:
    """Return how much longer an over-travel spring that has given gets. [m/N]."""
    if rod not in lines.given:
        return 0.0
    rate = lines.layout.rods[rod].over_travel_rate
    return pick(last(lines.given[rod]), 1 / rate, 0.0)


def stiffness(lines: Lines, root: str) -> Number:
    """Return the force at the pad that moves it on by a metre, one shaft held.

    Parameters
    ----------
    lines : Lines
        Of a motion that ends where the shaft is held.
    root : str
        The shaft; not the pedal's.

    Returns
    -------
    float or column
        Positive; nan where the linkage is jammed. [N/m]
    """
    # Next to a dead centre of a driver its pull is past all numbers: it gives so much.
    with np.errstate(over="ignore", invalid="ignore"):
        return _stiffness(lines, root)


def _stiffness(lines: Lines, root: str) -> Number:
    layout = lines.layout
    at = layout.pedal.shaft
    arm = layout.shafts[at].arms[layout.pedal.pad]
    torque = lines.push_arm
    gives: Number = 0.0
    for link in layout.path_to(root):
        arms = lines.rods[link.rod.name].arms
        gives = gives + torque**2 * between(
            layout, at, arm, layout.shafts[at].arms[link.driver.arm]
        )
        pull = torque / last(arms[link.driver.shaft])
        stretch = lines.motion.assembly.loop(link.rod.name).stretch
        stretch = stretch + _spring(lines, link.rod.name)
        gives = gives + pull**2 * stretch
        torque = pull * last(arms[link.driven.shaft])
        at = link.driven.shaft
        arm = layout.shafts[at].arms[link.driven.arm]
    last_arm = 0.0 if layout.shafts[at].slides else bent(arm.length)
    return 1 / (gives + torque**2 * last_arm)
