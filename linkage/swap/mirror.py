"""The same car with the carburettor on the other side.

Everything driven beyond a named shaft moves across an upright plane along the
car. The named shaft stays; its arms that drive the moved part slide along it,
so that their rods stay in plane: it becomes a longer, or shorter, shaft.

A part that is moved keeps its viewer: a shaft across the car is still seen from
the right. What its angles and senses are for that viewer follows from the move
itself, an isometry T with x' = T x + t::

    n' = σ T n     the one of the two directions that is nearer to the old viewer
    s  = σ det T   turning anticlockwise by q before is turning by s q now

so mirroring a shaft across the car (T n = -n, σ = -1, det = -1) changes neither
angle nor sense, mirroring one along the car (σ = 1) reverses its sense, and half
a turn about upright (det = 1) reverses the sense of both.

Not here: what that reverses (`swap.reverses`), what to do then (`swap.cures`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Literal

from linkage.errors import UsageError, did_you_mean
from linkage.layout import Axis, Hole, Layout, Shaft, Vector, axis_from_vector
from linkage.layout.axes import add, cross, dot, norm
from linkage.quantities import say

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.layout import Arm, Link, Rod, Spring, Stop, Throttle

Carburettor = Literal["mirrored", "turned", "replaced"]

#: What can become of the carburettor, in words.
CARBURETTORS: Final[dict[str, str]] = {
    "mirrored": "a part of the other hand",
    "turned": "the same part, half a turn about upright",
    "replaced": "another part, that opens as stated",
}
#: Moves and slides smaller than this are none. [m]
NO_MOVE: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """An isometry: x' = T (x - start) + end.

    Parameters
    ----------
    diagonal : tuple of 3 floats
        T is diagonal in vehicle axes.
    start, end : tuple of 3 floats
        A point and where it goes. [m]
    """

    diagonal: Vector
    start: Vector
    end: Vector

    @property
    def determinant(self) -> float:
        """1 for a turn, -1 for a mirror."""
        return self.diagonal[0] * self.diagonal[1] * self.diagonal[2]

    def direction(self, v: Vector) -> Vector:
        """Return a direction after the move."""
        d = self.diagonal
        return (d[0] * v[0], d[1] * v[1], d[2] * v[2])

    def point(self, p: Vector) -> Vector:
        """Return a point after the move, to a picometre. [m]."""
        x, y, z = add(self.end, self.direction(add(p, self.start, -1)))
        return (round(x, 12), round(y, 12), round(z, 12))

    def axis(self, old: Axis) -> tuple[Axis, float]:
        """Return the axis after the move, and σ: whether the viewer went along."""
        went = self.direction(old.n)
        sign = -1.0 if dot(went, old.n) < -1e-12 else 1.0
        if old.vector is None:
            n = (sign * went[0], sign * went[1], sign * went[2])
            return (old if norm(add(n, old.n, -1)) < 1e-12 else axis_from_vector(n)), sign
        moved = self.direction(old.vector)
        return axis_from_vector((sign * moved[0], sign * moved[1], sign * moved[2])), sign


def mirror(plane: float) -> Move:
    """Return the mirror in the plane y = ``plane``. [m]."""
    return Move(diagonal=(1, -1, 1), start=(0, plane, 0), end=(0, plane, 0))


def half_turn(about: Vector, to: Vector) -> Move:
    """Return half a turn about upright through a point, which goes to another."""
    return Move(diagonal=(-1, -1, 1), start=about, end=to)


def _wrapped(angle: float) -> float:
    """Return an angle from -180° to 180°, to a billionth of a degree."""
    if not -math.pi <= angle <= math.pi:
        angle = math.remainder(angle, 2 * math.pi)
    return math.radians(round(math.degrees(angle), 9))


def moved_shaft(shaft: Shaft, move: Move) -> tuple[Shaft, float]:
    """Return a shaft after a move, and the factor of its senses.

    Parameters
    ----------
    shaft : Shaft
        Before.
    move : Move
        What happens to it.

    Returns
    -------
    shaft : Shaft
        With angles and offsets for its viewer.
    sense : {1, -1}
        -1 where every turn is the other way round for its viewer.
    """
    axis, sign = move.axis(shaft.axis)
    sense = sign * move.determinant
    zero = move.direction(shaft.axis.u)
    first = math.atan2(dot(zero, axis.v), dot(zero, axis.u))
    arms = {
        name: replace(
            arm,
            angle=_wrapped(sense * arm.angle + first),
            offset=sign * arm.offset,
        )
        for name, arm in shaft.arms.items()
    }
    pivot = move.point(shaft.pivot)
    return replace(shaft, pivot=pivot, axis=axis, arms=arms), sense


@dataclass(frozen=True, slots=True, kw_only=True)
class Slide:
    """An arm of the shaft that stays, slid along it.

    Parameters
    ----------
    hole : Hole
        The arm.
    by : float
        Way along the shaft, positive toward the viewer. [m]
    added_to : str
        The arm that carries another rod too and stays where it is, so that a
        second one is needed; empty where the arm itself slides.
    """

    hole: Hole
    by: float
    added_to: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Swap:
    """A layout before and after its carburettor changed sides.

    Parameters
    ----------
    before, after : Layout
        The layout as it was, and swapped, with nothing else changed.
    beyond : str
        The shaft that stays.
    plane : float
        The plane y = this is what parts cross. [m]
    carburettor : {"mirrored", "turned", "replaced"}
        What became of it.
    moved : tuple of str
        Shafts that moved, in driving order.
    slides : tuple of Slide
        Arms of the shaft that stays, slid along it.
    senses : mapping of str to float
        By moved shaft: -1 where its turns read the other way round now.
    recut : tuple of str
        Rods of given length that no longer have it.
    """

    before: Layout
    after: Layout
    beyond: str
    plane: float
    carburettor: Carburettor
    moved: tuple[str, ...]
    slides: tuple[Slide, ...]
    senses: Mapping[str, float]
    recut: tuple[str, ...]


def last_body_shaft(layout: Layout) -> str:
    """Return the shaft before the first that the engine carries on the way.

    Where the engine carries none, or the pedal itself, the shaft that drives
    the main throttle's spindle.
    """
    path = layout.path_to(layout.main.shaft)
    for link in path:
        if link.driven.shaft in layout.engine.carries:
            return link.driver.shaft
    return path[-1].driver.shaft if path else layout.main.shaft


def beyond_shaft(layout: Layout, name: str | None) -> str:
    """Return the shaft beyond which parts move.

    Parameters
    ----------
    layout : Layout
        The layout as it is.
    name : str, optional
        As asked for; None takes the last shaft on the body.

    Raises
    ------
    UsageError
        If there is no such shaft, or no carburettor beyond it.
    """
    if name is None:
        return last_body_shaft(layout)
    on_way = [link.driver.shaft for link in layout.path_to(layout.main.shaft)]
    if name not in layout.shafts:
        msg = f"there is no shaft `{name}`"
        raise UsageError(msg, hint=did_you_mean(name, layout.shafts))
    if name not in on_way:
        msg = f"no carburettor is driven beyond shaft `{name}`: nothing would move"
        raise UsageError(msg, hint="name a shaft before it: " + ", ".join(on_way))
    return name


def plane_to(layout: Layout, place: float) -> float:
    """Return the plane that takes the main spindle to a lateral position.

    Parameters
    ----------
    layout : Layout
        The layout as it is.
    place : float
        The spindle pivot's measured y on the other side. [m]

    Returns
    -------
    float
        y of the plane. [m]
    """
    return (layout.shafts[layout.main.shaft].pivot[1] + place) / 2


def _driven_beyond(layout: Layout, beyond: str) -> tuple[str, ...]:
    known = {beyond}
    for link in layout.links:
        if link.driver.shaft in known:
            known.add(link.driven.shaft)
    return tuple(p.driven.shaft for p in layout.links if p.driver.shaft in known)


def swap_sides(
    layout: Layout,
    *,
    beyond: str | None = None,
    plane: float = 0.0,
    carburettor: Carburettor = "mirrored",
    opens: Literal[1, -1] | None = None,
    lever_angle: float | None = None,
) -> Swap:
    """Move everything beyond a shaft to the other side of the car.

    Shafts, their stops, springs and anchors are mirrored. The carburettor's
    own spindle may instead be turned or replaced; an anchor on the engine goes
    with a carburettor that is turned, one on the body is mirrored.

    Parameters
    ----------
    layout : Layout
        As it is.
    beyond : str, optional
        The shaft that stays; None takes the last one on the body.
    plane : float
        y of the plane. [m]
    carburettor : {"mirrored", "turned", "replaced"}
        What becomes of it.
    opens : {1, -1}, optional
        Opening sense of a replaced carburettor, for the viewer of its axis.
    lever_angle : float, optional
        Its lever's angle at idle; None leaves it as mirrored. [rad]

    Returns
    -------
    Swap
        The layout afterwards, and what was done.

    Raises
    ------
    UsageError
        If nothing would move, or the choices do not go together.
    """
    _go_together(carburettor, opens, lever_angle)
    stays = beyond_shaft(layout, beyond)
    moved = _driven_beyond(layout, stays)
    flip = mirror(plane)
    if all(abs(layout.shafts[n].pivot[1] - plane) < NO_MOVE for n in moved):
        msg = f"the plane y = {say(plane, 'length')} leaves nothing to move: all that is driven beyond `{stays}` lies on it"  # fmt: skip
        raise UsageError(msg, hint="give another plane, or with --to the carburettor's new place")  # fmt: skip
    plates = {t.shaft for t in layout.throttles.values() if t.kind == "plate"}
    moves = {
        name: half_turn(layout.shafts[name].pivot, flip.point(layout.shafts[name].pivot))
        if carburettor == "turned" and name in plates
        else flip
        for name in moved
    }
    shafts = dict(layout.shafts)
    senses: dict[str, float] = {}
    for name, move in moves.items():
        shafts[name], senses[name] = moved_shaft(layout.shafts[name], move)
    if carburettor == "replaced" and opens is not None:
        main = layout.main
        factor = opens / (main.opens * senses[main.shaft])
        for name in moved:
            if name in plates:
                senses[name] *= factor
                shafts[name] = _replaced(layout, shafts, name, lever_angle)
    springs = {n: _moved_spring(s, moves, flip, senses) for n, s in layout.springs.items()}
    after = replace(
        layout,
        shafts=shafts,
        springs=springs,
        stops={n: _moved_stop(s, senses) for n, s in layout.stops.items()},
        throttles={n: _moved_throttle(t, senses) for n, t in layout.throttles.items()},
    )
    after, slides = _slid(layout, after, stays)
    after, recut = _recut(layout, after)
    return Swap(
        before=layout,
        after=after,
        beyond=stays,
        plane=plane,
        carburettor=carburettor,
        moved=moved,
        slides=slides,
        senses=senses,
        recut=recut,
    )


def _go_together(carburettor: str, opens: int | None, lever: float | None) -> None:
    if carburettor not in CARBURETTORS:
        msg = f"a carburettor cannot be `{carburettor}`"
        raise UsageError(msg, hint=did_you_mean(carburettor, CARBURETTORS))
    if carburettor == "replaced" and opens is None:
        msg = "a replaced carburettor needs the way it opens"
        raise UsageError(msg, hint="add --opens clockwise or --opens anticlockwise, for the viewer of its axis")  # fmt: skip
    if carburettor != "replaced" and (opens is not None or lever is not None):
        msg = f"a {carburettor} carburettor opens as it must; it cannot be told how"
        raise UsageError(msg, hint="--opens and --lever-angle go with --carburettor replaced")  # fmt: skip


def _replaced(
    layout: Layout, shafts: Mapping[str, Shaft], name: str, lever: float | None
) -> Shaft:
    """Return a spindle whose rods' arms stand as stated; spring hooks stay."""
    if lever is None:
        return shafts[name]
    main = layout.path_to(layout.main.shaft)[-1].driven
    by = lever - shafts[main.shaft].arms[main.arm].angle
    joined = {
        h.arm
        for link in layout.links
        for h in (link.driver, link.driven)
        if h.shaft == name
    }
    arms = {
        n: replace(arm, angle=_wrapped(arm.angle + by)) if n in joined else arm
        for n, arm in shafts[name].arms.items()
    }
    if name == main.shaft:  # exactly as stated
        arms[main.arm] = replace(arms[main.arm], angle=lever)
    return replace(shafts[name], arms=arms)


