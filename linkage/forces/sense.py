"""Pull and push under load, and whether every spring works the right way.

Not here: whether that is a reason not to fit (`checks.forces`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from linkage.forces.statics import Statics, shutting_sense

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.forces.lines import SpringLine

    FloatArray = NDArray[np.float64]

#: Force below which a rod carries nothing. [N]
NOTHING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class RodSense:
    """What a rod carries through the travel.

    Parameters
    ----------
    rod : str
        The rod.
    pressing, releasing : {"pull", "push", "nothing"}
        At the start of the travel, pedal going down and coming up.
    changes : tuple of float
        Pad travels at which it turns between pull and push while the pedal
        goes down. [m]
    releasing_changes : tuple of float
        The same while it comes up. [m]
    most_pull, most_push : float
        Greatest of each, pedal going down; 0 where there is none. [N]
    most_push_at : float
        Where the greatest push is. [m]
    """

    rod: str
    pressing: Literal["pull", "push", "nothing"]
    releasing: Literal["pull", "push", "nothing"]
    changes: tuple[float, ...]
    releasing_changes: tuple[float, ...]
    most_pull: float
    most_push: float
    most_push_at: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringSense:
    """How a spring works through the travel.

    Parameters
    ----------
    spring, shaft : str
        The spring and its shaft.
    hand : {"right", "wrong", "crosses"}
        Shuts at every position, nowhere, or only in part of the travel.
    crosses : tuple of float
        Pad travels at which its torque changes sign. [m]
    least_arm, least_arm_at : float
        Least torque arm, positive shutting, and where; nan about a shaft. [m]
    slack : float
        Length by which it hangs slack at the start; 0 where it does not. [m]
    slack_until : float
        Pad travel at which it first carries; nan where it never does. [m]
    over : float
        Length by which it is driven past its greatest length, or short of its
        solid length; 0 where it is not. [m]
    over_at : float
        Where that is worst. [m]
    shortest, longest : float
        Its lengths in the travel; nan about a shaft. [m]
    signs : tuple of str
        What betrays a spring of the wrong hand: ``slack at idle``, ``driven
        past its greatest length``, ``opens the plate``.
    """

    spring: str
    shaft: str
    hand: Literal["right", "wrong", "crosses"]
    crosses: tuple[float, ...]
    least_arm: float
    least_arm_at: float
    slack: float
    slack_until: float
    over: float
    over_at: float
    shortest: float
    longest: float
    signs: tuple[str, ...]


def sign_changes(place: FloatArray, values: FloatArray) -> tuple[float, ...]:
    """Return where values change sign, by a straight line between positions.

    Parameters
    ----------
    place, values : ndarray, shape (n,)
        nan is passed over.
    """
    good = ~np.isnan(values) & (np.abs(values) > NOTHING)
    p, v = place[good], values[good]
    at = np.flatnonzero(np.sign(v[1:]) != np.sign(v[:-1]))
    return tuple(float(p[i] - v[i] * (p[i + 1] - p[i]) / (v[i + 1] - v[i])) for i in at)


def _word(force: FloatArray) -> Literal["pull", "push", "nothing"]:
    carried = force[np.abs(force) > NOTHING]
    if not carried.size:
        return "nothing"
    return "pull" if carried[0] > 0 else "push"


def rod_senses(s: Statics) -> tuple[RodSense, ...]:
    """Return what every rod carries, pressing and releasing."""
    out = []
    for rod, force in s.rod_pressing.items():
        known = np.nan_to_num(force)
        lowest = int(np.argmin(known))
        out.append(
            RodSense(
                rod=rod,
                pressing=_word(force),
                releasing=_word(s.rod_releasing[rod]),
                changes=sign_changes(s.pad_travel, force),
                releasing_changes=sign_changes(s.pad_travel, s.rod_releasing[rod]),
                most_pull=max(float(np.max(known)), 0.0),
                most_push=max(-float(known[lowest]), 0.0),
                most_push_at=float(s.pad_travel[lowest]),
            )
        )
    return tuple(out)


def spring_senses(s: Statics) -> tuple[SpringSense, ...]:
    """Return how every acting spring works."""
    return tuple(_spring(s, name) for name in s.springs)


def _spring(s: Statics, name: str) -> SpringSense:
    line = s.lines.springs[name]
    if line.arm is None:
        # A spring about a shaft turns it one way only, wound or slack.
        way = shutting_sense(s.lines, line.shaft) * line.law.sense
    else:
        way = s.spring_arm[name]
    crosses = sign_changes(s.pad_travel, way)
    hand: Literal["right", "wrong", "crosses"] = "right"
    if not np.nanmin(way) > 0:
        hand = "wrong" if not np.nanmax(way) > 0 else "crosses"
    at = int(np.nanargmin(way))
    slack, until = _slack(s.pad_travel, line)
    over, over_at = _over(s.pad_travel, line)
    signs = []
    if slack > 0:
        signs.append("slack at idle")
    if over > 0:
        signs.append("driven past its greatest length")
    if hand != "right":
        signs.append("opens the plate")
    return SpringSense(
        spring=name,
        shaft=line.shaft,
        hand=hand,
        crosses=crosses,
        least_arm=np.nan if line.arm is None else float(way[at]),
        least_arm_at=float(s.pad_travel[at]),
        slack=slack,
        slack_until=until,
        over=over,
        over_at=over_at,
        shortest=np.nan if line.length is None else float(np.nanmin(line.length)),
        longest=np.nan if line.length is None else float(np.nanmax(line.length)),
        signs=tuple(signs),
    )


def _slack(place: FloatArray, line: SpringLine) -> tuple[float, float]:
    carries = np.flatnonzero(np.abs(line.load) > 0)
    until = float(place[carries[0]]) if carries.size else float("nan")
    if line.length is None or line.load[0] != 0:
        return 0.0, until
    gap = float(line.law.free_length - line.length[0])
    return (-gap if line.law.kind == "compression" else gap), until


def _over(place: FloatArray, line: SpringLine) -> tuple[float, float]:
    if line.length is None:
        return 0.0, float(place[0])
    if line.law.kind == "compression":
        past = line.law.shortest - line.length
    else:
        past = line.length - line.law.longest
    at = int(np.nanargmax(past))
    return max(float(past[at]), 0.0), float(place[at])
