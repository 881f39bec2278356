"""Where everything falls on a page's drawing, as plain data without a canvas.

Symbols, line styles and the places of words are those of the drawings: they
are taken from one that is made and never shown. Lengths on the page are in
points, x to the right and y down; positions stay in millimetres of the view.

Not here: how it is written (`markup`), the numbers (`scene`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_hex
from matplotlib.figure import Figure
from matplotlib.path import Path
from matplotlib.text import Text

from linkage.animation.room import name_tags, place_names, word_places
from linkage.animation.words import word_letters
from linkage.drawing import style
from linkage.drawing.layout import draw_layout, view_axes
from linkage.drawing.views import extent_of, set_out

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from matplotlib.lines import Line2D
    from numpy.typing import NDArray

    from linkage.animation.room import WordPlace
    from linkage.animation.scene import Scene
    from linkage.drawing.pose import Pose
    from linkage.drawing.views import View

    FloatArray = NDArray[np.float64]

#: Points an inch.
POINTS: Final = 72
#: Width and height of the field for one view, and for several. [in]
FIELDS: Final = {1: (6.4, 5.2), 2: (7.6, 5.4), 3: (8.6, 6.8)}
#: Room for words beside and above each view. [in]
MARGIN: Final = (0.75, 0.5)
#: Least height of the field. [in]
LOWEST: Final = 3.2
#: Of the words. [pt]
LETTERS: Final = 8.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A line or a symbol.

    Parameters
    ----------
    name : str
        As in `drawing.pose.Pose`.
    path : str
        As in the ``d`` of an SVG path. [pt]
    stroke : str
        Colour of the line, as ``#rrggbb``; empty for none.
    fill : str
        Colour inside; empty for none.
    width : float
        Of the line. [pt]
    dash : str
        Lengths of dashes and gaps; empty for a whole line. [pt]
    order : float
        What has more lies over what has less.
    """

    name: str
    path: str
    stroke: str
    fill: str
    width: float
    dash: str
    order: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """Words that stand.

    Parameters
    ----------
    text : str
        May have several lines.
    x, y : float
        Middle of the box. [pt]
    size : float
        Of the letters. [pt]
    colour : str
        As ``#rrggbb``.
    """

    text: str
    x: float
    y: float
    size: float
    colour: str


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class ViewScene:
    """One view of a layout through its travel.

    Parameters
    ----------
    name : str
        For example ``seen from the right``.
    scale : float
        Points on the page a millimetre of the layout. [pt/mm]
    origin : tuple of 2 floats
        Where the vehicle's datum falls on the page. [pt]
    shapes : tuple of Shape
        What stands.
    words : tuple of Word
        What stands.
    pins : mapping of str to ndarray, shape (n, 2)
        By hole: right and up on the view. [mm]
    arms : mapping of str to tuple
        By hole: foot on its shaft (right, up) [mm], fill and ink.
    joints : mapping of str to Shape
        By hole: the pin's symbol about the origin.
    rods : mapping of str to tuple of 2 str
        By rod: its two holes.
    word_places : mapping of str to tuple of 3 floats
        By rod: share along it, and right and up from there, of its word. [mm]
    springs : mapping of str to tuple
        By spring along a line: its hole, and the anchor (right, up). [mm]
    pad : ndarray, shape (n, 4)
        The two ends of the pad's face, right and up of each. [mm]
    """

    name: str
    scale: float
    origin: tuple[float, float]
    shapes: tuple[Shape, ...]
    words: tuple[Word, ...]
    pins: Mapping[str, FloatArray]
    arms: Mapping[str, tuple[tuple[float, float], str, str]]
    joints: Mapping[str, Shape]
    rods: Mapping[str, tuple[str, str]]
    word_places: Mapping[str, WordPlace]
    springs: Mapping[str, tuple[str, tuple[float, float]]]
    pad: FloatArray


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Field:
    """All views of a layout on one drawing.

    Parameters
    ----------
    size : tuple of 2 floats
        Width and height. [pt]
    views : tuple of ViewScene
        One or more, all to one scale.
    """

    size: tuple[float, float]
    views: tuple[ViewScene, ...]


def field(scene: Scene) -> Field:
    """Return where everything of a scene falls.

    Parameters
    ----------
    scene : Scene
        Over pad positions that rise.
    """
    views = scene.views
    wide, high = _size(scene, views)
    with style.drawing_style():
        figure = Figure(figsize=(wide, high), dpi=POINTS)
        FigureCanvasAgg(figure)
        poses = []
        for view, ax in view_axes(
            figure, scene.motion, (0, 0, wide, high), views=views, margin=MARGIN
        ):
            pose = draw_layout(ax, scene.motion, 0, view, labels="words")
            for text in pose.artists.values():
                if isinstance(text, Text):
                    text.set_fontsize(LETTERS)
            place_names(pose, name_tags(pose, scene.motion, LETTERS))
            poses.append(pose)
        stands = word_places(poses, word_letters(scene))
        out = [_view(p, high * POINTS, w) for p, w in zip(poses, stands, strict=True)]
    return Field(size=(wide * POINTS, high * POINTS), views=tuple(out))


