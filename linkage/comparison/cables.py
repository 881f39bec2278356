"""In what cables and drums differ between two layouts, and how each is set back.

Not here: rods and bare arms (`comparison.changes`, `comparison.back`), the words
(`report.compare_cables`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.comparison.senses import MIRRORS, across_from
from linkage.forces.sheath import sheath_friction
from linkage.model import Cable
from linkage.model.axes import add, norm
from linkage.model.refs import Ref

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from linkage.comparison.image import Image
    from linkage.model import Arm, Layout, Rod, SheathEnd

#: Differences under these are none. [m], [1]
SAME_PLACE: Final = 1e-6
SAME_SHARE: Final = 1e-6
#: Kinds of changes of cables and drums, with what is told of them.
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
    one, two = old.shafts[hole.name], new.shafts[hole.name]
    was = int(one.arms[hole.part].wound)
    turn = np.array(one.axis.n, float) * np.array(MIRRORS[mirror])
    along = float(np.dot(turn, np.array(two.axis.n, float)))
    if not across_from(one, two):
        return was
    return was if along > 0 else -was


def drum_back(old: Layout, new: Layout, hole: Ref, mirror: str = "") -> Layout:
    """Return the new layout with an arm a drum as it was, or bare; its length stays."""
    was = old.shafts[hole.name].arms[hole.part]
    shaft = new.shafts[hole.name]
    arm: Any = shaft.arms[hole.part]
    wound: Any = wound_here(old, new, hole, mirror)
    if (arm.wound, arm.rim) == (wound, was.rim):
        return new
    arms = {**shaft.arms, hole.part: replace(arm, wound=wound, rim=was.rim)}
    return replace(new, shafts={**new.shafts, hole.name: replace(shaft, arms=arms)})


def drum_changes(old: Layout, new: Layout, mirror: str) -> Iterator[tuple[Any, ...]]:
    """Yield kind, part, old and new of what differs at drums."""
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
                yield "drum wound", about, wound, arm.wound
            elif _rim(was) != _rim(arm):
                yield "drum rim", about, was.called, arm.called


def _rim(arm: Arm) -> tuple[tuple[float, float], ...]:
    """Return a rim as shares of the radius at its nipple, as many digits as are meant."""
    first = arm.rim[0][1] if arm.rim else 1.0
    return tuple((round(turn, 6), round(away / first, 6)) for turn, away in arm.rim)


def cable_changes(was: Rod, now: Rod) -> Iterator[tuple[Any, ...]]:
    """Yield kind, part, old and new of what differs between cables, or cable and rod."""
    about = Ref("rod", now.name)
    if was.kind != now.kind:
        yield "rod kind", about, was.kind, now.kind
    if isinstance(was, Cable) and isinstance(now, Cable):
        yield from _led(was, now)
        yield from _sizes(was, now)


def _led(was: Cable, now: Cable) -> Iterator[tuple[Any, ...]]:
    """Yield where a sheath ends now, and whether it is led another way."""
    about = Ref("rod", now.name)
    same = was.start == now.start
    ends = was.ends if same else was.ends[::-1]
    for kind, hole, one, two in zip(
        ENDS, (now.start, now.end), ends, now.ends, strict=True
    ):
        if one.on != two.on or norm(add(two.point, one.point, -1)) > SAME_PLACE:
            yield kind, about, one, (str(hole), two)
    through = was.through if same else was.through[::-1]
    if through != now.through or _differ(was.bend, now.bend):
        yield "sheath bends", about, None, None


def _sizes(was: Cable, now: Cable) -> Iterator[tuple[Any, ...]]:
    about = Ref("rod", now.name)
    rubs = sheath_friction(was), sheath_friction(now)
    if _differ(*rubs):
        yield "sheath friction", about, *rubs
    if _differ(was.sheath_length, now.sheath_length):
        yield "sheath length", about, was.sheath_length, now.sheath_length
    for field in ("wire", "stroke", "push_limit"):
        one, two = getattr(was, field), getattr(now, field)
        if _differ(one, two):
            yield f"cable {field.split('_')[0]}", about, one, two


def _differ(one: Any, two: Any) -> bool:  # noqa: ANN401
    if one is None or two is None:
        return one is not two
    return bool(abs(two - one) > SAME_SHARE * max(abs(one), abs(two)))


def sheath_back(
    old: Layout, name: str, i: int, shown: Image | None
) -> Callable[[Layout], Layout]:
    """Return what puts one end of a sheath back to where it was, or is in an image."""

    def put(layout: Layout) -> Layout:
        now: Any = layout.rods[name]
        ends = list(now.ends)
        ends[i] = end_here(old, layout, name, i, shown)
        length = None if now.length is not None and not now.fixed else now.length
        cable = replace(now, ends=tuple(ends), length=length)
        return replace(layout, rods={**layout.rods, name: cable})

    return put


def end_here(
    old: Layout, new: Layout, name: str, i: int, shown: Image | None
) -> SheathEnd:
    """Return the old end of a sheath that is one of the new one, or its image."""
    was: Any = old.rods[name]
    same = was.start == new.rods[name].start
    end: SheathEnd = (was.ends if same else was.ends[::-1])[i]
    return end if shown is None else replace(end, point=shown.of(end.point))
