"""The rim of a drum, quadrant or snail: what of it a taut wire lies on.

Not here: the arm that it is of (`parts`), the wire (`connect.run`).
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from linkage.errors import LayoutError

if TYPE_CHECKING:
    from linkage.model.parts import Arm

#: Points of a rim nearer than this are put between those that are given. [rad]
STEP: Final = math.radians(1)
#: Most of a turn that a rim may go round.
MOST: Final = 2 * math.pi
#: Largest radius of a rim over that at the nipple, and the smallest part of it.
RATIO: Final = 20.0


def rim_known(arm: Arm, key: tuple[str, ...]) -> None:
    """Refuse a rim that no wire could lie on.

    Parameters
    ----------
    arm : Arm
        Of a drum.
    key : tuple of str
        Where it stands in the file.

    Raises
    ------
    LayoutError
        If a radius is none, or the turns do not rise from 0.
    """
    if not arm.rim:
        return
    key = (*key, "rim")
    if not arm.wound:
        msg = f"arm `{arm.name}` has a rim, and it is not told how a wire lies on it"
        hint = 'add `wound = "clockwise"` or `"anticlockwise"`: from the nipple on'
        raise LayoutError(msg, hint=hint, key=key)
    hint = (
        "give pairs of the turn round the rim from the nipple on, rising, and the radius "
        "there: [[0, 20], [45, 24], [90, 31]]"
    )
    turns = [turn for turn, _ in arm.rim]
    if len(turns) < 2 or turns[0] != 0 or any(not b > a for a, b in pairwise(turns)):
        msg = f"the rim of `{arm.name}` does not go round from 0 on"
        raise LayoutError(msg, hint=hint, key=key)
    if not turns[-1] <= MOST:
        msg = f"the rim of `{arm.name}` goes round more than a whole turn"
        raise LayoutError(msg, hint=hint, key=key)
    first = arm.rim[0][1]
    if not first > 0 or not all(
        1 / RATIO <= radius / first <= RATIO for _, radius in arm.rim
    ):
        msg = f"a radius of the rim of `{arm.name}` is none that a wire could lie on"
        hint = f"each is to be from a {RATIO:.0f}th to {RATIO:.0f} times the first one"
        raise LayoutError(msg, hint=hint, key=key)


@lru_cache(maxsize=64)
def taut(rim: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Return the points of a rim on which a taut wire lies: its convex hull.

    Between the points that are given the radius grows evenly with the turn. A hollow is
    bridged.

    Parameters
    ----------
    rim : tuple of pair of float
        Turn from the nipple on [rad], and radius there [m].

    Returns
    -------
    tuple of pair of float
        Turn, and radius over that at the nipple, which comes first.
    """
    kept: list[tuple[float, float]] = []
    places: list[tuple[float, float]] = []
    for turn, ratio in _fine(rim):
        at = ratio * math.cos(turn), ratio * math.sin(turn)
        while len(places) > 1 and _left(places[-2], places[-1], at) <= 0:
            places.pop()
            kept.pop()
        places.append(at)
        kept.append((turn, ratio))
    return tuple(kept)


def _fine(rim: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    first = rim[0][1]
    out = [(0.0, 1.0)]
    ratios = ((turn, radius / first) for turn, radius in rim)
    for (turn, ratio), (after, then) in pairwise(ratios):
        count = max(math.ceil((after - turn) / STEP), 1)
        out += [
            (
                turn + (after - turn) * i / count,
                ratio + (then - ratio) * i / count,
            )
            for i in range(1, count + 1)
        ]
    return out


def _left(
    one: tuple[float, float], two: tuple[float, float], three: tuple[float, float]
) -> float:
    """Return twice the area to the left of the way from the first point on."""
    ax, ay = two[0] - one[0], two[1] - one[1]
    bx, by = three[0] - two[0], three[1] - two[1]
    return ax * by - ay * bx
