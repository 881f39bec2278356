"""What differs between the parts that two layouts have in common, number by number.

Not here: which of it turned the sense round (`comparison.trials`), the words
(`report.compare_words`).
"""

from __future__ import annotations

import math
from dataclasses import fields
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.comparison.cables import (
    cable_changes,
    cam_changes,
    cam_here,
    drum_changes,
)
from linkage.comparison.change import SAME_LENGTH, Change, apart, differ
from linkage.comparison.senses import across_from, driven_order
from linkage.comparison.slides import slide_changes
from linkage.comparison.turned import arm_moved
from linkage.model import Slide
from linkage.model.refs import Ref

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout, Rod, Shaft

#: Difference under which shafts lie as they did. [1]
SAME_ANGLE: Final = 1e-6
#: The same of what a rod loses, which follows from places that were measured. [m]
SAME_LOST: Final = 5e-5


def changes(old: Layout, new: Layout, mirror: str = "") -> tuple[Change, ...]:
    """Return what differs between two layouts, what moved first.

    Parameters
    ----------
    old, new : Layout
        Parts that are one by one name.
    mirror : str
        A key of `senses.MIRRORS`: arms are compared as they are in that image.
    """
    return (
        *_shafts(old, new),
        *_arms(old, new, mirror),
        *drum_changes(old, new, mirror),
        *_rods(old, new, mirror),
        *_springs(old, new),
        *_ends(old, new),
        *_obstacles(old, new),
        *_heat(old, new),
    )


def _heat(old: Layout, new: Layout) -> Iterator[Change]:
    """Yield that another heat is told of."""
    if old.heat != new.heat:
        yield Change(kind="heat", about=Ref("all", "heat"))


def _obstacles(old: Layout, new: Layout) -> Iterator[Change]:
    """Yield obstacles that are others, that are new, and that are gone."""
    for name in dict.fromkeys([*old.obstacles, *new.obstacles]):
        was, now = old.obstacles.get(name), new.obstacles.get(name)
        if was != now:
            yield Change(kind="obstacle", about=Ref("obstacle", name), old=was, new=now)


def _both(old: Layout, new: Layout) -> Iterator[tuple[str, Shaft, Shaft]]:
    for name in driven_order(new):
        if name in old.shafts:
            yield name, old.shafts[name], new.shafts[name]


def _shafts(old: Layout, new: Layout) -> Iterator[Change]:
    for name, one, two in _both(old, new):
        if isinstance(two, Slide):
            yield from slide_changes(one, two)
            continue
        if apart(one.pivot, two.pivot):
            yield Change(
                kind="place", about=Ref("shaft", name), old=one.pivot, new=two.pivot
            )
        n = [np.array(s.axis.n, float) for s in (one, two)]
        if abs(float(np.dot(*n))) < 1 - SAME_ANGLE:
            yield Change(
                kind="axis", about=Ref("shaft", name), old=one.axis, new=two.axis
            )


def _arms(old: Layout, new: Layout, mirror: str) -> Iterator[Change]:
    for name, one, two in _both(old, new):
        facing = across_from(one, two)
        for arm in () if two.slides else two.arms.values():
            was = one.arms.get(arm.name)
            if was is None:
                continue
            about = Ref("arm", name, arm.name)
            if abs(arm.length - was.length) > SAME_LENGTH:
                yield Change(
                    kind="arm length", about=about, old=was.length, new=arm.length
                )
            if arm_moved(old, new, name, arm.name, mirror) and facing:
                yield Change(
                    kind="arm angle",
                    about=about,
                    old=was.angle if facing > 0 else flipped(was.angle, one, two),
                    new=arm.angle,
                )
            offset = was.offset * (facing or 1)
            if abs(arm.offset - offset) > SAME_LENGTH:
                yield Change(kind="arm offset", about=about, old=offset, new=arm.offset)


def flipped(angle: float, one: Shaft, two: Shaft) -> float:
    """Return an angle of one shaft as it is measured at another. [rad]."""
    u, v = np.array(one.axis.u, float), np.array(one.axis.v, float)
    way = u * math.cos(angle) + v * math.sin(angle)
    return math.atan2(
        float(np.dot(way, np.array(two.axis.v, float))),
        float(np.dot(way, np.array(two.axis.u, float))),
    )


def _rods(old: Layout, new: Layout, mirror: str) -> Iterator[Change]:
    for name, rod in new.rods.items():
        was = old.rods.get(name)
        if was is None:
            continue
        about = Ref("rod", name)
        if {was.start, was.end} != {rod.start, rod.end}:
            yield Change(
                kind="rod ends",
                about=about,
                old=(was.start, was.end),
                new=(rod.start, rod.end),
            )
        if differ(was.length, rod.length):
            yield Change(kind="rod length", about=about, old=was.length, new=rod.length)
        yield from _make(was, rod)
        yield from cam_changes(cam_here(old, new, was, mirror), rod)
        yield from cable_changes(was, rod)


