"""Arms of the shaft that stays, slid along it so that their rods stay in plane.

Not here: what moves (`swap.mirror`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from linkage.model import Hole, Layout, Shaft
from linkage.model.axes import add, dot
from linkage.swap.moves import NO_MOVE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Arm, Link, Rod, Spring


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


def reached_along(shaft: Shaft) -> float:
    """Return the length of shaft between its outermost arms. [m]."""
    stations = [arm.offset for arm in shaft.arms.values()]
    return max(stations) - min(stations)


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
        With each of its rods leaning as it leaned, seen in the mirror.
    slides : tuple of Slide
        What was slid.
    """
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
        new = replace(
            new,
            arms={**new.arms, name: replace(arm, offset=round(arm.offset + by, 12))},
        )
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
