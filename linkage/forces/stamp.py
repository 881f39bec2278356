"""A stamped foot: what rods, clamps and stops must take.

Two ways to take it at the end of the travel: the carburettor's full stop takes
it, so that every rod on the way and every clamp carries the foot; or a pedal
stop takes it, and the rods carry the springs alone. Friction is left out, which
lets the most through. A pedal stop is set to be met with the full stop or a
hair later.

Not here: the verdict (`checks.forces`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.forces.balance import Load, balance, loads
from linkage.forces.lines import force_lines
from linkage.motion import sweep

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.forces.balance import Balance
    from linkage.forces.lines import Lines
    from linkage.model import Layout, Rod
    from linkage.motion import Assembly, Working

#: Pad travel by which a pedal stop may come after the full stop and still take
#: the foot, as rods and brackets give that much; common practice, no source. [m]
HAIR: Final = 1e-3
#: Young's moduli: EN 1993-1-1 and EN 1999-1-1, from memory. [Pa]
YOUNG: Final = {"steel": 210e9, "aluminium": 70e9}


def euler_load(rod: Rod, length: float) -> float | None:
    """Return the push at which a pin-ended straight rod buckles, π²EI/L².

    Parameters
    ----------
    rod : Rod
        Diameter, bore and material.
    length : float
        Centre to centre. [m]

    Returns
    -------
    float or None
        None where the diameter is not given. [N]
    """
    if not rod.diameter:
        return None
    area_moment = math.pi / 64 * (rod.diameter**4 - rod.bore**4)
    return math.pi**2 * YOUNG[rod.material] * area_moment / length**2


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What a stamped foot puts on the linkage, one way of taking it.

    Parameters
    ----------
    rods : mapping of str to float
        Pull positive, push negative. [N]
    clamps : mapping of str to float
        By ``shaft.arm`` of every rod's hole and the pad: torque with which
        that arm would slip on its shaft. [N·m]
    stop_torque : float
        What the full stop takes at the spindle, or a stop at its shaft. [N·m]
    pedal_stop : float
        What a pedal stop takes, at the pad. [N]
    """

    rods: Mapping[str, float]
    clamps: Mapping[str, float]
    stop_torque: float
    pedal_stop: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """A stamped foot at the end of the travel.

    Parameters
    ----------
    load : float
        Of the foot on the pad. [N]
    pad_travel : float
        Where. [m]
    taken_by : str
        What takes it without a pedal stop: ``full stop of NAME`` or ``stop NAME``.
    plate_stop, pedal_stop : Taken
        Without and with a pedal stop.
    by_pedal : bool
        Whether floor or pedal stop takes it in this layout, at most `HAIR` after
        the full stop.
    euler : mapping of str to (float or None)
        By rod; None where its diameter is not given. [N]
    """

    load: float
    pad_travel: float
    taken_by: str
    plate_stop: Taken
    pedal_stop: Taken
    by_pedal: bool
    euler: Mapping[str, float | None]

    @property
    def real(self) -> Taken:
        """The way in which it is taken in this layout."""
        return self.pedal_stop if self.by_pedal else self.plate_stop


def stamped(
    assembly: Assembly, working: Working, *, load: float | None = None
) -> Stamp:
    """Return what a stamped foot does at the end of the travel.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its working travel.
    load : float, optional
        Of the foot; the layout's limit where not given. [N]
    """
    layout = assembly.layout
    load = layout.limits.stamp_load if load is None else load
    lines = force_lines(sweep(assembly, np.array([working.end])))
    taken_by, root = _taken_by(layout, working)
    foot = layout.pedal.shaft
    on = loads(lines, lines.springs, layout.shafts)
    with_foot = Load(
        torque=on[foot].torque + load * lines.push_arm,
        force=on[foot].force + load * lines.push,
    )
    through = balance(lines, {**on, foot: with_foot}, root=root)
    alone = balance(lines, on, root=foot, foot=True)
    hold = float(alone.hold[0])
    return Stamp(
        load=load,
        pad_travel=working.end,
        taken_by=taken_by,
        plate_stop=_taken(lines, through, load, float(through.hold[0]), 0.0),
        pedal_stop=_taken(lines, alone, hold, 0.0, max(load - hold, 0.0)),
        by_pedal=_by_pedal(layout, working),
        euler={
            loop.link.rod.name: euler_load(loop.link.rod, loop.length)
            for loop in assembly.loops
        },
    )


def _taken_by(layout: Layout, working: Working) -> tuple[str, str]:
    """Return the stop that takes the foot where no pedal stop does, and its shaft."""
    at = {f"full stop of {name}": t.shaft for name, t in layout.throttles.items()}
    for name, stop in layout.stops.items():
        if stop.shaft != layout.pedal.shaft:
            at[f"stop {name}"] = stop.shaft
    met = working.stopped_by
    met = met if met in at else f"full stop of {layout.main.name}"
    return met, at[met]


def _by_pedal(layout: Layout, working: Working) -> bool:
    """Tell whether floor or pedal stop takes the foot, at most a hair later.

    A stop on the pedal's own shaft is a pedal stop too.
    """
    own = {
        f"stop {n}" for n, s in layout.stops.items() if s.shaft == layout.pedal.shaft
    }
    if working.stopped_by in {"floor", "pedal stop", *own}:
        return True
    return layout.pedal.stop is not None and working.left_over <= HAIR


def _taken(
    lines: Lines, solved: Balance, foot: float, stop: float, pedal: float
) -> Taken:
    layout: Layout = lines.motion.assembly.layout
    clamps = {f"{layout.pedal.shaft}.{layout.pedal.pad}": abs(foot * lines.push_arm)}
    for link in layout.links:
        rod = lines.rods[link.rod.name]
        pull = float(solved.rods[link.rod.name][0])
        for hole in link.holes:
            clamps[str(hole)] = abs(pull * float(rod.arms[hole.shaft][0]))
    return Taken(
        rods={name: float(f[0]) for name, f in solved.rods.items()},
        clamps=clamps,
        stop_torque=abs(stop),
        pedal_stop=pedal,
    )