#: Way, load and rate of a rod that does not give.
_NO_SPRING: Final = (0.0, 0.0, 0.0)


def _make(was: Rod, rod: Rod) -> Iterator[Change]:
    """Yield how a rod differs by its make: what loses motion or gives."""
    about = Ref("rod", rod.name)
    if was.only != rod.only:
        yield Change(kind="rod way", about=about, old=was.only, new=rod.only)
    if abs(was.slot - rod.slot) > SAME_LENGTH:
        yield Change(kind="rod slot", about=about, old=was.slot, new=rod.slot)
    if rod.loose and abs(was.lost - rod.lost) > SAME_LOST:
        yield Change(kind="rod lost", about=about, old=was.lost, new=rod.lost)
    one, two = _over_travel(was), _over_travel(rod)
    if any(map(differ, one or _NO_SPRING, two or _NO_SPRING)):
        yield Change(kind="rod over-travel", about=about, old=one, new=two)


def _over_travel(rod: Rod) -> tuple[float, ...] | None:
    """Return way, load and rate of a rod's over-travel spring; None where it has none."""
    if not rod.gives:
        return None
    return rod.over_travel, rod.over_travel_load, rod.over_travel_rate


def _springs(old: Layout, new: Layout) -> Iterator[Change]:
    for name, spring in new.springs.items():
        was = old.springs.get(name)
        if was is None:
            continue
        about = Ref("spring", name)
        if (was.shaft, was.arm) != (spring.shaft, spring.arm):
            yield Change(
                kind="spring hook",
                about=about,
                old=(was.shaft, was.arm),
                new=(spring.shaft, spring.arm),
            )
        ends = was.anchor, spring.anchor
        if None in ends:
            if ends[0] is not ends[1]:
                yield Change(
                    kind="spring anchor", about=about, old=ends[0], new=ends[1]
                )
        elif apart(*ends):
            yield Change(kind="spring anchor", about=about, old=ends[0], new=ends[1])
        one, two = was.known, spring.known
        other = any(
            differ(getattr(one, f.name), getattr(two, f.name)) for f in fields(one)
        )
        if other or was.kind != spring.kind:
            yield Change(kind="spring", about=about, old=was.kind, new=spring.kind)


def _ends(old: Layout, new: Layout) -> Iterator[Change]:
    for name, throttle in new.throttles.items():
        was = old.throttles.get(name)
        if was is None:
            continue
        about = Ref("throttle", name)
        facing = across_from(old.shafts[was.shaft], new.shafts[throttle.shaft])
        opened = was.opens * (facing or 1)
        if opened != throttle.opens:
            yield Change(kind="opens", about=about, old=opened, new=throttle.opens)
        if differ(was.swing, throttle.swing):
            yield Change(kind="swing", about=about, old=was.swing, new=throttle.swing)
    one, two = old.pedal, new.pedal
    facing = across_from(old.shafts[one.shaft], new.shafts[two.shaft])
    if one.presses * (facing or 1) != two.presses:
        yield Change(
            kind="presses",
            about=Ref("pedal"),
            old=one.presses * (facing or 1),
            new=two.presses,
        )
    if differ(one.travel, two.travel):
        yield Change(kind="travel", about=Ref("pedal"), old=one.travel, new=two.travel)
    yield from _hands(old, new)
    if old.limits != new.limits:
        yield Change(kind="limits", about=Ref("all", "limits"))


def _hands(old: Layout, new: Layout) -> Iterator[Change]:
    """Yield in what a hand lever differs."""
    one, two, about = old.hand, new.hand, Ref("hand")
    if one is None or two is None:
        if one is not two:
            known = one is not None, two is not None
            yield Change(kind="hand", about=about, old=known[0], new=known[1])
        return
    facing = across_from(old.shafts[one.shaft], new.shafts[two.shaft])
    pulled = one.pulls * (facing or 1)
    if pulled != two.pulls:
        yield Change(kind="pulls", about=about, old=pulled, new=two.pulls)
    if differ(one.travel, two.travel):
        yield Change(kind="travel", about=about, old=one.travel, new=two.travel)
    if differ(one.holds, two.holds):
        yield Change(kind="holds", about=about, old=one.holds, new=two.holds)
    if differ(one.fast_idle, two.fast_idle):
        yield Change(
            kind="fast idle", about=about, old=one.fast_idle, new=two.fast_idle
        )
