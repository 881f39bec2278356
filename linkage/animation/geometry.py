"""Where everything falls on a page's views, as plain data without a canvas.

Symbols, line styles and the places of words are those of the drawings: they
are taken from one that is made and never shown. Each view is a picture of its
own, as wide as the narrowest phone leaves it, so that its words are large
enough there and have more room on everything wider. Lengths on the page are in
points, x to the right and y down; positions stay in millimetres of the view.

Not here: how it is written (`markup`), the numbers (`scene`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_hex
from matplotlib.figure import Figure
from matplotlib.markers import MarkerStyle
from matplotlib.path import Path
from matplotlib.text import Annotation, Text

from linkage.animation.room import (
    name_tags,
    place_names,
    without_idle_arrows,
    word_places,
)
from linkage.animation.shapes import Shape, ViewScene, Word
from linkage.animation.words import sense_texts
from linkage.drawing import drums, style
from linkage.drawing.canvas import extent, figure_of
from linkage.drawing.colours import band_look, shaft_bands, shaft_colours
from linkage.drawing.inked import symbol
from linkage.drawing.layout import draw_layout, view_axes
from linkage.drawing.track import driven_hole
from linkage.drawing.views import extent_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matplotlib.lines import Line2D
    from numpy.typing import NDArray

    from linkage.animation.room import WordPlace
    from linkage.animation.scene import Scene
    from linkage.drawing.drums import Drum
    from linkage.drawing.pose import Pose
    from linkage.drawing.track import Track
    from linkage.drawing.views import View
    from linkage.model import Layout

    FloatArray = NDArray[np.float64]

#: Points an inch; a point of a view is a pixel of the page where it is narrowest.
POINTS: Final = 72
#: Width of a view: what 320 px leave, to which pages have to reflow without a
#: scroll bar (WCAG 2.2, 1.4.10). [pt]
WIDTH: Final = 286.0
#: Least and greatest height of a view. [pt]
LOWEST: Final = 130.0
HIGHEST: Final = 350.0
#: Room for words beside and above a view that is tried, tightest first. [pt]
MARGINS: Final = ((30.0, 24.0), (52.0, 34.0), (74.0, 44.0))
#: Of the words: 12 px where the view is narrowest (common practice, no source). [pt]
LETTERS: Final = 12.0
#: Letters a line of words has.
LINE_LETTERS: Final = 15
#: Width of a shaft's band seen from its side, over that on an arm (`drawing.fixed`).
BAND: Final = 0.75
#: A rod's name on a view has.
ROD_LETTERS: Final = 12
#: From right round by eighths of a turn, anticlockwise.
ARROWS: Final = "→↗↑↖←↙↓↘"


def drawn_views(scene: Scene) -> tuple[ViewScene, ...]:
    """Return where everything of a scene falls, a picture a view.

    Each view has a scale of its own, so that none is small for another's sake.

    Parameters
    ----------
    scene : Scene
        Over pad positions that rise.
    """
    with style.drawing_style():
        poses = [_roomy(scene, view) for view in scene.views]
        texts = {n: word for n, (_, word) in sense_texts(scene, ROD_LETTERS).items()}
        stands = word_places(poses, texts)
        return tuple(_view(p, w) for p, w in zip(poses, stands, strict=True))


def _roomy(scene: Scene, view: View) -> Pose:
    """Return a view drawn with as much room about it as its names take."""
    poses = []
    for margin in MARGINS:
        pose = _drawn(scene, view, margin)
        if not pose.left_out:
            return pose
        poses.append(pose)
    return min(poses, key=lambda pose: len(pose.left_out))


def _drawn(scene: Scene, view: View, margin: tuple[float, float]) -> Pose:
    x0, y0, x1, y1 = extent_of(scene.motion, view)
    scale = (WIDTH - 2 * margin[0]) / max(x1 - x0, 1e-6)
    high = float(np.clip((y1 - y0) * scale + 2 * margin[1], LOWEST, HIGHEST))
    inches = (WIDTH / POINTS, high / POINTS)
    figure = Figure(figsize=inches, dpi=POINTS)
    FigureCanvasAgg(figure)
    ((_, ax),) = view_axes(
        figure,
        scene.motion,
        (0, 0, *inches),
        views=(view,),
        margin=(margin[0] / POINTS, margin[1] / POINTS),
    )
    pose = draw_layout(ax, scene.motion, 0, view, labels="words")
    _without_notes(pose)
    without_idle_arrows(pose)
    for text in pose.words.values():
        text.set_fontsize(LETTERS)
    place_names(pose, name_tags(pose, scene.motion, LETTERS, LINE_LETTERS))
    return pose


def _without_notes(pose: Pose) -> None:
    """Take away the view's name and its compass, which stand over it on the page."""
    for name in [*pose.fixed]:
        if name.startswith(("view ", "arrow ", "compass ")):
            pose.fixed.pop(name).remove()


