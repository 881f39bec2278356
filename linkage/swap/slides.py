"""Arms that slide along the shaft that stays, or its bearings that go sideways.

A shaft across the vehicle gets its arms slid along it, so that their rods stay in
plane. A shaft along the vehicle, or upright, is no shorter way across it: its
rods get longer sideways, unless its bearings go across too; then the arm that
drives it slides along the shaft before.

Not here: what moves (`swap.mirror`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.errors import AssemblyError
from linkage.model import Cable, Hole, Layout, Shaft
from linkage.model.axes import add, dot, norm
from linkage.motion import assemble
from linkage.records import dataclass
from linkage.swap.moves import NO_MOVE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Link, Rod, Spring, Vector

#: Part of a shaft's direction across the vehicle from which it is one across it.
ACROSS: Final = 0.5


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


def lies_across(shaft: Shaft) -> bool:
    """Tell whether a shaft lies across the vehicle, so that arms slide sideways on it.

    Pins of a slide, which goes along its axis itself, do not.
    """
    return bool(not shaft.slides and abs(shaft.axis.n[1]) > ACROSS)


def reached_along(shaft: Shaft) -> float:
    """Return the length of shaft between its outermost arms. [m]."""
    stations = [arm.offset for arm in shaft.arms.values()]
    return max(stations) - min(stations)


def _slide_of(before: Layout, after: Layout, link: Link) -> float:
    """Return how far the driving arm must slide so that its rod lies as before."""
    shaft = before.shafts[link.driver.shaft]
    one = shaft.pin(link.driver.arm)
    across = add(one, before.shafts[link.driven.shaft].pin(link.driven.arm), -1)
    mirrored = (across[0], -across[1], across[2])
    there = add(after.shafts[link.driven.shaft].pin(link.driven.arm), mirrored)
    by = dot(add(there, one, -1), shaft.axis.n)
    return by if lies_across(shaft) and abs(by) > NO_MOVE else 0.0


def slid(before: Layout, after: Layout, stays: str) -> tuple[Layout, tuple[Slide, ...]]:
    """Slide the arms of the shaft that stays, and their springs' anchors with them.

    Parameters
    ----------
    before, after : Layout
        Before the move; and moved, with the shaft that stays as it was.
    stays : str
        That shaft.

    Returns
    -------
    layout : Layout
        With each of its rods leaning as it leaned, seen in the mirror; as it was
        where the shaft is fixed.
    slides : tuple of Slide
        What was slid.
    """
    if before.shafts[stays].fixed:
        return after, ()  # it would have to be made longer, or drilled elsewhere
    wanted = {
        link.rod.name: _slide_of(before, after, link)
        for link in before.links
        # A sheath leads a wire anywhere.
        if link.driver.shaft == stays and not isinstance(link.rod, Cable)
    }
    return _slid(after, stays, wanted)


def _slid(
    layout: Layout, stays: str, wanted: Mapping[str, float]
) -> tuple[Layout, tuple[Slide, ...]]:
    """Slide the driving arms of a shaft's rods, each by so much along it."""
    slides: list[Slide] = []
    new = layout.shafts[stays]
    rods = dict(layout.rods)
    taken: dict[str, float] = {}
    held = {p.driven.arm for p in layout.links if p.driven.shaft == stays}
    if stays == layout.pedal.shaft:
        held.add(layout.pedal.pad)
    for link in layout.links:
        if link.driver.shaft != stays:
            continue
        by = wanted.get(link.rod.name, 0.0)
        name = link.driver.arm
        if by == 0.0:
            held.add(name)
            continue
        arm = layout.shafts[stays].arms[name]
        if name in held or abs(taken.get(name, by) - by) >= NO_MOVE:
            added = f"{arm.name} far"
            while added in new.arms:
                added += " too"
            hole = Hole(shaft=stays, arm=added)
            rods[link.rod.name] = _from_hole(rods[link.rod.name], link.driver, hole)
            slides.append(Slide(hole=hole, by=by, added_to=name))
        else:
            added, hole = name, link.driver
            if name not in taken:
                slides.append(Slide(hole=hole, by=by))
            taken[name] = by
        there = replace(arm, name=added, offset=round(arm.offset + by, 12))
        new = new.with_arm(there)
    way = new.axis.n
    springs = {
        n: _beside(s, add((0.0, 0.0, 0.0), way, taken[s.arm]))
        if s.shaft == stays and s.arm in taken
        else s
        for n, s in layout.springs.items()
    }
    shafts = {**layout.shafts, stays: new}
    return replace(layout, shafts=shafts, rods=rods, springs=springs), tuple(slides)