def _moved_spring(
    spring: Spring, moves: Mapping[str, Move], flip: Move, senses: Mapping[str, float]
) -> Spring:
    if spring.shaft not in moves:
        return spring
    data = dict(spring.data)
    if "shuts" in data:
        data["shuts"] *= senses[spring.shaft]
    move = moves[spring.shaft] if spring.anchored_on == "engine" else flip
    anchor = None if spring.anchor is None else move.point(spring.anchor)
    return replace(spring, anchor=anchor, data=data)


def _moved_stop(stop: Stop, senses: Mapping[str, float]) -> Stop:
    return replace(stop, turn=stop.turn * senses.get(stop.shaft, 1.0))


def _moved_throttle(throttle: Throttle, senses: Mapping[str, float]) -> Throttle:
    turned = throttle.opens * senses.get(throttle.shaft, 1.0)
    return replace(throttle, opens=1 if turned > 0 else -1)


def _slide_of(before: Layout, after: Layout, link: Link) -> float:
    """Return how far the driving arm must slide so that its rod lies as before."""
    n = before.shafts[link.driver.shaft].axis.n
    one = before.shafts[link.driver.shaft].pin(link.driver.arm)
    two = before.shafts[link.driven.shaft].pin(link.driven.arm)
    across = add(one, two, -1)
    mirrored = (across[0], -across[1], across[2])
    there = add(after.shafts[link.driven.shaft].pin(link.driven.arm), mirrored)
    by = dot(add(there, one, -1), n)
    # A shaft along the car or upright is no shorter way across it.
    return by if abs(n[1]) > 0.5 and abs(by) > NO_MOVE else 0.0


