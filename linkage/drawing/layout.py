"""A layout as a picture: the views it needs, to scale, at one pedal position.

Not here: the moving parts (`pose`), those that stand (`fixed`), the words
(`layout_labels`), name, compass and scale of a view (`view_notes`), where views
stand on the paper (`views`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing import style
from linkage.drawing.canvas import points_per_metre
from linkage.drawing.curve_labels import length_word
from linkage.drawing.fixed import draw_fixed, stop_places
from linkage.drawing.ghost import draw_ghost
from linkage.drawing.included import draw_included
from linkage.drawing.keys import write_keys
from linkage.drawing.layout_labels import Sizes, layout_tags
from linkage.drawing.lettering import board_of, letter
from linkage.drawing.obstacles import draw_obstacles
from linkage.drawing.plate import PLATE, draw_plates, plates_size
from linkage.drawing.pose import Pose, draw_pose
from linkage.drawing.position import position_words
from linkage.drawing.sheaths import draw_sheaths
from linkage.drawing.swept import draw_swept
from linkage.drawing.view_notes import draw_bar, draw_name, foot_of_notes
from linkage.drawing.views import extent_of, set_out, share_of, views_needed
from linkage.drawing.words import as_written
from linkage.motion import sweep_clear

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from linkage.drawing.curve_labels import LengthUnit
    from linkage.drawing.label import Label
    from linkage.drawing.style import Paper
    from linkage.drawing.view_notes import Labels
    from linkage.drawing.views import View
    from linkage.model import Layout
    from linkage.motion import Assembly, Motion, Working

    FloatArray = NDArray[np.float64]

#: Times a figure is drawn to find room for a list at its foot, and the most of its
#: height that this may take.
TRIES: Final = 5
MOST: Final = 0.45
#: Positions over the working travel that are followed.
POSITIONS: Final = 61


@as_written
def draw_layout(  # noqa: PLR0913 - the last four say how, not what
    ax: Axes,
    motion: Motion,
    index: int,
    view: View,
    *,
    ghost: int | None = None,
    labels: Labels = "sizes",
    more: Sequence[Label] = (),
    length_unit: LengthUnit | None = None,
    swept: bool = False,
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
    labels : {"sizes", "senses", "words", "none"}
        ``sizes`` places every label for this one position, ``senses`` those of
        shafts and rods without their sizes; ``words`` are those of the rods alone
        and follow `Pose.update`.
    more : sequence of Label
        Further labels, placed before ``sizes`` or ``senses``.
    length_unit : {"mm", "in"}, optional
        Of the sizes; None takes that of the file.
    swept : bool
        Whether what every part sweeps is drawn too, and where it comes nearest to an
        obstacle.

    Returns
    -------
    Pose
        Its `artists` by name; `update` moves them.
    """
    fixed = draw_fixed(ax, motion, view)
    fixed |= draw_sheaths(ax, motion.assembly.layout, view)
    head = foot_of_notes(2 if labels == "sizes" else 0)
    fixed |= draw_obstacles(ax, motion, view, head, swept=swept)
    if swept:
        draw_swept(ax, motion, view)
    if ghost is not None:
        fixed |= draw_ghost(ax, motion, ghost, view)
    pose = draw_pose(ax, motion, index, view, words=labels == "words")
    pose.fixed.update(fixed)
    pose.swept = swept
    draw_name(ax, view, pose, labels)
    if labels not in {"sizes", "senses"}:
        return pose
    sizes, stops = None, None
    if labels == "sizes":
        pose.fixed.update(draw_included(pose))
        sizes = Sizes(unit=length_word(length_unit))
        stops = stop_places(motion, view, points_per_metre(ax))
    pose.board = board_of(ax)
    tags = [*more, *layout_tags(pose, motion, sizes, stops)]
    placed, left_out = letter(pose.board, tags)
    pose.fixed.update({f"label {label.get_text()}": label for label in placed})
    pose.without.extend(tag for tag in left_out if not tag.optional)
    pose.said.update(said for tag in tags if tag not in left_out for said in tag.says)
    return pose


