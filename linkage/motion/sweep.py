"""Move the pedal through its travel and follow every shaft.

The branch of each rod stays as the rest position fixed it. Where a rod cannot
reach, that position and all beyond it are nan: a linkage cannot jump over a
place where it jams.

Not here: what the positions mean (`motion.working`, `checks`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from linkage import kernels
from linkage.motion.assembly import Assembly, short_by

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.layout import Hole, Link

    FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Motion:
    """Every shaft at every pad position; all arrays are read-only.

    Parameters
    ----------
    assembly : Assembly
        What moved.
    pad_travel : ndarray, shape (n,)
        Along the pad's arc, 0 with the pedal up, positive pressing. [m]
    turns : mapping of str to ndarray, shape (n,)
        Turn of each shaft from its measured angle, anticlockwise positive for
        its viewer, without wrap-around; nan where the linkage is jammed. [rad]
    cosines, sines : mapping of str to ndarray, shape (n,)
        Of the turns.
    reach : mapping of str to ndarray, shape (n,)
        By rod: negative where it does not reach, 0 at the driven dead centre.
    """

    assembly: Assembly
    pad_travel: FloatArray
    turns: Mapping[str, FloatArray]
    cosines: Mapping[str, FloatArray]
    sines: Mapping[str, FloatArray]
    reach: Mapping[str, FloatArray]

    def opening(self, throttle: str) -> FloatArray:
        """Return a throttle's angle from its idle stop, positive opening. [rad]."""
        t = self.assembly.layout.throttles[throttle]
        return t.opens * self.turns[t.shaft]

    def pair(self, shaft: str) -> tuple[FloatArray, FloatArray]:
        """Return cosine and sine of a shaft's turn."""
        return self.cosines[shaft], self.sines[shaft]


def pedal_turn(assembly: Assembly, pad_travel: FloatArray) -> FloatArray:
    """Return the turn of the pedal's shaft that moves the linkage.

    Free play is travel of the pad in which the linkage stays where it is.

    Parameters
    ----------
    assembly : Assembly
        Its layout gives pad radius, sense and free play.
    pad_travel : ndarray, shape (n,)
        Positive pressing. [m]

    Returns
    -------
    ndarray, shape (n,)
        Anticlockwise positive for the viewer of the pedal's axis. [rad]
    """
    pedal = assembly.layout.pedal
    radius = assembly.layout.shafts[pedal.shaft].arms[pedal.pad].length
    used = pad_travel
    if pedal.free_play:
        used = np.where(
            pad_travel > 0, np.maximum(pad_travel - pedal.free_play, 0), pad_travel
        )
    return pedal.presses * used / radius


def sweep(assembly: Assembly, pad_travel: FloatArray) -> Motion:
    """Follow every shaft through pad positions.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    pad_travel : ndarray, shape (n,)
        In any order, beyond the stops too if wished. [m]

    Returns
    -------
    Motion
        With nan where a rod does not reach, and beyond.
    """
    travel = np.array(pad_travel, dtype=float)
    root = assembly.layout.pedal.shaft
    first = pedal_turn(assembly, travel)
    cosines = {root: np.cos(first)}
    sines = {root: np.sin(first)}
    reach: dict[str, FloatArray] = {}
    jammed = np.zeros(travel.shape, dtype=bool)
    for loop in assembly.loops:
        driver, driven = loop.link.driver.shaft, loop.link.driven.shaft
        cos2, sin2, left = kernels.close(
            cosines[driver], sines[driver], loop.reduced, loop.branch
        )
        cosines[driven], sines[driven] = cos2, sin2
        reach[loop.link.rod.name] = left
        jammed |= ~(left >= 0)
    blocked = _beyond(travel, jammed) if jammed.any() else None
    turns = {root: first}
    order = np.argsort(travel, kind="stable")
    for loop in assembly.loops:
        name = loop.link.driven.shaft
        if blocked is not None:
            cosines[name] = np.where(blocked, np.nan, cosines[name])
            sines[name] = np.where(blocked, np.nan, sines[name])
        turns[name] = _unwrapped(sines[name], cosines[name], order, assembly.rest[name])
    for group in (cosines, sines, turns, reach):
        for array in group.values():
            array.flags.writeable = False
    travel.flags.writeable = False
    return Motion(
        assembly=assembly,
        pad_travel=travel,
        turns=turns,
        cosines=cosines,
        sines=sines,
        reach=reach,
    )


