"""Picture of the spring card: pad force above, closing torque below.

Not here: the numbers (`forces.summary`), the table (`report.springs`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from linkage.drawing.style import BLACK, GREY, drawing_style, look, new_figure, notes
from linkage.drawing.words import as_written
from linkage.quantities import say
from linkage.spoken import in_spoken, unit_word

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from linkage.drawing.style import Paper
    from linkage.forces.summary import SpringCard

    FloatArray = NDArray[np.float64]

#: Least distance of two words in the margin, as a share of the axis. [1]
APART = 0.062


@as_written
def draw_pad_force(ax: Axes, card: SpringCard) -> None:
    """Draw pad force pressing and releasing, with the band of friction between.

    Parameters
    ----------
    ax : Axes
        Pad travel runs along it.
    card : SpringCard
        From `forces.summary.spring_card`.
    """
    s = card.together
    x = in_spoken(s.pad_travel, "length")
    limits = card.motion.assembly.layout.limits
    pressing = in_spoken(s.pad_force_pressing, "force")
    releasing = in_spoken(s.pad_force_releasing, "force")
    ax.fill_between(x, releasing, pressing, color="#DDDDDD", lw=0)
    ends = []
    for i, (word, values) in enumerate(
        (("pressing", pressing), ("releasing", releasing))
    ):
        ax.plot(x, values, color=look(i).colour, ls=look(i).dash, gid=word)
        ends.append((float(values[-1]), word, look(i).colour))
    low = float(np.nanmin(releasing))
    high = float(np.nanmax(pressing))
    for limit, word in (
        (limits.pad_force_look, "heavy above"),
        (limits.pad_force_refuse, "bad above"),
    ):
        bound = in_spoken(limit, "force")
        if bound < 1.5 * high:
            ax.axhline(bound, color=GREY, lw=0.8, ls=":")
            ends.append((bound, f"{word} {say(limit, 'force', 0)}", BLACK))
            high = max(high, bound)
    ax.axhline(0, color=BLACK, lw=0.8)
    ax.set_ylim(min(low * 1.15, 0.0) - 0.02 * high, high * 1.12)
    ax.set_ylabel(f"pad force [{unit_word('force')}]")
    _in_margin(ax, ends)


@as_written
def draw_closing_torque(ax: Axes, card: SpringCard) -> None:
    """Draw closing torque with all springs and with each alone, and friction.

    Parameters
    ----------
    ax : Axes
        Pad travel runs along it.
    card : SpringCard
        From `forces.summary.spring_card`.
    """
    s = card.together
    main = card.motion.assembly.layout.main.name
    x = in_spoken(s.pad_travel, "length")
    closing = in_spoken(s.closing_torque[main], "torque")
    rows: list[tuple[str, FloatArray]] = [("all springs", closing)]
    rows += [
        (f"{name} only", in_spoken(alone.closing_torque[main], "torque"))
        for name, alone in card.alone.items()
    ]
    same: list[tuple[str, FloatArray]] = []
    for word, values in rows:  # springs alike would hide each other
        twin = next(
            (i for i, (_, v) in enumerate(same) if np.allclose(v, values, rtol=2e-3)),
            None,
        )
        if twin is None:
            same.append((word, values))
        else:
            same[twin] = (f"{same[twin][0]}, {word}", same[twin][1])
    ends = []
    for i, (word, values) in enumerate(same):
        ax.plot(x, values, color=look(i).colour, ls=look(i).dash, gid=word)
        ends.append((float(values[-1]), word.replace(", ", ",\n"), look(i).colour))
    rubbing = in_spoken(s.friction_torque[main], "torque")
    friction = np.where(np.isfinite(rubbing), rubbing, np.nan)
    ax.plot(x, friction, color=BLACK, lw=0.9, ls=(0, (1, 1.2)), gid="friction")
    ends.append((float(friction[-1]), "friction", BLACK))
    ax.axhline(0, color=BLACK, lw=0.8, gid="zero")
    ends.append((0.0, "zero: shuts above", BLACK))
    every = np.concatenate([v for _, v in rows])
    low, high = float(np.nanmin(every)), float(np.nanmax(every))
    span = max(high, 0.0) - min(low, 0.0) or 1.0
    ax.set_ylim(min(low, 0.0) - 0.08 * span, max(high, 0.0) + 0.1 * span)
    ax.set_ylabel(f"closing torque at {main} [{unit_word('torque')}]")
    ax.set_xlabel(f"pad travel [{unit_word('length')}]")
    _in_margin(ax, ends)


def _in_margin(ax: Axes, ends: list[tuple[float, str, str]]) -> None:
    """Name lines at their right end, words pushed apart where lines meet."""
    low, high = ax.get_ylim()
    finite = [e for e in ends if np.isfinite(e[0])]
    placed: list[float] = []
    for value, word, colour in sorted(finite, key=lambda e: e[0]):
        share = (value - low) / (high - low)
        height = APART * (1 + word.count("\n"))
        at = max(share, placed[-1] + height if placed else 0.0)
        placed.append(at + (height - APART) / 2)
        ax.annotate(
            word,
            (1.0, value),
            xycoords=("axes fraction", "data"),
            xytext=(1.012, at),
            textcoords="axes fraction",
            fontsize=8,
            color=colour,
            va="center",
            annotation_clip=False,
        )


def springs_figure(
    card: SpringCard, *, paper: Paper | None = None, banner: str | None = None
) -> Figure:
    """Return the picture of the spring card.

    Parameters
    ----------
    card : SpringCard
        From `forces.summary.spring_card`.
    paper : {"a4", "letter"}, optional
        None gives a size for the screen.
    banner : str, optional
        The reason not to fit, printed large.
    """
    with drawing_style():
        figure = new_figure(paper)
        top = 0.83 if banner else 0.9
        middle = (top + 0.115) / 2
        ax = figure.add_axes((0.075, middle + 0.02, 0.76, top - middle - 0.02))
        torque = figure.add_axes((0.075, 0.115, 0.76, middle - 0.135), sharex=ax)
        title = card.motion.assembly.layout.title
        notes(figure, title=f"{title}: springs", banner=banner)
        draw_pad_force(ax, card)
        draw_closing_torque(torque, card)
        ax.tick_params(labelbottom=False)
        ax.set_xlim(
            *(in_spoken(float(card.motion.pad_travel[i]), "length") for i in (0, -1)),
        )
        for axes in (ax, torque):
            axes.grid(visible=True)
    return figure
