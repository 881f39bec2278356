"""The numbers of a layout that a person measures and writes.

Not here: places (`slips.places`), what may be wrong (`slips.sizes`, `slips.turned`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from linkage.model import Cable
from linkage.model.paths import read
from linkage.model.refs import Ref
from linkage.model.usual import USUAL
from linkage.records import dataclass
from linkage.slips.places import Place, pinned, places

#: A coordinate that is nought, to the last bit. [m]
NOUGHT: Final = 1e-9

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout
    from linkage.model.paths import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """One number.

    Parameters
    ----------
    about : Ref
        The part.
    path : tuple
        Where it is in the layout.
    what : str
        The number in words.
    kind : str
        Key of `quantities.SHOWN`.
    value : float
        [SI]
    size : str
        Key of `USUAL`; empty where nothing is usual, as of angles.
    place : Place, optional
        The place of which it is a coordinate.
    given : tuple of str
        Where it stands in the file, where that is not its path.
    less : float
        By how much what stands in the layout is less: of a wire the sheath. [m]
    """

    about: Ref
    path: Path
    what: str
    kind: str
    value: float
    size: str = ""
    place: Place | None = None
    given: tuple[str, ...] = ()
    less: float = 0.0

    @property
    def key(self) -> tuple[str, ...]:
        """Where it stands in the file."""
        if self.place is not None:
            return (*self.place.key, "xyz"[self.path[-1]])
        return self.given or tuple(map(str, self.path))

    def sets(self, new: float) -> dict[Path, object]:
        """Return what stands in the layout with another value of it. [SI]."""
        if self.place is None:
            return {self.path: new - self.less}
        x, y, z = (
            new if i == self.path[-1] else c for i, c in enumerate(self.place.point)
        )
        return self.place.sets((x, y, z))

    def usual(self, value: float) -> bool:
        """Tell whether a value of it is as usual, or nothing is."""
        return not self.size or not USUAL[self.size].outside(abs(value))


def written(layout: Layout) -> Iterator[Written]:
    """Yield every number of a layout that is measured, in the file's order."""
    path: Path
    yield from arm_numbers(layout)
    yield from coordinates(layout)
    yield from _of_rods(layout)
    path = ("pedal", "travel")
    what = "the governor's travel" if layout.governed else "the pad travel"
    travel = _number(layout, Ref("pedal"), path, what, "pad travel")
    yield replace(travel, given=("governor", "travel")) if layout.governed else travel
    if layout.pedal.stop is not None:
        what = "the pad travel at the pedal stop"
        yield _number(layout, Ref("pedal stop"), ("pedal", "stop"), what, "pad travel")
    for name in layout.throttles:
        yield Written(
            about=Ref("throttle", name),
            path=("throttles", name, "swing"),
            what=f"the swing of {name}",
            kind="angle",
            value=layout.throttles[name].swing,
            size="swing" if layout.swings_a_plate(name) else "",
        )
    for name, spring in layout.springs.items():
        if spring.known.free_length is not None and spring.kind != "torsion":
            path = ("springs", name, "known", "free_length")
            what = f"the free length of spring `{name}`"
            yield _number(layout, Ref("spring", name), path, what, "free length")


def _of_rods(layout: Layout) -> Iterator[Written]:
    """Yield the lengths of rods that are given, their slots, and what they lose."""
    for name, rod in layout.rods.items():
        about = Ref("rod", name)
        if isinstance(rod, Cable):
            yield from _of_cable(layout, rod)
            continue
        if rod.length is not None:
            path: Path = ("rods", name, "length")
            what = f"the length of rod `{name}`"
            yield _number(layout, about, path, what, "rod")
        lost = rod.lost if rod.length is None else 0.0
        for key, value in (("slot", rod.slot), ("lost", lost)):
            if value:
                path, what = ("rods", name, key), f"`{key}` of rod `{name}`"
                yield _number(layout, about, path, what, key)


def _of_cable(layout: Layout, cable: Cable) -> Iterator[Written]:
    """Yield the length of a wire, and how much of it hangs loose."""
    about, path = Ref("rod", cable.name), ("rods", cable.name)
    if cable.length is not None:
        sheath = float(cable.sheathed)
        yield Written(
            about=about,
            path=(*path, "length"),
            what=f"the wire length of {cable.called}",
            kind="length",
            value=float(cable.length) + sheath,
            size="wire length",
            given=(*cable.key, "wire_length"),
            less=sheath,
        )
    elif cable.lost:
        what = f"the slack of {cable.called}"
        slack = _number(layout, about, (*path, "lost"), what, "slack")
        yield replace(slack, given=(*cable.key, "slack"))


def _number(layout: Layout, about: Ref, path: Path, what: str, size: str) -> Written:
    value = float(read(layout, path))
    return Written(
        about=about, path=path, what=what, kind="length", value=value, size=size
    )


def arm_numbers(layout: Layout) -> Iterator[Written]:
    """Yield length, angle and offset of every arm that is given by them."""
    for name, shaft in layout.shafts.items():
        if shaft.slides:
            continue
        by_pin = pinned(shaft)
        for arm in shaft.arms.values():
            if arm.name in by_pin:
                continue
            ref, path = Ref("arm", name, arm.name), ("shafts", name, "arms", arm.name)
            what = f"the length of `{ref}`"
            yield _number(layout, ref, (*path, "length"), what, "arm")
            yield Written(
                about=ref,
                path=(*path, "angle"),
                what=f"the angle of `{ref}`",
                kind="angle",
                value=arm.angle,
            )
            if arm.offset:
                what = f"the offset of `{ref}`"
                yield _number(layout, ref, (*path, "offset"), what, "offset")


def coordinates(layout: Layout) -> Iterator[Written]:
    """Yield every coordinate of pivots, pins, anchors and sheaths that is not nought."""
    for place in places(layout):
        for i, value in enumerate(place.point):
            if abs(value) > NOUGHT:
                yield Written(
                    about=place.about,
                    path=(*place.path, i),
                    what=f"{place.word} {'xyz'[i]} of {place.what}",
                    kind="length",
                    value=value,
                    size="place",
                    place=place,
                )
