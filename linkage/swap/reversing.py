"""A reversing lever: a see-saw on a new pivot, between two halves of a rod.

It may part any rod on the way. All its places are solved as rows: the first half,
then the second, then the rods after it where the shaft behind it turns the other
way now.

Not here: the places (`swap.seats`), judging and ranking (`swap.cures`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Arm, Hole, Layout, Link, Shaft, parallel
from linkage.model.axes import add, dot
from linkage.model.rows import take
from linkage.motion import assemble, frame, sweep
from linkage.search.arms import FEW, arms_set, search
from linkage.search.changes import ANGLE_STEP, length_step
from linkage.search.fixed import may_be_parted, may_turn
from linkage.search.rods import HAND, NEVER, SAMPLES, Aim, attempt, chain
from linkage.search.spans import ANYWHERE, KEPT, Vary
from linkage.swap.judging import Candidates
from linkage.swap.kept import held
from linkage.swap.seats import Plane, Seats, seats

if TYPE_CHECKING:
    from collections.abc import Container

    from numpy.typing import NDArray

    from linkage.model import Rod
    from linkage.model.columns import FloatArray
    from linkage.motion import Frame
    from linkage.search.rods import Arms, Outcome
    from linkage.swap.ground import Ground

    Index = NDArray[np.intp]

#: Places solved at a first look, by how many of the two rods push.
LOOKED_AT: Final = (240, 120, 40)
#: Places that are tried with other arms, by how many of the two rods push.
TRIED: Final = (24, 12, 6)
#: Candidates that go on.
JUDGED: Final = 16
#: Other arms: the far one so many steps longer, the driven one so many turned.
LONGER: Final = np.arange(-6, 13, 2)
CLOCK: Final = ANGLE_STEP * np.arange(-40, 41, 20)
#: Rods after the lever, where the shaft behind it turns the other way.
ONWARD: Final = Vary(driver=KEPT, driven=ANYWHERE, flipped=True, calm=0.03)
AMPLE: Final = Vary(driver=ANYWHERE, driven=ANYWHERE, flipped=True, calm=0.03)


def _plane(ground: Ground, index: int, moved: Frame) -> Plane:
    """Return a rod's pins in the plane of its driven shaft; of three positions."""
    link = ground.path[index]
    one, two = (ground.layout.shafts[h.shaft] for h in link.holes)
    flat = np.array([two.axis.u, two.axis.v])
    aim = ground.aim(index, flipped=True)
    begin, middle, end = (flat @ moved.pin(link.driver)).T
    arm = two.arms[link.driven.arm]
    at = arm.angle + aim.sense * aim.turn / 2
    pivot = flat @ np.array(two.pivot)
    return Plane(
        driver_pivot=flat @ np.array(one.pivot),
        pivot=pivot,
        pin=middle,
        pin_way=end - begin,
        lever=pivot + arm.length * np.array([math.cos(at), math.sin(at)]),
        lever_way=aim.sense * np.array([-math.sin(at), math.cos(at)]),
        half_swing=aim.turn / 2,
        driver_radius=one.arms[link.driver.arm].length,
        radius=arm.length,
    )


def _unused(word: str, taken: Container[str]) -> str:
    while word in taken:
        word += " too"
    return word