def _slid(before: Layout, after: Layout, stays: str) -> tuple[Layout, tuple[Slide, ...]]:
    slides: list[Slide] = []
    new = before.shafts[stays]
    rods = dict(after.rods)
    taken: dict[str, float] = {}
    held = {p.driven.arm for p in before.links if p.driven.shaft == stays}
    if stays == before.pedal.shaft:
        held.add(before.pedal.pad)
    for link in before.links:
        if link.driver.shaft != stays:
            continue
        by = _slide_of(before, after, link)
        name = link.driver.arm
        arm = before.shafts[stays].arms[name]
        if by == 0.0:
            held.add(name)
            continue
        same = abs(taken.get(name, by) - by) < NO_MOVE
        if name in held or not same:
            new, added = _second_arm(new, arm, by)
            hole = Hole(shaft=stays, arm=added)
            rods[link.rod.name] = _from_hole(rods[link.rod.name], link.driver, hole)
            slides.append(Slide(hole=hole, by=by, added_to=name))
            continue
        if name not in taken:
            slides.append(Slide(hole=link.driver, by=by))
        taken[name] = by
        new = replace(new, arms={**new.arms, name: replace(arm, offset=round(arm.offset + by, 12))})
    springs = {n: _beside(s, stays, taken, new) for n, s in after.springs.items()}
    shafts = {**after.shafts, stays: new}
    return replace(after, shafts=shafts, rods=rods, springs=springs), tuple(slides)


