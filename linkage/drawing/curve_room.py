"""Room for words among curves: on no line, and no leader through words or leaders.

Stricter than among the parts of a linkage, as a curve is thin and leaves room.

Not here: what is said (`curve_labels`, `curve_names`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.labels import Placer, Tag
from linkage.drawing.meeting import crossing, through

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

#: How the gid of a line's name begins.
NAME: Final = "name: "
#: What it costs to hide a bit of a line, and to lead across one.
HIDE: Final = 100.0
CROSS: Final = 6.0
#: What it costs to lead across another leader.
OVER: Final = 30.0
#: How far a leader may run beside its own line. [pt]
OWN: Final = 8.0
#: Steps in which a leader is followed. [pt]
STEP: Final = 2.5
#: How much less a point is liked than the one before it.
LATER: Final = 0.25


class CurveRoom(Placer):
    """Room on a field of curves; see `Placer`.

    Parameters
    ----------
    ax : Axes
        In whose data the points are.
    room : tuple of 4 floats
        Left, bottom, right, top as shares of the axes' box that labels may use.
    names_lead : bool
        Whether the name of a line leads to it however near it stands, as another line
        is near too.
    """

    def __init__(
        self,
        ax: Axes,
        room: tuple[float, float, float, float],
        *,
        names_lead: bool = False,
    ) -> None:
        super().__init__(ax, room)
        self._names_lead = names_lead
        self._leaders = np.empty((0, 2, 2))

    def _lead_of(self, tag: Tag) -> float:
        named = str(tag.style.get("gid", "")).startswith(NAME)
        return 0.0 if named and self._names_lead else super()._lead_of(tag)

    def _lead(self, tag: Tag, point: FloatArray, box: FloatArray) -> None:
        super()._lead(tag, point, box)
        leader = np.array([[np.clip(point, box[:2], box[2:]), point]])
        self._leaders = np.concatenate([self._leaders, leader])

    def _cost(
        self,
        tag: Tag,
        boxes: FloatArray,
        where: tuple[FloatArray, FloatArray, FloatArray],
    ) -> FloatArray:
        rings, ways, at = where
        cost = self._apart(tag, rings, ways) + HIDE * self._hides(boxes)
        leaders = self._leaders[:, 0], self._leaders[:, 1]
        refused = self._refused(boxes) | through(*leaders, boxes).any(axis=0)
        led = tag.leader & (rings > self._lead_of(tag))
        # What is refused already needs no closer look.
        close = np.flatnonzero(led & ~refused)
        tips = at[close]
        ends = np.clip(tips, boxes[close, :2], boxes[close, 2:])
        refused[close] |= through(ends, tips, self._boxes).any(axis=1)
        cost[close] += CROSS * self._crossed(tips, ends)
        cost[close] += OVER * crossing(ends, tips, *leaders).any(axis=1)
        spots = 1 + len(tag.also)
        order = np.repeat(np.arange(spots), len(rings) // spots) * LATER
        return np.where(refused, np.inf, order + cost)

    def _crossed(self, at: FloatArray, ends: FloatArray) -> FloatArray:
        """Return how much each leader runs over, away from its own line."""
        total = np.zeros(len(at))
        far = np.hypot(*(ends - at).T)
        way = (ends - at) / np.where(far > 0, far, 1.0)[:, None]
        for along in np.arange(OWN * self._pt, far.max(initial=0.0), STEP * self._pt):
            total += (along < far) & self._runs_over(at + along * way)
        return total
