"""How rods hang from the pedal: a tree in which each drives exactly one shaft.

Not here: the layout that is walked (`model.model`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linkage.errors import LayoutError
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from linkage.model.parts import Hole
    from linkage.model.rod import Rod


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A rod as it is driven: from the pedal's side to the throttle's side.

    Parameters
    ----------
    rod : Rod
        The rod.
    driver, driven : Hole
        The hole nearer to the pedal, and the other.
    own : Rod, optional
        The same rod as the other of two inputs drives it, from the far end
        (`model.inputs`); None where nothing but the pedal drives it.
    """

    rod: Rod
    driver: Hole
    driven: Hole
    own: Rod | None = None

    @property
    def holes(self) -> tuple[Hole, Hole]:
        """Both holes, the pedal's side first."""
        return self.driver, self.driven

    @property
    def part(self) -> Rod:
        """The rod as it is made, whichever input drives it."""
        return self.own or self.rod


def driving_order(
    rods: Mapping[str, Rod], shafts: Iterable[str], pedal: str
) -> tuple[Link, ...]:
    """Walk the rods from the pedal outwards; each must drive a new shaft.

    Parameters
    ----------
    rods : mapping of str to Rod
        In the file's order.
    shafts : iterable of str
        Names of all shafts.
    pedal : str
        Name of the pedal's shaft.

    Raises
    ------
    LayoutError
        If the rods are no tree from the pedal to every shaft.
    """
    links: list[Link] = []
    driven_by: dict[str, str] = {pedal: "the pedal"}
    waiting = dict(rods)
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
        driven_by[link.driven.shaft] = rod.called
        links.append(link)
    _all_connected(shafts, driven_by, waiting)
    return tuple(links)


def _oriented(rod: Rod, driven_by: Mapping[str, str]) -> Link:
    start, end = rod.start, rod.end
    key = (*rod.key, "to")
    if start.shaft == end.shaft:
        msg = f"{rod.called} joins two arms of the same shaft `{start.shaft}`"
        raise LayoutError(
            msg, hint=f"a {rod.kind} must lead from one shaft to another", key=key
        )
    if start.shaft in driven_by and end.shaft in driven_by:
        msg = (
            f"{rod.called} drives shaft `{end.shaft}`, which "
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
    shafts: Iterable[str], driven_by: Mapping[str, str], waiting: Mapping[str, Rod]
) -> None:
    for name in shafts:
        if name not in driven_by:
            msg = f"shaft `{name}` is not connected to the pedal"
            near = [
                rod
                for rod in waiting.values()
                if name in {rod.start.shaft, rod.end.shaft}
            ]
            hint = (
                f"{near[0].called} leads to it, but nothing leads from the pedal there"
                if near
                else "add a rod that leads to it, or take the shaft away"
            )
            raise LayoutError(msg, hint=hint, key=("shafts", name))
