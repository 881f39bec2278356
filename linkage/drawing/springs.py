"""Picture of the spring card: pad force above, closing torque below, data of springs.

Not here: the numbers (`forces.summary`), rows of data (`spring_table`), words in the
margin (`margin`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing.fit import shorten_to
from linkage.drawing.loose import slack_spans
from linkage.drawing.margin import End, name_in_margin
from linkage.drawing.spring_table import draw_springs, numbered, table_height
from linkage.drawing.style import (
    BLACK,
    GREY,
    LOOKS,
    look,
    new_figure,
    notes,
    still_style,
)
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

#: Springs that are drawn alone with a line and a name of their own.
MOST: Final = 8
#: What is said of a pedal, and of a governor, whose springs open.
WAYS: Final = (("pressing", "releasing"), ("shutting", "opening"))
END: Final = ("pad", "arm")
TORQUE: Final = ("closing", "opening")
DOES: Final = ("shuts", "opens")
OTHER: Final = ("pulls it OPEN", "shuts it")
#: What lies below a line of zero.
BELOW: Final = {
    "pedal": "it stays down",
    "governor": "it stays shut",
    "plate": "held OPEN",
    "governed": "it shuts",
}
#: Widest name of a throttle at the axis. [pt]
LONGEST: Final = 130.0
#: Ground of what friction takes, and of where the plate is pulled open.
BAND: Final = "#DDDDDD"
OPEN: Final = "#BBBBBB"


def _last(values: FloatArray) -> float:
    """Return the last value that is a number; nan where none is."""
    known = values[np.isfinite(values)]
    return float(known[-1]) if known.size else float("nan")


def _bounds(*lines: FloatArray) -> tuple[float, float]:
    """Return the least and the most of lines and zero; 0 and 1 where nothing is known."""
    every = np.concatenate([np.zeros(1), *lines])
    every = every[np.isfinite(every)]
    low, high = float(every.min()), float(every.max())
    return (low, high) if high - low > 1e-9 else (0.0, 1.0)


@as_written
def draw_pad_force(ax: Axes, card: SpringCard) -> None:
    """Draw pad force pressing and releasing, with the band of friction between.

    Parameters
    ----------
    ax : Axes
        Pad travel runs along it; its place on the page must be settled.
    card : SpringCard
        From `forces.summary.spring_card`.
    """
    s, layout = card.together, card.motion.assembly.layout
    x = in_spoken(s.pad_travel, "length")
    limits = layout.limits
    pressing = _finite(in_spoken(s.pad_force_pressing, "force"))
    releasing = _finite(in_spoken(s.pad_force_releasing, "force"))
    ax.fill_between(x, releasing, pressing, color=BAND, lw=0, gid="friction band")
    ends = []
    for i, (word, values) in enumerate(
        zip(WAYS[layout.governed], (pressing, releasing), strict=True)
    ):
        line: dict[str, Any] = {"color": look(i).colour, "ls": look(i).dash}
        ax.plot(x, values, gid=word, **line)
        ends.append(End(value=_last(values), word=word, line=line))
    middle = (_last(pressing) + _last(releasing)) / 2
    ends.append(End(value=middle, word="between: friction"))
    low, high = _bounds(pressing, releasing)
    bound_line: dict[str, Any] = {"color": GREY, "lw": 0.8, "ls": ":"}
    for limit, word in (
        (limits.pad_force_look, "heavy above"),
        (limits.pad_force_refuse, "bad above"),
    ):
        bound = in_spoken(limit, "force")
        if bound < 1.5 * high and not layout.governed:
            ax.axhline(bound, gid=word, **bound_line)
            said = f"{word} {say(limit, 'force', 0)}"
            ends.append(End(value=bound, word=said, line=bound_line))
            high = max(high, bound)
    zero: dict[str, Any] = {"color": BLACK, "lw": 0.8}
    ax.axhline(0, gid="zero", **zero)
    ends.append(
        End(
            value=0.0,
            word=_zero("governor" if layout.governed else "pedal", low),
            line=zero,
        )
    )
    span = high - low
    ax.set_ylim(low - 0.06 * span, high + 0.1 * span)
    ax.set_ylabel(f"{END[layout.governed]} force [{unit_word('force')}]")
    if not np.isfinite(pressing).any():
        middle = float(np.mean(ax.get_ylim()))
        ends.append(
            End(value=middle, word=f"no {END[layout.governed]} force: it locks or jams")
        )
    name_in_margin(ax, ends)


def _finite(values: FloatArray) -> FloatArray:
    return np.where(np.isfinite(values), values, np.nan)


def _zero(what: str, low: float) -> str:
    """Return the words of a zero line, with what lies below it where anything does."""
    if low >= -1e-9:
        return "zero"
    return f"zero; below, {BELOW[what]}"


def _kind(index: int, points: int) -> dict[str, Any]:
    """Return how the line of this number is drawn: marked where looks begin again."""
    line: dict[str, Any] = {"color": look(index).colour, "ls": look(index).dash}
    if index >= len(LOOKS):
        line |= {"marker": look(index + 1).marker, "ms": 4, "mfc": "white"}
        line |= {"markevery": max(points // 9, 1)}
    return line


@as_written
def draw_closing_torque(ax: Axes, card: SpringCard) -> None:
    """Draw closing torque with all springs and with each alone, and friction.

    The plate shuts where a line is above that of friction; between it and zero it
    stays where it is, and below zero it is pulled open.

    Parameters
    ----------
    ax : Axes
        Pad travel runs along it; its place on the page must be settled.
    card : SpringCard
        From `forces.summary.spring_card`.
    """
    s, layout = card.together, card.motion.assembly.layout
    main, governed = layout.main.name, layout.governed
    x = in_spoken(s.pad_travel, "length")
    lines = _alike(card, main)
    rubbing = _finite(in_spoken(s.friction_torque[main], "torque"))
    low, high = _bounds(rubbing, *(values for _, values in lines))
    span = high - low
    bottom, top = low - 0.08 * span, high + 0.1 * span
    ax.fill_between(x, 0, rubbing, color=BAND, lw=0, gid="friction band")
    if low < -1e-9:
        ax.axhspan(
            bottom,
            0,
            fc="none",
            ec=OPEN,
            hatch="///",
            lw=0,
            gid="held open",
            zorder=0.5,
        )
    ends = []
    for i, (word, values) in enumerate(lines[: MOST + 1]):
        kind = _kind(i, len(x))
        ax.plot(x, values, gid=word, **kind)
        kind |= {"markevery": [0]} if "marker" in kind else {}
        ends.append(
            End(
                value=_last(values),
                word=_named(word, values, OTHER[governed]),
                line=kind,
            )
        )
    rest = lines[MOST + 1 :]
    thin: dict[str, Any] = {"color": GREY, "lw": 0.5, "ls": "-"}
    for word, values in rest:
        ax.plot(x, values, gid=word, **thin)
    if rest:
        word = f"{len(rest)} more, each alone"
        ends.append(End(value=_last(rest[-1][1]), word=word, line=thin))
    rubs: dict[str, Any] = {"color": BLACK, "lw": 0.9, "ls": (0, (1, 1.2))}
    ax.plot(x, rubbing, gid="friction", **rubs)
    ends.append(
        End(
            value=_last(rubbing), word=f"friction: {DOES[governed]} above it", line=rubs
        )
    )
    zero: dict[str, Any] = {"color": BLACK, "lw": 0.8}
    ax.axhline(0, gid="zero", **zero)
    ends.append(
        End(value=0.0, word=_zero("governed" if governed else "plate", low), line=zero)
    )
    ax.set_ylim(bottom, top)
    at = shorten_to(main, LONGEST, 9)
    ax.set_ylabel(f"{TORQUE[governed]} torque\nat {at} [{unit_word('torque')}]")
    ax.set_xlabel(f"{END[governed]} travel [{unit_word('length')}]")
    name_in_margin(ax, ends)


def _named(word: str, values: FloatArray, other: str) -> str:
    """Return the name of a line, with what the springs do where they do the other."""
    known = values[np.isfinite(values)]
    if known.size and known.max() < 0:
        return f"{word}: {other}"
    return word


def _slack_words(card: SpringCard) -> str:
    """Say which rods and cables are slack where.

    What pulls behind them does not help before them.
    """
    said = []
    for name, spans in slack_spans(card.motion).items():
        each = (
            f"{say(start, 'length')} to {say(end, 'length')}" for start, end in spans
        )
        kind = card.motion.assembly.layout.rods[name].kind
        end = END[card.motion.assembly.layout.governed]
        said.append(
            f"{kind} {name} is slack from {' and from '.join(each)} of {end} travel"
        )
    return "; ".join(said)


def _alike(card: SpringCard, main: str) -> list[tuple[str, FloatArray]]:
    """Return all springs and each alone, those alike as one with both names."""
    rows = [("all springs", card.together.closing_torque[main])]
    called = numbered(list(card.laws))
    rows += [
        (f"{called[n]} alone", alone.closing_torque[main])
        for n, alone in card.alone.items()
    ]
    same: list[tuple[str, FloatArray]] = []
    for word, torque in rows:
        values = _finite(in_spoken(torque, "torque"))
        twin = next(
            (
                i
                for i, (_, v) in enumerate(same)
                if np.allclose(v, values, rtol=2e-3, equal_nan=True)
            ),
            None,
        )
        if twin is None:
            same.append((word, values))
        else:
            same[twin] = (f"{same[twin][0]}, {word}", same[twin][1])
    return same


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
    with still_style():
        figure = new_figure(paper)
        table = table_height(card)
        width, height = figure.get_size_inches()
        if paper is None:  # a page has its size, a screen not
            figure.set_size_inches(width, height + table)
        width, height = figure.get_size_inches()
        title = f"{card.motion.assembly.layout.title}: springs"
        slack = _slack_words(card)
        notes(figure, title=title, banner=banner, below=slack)
        draw_springs(figure, card, 0.42 + table)
        low, top = 0.42 + table + 0.55, height - (1.1 if banner else 0.6)
        top -= 0.2 * bool(slack)
        # The lower field has the more words in its margin.
        foot = 0.56 * (top - low - 0.22)
        ax = figure.add_axes(
            (
                0.085,
                (low + foot + 0.22) / height,
                0.705,
                (top - low - foot - 0.22) / height,
            )
        )
        torque = figure.add_axes((0.085, low / height, 0.705, foot / height), sharex=ax)
        draw_pad_force(ax, card)
        draw_closing_torque(torque, card)
        ax.tick_params(labelbottom=False)
        ax.set_xlim(
            *(in_spoken(float(card.motion.pad_travel[i]), "length") for i in (0, -1)),
        )
        for axes in (ax, torque):
            axes.grid(visible=True)
            axes.set_axisbelow(True)
    return figure
