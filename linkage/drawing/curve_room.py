"""Room for words among curves: on no line, and no leader through words or leaders.

Stricter than among the parts of a linkage, as a curve is thin and leaves room.

Not here: what is said (`curve_labels`, `curve_names`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.labels import LEADER, Placer, Tag, _candidates, _meets

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.text import Annotation
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

    def _settle(self, tag: Tag, label: Annotation) -> bool:
        x0, y0, x1, y1 = self._box_of(label)
        half = np.array([x1 - x0, y1 - y0]) / 2
        points = self.ax.transData.transform(np.array([tag.at, *tag.also], float))
        rings, ways = _candidates(tag.leader)
        each = len(rings)
        rings = np.tile(rings * self._pt, len(points))
        ways = np.tile(ways, (len(points), 1))
        at = np.repeat(points, each, axis=0)
        centres = at + rings[:, None] * ways + ways * half
        boxes = np.hstack([centres - half, centres + half])
        order = np.repeat(np.arange(len(points)), each) * LATER
        cost = order + self._costs(tag, boxes, (rings, ways, at))
        best = int(np.argmin(cost))
        if not np.isfinite(cost[best]):
            return False
        point, box = at[best], boxes[best]
        label.xy = tuple(self.ax.transData.inverted().transform(point))
        label.set_position(tuple((centres[best] - point) / self._pt))
        self._boxes = np.vstack([self._boxes, box])
        if tag.leader and rings[best] > self._lead_of(tag):
            self._lead(tag, point, box)
            leader = np.array([[np.clip(point, box[:2], box[2:]), point]])
            self._leaders = np.concatenate([self._leaders, leader])
        return True

    def _lead_of(self, tag: Tag) -> float:
        """Return the distance from its point from which a label leads to it. [px]."""
        named = str(tag.style.get("gid", "")).startswith(NAME)
        return self._pt * (0.0 if named and self._names_lead else LEADER)

    def _costs(
        self,
        tag: Tag,
        boxes: FloatArray,
        where: tuple[FloatArray, FloatArray, FloatArray],
    ) -> FloatArray:
        """Return how bad each place is, infinite where it is refused."""
        rings, ways, at = where
        left, low, right, top = self._field
        cost = rings / self._pt / 6 + HIDE * self._hides(boxes)
        if any(tag.toward):
            wished = np.array(tag.toward) / np.hypot(*tag.toward)
            cost = cost + 2.5 * (1 - ways @ wished)
        refused = (
            (boxes[:, 0] < left)
            | (boxes[:, 1] < low)
            | (boxes[:, 2] > right)
            | (boxes[:, 3] > top)
            | _meets(boxes, self._boxes)
            | _over(boxes, self._leaders)
        )
        led = tag.leader & (rings > self._lead_of(tag))
        ends = np.clip(at, boxes[:, :2], boxes[:, 2:])
        # What is refused already needs no closer look.
        close = np.flatnonzero(led & ~refused)
        leads = np.stack([ends[close], at[close]], axis=1)
        refused[close] |= _through(leads, self._boxes)
        cost[close] += CROSS * self._crossed(at[close], ends[close])
        cost[close] += OVER * _across(leads, self._leaders)
        return np.where(refused, np.inf, cost)

    def _crossed(self, at: FloatArray, ends: FloatArray) -> FloatArray:
        """Return how much each leader runs over, away from its own line."""
        total = np.zeros(len(at))
        far = np.hypot(*(ends - at).T)
        way = (ends - at) / np.where(far > 0, far, 1.0)[:, None]
        for along in np.arange(OWN * self._pt, far.max(initial=0.0), STEP * self._pt):
            total += (along < far) & (self._amount(at + along * way) > 0)
        return total


def _through(leads: FloatArray, boxes: FloatArray) -> NDArray[np.bool_]:
    """Return which leaders run through any box, shape (n,)."""
    return np.asarray(_hits(leads[:, None], boxes[None]).any(axis=1), dtype=bool)


def _hits(leads: FloatArray, boxes: FloatArray) -> NDArray[np.bool_]:
    """Return whether leaders (..., 2, 2) run through boxes (..., 4), shape (...)."""
    start, step = leads[..., 0, :], leads[..., 1, :] - leads[..., 0, :]
    step = np.where(np.abs(step) < 1e-9, 1e-9, step)
    near, far = (boxes[..., :2] - start) / step, (boxes[..., 2:] - start) / step
    enter = np.minimum(near, far).max(axis=-1)
    leave = np.maximum(near, far).min(axis=-1)
    return np.asarray(np.maximum(enter, 0) <= np.minimum(leave, 1), dtype=bool)


def _over(boxes: FloatArray, leads: FloatArray) -> NDArray[np.bool_]:
    """Return which boxes lie on a leader, shape (n,)."""
    return np.asarray(_hits(leads[None], boxes[:, None]).any(axis=1), dtype=bool)


def _across(leads: FloatArray, others: FloatArray) -> NDArray[np.bool_]:
    """Return which leaders cross another, shape (n,)."""

    def side(a: FloatArray, b: FloatArray, p: FloatArray) -> FloatArray:
        (ux, uy), (vx, vy) = np.moveaxis(b - a, -1, 0), np.moveaxis(p - a, -1, 0)
        return np.asarray(ux * vy - uy * vx)

    a, b = leads[:, None, 0], leads[:, None, 1]
    c, d = others[None, :, 0], others[None, :, 1]
    apart = side(a, b, c) * side(a, b, d) > 0
    apart |= side(c, d, a) * side(c, d, b) > 0
    return np.asarray((~apart).any(axis=1), dtype=bool)
