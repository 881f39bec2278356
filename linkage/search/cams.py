"""A cam made anew whose profile goes on further, as its last arc does.

Not here: other changes at cams, which are those of arms (`search.changes`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.errors import LayoutError
from linkage.model import Cam
from linkage.model.cam import MOST_POINTS
from linkage.model.profile import on
from linkage.model.refs import Ref
from linkage.search.family import Family, Step, always

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout

#: By how much the normal goes on at the new end. [rad]
FURTHER: Final = tuple(np.radians([5.0, 10.0, 15.0, 20.0, 30.0]).tolist())
#: To which a new profile is marked off. [m]
MARKED: Final = 1e-4


def longer(layout: Layout, name: str | None) -> Iterator[Family]:
    """Yield a cam whose profile goes on further.

    Parameters
    ----------
    layout : Layout
        One.
    name : str or None
        Of what joins two shafts; nothing is yielded of what is no cam.
    """
    cam = layout.rods.get(name or "")
    if not isinstance(cam, Cam):
        return
    for further in FURTHER:
        made = _made(cam, further)
        if made is None:
            continue
        turn, radius = _end(made)
        scale = layout.shafts[cam.start.shaft].arms[cam.start.arm].length / cam.base
        step = Step(
            kind="cam longer",
            about=Ref("rod", cam.name),
            old=_end(cam),
            new=(turn, float(radius * scale)),
        )
        yield Family(
            base=replace(layout, rods={**layout.rods, cam.name: made}),
            sets={},
            effort=np.array([0.5 + further]),
            step=always(step),
        )


def _made(cam: Cam, further: float) -> Cam | None:
    """Return a cam that goes on; None where that cannot be."""
    try:
        if cam.arcs:
            *before, (radius, angle) = cam.arcs
            return replace(cam, arcs=(*before, (radius, angle + further)))
        if len(cam.points) >= MOST_POINTS:
            return None
        arc = cam.profile[-1]
        x, y = on(arc, arc.ends + further)
        before_it = cam.points[-1][0]
        turn = before_it + (math.atan2(y, x) - before_it) % (2 * math.pi)
        radius = round(math.hypot(x, y) / MARKED) * MARKED
        return replace(cam, points=(*cam.points, (turn, radius)))
    except LayoutError:
        return None


def _end(cam: Cam) -> tuple[float, float]:
    """Return the turn round a cam at which its profile ends, and the radius there."""
    x, y = on(cam.profile[-1], cam.profile[-1].ends)
    return math.atan2(y, x) % (2 * math.pi), math.hypot(x, y)
