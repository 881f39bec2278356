"""In what cables, drums and cams differ between two layouts, and how each is set back.

Not here: rods and bare arms (`comparison.changes`, `comparison.back`), the words
(`report.compare_cables`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.comparison.change import Change, apart, differ
from linkage.comparison.senses import across_from, other_way
from linkage.forces.sheath import sheath_friction
from linkage.model import Cable, Cam
from linkage.model.refs import Ref

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from linkage.comparison.image import Image
    from linkage.model import Arm, Layout, Rod, SheathEnd

#: Kinds of changes of the ends of a sheath, in the order of these.
ENDS: Final = ("sheath from", "sheath to")


def wound_here(old: Layout, new: Layout, hole: Ref, mirror: str = "") -> int:
    """Return how the old drum is wound as the new layout's viewer sees it.

    Parameters
    ----------
    old, new : Layout
        Parts that are one by one name.
    hole : Ref
        The arm.
    mirror : str
        A key of `senses.MIRRORS`: how the new layout stands to the old one.

    Returns
    -------
    int
        1 anticlockwise, -1 clockwise, 0 of a bare arm; as it was where the shaft lies in
        another direction.
    """
    was = int(old.shafts[hole.name].arms[hole.part].wound)
    return _sense_here(old, new, hole.name, mirror) * was


def _sense_here(old: Layout, new: Layout, shaft: str, mirror: str) -> int:
    """Return -1 where a turn of a shaft reads the other way round in the new layout."""
    one, two = old.shafts[shaft], new.shafts[shaft]
    turned = other_way(np.array(one.axis.n, float), np.array(two.axis.n, float), mirror)
    return -1 if across_from(one, two) and turned else 1


def cam_here(old: Layout, new: Layout, was: Rod, mirror: str = "") -> Rod:
    """Return an old cam as the new layout's viewer sees it, or in the mirror image.

    All that is no cam as it was, and a cam of which the shaft is gone.
    """
    if not isinstance(was, Cam) or was.start.shaft not in new.shafts:
        return was
    goes: Any = was.goes * _sense_here(old, new, was.start.shaft, mirror)
    return replace(was, goes=goes)


def drum_back(old: Layout, new: Layout, hole: Ref, mirror: str = "") -> Layout:
    """Return the new layout with an arm a drum as it was, or bare; its length stays."""
    shaft = new.shafts[hole.name]
    wound: Any = wound_here(old, new, hole, mirror)
    rim = old.shafts[hole.name].arms[hole.part].rim
    arm = replace(shaft.arms[hole.part], wound=wound, rim=rim)
    return new.with_shaft(shaft.with_arm(arm))


def drum_changes(old: Layout, new: Layout, mirror: str) -> Iterator[Change]:
    """Yield what differs at drums."""
    for name, shaft in new.shafts.items():
        if name not in old.shafts:
            continue
        for arm in shaft.arms.values():
            was = old.shafts[name].arms.get(arm.name)
            if was is None:
                continue
            about = Ref("arm", name, arm.name)
            wound = wound_here(old, new, about, mirror)
            if wound != arm.wound:
                yield Change(kind="drum wound", about=about, old=wound, new=arm.wound)
            elif _rim(was) != _rim(arm):
                yield Change(
                    kind="drum rim", about=about, old=was.called, new=arm.called
                )


def _rim(arm: Arm) -> tuple[tuple[float, float], ...]:
    """Return a rim as shares of the radius at its nipple, as many digits as are meant."""
    first = arm.rim[0][1] if arm.rim else 1.0
    return tuple((round(turn, 6), round(away / first, 6)) for turn, away in arm.rim)


def cable_changes(was: Rod, now: Rod) -> Iterator[Change]:
    """Yield what differs between two cables, or a cable and a rod."""
    if was.kind != now.kind:
        about = Ref("rod", now.name)
        yield Change(kind="rod kind", about=about, old=was.kind, new=now.kind)
    if isinstance(was, Cable) and isinstance(now, Cable):
        yield from _led(_begun(was, now), now)
        yield from _sizes(was, now)


def cam_changes(was: Rod, now: Rod) -> Iterator[Change]:
    """Yield what differs between two cams."""
    if not (isinstance(was, Cam) and isinstance(now, Cam)):
        return
    about = Ref("rod", now.name)
    if differ(was.roller, now.roller):
        one, two = 2 * was.roller, 2 * now.roller
        yield Change(kind="cam roller", about=about, old=one, new=two)
    if _profile(was) != _profile(now):
        yield Change(kind="cam profile", about=about)


def _profile(cam: Cam) -> tuple[object, ...]:
    """Return a profile over its first radius, as many digits as are meant."""
    arcs = (
        tuple(round(part, 6) for part in (arc.x / cam.base, arc.y / cam.base, arc.ends))
        for arc in cam.profile
    )
    return (cam.goes, *arcs)


def _begun(was: Cable, now: Rod) -> Cable:
    """Return an old cable as it is when it is given from the hole of a new one on."""
    if was.start == now.start:
        return was
    return replace(
        was,
        start=was.end,
        end=was.start,
        ends=was.ends[::-1],
        through=was.through[::-1],
    )


def _led(was: Cable, now: Cable) -> Iterator[Change]:
    """Yield where a sheath ends now, and whether it is led another way."""
    about = Ref("rod", now.name)
    for kind, hole, one, two in zip(
        ENDS, (now.start, now.end), was.ends, now.ends, strict=True
    ):
        if one.on != two.on or apart(one.point, two.point):
            yield Change(kind=kind, about=about, old=one, new=(str(hole), two))
    if was.through != now.through or differ(was.bend, now.bend):
        yield Change(kind="sheath bends", about=about)


def _sizes(was: Cable, now: Cable) -> Iterator[Change]:
    sizes = {
        "sheath friction": (sheath_friction(was), sheath_friction(now)),
        "sheath length": (was.sheath_length, now.sheath_length),
        "cable wire": (was.wire, now.wire),
        "cable stroke": (was.stroke, now.stroke),
        "cable push": (was.push_limit, now.push_limit),
    }
    for kind, (one, two) in sizes.items():
        if differ(one, two):
            yield Change(kind=kind, about=Ref("rod", now.name), old=one, new=two)


def sheath_back(
    old: Layout, name: str, i: int, shown: Image | None
) -> Callable[[Layout], Layout]:
    """Return what puts one end of a sheath back to where it was, or is in an image."""

    def put(layout: Layout) -> Layout:
        now: Any = layout.rods[name]
        end = old_end(old, layout, name, i)
        if shown is not None:
            end = replace(end, point=shown.of(end.point))
        length = now.length if now.fixed else None
        cable = replace(now.with_end(i, end), length=length)
        return replace(layout, rods={**layout.rods, name: cable})

    return put


def old_end(old: Layout, new: Layout, name: str, i: int) -> SheathEnd:
    """Return the old end of a sheath that is one of the new one."""
    was: Any = old.rods[name]
    return _begun(was, new.rods[name]).ends[i]