def _from_hole(rod: Rod, old: Hole, new: Hole) -> Rod:
    return replace(rod, start=new) if rod.start == old else replace(rod, end=new)


def _beside(spring: Spring, way: Vector) -> Spring:
    """Return a spring with its anchor moved along."""
    if spring.anchor is None:
        return spring
    return replace(spring, anchor=add(spring.anchor, way))


def bearings_across(layout: Layout, name: str, plane: float) -> Layout | None:
    """Return a layout with a shaft's bearings moved to the other side of a plane.

    The arm that drives it goes with them along the shaft before; where that one
    lies along the vehicle too, its bearings go as far.

    Parameters
    ----------
    layout : Layout
        As swapped, with the shaft where it was.
    name : str
        A shaft that does not lie across the vehicle.
    plane : float
        y of the plane. [m]

    Returns
    -------
    Layout or None
        None where the shaft lies across, is the pedal's or would not move, or what
        would have to move is fixed.
    """
    by = 2 * (plane - layout.shafts[name].pivot[1])
    if abs(by) < NO_MOVE:
        return None
    new = layout
    for link in reversed(layout.path_to(name)):
        moved = new.shafts[link.driven.shaft]
        if lies_across(moved) or moved.slides or moved.fixed:
            return None
        new = _moved(new, link.driven.shaft, by)
        driver = new.shafts[link.driver.shaft]
        if lies_across(driver):
            if driver.fixed:
                return None
            new, _ = _slid(new, driver.name, {link.rod.name: by * driver.axis.n[1]})
            return recut(layout, new)[0]
    return None  # the pedal's own: the foot stays where it is


def _moved(layout: Layout, name: str, by: float) -> Layout:
    shaft = layout.shafts[name]
    x, y, z = shaft.pivot
    springs = {
        n: _beside(s, (0.0, by, 0.0)) if s.shaft == name else s
        for n, s in layout.springs.items()
    }
    there = replace(shaft, pivot=(x, round(y + by, 12), z))
    return replace(layout, shafts={**layout.shafts, name: there}, springs=springs)


def recut(before: Layout, after: Layout) -> tuple[Layout, tuple[str, ...]]:
    """Leave no rod a given length that it had between other places; say which.

    A fixed rod keeps it all the same.
    """
    names = []
    for name, rod in after.rods.items():
        if rod.length is None or rod.fixed:
            continue
        old = before.rods[name]
        was, now = _apart(before, old), _apart(after, rod)
        if rod.loose or isinstance(rod, Cable):
            was, now = _drives_at(before, name), _drives_at(after, name)
        if was and not abs(now - was) <= NO_MOVE:
            names.append(name)
            after = after.with_rod(name, None)
    return after, tuple(names)


def _drives_at(layout: Layout, name: str) -> float:
    """Return the length at which a rod drives that loses at rest what it lost. [m].

    Of a cable its free wire.

    By a push its pin is at the other end of its slot than by a pull. nan where that
    cannot be told.
    """
    rods = {
        n: replace(r, length=None) if r.loose or n == name else r
        for n, r in layout.rods.items()
    }
    try:
        return float(assemble(replace(layout, rods=rods)).loop(name).length)
    except AssemblyError:
        return math.nan


def _apart(layout: Layout, rod: Rod) -> float:
    one, two = (layout.shafts[h.shaft].pin(h.arm) for h in (rod.start, rod.end))
    return float(norm(add(one, two, -1)))
