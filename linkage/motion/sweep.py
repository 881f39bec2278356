"""Move the pedal through its travel and follow every shaft.

The branch of each rod stays as the rest position fixed it. Where a rod cannot
reach, that position and all beyond it are nan: a linkage cannot jump over a
place where it jams.

Not here: what the positions mean (`motion.working`, `checks`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage import formulas
from linkage.motion.assembly import Assembly, short_by

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.motion.frame import Frame

    FloatArray = NDArray[np.float64]


#: Less than this off the idle stop is rounding. [rad]
SHUT: Final = 1e-12
#: Turn above which the seam at half a turn may be near. [rad]
NEAR_SEAM: Final = 2.0
#: Greatest step of the pedal in which a shaft is followed past the seam. [rad]
SEAM_STEP: Final = 0.005


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
        its viewer, without wrap-around up to 245° either way; nan where the
        linkage is jammed. [rad]
    cosines, sines : mapping of str to ndarray, shape (n,)
        Of the turns.
    reach : mapping of str to ndarray, shape (n,)
        By rod: negative where it does not reach, 0 at the driven dead centre.
    frames : list of Frame
        Its frame, once that was asked for; see `linkage.motion.frame`.
    """

    assembly: Assembly
    pad_travel: FloatArray
    turns: Mapping[str, FloatArray]
    cosines: Mapping[str, FloatArray]
    sines: Mapping[str, FloatArray]
    reach: Mapping[str, FloatArray]
    frames: list[Frame] = field(default_factory=list, init=False, repr=False)

    @property
    def ndim(self) -> int:
        """Axes of arrays over positions: 0, 1, or 2 where there are rows."""
        return max(np.ndim(turn) for turn in self.turns.values())

    def opening(self, throttle: str) -> FloatArray:
        """Return a throttle's angle from its idle stop, positive opening. [rad]."""
        t = self.assembly.layout.throttles[throttle]
        return t.opens * self.turns[t.shaft]

    def between_stops(self, throttle: str) -> FloatArray:
        """Return a throttle's angle as its own stops hold it, 0 to its swing. [rad]."""
        asked = self.opening(throttle)
        swing = self.assembly.layout.throttles[throttle].swing
        return np.where(asked < SHUT, 0.0, np.minimum(asked, swing))

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
    used = pad_travel
    if pedal.free_play:
        used = np.where(
            pad_travel > 0, np.maximum(pad_travel - pedal.free_play, 0), pad_travel
        )
    return pedal.presses * used / assembly.layout.pad_radius


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
    cosines, sines, reach = _solve(assembly, travel)
    driven = [loop.link.driven.shaft for loop in assembly.loops]
    raw = {name: np.arctan2(sines[name], cosines[name]) for name in driven}
    turns = {root: pedal_turn(assembly, travel)}
    turns |= _without_seam(assembly, travel, raw)
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


def _solve(
    assembly: Assembly, travel: FloatArray
) -> tuple[dict[str, FloatArray], dict[str, FloatArray], dict[str, FloatArray]]:
    """Return cosines and sines of every shaft and the reach of every rod."""
    root = assembly.layout.pedal.shaft
    first = pedal_turn(assembly, travel)
    cosines = {root: np.cos(first)}
    sines = {root: np.sin(first)}
    reach: dict[str, FloatArray] = {}
    jammed = np.zeros(travel.shape, dtype=bool)
    for loop in assembly.loops:
        driver, driven = loop.link.driver.shaft, loop.link.driven.shaft
        cosines[driven], sines[driven], left = formulas.close(
            cosines[driver], sines[driver], loop.reduced, loop.branch
        )
        reach[loop.link.rod.name] = left
        jammed |= ~(left >= 0)
    if jammed.any():
        blocked = _beyond(travel, jammed)
        for loop in assembly.loops:
            name = loop.link.driven.shaft
            cosines[name] = np.where(blocked, np.nan, cosines[name])
            sines[name] = np.where(blocked, np.nan, sines[name])
    return cosines, sines, reach


def _beyond(travel: FloatArray, jammed: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which positions lie at or past the jam nearest to rest, either way."""
    bad = travel[jammed]
    upper = bad[bad >= 0].min(initial=np.inf)
    lower = bad[bad <= 0].max(initial=-np.inf)
    return np.asarray((travel >= upper) | (travel <= lower))


def _without_seam(
    assembly: Assembly, travel: FloatArray, raw: Mapping[str, FloatArray]
) -> dict[str, FloatArray]:
    """Return the turns without the jump of a whole turn at half a turn.

    Few positions cannot tell on which side of the seam they lie; so a shaft
    that comes near it is followed there from rest in small steps.
    """
    turns = dict(raw)
    near_seam = [
        name
        for name, turn in raw.items()
        if np.max(np.abs(turn), where=~np.isnan(turn), initial=0.0) > NEAR_SEAM
    ]
    if not near_seam:
        return turns
    span = (min(float(travel.min()), 0.0), max(float(travel.max()), 0.0))
    pedal = np.ptp(pedal_turn(assembly, np.array(span)))
    steps = np.append(np.linspace(*span, int(pedal / SEAM_STEP) + 2), 0.0)
    steps.sort()
    cosines, sines, _ = _solve(assembly, steps)
    for name in near_seam:
        good = ~np.isnan(cosines[name])
        guide = np.unwrap(np.arctan2(sines[name], cosines[name])[good])
        at_rest = np.interp(0.0, steps[good], guide) - assembly.rest[name]
        guide -= 2 * np.pi * np.round(at_rest / (2 * np.pi))
        off = np.interp(travel, steps[good], guide) - raw[name]
        turns[name] = raw[name] + 2 * np.pi * np.round(off / (2 * np.pi))
    return turns


def miss_at(motion: Motion, rod: str, index: int) -> float:
    """Return by how much a rod fails to reach at one position. [m].

    Positive too short, negative too long, 0 where it reaches.
    """
    loop = motion.assembly.loop(rod)
    driver = loop.link.driver.shaft
    turn = float(np.arctan2(motion.sines[driver][index], motion.cosines[driver][index]))
    return short_by(loop, turn)
