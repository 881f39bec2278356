"""The sheaths of cables on a view: hollow lines that stand, with a collar at each end.

A collar on the body has the hatching of what stands; one on the engine is black, and
moves with the engine.

Not here: the wires, which move (`pose`), where a sheath goes (`cables`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.drawing import style, symbols
from linkage.drawing.cables import smooth
from linkage.model import Cable

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.text import Text
    from numpy.typing import NDArray

    from linkage.drawing.views import View
    from linkage.model import Layout

    FloatArray = NDArray[np.float64]

#: Widths of a sheath, and of what is white within it. [pt]
WIDTH: Final = 4.2
CORE: Final = 2.2
#: Size of a collar with its hatching, and of one without. [pt]
COLLARS: Final = {"body": 13.0, "engine": 9.0}


def draw_sheaths(ax: Axes, layout: Layout, view: View) -> dict[str, Line2D | Text]:
    """Draw the sheaths of a view.

    Parameters
    ----------
    ax : Axes
        With its limits set.
    layout : Layout
        One.
    view : View
        On which they are seen.

    Returns
    -------
    dict
        ``sheath CABLE``, ``core CABLE``; ``collar CABLE from`` and ``collar CABLE to``.
    """
    fixed: dict[str, Line2D | Text] = {}
    for name, cable in layout.rods.items():
        if not isinstance(cable, Cable):
            continue
        way = view.project(smooth(cable.route))
        looks = {
            "sheath": {"color": style.BLACK, "linewidth": WIDTH, "zorder": 3.6},
            "core": {"color": "white", "linewidth": CORE, "zorder": 3.65},
        }
        for part, look in looks.items():
            caps: dict[str, Any] = {"solid_capstyle": "butt", **look}
            (fixed[f"{part} {name}"],) = ax.plot(
                *way.T, gid=f"{part} {name}", scalex=False, scaley=False, **caps
            )
        tangents = way[0] - way[1], way[-1] - way[-2]
        for word, end, at, out in zip(
            ("from", "to"), cable.ends, way[[0, -1]], tangents, strict=True
        ):
            hatched = end.on == "body"
            angle = float(np.arctan2(out[1], out[0])) if np.hypot(*out) > 0 else 0.0
            (fixed[f"collar {name} {word}"],) = ax.plot(
                [at[0]],
                [at[1]],
                marker=symbols.collar(angle, hatched=hatched),
                markersize=COLLARS[end.on],
                markerfacecolor="white" if hatched else style.BLACK,
                color=style.BLACK,
                markeredgewidth=0.9,
                linestyle="none",
                zorder=3.7,
                gid=f"collar {name}",
                scalex=False,
                scaley=False,
            )
    return fixed
