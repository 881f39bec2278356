"""The band of measuring errors as a picture: the curve between bounds, and what moves it.

Not here: the numbers (`band`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.drawing.fit import shorten_to
from linkage.drawing.style import (
    BLACK,
    GREY,
    PALE,
    VERMILION,
    new_figure,
    notes,
    still_style,
)
from linkage.quantities import say, spoken_unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from linkage.band import Band
    from linkage.drawing.style import Paper

#: Most bars.
BARS: Final = 10
#: What does less has none. [rad]
LEAST: Final = np.radians(0.05)


def band_figure(
    band: Band, *, banner: str | None = None, paper: Paper | None = None
) -> Figure:
    """Return a figure of a band: the curve between its bounds, and the longest effects.

    Parameters
    ----------
    band : Band
        From `band.sampled`.
    banner : str, optional
        The reason not to fit, printed large.
    paper : {"a4", "letter"}, optional
        Lying; None gives a size for the screen.
    """
    with still_style():
        figure = new_figure(paper)
        below = (
            f"{band.count} samples, seed {band.seed}; nine of ten lie within the band, "
            f"rods and pedal stop set anew on each"
        )
        title = f"{band.examined.layout.title}: how sure"
        notes(figure, title=title, banner=banner, below=below)
        height = 0.7 if banner else 0.76
        _curve(figure.add_axes((0.08, 0.13, 0.42, height)), band)
        _bars(figure.add_axes((0.74, 0.13, 0.22, height)), band)
    return figure


def _curve(ax: Axes, band: Band) -> None:
    """Draw the main throttle's curve between its bounds."""
    unit = spoken_unit("length")
    pad = band.pad_travel / unit.factor
    low, middle, high = np.degrees(band.curve)
    ax.fill_between(pad, low, high, color=PALE, linewidth=0, gid="band")
    for side in (low, high):
        ax.plot(pad, side, color=GREY, linewidth=0.8)
    ax.plot(pad, middle, color=BLACK, linewidth=1.6, gid="middle")
    main = band.examined.layout.main
    swing = np.degrees(main.swing)
    asked = swing * band.examined.layout.limits.full_throttle
    ax.axhline(asked, color=VERMILION, linewidth=1.0, linestyle=(0, (5, 2)))
    words = f"full throttle: {say(asked * np.pi / 180, 'angle')} is asked"
    ax.text(0.02 * pad[-1], asked + 0.01 * swing, words, size=7.5, va="bottom")
    ends = [end / unit.factor for end in band.full_at]
    ax.plot(
        ends[::2], [1.1 * swing] * 2, color=BLACK, linewidth=2.4, solid_capstyle="butt"
    )
    ax.plot(ends[1], 1.1 * swing, marker="|", color=BLACK, markersize=9)
    first, last = (say(band.full_at[i], "length") for i in (0, 2))
    told = f"the pedal stops at {first} to {last}"
    ax.text(ends[2], 1.12 * swing, told, size=7.5, va="bottom", ha="right")
    dress_curve(ax, max(pad[-1], ends[2]) * 1.02, swing, room=1.22)


def dress_curve(ax: Axes, far: float, swing: float, *, room: float) -> None:
    """Set the limits and words of the axes of a throttle's curve by pad travel.

    Parameters
    ----------
    ax : Axes
        Its own.
    far : float
        Furthest pad travel, in the spoken unit.
    swing : float
        Of the throttle. [deg]
    room : float
        As how much of the swing goes up.
    """
    ax.set_xlim(0, far)
    # Begins below nothing, so that no number of one axis stands on the other's.
    ax.set_ylim(-0.03 * swing, room * swing)
    ax.set_xlabel(f"pad travel [{spoken_unit('length').unit}]")
    ax.set_ylabel("throttle angle [°]")
    ax.grid(visible=True)
    ax.set_axisbelow(True)


def _bars(ax: Axes, band: Band) -> None:
    """Draw what each number's whole error does to the plate, the longest first."""
    some = [e for e in band.effects.each if abs(e.opening * e.measured.error) > LEAST][
        :BARS
    ]
    values = [abs(np.degrees(e.opening * e.measured.error)) for e in some]
    places = np.arange(len(some))
    ax.barh(places, values, height=0.6, color=GREY, edgecolor=BLACK, linewidth=0.6)
    for place, value in enumerate(values):
        ax.text(value, place, f" {value:.1f}°", size=7.5, va="center")
    names = []
    for e in some:
        m = e.measured
        by = m.by or "given"
        name = shorten_to(m.called.replace("`", ""), 150, 7.5)
        names.append(f"{name}\n± {say(m.error, m.kind)}, {by}")
    ax.set_yticks(places, names, size=7.5)
    ax.set_ylim(max(len(some), 3) - 0.4, -0.6)
    ax.set_xlim(0, 1.25 * max([*values, 0.1]))
    ax.set_xlabel("plate at full [°]")
    ax.set_title("measure again first", size=9, loc="left")
    ax.grid(visible=True, axis="x")
    ax.set_axisbelow(True)
