"""Drums, quadrants and snails as they are drawn: a rim with a spoke to the nipple.

A round drum is a whole ring; one with a rim of its own is the part of it that a taut
wire lies on, closed to the middle where it does not go all round.

Not here: the wire on them (`cables`), other arms (`pose`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

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


def drums_on(layout: Layout, view: View) -> dict[str, Drum]:
    """Return all drums of a layout on a view, by their hole, as ``shaft.arm``."""
    return {
        f"{name}.{arm.name}": drum_on(shaft, arm, view)
        for name, shaft in layout.shafts.items()
        for arm in shaft.arms.values()
        if arm.wound
    }
