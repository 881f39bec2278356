"""The engine rocks on its mounts: what moves with it, and the rods stay as they are.

Shafts and obstacles that the engine carries, springs anchored on it and sheaths that end
there turn about its roll axis or rise with it, stops and idle positions too; rods keep the length
they were cut to, cables their free wire. What the throttle does then follows from the
same closure, with no small-angle shortcut.

Not here: whether it is too much (`rules`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from linkage.model import Cable, Slide
from linkage.model.axes import Axis, Vector, add, cross, dot
from linkage.model.columns import cosine, sine, some
from linkage.motion.assembly import Assembly, assemble
from linkage.motion.held import held_shaft, held_sheath, length_kept

if TYPE_CHECKING:
    from linkage.model import Engine, Obstacle, Rod, Shaft, Spring
    from linkage.model.columns import Number


def turned(vector: Vector, about: Vector, angle: Number) -> Vector:
    """Return a vector turned about a unit direction (Rodrigues' formula).

    Parameters
    ----------
    vector, about : tuple of 3 floats or columns
        The vector, and the unit direction it turns about.
    angle : float or column
        Anticlockwise positive for a viewer at whom ``about`` points. [rad]

    >>> import math
    >>> turned((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), math.pi / 2)[1]
    1.0
    """
    c, s = cosine(angle), sine(angle)
    along = dot(vector, about) * (1 - c)
    side = cross(about, vector)
    return (
        vector[0] * c + side[0] * s + about[0] * along,
        vector[1] * c + side[1] * s + about[1] * along,
        vector[2] * c + side[2] * s + about[2] * along,
    )


class _Rocked:
    """An engine that has turned and gone some way: where it holds what is on it.

    Parameters
    ----------
    engine : Engine
        Of the layout.
    roll : float or column
        Its turn about its roll axis. [rad]
    by : tuple of 3 floats or columns
        How far it has gone besides. [m]
    """

    def __init__(self, engine: Engine, roll: Number, by: Vector) -> None:
        self.about = engine.about
        self.n = engine.axis.n if some(roll) and engine.axis is not None else None
        self.roll, self.by = roll, by

    def at(self, point: Vector) -> Vector:
        """Return where it holds a point. [m]."""
        if self.n is not None:
            away = turned(add(point, self.about, -1), self.n, self.roll)
            point = add(self.about, away)
        return add(point, self.by)

    def axis(self, axis: Axis) -> Axis:
        """Return an axis as it holds that."""
        if self.n is None:
            return axis
        return Axis(
            name="vector",
            u=turned(axis.u, self.n, self.roll),
            v=turned(axis.v, self.n, self.roll),
            n=turned(axis.n, self.n, self.roll),
            seen_from=axis.seen_from,
        )

    def shaft(self, shaft: Shaft) -> Shaft:
        """Return a shaft on it."""
        held = replace(held_shaft(shaft, self.at), axis=self.axis(shaft.axis))
        if isinstance(held, Slide):
            return replace(held, seen=self.axis(held.seen))
        return held

    def spring(self, spring: Spring) -> Spring:
        """Return a spring, its anchor where the engine holds it."""
        if spring.anchored_on != "engine" or spring.anchor is None:
            return spring
        return replace(spring, anchor=self.at(spring.anchor))

    def rod(self, rod: Rod) -> Rod:
        """Return a cable with the ends of its sheath where the engine holds them."""
        if not isinstance(rod, Cable) or all(e.on != "engine" for e in rod.ends):
            return rod
        one, two = (self.at if end.on == "engine" else None for end in rod.ends)
        return held_sheath(rod, (one, two))

    def obstacle(self, obstacle: Obstacle) -> Obstacle:
        """Return an obstacle where the engine holds it."""
        if obstacle.on != "engine":
            return obstacle
        return obstacle.moved(self.at, self.axis)


def rocked(
    assembly: Assembly,
    *,
    roll: Number = 0.0,
    lift: Number = 0.0,
    aside: Vector = (0.0, 0.0, 0.0),
) -> Assembly:
    """Put a layout together with its engine rocked and every rod as it was cut.

    Parameters
    ----------
    assembly : Assembly
        At rest, engine level: gives the rods' lengths.
    roll : float or column
        Turn of the engine, anticlockwise positive for the viewer of its roll
        axis. [rad]
    lift : float or column
        How far it rises; every position of the engine may be a row. [m]
    aside : tuple of 3 floats or columns
        How far it goes otherwise: forward, to the left and up. [m]

    Returns
    -------
    Assembly
        Its turns are counted from the measured angles, in the engine's own
        frame for shafts it carries: a throttle's turn is still its opening.

    Raises
    ------
    ReachError
        If a rod does not reach any more; of many rows, those are marked.
    """
    layout = assembly.layout
    engine = _Rocked(layout.engine, roll, add(aside, (0.0, 0.0, lift)))
    carried = set(layout.engine.carries)
    shafts = {
        name: engine.shaft(s) if name in carried else s
        for name, s in layout.shafts.items()
    }
    rods, moved = dict(layout.rods), carried & set(shafts)
    for loop in assembly.loops:
        driver, driven = (hole.shaft for hole in loop.link.holes)
        rod = engine.rod(loop.link.rod)
        if driver in moved or driven in moved or rod is not loop.link.rod:
            rods[rod.name] = replace(rod, length=length_kept(loop))
            moved.add(driven)
    springs = {name: engine.spring(s) for name, s in layout.springs.items()}
    obstacles = {name: engine.obstacle(o) for name, o in layout.obstacles.items()}
    moved_layout = replace(
        layout, shafts=shafts, rods=rods, springs=springs, obstacles=obstacles
    )
    return assemble(moved_layout, assembly)
