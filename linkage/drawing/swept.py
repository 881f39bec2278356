"""What a linkage sweeps through its travel, on a view, pale under all else.

Every part as thick as it is (`gaps.parts`), at every position and between them.

Not here: how near it comes to anything (`gaps`), obstacles (`obstacles`).
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.collections import LineCollection, PolyCollection

from linkage.drawing.canvas import points_per_metre
from linkage.gaps.parts import moving_parts

if TYPE_CHECKING:
    from collections.abc import Iterator

    from matplotlib.axes import Axes
    from matplotlib.collections import Collection
    from numpy.typing import NDArray

    from linkage.drawing.views import View
    from linkage.gaps.distance import Bar
    from linkage.motion import Motion

    FloatArray = NDArray[np.float64]

#: Paler than another position, which is drawn on it.
SWEPT: Final = "#E9E9E9"


def draw_swept(ax: Axes, motion: Motion, view: View) -> dict[str, Collection]:
    """Draw what every moving part sweeps.

    Parameters
    ----------
    ax : Axes
        With its limits set.
    motion : Motion
        Of one layout, pad positions rising.
    view : View
        On which it is seen.

    Returns
    -------
    dict
        ``swept N`` and ``swept between N`` of each part.
    """
    out: dict[str, Collection] = {}
    scale = points_per_metre(ax)
    look: dict[str, Any] = {"zorder": 0.6, "capstyle": "round"}
    for number, part in enumerate(moving_parts(motion, 1)):
        lines, areas = [], []
        for bar in _bars(part.bars, view):
            if np.ptp(bar, axis=0).max() <= 0:
                continue  # what stands sweeps nothing
            lines += list(bar)
            areas += [np.vstack([one, two[::-1]]) for one, two in pairwise(bar)]
        if not lines:
            continue
        thick = 2 * float(np.nanmax(part.radius)) * scale
        swept = LineCollection(lines, colors=SWEPT, linewidths=thick, **look)
        between = PolyCollection(areas, facecolors=SWEPT, edgecolors="none", zorder=0.6)
        for name, some in (
            (f"swept {number}", swept),
            (f"swept between {number}", between),
        ):
            some.set_gid(name)
            ax.add_collection(some, autolim=False)
            out[name] = some
    return out


def _bars(bars: Bar, view: View) -> Iterator[FloatArray]:
    """Yield every bar as lines on a view, shape (n, 2, 2); those of no place left out."""
    start, end = np.broadcast_arrays(bars.at(0.0), bars.at(1.0))
    for k in range(start.shape[1]):
        both = [view.project(one[:, k].T) for one in (start, end)]
        line = np.stack(both, axis=1)
        yield line[np.isfinite(line).all(axis=(1, 2))]
