"""What differs between two layouts, as things to make and things to do.

Each is a step with the part and what it was and becomes, in SI; `report.work` puts
them into words.

Not here: whether it helps (`swap.cures`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from linkage.errors import AssemblyError
from linkage.forces.sheath import sheath_friction
from linkage.model import Cable
from linkage.model.axes import add, norm
from linkage.model.refs import Ref
from linkage.motion import assemble
from linkage.motion.as_made import made_length, made_to_pull
from linkage.records import dataclass
from linkage.search.family import Step
from linkage.search.said_of_rods import between

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.connect import Connector
    from linkage.model import Arm, Layout, Shaft

#: Differences under these are none. [m], [rad]
SAME_LENGTH = 1e-6
SAME_ANGLE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """What it takes to come from one layout to another.

    Parameters
    ----------
    parts : tuple of Step
        New parts to be made.
    work : tuple of Step
        What is turned, moved or cut anew, rods last.
    """

    parts: tuple[Step, ...]
    work: tuple[Step, ...]


#: Kinds of step that are parts to be made; all others are work to be done.
_MADE = {"shaft", "crank", "arm", "arm length", "rod", "rod way", "sheath lined"}


def changes(old: Layout, new: Layout, *, clamped: str) -> Changes:
    """Return what it takes to come from one layout to another.

    Parameters
    ----------
    old, new : Layout
        Both can be put together, the new one for certain.
    clamped : str
        The shaft whose arms are set on it one by one; another that carries two
        rods is one piece, and a new part when the angle between them changes.
    """
    jobs: list[Step] = []
    for name, shaft in new.shafts.items():
        was = old.shafts.get(name)
        if was is None:
            jobs.append(Step(kind="shaft", about=Ref("shaft", name), new=shaft))
            continue
        if _apart(was.pivot, shaft.pivot):
            ref = Ref("shaft", name)
            jobs.append(
                Step(kind="bearings", about=ref, old=was.pivot, new=shaft.pivot)
            )
        piece = name != clamped and _one_piece(was, shaft, new)
        jobs += _arms(was, shaft, piece=piece)
    jobs += [*_springs(old, new), *_rods(old, new)]
    return Changes(
        parts=tuple(j for j in jobs if j.kind in _MADE),
        work=tuple(j for j in jobs if j.kind not in _MADE),
    )


def _apart(one: Any, two: Any) -> bool:  # noqa: ANN401
    return bool(norm(add(two, one, -1)) > SAME_LENGTH)


def turned(old: Arm, new: Arm) -> bool:
    """Tell whether an arm stands at another angle."""
    return abs(math.remainder(new.angle - old.angle, 2 * math.pi)) > SAME_ANGLE


def _one_piece(old: Shaft, new: Shaft, layout: Layout) -> bool:
    """Tell whether the angle changed between arms of a crank that carries two rods."""
    ends = [h for link in layout.links for h in link.holes]
    names = list(dict.fromkeys(h.arm for h in ends if h.shaft == new.name))
    known = [n for n in names if n in old.arms]
    if len(known) < 2 or layout.throttle_on(new.name) is not None:
        return False
    by = [new.arms[n].angle - old.arms[n].angle for n in known]
    return any(abs(math.remainder(b - by[0], 2 * math.pi)) > SAME_ANGLE for b in by)


def _arms(old: Shaft, new: Shaft, *, piece: bool) -> Iterator[Step]:
    for name, arm in new.arms.items():
        was = old.arms.get(name)
        if was is None:
            yield Step(kind="arm", about=Ref("arm", new.name, name), new=arm)
        elif not piece:
            yield from _arm(was, arm, new)
    if piece:
        yield Step(kind="crank", about=Ref("shaft", new.name), old=old, new=new)


def _arm(was: Arm, arm: Arm, shaft: Shaft) -> Iterator[Step]:
    about, more = Ref("arm", shaft.name, arm.name), {"arm": arm.called}
    if arm.wound != was.wound:
        seen = {"seen_from": shaft.axis.seen_from, "angle": arm.angle, "sheath": None}
        yield Step(
            kind="drum wound", about=about, old=was.wound, new=arm.wound, more=seen
        )
    elif abs(arm.length - was.length) > SAME_LENGTH:
        yield Step(kind="arm length", about=about, old=was, new=arm)
    elif turned(was, arm):
        yield Step(
            kind="arm angle", about=about, old=was.angle, new=arm.angle, more=more
        )
    if abs(arm.offset - was.offset) > SAME_LENGTH:
        yield Step(
            kind="arm offset", about=about, old=was.offset, new=arm.offset, more=more
        )


def _springs(old: Layout, new: Layout) -> Iterator[Step]:
    for name, spring in new.springs.items():
        was = old.springs[name]
        about = Ref("spring", name)
        if spring.anchor is not None and was.anchor is not None:
            if _apart(was.anchor, spring.anchor):
                yield Step(
                    kind="spring anchor", about=about, old=was.anchor, new=spring.anchor
                )
        elif spring.known != was.known:
            yield Step(kind="spring hand", about=about)
    if new.pedal.stop is not None and new.pedal.stop != old.pedal.stop:
        yield Step(
            kind="pedal stop",
            about=Ref("pedal stop"),
            old=old.pedal.stop,
            new=new.pedal.stop,
        )


def _rods(old: Layout, new: Layout) -> Iterator[Step]:
    try:
        lengths = {p.link.rod.name: made_length(p) for p in assemble(old).loops}
    except AssemblyError:
        lengths = {}
    for loop in assemble(new).loops:
        rod, size = loop.link.part, made_length(loop)
        about, was = Ref("rod", rod.name), lengths.get(rod.name)
        told = _told(loop)
        before = old.rods.get(rod.name)
        if before is None:
            more = {"length": size, **told}
            yield Step(kind="rod", about=about, new=rod, more=more)
            continue
        if isinstance(rod, Cable):
            yield from _sheath(before, rod)
        if rod.only != before.only:
            more = {"rod": rod.kind}
            yield Step(
                kind="rod way", about=about, old=before.only, new=rod.only, more=more
            )
        if was is None or abs(size - was) > SAME_LENGTH:
            yield Step(kind="rod cut", about=about, old=was, new=size, more=told)


def _told(loop: Connector) -> dict[str, Any]:
    """Return what the words of a rod's length need: a slot, or that it is a cable."""
    rod = loop.link.part
    if isinstance(rod, Cable):
        return {"cable": rod}
    if not rod.slot:
        return {}
    return {"between": between(rod, pulls=bool(made_to_pull(loop)))}


def _sheath(old: Any, cable: Cable) -> Iterator[Step]:  # noqa: ANN401
    """Yield what of a sheath is made anew, and its ends that are moved."""
    before, then = sheath_friction(old), sheath_friction(cable)
    if then != before:
        yield Step(
            kind="sheath lined",
            about=Ref("rod", cable.name),
            old=before,
            new=then,
            more={"cables": [cable.name]},
        )
    holes = (cable.start, cable.end)
    for hole, was, now in zip(holes, old.ends, cable.ends, strict=True):
        if _apart(was.point, now.point):
            yield Step(
                kind="sheath end",
                about=Ref("rod", cable.name),
                old=was.point,
                new=now.point,
                more={
                    "hole": str(hole),
                    "way": float(norm(add(now.point, was.point, -1))),
                },
            )
