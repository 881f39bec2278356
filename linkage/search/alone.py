"""What one spring gives by itself, all others off, and whether that keeps the margin.

All others off is judged as any one part failed: by the ratio and the floor that are
asked with one part failed, with the friction taken as for cold and dirt.

Not here: which springs are tried (`search.springs`), the rule (`rules.shutting`).
"""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

import numpy as np

from linkage.forces import cold_factor, returns, statics
from linkage.forces.failures import Failure
from linkage.forces.sources import acts_on
from linkage.model.columns import least, lesser, most
from linkage.model.refs import Ref
from linkage.records import dataclass
from linkage.rules.finding import Finding
from linkage.rules.rule import BAD
from linkage.rules.shutting import ONE_OFF

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.forces import Return
    from linkage.model.columns import Number
    from linkage.rules.examine import Examined


@dataclass(frozen=True, slots=True, kw_only=True)
class Alone:
    """What a spring gives with all others off, least of plates and positions.

    Of the plates that it acts on: none beyond a rod with a slot.

    Parameters
    ----------
    torque : float or column
        Closing torque at the spindle, friction not taken off. [N·m]
    ratio : float or column
        The same over friction, that taken for cold and dirt; inf without friction.
    left : float or column
        Closing torque less that friction: what shuts the plate. [N·m]
    pad_force : float or column
        Greatest, pressing. [N]
    """

    torque: Number
    ratio: Number
    left: Number
    pad_force: Number


def _others_off(x: Examined, name: str) -> tuple[Return, ...]:
    """Return what shuts every plate with one spring alone."""
    others = [n for n in x.layout.springs if n != name]
    gone = frozenset(Ref("spring", n) for n in others)
    failure = Failure("spring", Ref("spring", "` and `".join(others)), gone)
    return returns(
        x.motion,
        lines=x.forces.lines,
        factor=cold_factor(x.layout),
        dirt=x.layout.limits.dirt_factor,
        cases=[(failure, plate) for plate in plates_of(x, name)],
    )


def plates_of(x: Examined, name: str) -> list[str]:
    """Return the plates that a spring acts on at every position.

    All, where rods carry both ways; all too where it acts on none, as it then leaves
    every one open.

    Parameters
    ----------
    x : Examined
        One layout, or many as rows.
    name : str
        The spring.
    """
    lines, plates = x.forces.lines, x.layout.plates
    known = [p.name for p in plates if np.all(acts_on(lines, p.shaft, name))]
    return known or [p.name for p in plates]


def alone(x: Examined, name: str) -> Alone:
    """Return what a spring gives with all others off.

    Parameters
    ----------
    x : Examined
        One layout, or many as rows.
    name : str
        The spring.
    """
    torque: Number = np.inf
    ratio: Number = np.inf
    left: Number = np.inf
    for r in _others_off(x, name):
        torque = lesser(torque, least(r.closing_torque))
        ratio = lesser(ratio, least(r.ratio))
        left = lesser(left, least(r.closing_torque - r.friction_torque))
    factor = cold_factor(x.layout)
    only = statics(x.motion, springs=(name,), cold_factor=factor, lines=x.forces.lines)
    return Alone(
        torque=torque, ratio=ratio, left=left, pad_force=most(only.pad_force_pressing)
    )


def broken_alone(x: Examined, name: str) -> Iterator[tuple[int, str]]:
    """Yield row and words where one spring alone does not keep the margin.

    Parameters
    ----------
    x : Examined
        One layout, or many as rows.
    name : str
        The spring.
    """
    forces = copy(x.forces)
    forces.__dict__["returns"] = _others_off(x, name)
    only = copy(x)
    only.__dict__["forces"] = forces
    for outcome in ONE_OFF.judge(only):
        bad = np.asarray(outcome.rank == BAD) & np.asarray(outcome.applies)
        for k in np.flatnonzero(np.broadcast_to(np.ravel(bad), x.rows)).tolist():
            yield k, Finding(rule=ONE_OFF, rows=outcome, row=k).text
