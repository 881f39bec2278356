"""Words in a picture stand as they were written, whoever made its axes.

matplotlib reads what stands between two dollar signs as mathematics, which a name
of a part or of a file is not. Pictures of our own turn that off for all of them
(`style`); who draws on axes of their own has it off for what we draw there.

Not here: control characters in words (`seen`), fonts (`style`).
"""

from __future__ import annotations

from functools import wraps
from typing import TYPE_CHECKING, Concatenate, ParamSpec, TypeVar

import matplotlib as mpl

if TYPE_CHECKING:
    from collections.abc import Callable

    from matplotlib.axes import Axes

P = ParamSpec("P")
R = TypeVar("R")


def as_written(
    draw: Callable[Concatenate[Axes, P], R],
) -> Callable[Concatenate[Axes, P], R]:
    """Return a function that draws on axes with no word of it read as mathematics.

    Parameters
    ----------
    draw : callable
        Takes the axes first.
    """

    @wraps(draw)
    def drawn(ax: Axes, /, *args: P.args, **options: P.kwargs) -> R:
        for axis in (ax.xaxis, ax.yaxis):  # their words were made with the axes
            axis.label.set_parse_math(False)
        with mpl.rc_context({"text.parse_math": False}):
            return draw(ax, *args, **options)

    return drawn