def _size(scene: Scene, views: Sequence[View]) -> tuple[float, float]:
    """Return a field no higher than its width can fill. [in]."""
    wide, most = FIELDS[min(len(views), 3)]
    extents = [extent_of(scene.motion, view) for view in views]

    def scale(high: float) -> float:
        return set_out(views, extents, (0, 0, wide, high), MARGIN).scale

    best = scale(most)
    heights = np.arange(LOWEST, most, 0.1)
    return wide, next(
        (float(h) for h in heights if scale(float(h)) >= 0.99 * best), most
    )


def _view(pose: Pose, height: float, stands: Mapping[str, WordPlace]) -> ViewScene:
    ax = pose.ax
    track = pose.track
    layout = track.motion.assembly.layout
    moving = set(pose.moving.values())
    origin = ax.transData.transform((0.0, 0.0))
    scale = float(ax.transData.transform((1.0, 0.0))[0] - origin[0]) / 1e3
    pins = {hole: way * 1e3 for hole, way in track.pins.items()}
    return ViewScene(
        name=pose.view.name,
        scale=scale,
        origin=(float(origin[0]), float(height - origin[1])),
        shapes=tuple(_shapes((a for a in ax.lines if a not in moving), height)),
        words=tuple(_words(pose, height)),
        pins=pins,
        arms={
            hole: (_pair(root * 1e3), _ink(pose, "arm", hole), _ink(pose, "edge", hole))
            for hole, root in track.roots.items()
        },
        joints={hole: _symbol(pose.moving[f"pin {hole}"], (0.0, 0.0)) for hole in pins},
        rods={
            name: (str(rod.start), str(rod.end)) for name, rod in layout.rods.items()
        },
        word_places={n: (s, x * 1e3, y * 1e3) for n, (s, x, y) in stands.items()},
        springs={
            name: (
                f"{spring.shaft}.{spring.arm}",
                _pair(pose.view.project(np.array(spring.anchor, float)) * 1e3),
            )
            for name, spring in layout.springs.items()
            if spring.arm and spring.anchor is not None
        },
        pad=np.hstack(track.pad) * 1e3,
    )


def _pair(point: FloatArray) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _ink(pose: Pose, part: str, hole: str) -> str:
    return _hex(pose.moving[f"{part} {hole}"].get_color())


def _hex(colour: Any) -> str:  # noqa: ANN401
    return to_hex(colour)


def _shapes(lines: Iterable[Line2D], height: float) -> list[Shape]:
    out = []
    for line in sorted(lines, key=lambda a: a.get_zorder()):
        points = line.get_transform().transform(np.asarray(line.get_xydata()))
        points = np.column_stack([points[:, 0], height - points[:, 1]])
        if line.get_linestyle() != "None" and len(points) > 1:
            out.append(
                Shape(
                    name=str(line.get_gid() or ""),
                    path=_path(Path(points)),
                    stroke=_hex(line.get_color()),
                    fill="",
                    width=float(line.get_linewidth()),
                    dash="",
                    order=float(line.get_zorder()),
                )
            )
        if line.get_marker() not in {"None", "", None}:
            out += [_symbol(line, _pair(point)) for point in points]
    return out


def _symbol(line: Line2D, at: tuple[float, float]) -> Shape:
    """Return the marker of a line, standing at a place on the page."""
    marker = line.get_marker()
    if isinstance(marker, Path):
        outline = marker
        half = np.abs(np.asarray(outline.vertices)).max()
    else:
        outline, half = Path.unit_circle(), 1.0
    points = np.asarray(outline.vertices) / half * float(line.get_markersize()) / 2
    points = np.asarray(at) + points * [1, -1]
    filled = line.get_fillstyle() != "none"
    return Shape(
        name=str(line.get_gid() or ""),
        path=_path(Path(points, outline.codes)),
        stroke=_hex(line.get_markeredgecolor()),
        fill=_hex(line.get_markerfacecolor()) if filled else "",
        width=float(line.get_markeredgewidth()),
        dash="",
        order=float(line.get_zorder()),
    )


def _path(path: Path) -> str:
    """Return a path as SVG writes it, curves as short straight pieces."""
    lines = (np.asarray(line) for line in path.to_polygons(closed_only=False))
    return "".join(
        "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in line.tolist()) for line in lines
    )


def _words(pose: Pose, height: float) -> list[Word]:
    figure = pose.ax.get_figure(root=True)
    assert figure is not None  # noqa: S101 - drawn axes stand on a figure
    renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
    moving = set(pose.words.values())
    out = []
    for text in pose.ax.texts:
        if text in moving or not text.get_text():
            continue
        x0, y0, x1, y1 = Text.get_window_extent(text, renderer).extents
        out.append(
            Word(
                text=text.get_text(),
                x=float(x0 + x1) / 2,
                y=height - float(y0 + y1) / 2,
                size=float(text.get_fontsize()),
                colour=_hex(text.get_color()),
            )
        )
    return out
