"""Sheaths of cables that go across with what they lead to.

The end of a sheath beside an arm that goes across goes with it: as its shaft does where
the engine holds it, and mirrored where the body does, as springs' anchors do. The other
end stays, and the points between are led over by so much as they are nearer to the end
that moves.

Not here: shafts and springs (`swap.mirror`), what of a cable is set anew
(`swap.slides`).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from linkage.model import Cable, SheathEnd
from linkage.model.axes import add, norm
from linkage.records import dataclass
from linkage.swap.moves import NO_MOVE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Hole, Layout, Rod, Vector
    from linkage.swap.moves import Move


@dataclass(frozen=True, slots=True, kw_only=True)
class Led:
    """A sheath that was led to the other side.

    Parameters
    ----------
    cable : str
        Its name.
    ends : tuple of (Hole, tuple of 3 floats)
        The ends that go elsewhere, and where to. [m]
    longer : float
        How much longer the way from end to end is. [m]
    """

    cable: str
    ends: tuple[tuple[Hole, Vector], ...]
    longer: float


def led(
    layout: Layout, moves: Mapping[str, Move], flip: Move
) -> tuple[dict[str, Rod], tuple[Led, ...]]:
    """Return rods with the sheaths of cables as they go after a move, and what moved.

    Parameters
    ----------
    layout : Layout
        Before it.
    moves : mapping of str to Move
        What happens to each shaft that moves.
    flip : Move
        The mirror.
    """
    rods: dict[str, Rod] = {}
    found = []
    for name, rod in layout.rods.items():
        rods[name] = rod
        holes = (rod.start, rod.end)
        if isinstance(rod, Cable) and any(h.shaft in moves for h in holes):
            rods[name] = cable = _cable(rod, moves, flip)
            ends = tuple(
                (hole, new.point)
                for hole, old, new in zip(holes, rod.ends, cable.ends, strict=True)
                if norm(add(new.point, old.point, -1)) > NO_MOVE
            )
            longer = float(cable.way - rod.way)
            found.append(Led(cable=name, ends=ends, longer=longer))
    return rods, tuple(f for f in found if f.ends)


def _cable(cable: Cable, moves: Mapping[str, Move], flip: Move) -> Cable:
    holes = (cable.start, cable.end)
    one, two = (
        _end(end, hole, moves, flip)
        for end, hole in zip(cable.ends, holes, strict=True)
    )
    if all(h.shaft in moves for h in holes):
        through = tuple(flip.point(point) for point in cable.through)
    else:
        through = _led_over(cable, (one, two))
    there = replace(cable, ends=(one, two), through=through)
    if cable.sheath_length is None or cable.fixed:
        return there
    # As much longer as its way is.
    longer = cable.sheath_length + there.way - cable.way
    return replace(there, sheath_length=longer)


def _end(
    end: SheathEnd, hole: Hole, moves: Mapping[str, Move], flip: Move
) -> SheathEnd:
    if hole.shaft not in moves:
        return end
    move = moves[hole.shaft] if end.on == "engine" else flip
    return replace(end, point=move.point(end.point))


def _led_over(cable: Cable, ends: tuple[SheathEnd, SheathEnd]) -> tuple[Vector, ...]:
    """Return the points of a sheath, moved as the nearer of its ends is the more."""
    ways = [
        add(new.point, old.point, -1) for new, old in zip(ends, cable.ends, strict=True)
    ]
    return tuple(
        _rounded(add(add(point, ways[0], 1 - share), ways[1], share))
        for point, share in zip(cable.through, _shares(cable), strict=True)
    )


def _shares(cable: Cable) -> list[float]:
    """Return how far along its sheath each of its points is, from 0 to 1."""
    ways = [0.0]
    for one, two in pairwise(cable.route):
        ways.append(ways[-1] + float(norm(add(two, one, -1))))
    whole = ways[-1] or 1.0  # all in one place, if somebody says so
    return [way / whole for way in ways[1:-1]]


def _rounded(point: Vector) -> Vector:
    x, y, z = (round(c, 12) for c in point)
    return (x, y, z)
