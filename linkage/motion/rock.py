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
from linkage.model.columns import cosine, pick, sine, some
from linkage.motion.assembly import Assembly, assemble

if TYPE_CHECKING:
    from linkage.model import Layout, Obstacle, Rod, Shaft, Spring
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


def _carried(shaft: Shaft, layout: Layout, roll: Number, by: Vector) -> Shaft:
    """Return a shaft of the engine where the rocked engine holds it."""
    if isinstance(shaft, Slide):
        return _slid(shaft, layout, roll, by)
    axis = _turned_axis(shaft.axis, layout, roll)
    return replace(shaft, pivot=_at(shaft.pivot, layout, roll, by), axis=axis)


def _turned_axis(axis: Axis, layout: Layout, roll: Number) -> Axis:
    """Return an axis of the engine as the rolled engine holds it."""
    engine = layout.engine
    if not some(roll) or engine.axis is None:
        return axis
    n = engine.axis.n
    return Axis(
        name="vector",
        u=turned(axis.u, n, roll),
        v=turned(axis.v, n, roll),
        n=turned(axis.n, n, roll),
        seen_from=axis.seen_from,
    )


def _slid(slide: Slide, layout: Layout, roll: Number, by: Vector) -> Slide:
    """Return a slide of the engine where the rocked engine holds its guide."""
    one, two = (_at(end, layout, roll, by) for end in slide.guide)
    pins = slide.points.items()
    return replace(
        slide,
        pivot=one,
        axis=_turned_axis(slide.axis, layout, roll),
        guide=(one, two),
        points={name: _at(point, layout, roll, by) for name, point in pins},
        seen=_turned_axis(slide.seen, layout, roll),
    )


def _anchored(spring: Spring, layout: Layout, roll: Number, by: Vector) -> Spring:
    """Return a spring with its anchor where the rocked engine holds it."""
    if spring.anchored_on != "engine" or spring.anchor is None:
        return spring
    return replace(spring, anchor=_at(spring.anchor, layout, roll, by))


def _sheathed(rod: Rod, layout: Layout, roll: Number, by: Vector) -> Rod:
    """Return a cable with the ends of its sheath where the rocked engine holds them."""
    if not isinstance(rod, Cable) or all(e.on != "engine" for e in rod.ends):
        return rod
    one, two = (
        replace(end, point=_at(end.point, layout, roll, by))
        if end.on == "engine"
        else end
        for end in rod.ends
    )
    # Longer or shorter legs are taken up by its bends: what it is long stays.
    return replace(rod, ends=(one, two), sheath_length=rod.sheathed)


def _held(obstacle: Obstacle, layout: Layout, roll: Number, by: Vector) -> Obstacle:
    """Return an obstacle of the engine where the rocked engine holds it."""
    if obstacle.on != "engine":
        return obstacle
    return replace(
        obstacle,
        points=tuple(_at(point, layout, roll, by) for point in obstacle.points),
        axis=_turned_axis(obstacle.axis, layout, roll),
        holes=tuple(
            (_at(middle, layout, roll, by), wide) for middle, wide in obstacle.holes
        ),
    )


def _at(point: Vector, layout: Layout, roll: Number, by: Vector) -> Vector:
    """Return where the rocked engine holds a point."""
    engine = layout.engine
    if some(roll) and engine.axis is not None:
        away = turned(add(point, engine.about, -1), engine.axis.n, roll)
        point = add(engine.about, away)
    return add(point, by)


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
    by = add(aside, (0.0, 0.0, lift))
    carried = set(layout.engine.carries)
    shafts = {
        name: _carried(s, layout, roll, by) if name in carried else s
        for name, s in layout.shafts.items()
    }
    rods, moved = dict(layout.rods), carried & set(shafts)
    for loop in assembly.loops:
        driver, driven = (hole.shaft for hole in loop.link.holes)
        sheathed = _sheathed(loop.link.rod, layout, roll, by)
        if driver in moved or driven in moved or sheathed is not loop.link.rod:
            # A row that could not be put together before is marked there: any
            # length does.
            slot = loop.link.rod.slot
            length = pick(loop.length > slot, loop.length, 1.0 + slot)
            rods[loop.link.rod.name] = replace(sheathed, length=length)
            moved.add(driven)
    springs = {
        name: _anchored(s, layout, roll, by) for name, s in layout.springs.items()
    }
    obstacles = {n: _held(o, layout, roll, by) for n, o in layout.obstacles.items()}
    moved_layout = replace(
        layout, shafts=shafts, rods=rods, springs=springs, obstacles=obstacles
    )
    return assemble(moved_layout, assembly)
