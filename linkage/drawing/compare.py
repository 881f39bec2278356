"""Two layouts beside each other, what turned the sense round marked, and both curves.

A mark is a ring with a number and a word beside it, so that it tells the same in
black and white.

Not here: one layout (`layout`), the curves (`curve`), which part it is (`comparison`).
"""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing import style
from linkage.drawing.canvas import points_per_metre
from linkage.drawing.curve import draw_curve
from linkage.drawing.curve_labels import length_word, name_curves
from linkage.drawing.keys import write_keys
from linkage.drawing.label import Label
from linkage.drawing.layout import draw_layout, travel_motion
from linkage.drawing.track import track
from linkage.drawing.view_notes import draw_bar
from linkage.drawing.views import extent_of, views_needed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from linkage.drawing.style import Paper
    from linkage.drawing.views import View
    from linkage.model import Layout
    from linkage.model.refs import Ref
    from linkage.motion import Assembly, Motion, Working
    from linkage.motion.curve import TravelCurve

    FloatArray = NDArray[np.float64]

#: Size of a mark's ring about an arm's hole, and about a spindle or a pad. [pt]
RING: Final = 22.0
WIDE: Final = 38.0
#: Height of what stands under the two drawings, and of what stands over them. [in]
FOOT: Final = 2.55
HEAD: Final = 1.0
#: Room for labels beside and above a drawing. [in]
MARGIN: Final = (0.95, 0.72)
#: Signs a line of the text under the drawings holds, and most lines of it.
LINE: Final = 72
LINES: Final = 13


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Drawn:
    """One of the two layouts as it is drawn.

    Parameters
    ----------
    heading : str
        Over its drawing.
    assembly : Assembly
        The layout put together.
    working : Working
        Its stops.
    curve : TravelCurve
        Of its main throttle.
    words : tuple of str
        Beside each mark.
    """

    heading: str
    assembly: Assembly
    working: Working
    curve: TravelCurve
    words: tuple[str, ...]


def compare_figure(
    old: Drawn,
    new: Drawn,
    marked: Sequence[Ref],
    *,
    text: str,
    paper: Paper | None = None,
    banner: str | None = None,
) -> Figure:
    """Return a figure of both layouts to one scale, their curves laid over each other.

    Parameters
    ----------
    old, new : Drawn
        The linkage that worked, and the one that is to be.
    marked : sequence of Ref
        Arms, throttles or the pedal that turn the sense round, the first first.
    text : str
        What turned round, and what mends it.
    paper : {"a4", "letter"}, optional
        Lying; None gives a size for the screen.
    banner : str, optional
        The reason not to fit the new one, printed large.
    """
    with style.still_style():
        figure = style.new_figure(paper or "a4")
        width, height = figure.get_size_inches()
        style.notes(figure, title="The old linkage and the new one", banner=banner)
        view = _view(new.assembly.layout, marked)
        sides = [(s, travel_motion(s.assembly, s.working)[0]) for s in (old, new)]
        field = (width / 2 - 0.3, height - FOOT - HEAD)
        scale = min(_scale(motion, view, field) for _, motion in sides)
        drawn = []
        for i, (side, motion) in enumerate(sides):
            left = 0.2 + i * (width / 2 - 0.1)
            ax = _field(figure, motion, view, (left, FOOT, *field), scale)
            figure.text(
                (left + 0.05) / width,
                (height - HEAD + 0.06) / height,
                "\n".join(textwrap.wrap(side.heading, 70)[:2]),
                fontsize=9,
                fontweight="bold",
                va="bottom",
                gid=f"heading {i}",
            )
            if i == 0:
                draw_bar(ax, length_word(None))
            pose = draw_layout(
                ax,
                motion,
                0,
                view,
                ghost=len(motion.pad_travel) - 1,
                labels="senses",
                more=_mark(ax, motion, view, marked, side.words),
            )
            drawn.append(pose)
        write_keys(figure, drawn)
        lines = textwrap.wrap(text, LINE)
        figure.text(
            0.03,
            (FOOT - 0.1) / height,
            "\n".join(lines[:LINES] + ["…"] * (len(lines) > LINES)),
            fontsize=8.5,
            va="top",
            gid="what turned round",
        )
        curve_ax = figure.add_axes(
            (0.56, 0.68 / height, 0.375, (FOOT - 1.05) / height), gid="curves"
        )
        _curves(curve_ax, old.curve, new.curve)
    return figure


