"""The parts of a view that stand still: pivots, bearings, stops, anchors, arrows.

Not here: the moving parts (`pose`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.drawing import style, symbols
from linkage.drawing.canvas import points_per_metre
from linkage.drawing.colours import band_look, shaft_bands, shaft_colours
from linkage.drawing.guides import guide_line
from linkage.drawing.layout_labels import STILL
from linkage.drawing.views import shaft_line
from linkage.model import Slide

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.path import Path
    from matplotlib.text import Text
    from numpy.typing import NDArray

    from linkage.drawing.views import View
    from linkage.model import Layout, Shaft
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]


def _mark(
    ax: Axes, name: str, at: FloatArray, path: Path | str, size: float, **look: object
) -> Line2D:
    settings: dict[str, Any] = {
        "color": style.BLACK,
        "markeredgewidth": 0.9,
        "fillstyle": "none",
        "linestyle": "none",
        "zorder": 3,
        **look,
    }
    (line,) = ax.plot(
        [at[0]],
        [at[1]],
        marker=path,
        markersize=size,
        gid=name,
        scalex=False,
        scaley=False,
        **settings,
    )
    return line


def draw_fixed(ax: Axes, motion: Motion, view: View) -> dict[str, Line2D | Text]:
    """Draw what stands still on a view.

    Parameters
    ----------
    ax : Axes
        With its limits set.
    motion : Motion
        The whole working travel, for the turn arrows.
    view : View
        On which it is seen.

    Returns
    -------
    dict
        ``guide SLIDE``, ``pivot SHAFT``, ``shaft SHAFT``, ``bearing SHAFT``, ``turn SHAFT``,
        ``anchor SPRING``, ``torsion SPRING``, ``stop NAME``, ``band shaft SHAFT``.
    """
    layout = motion.assembly.layout
    fixed: dict[str, Line2D | Text] = {}
    for shaft in layout.shafts.values():
        pivot = view.project(np.array(shaft.pivot, float))
        facing = view.facing(shaft)
        if isinstance(shaft, Slide):
            fixed[f"guide {shaft.name}"] = _guide(ax, shaft, view)
        elif facing:
            fixed |= _pivot(ax, motion, shaft, pivot, facing)
        else:
            fixed |= _shaft_from_side(ax, layout, shaft, pivot, view)
    for name, spring in layout.springs.items():
        if spring.anchor is not None:
            at = view.project(np.array(spring.anchor, float))
            fixed[f"anchor {name}"] = _mark(
                ax, f"anchor {name}", at, symbols.ground(), 14
            )
        elif not spring.arm and view.facing(layout.shafts[spring.shaft]):
            at = view.project(np.array(layout.shafts[spring.shaft].pivot, float))
            fixed[f"torsion {name}"] = _mark(
                ax, f"torsion {name}", at, symbols.spiral(), 19, zorder=5.5
            )
    for name, (at, out) in stop_places(motion, view, points_per_metre(ax)).items():
        angle = float(np.arctan2(out[1], out[0]))
        fixed[f"stop {name}"] = _mark(
            ax, f"stop {name}", at, symbols.stop(angle), symbols.STOP_SIZE
        )
    return fixed


def _pivot(
    ax: Axes, motion: Motion, shaft: Shaft, pivot: FloatArray, facing: int
) -> dict[str, Line2D | Text]:
    name = shaft.name
    ink = shaft_colours(motion.assembly.layout)[name][1]
    out: dict[str, Line2D | Text] = {
        f"ground {name}": _mark(
            ax, f"ground {name}", pivot, symbols.ground(), symbols.GROUND_SIZE
        ),
        f"pivot {name}": _mark(
            ax,
            f"pivot {name}",
            pivot,
            "o",
            8.5,
            fillstyle="full",
            markerfacecolor="white",
            zorder=6,
        ),
    }
    turns = motion.turns[name]
    turns = turns[np.isfinite(turns)] * facing
    sense = (
        int(np.sign(turns[-1] - turns[0])) if abs(turns[-1] - turns[0]) > STILL else 0
    )
    if sense:
        out[f"turn {name}"] = _mark(
            ax,
            f"turn {name}",
            pivot,
            symbols.turn_arrow(sense),
            symbols.TURN_SIZE,
            color=ink,
            markeredgewidth=1.1,
            zorder=3.5,
        )
    return out


def _guide(ax: Axes, slide: Slide, view: View) -> Line2D:
    """Draw the guide of a slide."""
    points = guide_line(slide, view, 1 / points_per_metre(ax))
    look: Any = {"scalex": False, "scaley": False, "solid_capstyle": "butt"}
    (line,) = ax.plot(
        points[:, 0],
        points[:, 1],
        color=style.BLACK,
        linewidth=1.0,
        zorder=4.4,
        gid=f"guide {slide.name}",
        **look,
    )
    return line


def _shaft_from_side(
    ax: Axes, layout: Layout, shaft: Shaft, pivot: FloatArray, view: View
) -> dict[str, Line2D | Text]:
    name = shaft.name
    fill, ink = shaft_colours(layout)[name]
    ends = view.project(shaft_line(shaft))
    along = ends[1] - ends[0]
    angle = float(np.arctan2(along[1], along[0]))
    edge: Any = {"scalex": False, "scaley": False, "solid_capstyle": "butt"}
    ax.plot(
        ends[:, 0],
        ends[:, 1],
        color=ink,
        linewidth=5.4,
        zorder=3.2,
        gid=f"edge of shaft {name}",
        **edge,
    )
    (body,) = ax.plot(
        ends[:, 0],
        ends[:, 1],
        color=fill,
        linewidth=3.6,
        zorder=3.3,
        gid=f"shaft {name}",
        **edge,
    )
    out: dict[str, Line2D | Text] = {}
    band = shaft_bands(layout)[name]
    if band is not None:
        look: Any = {**edge, **band_look(band, ink, 0.75), "gid": f"band shaft {name}"}
        (out[f"band shaft {name}"],) = ax.plot(*ends.T, zorder=3.4, **look)
    return {
        **out,
        f"shaft {name}": body,
        f"bearing {name}": _mark(
            ax, f"bearing {name}", pivot, symbols.bearing(angle), symbols.BEARING_SIZE
        ),
    }


def _own_end(layout: Layout) -> str:
    """Return what stops the end that drives."""
    if layout.governed:
        return "governor's own end"
    return layout.pedal.end_name if layout.foot is None else "hand lever's own end"


def stop_places(
    motion: Motion, view: View, scale: float
) -> dict[str, tuple[FloatArray, FloatArray]]:
    """Return where stops stand on a view and which way their faces look.

    Parameters
    ----------
    motion : Motion
        Of the layout.
    view : View
        Stops of shafts that are not seen square on are left out.
    scale : float
        Printed points a metre, as arms have their width on paper. [pt/m]

    Returns
    -------
    dict of str to (ndarray, ndarray)
        By name: place [m] and direction toward the arm, each shape (2,).
    """
    layout = motion.assembly.layout
    pedal = layout.pedal
    wanted: list[tuple[str, str, str, float, int, float]] = [
        (
            _own_end(layout),
            pedal.shaft,
            pedal.pad,
            pedal.presses * pedal.end / layout.pad_radius,
            pedal.presses,
            1.0,
        )
    ]
    arms = {link.driven.shaft: link.driven.arm for link in layout.links}
    ends = ("idle stop", "full stop")
    if layout.governed:  # it is driven from the one to the other
        ends = ends[::-1]
    for name, throttle in layout.throttles.items():
        arm = arms.get(throttle.shaft, pedal.pad)
        wanted.append(
            (f"{ends[0]} of {name}", throttle.shaft, arm, 0.0, -throttle.opens, 0.62)
        )
        wanted.append(
            (
                f"{ends[1]} of {name}",
                throttle.shaft,
                arm,
                throttle.opens * throttle.swing,
                throttle.opens,
                0.62,
            )
        )
    for name, stop in layout.stops.items():
        arm = arms.get(stop.shaft, pedal.pad)
        sense = 1 if stop.turn >= 0 else -1
        wanted.append((f"stop {name}", stop.shaft, arm, stop.turn, sense, 0.62))
    out = {}
    for name, shaft_name, arm, turn, sense, share in wanted:
        shaft = layout.shafts[shaft_name]
        if view.facing(shaft):
            out[name] = _stop_at(shaft, arm, (turn, sense, share), view, scale)
    return out


def _stop_at(
    shaft: Shaft,
    arm: str,
    where: tuple[float, int, float],
    view: View,
    scale: float,
) -> tuple[FloatArray, FloatArray]:
    turn, sense, share = where
    if shaft.slides:
        ahead = sense * np.array(shaft.axis.n, float)
        at, way = (view.project(v) for v in (np.array(shaft.pin(arm, turn)), ahead))
        return at + way * 4.0 / scale, -way
    normal = np.array(shaft.axis.n, float)
    foot = np.array(shaft.centre(arm))
    radial = np.array(shaft.pin(arm, turn)) - foot
    ahead = sense * np.cross(normal, radial) / shaft.arms[arm].length
    at = view.project(foot + share * radial)
    way = view.project(ahead)
    return at + way * 4.0 / scale, -way
