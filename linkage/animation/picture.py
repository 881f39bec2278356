"""Frames as arrays: what stands is drawn once, what moves is drawn over it.

Not here: what is drawn (`panel`), how frames become a file (`gif`, `mp4`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text
from PIL import Image

from linkage.animation.gauges import text_at
from linkage.animation.panel import draw_panel, head_of
from linkage.animation.places import FOOT, LINE, places
from linkage.animation.stamp import sprites, stamp
from linkage.animation.words import driver_of, line_words
from linkage.drawing import style
from linkage.errors import UsageError
from linkage.rules.caution import CAUTION

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    from linkage.animation.panel import Panel
    from linkage.animation.scene import Scene
    from linkage.animation.schedule import Schedule
    from linkage.animation.stamp import Sprite

    Pixels = NDArray[np.uint8]
    Progress = Callable[[int, int], None]

#: Width of the figure whatever its size in pixels, so that letters grow with it. [in]
WIDTH: Final = 9.6
#: Width and height that are drawn, and the shapes: wider over higher. [px]
LEAST_SIZE: Final = (640, 360)
MOST_SIZE: Final = (3840, 2160)
SHAPES: Final = (1.25, 2.2)
#: What lines and arrows mean, of rods or cables, pedal or hand lever.
LEGEND: Final = "whole line: {} pulls; dashed: pushes; arrows: {}"
#: And of a rod that loses motion.
SLACK: Final = "; thin: slack"


def refuse_size(size: tuple[int, int]) -> None:
    """Refuse a size in which nothing can be read or that no machine can hold.

    Parameters
    ----------
    size : tuple of 2 int
        Width and height. [px]

    Raises
    ------
    UsageError
        With the sizes that are drawn.
    """
    width, height = size
    if (
        not LEAST_SIZE[0] <= width <= MOST_SIZE[0]
        or not LEAST_SIZE[1] <= height <= MOST_SIZE[1]
    ):
        msg = f"{width} x {height} pixels cannot be drawn"
        raise UsageError(
            msg,
            hint=f"give a size from {LEAST_SIZE[0]}x{LEAST_SIZE[1]}, in which words are "
            f"9 px, to {MOST_SIZE[0]}x{MOST_SIZE[1]}, such as 960x540",
        )
    if not SHAPES[0] <= width / height <= SHAPES[1]:
        msg = f"{width} x {height} pixels is not the shape of a screen"
        raise UsageError(
            msg,
            hint=f"make it {SHAPES[0]:g} to {SHAPES[1]:g} times as wide as high, "
            "such as 960x540 or 800x600",
        )


@dataclass(slots=True, eq=False, kw_only=True)
class Picture:
    """A figure whose moving parts can be drawn alone.

    Parameters
    ----------
    figure : Figure
        With an Agg canvas.
    panels : list of Panel
        One a layout.
    layers : list of (Axes, list of Artist)
        Lines and symbols that are drawn every frame, by axes, from under to
        over: all that moves and all that stands over it.
    ground : object
        The rest of the picture, as the canvas keeps it.
    over : list of (Image, box)
        Words that stand, each with where it is pasted over what moves.
    words : list of Text
        Words that move or change.
    """

    figure: Figure
    panels: list[Panel]
    layers: list[tuple[Axes, list[Artist]]]
    ground: Any
    over: list[Sprite]
    words: list[Text]

    def show(self, index: int, *, pressing: bool) -> Pixels:
        """Return another position, shape (height, width, 3).

        Parameters
        ----------
        index : int
            Position in every scene.
        pressing : bool
            Whether the pedal goes down.
        """
        canvas: Any = self.figure.canvas
        canvas.restore_region(self.ground)
        for panel in self.panels:
            panel.update(index, pressing=pressing)
        for axes, artists in self.layers:
            for artist in artists:
                axes.draw_artist(artist)
        image = Image.fromarray(np.asarray(canvas.buffer_rgba())[:, :, :3])
        for sprite, box in self.over:
            image.paste(sprite, box, sprite)
        for text in self.words:
            stamp(image, text)
        return np.asarray(image)


def whole(scenes: Sequence[Scene], size: tuple[int, int]) -> tuple[Figure, list[Panel]]:
    """Return the figure with the pedal up, and its panels; arguments as for `picture`."""
    width, height = size
    dpi = width / WIDTH
    figure = Figure(figsize=(WIDTH, height / dpi), dpi=dpi, facecolor="white")
    FigureCanvasAgg(figure)
    tall = height / dpi
    each = WIDTH / len(scenes)
    alone = len(scenes) == 1
    heads = [head_of(scene, each, alone=alone) for scene in scenes]
    high = max(head.height for head in heads)
    panels = []
    for i, (scene, head) in enumerate(zip(scenes, heads, strict=True)):
        plates = len(scene.layout.plates)
        at = places(each, tall, i * each, alone=alone, head=high, plates=plates)
        others = [s for s in scenes if s is not scene]
        panels.append(draw_panel(figure, scene, at, head, others=others))
    if not alone:
        figure.add_artist(
            Line2D([0.5, 0.5], [FOOT / tall, 1], color=style.GREY, linewidth=0.8)
        )
    rods = [rod for one in scenes for rod in one.layout.rods.values()]
    loose = any(rod.loose and rod.kind != "cam" for rod in rods)
    going = driver_of(scenes[0]).going  # one input drives all
    legend = LEGEND.format(line_words(scenes), going) + SLACK * loose
    foot = {"legend": (FOOT - LINE, legend), "caution": (0.06, CAUTION)}
    for gid, (low, text) in foot.items():
        text_at(figure, (WIDTH / 2, low), text, ha="center", va="bottom", gid=gid)
    return figure, panels


def picture(scenes: Sequence[Scene], size: tuple[int, int]) -> Picture:
    """Draw what stands still, once; call it and `Picture.show` in `drawing_style`.

    Parameters
    ----------
    scenes : sequence of Scene
        One or two, over the same pad positions.
    size : tuple of 2 int
        Width and height. [px]
    """
    figure, panels = whole(scenes, size)
    moving = {artist for panel in panels for artist in panel.moving()}
    words = [a for a in moving if isinstance(a, Text)]
    layers = _layers(figure, moving)
    over = [t for ax, _ in layers for t in ax.texts if t not in moving and t.get_text()]
    for artist in (*words, *over, *(a for _, artists in layers for a in artists)):
        artist.set_animated(True)
    canvas: Any = figure.canvas
    canvas.draw()
    ground = canvas.copy_from_bbox(figure.bbox)
    return Picture(
        figure=figure,
        panels=panels,
        layers=layers,
        ground=ground,
        over=sprites(canvas, over),
        words=sorted(words, key=lambda t: (t.get_zorder(), str(t.get_gid()))),
    )


def _layers(figure: Figure, moving: set[Artist]) -> list[tuple[Axes, list[Artist]]]:
    """Return what is drawn every frame, in the order of a whole drawing."""
    out: list[tuple[Axes, list[Artist]]] = []
    for ax in figure.axes:
        drawn: list[Artist] = [*ax.collections, *ax.patches, *ax.lines]
        own = [a for a in drawn if a in moving]
        if own:
            lowest = min(a.get_zorder() for a in own)
            over = [a for a in drawn if a in moving or a.get_zorder() > lowest]
            out.append((ax, sorted(over, key=lambda a: a.get_zorder())))
    return out


def frames(
    scenes: Sequence[Scene],
    timing: Schedule,
    size: tuple[int, int],
    *,
    progress: Progress | None = None,
) -> Iterator[Pixels]:
    """Yield every frame in turn, shape (height, width, 3).

    Parameters
    ----------
    scenes : sequence of Scene
        Over the pad positions of `timing`.
    timing : Schedule
        Which position each frame shows.
    size : tuple of 2 int
        Width and height. [px]
    progress : callable, optional
        Called with frames done and frames in all.
    """
    total = len(timing.indices)
    with style.drawing_style():
        drawn = picture(scenes, size)
        for i in range(total):
            yield drawn.show(int(timing.indices[i]), pressing=bool(timing.pressing[i]))
            if progress is not None:
                progress(i + 1, total)
