"""A stamped foot: what rods, clamps and stops must take.

Two ways to take it at the end of the travel: the carburettor's full stop takes
it, so that every rod on the way and every clamp carries the foot; or a pedal
stop takes it, and the rods carry the springs alone. Friction is left out, which
lets the most through. A pedal stop is set to be met with the full stop or a
hair later.

Not here: the verdict (`rules.forces`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.forces.balance import balanced
from linkage.forces.lines import force_lines
from linkage.model.columns import greater, last, pick
from linkage.model.refs import Ref
from linkage.motion import sweep

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.forces.lines import Lines
    from linkage.model import Layout, Rod
    from linkage.model.columns import Number, Truth
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
    rods : mapping of str to (float or column)
        Pull positive, push negative. [N]
    clamps : mapping of Ref to (float or column)
        By the arm of every rod's hole and of the pad: torque with which that
        arm would slip on its shaft. [N·m]
    stop_torque : float or column
        What the full stop takes at the spindle, or a stop at its shaft. [N·m]
    pedal_stop : float or column
        What a pedal stop takes, at the pad. [N]
    """

    rods: Mapping[str, Number]
    clamps: Mapping[Ref, Number]
    stop_torque: Number
    pedal_stop: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """A stamped foot at the end of the travel.

    Parameters
    ----------
    load : float or column
        Of the foot on the pad. [N]
    pad_travel : float or column
        Where. [m]
    taken_by : Ref
        What takes it without a pedal stop: a full stop or a stop.
    plate_stop, pedal_stop : Taken
        Without and with a pedal stop.
    by_pedal : bool or column
        Whether floor or pedal stop takes it in this layout, at most `HAIR` after
        the full stop.
    euler : mapping of str to (float or None)
        By rod; None where its diameter is not given. [N]
    """

    load: Number
    pad_travel: Number
    taken_by: Ref
    plate_stop: Taken
    pedal_stop: Taken
    by_pedal: Truth
    euler: Mapping[str, float | None]

    @property
    def real(self) -> Taken:
        """The way in which it is taken in this layout."""
        if not isinstance(self.by_pedal, np.ndarray):
            return self.pedal_stop if self.by_pedal else self.plate_stop
        one, two, met = self.pedal_stop, self.plate_stop, self.by_pedal
        return Taken(
            rods={n: pick(met, one.rods[n], two.rods[n]) for n in one.rods},
            clamps={r: pick(met, one.clamps[r], two.clamps[r]) for r in one.clamps},
            stop_torque=pick(met, one.stop_torque, two.stop_torque),
            pedal_stop=pick(met, one.pedal_stop, two.pedal_stop),
        )


def stamped(
    assembly: Assembly,
    working: Working,
    *,
    load: Number | None = None,
    lines: Lines | None = None,
) -> Stamp:
    """Return what a stamped foot does at the end of the travel.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its working travel.
    load : float or column, optional
        Of the foot; the layout's limit where not given. [N]
    lines : Lines, optional
        Of a motion that ends where the working travel does, where they are
        known already.
    """
    layout = assembly.layout
    load = layout.limits.stamp_load if load is None else load
    if lines is None:
        lines = force_lines(sweep(assembly, np.atleast_1d(working.end)))
    taken_by, root = _taken_by(layout, working)
    hold = last(balanced(lines).pressed())
    return Stamp(
        load=load,
        pad_travel=working.end,
        taken_by=taken_by,
        plate_stop=_through(lines, root, load),
        pedal_stop=_taken(
            lines,
            _pulls(lines, layout.pedal.shaft),
            hold,
            0.0,
            greater(load - hold, 0.0),
        ),
        by_pedal=_by_pedal(layout, working),
        euler={
            loop.link.rod.name: euler_load(loop.link.rod, loop.length)
            for loop in assembly.loops
        },
    )


def _taken_by(layout: Layout, working: Working) -> tuple[Ref, str]:
    """Return the stop that takes the foot where no pedal stop does, and its shaft."""
    at = {
        f"full stop of {name}": (Ref("full stop", name), t.shaft)
        for name, t in layout.throttles.items()
    }
    for name, stop in layout.stops.items():
        if stop.shaft != layout.pedal.shaft:
            at[f"stop {name}"] = Ref("stop", name), stop.shaft
    met = working.stopped_by
    return at[met if met in at else f"full stop of {layout.main.name}"]


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


def _pulls(lines: Lines, root: str) -> dict[str, Number]:
    """Return what springs and weight put on every rod at the end, one shaft held."""
    still = balanced(lines)
    return {
        rod: last(still.pull(rod, outer)) for rod, outer in lines.hanging.inwards(root)
    }


def _through(lines: Lines, root: str, load: Number) -> Taken:
    """Return what the foot does where it goes through the rods to a stop."""
    pulls = _pulls(lines, root)
    hold = last(balanced(lines).held(root))
    torque = load * lines.push_arm
    for link in lines.layout.path_to(root):
        arms = lines.rods[link.rod.name].arms
        pull = -torque / last(arms[link.driver.shaft])
        pulls[link.rod.name] = pulls[link.rod.name] + pull
        torque = pull * last(arms[link.driven.shaft])
    return _taken(lines, pulls, load, abs(hold - torque), 0.0)


def _taken(
    lines: Lines, pulls: Mapping[str, Number], foot: Number, stop: Number, pedal: Number
) -> Taken:
    layout: Layout = lines.layout
    pad = Ref("arm", layout.pedal.shaft, layout.pedal.pad)
    clamps = {pad: abs(foot * lines.push_arm)}
    for link in layout.links:
        arms = lines.rods[link.rod.name].arms
        for hole in link.holes:
            torque = pulls[link.rod.name] * last(arms[hole.shaft])
            clamps[Ref("arm", hole.shaft, hole.arm)] = abs(torque)
    return Taken(rods=pulls, clamps=clamps, stop_torque=stop, pedal_stop=pedal)
