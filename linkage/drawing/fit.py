"""Words made to fit a width, measured as they are printed.

Not here: where they find room (`labels`, `key`, `margin`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matplotlib.colors import to_hex, to_rgb
from matplotlib.font_manager import FontProperties

from linkage.seen import seen

if TYPE_CHECKING:
    from matplotlib.figure import Figure

#: How much of a line's colour is left in its words, so that pale ones are read.
INK = 0.68


def ink(colour: str) -> str:
    """Return a colour of a line dark enough for words.

    >>> ink("#000000")
    '#000000'
    """
    red, green, blue = to_rgb(colour)
    return to_hex((INK * red, INK * green, INK * blue))


def width_of(figure: Figure, text: str, size: float, weight: str = "normal") -> float:
    """Return the width of a line of text as it is printed. [pt]."""
    canvas: Any = figure.canvas
    wide, _, _ = canvas.get_renderer().get_text_width_height_descent(
        seen(text), FontProperties(size=size, weight=weight), ismath=False
    )
    return float(wide) / figure.dpi * 72


def shorten_to(
    figure: Figure, text: str, width: float, size: float, weight: str = "normal"
) -> str:
    """Return a text no wider than a width [pt]; what is cut off is told by `…`."""
    text = seen(text)
    if width_of(figure, text, size, weight) <= width:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width_of(figure, text[:middle].rstrip() + "…", size, weight) <= width:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…"


def wrap_to(
    figure: Figure,
    text: str,
    width: float,
    size: float,
    *,
    weight: str = "normal",
    most: int = 99,
) -> list[str]:
    """Return a text in lines no wider than a width.

    Parameters
    ----------
    figure : Figure
        On which it is printed.
    text : str
        Its own line ends are kept.
    width, size : float
        Of the room and of the letters. [pt]
    weight : str
        Of the letters.
    most : int
        Most lines; the last one ends in `…` where there were more.
    """
    lines: list[str] = []
    for part in text.split("\n"):
        line = ""
        for word in part.split(" "):
            longer = f"{line} {word}" if line else word
            if line and width_of(figure, longer, size, weight) > width:
                lines.append(line)
                longer = word
            line = longer
        lines.append(line)
    if len(lines) > most:
        lines = [*lines[: most - 1], " ".join(lines[most - 1 :])]
    return [shorten_to(figure, line, width, size, weight) for line in lines]
