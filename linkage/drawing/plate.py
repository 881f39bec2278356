"""The throttle plate in its bore, seen along its spindle, as an inset.

How the bore stands in the vehicle is not measured, so it is drawn upright and
says so; sense and angle of the plate are those of the spindle's own viewer.

Not here: where the inset stands (`layout`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing import style
from linkage.drawing.drafts import wrapped
from linkage.drawing.held import BEYOND, held_words
from linkage.drawing.words import as_written
from linkage.motion.plate import area_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from matplotlib.text import Text
    from numpy.typing import NDArray

    from linkage.model import Layout, Throttle
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Width and height of an inset with its words, and the least of them. [in]
PLATE: Final = (1.75, 1.95)
LEAST: Final = (1.55, 1.45)
#: Spindle over bore where they are not given, for the drawing alone.
DRAWN_SPINDLE: Final = 0.16


@dataclass(slots=True, eq=False, kw_only=True)
class PlatePose:
    """A plate in its bore.

    Parameters
    ----------
    throttle : Throttle
        Whose plate it is.
    plate, ghost : Line2D
        The plate, and its other end of travel (no data where there is none).
    words : Text
        Angle, share of the swing and, with bore data, open area.
    """

    throttle: Throttle
    plate: Line2D
    ghost: Line2D
    words: Text

    def update(self, opening: float) -> None:
        """Show another angle.

        Parameters
        ----------
        opening : float
            From the idle stop, positive opening; beyond the stops the plate
            stays at them. [rad]
        """
        turn = float(np.clip(opening, 0.0, self.throttle.swing))
        self.plate.set_data(*plate_line(self.throttle, turn).T)
        self.words.set_text(plate_words(self.throttle, opening))


def plate_line(throttle: Throttle, turn: float) -> FloatArray:
    """Return the plate's two edges in bore radii, shape (2, 2)."""
    half = 1 / np.cos(throttle.closed_angle)
    angle = throttle.opens * (throttle.closed_angle + turn)
    end = half * np.array([np.cos(angle), np.sin(angle)])
    return np.array([-end, end])


def plate_words(throttle: Throttle, opening: float) -> str:
    """Return what is written under the plate."""
    turn = float(np.clip(opening, 0.0, throttle.swing)) + 0.0  # no minus nought
    lines = [f"{np.degrees(turn):.1f}° = {100 * turn / throttle.swing:.0f} % of swing"]
    area = area_of(throttle, turn)
    if area is not None:
        lines.append(f"open area {100 * float(area):.0f} %")
    held = held_words(opening - turn if abs(opening - turn) > BEYOND else 0.0)
    if held:
        lines.append(held)
    elif turn < np.radians(0.05):
        lines.append("on its idle stop")
    elif turn > throttle.swing - np.radians(0.05):
        lines.append("on its full stop")
    return "\n".join(lines)


@as_written
def draw_plate(
    ax: Axes,
    layout: Layout,
    throttle: Throttle,
    opening: float,
    *,
    ghost: float | None = None,
) -> PlatePose:
    """Draw a plate in its bore.

    Parameters
    ----------
    ax : Axes
        Taken whole; equal aspect is set.
    layout : Layout
        For the viewer of the spindle.
    throttle : Throttle
        A plate.
    opening : float
        From the idle stop. [rad]
    ghost : float, optional
        Another opening, in light grey. [rad]
    """
    ax.set_aspect("equal")
    ax.set_xlim(-1.6, 1.6)
    seen = layout.shafts[throttle.shaft].axis.seen_from
    over = [
        *wrapped(throttle.name)[:3],
        *wrapped(f"from {seen},"),
        "bore drawn upright",
    ]
    ax.set_ylim(-2.9, 1.45 + 0.45 * len(over))
    ax.set_axis_off()
    for side in (-1, 1):
        ax.fill_betweenx(
            [-1.3, 1.3],
            side * 1.0,
            side * 1.28,
            facecolor="white",
            edgecolor="0.35",
            hatch="////",
            linewidth=0,
        )
        ax.plot([side, side], [-1.3, 1.3], color=style.BLACK, linewidth=1.0)
    (pale,) = ax.plot([], [], color=style.PALE, linewidth=2.4, gid="ghost plate")
    if ghost is not None:
        pale.set_data(*plate_line(throttle, float(np.clip(ghost, 0, throttle.swing))).T)
    (plate,) = ax.plot(
        [], [], color=style.BLACK, linewidth=2.8, gid="plate", solid_capstyle="butt"
    )
    share = (
        throttle.spindle / throttle.bore
        if throttle.bore and throttle.spindle
        else DRAWN_SPINDLE
    )
    around = np.linspace(0, 2 * np.pi, 33)
    ax.fill(
        share * np.cos(around),
        share * np.sin(around),
        facecolor="white",
        edgecolor=style.BLACK,
        linewidth=1.0,
        zorder=5,
    )
    ax.text(
        0,
        1.42,
        "\n".join(over),
        ha="center",
        va="bottom",
        fontsize=7,
        gid="plate name",
    )
    words = ax.text(
        0, -1.42, "", ha="center", va="top", fontsize=7.5, gid="plate words"
    )
    pose = PlatePose(throttle=throttle, plate=plate, ghost=pale, words=words)
    pose.update(opening)
    return pose


def draw_plates(
    figure: Figure,
    motion: Motion,
    index: int,
    room: tuple[float, float, float, float],
    *,
    ghost: int | None = None,
) -> list[PlatePose]:
    """Draw every throttle plate in its bore, in rows and columns.

    Parameters
    ----------
    figure : Figure
        Where axes are added.
    motion : Motion
        Holds the position.
    index : int
        The position shown.
    room : tuple of 4 floats
        Left, bottom, width, height. [in]
    ghost : int, optional
        Another position, in light grey.
    """
    layout = motion.assembly.layout
    plates = layout.plates
    width, height = figure.get_size_inches()
    columns, wide, high = plates_size(len(plates), room[2:]) or (1, room[2], room[3])
    out = []
    for i, throttle in enumerate(plates):
        left = room[0] + (i % columns) * wide
        low = room[1] + room[3] - (i // columns + 1) * high
        ax = figure.add_axes(
            (left / width, low / height, wide / width, high / height),
            gid=f"plate {throttle.name}",
        )
        opening = motion.opening(throttle.name)
        shown = throttle
        if layout.governed:  # the governor moves it from full to shut
            opening = throttle.swing - opening
            shown = replace(throttle, opens=-throttle.opens)
        pale = None if ghost is None else float(opening[ghost])
        out.append(draw_plate(ax, layout, shown, float(opening[index]), ghost=pale))
    return out


def plates_size(
    many: int, room: tuple[float, float]
) -> tuple[int, float, float] | None:
    """Return how plates stand in a room: columns, and width and height of each. [in].

    None where there is not room for them all.
    """
    best = None
    for columns in range(1, many + 1):
        rows = -(-many // columns)
        wide, high = min(room[0] / columns, 2.2), min(room[1] / rows, 2.4)
        fits = wide >= LEAST[0] and high >= LEAST[1]
        if fits and (best is None or wide * high > best[1] * best[2]):
            best = (columns, wide, high)
    return best