def with_lever(layout: Layout, link: Link, found: Seats) -> tuple[Layout, Link, Link]:
    """Return a layout with a reversing lever in a rod, one place a row.

    Parameters
    ----------
    layout : Layout
        As swapped.
    link : Link
        The rod that is parted.
    found : Seats
        Where the lever sits.

    Returns
    -------
    layout : Layout
        With one more shaft and one more rod; both halves cut to fit.
    first, second : Link
        To the reversing lever, and from it onward.
    """
    one, two = (layout.shafts[h.shaft] for h in link.holes)
    n = two.axis.n
    station = dot(two.pin(link.driven.arm), n)
    pivot = add((0.0, 0.0, 0.0), n, station)
    for axis, along in zip((two.axis.u, two.axis.v), found.place, strict=True):
        pivot = add(pivot, axis, along[:, None])
    side = dot(one.pin(link.driver.arm), n) - station if parallel(one, two) else 0.0
    name = _unused("reversing lever", layout.shafts)
    lengths, angles = found.lengths[..., None], found.angles[..., None]
    angles = angles - 2 * np.pi * np.round(angles / (2 * np.pi))
    arms = {
        "in": Arm(name="in", length=lengths[0], angle=angles[0], offset=round(side, 9)),
        "out": Arm(name="out", length=np.round(lengths[1], 9), angle=angles[1]),
    }
    x, y, z = (np.round(c, 9) for c in pivot)
    bearing = one.bearing or two.bearing
    shaft = Shaft(name=name, pivot=(x, y, z), axis=two.axis, arms=arms, bearing=bearing)
    into, out = (Hole(shaft=name, arm=a) for a in ("in", "out"))
    whole = link.rod
    plain = replace(whole, slot=0.0, slot_at="end", only="", lost=0.0)
    plain = replace(plain, over_travel=0.0, over_travel_load=0.0, over_travel_rate=0.0)
    # What loses motion goes on to lose it at one place: a slot at its own hole. A
    # spring that gives once the lever is on its stop is next to the lever.
    slotted = whole.start if whole.slot_at == "start" else whole.end
    behind = whole.gives or (bool(whole.slot) and slotted == link.driven)
    first = replace(
        plain if behind else replace(whole, slot_at="start" if whole.slot else "end"),
        start=link.driver,
        end=into,
        length=None,
    )
    second = replace(
        replace(whole, slot_at="end") if behind else plain,
        name=_unused(f"{whole.name} from reversing lever", layout.rods),
        start=out,
        end=link.driven,
        length=None,
        joints=(whole.joints[1], whole.joints[1]),
        mass=0.0,
    )
    engine = layout.engine
    if two.name in engine.carries:
        engine = replace(engine, carries=(*engine.carries, name))
    shafts: dict[str, Shaft] = {}
    for key, old in layout.shafts.items():
        shafts |= {name: shaft, key: old} if key == two.name else {key: old}
    rods: dict[str, Rod] = {}
    for key, rod in layout.rods.items():
        halves = {key: first, second.name: second}
        rods |= halves if key == whole.name else {key: rod}
    new = replace(layout, shafts=shafts, rods=rods, engine=engine)
    onward = Link(rod=second, driver=out, driven=link.driven)
    return new, Link(rod=first, driver=link.driver, driven=into), onward


