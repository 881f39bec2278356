"""A layout as a picture: the views it needs, to scale, at one pedal position.

Not here: the moving parts (`pose`), those that stand (`fixed`), the words
(`layout_labels`), name, compass and scale of a view (`view_notes`), where views
stand on the paper (`views`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from matplotlib.text import Text

from linkage.drawing import style
from linkage.drawing.curve_labels import length_word
from linkage.drawing.fixed import draw_fixed, stop_tags
from linkage.drawing.ghost import draw_ghost
from linkage.drawing.labels import Placer, Tag, points_per_metre
from linkage.drawing.layout_labels import (
    Sizes,
    layout_tags,
    shaft_tags,
)
from linkage.drawing.plate import draw_plates
from linkage.drawing.pose import Pose, draw_pose
from linkage.drawing.symbols import TURN_SIZE
from linkage.drawing.view_notes import draw_bar, draw_name
from linkage.drawing.views import extent_of, set_out, views_needed
from linkage.drawing.words import as_written
from linkage.motion import sweep_clear

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from linkage.drawing.curve_labels import LengthUnit
    from linkage.drawing.style import Paper
    from linkage.drawing.view_notes import Labels
    from linkage.drawing.views import View
    from linkage.motion import Assembly, Motion, Working

    FloatArray = NDArray[np.float64]

#: Positions over the working travel that are followed.
POSITIONS: Final = 61
#: Width of the column of plate insets. [in]
INSET: Final = 1.75


@as_written
def draw_layout(  # noqa: PLR0913 - the last three say how, not what
    ax: Axes,
    motion: Motion,
    index: int,
    view: View,
    *,
    ghost: int | None = None,
    labels: Labels = "sizes",
    length_unit: LengthUnit | None = None,
) -> Pose:
    """Draw one view of a layout.

    Parameters
    ----------
    ax : Axes
        Its place on the figure and its limits must be settled, with equal
        aspect, as symbols and labels have their size on paper; see `view_axes`.
    motion : Motion
        The working travel, pad positions rising.
    index : int
        The position shown.
    view : View
        From `views_needed`.
    ghost : int, optional
        Another position, in light grey.
    labels : {"sizes", "names", "words", "none"}
        ``sizes`` places every label for this one position; ``names`` are short
        and follow `Pose.update`; ``words`` are those of the rods alone.
    length_unit : {"mm", "in"}, optional
        Of the sizes; None takes that of the file.

    Returns
    -------
    Pose
        Its `artists` by name; `update` moves them.
    """
    fixed = draw_fixed(ax, motion, view)
    if ghost is not None:
        fixed |= draw_ghost(ax, motion, ghost, view)
    pose = draw_pose(ax, motion, index, view, words=labels in {"names", "words"})
    pose.fixed.update(fixed)
    draw_name(ax, view, pose, labels)
    if labels == "sizes":
        tags = layout_tags(pose, motion, Sizes(unit=length_word(length_unit)))
        _label(pose, tags + stop_tags(motion, view, points_per_metre(ax)))
    elif labels == "names":
        _label(pose, shaft_tags(pose, motion))
    return pose


def keep_off(placer: Placer, pose: Pose) -> None:
    """Tell a placer what is drawn already."""
    widths = {"arm": 8.0, "rod": 3.0, "spring": 2.0, "pad": 6.0}
    for name, line in pose.moving.items():
        kind = name.partition(" ")[0]
        if kind in widths:
            placer.avoid(np.asarray(line.get_xydata()), widths[kind])
    sizes = {
        "pivot": 24.0,
        "bearing": 14.0,
        "anchor": 14.0,
        "stop": 14.0,
        "torsion": 18.0,
    }
    for name, artist in pose.fixed.items():
        kind = name.partition(" ")[0]
        if isinstance(artist, Text):
            continue
        if kind in {"arrow", "shaft", "ghost"}:
            placer.avoid(np.asarray(artist.get_xydata()), 5.0 if kind == "shaft" else 0)
        elif kind in sizes:
            placer.avoid_points(np.asarray(artist.get_xydata()), sizes[kind])
        elif kind == "turn":
            around = np.linspace(0, 2 * np.pi, 40)
            circle = np.column_stack([np.cos(around), np.sin(around)])
            radius = TURN_SIZE / 2 / points_per_metre(pose.ax)
            placer.avoid(np.asarray(artist.get_xydata()) + radius * circle)
    placer.avoid_text(text for text in pose.ax.texts if text.get_text())
    placer.avoid_points(np.array([way[pose.index] for way in pose.track.pins.values()]))


def _label(pose: Pose, tags: Sequence[Tag]) -> None:
    placer = Placer(pose.ax)
    keep_off(placer, pose)
    for label in placer.place(tags):
        pose.fixed[f"label {label.get_text()}"] = label
    pose.left_out.extend(tag.text for tag in placer.left_out)


def travel_motion(
    assembly: Assembly, working: Working, shares: tuple[float, ...] = ()
) -> tuple[Motion, tuple[int, ...]]:
    """Return the working travel, and where in it some shares of it stand.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its working travel.
    shares : tuple of float
        Of the working travel, 0 to 1; each becomes a position of its own.

    Returns
    -------
    motion : Motion
        Pad positions rising.
    indices : tuple of int
        One for each share.
    """
    wanted = np.clip(shares, 0.0, 1.0) * working.end
    travel = np.union1d(np.linspace(0.0, working.end, POSITIONS), wanted)
    motion = sweep_clear(assembly, travel)
    return motion, tuple(int(np.searchsorted(travel, pad)) for pad in wanted)


def view_axes(
    figure: Figure,
    motion: Motion,
    room: tuple[float, float, float, float],
    *,
    views: Sequence[View] | None = None,
    margin: tuple[float, float] = (0.85, 0.55),
) -> list[tuple[View, Axes]]:
    """Make the axes of every view a layout needs, all to one scale.

    Parameters
    ----------
    figure : Figure
        Where they are added.
    motion : Motion
        The whole travel, so that nothing leaves the field.
    room : tuple of 4 floats
        Left, bottom, width, height of the field. [in]
    views : sequence of View, optional
        None takes those in which some shaft is seen square on.
    margin : tuple of 2 floats
        Room for labels beside and above each view. [in]
    """
    if views is None:
        views = views_needed(motion.assembly.layout)
    sheet = set_out(views, [extent_of(motion, v) for v in views], room, margin)
    width, height = figure.get_size_inches()
    out = []
    for view, box, (left, right, low, high) in zip(
        views, sheet.boxes, sheet.limits, strict=True
    ):
        ax = figure.add_axes(
            (box[0] / width, box[1] / height, box[2] / width, box[3] / height),
            gid=view.name,
        )
        ax.set_axis_off()
        ax.set_aspect("equal")
        ax.set_xlim(left, right)
        ax.set_ylim(low, high)
        out.append((view, ax))
    return out


def _fields(
    figure: Figure,
    motion: Motion,
    room: tuple[float, float, float, float],
    views: Sequence[View],
) -> tuple[list[tuple[View, Axes]], tuple[float, float, float, float]]:
    """Return the axes of the views and the room for plates: a corner or a column."""
    left, low, width, height = room
    if [v.axis.name for v in views] != ["across", "along", "upright"]:
        axes = view_axes(
            figure, motion, (left, low, width - INSET, height), views=views
        )
        return axes, (left + width - INSET, low, INSET, height)
    axes = view_axes(figure, motion, room, views=views)
    size = figure.get_size_inches()
    behind, above = (axes[i][1].get_position() for i in (1, 2))
    bottom = above.y0 * size[1]
    corner = (
        behind.x0 * size[0],
        bottom,
        behind.width * size[0],
        low + height - bottom,
    )
    return axes, corner


def position_words(working: Working, share: float, length_unit: LengthUnit) -> str:
    """Return which position a picture shows.

    Parameters
    ----------
    working : Working
        The working travel.
    share : float
        Of it, 0 to 1.
    length_unit : {"mm", "in"}
        Of the pad travel.
    """
    pad = Sizes(unit=length_unit).say(share * working.end)
    if share <= 0:
        return "pedal up (idle)"
    if share >= 1:
        return f"pedal down: pad {pad}, stopped by {working.stopped_by}"
    return f"pad {pad}, {100 * share:.0f} % of the working travel"


def layout_figure(  # noqa: PLR0913 - the last seven say how, not what
    assembly: Assembly,
    working: Working,
    *,
    share: float = 0.0,
    ghost: float | None = 1.0,
    paper: Paper | None = "a4",
    length_unit: LengthUnit | None = None,
    banner: str | None = None,
    note: str = "",
    views: Sequence[View] | None = None,
) -> Figure:
    """Return a figure of a layout in the views it needs.

    Parameters
    ----------
    assembly : Assembly
        What is drawn.
    working : Working
        Its working travel.
    share : float
        Position shown, as a share of the working travel, 0 to 1.
    ghost : float, optional
        Another position, in light grey; None for none.
    paper : {"a4", "letter"}, optional
        Lying; None gives a size for the screen.
    length_unit : {"mm", "in"}, optional
        Of the sizes; None takes that of the file.
    banner : str, optional
        The reason not to fit, printed large.
    note : str
        What else is to be known of the verdict, printed small.
    views : sequence of View, optional
        Others than those in which some shaft is seen square on.
    """
    length_unit = length_word(length_unit)
    shares = (share,) if ghost is None or ghost == share else (share, ghost)
    motion, indices = travel_motion(assembly, working, shares)
    shown = indices[0]
    needed = views_needed(assembly.layout)
    pale = indices[1] if len(indices) > 1 else None
    with style.drawing_style():
        figure = style.new_figure(paper)
        width, height = figure.get_size_inches()
        head = 1.05 if banner else 0.65
        room = (0.3, 0.38, width - 0.6, height - head - 0.38)
        words = position_words(working, share, length_unit)
        if pale is not None and ghost is not None:
            words += f"; in grey: {position_words(working, ghost, length_unit)}"
        words += f"; {note}" if note else ""
        style.notes(figure, title=assembly.layout.title, banner=banner, below=words)
        drawn, side = _fields(figure, motion, room, views or needed)
        missing: list[str] = []
        for i, (view, ax) in enumerate(drawn):
            if i == 0:
                draw_bar(ax, length_unit)
            pose = draw_layout(
                ax, motion, shown, view, ghost=pale, length_unit=length_unit
            )
            missing += pose.left_out
        draw_plates(figure, motion, shown, side, ghost=pale)
        if missing:
            text = "no room for: " + "; ".join(m.replace("\n", " ") for m in missing)
            figure.text(0.03, 0.035, text, fontsize=6.5, gid="left out")
    return figure