def _view(layout: Layout, marked: Sequence[Ref]) -> View:
    """Return the view in which what is marked first is seen square on."""
    views = views_needed(layout)
    for ref in marked:
        name = layout.throttles[ref.name].shaft if ref.kind == "throttle" else ref.name
        for view in views:
            if name in layout.shafts and view.facing(layout.shafts[name]):
                return view
    return max(
        views, key=lambda v: sum(bool(v.facing(s)) for s in layout.shafts.values())
    )


def _scale(motion: Motion, view: View, field: tuple[float, float]) -> float:
    """Return the greatest scale at which a layout goes into a field. [in/m]."""
    x0, y0, x1, y1 = extent_of(motion, view)
    return min(
        (field[0] - 2 * MARGIN[0]) / max(x1 - x0, 1e-3),
        (field[1] - 2 * MARGIN[1]) / max(y1 - y0, 1e-3),
    )


def _field(
    figure: Figure,
    motion: Motion,
    view: View,
    box: tuple[float, float, float, float],
    scale: float,
) -> Axes:
    width, height = figure.get_size_inches()
    ax = figure.add_axes(
        (box[0] / width, box[1] / height, box[2] / width, box[3] / height)
    )
    x0, y0, x1, y1 = extent_of(motion, view)
    half_x, half_y = box[2] / scale / 2, box[3] / scale / 2
    ax.set_axis_off()
    ax.set_aspect("equal")
    ax.set_xlim((x0 + x1) / 2 - half_x, (x0 + x1) / 2 + half_x)
    ax.set_ylim((y0 + y1) / 2 - half_y, (y0 + y1) / 2 + half_y)
    return ax


def place_of(motion: Motion, view: View, ref: Ref) -> FloatArray | None:
    """Return where a part stands on a view at rest; None where it is not there.

    Parameters
    ----------
    motion : Motion
        The working travel.
    view : View
        On which it is seen.
    ref : Ref
        An arm, by its hole; a throttle, by its spindle; the pedal, by its pad.
    """
    layout = motion.assembly.layout
    pins = track(motion, view).pins
    hole = str(ref)
    if ref.kind == "pedal":
        hole = f"{layout.pedal.shaft}.{layout.pedal.pad}"
    if ref.kind == "throttle":
        throttle = layout.throttles.get(ref.name)
        if throttle is None:
            return None
        pivot = np.array(layout.shafts[throttle.shaft].pivot, float)
        return view.project(pivot)
    return pins[hole][0] if hole in pins else None


def _mark(
    ax: Axes, motion: Motion, view: View, marked: Sequence[Ref], words: Sequence[str]
) -> list[Label]:
    """Ring what turns the sense round, and return what is said beside each ring."""
    tags = []
    for i, (ref, word) in enumerate(zip(marked, words, strict=True)):
        at = place_of(motion, view, ref)
        if at is None:
            continue
        size = RING if ref.kind == "arm" else WIDE
        ax.plot(
            [at[0]],
            [at[1]],
            marker="o",
            markersize=size,
            markerfacecolor="none",
            markeredgecolor=style.VERMILION,
            markeredgewidth=2.4,
            linestyle="none",
            zorder=9,
            gid=f"mark {i + 1}",
            scalex=False,
            scaley=False,
        )
        angles = np.linspace(0, 2 * np.pi, 24, endpoint=False)
        ring = size / 2 / points_per_metre(ax)
        around = at + ring * np.column_stack([np.cos(angles), np.sin(angles)])
        places = [(float(x), float(y)) for x, y in around]
        tags.append(
            Label(
                text=f"{i + 1}: {word}",
                at=places[0],
                also=tuple(places[1:]),
                owners=(f"mark {i + 1}",),
                style={
                    "fontsize": 8.5,
                    "fontweight": "bold",
                    "color": style.BLACK,
                    "bbox": {
                        "boxstyle": "round,pad=0.2",
                        "fc": "white",
                        "ec": style.VERMILION,
                    },
                    "gid": f"mark word {i + 1}",
                },
            )
        )
    return tags


def _curves(ax: Axes, old: TravelCurve, new: TravelCurve) -> None:
    """Draw both curves over each other, each with its name at it."""
    art = draw_curve(ax, [("old", old), ("NEW", new)], labels=False)
    further = [a for a in art.marks if str(a.get_gid()).startswith("starts ")]
    for line in (*art.area_lines, *art.other_lines, *art.asked_lines, *further):
        line.remove()
    for scale in (ax, *ax.child_axes):
        if "open area" in scale.get_ylabel():
            scale.set_ylabel("throttle share [%]")
    words = zip(art.lines, ("old", "NEW"), (0, 1), strict=True)
    name_curves(ax, [(line, name, style.look(i).colour) for line, name, i in words])
