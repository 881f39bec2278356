"""Why a rod cannot be put together, in words.

Not here: whether it can (`connect.rod`, `connect.slid`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from linkage.errors import AssemblyError, ReachError
from linkage.quantities import say

if TYPE_CHECKING:
    from linkage.model import Link


def in_line(link: Link, *, along: bool) -> AssemblyError:
    """Return that a rod turns its lever neither way.

    Parameters
    ----------
    link : Link
        The rod and its two holes.
    along : bool
        Whether it runs along the shaft of that.
    """
    rod, driven = link.rod, link.driven
    msg = f"rod `{rod.name}` and arm `{driven}` lie in line at rest, on dead centre"
    hint = (
        "nothing tells which way the arm would go; turn the arm on its shaft "
        "or move its pivot, so that rod and arm make a clear angle"
    )
    if along:
        msg = (
            f"rod `{rod.name}` runs along shaft `{driven.shaft}` at rest, so that "
            f"it pulls `{driven}` neither way: in line, on dead centre"
        )
        hint = (
            "a rod turns a shaft by what runs across it; see to the axis of "
            f"`{driven.shaft}`, both offsets and the pivots"
        )
    return AssemblyError(
        msg, hint=hint, key=("shafts", driven.shaft, "arms", driven.arm)
    )


def neither_way(link: Link) -> AssemblyError:
    """Return that a rod which ends on a slide moves what it drives neither way."""
    rod, driven = link.rod, link.driven
    msg = f"rod `{rod.name}` pulls `{driven}` neither way at rest: dead centre"
    hint = (
        "a rod moves a slide by what runs along its guide, a lever by what runs "
        f"across it; see to where `{driven}` and the rod's other end are"
    )
    return AssemblyError(msg, hint=hint, key=("rods", rod.name, "to"))


def out_of_reach(
    link: Link, length: float, miss: float, reaches: tuple[float, float]
) -> ReachError:
    """Return that a rod of given length does not reach.

    Parameters
    ----------
    link : Link
        The rod and its two holes.
    length : float
        Of the rod. [m]
    miss : float
        By how much it is too short, or, negative, too long. [m]
    reaches : pair of float
        The shortest and longest that reaches; inf where none is too long. [m]
    """
    rod, (least, most) = link.rod, reaches
    word = "short" if miss > 0 else "long"
    msg = (
        f"rod `{rod.name}` of {say(length, 'length')} is "
        f"{say(abs(miss), 'length')} too {word} to reach `{link.driven}`"
    )
    lengths = f"any length from {say(least, 'length')}"
    if most < math.inf:
        lengths += f" to {say(most, 'length')}"
    hint = f"{lengths} reaches; leave `length` out to have it cut to fit"
    return ReachError(msg, hint=hint, key=("rods", rod.name, "length"))
