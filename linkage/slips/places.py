"""Places that a person measures: pivots, anchors, sheaths, obstacles, pins of arms.

A layout holds an arm by its length, angle and offset, also where the file gives its
pin. Such an arm is told by its numbers: length or angle have more digits than anybody
reads off, and the three of its pin have not.

Not here: what may be wrong with a place (`slips.turned`, `slips.sizes`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, TypeAlias

from linkage.model import Cable
from linkage.model.axes import add, dot
from linkage.model.refs import Ref
from linkage.quantities import spoken_unit
from linkage.records import dataclass
from linkage.slips.digits import as_read

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout, Shaft
    from linkage.model.paths import Path

Point: TypeAlias = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place.

    Parameters
    ----------
    about : Ref
        The part.
    path : tuple
        Where it stands in the layout; ends in pivot, anchor or pin, of a cable in point,
        or in the number of a point of its sheath, or of an obstacle.
    point : tuple of 3 floats
        [m]
    shaft : Shaft, optional
        Whose pivot it is, or on which the arm of the pin is.
    given : tuple of str
        Where it stands in the file, where that is not its path.
    """

    about: Ref
    path: Path
    point: Point
    shaft: Shaft | None = None
    given: tuple[str, ...] = ()

    @property
    def key(self) -> tuple[str, ...]:
        """Where it stands in the file."""
        return self.given or tuple(map(str, self.path))

    @property
    def word(self) -> str:
        """What kind of place it is, as the file has it."""
        return next(part for part in reversed(self.key) if not part.isdigit())

    @property
    def what(self) -> str:
        """What it is of, in words."""
        kinds = {"spring": "spring ", "rod": "cable ", "obstacle": "obstacle "}
        kind = kinds.get(self.about.kind, "")
        name = f"{kind}`{self.about.name}`"
        return f"`{self.about}`" if self.about.kind == "arm" else name

    def sets(self, new: Point) -> dict[Path, object]:
        """Return what stands in the layout with the place elsewhere. [m]."""
        numbers: dict[Path, object] = {}
        pins: dict[str, Point] = {}
        pivot = self.shaft.pivot if self.shaft else new
        if self.path[-1] == "pin":
            pins = {self.about.part: new}
        else:
            numbers = {
                (*self.path, i): new[i] for i in range(3) if new[i] != self.point[i]
            }
            if self.shaft:
                pivot, pins = new, pinned(self.shaft)
        for arm, pin in pins.items():
            assert self.shaft is not None  # noqa: S101
            path = ("shafts", self.shaft.name, "arms", arm)
            numbers |= {
                (*path, n): v for n, v in _by_pin(self.shaft, pivot, pin).items()
            }
        return numbers


def pinned(shaft: Shaft) -> dict[str, Point]:
    """Return the pins of the arms that seem to be given by them. [m].

    >>> from linkage.model import NAMED, Arm, Shaft
    >>> arm = Arm(name="lever", length=0.05, angle=math.atan2(0.04, 0.03))
    >>> shaft = Shaft(
    ...     name="s", pivot=(0, 0, 0), axis=NAMED["across"], arms={"lever": arm}
    ... )
    >>> [round(1e3 * c) for c in pinned(shaft)["lever"]]
    [30, 0, 40]
    """
    unit = spoken_unit("length").factor
    out = {}
    for name, arm in shaft.arms.items():
        read = as_read(arm.length, unit) and as_read(math.degrees(arm.angle), 1.0)
        pin = shaft.pin(name)
        if not read and all(as_read(c, unit) for c in pin):
            out[name] = (float(pin[0]), float(pin[1]), float(pin[2]))
    return out


def _by_pin(shaft: Shaft, pivot: Point, pin: Point) -> dict[str, float]:
    """Return length, angle and offset of an arm from pivot to pin."""
    away = add(pin, pivot, -1)
    along, up = dot(away, shaft.axis.u), dot(away, shaft.axis.v)
    return {
        "length": math.hypot(along, up),
        "angle": math.atan2(up, along),
        "offset": dot(away, shaft.axis.n),
    }


def places(layout: Layout) -> Iterator[Place]:
    """Yield every place of a layout, in the file's order."""
    for name, shaft in layout.shafts.items():
        if shaft.slides:
            continue  # where a slide stands is not asked for
        path = ("shafts", name)
        yield Place(
            about=Ref("shaft", name),
            path=(*path, "pivot"),
            point=shaft.pivot,
            shaft=shaft,
        )
        for arm, pin in pinned(shaft).items():
            yield Place(
                about=Ref("arm", name, arm),
                path=(*path, "arms", arm, "pin"),
                point=pin,
                shaft=shaft,
            )
    for name, spring in layout.springs.items():
        if spring.anchor is not None:
            path = ("springs", name)
            yield Place(
                about=Ref("spring", name), path=(*path, "anchor"), point=spring.anchor
            )
    yield from _of_sheaths(layout)
    yield from _of_obstacles(layout)


def _of_obstacles(layout: Layout) -> Iterator[Place]:
    """Yield the points of obstacles."""
    words = {"pipe": "points", "box": "corners", "sphere": "centre", "plane": "point"}
    for name, obstacle in layout.obstacles.items():
        word = words[obstacle.shape]
        several = obstacle.shape in {"pipe", "box"}
        for i, point in enumerate(obstacle.points):
            yield Place(
                about=Ref("obstacle", name),
                path=("obstacles", name, "points", i),
                point=point,
                given=(*obstacle.key, word, *([str(i)] if several else [])),
            )


def _of_sheaths(layout: Layout) -> Iterator[Place]:
    """Yield the ends of sheaths, and the points between."""
    for name, rod in layout.rods.items():
        if not isinstance(rod, Cable):
            continue
        about = Ref("rod", name)
        for i, word in enumerate(("sheath_from", "sheath_to")):
            yield Place(
                about=about,
                path=("rods", name, "ends", i, "point"),
                point=rod.ends[i].point,
                given=(*rod.key, word),
            )
        for i, point in enumerate(rod.through):
            yield Place(
                about=about,
                path=("rods", name, "through", i),
                point=point,
                given=(*rod.key, "sheath_through", str(i)),
            )
