"""Drums, quadrants, snails and cams as they are drawn: a rim with a spoke to it.

A round drum is a whole ring; one with a rim of its own is the part of it that a taut
wire lies on, closed to the middle where it does not go all round; so is a cam.

Not here: the wire on them (`cables`), other arms (`pose`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Cam, Hole
from linkage.model.profile import outline
from linkage.model.rim import taut

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.drawing.views import View
    from linkage.model import Arm, Layout, Shaft

    FloatArray = NDArray[np.float64]

#: Widths of the rim and of what is within it, as of arms in `pose`. [pt]
EDGE: Final = 4.4
FILL: Final = 2.8
#: Of a band along it, over that along an arm.
BAND: Final = 0.58
#: Points of a round drum.
POINTS: Final = 73
#: Turn of its normal from one point of a cam to the next [rad], and points of a roller.
STEP: Final = np.radians(3)
ROLLER: Final = 25
#: A rim that goes round so far is a whole one. [rad]
ROUND: Final = 2 * np.pi - 1e-6


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Drum:
    """A drum on a view.

    Parameters
    ----------
    shaft : str
        Whose arm it is.
    root : ndarray, shape (2,)
        Its middle. [m]
    axes : ndarray, shape (2, 2)
        The unit vectors of its plane, from which its angles count, on the view.
    nipple : float
        Angle of the nipple at rest. [rad]
    sense : {1, -1}
        In which the wire lies round it from there on, anticlockwise positive.
    turns, radii : ndarray, shape (m,)
        Of its rim: turn from the nipple on in that sense, rising [rad], and radius
        there [m].
    """

    shaft: str
    root: FloatArray
    axes: FloatArray
    nipple: float
    sense: int
    turns: FloatArray
    radii: FloatArray

    @property
    def closed(self) -> bool:
        """Whether its rim goes all round."""
        return bool(self.turns[-1] > ROUND)

    def places(self, turn: float, round_it: FloatArray) -> FloatArray:
        """Return places on its rim, shape (k, 2). [m].

        Parameters
        ----------
        turn : float
            Of its shaft from rest. [rad]
        round_it : ndarray, shape (k,)
            Turns from the nipple on. [rad]
        """
        radius = np.interp(round_it, self.turns, self.radii)
        angle = self.nipple + turn + self.sense * round_it
        flat = radius[:, None] * np.column_stack([np.cos(angle), np.sin(angle)])
        return np.asarray(self.root + flat @ self.axes)

    def outline(self, turn: float) -> FloatArray:
        """Return spoke and rim as one line at a turn of its shaft, shape (k, 2). [m]."""
        rim = self.places(turn, self.turns)
        ends = [self.root[None], rim]
        return np.vstack(ends if self.closed else [*ends, self.root[None]])

    def laid(self, turn: float, wound: float) -> FloatArray:
        """Return the wire on it, from the nipple to where it leaves, shape (k, 2). [m].

        Parameters
        ----------
        turn : float
            Of its shaft from rest. [rad]
        wound : float
            Turn round the rim on which the wire lies. [rad]
        """
        between = self.turns[self.turns < wound]
        return self.places(turn, np.append(between, max(wound, 0.0)))


def rim_of(arm: Arm, points: int = POINTS) -> tuple[FloatArray, FloatArray]:
    """Return what a taut wire lies on: turns from the nipple on, and radii there.

    Each has shape (m,). [rad], [m].

    Parameters
    ----------
    arm : Arm
        One that a wire lies on.
    points : int
        Of one that is round.
    """
    if arm.rim:
        turns, ratios = np.array(taut(arm.rim), float).T
    else:
        turns, ratios = np.linspace(0.0, 2 * np.pi, points), np.ones(points)
    return turns, ratios * float(arm.length)


def drum_on(shaft: Shaft, arm: Arm, view: View) -> Drum:
    """Return a drum as it falls on a view.

    Parameters
    ----------
    shaft : Shaft
        Of one layout.
    arm : Arm
        One that a wire lies on.
    view : View
        On which it is seen.
    """
    turns, radii = rim_of(arm)
    return Drum(
        shaft=shaft.name,
        root=view.project(np.array(shaft.centre(arm.name), float)),
        axes=view.project(np.array([shaft.axis.u, shaft.axis.v], float)),
        nipple=float(arm.angle),
        sense=int(arm.wound),
        turns=turns,
        radii=radii,
    )


def cam_on(layout: Layout, cam: Cam, view: View) -> Drum:
    """Return a cam as it falls on a view: the part of a drum that its profile is."""
    shaft = layout.shafts[cam.start.shaft]
    arm = shaft.arms[cam.start.arm]
    x, y = np.array(outline(cam.profile, STEP)).T * float(arm.length) / cam.base
    return Drum(
        shaft=shaft.name,
        root=view.project(np.array(shaft.centre(arm.name), float)),
        axes=view.project(np.array([shaft.axis.u, shaft.axis.v], float)),
        nipple=float(arm.angle),
        sense=int(cam.goes),
        turns=np.unwrap(np.arctan2(y, x)),
        radii=np.hypot(x, y),
    )


def farthest(layout: Layout) -> dict[Hole, float]:
    """Return the greatest radius of every drum and cam, by its hole. [m]."""
    out = {
        Hole(shaft=name, arm=arm.name): max(
            [float(arm.length), *(float(r) for _, r in arm.profile)]
        )
        for name, shaft in layout.shafts.items()
        for arm in shaft.arms.values()
        if arm.wound
    }
    for cam in layout.rods.values():
        if isinstance(cam, Cam):
            scale = layout.shafts[cam.start.shaft].arms[cam.start.arm].length / cam.base
            out[cam.start] = scale * max(
                math.hypot(*p) for p in outline(cam.profile, STEP)
            )
    return out


def roller_on(layout: Layout, cam: Cam, view: View) -> FloatArray:
    """Return a cam's roller about its pin on a view, shape (k, 2). [m]."""
    axis = layout.shafts[cam.end.shaft].axis
    angle = np.linspace(0, 2 * np.pi, ROLLER)
    flat = float(cam.roller) * np.column_stack([np.cos(angle), np.sin(angle)])
    return np.asarray(flat @ view.project(np.array([axis.u, axis.v], float)))


def drums_on(layout: Layout, view: View) -> dict[str, Drum]:
    """Return all drums and cams on a view, by their hole, as ``shaft.arm``."""
    cams = {
        str(cam.start): cam_on(layout, cam, view)
        for cam in layout.rods.values()
        if isinstance(cam, Cam)
    }
    return cams | {
        f"{name}.{arm.name}": drum_on(shaft, arm, view)
        for name, shaft in layout.shafts.items()
        for arm in shaft.arms.values()
        if arm.wound
    }
