"""The layout: all parts together, and how rods hang from the pedal.

The rods form a tree whose root is the pedal: each drives exactly one shaft.
`Layout` refuses what cannot be such a tree when it is made.

Not here: whether the rods reach (`motion`).
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from linkage.errors import LayoutError, did_you_mean
from linkage.model.axes import add, cross, dot, norm
from linkage.model.limits import Limits
from linkage.model.parts import (
    Engine,
    Hole,
    Pedal,
    Rod,
    Shaft,
    Spring,
    Stop,
    Throttle,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

#: Two points nearer than this are one. [m]
SAME_POINT = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A rod as it is driven: from the pedal's side to the throttle's side.

    Parameters
    ----------
    rod : Rod
        The rod.
    driver, driven : Hole
        The hole nearer to the pedal, and the other.
    """

    rod: Rod
    driver: Hole
    driven: Hole

    @property
    def holes(self) -> tuple[Hole, Hole]:
        """Both holes, the pedal's side first."""
        return self.driver, self.driven


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A whole linkage, from the pedal to every carburettor.

    Parameters
    ----------
    title : str
        One line that names it.
    shafts : mapping of str to Shaft
        In the file's order.
    rods : mapping of str to Rod
        In the file's order.
    pedal : Pedal
        The driving end.
    throttles : mapping of str to Throttle
        The driven ends; the first plate is the one that curves show.
    springs, stops : mapping
        May be empty.
    engine : Engine
        What rocks.
    limits : Limits
        Bounds of the check.
    friction : float
        Coefficient of friction in bearings that name none.
    data : mapping of str to float
        Whole-vehicle numbers by their key in the file, in SI.
    tolerances : mapping of str to float
        Measuring error either way, by dotted key path, in SI.
    links : tuple of Link
        Made here: the rods in driving order, each after the rod that drives it.

    Raises
    ------
    LayoutError
        If the rods are no tree from the pedal, or a name is not known.
    """

    title: str
    shafts: Mapping[str, Shaft]
    rods: Mapping[str, Rod]
    pedal: Pedal
    throttles: Mapping[str, Throttle]
    springs: Mapping[str, Spring] = field(default_factory=dict)
    stops: Mapping[str, Stop] = field(default_factory=dict)
    engine: Engine = field(default_factory=Engine)
    limits: Limits = field(default_factory=Limits)
    friction: float = 0.15
    data: Mapping[str, float] = field(default_factory=dict)
    tolerances: Mapping[str, float] = field(default_factory=dict)
    links: tuple[Link, ...] = field(init=False)

    def __post_init__(self) -> None:
        _names_known(self)
        _pivots_apart(self)
        object.__setattr__(self, "links", _driving_order(self))

    @property
    def main(self) -> Throttle:
        """The throttle that curves and percentages speak of."""
        return self.plates[0]

    @property
    def plates(self) -> tuple[Throttle, ...]:
        """The throttles that are plates, in the file's order; at least one."""
        return tuple(t for t in self.throttles.values() if t.kind == "plate")

    @property
    def pad_radius(self) -> float:
        """Radius of the pad's path about the pedal's shaft. [m]."""
        return self.shafts[self.pedal.shaft].arms[self.pedal.pad].length

    def throttle_on(self, shaft: str) -> Throttle | None:
        """Return the throttle whose spindle a shaft is; None where it is none."""
        return next((t for t in self.throttles.values() if t.shaft == shaft), None)

    def path_to(self, shaft: str) -> tuple[Link, ...]:
        """Return the links from the pedal to a shaft, pedal first."""
        by_driven = {link.driven.shaft: link for link in self.links}
        path: list[Link] = []
        while shaft != self.pedal.shaft:
            link = by_driven[shaft]
            path.append(link)
            shaft = link.driver.shaft
        return tuple(reversed(path))

    def with_arm(self, hole: Hole, **changes: Any) -> Layout:  # noqa: ANN401
        """Return the layout with one arm changed, all else as it is.

        Parameters
        ----------
        hole : Hole
            The arm.
        **changes : float
            Fields of `Arm`, in SI.
        """
        shaft = self.shafts[hole.shaft]
        arms = {**shaft.arms, hole.arm: replace(shaft.arms[hole.arm], **changes)}
        new = replace(shaft, arms=arms)
        return replace(self, shafts={**self.shafts, hole.shaft: new})

    def with_rod(self, name: str, length: float | None) -> Layout:
        """Return the layout with one rod's length changed; None cuts it to fit."""
        rod = replace(self.rods[name], length=length)
        return replace(self, rods={**self.rods, name: rod})


def _known_hole(layout: Layout, hole: Hole, key: tuple[str, ...]) -> None:
    if hole.shaft not in layout.shafts:
        msg = f"there is no shaft `{hole.shaft}`"
        raise LayoutError(msg, hint=did_you_mean(hole.shaft, layout.shafts), key=key)
    arms = layout.shafts[hole.shaft].arms
    if hole.arm not in arms:
        msg = f"shaft `{hole.shaft}` has no arm `{hole.arm}`"
        raise LayoutError(msg, hint=did_you_mean(hole.arm, arms), key=key)


def _known_shaft(layout: Layout, shaft: str, key: tuple[str, ...]) -> None:
    if shaft not in layout.shafts:
        msg = f"there is no shaft `{shaft}`"
        raise LayoutError(msg, hint=did_you_mean(shaft, layout.shafts), key=key)


