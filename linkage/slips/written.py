"""The numbers of a layout that a person measures and writes.

Not here: what may be wrong with them (`slips.sizes`, `slips.turned`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.model.refs import Ref
from linkage.model.usual import USUAL
from linkage.records import dataclass
from linkage.search.paths import read

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.model import Layout
    from linkage.search.paths import Path

    Point = tuple[float, float, float]


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
    """

    about: Ref
    path: Path
    what: str
    kind: str
    value: float
    size: str = ""

    @property
    def key(self) -> tuple[str, ...]:
        """Where it stands in the file."""
        return tuple("xyz"[k] if isinstance(k, int) else k for k in self.path)

    def usual(self, value: float) -> bool:
        """Tell whether a value of it is as usual, or nothing is."""
        return not self.size or not USUAL[self.size].outside(abs(value))


def written(layout: Layout) -> Iterator[Written]:
    """Yield every number of a layout that is measured, in the file's order."""
    path: Path
    yield from arm_numbers(layout)
    yield from coordinates(layout)
    for name, rod in layout.rods.items():
        if rod.length is not None:
            what = f"the length of rod `{name}`"
            path = ("rods", name, "length")
            yield _number(layout, Ref("rod", name), path, what, "rod")
    path = ("pedal", "travel")
    yield _number(layout, Ref("pedal"), path, "the pad travel", "pad travel")
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
            size="swing" if layout.throttles[name].kind == "plate" else "",
        )
    for name, spring in layout.springs.items():
        if spring.known.free_length is not None and spring.kind != "torsion":
            path = ("springs", name, "known", "free_length")
            what = f"the free length of spring `{name}`"
            yield _number(layout, Ref("spring", name), path, what, "free length")


def _number(layout: Layout, about: Ref, path: Path, what: str, size: str) -> Written:
    value = float(read(layout, path))
    return Written(
        about=about, path=path, what=what, kind="length", value=value, size=size
    )


def arm_numbers(layout: Layout) -> Iterator[Written]:
    """Yield length, angle and offset of every arm."""
    for name, shaft in layout.shafts.items():
        for arm in shaft.arms.values():
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
    """Yield every coordinate of pivots and of springs' anchors that is not nought."""
    for about, path, point in points(layout):
        place, of = str(path[-1]), named(about)
        for i, value in enumerate(point):
            if value:
                yield Written(
                    about=about,
                    path=(*path, i),
                    what=f"{place} {'xyz'[i]} of {of}",
                    kind="length",
                    value=value,
                    size="place",
                )


def points(layout: Layout) -> Iterator[tuple[Ref, Path, Point]]:
    """Yield every pivot and anchor: part, path, and the place itself. [m]."""
    for name, shaft in layout.shafts.items():
        yield Ref("shaft", name), ("shafts", name, "pivot"), shaft.pivot
    for name, spring in layout.springs.items():
        if spring.anchor is not None:
            yield Ref("spring", name), ("springs", name, "anchor"), spring.anchor


def named(about: Ref) -> str:
    """Return a part in words.

    >>> named(Ref("spring", "near"))
    'spring `near`'
    """
    return f"spring `{about.name}`" if about.kind == "spring" else f"`{about.name}`"
