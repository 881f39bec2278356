"""One sheet of paper, upright, on which is written in millimetres from its top left.

Not here: what is written (`measuring`, `table`, `how`).
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any, Final

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from linkage.drawing.canvas import extent
from linkage.drawing.fit import size_for
from linkage.drawing.style import BLACK, PAPER, drawing_style

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.text import Text

    from linkage.drawing.style import Paper

_INCH: Final = 25.4
#: Free at every edge; printers leave out up to 6 mm. [mm]
MARGIN: Final = 12.0
#: Text is not made smaller than this to fit. [pt]
LEAST_SIZE: Final = 5.5


class Page:
    """A sheet to write on; make it inside `drawing_style`.

    Parameters
    ----------
    paper : {"a4", "letter"}
        Upright.
    """

    def __init__(self, paper: Paper) -> None:
        long, short = PAPER[paper]
        self.figure = Figure(figsize=(short, long))
        FigureCanvasAgg(self.figure)
        self.width, self.height = short * _INCH, long * _INCH

    @property
    def left(self) -> float:
        """Where writing begins. [mm]."""
        return MARGIN

    @property
    def right(self) -> float:
        """Where writing ends. [mm]."""
        return self.width - MARGIN

    @property
    def foot(self) -> float:
        """Below this is the foot of the sheet, from the top. [mm]."""
        return self.height - MARGIN - 6

    def room(self, top: float, low: float) -> tuple[float, float, float, float]:
        """Return left, bottom, width, height of a band of the sheet. [in]."""
        return (
            self.left / _INCH,
            (self.height - low) / _INCH,
            (self.right - self.left) / _INCH,
            (low - top) / _INCH,
        )

    def text(self, x: float, y: float, words: str, size: float, **look: Any) -> Text:  # noqa: ANN401
        """Write; ``y`` is the top of the words where ``va`` says nothing else."""
        settings = {"ha": "left", "va": "top", "color": BLACK, **look}
        return self.figure.text(
            x / self.width, 1 - y / self.height, words, fontsize=size, **settings
        )

    def fitted(
        self,
        x: float,
        y: float,
        words: str,
        size: float,
        room: float,
        *,
        weight: str = "normal",
        **look: Any,  # noqa: ANN401
    ) -> Text:
        """Write, smaller where the words are wider than the room. [mm]."""
        width = room / _INCH * 72
        fitted = size_for(words, width, size, least=LEAST_SIZE, weight=weight)
        return self.text(x, y, words, fitted, weight=weight, **look)

    def measured(self, text: Text) -> tuple[float, float]:
        """Return width and height of a text. [mm]."""
        left, low, right, top = extent(text)
        scale = _INCH / self.figure.dpi
        return float((right - left) * scale), float((top - low) * scale)

    def line(self, *points: tuple[float, float], width: float = 0.5) -> None:
        """Draw a line through places on the sheet."""
        x, y = zip(*points, strict=True)
        self.figure.add_artist(
            Line2D(
                [a / _INCH for a in x],
                [(self.height - b) / _INCH for b in y],
                color=BLACK,
                linewidth=width,
                transform=self.figure.dpi_scale_trans,
            )
        )

    def box(self, x: float, y: float, wide: float, high: float, gid: str = "") -> None:
        """Draw an empty box, its upper left corner given."""
        self.figure.add_artist(
            Rectangle(
                (x / _INCH, (self.height - y - high) / _INCH),
                wide / _INCH,
                high / _INCH,
                fill=False,
                edgecolor=BLACK,
                linewidth=0.7,
                transform=self.figure.dpi_scale_trans,
                gid=gid or None,
            )
        )


def pdf_of(pages: Sequence[Page]) -> bytes:
    """Return sheets as one PDF file, the same bytes on every run."""
    out = io.BytesIO()
    data = {"CreationDate": None, "ModDate": None, "Creator": "throttle-linkage"}
    with drawing_style(), PdfPages(out, metadata=data) as file:
        for page in pages:
            file.savefig(page.figure)
    return out.getvalue()