def _names_known(layout: Layout) -> None:
    pedal = layout.pedal
    _known_shaft(layout, pedal.shaft, ("pedal", "shaft"))
    _known_hole(layout, Hole(shaft=pedal.shaft, arm=pedal.pad), ("pedal", "pad"))
    for name, rod in layout.rods.items():
        _known_hole(layout, rod.start, ("rods", name, "from"))
        _known_hole(layout, rod.end, ("rods", name, "to"))
    for name, throttle in layout.throttles.items():
        key = (name,) if name == "throttle" else ("throttles", name)
        _known_shaft(layout, throttle.shaft, (*key, "shaft"))
    for name, stop in layout.stops.items():
        _known_shaft(layout, stop.shaft, ("stops", name, "shaft"))
    for name, spring in layout.springs.items():
        if spring.arm:
            hole = Hole(shaft=spring.shaft, arm=spring.arm)
            _known_hole(layout, hole, ("springs", name, "hook"))
        else:
            _known_shaft(layout, spring.shaft, ("springs", name, "shaft"))
    for shaft in layout.engine.carries:
        _known_shaft(layout, shaft, ("engine", "carries"))
    if not any(t.kind == "plate" for t in layout.throttles.values()):
        msg = "there is no throttle plate"
        raise LayoutError(
            msg, hint="add a [throttle] table that names its shaft", key=("throttle",)
        )


def _pivots_apart(layout: Layout) -> None:
    """Refuse a rod between shafts that share a pivot or a pin on the other's axis."""
    for name, rod in layout.rods.items():
        one, two = layout.shafts[rod.start.shaft], layout.shafts[rod.end.shaft]
        if (
            rod.start.shaft != rod.end.shaft
            and norm(add(one.pivot, two.pivot, -1)) < SAME_POINT
        ):
            msg = f"shafts `{one.name}` and `{two.name}` have the same pivot"
            raise LayoutError(
                msg,
                hint="measure both pivots from the same datum; two levers on one "
                "shaft are two arms of one shaft",
                key=("shafts", two.name, "pivot"),
            )
        for pinned, other, end in (
            (rod.start, two, "from"),
            (rod.end, one, "to"),
        ):
            pin = layout.shafts[pinned.shaft].pin(pinned.arm)
            away = add(pin, other.pivot, -1)
            off = norm(cross(away, other.axis.n))
            if pinned.shaft != other.name and off < SAME_POINT:
                msg = f"hole `{pinned}` lies on the centre line of shaft `{other.name}`"
                raise LayoutError(
                    msg,
                    hint="a rod from there cannot turn that shaft; check the pivots "
                    "and the arm's length and angle",
                    key=("rods", name, end),
                )


def _driving_order(layout: Layout) -> tuple[Link, ...]:
    """Walk the rods from the pedal outwards; each must drive a new shaft."""
    links: list[Link] = []
    driven_by: dict[str, str] = {layout.pedal.shaft: "the pedal"}
    waiting = dict(layout.rods)
    while waiting:
        ready = [
            name
            for name, rod in waiting.items()
            if rod.start.shaft in driven_by or rod.end.shaft in driven_by
        ]
        if not ready:
            break
        name = ready[0]
        rod = waiting.pop(name)
        link = _oriented(rod, driven_by)
        driven_by[link.driven.shaft] = f"rod `{name}`"
        links.append(link)
    _all_connected(layout, driven_by, waiting)
    return tuple(links)


def _oriented(rod: Rod, driven_by: Mapping[str, str]) -> Link:
    start, end = rod.start, rod.end
    key = ("rods", rod.name, "to")
    if start.shaft == end.shaft:
        msg = f"rod `{rod.name}` joins two arms of the same shaft `{start.shaft}`"
        raise LayoutError(
            msg, hint="a rod must lead from one shaft to another", key=key
        )
    if start.shaft in driven_by and end.shaft in driven_by:
        msg = (
            f"rod `{rod.name}` drives shaft `{end.shaft}`, which "
            f"{driven_by[end.shaft]} drives already"
        )
        hint = (
            "rods may branch but not meet again: two rods cannot drive one shaft, "
            "and rods may not form a loop; take one of them away"
        )
        raise LayoutError(msg, hint=hint, key=key)
    if start.shaft in driven_by:
        return Link(rod=rod, driver=start, driven=end)
    return Link(rod=rod, driver=end, driven=start)


def _all_connected(
    layout: Layout, driven_by: Mapping[str, str], waiting: Mapping[str, Rod]
) -> None:
    for name in layout.shafts:
        if name not in driven_by:
            msg = f"shaft `{name}` is not connected to the pedal"
            near = [
                r
                for r, rod in waiting.items()
                if name in {rod.start.shaft, rod.end.shaft}
            ]
            hint = (
                f"rod `{near[0]}` leads to it, but nothing leads from the pedal there"
                if near
                else "add a rod that leads to it, or take the shaft away"
            )
            raise LayoutError(msg, hint=hint, key=("shafts", name))


def parallel(one: Shaft, two: Shaft) -> bool:
    """Tell whether two shafts are parallel, to a millionth.

    Then the loop between them is planar apart from a side offset.
    """
    return abs(abs(dot(one.axis.n, two.axis.n)) - 1) < 1e-12