def _second_arm(shaft: Shaft, arm: Arm, by: float) -> tuple[Shaft, str]:
    name = f"{arm.name} far"
    while name in shaft.arms:
        name += " too"
    added = replace(arm, name=name, offset=round(arm.offset + by, 12))
    return replace(shaft, arms={**shaft.arms, name: added}), name


def _from_hole(rod: Rod, old: Hole, new: Hole) -> Rod:
    if rod.start == old:
        return replace(rod, start=new)
    return replace(rod, end=new)


def _beside(spring: Spring, stays: str, taken: Mapping[str, float], shaft: Shaft) -> Spring:  # fmt: skip
    """Return a spring on a slid arm with its anchor slid too."""
    if spring.shaft != stays or spring.arm not in taken or spring.anchor is None:
        return spring
    return replace(spring, anchor=add(spring.anchor, shaft.axis.n, taken[spring.arm]))


def _recut(before: Layout, after: Layout) -> tuple[Layout, tuple[str, ...]]:
    """Leave no rod a given length that it had between other places."""
    names = []
    for name, rod in after.rods.items():
        if rod.length is None:
            continue
        old = before.rods[name]
        was = _apart(before, old.start, old.end)
        if norm(was) and abs(norm(_apart(after, rod.start, rod.end)) - norm(was)) > NO_MOVE:  # fmt: skip
            names.append(name)
            after = after.with_rod(name, None)
    return after, tuple(names)


def _apart(layout: Layout, one: Hole, two: Hole) -> Vector:
    return add(
        layout.shafts[one.shaft].pin(one.arm), layout.shafts[two.shaft].pin(two.arm), -1
    )


def reached_along(shaft: Shaft) -> float:
    """Return the length of shaft between its outermost arms. [m]."""
    stations = [arm.offset for arm in shaft.arms.values()]
    return max(stations) - min(stations)


def radial(shaft: Shaft, point: Vector) -> tuple[float, float]:
    """Return distance and direction of a point from a shaft's centre line.

    Parameters
    ----------
    shaft : Shaft
        Whose viewer it is seen by.
    point : tuple of 3 floats
        In vehicle axes. [m]

    Returns
    -------
    tuple of 2 floats
        Radius [m], and angle from u towards v [rad].
    """
    away = add(point, shaft.pivot, -1)
    right, up = dot(away, shaft.axis.u), dot(away, shaft.axis.v)
    return math.hypot(right, up), math.atan2(up, right)


def at_radial(shaft: Shaft, point: Vector, angle: float) -> Vector:
    """Return a point turned about a shaft's centre line to another direction. [m]."""
    radius, now = radial(shaft, point)
    n = shaft.axis.n
    turn = angle - now
    away = add(point, shaft.pivot, -1)
    along = dot(away, n)
    flat = add(away, n, -along)
    side = cross(n, flat)
    out = add(
        add((0.0, 0.0, 0.0), flat, math.cos(turn)), side, math.sin(turn)
    )
    return add(add(shaft.pivot, out), n, along) if radius else point
