"""Cables as they are drawn: free wire, thin, and the sheath through its points.

The wire goes from the nipple over what of a drum it lies on, leaves there on the
tangent and runs straight into the sheath; where it is slack it hangs down as far as it
is too long. All of it is to scale.

Not here: the lines themselves (`pose`, `sheaths`), the drums (`drums`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.connect.cable_line import CableLine
from linkage.drawing.drums import drum_on
from linkage.model import Cable
from linkage.motion import frame

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.drawing.drums import Drum
    from linkage.drawing.views import View
    from linkage.model import Vector
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Points of a sheath from one of its given points to the next.
STEPS: Final = 16
#: Points of a wire that hangs, and where along it they are.
HUNG: Final = np.linspace(0.0, 1.0, 11)
#: A wire so nearly upright has no side to which it hangs.
UPRIGHT: Final = 0.05


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Free:
    """The wire at one end of a cable, at every position.

    Parameters
    ----------
    hole : str
        Of its nipple, as ``shaft.arm``.
    nipple, foot : ndarray, shape (n, 2)
        Where that is, and where the wire leaves the arm. [m]
    sheath : ndarray, shape (2,)
        Where it enters its sheath. [m]
    sag : ndarray, shape (n, 2)
        How far its middle hangs off the straight way; none where it is taut. [m]
    drum : Drum, optional
        On which it lies; None of a bare arm.
    turns : ndarray, shape (n,)
        Of its shaft. [rad]
    wound : ndarray, shape (n,)
        Turn round the drum on which it lies. [rad]
    """

    hole: str
    nipple: FloatArray
    foot: FloatArray
    sheath: FloatArray
    sag: FloatArray
    drum: Drum | None
    turns: FloatArray
    wound: FloatArray

    def line(self, index: int) -> FloatArray:
        """Return it from nipple to sheath at a position, shape (k, 2). [m]."""
        foot, sag = self.foot[index], self.sag[index]
        start = self.nipple[index][None]
        if self.drum is not None and self.wound[index] > 0:
            start = self.drum.laid(float(self.turns[index]), float(self.wound[index]))
        shares = HUNG if sag.any() else np.array([0.0, 1.0])
        way = foot + shares[:, None] * (self.sheath - foot)
        return np.vstack([start, way + (4 * shares * (1 - shares))[:, None] * sag])


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Wired:
    """A cable on a view.

    Parameters
    ----------
    free : tuple of 2 Free
        Its wire at both ends, in the order of the layout file.
    sheath : ndarray, shape (m, 2)
        Its way from the first to the second. [m]
    left : ndarray, shape (n,), optional
        How far it may go before it drives; 0 where it does. None of a push-pull
        cable, which always drives. [m]
    """

    free: tuple[Free, Free]
    sheath: FloatArray
    left: FloatArray | None

    def along(self, share: float) -> FloatArray:
        """Return a place along its sheath, shape (2,). [m]."""
        steps = np.hypot(*np.diff(self.sheath, axis=0).T)
        gone = np.concatenate([[0.0], np.cumsum(steps)])
        at = share * gone[-1]
        return np.array([np.interp(at, gone, part) for part in self.sheath.T])

    @property
    def seen(self) -> float:
        """How long its sheath is seen. [m]."""
        return float(np.hypot(*np.diff(self.sheath, axis=0).T).sum())


def smooth(route: Sequence[Vector]) -> FloatArray:
    """Return a smooth way through the points of a sheath, shape (m, 3). [m].

    A centripetal Catmull-Rom spline (E. Catmull, R. Rom 1974; parameters as of
    P. J. Barry, R. N. Goldman 1988, from memory), which makes no loop between near
    points. It is a picture of the sheath: its bends are taken from the points.

    Parameters
    ----------
    route : sequence of tuple of 3 floats
        Two points or more.
    """
    points = np.array(route, float)
    points = points[np.append(True, (np.diff(points, axis=0) != 0).any(axis=1))]
    if len(points) < 3:
        return points if len(points) > 1 else np.vstack([points, points])
    ends = 2 * points[:1] - points[1:2], 2 * points[-1:] - points[-2:-1]
    points = np.vstack([ends[0], points, ends[1]])
    out = [points[1][None]]
    for k in range(1, len(points) - 2):
        four = points[k - 1 : k + 3]
        knots = np.concatenate(
            [[0.0], np.cumsum(np.linalg.norm(np.diff(four, axis=0), axis=1) ** 0.5)]
        )
        at = np.linspace(knots[1], knots[2], STEPS + 1)[1:, None]
        out.append(_between(list(four), knots, at))
    return np.vstack(out)


def _between(points: list[Any], knots: FloatArray, at: FloatArray) -> FloatArray:
    """Return places between the second and third of four points, shape (k, 3)."""
    for span in (1, 2):
        points = [
            ((knots[i + span] - at) * points[i] + (at - knots[i]) * points[i + 1])
            / (knots[i + span] - knots[i])
            for i in range(4 - span)
        ]
    one, two = points
    return np.asarray(
        ((knots[2] - at) * one + (at - knots[1]) * two) / (knots[2] - knots[1])
    )


def cables_on(
    motion: Motion, view: View, turns: Mapping[str, Mapping[str, FloatArray]]
) -> dict[str, Wired]:
    """Return the cables of a layout on a view, by name.

    Parameters
    ----------
    motion : Motion
        Of one layout.
    view : View
        On which they are seen.
    turns : mapping of str to mapping of str to ndarray, shape (n,)
        By cable: how far every shaft has turned where it is drawn. [rad]
    """
    out = {}
    for loop in motion.assembly.loops:
        cable = loop.link.rod
        if not isinstance(cable, Cable):
            continue
        turned = turns[cable.name]
        shown = replace(
            motion,
            turns=turned,
            cosines={name: np.cos(turn) for name, turn in turned.items()},
            sines={name: np.sin(turn) for name, turn in turned.items()},
        )
        line = frame(shown).rod(cable.name)
        assert isinstance(line, CableLine)  # noqa: S101 - of a cable
        left = loop.slack(*(shown.pair(hole.shaft) for hole in loop.link.holes))
        free = _free(shown, line, view, left)
        out[cable.name] = Wired(
            free=free if loop.link.driver == cable.start else free[::-1],
            sheath=view.project(smooth(cable.route)),
            left=None if left is None else np.asarray(left, float),
        )
    return out


def hung_on(motion: Motion, view: View) -> FloatArray:
    """Return how low slack wire hangs on a view through a motion, shape (k, 2). [m]."""
    turns = {link.rod.name: motion.turns for link in motion.assembly.layout.links}
    places = [np.empty((0, 2))]
    for cable in cables_on(motion, view, turns).values():
        places += [(free.foot + free.sheath) / 2 + free.sag for free in cable.free]
    return np.vstack(places)


def _free(
    motion: Motion, line: CableLine, view: View, left: FloatArray | None
) -> tuple[Free, Free]:
    """Return the wire at the driver and at the driven arm."""
    layout = motion.assembly.layout
    shape = np.shape(motion.pad_travel)
    feet = [np.asarray(leaves.foot, float).T for leaves in line.leaves]
    ways = [
        np.array(end, float) - foot for end, foot in zip(line.sheath, feet, strict=True)
    ]
    runs = [np.linalg.norm(way, axis=1) for way in ways]
    out = []
    for i, hole in enumerate(line.link.holes):
        shaft = layout.shafts[hole.shaft]
        arm = shaft.arms[hole.arm]
        sag = np.zeros((*shape, 3))
        if left is not None:
            # What is too long is shared out by straight length. A shallow curve is longer than
            # the straight way by 8 h² / 3 L, a parabola's arc to the second order.
            over = np.maximum(np.nan_to_num(left), 0.0) * runs[i] / sum(runs)
            deep = np.sqrt(3 * over * runs[i] / 8)
            sag = deep[:, None] * _down(np.asarray(line.leaves[i].pull, float).T)
        out.append(
            Free(
                hole=str(hole),
                nipple=view.project(frame(motion).pin(hole).T),
                foot=view.project(feet[i]),
                sheath=view.project(np.array(line.sheath[i], float)),
                sag=view.project(sag),
                drum=drum_on(shaft, arm, view) if arm.wound else None,
                turns=np.broadcast_to(motion.turns[hole.shaft], shape),
                wound=np.broadcast_to(line.wound[i], shape),
            )
        )
    return out[0], out[1]


def _down(way: FloatArray) -> FloatArray:
    """Return how a wire hangs: down, square to its way; shape (n, 3)."""
    down = np.array([0.0, 0.0, -1.0]) + way * way[:, 2:]
    size = np.linalg.norm(down, axis=1)[:, None]
    aside = np.cross(way, [0.0, 1.0, 0.0])  # upright: forward or back, as good as any
    aside = aside / np.maximum(np.linalg.norm(aside, axis=1)[:, None], UPRIGHT)
    return np.asarray(np.where(size > UPRIGHT, down / np.maximum(size, UPRIGHT), aside))
