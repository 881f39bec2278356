"""How pictures look: fonts, colours with line styles, paper, and saving.

No meaning hangs on colour alone: every colour comes with a line style and a
marker of its own, so that a black-and-white print says the same.

Not here: what is drawn (`curve`, `layout`).
"""

from __future__ import annotations

import io
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from linkage.drawing.fit import shorten_to, size_for, wrap_to
from linkage.errors import UsageError, did_you_mean
from linkage.rules.caution import CAUTION
from linkage.seen import seen

if TYPE_CHECKING:
    from collections.abc import Iterator


Paper = Literal["a4", "letter"]

#: Width and height, lying. [in]
PAPER: Final[dict[str, tuple[float, float]]] = {
    "a4": (11.693, 8.268),
    "letter": (11.0, 8.5),
}
#: Where no paper is asked for: for a screen or a page of text. [in]
SCREEN: Final = (9.6, 6.6)

# M. Okabe, K. Ito, Color Universal Design (2008): colours that people with any
# colour vision tell apart.
BLACK: Final = "#000000"
ORANGE: Final = "#E69F00"
SKY: Final = "#56B4E9"
GREEN: Final = "#009E73"
BLUE: Final = "#0072B2"
VERMILION: Final = "#D55E00"
PURPLE: Final = "#CC79A7"
GREY: Final = "#777777"
PALE: Final = "#BBBBBB"

#: Letters of titles are no smaller. [pt]
LEAST: Final = 6.0

SUFFIXES: Final = (".png", ".svg", ".pdf")
_NO_DATE: Final[dict[str, dict[str, Any]]] = {
    ".png": {"Software": "throttle-linkage"},
    ".svg": {"Date": None, "Creator": "throttle-linkage"},
    ".pdf": {"CreationDate": None, "ModDate": None, "Creator": "throttle-linkage"},
}
_RC: Final[dict[str, Any]] = {
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 9,
    "mathtext.default": "regular",
    "axes.linewidth": 0.7,
    "axes.labelsize": 9,
    "axes.titlesize": 10,
    "xtick.labelsize": 8,
    "ytick.labelsize": 8,
    "xtick.direction": "in",
    "ytick.direction": "in",
    "lines.linewidth": 1.4,
    "lines.solid_capstyle": "round",
    "grid.linewidth": 0.4,
    "grid.color": "#DDDDDD",
    "text.parse_math": False,  # a name may hold dollar signs
    "figure.dpi": 100,
    "savefig.dpi": "figure",
    "svg.hashsalt": "throttle-linkage",
    "svg.fonttype": "path",
    "pdf.fonttype": 42,
    "path.simplify": False,
}


@dataclass(frozen=True, slots=True)
class Look:
    """How one of several things is told from the others.

    Parameters
    ----------
    colour : str
        From the palette above.
    dash : str or tuple
        Line style, different for each look.
    marker : str
        Different for each look.
    """

    colour: str
    dash: str | tuple[float, tuple[float, ...]]
    marker: str


LOOKS: Final = (
    Look(BLUE, "-", "o"),
    Look(VERMILION, (0, (6, 2)), "s"),
    Look(GREEN, (0, (5, 1.5, 1, 1.5)), "^"),
    Look(BLACK, (0, (1, 1.2)), "D"),
    Look(PURPLE, (0, (3, 1, 1, 1, 1, 1)), "v"),
    Look(ORANGE, (0, (10, 2)), "P"),
)


def look(index: int) -> Look:
    """Return the look of the thing with this number; they repeat after six.

    >>> look(0).dash, look(6) == look(0)
    ('-', True)
    """
    return LOOKS[index % len(LOOKS)]


@contextmanager
def drawing_style() -> Iterator[None]:
    """Draw with our settings, whatever the user's own are; make figures inside."""
    with mpl.rc_context():
        mpl.rcdefaults()
        for key, value in _RC.items():
            mpl.rcParams[key] = value  # type: ignore[index]
        yield


@contextmanager
def still_style() -> Iterator[None]:
    """Draw with our settings and words as wide on a screen as on paper.

    Letters fitted to the pixels of one screen are up to an eighth wider at another
    size, so that what had room would have none; frames of a film have one size.
    """
    with drawing_style():
        mpl.rcParams["text.hinting"] = "none"
        yield


def new_figure(paper: Paper | None = None) -> Figure:
    """Return an empty lying figure with an Agg canvas; call inside `drawing_style`.

    Parameters
    ----------
    paper : {"a4", "letter"}, optional
        None gives a size for the screen.
    """
    figure = Figure(figsize=SCREEN if paper is None else PAPER[paper])
    FigureCanvasAgg(figure)
    return figure


def notes(
    figure: Figure, *, title: str = "", banner: str | None = None, below: str = ""
) -> None:
    """Write the caution, the title and the DO NOT FIT line on a figure.

    Parameters
    ----------
    figure : Figure
        Its top 9 % and bottom 4 % must be free.
    title : str
        Printed top left.
    banner : str, optional
        The reason not to fit; None where there is none.
    below : str
        Printed small under the title.
    """
    figure.text(
        0.5, 0.012, CAUTION, ha="center", va="bottom", fontsize=8, gid="caution"
    )
    width, height = figure.get_size_inches()
    room = 0.94 * width * 72
    head = (("title", title, 11.0, 0.12), ("below", below, 8.0, 0.36))
    for gid, said, wished, down in head:
        if said:
            size = size_for(seen(said), room, wished, least=LEAST)
            figure.text(
                0.03, 1 - down / height, shorten_to(said, room, size), fontsize=size,
                ha="left", va="top", gid=gid,
            )  # fmt: skip
    if banner is not None:
        figure.text(
            0.5,
            1 - (0.6 if below else 0.4) / height,
            "\n".join(
                wrap_to(f"DO NOT FIT: {seen(banner)}", room, 11, weight="bold", most=2)
            ),
            ha="center",
            va="top",
            fontsize=11,
            fontweight="bold",
            color="white",
            bbox={"boxstyle": "square,pad=0.3", "fc": "#A02000", "ec": BLACK},
            gid="banner",
        )


def save(figure: Figure, suffix: str, *, dpi: float = 150) -> bytes:
    """Return a figure as the bytes of a file.

    The same figure gives the same bytes on every run: nothing holds a date.

    Parameters
    ----------
    figure : Figure
        Any.
    suffix : str
        ``.png``, ``.svg`` or ``.pdf``.
    dpi : float
        Of a PNG.

    Raises
    ------
    UsageError
        If the suffix is another.
    """
    kind = suffix.lower()
    if kind not in SUFFIXES:
        msg = f"a picture cannot be written as `{suffix or 'a file without suffix'}`"
        raise UsageError(msg, hint=f"{did_you_mean(kind, SUFFIXES)}")
    out = io.BytesIO()
    with still_style():
        if kind == ".png":
            figure.savefig(out, format="png", dpi=dpi, metadata=_NO_DATE[kind])
        else:
            figure.savefig(out, format=kind[1:], metadata=_NO_DATE[kind])
    return out.getvalue()