def _beyond(travel: FloatArray, jammed: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which positions lie at or past the jam nearest to rest, either way."""
    bad = travel[jammed]
    upper = bad[bad >= 0].min(initial=np.inf)
    lower = bad[bad <= 0].max(initial=-np.inf)
    return np.asarray((travel >= upper) | (travel <= lower))


def _unwrapped(
    sine: FloatArray, cosine: FloatArray, order: NDArray[np.intp], rest: float
) -> FloatArray:
    """Return the turn without jumps of a whole turn, near ``rest`` at the start."""
    raw = np.arctan2(sine, cosine)
    known = ~np.isnan(raw)
    if np.max(np.abs(raw), where=known, initial=0.0) < 2.0:  # far from the seam at ±π
        return raw
    sorted_raw = raw[order]
    good = ~np.isnan(sorted_raw)
    smooth = np.unwrap(sorted_raw[good])
    nearest = np.argmin(np.abs(smooth - rest)) if smooth.size else 0
    if smooth.size:
        smooth = smooth - 2 * np.pi * np.round((smooth[nearest] - rest) / (2 * np.pi))
    out = np.full(raw.shape, np.nan)
    out[order[good]] = smooth
    return out


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Speeds:
    """Turn of every shaft a metre of pad gives, and its change.

    Parameters
    ----------
    first : mapping of str to ndarray, shape (n,)
        dq/ds. [rad/m]
    second : mapping of str to ndarray, shape (n,)
        d²q/ds². [rad/m²]
    ratios : mapping of str to ndarray, shape (n,)
        By rod: driven turn a turn of its own driver.
    """

    first: Mapping[str, FloatArray]
    second: Mapping[str, FloatArray]
    ratios: Mapping[str, FloatArray]


def speeds(motion: Motion) -> Speeds:
    """Return first and second derivatives of every shaft by pad travel.

    Exact, from the derived formulas; within the pedal's free play they are
    those just after it.

    Parameters
    ----------
    motion : Motion
        From `sweep`.
    """
    assembly = motion.assembly
    pedal = assembly.layout.pedal
    radius = assembly.layout.shafts[pedal.shaft].arms[pedal.pad].length
    shape = motion.pad_travel.shape
    first: dict[str, FloatArray] = {pedal.shaft: np.full(shape, pedal.presses / radius)}
    second: dict[str, FloatArray] = {pedal.shaft: np.zeros(shape)}
    ratios: dict[str, FloatArray] = {}
    for loop in assembly.loops:
        driver, driven = loop.link.driver.shaft, loop.link.driven.shaft
        one, two = kernels.rates(motion.pair(driver), motion.pair(driven), loop.reduced)
        ratios[loop.link.rod.name] = one
        first[driven] = one * first[driver]
        second[driven] = two * first[driver] ** 2 + one * second[driver]
    return Speeds(first=first, second=second, ratios=ratios)


def places(motion: Motion, hole: Hole) -> FloatArray:
    """Return where a hole is at every position.

    Returns
    -------
    ndarray, shape (n, 3)
        In vehicle axes. [m]
    """
    shaft = motion.assembly.layout.shafts[hole.shaft]
    arm = shaft.arms[hole.arm]
    cosine, sine = motion.pair(hole.shaft)
    ca, sa = np.cos(arm.angle), np.sin(arm.angle)
    along = (ca * cosine - sa * sine)[:, None] * np.array(shaft.axis.u)
    ahead = (sa * cosine + ca * sine)[:, None] * np.array(shaft.axis.v)
    centre = np.array(shaft.pivot) + arm.offset * np.array(shaft.axis.n)
    return np.asarray(centre + arm.length * (along + ahead))


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class RodLine:
    """How a rod lies to its two arms at every position.

    Parameters
    ----------
    driver_angle, driven_angle : ndarray, shape (n,)
        Arm-rod angle at each end, 0 to π: its sine is the share of the rod
        force that turns the shaft, so 0 and π are dead centres. [rad]
    driver_tilt, driven_tilt : ndarray, shape (n,)
        Lean of the rod out of the plane in which each arm turns. [rad]
    driver_side, driven_side : ndarray, shape (n,)
        Signed sine of the angles: positive where a pull along the rod turns
        the shaft anticlockwise for its viewer.
    """

    driver_angle: FloatArray
    driven_angle: FloatArray
    driver_tilt: FloatArray
    driven_tilt: FloatArray
    driver_side: FloatArray
    driven_side: FloatArray


def rod_line(motion: Motion, link: Link) -> RodLine:
    """Return arm-rod angles and joint tilts of one rod through the motion."""
    start, end = places(motion, link.driver), places(motion, link.driven)
    gap = end - start
    along = gap / np.sqrt(np.einsum("ij,ij->i", gap, gap))[:, None]
    values = []
    for hole, pin, direction in (
        (link.driver, start, along),
        (link.driven, end, -along),
    ):
        shaft = motion.assembly.layout.shafts[hole.shaft]
        arm = shaft.arms[hole.arm]
        normal = np.array(shaft.axis.n)
        centre = np.array(shaft.pivot) + arm.offset * normal
        radial = (pin - centre) / arm.length
        side = np.cross(radial, direction) @ normal
        # 90° is square: measured from the pin toward the pivot.
        inward = -np.einsum("ij,ij->i", radial, direction)
        angle = np.where(
            inward >= 0,
            np.arcsin(np.clip(np.abs(side), 0, 1)),
            np.pi - np.arcsin(np.clip(np.abs(side), 0, 1)),
        )
        tilt = np.arcsin(np.clip(np.abs(direction @ normal), 0, 1))
        values.append((angle, tilt, side))
    (a1, t1, s1), (a2, t2, s2) = values
    return RodLine(
        driver_angle=a1,
        driven_angle=a2,
        driver_tilt=t1,
        driven_tilt=t2,
        driver_side=s1,
        driven_side=s2,
    )


def miss_at(motion: Motion, rod: str, index: int) -> float:
    """Return by how much a rod fails to reach at one position. [m].

    Positive too short, negative too long, 0 where it reaches.
    """
    loop = motion.assembly.loop(rod)
    driver = loop.link.driver.shaft
    turn = float(np.arctan2(motion.sines[driver][index], motion.cosines[driver][index]))
    return short_by(loop, turn)
