"""A reversing lever: a see-saw on a new pivot, between two halves of the last rod.

Where its pivot can be, how long its arms are and how they stand is searched
together. The arms are placed square to their rods in the middle of the travel:
a rod that is square to an arm touches the circle of its hole, so from a given
pivot there are two places for each arm, and the sense tells which go together.

Not here: scoring (`swap.search`), judging and ranking (`swap.cures`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Arm, Hole, Layout, Link, Rod, Shaft, parallel
from linkage.model.axes import add, dot
from linkage.rules.adjust import ANGLE_STEP, LENGTH_STEP
from linkage.swap.recipes import Candidate, set_arm
from linkage.swap.search import HAND, NEVER, Aim, Driven, attempt, grid

if TYPE_CHECKING:
    from collections.abc import Container, Iterator

    from numpy.typing import NDArray

    from linkage.swap.ground import Ground

    FloatArray = NDArray[np.float64]
    Flat = tuple[float, float]

#: Step of the pivot's place, and how far beyond the two pivots it may lie. [m]
PLACE_STEP: Final = 20e-3
BEYOND: Final = 100e-3
#: Arms of the see-saw that are tried. [m]
ARMS: Final = (40e-3, 50e-3, 60e-3)
#: How much longer than squared the far arm is, so that full is reached.
REACH: Final = (1.0, 1.05, 1.1)
#: Least distance of a rod from the hole circle or hub of a shaft that it passes. [m]
PASSING: Final = 15e-3
#: Least length of a rod. [m]
SHORTEST: Final = 50e-3
#: A see-saw lies between its rods: its arms stand at least so far apart. [rad]
APART: Final = math.radians(110)
#: Places solved out of those found by squaring, by how many of the rods push.
SOLVED: Final = (120, 60, 20)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """A place for the reversing lever and its two arms.

    Parameters
    ----------
    place : pair of float
        Of the pivot in the spindle's plane, u and v. [m]
    lengths : pair of float
        Of the arm that is driven and the arm that drives. [m]
    angles : pair of float
        Of both at rest. [rad]
    pushes : int
        How many of its two rods push.
    sense : {1, -1}
        In which it turns while the pedal goes down.
    """

    place: Flat
    lengths: Flat
    angles: Flat
    pushes: int
    sense: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Plane:
    """The last rod's two pins in the spindle's plane, half-way and how they move."""

    driver_pivot: Flat
    spindle: Flat
    pin: Flat
    pin_way: Flat
    lever: Flat
    lever_way: Flat
    stroke: float
    half_swing: float
    radius: float
    driver_radius: float


def _flat(shaft: Shaft, point: tuple[float, float, float]) -> Flat:
    return dot(point, shaft.axis.u), dot(point, shaft.axis.v)


def _plane(ground: Ground, driver: Driven) -> _Plane:
    layout = ground.layout
    link = ground.path[-1]
    one, two = (layout.shafts[h.shaft] for h in link.holes)
    begin = _flat(two, one.pin(link.driver.arm))
    end = _flat(two, one.pin(link.driver.arm, float(driver.turn[-1])))
    middle = _flat(two, one.pin(link.driver.arm, float(driver.turn[-1]) / 2))
    way = (end[0] - begin[0], end[1] - begin[1])
    aim = ground.aim(ground.last, flipped=False)
    arm = two.arms[link.driven.arm]
    at = arm.angle + aim.sense * aim.turn / 2
    centre = _flat(two, two.pivot)
    lever = (
        centre[0] + arm.length * math.cos(at),
        centre[1] + arm.length * math.sin(at),
    )
    return _Plane(
        driver_pivot=_flat(two, one.pivot),
        spindle=centre,
        pin=middle,
        pin_way=way,
        lever=lever,
        lever_way=(-aim.sense * math.sin(at), aim.sense * math.cos(at)),
        stroke=math.hypot(*way),
        half_swing=aim.turn / 2,
        radius=arm.length,
        driver_radius=one.arms[link.driver.arm].length,
    )


def _tangents(pivot: Flat, radius: float, pin: Flat) -> tuple[float, ...]:
    """Return the two directions in which an arm is square to a rod from a pin."""
    away = (pin[0] - pivot[0], pin[1] - pivot[1])
    distance = math.hypot(*away)
    if distance <= radius + SHORTEST / 4:
        return ()
    toward = math.atan2(away[1], away[0])
    lean = math.acos(radius / distance)
    return toward + lean, toward - lean


def _passes(one: Flat, two: Flat, pivot: Flat, radius: float) -> bool:
    """Tell whether the line between two pins keeps clear of a circle about a pivot."""
    way = (two[0] - one[0], two[1] - one[1])
    length = math.hypot(*way)
    if length < SHORTEST:
        return False
    away = (pivot[0] - one[0], pivot[1] - one[1])
    along = max(0.0, min(length, (away[0] * way[0] + away[1] * way[1]) / length))
    near = (one[0] + way[0] * along / length, one[1] + way[1] * along / length)
    return math.hypot(pivot[0] - near[0], pivot[1] - near[1]) >= radius + PASSING


def _on(pivot: Flat, radius: float, angle: float) -> Flat:
    return pivot[0] + radius * math.cos(angle), pivot[1] + radius * math.sin(angle)


def _ends(
    p: _Plane, place: Flat, length: float
) -> Iterator[tuple[float, float, float]]:
    """Yield directions of the driven arm half-way, its sense, and half its turn."""
    for angle in _tangents(place, length, p.pin):
        pin = _on(place, length, angle)
        rod = (pin[0] - p.pin[0], pin[1] - p.pin[1])
        reach = math.hypot(*rod)
        along = (p.pin_way[0] * rod[0] + p.pin_way[1] * rod[1]) / reach
        round_way = (-math.sin(angle) * rod[0] + math.cos(angle) * rod[1]) / reach
        half = abs(along) / 2 / length
        if half > 0.7 or half < 0.15 or not _passes(p.pin, pin, p.spindle, p.radius):
            continue
        yield angle, math.copysign(1.0, along * round_way), math.asin(half)


def _seats(p: _Plane) -> Iterator[Seat]:
    """Yield every place at which both arms are square half-way and the sense is right."""
    corners = np.array([p.driver_pivot, p.spindle])
    low, high = corners.min(axis=0) - BEYOND, corners.max(axis=0) + BEYOND
    for x in np.arange(math.ceil(low[0] / PLACE_STEP), high[0] / PLACE_STEP):
        for y in np.arange(math.ceil(low[1] / PLACE_STEP), high[1] / PLACE_STEP):
            place = (float(x) * PLACE_STEP, float(y) * PLACE_STEP)
            clear = min(math.dist(place, p.driver_pivot), math.dist(place, p.spindle))
            if clear < ARMS[0] + p.radius:
                continue
            for length in ARMS:
                for angle, sense, half in _ends(p, place, length):
                    yield from _far_arms(p, place, (length, angle), (sense, half))


def _far_arms(p: _Plane, place: Flat, near: Flat, turning: Flat) -> Iterator[Seat]:
    length, angle = near
    sense, half = turning
    pin = _on(place, length, angle)
    rod1 = (pin[0] - p.pin[0], pin[1] - p.pin[1])
    first_pushes = p.pin_way[0] * rod1[0] + p.pin_way[1] * rod1[1] > 0
    for reach in REACH:
        far = p.radius * math.sin(p.half_swing) / math.sin(half) * reach
        far = round(far / LENGTH_STEP) * LENGTH_STEP
        if not 25e-3 <= far <= 90e-3:
            continue
        for out in _tangents(place, far, p.lever):
            if abs(math.remainder(out - angle, 2 * math.pi)) < APART:
                continue
            end = _on(place, far, out)
            rod2 = (p.lever[0] - end[0], p.lever[1] - end[1])
            lever = p.lever_way[0] * rod2[0] + p.lever_way[1] * rod2[1]
            turns = sense * (-math.sin(out) * rod2[0] + math.cos(out) * rod2[1])
            if lever * turns <= 0 or not _passes(
                end, p.lever, p.driver_pivot, p.driver_radius
            ):
                continue
            back = sense * half
            yield Seat(
                place=place,
                lengths=(length, far),
                angles=(_whole(angle - back), _whole(out - back)),
                pushes=int(first_pushes) + int(lever > 0),
                sense=sense,
            )  # fmt: skip


def _whole(angle: float) -> float:
    """Return an angle in whole degrees, as a lever can be set. [rad]."""
    return round(angle / ANGLE_STEP) * ANGLE_STEP


def _unused(word: str, taken: Container[str]) -> str:
    while word in taken:
        word += " too"
    return word


def with_lever(ground: Ground, seat: Seat) -> tuple[Layout, Link, Link]:
    """Return the swapped layout with a reversing lever in its last rod.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    seat : Seat
        Where it sits.

    Returns
    -------
    layout : Layout
        With one more shaft and one more rod; both halves cut to fit.
    first, second : Link
        To the reversing lever, and from it to the spindle.
    """
    layout = ground.layout
    link = ground.path[-1]
    one, two = (layout.shafts[h.shaft] for h in link.holes)
    lever = two.pin(link.driven.arm)
    u, v, n = two.axis.u, two.axis.v, two.axis.n
    station = dot(lever, n)
    pivot = add(add((0.0, 0.0, 0.0), u, seat.place[0]), v, seat.place[1])
    pivot = add(pivot, n, station)
    pivot = (round(pivot[0], 9), round(pivot[1], 9), round(pivot[2], 9))
    side = dot(one.pin(link.driver.arm), n) - station if parallel(one, two) else 0.0
    name = _unused("reversing lever", layout.shafts)
    arms = {
        "in": Arm(name="in", length=seat.lengths[0], angle=math.remainder(seat.angles[0], 2 * math.pi), offset=round(side, 9)),
        "out": Arm(name="out", length=round(seat.lengths[1], 9), angle=math.remainder(seat.angles[1], 2 * math.pi)),
    }  # fmt: skip
    bearing = one.bearing or two.bearing
    shaft = Shaft(name=name, pivot=pivot, axis=two.axis, arms=arms, bearing=bearing)
    whole = link.rod
    second = _unused(f"{whole.name} from reversing lever", layout.rods)
    first = replace(
        whole, start=link.driver, end=Hole(shaft=name, arm="in"), length=None
    )
    onward = replace(whole, name=second, start=Hole(shaft=name, arm="out"), end=link.driven, length=None, joints=(whole.joints[1], whole.joints[1]), mass=0.0)  # fmt: skip
    rods: dict[str, Rod] = {}
    for key, rod in layout.rods.items():
        rods[key] = first if key == whole.name else rod
        if key == whole.name:
            rods[second] = onward
    shafts: dict[str, Shaft] = {}
    for key, old in layout.shafts.items():
        if key == two.name:
            shafts[name] = shaft
        shafts[key] = old
    engine = layout.engine
    if two.name in engine.carries:
        engine = replace(engine, carries=(*engine.carries, name))
    new = replace(layout, shafts=shafts, rods=rods, engine=engine)
    return (
        new,
        Link(rod=first, driver=link.driver, driven=first.end),
        Link(rod=onward, driver=onward.start, driven=onward.end),
    )


def search_lever(ground: Ground, driver: Driven, count: int) -> list[Candidate]:
    """Return the best places of a reversing lever in the last rod.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    driver : Driven
        Turns of the shaft that drives the last rod.
    count : int
        Most candidates to return.

    Returns
    -------
    list of Candidate
        Best first; empty where there is no place.
    """
    seats = sorted(_seats(_plane(ground, driver)), key=lambda s: sum(s.lengths))
    found = []
    for pushes, most in enumerate(SOLVED):
        some = [s for s in seats if s.pushes == pushes]
        for seat in some[:: max(len(some) // most, 1)]:
            candidate = _solved(ground, driver, seat)
            if candidate is not None:
                found.append(candidate)
    return sorted(found, key=lambda c: c.rank)[:count]


def _solved(ground: Ground, driver: Driven, seat: Seat) -> Candidate | None:
    layout, first, second = with_lever(ground, seat)
    lever = layout.shafts[first.driven.shaft]
    one, two = layout.shafts[first.driver.shaft], layout.shafts[second.driven.shaft]
    aim = ground.aim(ground.last, flipped=False)
    onto = one.arms[first.driver.arm], lever.arms["in"]
    tries = grid(([onto[0].length], [onto[1].length]), ([onto[0].angle], [onto[1].angle]))  # fmt: skip
    middle = Aim(
        sense=seat.sense, turn=1.0, throttle=False, look=aim.look, tip_in=aim.tip_in
    )
    outcome = attempt((one, lever), first, driver, tries, middle)
    turn = outcome.turn[0] - outcome.turn[0][0]
    if outcome.score[0] >= NEVER or not np.isfinite(turn).all():
        return None
    short = aim.look + HAND - float(outcome.least[0])
    score = math.degrees(max(short, 0.0))
    on = Driven(pad_travel=driver.pad_travel, turn=turn)
    from_, arm = lever.arms["out"], two.arms[second.driven.arm]
    # The arms may be a little longer, and the spindle's lever clocked a little.
    tries = grid(
        (from_.length + LENGTH_STEP * np.arange(-6, 13, 2), [arm.length]),
        ([from_.angle], arm.angle + ANGLE_STEP * np.arange(-40, 41, 10)),
    )
    outcome = attempt((lever, two), second, on, tries, aim)
    clocked = np.degrees(np.abs(tries.driven_angle - arm.angle))
    rank = outcome.score + 2.0 * (clocked > 0) + 0.01 * clocked
    i = int(np.argmin(rank))
    if outcome.score[i] >= NEVER:
        return None
    hole = second.driver
    layout = set_arm(layout, hole, float(tries.driver_length[i]), from_.angle)
    layout = set_arm(layout, second.driven, arm.length, float(tries.driven_angle[i]))
    calm = 90 - math.degrees(outcome.least[i])
    return Candidate(
        layout=layout,
        rank=score + float(rank[i]) + 1.5 * seat.pushes + 0.02 * calm,
        score=score + float(outcome.score[i]),
        reached=float(outcome.reached[i]),
    )