def compass_words(view: View) -> str:
    """Return the clearest directions of the vehicle on a view, each with an arrow.

    >>> from linkage.drawing.views import view_along
    >>> from linkage.model import NAMED
    >>> compass_words(view_along(NAMED["across"]))
    'front →, up ↑'
    """
    said = []
    for word, way in view.compass():
        eighth = round(float(np.arctan2(way[1], way[0])) / (np.pi / 4)) % 8
        said.append(f"{word} {ARROWS[eighth]}")
    return ", ".join(said)


def _view(pose: Pose, stands: Mapping[str, WordPlace]) -> ViewScene:
    ax = pose.ax
    track = pose.track
    layout = track.motion.assembly.layout
    figure = figure_of(ax)
    height = float(figure.bbox.height)
    origin = ax.transData.transform((0.0, 0.0))
    scale = float(ax.transData.transform((1.0, 0.0))[0] - origin[0]) / 1e3
    pins = {hole: way * 1e3 for hole, way in track.arms.items()}
    return ViewScene(
        name=pose.view.name,
        compass=compass_words(pose.view),
        size=(float(figure.bbox.width), height),
        left_out=tuple(text.replace("\n", " ") for text in pose.left_out),
        scale=scale,
        origin=(float(origin[0]), float(height - origin[1])),
        shapes=tuple(_shapes(pose, height)),
        words=tuple(_words(pose, height)),
        pins=pins,
        parted=_parted(track),
        arms={
            hole: (_pair(root * 1e3), _ink(pose, "arm", hole), _ink(pose, "edge", hole))
            for hole, root in track.roots.items()
        },
        bands=_bands(layout, track.drums),
        joints={hole: _symbol(pose.moving[f"pin {hole}"], (0.0, 0.0)) for hole in pins},
        rods={
            name: (str(rod.start), str(rod.end)) for name, rod in layout.rods.items()
        },
        loose=track.loose,
        sprung=track.sprung,
        cables=track.cables,
        drums={h: (drum, track.turns[drum.shaft]) for h, drum in track.drums.items()},
        bars={hole: foot * 1e3 for hole, foot in track.feet.items()},
        word_places={n: (s, x * 1e3, y * 1e3) for n, (s, x, y) in stands.items()},
        springs={
            name: (
                f"{spring.shaft}.{spring.arm}",
                _pair(pose.view.project(np.array(spring.anchor, float)) * 1e3),
            )
            for name, spring in layout.springs.items()
            if spring.arm and spring.anchor is not None
        },
        pad=_pad(track),
    )


def _parted(track: Track) -> dict[str, tuple[str, FloatArray]]:
    """Return where rods end that their levers' stops keep from going on. [mm]."""
    out = {}
    for name, over in track.parted.items():
        hole = str(driven_hole(track.motion, name))
        way = np.where((over != 0)[:, None], track.pins[hole] * 1e3, np.nan)
        out[name] = (hole, way)
    return out


def _bands(
    layout: Layout, rims: Mapping[str, Drum]
) -> dict[str, tuple[str, float, str]]:
    """Return ink, width and dashes of the bands along arms. [pt]."""
    colours, bands = shaft_colours(layout), shaft_bands(layout)
    out: dict[str, tuple[str, float, str]] = {}
    for name, shaft in layout.shafts.items():
        band = bands[name]
        if band is not None:
            for arm in shaft.arms.values():
                share = drums.BAND if f"{name}.{arm.name}" in rims else 1
                look = band_look(band, colours[name][1], share)
                told = (_hex(look["color"]), float(look["linewidth"]), _dashes(look))
                out[f"{name}.{arm.name}"] = told
    return out


