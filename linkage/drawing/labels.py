"""Find room for labels: no box over another, and as few lines hidden as can be.

Each label tries places on rings around its points. A place is refused if its box
leaves the field or lies over a label or a leader that is there already, or its leader
would run through a label; of the rest the one that hides least, lies nearest and keeps
its wished direction is taken.

Not here: what the labels say (`curve_labels`, `layout_labels`), those that may lie on
nothing at all (`board`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing.canvas import extent, point_of
from linkage.drawing.meeting import along, counted, crossing, over, summed, through

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from matplotlib.axes import Axes
    from matplotlib.text import Annotation, Text
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

#: Distances of a label from its point that are tried. [pt]
RINGS: Final = np.array([5.0, 8.5, 13, 19, 26, 35, 46, 60, 78, 100, 130, 170, 220])
DIRECTIONS: Final = 24
#: Clear space around every box. [pt]
PAD: Final = 1.5
#: What it costs to lead across a bit of what is drawn, and across another leader.
CROSS: Final = 6.0
OVER: Final = 30.0
#: How far a leader may run beside its own line. [pt]
OWN: Final = 8.0
#: How much less a point is liked than the one before it.
LATER: Final = 0.25
#: Size of the cells in which drawn lines are noted, and step along a leader. [pt]
STEP: Final = 2.5


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
    lead : float
        A thin line leads to the point where the label is farther than this. [pt]
    style : mapping
        Keywords of the text.
    """

    text: str
    at: tuple[float, float]
    also: tuple[tuple[float, float], ...] = ()
    toward: tuple[float, float] = (0.0, 0.0)
    lead: float = 10.0
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
    hide : float
        What it costs to hide a bit of what is drawn.
    """

    def __init__(
        self,
        ax: Axes,
        room: tuple[float, float, float, float] = (0, 0, 1, 1),
        *,
        hide: float = 100.0,
    ) -> None:
        self._hide = hide
        self.ax = ax
        ax.apply_aspect()
        self._pt = point_of(ax)
        box = np.asarray(ax.get_window_extent().extents, dtype=float)
        size = np.tile(box[2:] - box[:2], 2)
        self._field = np.tile(box[:2], 2) + np.array(room) * size
        self._boxes = np.empty((0, 4))
        #: Where leaders leave their boxes and where they end. [px]
        self._ends, self._tips = np.empty((2, 0, 2))
        self._cell = STEP * self._pt
        wide, high = ((self._field[2:] - self._field[:2]) / self._cell + 2).astype(int)
        #: In which cells of the field something is drawn, columns first.
        self._drawn = np.zeros((wide, high), dtype=bool)
        self.left_out: list[Tag] = []

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
        rings, ways = _candidates()
        each = len(rings)
        rings = np.tile(rings * self._pt, len(points))
        ways = np.tile(ways, (len(points), 1))
        at = np.repeat(points, each, axis=0)
        centres = at + rings[:, None] * ways + ways * half
        boxes = np.hstack([centres - half, centres + half])
        led = rings > tag.lead * self._pt
        cost = np.repeat(np.arange(len(points)), each) * LATER
        cost = cost + rings / self._pt / 6 + self._cost(boxes, at, led)
        if any(tag.toward):
            wished = np.array(tag.toward) / np.hypot(*tag.toward)
            cost = cost + 2.5 * (1 - ways @ wished)
        best = int(np.argmin(cost))
        if not np.isfinite(cost[best]):
            return False
        point = at[best]
        label.xy = tuple(self.ax.transData.inverted().transform(point))
        label.set_position(tuple((centres[best] - point) / self._pt))
        self._boxes = np.vstack([self._boxes, boxes[best]])
        if led[best]:
            self._lead(tag, point, boxes[best])
        return True

    def _cost(
        self, boxes: FloatArray, at: FloatArray, led: NDArray[np.bool_]
    ) -> FloatArray:
        """Return what each place hides and crosses, infinite where it is refused."""
        cost = self._hide * self._hides(boxes)
        out = (boxes[:, :2] < self._field[:2]) | (boxes[:, 2:] > self._field[2:])
        refused = out.any(axis=1) | over(boxes, self._boxes).any(axis=1)
        refused |= through(self._ends, self._tips, boxes).any(axis=0)
        # What is refused already needs no closer look.
        close = np.flatnonzero(led & ~refused)
        tips = at[close]
        ends = np.clip(tips, boxes[close, :2], boxes[close, 2:])
        refused[close] |= through(ends, tips, self._boxes).any(axis=1)
        cost[close] += CROSS * self._crossed(tips, ends)
        cost[close] += OVER * crossing(ends, tips, self._ends, self._tips).any(axis=1)
        return np.where(refused, np.inf, cost)

    def _crossed(self, at: FloatArray, ends: FloatArray) -> FloatArray:
        """Return how much each leader runs over, away from its own line."""
        total = np.zeros(len(at))
        far = np.hypot(*(ends - at).T)
        way = (ends - at) / np.where(far > 0, far, 1.0)[:, None]
        for back in np.arange(OWN * self._pt, far.max(initial=0.0), self._cell):
            total += (back < far) & self._runs_over(at + back * way)
        return total

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
        self._ends = np.vstack([self._ends, end])
        self._tips = np.vstack([self._tips, point])
        self._draw(np.array([end, point]))

    def _box_of(self, text: Text) -> FloatArray:
        pad = PAD * self._pt * np.array([-1, -1, 1, 1])
        return np.asarray(extent(text) + pad)

    def _draw(self, pixels: FloatArray) -> None:
        """Note a line as drawn, given by its corners."""
        pixels = pixels[np.isfinite(pixels).all(axis=1)]
        length = np.hypot(*np.diff(pixels, axis=0).T)
        many = np.maximum((length / self._cell).astype(np.int64), 1)
        self._fill(np.vstack([along(pixels, many), pixels[-1:]]))

    def _index(self, pixels: FloatArray) -> NDArray[np.int64]:
        cells = np.floor((pixels - self._field[:2]) / self._cell)
        return np.asarray(cells, dtype=np.int64)

    def _fill(self, pixels: FloatArray) -> None:
        i, j = self._index(pixels).T
        wide, high = self._drawn.shape
        inside = (i >= 0) & (i < wide) & (j >= 0) & (j < high)
        self._drawn[i[inside], j[inside]] = True

    def _runs_over(self, pixels: FloatArray) -> NDArray[np.bool_]:
        """Return at which points something is drawn, shape (n,)."""
        i, j = self._index(pixels).T
        wide, high = self._drawn.shape
        return np.asarray(self._drawn[np.clip(i, 0, wide - 1), np.clip(j, 0, high - 1)])

    def _hides(self, boxes: FloatArray) -> FloatArray:
        """Return how much each box would hide, shape (n,)."""
        low, high = self._index(boxes[:, :2]), self._index(boxes[:, 2:])
        return counted(low, high, summed(self._drawn)).astype(float)


def _candidates() -> tuple[FloatArray, FloatArray]:
    """Return distances [pt] and directions of the places tried."""
    angles = np.linspace(0, 2 * np.pi, DIRECTIONS, endpoint=False)
    ways = np.column_stack([np.cos(angles), np.sin(angles)])
    return np.repeat(RINGS, DIRECTIONS), np.tile(ways, (len(RINGS), 1))
