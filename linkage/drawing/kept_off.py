"""What a free label on a view keeps off: a placer is told what is drawn already.

Not here: labels whose leaders run over no part (`board`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from matplotlib.text import Text

if TYPE_CHECKING:
    from linkage.drawing.labels import Placer
    from linkage.drawing.pose import Pose


def keep_off(placer: Placer, pose: Pose) -> None:
    """Tell a placer what is drawn already."""
    widths = {
        "arm": 8.0,
        "rod": 3.0,
        "slot": 2.0,
        "wire": 3.0,
        "spring": 2.0,
        "pad": 6.0,
    }
    for name, line in pose.moving.items():
        kind = name.partition(" ")[0]
        if kind in widths:
            placer.avoid(np.asarray(line.get_xydata()), widths[kind])
    sizes = {
        "pivot": 24.0,
        "bearing": 14.0,
        "anchor": 14.0,
        "torsion": 18.0,
        "collar": 10.0,
    }
    for name, artist in pose.fixed.items():
        kind = name.partition(" ")[0]
        if isinstance(artist, Text):
            continue
        if kind == "guide":
            points = np.asarray(artist.get_xydata(), float)
            placer.avoid(points[np.isfinite(points[:, 0])], 2.0)
        elif kind in {"arrow", "shaft", "sheath"}:
            placer.avoid(np.asarray(artist.get_xydata()), 0 if kind == "arrow" else 5.0)
        elif kind in sizes:
            placer.avoid_points(np.asarray(artist.get_xydata()), sizes[kind])
    placer.avoid_text(text for text in pose.ax.texts if text.get_text())
    placer.avoid_points(np.array([way[pose.index] for way in pose.track.pins.values()]))
