"""Lines of force through the travel: rods, springs and weight, as torque arms.

Everything that statics needs of the geometry, worked out once for all
positions: then any spring may be taken off and any rod parted at no cost but
that of the balance itself. Vectors are rows of shape (3, n).

Not here: the balance (`balance`, `statics`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from linkage import formulas
from linkage.springs import SpringLaw, spring_laws

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.model import Hole, Layout, Shaft
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Standard acceleration of gravity, ISO 80000-3. [m/s²]
GRAVITY = 9.80665


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class RodForceLine:
    """Along what and with what arms a rod acts.

    Parameters
    ----------
    along : ndarray, shape (3, n)
        Unit vector from the driver's hole to the driven.
    arms : mapping of str to ndarray, shape (n,)
        By shaft: torque that a pull of 1 N in the rod puts on it,
        anticlockwise positive. [m]
    """

    along: FloatArray
    arms: Mapping[str, FloatArray]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SpringLine:
    """What a spring does at every position.

    Parameters
    ----------
    law : SpringLaw
        Its law.
    shaft : str
        On which it acts.
    length : ndarray, shape (n,), optional
        From hook to anchor; None about a shaft. [m]
    arm : ndarray, shape (n,), optional
        Torque of 1 N of its force, anticlockwise positive, in its own working
        direction; None about a shaft. [m]
    load : ndarray, shape (n,)
        Pull positive, push negative [N]; torque about a shaft [N·m].
    torque : ndarray, shape (n,)
        About its shaft, anticlockwise positive. [N·m]
    force : ndarray, shape (3, n), optional
        On its hook; None about a shaft. [N]
    """

    law: SpringLaw
    shaft: str
    length: FloatArray | None
    arm: FloatArray | None
    load: FloatArray
    torque: FloatArray
    force: FloatArray | None


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Lines:
    """All lines of force of a motion.

    Parameters
    ----------
    motion : Motion
        Positions.
    rods : mapping of str to RodForceLine
        By rod.
    springs : mapping of str to SpringLine
        By spring.
    weight_torque : mapping of str to ndarray, shape (n,)
        By shaft, of rods and arms whose mass is given. [N·m]
    weight : mapping of str to float
        By shaft, the weight that hangs on it. [N]
    first : mapping of str to ndarray, shape (n,)
        dq/ds of every shaft, from the derived formulas. [rad/m]
    push : ndarray, shape (3, n)
        Unit vector in which the foot presses the pad.
    push_arm : float
        Torque of 1 N of pad force about the pedal's shaft. [m]
    """

    motion: Motion
    rods: Mapping[str, RodForceLine]
    springs: Mapping[str, SpringLine]
    weight_torque: Mapping[str, FloatArray]
    weight: Mapping[str, float]
    first: Mapping[str, FloatArray]
    push: FloatArray
    push_arm: float


class _Pins:
    """Places and tangents of holes, each worked out once."""

    def __init__(self, motion: Motion) -> None:
        self.motion = motion
        self.layout = motion.assembly.layout
        self.known: dict[tuple[str, str], tuple[FloatArray, FloatArray]] = {}

    def at(self, shaft: str, arm: str) -> tuple[FloatArray, FloatArray]:
        """Return place and tangent of a hole, each shape (3, n).

        The tangent is the unit vector in which it moves anticlockwise.
        """
        found = self.known.get((shaft, arm))
        if found is None:
            found = self.known[shaft, arm] = self._find(shaft, arm)
        return found

    def _find(self, shaft: str, arm: str) -> tuple[FloatArray, FloatArray]:
        s = self.layout.shafts[shaft]
        a = s.arms[arm]
        cosine, sine = self.motion.pair(shaft)
        ca, sa = np.cos(a.angle), np.sin(a.angle)
        c = ca * cosine - sa * sine
        d = sa * cosine + ca * sine
        place = np.empty((3, c.size))
        tangent = np.empty((3, c.size))
        for i in range(3):
            u, v = s.axis.u[i], s.axis.v[i]
            np.multiply(c, a.length * u, out=place[i])
            place[i] += d * (a.length * v) + (s.pivot[i] + a.offset * s.axis.n[i])
            np.multiply(d, -u, out=tangent[i])
            tangent[i] += c * v
        return place, tangent


def _dot(one: FloatArray, two: FloatArray) -> FloatArray:
    """Return the scalar products of two rows of vectors, shape (n,)."""
    return np.asarray(one[0] * two[0] + one[1] * two[1] + one[2] * two[2])


def force_lines(motion: Motion) -> Lines:
    """Work out every line of force of a motion.

    Parameters
    ----------
    motion : Motion
        From `linkage.motion.sweep`.

    Raises
    ------
    LayoutError
        If a spring of the layout is impossible.
    """
    layout = motion.assembly.layout
    pins = _Pins(motion)
    _, tangent = pins.at(layout.pedal.shaft, layout.pedal.pad)
    return Lines(
        motion=motion,
        rods={
            link.rod.name: _rod(pins, link.driver, link.driven) for link in layout.links
        },
        springs={
            name: _spring(pins, name, law) for name, law in spring_laws(layout).items()
        },
        weight_torque={
            name: _weight_torque(pins, s) for name, s in layout.shafts.items()
        },
        weight={name: _weight(layout, s) for name, s in layout.shafts.items()},
        first=_first(motion),
        push=layout.pedal.presses * tangent,
        push_arm=layout.pedal.presses * layout.pad_radius,
    )


def _first(motion: Motion) -> dict[str, FloatArray]:
    """Return dq/ds of every shaft; see `linkage.motion.speeds`."""
    layout = motion.assembly.layout
    pedal = layout.pedal
    whole = np.full(motion.pad_travel.shape, pedal.presses / layout.pad_radius)
    first = {pedal.shaft: whole}
    for loop in motion.assembly.loops:
        driver, driven = loop.link.driver.shaft, loop.link.driven.shaft
        one = formulas.ratio(motion.pair(driver), motion.pair(driven), loop.reduced)
        first[driven] = one * first[driver]
    return first


def _rod(pins: _Pins, driver: Hole, driven: Hole) -> RodForceLine:
    start, start_tangent = pins.at(driver.shaft, driver.arm)
    end, end_tangent = pins.at(driven.shaft, driven.arm)
    along = end - start
    along /= np.sqrt(_dot(along, along))
    shafts = pins.layout.shafts
    one = shafts[driver.shaft].arms[driver.arm].length
    two = shafts[driven.shaft].arms[driven.arm].length
    return RodForceLine(
        along=along,
        arms={
            driver.shaft: one * _dot(start_tangent, along),
            driven.shaft: -two * _dot(end_tangent, along),
        },
    )


def _spring(pins: _Pins, name: str, law: SpringLaw) -> SpringLine:
    spring = pins.layout.springs[name]
    if not law.along_line:
        torque = law.torque(pins.motion.turns[spring.shaft])
        return SpringLine(
            law=law,
            shaft=spring.shaft,
            length=None,
            arm=None,
            load=torque,
            torque=torque,
            force=None,
        )
    place, tangent = pins.at(spring.shaft, spring.arm)
    line = np.array(spring.anchor)[:, None] - place
    length = np.sqrt(_dot(line, line))
    line /= length
    arm = pins.layout.shafts[spring.shaft].arms[spring.arm].length * _dot(tangent, line)
    load = law.pull(length)
    return SpringLine(
        law=law,
        shaft=spring.shaft,
        length=length,
        arm=-arm if law.kind == "compression" else arm,
        load=load,
        torque=load * arm,
        force=load * line,
    )


def _hung(layout: Layout, shaft: Shaft) -> list[tuple[str, float, float]]:
    """Return (arm, mass, share of its radius) of all that hangs on a shaft.

    A rod is taken as half its mass at each end.
    """
    hung = [(a.name, a.mass, 0.5) for a in shaft.arms.values() if a.mass]
    for rod in layout.rods.values():
        if rod.mass:
            hung += [
                (hole.arm, rod.mass / 2, 1.0)
                for hole in (rod.start, rod.end)
                if hole.shaft == shaft.name
            ]
    return hung


def _weight(layout: Layout, shaft: Shaft) -> float:
    return GRAVITY * sum(mass for _, mass, _ in _hung(layout, shaft))


def _weight_torque(pins: _Pins, shaft: Shaft) -> FloatArray:
    total = np.zeros(pins.motion.pad_travel.shape)
    for arm, mass, share in _hung(pins.layout, shaft):
        _, tangent = pins.at(shaft.name, arm)
        total -= GRAVITY * mass * share * shaft.arms[arm].length * tangent[2]
    return total
