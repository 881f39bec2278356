"""The layout with every measuring error the unkind way, to look at by itself.

Not here: how the corner is found (`rules.corners`), the verdict on it (`rules.at_worst`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from linkage.rules.corners import AtWorst

if TYPE_CHECKING:
    from linkage.model import Layout
    from linkage.rules.examine import Examined


def worst_layout(x: Examined) -> tuple[Layout, str]:
    """Return a layout at the corner that matters most, and for what that is unkind.

    Parameters
    ----------
    x : Examined
        One layout as measured.

    Returns
    -------
    layout : Layout
        Every number off by as much as it may be, rods and pedal stop set anew, joints
        worn; known to be so, with no measuring error of its own.
    what : str
        ``dead centre``, where one may come nearer than is asked, or ``full throttle``.
    """
    row = np.array([0])
    worst = AtWorst(x, row, [("full", x.layout.main.name)])
    which, what = 0, "full throttle"
    near = [(d.rod, d.hole) for d in x.dead_centres if d.side == "full"]
    if near:
        dead = AtWorst(x, row, [("dead", *arm) for arm in near])
        # What cannot be put together is no margin, and worse than any.
        left = np.nan_to_num(dead.margins[:, 0], nan=-np.inf)
        if left.min() < x.layout.limits.dead_centre:
            which, what, worst = int(left.argmin()), "dead centre", dead
    layout = replace(worst.layout_of(which), tolerances={}, limits=x.layout.limits)
    return layout, what
