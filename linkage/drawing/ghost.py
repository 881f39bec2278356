"""Another position of the moving parts, pale under them.

Not here: the parts themselves (`pose`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.drawing import style
from linkage.drawing.canvas import points_per_metre
from linkage.drawing.loose import HALF
from linkage.drawing.track import rod_shape, track

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
        ``ghost arm SHAFT.ARM``, ``ghost rod NAME`` and ``ghost slot NAME``; of a
        cable ``ghost rod NAME`` and ``ghost wire NAME`` at its two ends.
    """
    followed = track(motion, view)
    ghost: dict[str, Line2D] = {}

    def line(name: str, points: FloatArray, width: float) -> None:
        (ghost[name],) = ax.plot(
            points[:, 0],
            points[:, 1],
            color=style.PALE,
            linewidth=width,
            zorder=2,
            gid=name,
            scalex=False,
            scaley=False,
        )

    for hole in followed.arms:
        width = 1.6 if hole in followed.drums else 2.6
        line(f"ghost arm {hole}", followed.arm_line(hole, index), width)
    half = HALF / points_per_metre(ax)
    for name in motion.assembly.layout.rods:
        if name in followed.cables:
            one, two = followed.cables[name].free
            line(f"ghost rod {name}", one.line(index), 0.8)
            line(f"ghost wire {name}", two.line(index), 0.8)
            continue
        bar, outline = rod_shape(followed, name, index, half)
        line(f"ghost rod {name}", bar, 1.0)
        if len(outline):
            line(f"ghost slot {name}", outline, 0.8)
    return ghost