def search_lever(ground: Ground, index: int) -> list[Candidates]:
    """Return the best places of a reversing lever in a rod.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    index : int
        Of the rod on the way.

    Returns
    -------
    list of Candidates
        Empty where there is no place.
    """
    link = ground.path[index]
    if not may_be_parted(ground.layout, link.rod.name):
        return []
    travel = ground.layout.pedal.travel
    driver = link.driver.shaft
    if driver != ground.layout.pedal.shaft:
        base = chain(ground.layout, driver)
    else:
        base = chain(ground.layout, link.driven.shaft)
    ends = sweep(assemble(base), [0.0, travel / 2, travel])
    plane = _plane(ground, index, frame(ends))
    if not np.isfinite(plane.pin_way).all():
        return []
    found = seats(plane)
    some = [
        rows[:: max(len(rows) // most, 1)]
        for pushes, most in enumerate(LOOKED_AT)
        if len(rows := np.flatnonzero(found.pushes == pushes))
    ]
    if not some:
        return []
    return _solved(ground, index, found.take(np.concatenate(some)))


def _solved(ground: Ground, index: int, found: Seats) -> list[Candidates]:
    layout, first, second = with_lever(ground.layout, ground.path[index], found)
    aim = ground.aim(index, flipped=True)
    onto = Aim(sense=1, turn=1.0, throttle=False, look=aim.look, tip_in=aim.tip_in)
    score, good = np.zeros(len(found)), np.zeros(len(found), dtype=bool)
    near = chain(layout, first.driven.shaft)
    for sense in (1, -1):
        rows = np.flatnonzero(found.sense == sense)
        if rows.size:
            here = take(near, rows)
            outcome = attempt(
                here, first, _now(here, first), replace(onto, sense=sense), FEW
            )
            good[rows] = (outcome.score < NEVER) & ~outcome.jams
            score[rows] = np.degrees(np.maximum(aim.look + HAND - outcome.least, 0.0))
    rows = np.flatnonzero(good)
    if not rows.size:
        return []
    layout, found, score = take(layout, rows), found.take(rows), score[rows]
    far = chain(layout, second.driven.shaft)
    outcome = attempt(far, second, _now(far, second), aim, FEW)
    order = np.argsort(score + outcome.score, kind="stable")
    best = np.concatenate(
        [order[found.pushes[order] == n][:most] for n, most in enumerate(TRIED)]
    )
    layout, found, score = take(layout, best), found.take(best), score[best]
    layout, ranks, outcome = _fitted(layout, second, aim)
    calm = 90 - np.degrees(outcome.least)
    ranks = score + ranks + 1.5 * found.pushes + 0.02 * calm
    ranks = np.where(outcome.score < NEVER, ranks, np.inf)
    best = np.argsort(ranks, kind="stable")[:JUDGED]
    best = best[np.isfinite(ranks[best])]
    if not best.size:
        return []
    layout, ranks, reached = take(layout, best), ranks[best], outcome.reached[best]
    if index == ground.last:
        return [Candidates(layout=layout, rank=ranks, reached=reached)]
    return _onward(ground, index, layout, ranks)


def _now(layout: Layout, link: Link) -> Arms:
    """Return the arms of a rod as they are, as rows."""
    arms = [layout.shafts[h.shaft].arms[h.arm] for h in link.holes]
    values = np.broadcast_arrays(
        *(np.ravel(v) for a in arms for v in (a.length, a.angle))
    )
    one, two = link.holes
    return {one: (values[0], values[1]), two: (values[2], values[3])}


def _fitted(layout: Layout, link: Link, aim: Aim) -> tuple[Layout, FloatArray, Outcome]:
    """Make the far arm a little longer and clock the driven one a little, if it helps."""
    now = _now(layout, link)
    (length, angle), (radius, clocked) = now.values()
    clock = CLOCK if may_turn(layout, link.driven) else np.zeros(1)
    rows, each = len(length), len(LONGER) * len(clock)
    longer, turned = (
        m.ravel() for m in np.meshgrid(length_step() * LONGER, clock, indexing="ij")
    )
    of = np.repeat(np.arange(rows), each)

    def arms(longer: FloatArray, turned: FloatArray, of: Index) -> Arms:
        one, two = link.holes
        return {
            one: (length[of] + longer, angle[of]),
            two: (radius[of], clocked[of] + turned),
        }

    far = chain(layout, link.driven.shaft)
    tried = attempt(
        take(far, of),
        link,
        arms(np.tile(longer, rows), np.tile(turned, rows), of),
        aim,
        FEW,
    )
    by = np.degrees(np.abs(np.tile(turned, rows)))
    ranks = (tried.score + 2.0 * (by > 0) + 0.01 * by).reshape(rows, each)
    best = np.argmin(ranks, axis=1)
    whole = arms(longer[best], turned[best], np.arange(rows))
    outcome = attempt(far, link, whole, aim, SAMPLES)
    by = np.degrees(np.abs(turned[best]))
    return arms_set(layout, whole), outcome.score + 2.0 * (by > 0) + 0.01 * by, outcome


def _onward(
    ground: Ground, index: int, layout: Layout, ranks: FloatArray
) -> list[Candidates]:
    """Set the arms of the rods after the lever, whose shafts turn the other way."""
    out = []
    for vary in (ONWARD, AMPLE):
        path = ground.path[index + 1 :]
        varies = held(layout, path, [vary] * len(path))
        found = search(layout, path, varies, ground.aims(varies, index + 1))
        if len(found):
            rank = found.rank + ranks[found.of]
            whole = found.layout(layout)
            out.append(Candidates(layout=whole, rank=rank, reached=found.reached))
    return out
