"""Words broken into lines by their measured width, and cut short where they must be.

Not here: where the lines stand (`places`), words in a view (`room`).
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from matplotlib.font_manager import findfont
from PIL import ImageFont

#: Size at which words are measured. [px]
MEASURED: Final = 100.0
#: Room left at a line's end, as renderers round each letter.
SLACK: Final = 0.97


@lru_cache(maxsize=64)
def font_of(size: float, weight: str) -> ImageFont.FreeTypeFont:
    """Return the face of all words, of a size [px] and a weight, normal or bold."""
    path = findfont(f"DejaVu Sans:{weight}")
    return ImageFont.truetype(path, size, layout_engine=ImageFont.Layout.BASIC)


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Return the width of one line, in the unit of the size.

    >>> round(width_of("throttle", 14.0))
    52
    """
    face = font_of(MEASURED, "bold" if bold else "normal")
    return float(face.getlength(text)) * size / MEASURED


def broken(
    text: str, width: float, size: float, *, most: int, bold: bool = False
) -> list[str]:
    """Return a text in as few lines as fit a width, the last cut short with a mark.

    Parameters
    ----------
    text : str
        One paragraph.
    width : float
        Of a line.
    size : float
        Of the letters, in the unit of the width.
    most : int
        Lines at most.
    bold : bool
        Whether the letters are.

    Examples
    --------
    >>> broken("the lever of the carburettor", 90.0, 14.0, most=2)
    ['the lever of', 'the carbur…']
    """

    def fits(line: str) -> bool:
        return width_of(line, size, bold=bold) <= SLACK * width

    lines = [""]
    for word in text.split():
        joined = f"{lines[-1]} {word}".strip()
        if fits(joined):
            lines[-1] = joined
            continue
        rest = word
        while rest:
            whole = next((k for k in range(len(rest), 1, -1) if fits(rest[:k])), 1)
            lines.append(rest[:whole])
            rest = rest[whole:]
    lines = [line for line in lines if line]
    if len(lines) <= most:
        return lines
    last = f"{lines[most - 1]} {lines[most]}"
    while last and not fits(last.rstrip() + "…"):
        last = last[:-1]
    return [*lines[: most - 1], last.rstrip() + "…"]
