"""Find room for labels: no box over another, and as few lines hidden as can be.

Each label tries places on rings around its point. A place is refused if its
box overlaps a label already there or leaves the field; of the rest the one
that hides least, lies nearest and keeps its wished direction is taken.

Not here: what the labels say (`curve`, `layout`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.text import Annotation, Text

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

#: Distances of a label from its point that are tried. [pt]
RINGS: Final = np.array([5.0, 8.5, 13, 19, 26, 35, 46, 60, 78, 100, 130, 170, 220])
DIRECTIONS: Final = 24
#: Clear space around every box. [pt]
PAD: Final = 1.5
#: A leader is drawn where the label is farther than this from its point. [pt]
LEADER: Final = 10.0
_STEP = 2.5  # size of the cells in which drawn lines are noted [pt]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tag:
    """A label and the point it belongs to.

    Parameters
    ----------
    text : str
        What it says.
    at : tuple of 2 floats
        The point, in the axes' data.
    also : tuple of points
        Further points that would do as well.
    toward : tuple of 2 floats
        Wished direction on the picture, right and up; (0, 0) for any.
    leader : bool
        Whether a thin line may lead to the point; without one the label stays
        near.
    style : mapping
        Keywords of the text.
    """

    text: str
    at: tuple[float, float]
    also: tuple[tuple[float, float], ...] = ()
    toward: tuple[float, float] = (0.0, 0.0)
    leader: bool = True
    style: Mapping[str, Any] = field(default_factory=dict)


class Placer:
    """Room on one field of a figure.

    The field's place on the figure must be settled before.

    Parameters
    ----------
    ax : Axes
        In whose data the points are, and which the labels are added to.
    room : tuple of 4 floats, optional
        Left, bottom, right, top as shares of the axes' box that labels may use.
    """

    def __init__(
        self, ax: Axes, room: tuple[float, float, float, float] = (0, 0, 1, 1)
    ) -> None:
        self.ax = ax
        ax.apply_aspect()
        figure = ax.get_figure(root=True)
        assert figure is not None  # noqa: S101 - an axes with no figure has no renderer
        self._renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
        self._pt = figure.dpi / 72
        box = ax.get_window_extent()
        self._field = (
            box.x0 + room[0] * box.width,
            box.y0 + room[1] * box.height,
            box.x0 + room[2] * box.width,
            box.y0 + room[3] * box.height,
        )
        self._boxes = np.empty((0, 4))
        self._cell = _STEP * self._pt
        wide = int((self._field[2] - self._field[0]) / self._cell) + 2
        high = int((self._field[3] - self._field[1]) / self._cell) + 2
        #: How much is drawn in each cell of the field, columns first.
        self._drawn = np.zeros((wide, high))
        self.left_out: list[Tag] = []
        #: How much a leader minds each piece of it that runs over what is drawn.
        self.crossing = 0.8

    def avoid(self, points: FloatArray, width: float = 0.0) -> None:
        """Keep off a line.

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            Its corners, in data.
        width : float
            How wide it is drawn. [pt]
        """
        middle = self.ax.transData.transform(np.asarray(points, dtype=float))
        self._draw(middle)
        if width:
            for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
                self._draw(middle + np.array([dx, dy]) * width / 2 * self._pt)

    def avoid_points(self, points: FloatArray, size: float = 8.0) -> None:
        """Keep off symbols, given by their places in data, shape (n, 2).

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            In data.
        size : float
            Width of the symbols. [pt]
        """
        if not len(points):
            return
        middle = self.ax.transData.transform(np.asarray(points, dtype=float))
        grid = np.linspace(-size / 2, size / 2, 4) * self._pt
        cross = np.array([(x, y) for x in grid for y in grid])
        spread = (middle[:, None, :] + cross[None]).reshape(-1, 2)
        self._fill(spread)

    def avoid_text(self, texts: Iterable[Text]) -> None:
        """Keep off texts that are there already."""
        for text in texts:
            self._boxes = np.vstack([self._boxes, self._box_of(text)])

    def place(self, tags: Sequence[Tag]) -> list[Annotation]:
        """Place labels one after the other, the first with the free choice.

        Returns
        -------
        list of Annotation
            Those placed; a label for which there is no room at all is put in
            `left_out` and not drawn, as one label over another can be misread.
        """
        placed = []
        for tag in tags:
            label = self.ax.annotate(
                tag.text,
                tag.at,
                xytext=(0, 0),
                textcoords="offset points",
                ha="center",
                va="center",
                annotation_clip=False,
                **{"fontsize": 8, "zorder": 10, **tag.style},
            )
            if self._settle(tag, label):
                placed.append(label)
            else:
                label.remove()
                self.left_out.append(tag)
        return placed

    def _settle(self, tag: Tag, label: Annotation) -> bool:
        x0, y0, x1, y1 = self._box_of(label)
        half = np.array([x1 - x0, y1 - y0]) / 2
        points = self.ax.transData.transform(np.array([tag.at, *tag.also], float))
        rings, ways = _candidates(tag.leader)
        rings = np.tile(rings * self._pt, len(points))
        ways = np.tile(ways, (len(points), 1))
        at = np.repeat(points, len(rings) // len(points), axis=0)
        centres = at + rings[:, None] * ways + ways * half
        boxes = np.hstack([centres - half, centres + half])
        cost = self._cost(tag, boxes, (rings, ways, at))
        best = int(np.argmin(cost))
        if not np.isfinite(cost[best]):
            return False
        point = at[best]
        label.xy = tuple(self.ax.transData.inverted().transform(point))
        label.set_position(tuple((centres[best] - point) / self._pt))
        self._boxes = np.vstack([self._boxes, boxes[best]])
        if tag.leader and rings[best] > LEADER * self._pt:
            self._lead(tag, point, boxes[best])
        return True

    def _cost(
        self,
        tag: Tag,
        boxes: FloatArray,
        where: tuple[FloatArray, FloatArray, FloatArray],
    ) -> FloatArray:
        """Return how bad each place is, infinite where it is refused."""
        rings, ways, at = where
        left, low, right, top = self._field
        cost = rings / self._pt / 6
        if any(tag.toward):
            wished = np.array(tag.toward) / np.hypot(*tag.toward)
            cost = cost + 2.5 * (1 - ways @ wished)
        cost = cost + 2.0 * self._hides(boxes)
        ends = np.clip(at, boxes[:, :2], boxes[:, 2:])
        drawn = rings > LEADER * self._pt
        for share in np.linspace(0.1, 0.95, 12):  # what a leader would run through
            on = at + share * (ends - at)
            cost = cost + 5.0 * _covered(on, self._boxes)
            if share > 0.3:
                cost = cost + self.crossing * drawn * (self._amount(on) > 0)
        out = (
            (boxes[:, 0] < left)
            | (boxes[:, 1] < low)
            | (boxes[:, 2] > right)
            | (boxes[:, 3] > top)
        )
        return np.where(out | _meets(boxes, self._boxes), np.inf, cost)

    def _lead(self, tag: Tag, point: FloatArray, box: FloatArray) -> None:
        """Draw a thin line from the box to the point."""
        end = np.clip(point, box[:2], box[2:])
        ends = self.ax.transData.inverted().transform([end, point])
        (line,) = self.ax.plot(
            ends[:, 0],
            ends[:, 1],
            color=tag.style.get("color", "0.35"),
            linewidth=0.5,
            zorder=9,
            scalex=False,
            scaley=False,
            gid="leader",
        )
        line.set_clip_on(False)
        self._draw(np.array([end, point]))

    def _box_of(self, text: Text) -> FloatArray:
        pad = PAD * self._pt * np.array([-1, -1, 1, 1])
        return np.asarray(extent(text, self._renderer) + pad)

    def _draw(self, pixels: FloatArray) -> None:
        """Note a line as drawn, given by its corners."""
        pixels = pixels[np.isfinite(pixels).all(axis=1)]
        samples = [pixels]
        for one, two in pairwise(pixels):
            count = int(np.hypot(*(two - one)) / self._cell)
            if count > 1:
                share = np.linspace(0, 1, count, endpoint=False)[1:, None]
                samples.append(one + share * (two - one))
        self._fill(np.vstack(samples))

    def _index(self, pixels: FloatArray) -> NDArray[np.int64]:
        corner = np.array(self._field[:2])
        return np.asarray(np.floor((pixels - corner) / self._cell), dtype=np.int64)

    def _fill(self, pixels: FloatArray) -> None:
        i, j = self._index(pixels).T
        wide, high = self._drawn.shape
        inside = (i >= 0) & (i < wide) & (j >= 0) & (j < high)
        self._drawn[i[inside], j[inside]] = 1.0

    def _amount(self, pixels: FloatArray) -> FloatArray:
        """Return how much is drawn at each point, shape (n,)."""
        i, j = self._index(pixels).T
        wide, high = self._drawn.shape
        return np.asarray(self._drawn[np.clip(i, 0, wide - 1), np.clip(j, 0, high - 1)])

    def _hides(self, boxes: FloatArray) -> FloatArray:
        """Return how much each box would hide, shape (n,)."""
        wide, high = self._drawn.shape
        total = np.zeros((wide + 1, high + 1))
        total[1:, 1:] = self._drawn.cumsum(axis=0).cumsum(axis=1)
        x0, y0 = np.clip(self._index(boxes[:, :2]), 0, [wide, high]).T
        x1, y1 = np.clip(self._index(boxes[:, 2:]) + 1, 0, [wide, high]).T
        return np.asarray(total[x1, y1] - total[x0, y1] - total[x1, y0] + total[x0, y0])


def _candidates(leader: bool) -> tuple[FloatArray, FloatArray]:  # noqa: FBT001
    """Return distances [pt] and directions of the places tried."""
    rings = RINGS if leader else RINGS[:6]
    angles = np.linspace(0, 2 * np.pi, DIRECTIONS, endpoint=False)
    ways = np.column_stack([np.cos(angles), np.sin(angles)])
    return np.repeat(rings, DIRECTIONS), np.tile(ways, (len(rings), 1))


def _covered(points: FloatArray, boxes: FloatArray) -> FloatArray:
    """Return in how many boxes each point lies, shape (n,)."""
    if not len(boxes):
        return np.zeros(len(points))
    x, y = points[:, :1], points[:, 1:]
    within = (
        (x >= boxes[:, 0])
        & (x <= boxes[:, 2])
        & (y >= boxes[:, 1])
        & (y <= boxes[:, 3])
    )
    return np.asarray(within.sum(axis=1), dtype=float)


def _meets(boxes: FloatArray, others: FloatArray) -> NDArray[np.bool_]:
    """Return which boxes overlap any of the others, shape (n,)."""
    if not len(others):
        return np.zeros(len(boxes), dtype=bool)
    apart = (
        (boxes[:, None, 2] <= others[None, :, 0])
        | (boxes[:, None, 0] >= others[None, :, 2])
        | (boxes[:, None, 3] <= others[None, :, 1])
        | (boxes[:, None, 1] >= others[None, :, 3])
    )
    return np.asarray((~apart).any(axis=1))


def points_per_metre(ax: Axes) -> float:
    """Return how many printed points a metre of the drawing takes."""
    left, right = ax.get_xlim()
    figure = ax.get_figure(root=True)
    assert figure is not None  # noqa: S101 - drawn axes stand on a figure
    return float(ax.get_window_extent().width / figure.dpi * 72 / (right - left))


def extent(text: Text, renderer: Any) -> FloatArray:  # noqa: ANN401
    """Return left, bottom, right, top of a text alone, without any arrow. [px]."""
    if isinstance(text, Annotation):
        text.update_positions(renderer)
    return np.asarray(Text.get_window_extent(text, renderer).extents, dtype=float)


def overlaps(texts: Sequence[Text], renderer: Any) -> list[tuple[str, str]]:  # noqa: ANN401
    """Return every pair of texts whose boxes overlap.

    Parameters
    ----------
    texts : sequence of Text
        Drawn ones.
    renderer : RendererBase
        That measures them.
    """
    boxes = np.array([extent(t, renderer) for t in texts]).reshape(-1, 4)
    out = []
    for i in range(len(texts)):
        met = np.flatnonzero(
            [_meets(boxes[i : i + 1], boxes[j : j + 1])[0] for j in range(i)]
        )
        out += [(texts[i].get_text(), texts[int(j)].get_text()) for j in met]
    return out
