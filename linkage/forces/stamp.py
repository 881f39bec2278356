"""A stamped foot: what rods, clamps and stops must take.

Two ways to take it at the end of the travel: the carburettor's full stop takes
it, so that every rod on the way and every clamp carries the foot; or a pedal
stop takes it, and the rods carry the springs alone. Friction is left out, which
lets the most through. A pedal stop is set to be met with the full stop or a
hair later.

Not here: the verdict (`rules.loads`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.forces.balance import balanced
from linkage.forces.lines import force_lines
from linkage.model.columns import every, greater, is_column, last, pick, some
from linkage.model.refs import Ref
from linkage.motion import sweep_clear
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.forces.lines import Lines
    from linkage.model import Layout
    from linkage.model.columns import Number, Truth
    from linkage.motion import Assembly, Working

#: Pad travel by which a pedal stop may come after the full stop and still take
#: the foot, as rods and brackets give that much; common practice, no source. [m]
HAIR: Final = 1e-3


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
        What takes it without a pedal stop: a full stop or a stop. Of many rows
        in which that differs, the main throttle's full stop.
    plate_stop, pedal_stop : Taken
        Without and with a pedal stop.
    by_pedal : bool or column
        Whether floor or pedal stop takes it in this layout, at most `HAIR` after
        the full stop.
    euler : mapping of str to (float, column or None)
        By rod; None where its diameter is not given, nan in a column. [N]
    """

    load: Number
    pad_travel: Number
    taken_by: Ref
    plate_stop: Taken
    pedal_stop: Taken
    by_pedal: Truth
    euler: Mapping[str, Number | None]

    @property
    def real(self) -> Taken:
        """The way in which it is taken in this layout."""
        return _one_of(self.by_pedal, self.pedal_stop, self.plate_stop)


def _one_of(truth: Truth, one: Taken, two: Taken) -> Taken:
    """Return one way of taking it where something holds, and the other elsewhere."""
    if not is_column(truth):
        return one if truth else two
    return Taken(
        rods={n: pick(truth, one.rods[n], two.rods[n]) for n in one.rods},
        clamps={r: pick(truth, one.clamps[r], two.clamps[r]) for r in one.clamps},
        stop_torque=pick(truth, one.stop_torque, two.stop_torque),
        pedal_stop=pick(truth, one.pedal_stop, two.pedal_stop),
    )


@np.errstate(divide="ignore", invalid="ignore")
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
        lines = force_lines(sweep_clear(assembly, np.atleast_1d(working.end)))
    (taken_by, root), *others = may_take(layout).items()
    through = _through(lines, root, load)
    for ref, shaft in others:
        met = working.is_stopped_by(ref.kind, ref.name)
        if some(met):
            through = _one_of(met, _through(lines, shaft, load), through)
            taken_by = ref if every(met) else taken_by
    hold = last(balanced(lines).pressed())
    return Stamp(
        load=load,
        pad_travel=working.end,
        taken_by=taken_by,
        plate_stop=through,
        pedal_stop=_taken(
            lines,
            _pulls(lines, layout.pedal.shaft),
            hold,
            0.0,
            greater(load - hold, 0.0),
        ),
        by_pedal=_by_pedal(layout, working),
        euler={loop.link.rod.name: loop.push_limit for loop in assembly.loops},
    )


def may_take(layout: Layout) -> dict[Ref, str]:
    """Return what may take the foot where no pedal stop does, and its shaft.

    The main throttle's full stop comes first: it does where nothing else is met.
    """
    main = layout.main
    at = {Ref("full stop", main.name): main.shaft}
    for name, throttle in layout.throttles.items():
        at[Ref("full stop", name)] = throttle.shaft
    for name, stop in layout.stops.items():
        if stop.shaft != layout.pedal.shaft:
            at[Ref("stop", name)] = stop.shaft
    return at


def _by_pedal(layout: Layout, working: Working) -> Truth:
    """Tell whether floor or pedal stop takes the foot, at most a hair later.

    A stop on the pedal's own shaft is a pedal stop too.
    """
    met = working.is_stopped_by("floor") | working.is_stopped_by("pedal stop")
    for name, stop in layout.stops.items():
        if stop.shaft == layout.pedal.shaft:
            met = met | working.is_stopped_by("stop", name)
    fitted = layout.pedal.stop is not None and layout.pedal.stop < math.inf
    return met | (fitted & (working.left_over <= HAIR))


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
