"""Words on frames: those that stand as pasted pieces, those that change as stamps.

Drawing a line of words anew takes the canvas longer than all the lines of a
linkage, so changing words are stamped from masks that are kept.

Not here: what the words say (`words`).
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.colors import to_rgb
from PIL import Image, ImageDraw

from linkage.drawing.canvas import point_of
from linkage.drawing.fit import font_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.text import Text

#: A piece of the picture with its transparency, and its box in pixels.
Sprite = tuple[Image.Image, tuple[int, int, int, int]]

#: Height of a line of words over the size of the letters, at line spacing 1.
LINE: Final = 1.16
#: From line to line, over that height.
SPACING: Final = 1.1


def sprites(canvas: Any, texts: Sequence[Text]) -> list[Sprite]:  # noqa: ANN401
    """Return texts as pieces to paste; the canvas is spoilt by it.

    Parameters
    ----------
    canvas : FigureCanvasAgg
        Drawn before.
    texts : sequence of Text
        That stand still.
    """
    canvas.renderer.clear()
    out = []
    for text in texts:
        text.draw(canvas.renderer)
    drawn = np.array(canvas.buffer_rgba())
    high, wide = drawn.shape[:2]
    for text in texts:
        x0, y0, x1, y1 = text.get_window_extent(canvas.renderer).extents
        box = (
            max(int(x0) - 1, 0),
            max(int(high - y1) - 1, 0),
            min(int(x1) + 2, wide),
            min(int(high - y0) + 2, high),
        )
        piece = drawn[box[1] : box[3], box[0] : box[2]]
        if piece.size:
            out.append((Image.fromarray(piece), box))
    return out


@lru_cache(maxsize=4096)
def _mask(line: str, size: float, weight: str) -> Image.Image:
    """Return a line of words as a mask whose height does not hang on its letters."""
    font = font_of(size, weight)
    wide = max(int(np.ceil(font.getlength(line))) + 2, 1)
    mask = Image.new("L", (wide, int(np.ceil(size * LINE))), 0)
    ImageDraw.Draw(mask).text((0, size * 0.93), line, fill=255, font=font, anchor="ls")
    return mask


def stamp_box(image: Image.Image, text: Text) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of where a text is put on a frame. [px].

    Arguments as for `stamp`.
    """
    masks, step = _masks(text)
    wide = max(mask.width for mask in masks)
    high = step * (len(masks) - 1) + masks[-1].height
    x, y = text.get_transform().transform(text.get_position())
    y = image.height - y
    across = {"left": 0.0, "center": 0.5, "right": 1.0}
    left = x - across[text.get_horizontalalignment()] * wide
    top = y - {"top": 0.0, "center": 0.5}.get(text.get_verticalalignment(), 1.0) * high
    return left, top, left + wide, top + high


def _masks(text: Text) -> tuple[list[Image.Image], float]:
    """Return a mask a line, and the way from one line to the next. [px]."""
    size = round(float(text.get_fontsize()) * point_of(text), 2)
    weight = "bold" if text.get_fontweight() == "bold" else "normal"
    masks = [_mask(line, size, weight) for line in text.get_text().split("\n")]
    return masks, size * LINE * SPACING


def stamp(image: Image.Image, text: Text) -> None:
    """Put a text on a frame where the figure has it.

    Parameters
    ----------
    image : Image
        RGB, as large as the figure; changed.
    text : Text
        Not turned, without a ground of its own.
    """
    if not text.get_text() or not text.get_visible():
        return
    masks, step = _masks(text)
    left, top, right, _ = stamp_box(image, text)
    ink = _rgb(text.get_color())
    for i, mask in enumerate(masks):
        middle = text.get_horizontalalignment() == "center"
        indent = (right - left - mask.width) / 2 if middle else 0.0
        image.paste(ink, (round(left + indent), round(top + i * step)), mask)


def _rgb(colour: Any) -> tuple[int, int, int]:  # noqa: ANN401
    red, green, blue = (round(255 * part) for part in to_rgb(colour))
    return red, green, blue
