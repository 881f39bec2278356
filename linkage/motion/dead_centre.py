"""Dead centres with the stops removed: where an arm and its rod come into line.

At a dead centre of the driven arm the rod runs out of reach and the linkage
jams; at one of the driving arm the driven shaft stands still and then turns
back, and what closes the plate can no longer bring the driver home.

Not here: whether the margin is enough (`checks`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from linkage.motion.frame import frame
from linkage.motion.sweep import Motion, sweep
from linkage.motion.working import crossing, find_jam

if TYPE_CHECKING:
    from linkage.model import Hole, Link
    from linkage.motion.assembly import Assembly
    from linkage.motion.working import FloatArray, Working

#: How far the pedal is turned beyond each end in search of dead centres.
SEARCH = np.radians(75)


@dataclass(frozen=True, slots=True, kw_only=True)
class DeadCentre:
    """A dead centre and how far it lies from the working travel.

    Parameters
    ----------
    rod : str
        The rod.
    hole : Hole
        The arm that comes into line with it.
    side : {"full", "idle", "inside"}
        Beyond which end of the working travel it lies.
    pad_travel : float
        Where it lies, from the pedal's rest. [m]
    margin : float
        Turn of the arm's shaft from the end of the working travel; 0 inside. [rad]
    pad_margin : float
        Pad travel from that end; 0 inside. [m]
    """

    rod: str
    hole: Hole
    side: Literal["full", "idle", "inside"]
    pad_travel: float
    margin: float
    pad_margin: float


def dead_centres(assembly: Assembly, working: Working) -> tuple[DeadCentre, ...]:
    """Find the nearest dead centre of every arm, beyond both ends and inside.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its working travel.

    Returns
    -------
    tuple of DeadCentre
        The nearest of each arm on each side, those inside first, then by
        margin. Arms without one within 75° of pedal are left out.
    """
    layout = assembly.layout
    far = SEARCH * layout.pad_radius
    found: list[DeadCentre] = []
    if working.jam is not None:
        hole = assembly.loop(working.jam.rod).link.driven
        found.append(_inside(working.jam.rod, hole, working.jam.pad_travel))
    ends: tuple[tuple[Literal["full", "idle"], float, float], ...] = (
        ("full", working.end, working.end + far),
        ("idle", working.start, working.start - far),
    )
    for side, near, limit in ends:
        if side == "full" and working.jam is not None:
            continue
        found += _beyond(assembly, side, near, limit)
    for loop in assembly.loops:
        place = _lines_up(assembly, loop.link, working.start, working.end)
        if place is not None:
            found.append(_inside(loop.link.rod.name, loop.link.driver, place))
    return tuple(sorted(found, key=lambda d: (d.side != "inside", d.margin)))


def _inside(rod: str, hole: Hole, place: float) -> DeadCentre:
    return DeadCentre(
        rod=rod, hole=hole, side="inside", pad_travel=place, margin=0.0, pad_margin=0.0
    )


def _beyond(
    assembly: Assembly, side: Literal["full", "idle"], near: float, limit: float
) -> list[DeadCentre]:
    """Look from one end of the working travel outwards."""
    out: list[tuple[str, Hole, float]] = []
    jam = find_jam(assembly, near, limit)
    if jam is not None:
        rod, limit = jam
        out.append((rod, assembly.loop(rod).link.driven, limit))
    for loop in assembly.loops:
        place = _lines_up(assembly, loop.link, near, limit)
        if place is not None:
            out.append((loop.link.rod.name, loop.link.driver, place))
    found = []
    for rod, hole, place in out:
        turns = sweep(assembly, np.array([near, place])).turns[hole.shaft]
        margin = float(abs(turns[1] - turns[0]))
        found.append(
            DeadCentre(
                rod=rod,
                hole=hole,
                side=side,
                pad_travel=place,
                margin=margin,
                pad_margin=abs(place - near),
            )
        )
    return found


def _lines_up(
    assembly: Assembly, link: Link, near: float, limit: float
) -> float | None:
    """Return where the driving arm comes into line with its rod, if it does."""
    at_near = frame(sweep(assembly, np.array([near]))).rod(link.rod.name).driver_side[0]
    if np.isnan(at_near) or at_near == 0:
        return float(near) if at_near == 0 else None
    sign = np.sign(at_near)

    def measure(motion: Motion) -> FloatArray:
        side: FloatArray = frame(motion).rod(link.rod.name).driver_side
        return np.asarray(-sign * side)

    return crossing(assembly, measure, near, limit)
