"""Another position of the moving parts, pale under them.

Not here: the parts themselves (`pose`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.drawing import style
from linkage.drawing.track import rod_ends, track

if TYPE_CHECKING:
    import numpy as np
    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from numpy.typing import NDArray

    from linkage.drawing.views import View
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]


def draw_ghost(ax: Axes, motion: Motion, index: int, view: View) -> dict[str, Line2D]:
    """Draw another position in thin light grey, under all else.

    Returns
    -------
    dict of str to Line2D
        ``ghost arm SHAFT.ARM`` and ``ghost rod NAME``.
    """
    followed = track(motion, view)
    ghost: dict[str, Line2D] = {}

    def line(name: str, one: FloatArray, two: FloatArray, width: float) -> None:
        (ghost[name],) = ax.plot(
            [one[0], two[0]],
            [one[1], two[1]],
            color=style.PALE,
            linewidth=width,
            zorder=2,
            gid=name,
            scalex=False,
            scaley=False,
        )

    for hole, way in followed.arms.items():
        line(f"ghost arm {hole}", followed.roots[hole], way[index], 2.6)
    for name in motion.assembly.layout.rods:
        line(f"ghost rod {name}", *rod_ends(followed, name, index), 1.0)
    return ghost
