"""The engine rocks on its mounts: what moves with it, and the rods stay as they are.

Shafts that the engine carries turn about its roll axis or rise with it, their
stops and idle positions too; rods keep the length they were cut to. What the
throttle does then follows from the same closure, with no small-angle shortcut.

Not here: whether it is too much (`checks.rock`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from linkage.model.axes import Axis, Vector, add, cross, dot
from linkage.motion.assembly import Assembly, assemble

if TYPE_CHECKING:
    from linkage.model import Layout, Shaft


def turned(vector: Vector, about: Vector, angle: float) -> Vector:
    """Return a vector turned about a unit direction (Rodrigues' formula).

    Parameters
    ----------
    vector, about : tuple of 3 floats
        The vector, and the unit direction it turns about.
    angle : float
        Anticlockwise positive for a viewer at whom ``about`` points. [rad]

    >>> turned((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), math.pi / 2)[1]
    1.0
    """
    cosine, sine = math.cos(angle), math.sin(angle)
    along = dot(vector, about) * (1 - cosine)
    side = cross(about, vector)
    return (
        vector[0] * cosine + side[0] * sine + about[0] * along,
        vector[1] * cosine + side[1] * sine + about[1] * along,
        vector[2] * cosine + side[2] * sine + about[2] * along,
    )


def _carried(shaft: Shaft, layout: Layout, roll: float, lift: float) -> Shaft:
    """Return a shaft of the engine where the rocked engine holds it."""
    engine = layout.engine
    pivot, axis = shaft.pivot, shaft.axis
    if roll and engine.axis is not None:
        n = engine.axis.n
        away = turned(add(pivot, engine.about, -1), n, roll)
        pivot = add(engine.about, away)
        axis = Axis(
            name="vector",
            u=turned(axis.u, n, roll),
            v=turned(axis.v, n, roll),
            n=turned(axis.n, n, roll),
            seen_from=axis.seen_from,
        )
    return replace(shaft, pivot=add(pivot, (0.0, 0.0, lift)), axis=axis)


def rocked(assembly: Assembly, *, roll: float = 0.0, lift: float = 0.0) -> Assembly:
    """Put a layout together with its engine rocked and every rod as it was cut.

    Parameters
    ----------
    assembly : Assembly
        At rest, engine level: gives the rods' lengths.
    roll : float
        Turn of the engine, anticlockwise positive for the viewer of its roll
        axis. [rad]
    lift : float
        How far it rises. [m]

    Returns
    -------
    Assembly
        Its turns are counted from the measured angles, in the engine's own
        frame for shafts it carries: a throttle's turn is still its opening.

    Raises
    ------
    ReachError
        If a rod does not reach any more.
    """
    layout = assembly.layout
    carried = set(layout.engine.carries)
    shafts = {
        name: _carried(s, layout, roll, lift) if name in carried else s
        for name, s in layout.shafts.items()
    }
    rods = {
        loop.link.rod.name: replace(loop.link.rod, length=loop.length)
        for loop in assembly.loops
    }
    return assemble(replace(layout, shafts=shafts, rods=rods))