def _not_in_view(layout: Layout, poses: Sequence[Pose]) -> str:
    """Return which obstacles no view shows, as words for the head; none where all are."""
    drawn = {str(line.get_gid()) for pose in poses for line in pose.ax.lines}
    away = [name for name in layout.obstacles if f"obstacle {name}" not in drawn]
    return f"; not in view: {', '.join(away)}" if away else ""


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
    margin: tuple[float, float] = (0.95, 0.72),
    shares: Sequence[float] | None = None,
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
    shares : sequence of float, optional
        Of each view in the room that is left over; None for the same for each.
    """
    if views is None:
        views = views_needed(motion.assembly.layout)
    sheet = set_out(views, [extent_of(motion, v) for v in views], room, margin, shares)
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
    """Return the axes of the views and the room for plates.

    That is the corner which three views leave, else a column or a row, whichever
    leaves more to the drawing.
    """
    left, low, width, height = room
    layout = motion.assembly.layout
    shares = [share_of(layout, view) for view in views]
    many = len(layout.plates)
    if [v.axis.name for v in views] == ["across", "along", "upright"]:
        axes = view_axes(figure, motion, room, views=views, shares=shares)
        corner = _corner(figure, axes, low + height)
        if plates_size(many, (corner[2], corner[3])) is not None:
            return axes, corner
        for _, ax in axes:
            ax.remove()
    wide, high = _beside(many, height), _under(many, width)
    rooms = [
        ((left, low, width - wide, height), (left + width - wide, low, wide, height)),
        ((left, low + high, width, height - high), (left, low, width, high)),
    ]
    extents = [extent_of(motion, view) for view in views]
    scales = [set_out(views, extents, one).scale for one, _ in rooms]
    one, other = rooms[int(scales[1] > 1.2 * scales[0])]
    return view_axes(figure, motion, one, views=views, shares=shares), other


def _beside(many: int, height: float) -> float:
    """Return the width of a column, or of columns, of plates. [in]."""
    return PLATE[0] * -(-many // max(int(height / PLATE[1]), 1))


def _under(many: int, width: float) -> float:
    """Return the height of a row, or of rows, of plates. [in]."""
    return PLATE[1] * -(-many // max(int(width / PLATE[0]), 1))


def _corner(
    figure: Figure, axes: Sequence[tuple[View, Axes]], top: float
) -> tuple[float, float, float, float]:
    """Return the room beside the view from above, over that from behind. [in]."""
    size = figure.get_size_inches()
    behind, above = (axes[i][1].get_position() for i in (1, 2))
    bottom = above.y0 * size[1]
    return behind.x0 * size[0], bottom, behind.width * size[0], top - bottom


def layout_figure(  # noqa: PLR0913 - the last eight say how, not what
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
    swept: bool = False,
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
    swept : bool
        Whether what every part sweeps is drawn too.
    """
    length_unit = length_word(length_unit)
    shares = (share,) if ghost is None or ghost == share else (share, ghost)
    motion, indices = travel_motion(assembly, working, shares)
    shown = indices[0]
    needed = views_needed(assembly.layout)
    pale = indices[1] if len(indices) > 1 else None
    layout = assembly.layout
    words = position_words(layout, working, share, length_unit)
    if pale is not None and ghost is not None:
        words += f"; in grey: {position_words(layout, working, ghost, length_unit)}"
    words += "; pale: all that it sweeps" * swept
    words += f"; {note}" if note else ""
    with style.still_style():
        figure = style.new_figure(paper)
        width, height = figure.get_size_inches()
        head = 1.05 if banner else 0.65
        foot = 0.0
        for left in reversed(range(TRIES)):
            figure.clear()
            style.notes(figure, title=assembly.layout.title, banner=banner, below=words)
            room = (0.3, 0.38 + foot, width - 0.6, height - head - 0.38 - foot)
            drawn, side = _fields(figure, motion, room, views or needed)
            draw_bar(drawn[0][1], length_unit)
            poses = [
                draw_layout(
                    ax,
                    motion,
                    shown,
                    view,
                    ghost=pale,
                    length_unit=length_unit,
                    swept=swept,
                )
                for view, ax in drawn
            ]
            draw_plates(figure, motion, shown, side, ghost=pale)
            away = _not_in_view(layout, poses)
            if away and away not in words:
                words += away
                continue
            taken = write_keys(figure, poses, foot, last=not left)
            if taken <= foot:
                break
            foot = min(taken, MOST * height)
    return figure