def _dashes(look: Mapping[str, Any]) -> str:
    """Return dashes as SVG writes them; those of drawings go with the line's width."""
    dashes = look["linestyle"]
    if isinstance(dashes, str):
        return ""
    return " ".join(f"{look['linewidth'] * part:.2f}" for part in dashes[1])


def _pair(point: FloatArray) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _ink(pose: Pose, part: str, hole: str) -> str:
    return _hex(pose.moving[f"{part} {hole}"].get_color())


def _hex(colour: Any) -> str:  # noqa: ANN401
    return to_hex(colour)


def _shapes(pose: Pose, height: float) -> list[Shape]:
    """Return what stands in a view."""
    moving = set(pose.moving.values())
    found = shaft_bands(pose.track.motion.assembly.layout)
    bands = {name: band for name, band in found.items() if band is not None}
    out = []
    for line in sorted(pose.ax.lines, key=lambda a: a.get_zorder()):
        if line in moving:
            continue
        name = str(line.get_gid() or "")
        look = {}
        if name.startswith("band shaft "):
            look = band_look(bands[name.removeprefix("band shaft ")], "", BAND)
        points = line.get_transform().transform(np.asarray(line.get_xydata()))
        points = np.column_stack([points[:, 0], height - points[:, 1]])
        if line.get_linestyle() != "None" and len(points) > 1:
            out.append(
                Shape(
                    name=name,
                    path="".join(map(_path, _pieces(points))),
                    stroke=_hex(line.get_color()),
                    fill="",
                    width=float(line.get_linewidth()),
                    dash=_dashes(look) if look else "",
                    order=float(line.get_zorder()),
                )
            )
        if line.get_marker() not in {"None", "", None}:
            out += [_symbol(line, _pair(point)) for point in points]
    return out


def _symbol(line: Line2D, at: tuple[float, float]) -> Shape:
    """Return the marker of a line, standing at a place on the page."""
    outlines = [Path(np.asarray(at) + one * [1, -1]) for one in symbol(line)]
    filled = MarkerStyle(line.get_marker(), line.get_fillstyle()).is_filled()
    return Shape(
        name=str(line.get_gid() or ""),
        path="".join(map(_path, outlines)),
        stroke=_hex(line.get_markeredgecolor()),
        fill=_hex(line.get_markerfacecolor()) if filled else "",
        width=float(line.get_markeredgewidth()),
        dash="",
        order=float(line.get_zorder()),
    )


def _pieces(points: FloatArray) -> list[Path]:
    """Return a line as paths, parted where a place of it is none."""
    gaps = np.flatnonzero(np.isnan(points[:, 0]))
    parts = np.split(points, gaps)
    return [Path(part[~np.isnan(part[:, 0])]) for part in parts]


def _path(path: Path) -> str:
    """Return a path as SVG writes it, curves as short straight pieces."""
    lines = (np.asarray(line) for line in path.to_polygons(closed_only=False))
    return "".join(
        "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in line.tolist()) for line in lines
    )


def _words(pose: Pose, height: float) -> list[Word]:
    moving = set(pose.words.values())
    out = []
    for text in pose.ax.texts:
        if text in moving or not text.get_text():
            continue
        x0, y0, x1, y1 = extent(text)
        out.append(
            Word(
                text=text.get_text(),
                x=float(x0 + x1) / 2,
                y=height - float(y0 + y1) / 2,
                size=float(text.get_fontsize()),
                colour=_hex(text.get_color()),
                near=_nearest(text, (x0, y0, x1, y1), height),
            )
        )
    return out


def _nearest(
    text: Text, box: tuple[float, float, float, float], height: float
) -> tuple[float, float]:
    """Return the place of a label's box nearest to its point, on the page."""
    x0, y0, x1, y1 = box
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    if isinstance(text, Annotation) and text.axes is not None:
        x, y = text.axes.transData.transform(text.xy)
    return float(np.clip(x, x0, x1)), height - float(np.clip(y, y0, y1))


def _pad(track: Track) -> FloatArray:
    """Return both ends of the pad's face; none of a governor. [mm]."""
    if track.motion.assembly.layout.governed:
        return np.empty((len(track.motion.pad_travel), 0))
    return np.hstack(track.pad) * 1e3
