"""How each thing is set back: from the new layout to it with a part as it was.

Rods that touch what is set back are cut to fit.

Not here: what can be set back (`comparison.units`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from linkage.comparison.cables import cam_here, drum_back
from linkage.comparison.recut import recut
from linkage.comparison.senses import across_from
from linkage.comparison.turned import SIDE, direction, reflected
from linkage.model import Hole
from linkage.model.axes import add
from linkage.model.refs import Ref

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.model import Layout, Shaft, Spring, Vector


def arm_back(old: Layout, mirror: str, hole: Ref) -> Callable[[Layout], Layout]:
    """Return what sets an arm's length, direction and rim back; its place stays."""

    def put(layout: Layout) -> Layout:
        was = old.shafts[hole.name].arms[hole.part]
        angle = angle_here(old, layout, hole, mirror)
        layout = drum_back(old, layout, hole, mirror)
        return with_arm(layout, hole, length=was.length, angle=angle)

    return put


def angle_here(old: Layout, new: Layout, hole: Ref, mirror: str = "") -> float:
    """Return the old direction of an arm as the new layout's viewer measures it. [rad].

    Where the shaft lies in another direction, the number as it was.
    """
    one, two = old.shafts[hole.name], new.shafts[hole.name]
    if not across_from(one, two):
        return float(one.arms[hole.part].angle)
    way = reflected(direction(old, hole.name, hole.part), mirror)
    u, v = np.array(two.axis.u, float), np.array(two.axis.v, float)
    return math.atan2(float(np.dot(way, v)), float(np.dot(way, u)))


def with_arm(layout: Layout, hole: Ref, **numbers: float) -> Layout:
    """Return a layout with numbers of one arm changed and its rods cut to fit."""
    changed = layout.with_arm(Hole(shaft=hole.name, arm=hole.part), **numbers)
    return recut(changed, {hole.name})


def offset_back(old: Layout, new: Layout, hole: Ref) -> Callable[[Layout], Layout]:
    """Return what slides an arm back to where it sat along its shaft."""
    facing = across_from(old.shafts[hole.name], new.shafts[hole.name]) or 1
    offset = old.shafts[hole.name].arms[hole.part].offset * facing
    return lambda layout: with_arm(layout, hole, offset=offset)


def crank_back(
    old: Layout, mirror: str, holes: tuple[Ref, ...]
) -> Callable[[Layout], Layout]:
    """Return what sets several arms of one shaft back."""

    def put(layout: Layout) -> Layout:
        for hole in holes:
            layout = arm_back(old, mirror, hole)(layout)
        return layout

    return put


def place_back(name: str, pivot: Vector) -> Callable[[Layout], Layout]:
    """Return what sets a shaft back to where it stood, with its new arms."""

    def put(layout: Layout) -> Layout:
        shaft = replace(layout.shafts[name], pivot=pivot)
        return recut(layout.with_shaft(shaft), {name})

    return put


def _merged(was: Shaft, now: Shaft) -> Shaft:
    """Return an old shaft with the arms that only the new one has."""
    return replace(was, arms={**now.arms, **was.arms})


def shaft_back(was: Shaft) -> Callable[[Layout], Layout]:
    """Return what sets a shaft back with its arms and its place."""

    def put(layout: Layout) -> Layout:
        shaft = _merged(was, layout.shafts[was.name])
        return recut(layout.with_shaft(shaft), {was.name})

    return put


def rod_back(old: Layout, name: str, mirror: str = "") -> Callable[[Layout], Layout]:
    """Return what joins a rod as it was joined, of its old length and make."""

    def put(layout: Layout) -> Layout:
        was = old.rods[name]
        if {was.kind, layout.rods[name].kind} != {"rod"}:
            there = cam_here(old, layout, was, mirror)
            return replace(layout, rods={**layout.rods, name: there})
        rod = replace(
            layout.rods[name],
            start=was.start,
            end=was.end,
            length=was.length,
            slot=was.slot,
            slot_at=was.slot_at,
            only=was.only,
            lost=was.lost,
            over_travel=was.over_travel,
            over_travel_load=was.over_travel_load,
            over_travel_rate=was.over_travel_rate,
        )
        return replace(layout, rods={**layout.rods, name: rod})

    return put


def spring_back(was: Spring) -> Callable[[Layout], Layout]:
    """Return what sets a spring back with its hook and its anchor."""
    return lambda layout: layout.with_spring(was)


def opens_back(name: str) -> Callable[[Layout], Layout]:
    """Return what has a throttle open the other way."""

    def put(layout: Layout) -> Layout:
        now = layout.throttles[name]
        changed = replace(now, opens=-now.opens)
        return replace(layout, throttles={**layout.throttles, name: changed})

    return put


def presses_back(layout: Layout) -> Layout:
    """Return a layout whose pedal is pressed the other way."""
    return replace(layout, pedal=replace(layout.pedal, presses=-layout.pedal.presses))


def carburettor_back(old: Layout, name: str) -> Callable[[Layout], Layout]:
    """Return what sets a carburettor back with its lever, its springs and its place."""

    def put(layout: Layout) -> Layout:
        shaft = layout.throttles[name].shaft
        springs = {
            n: s
            for n, s in old.springs.items()
            if s.shaft == shaft and n in layout.springs
        }
        back = shaft_back(old.shafts[shaft])(layout)
        return replace(
            back,
            throttles={**back.throttles, name: old.throttles[name]},
            springs={**back.springs, **springs},
        )

    return put


def carburettor_here(old: Layout, name: str) -> Callable[[Layout], Layout]:
    """Return what puts the old carburettor where the new one is, springs and all.

    Arms keep the places along their shaft of the new one, where rods come from there;
    each spring is anchored as far from its hook as it was.
    """

    def put(layout: Layout) -> Layout:
        shaft = layout.throttles[name].shaft
        was, now = old.shafts[shaft], layout.shafts[shaft]
        arms = {
            n: replace(arm, offset=now.arms[n].offset if n in now.arms else arm.offset)
            for n, arm in was.arms.items()
        }
        here = replace(was, pivot=now.pivot, arms={**now.arms, **arms})
        springs = {
            n: _anchored_here(s, was, here)
            for n, s in old.springs.items()
            if s.shaft == shaft and n in layout.springs
        }
        return replace(
            recut(layout.with_shaft(here), {shaft}),
            throttles={**layout.throttles, name: old.throttles[name]},
            springs={**layout.springs, **springs},
        )

    return put


def _anchored_here(spring: Spring, was: Shaft, here: Shaft) -> Spring:
    if spring.anchor is None or not spring.arm:
        return spring
    away = add(spring.anchor, was.pin(spring.arm), -1)
    return replace(spring, anchor=add(here.pin(spring.arm), away))


def hand_changed(into: Hole, out: Hole) -> Callable[[Layout], Layout]:
    """Return what mirrors the far arm of a crank about its near one."""

    def put(layout: Layout) -> Layout:
        arms = layout.shafts[out.shaft].arms
        one, two = arms[into.arm].angle, arms[out.arm].angle
        # A lever whose arms lie in one line has no hand: its far arm goes across.
        flat = abs(math.sin(two - one)) < SIDE
        new = two + math.pi if flat else 2 * one - two
        angle = math.remainder(new, 2 * math.pi)
        return with_arm(layout, Ref("arm", out.shaft, out.arm), angle=angle)

    return put
