"""Words made to fit a width, measured by the letters of the one face of all pictures.

Not here: where they find room (`labels`, `key`, `margin`).
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from matplotlib.colors import to_hex, to_rgb
from matplotlib.font_manager import findfont
from PIL import ImageFont

from linkage.seen import seen

#: How much of a line's colour is left in its words, so that pale ones are read.
INK: Final = 0.68
#: Size at which words are measured. [px]
MEASURED: Final = 100.0


def ink(colour: str) -> str:
    """Return a colour of a line dark enough for words.

    >>> ink("#000000")
    '#000000'
    """
    red, green, blue = to_rgb(colour)
    return to_hex((INK * red, INK * green, INK * blue))


@lru_cache(maxsize=64)
def font_of(size: float, weight: str) -> ImageFont.FreeTypeFont:
    """Return the face of all words, of a size [px] and a weight, normal or bold."""
    path = findfont(f"DejaVu Sans:{weight}")
    return ImageFont.truetype(path, size, layout_engine=ImageFont.Layout.BASIC)


def width_of(text: str, size: float, weight: str = "normal") -> float:
    """Return the width of a line of text, in the unit of the size.

    Letters that lie nearer to each other in pairs are not counted so: at most it is
    a fiftieth more than what is printed.

    >>> round(width_of("throttle", 14.0))
    52
    """
    return float(font_of(MEASURED, weight).getlength(seen(text))) * size / MEASURED


def size_for(
    text: str, width: float, size: float, *, least: float, weight: str = "normal"
) -> float:
    """Return the size at which lines of text are no wider than a width.

    Parameters
    ----------
    text : str
        One line or several.
    width, size, least : float
        Of the room, and of the letters: as they are wished, and at least.
    weight : str
        Of the letters, normal or bold.
    """
    wide = max(width_of(line, size, weight) for line in text.split("\n"))
    return size if wide <= width else max(size * width / wide * 0.99, least)


def shorten_to(text: str, width: float, size: float, weight: str = "normal") -> str:
    """Return a text no wider than a width; what is cut off is told by `…`."""
    text = seen(text)
    if width_of(text, size, weight) <= width:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width_of(text[:middle].rstrip() + "…", size, weight) <= width:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…"


def wrap_to(
    text: str, width: float, size: float, *, weight: str = "normal", most: int = 99
) -> list[str]:
    """Return a text in lines no wider than a width; none of nothing.

    Parameters
    ----------
    text : str
        Its own line ends are kept. A word wider than a line goes on in the next, after
        a hyphen where it has one.
    width, size : float
        Of the room and of the letters, in one unit.
    weight : str
        Of the letters, normal or bold.
    most : int
        Most lines; the last one ends in `…` where there were more.

    Examples
    --------
    >>> wrap_to("the lever of the carburettor", 90.0, 14.0, most=2)
    ['the lever of', 'the carbur…']
    >>> wrap_to("fault-unequal-twin-levers", 140.0, 14.0)
    ['fault-unequal-twin-', 'levers']
    """

    def fits(line: str) -> bool:
        return width_of(line, size, weight) <= width

    lines: list[str] = []
    for part in text.split("\n"):
        line = ""
        for word in map(seen, part.split()):
            if fits(f"{line} {word}".strip()):
                line = f"{line} {word}".strip()
                continue
            lines.append(line)
            line = word
            while not fits(line):
                whole = next((k for k in range(len(line), 1, -1) if fits(line[:k])), 1)
                whole = line.rfind("-", 1, whole) + 1 or whole
                lines.append(line[:whole])
                line = line[whole:]
        lines.append(line)
    lines = [line for line in lines if line]
    if len(lines) > most:
        last = shorten_to(" ".join(lines[most - 1 :]), width, size, weight)
        lines = [*lines[: most - 1], last]
    return lines
