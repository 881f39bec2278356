"""A stamped foot: what rods, clamps and stops must take.

Two ways to take it at the end of the travel: the carburettor's full stop takes
it, so that every rod on the way and every clamp carries the foot; or a pedal
stop takes it. One that is met first leaves the springs alone to the rods. One that
comes later lets the foot on to them until it is met: by as much as the linkage is
stiff over that way. Friction is left out, which lets the most through.

Behind an over-travel spring neither rods nor stop take the foot: they take the load of
that spring, until it is used up.

Not here: the verdict (`rules.loads`), how stiff it is (`stiffness`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.forces.balance import balanced
from linkage.forces.lines import force_lines
from linkage.forces.stiffness import stiffness
from linkage.model.columns import every, greater, is_column, last, pick, some
from linkage.model.refs import Ref
from linkage.motion import sweep_clear
from linkage.motion.giving import can_give
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.forces.lines import Lines
    from linkage.model import Layout
    from linkage.model.columns import Number, Truth
    from linkage.motion import Assembly, Working


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
        What the full stop takes at the spindle, or a stop at its shaft; of an
        over-travel spring less what return springs take of it. [N·m]
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
        Without and with a pedal stop, the one that is there or one that is met
        with the full stop.
    by_pedal : bool or column
        Whether floor or pedal stop takes it in this layout, before all of it has
        gone into the linkage.
    late : float or column
        Pad travel from the full stop to a pedal stop that comes after it; 0 where
        it comes before, or there is none. [m]
    stiffness : float or column
        Force at the pad that moves it on by a metre, the full stop met. [N/m]
    passed_on : float or column
        What of the foot goes into the linkage until the pedal stop is met, the
        springs' part and no more than its load; at the pad. [N]
    spared : bool or column
        Whether an over-travel spring is on the way to the stop and not used up with
        the pad on the floor: ``plate_stop`` is then what it lets through there.
    euler : mapping of str to (float, column or None)
        By rod; None where its diameter is not given, nan in a column. [N]
    """

    load: Number
    pad_travel: Number
    taken_by: Ref
    plate_stop: Taken
    pedal_stop: Taken
    by_pedal: Truth
    late: Number
    stiffness: Number
    passed_on: Number
    spared: Truth
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
    ways = may_take(layout)
    taken_by, *others = ways
    hold = last(balanced(lines).pressed())
    met, late = _met_and_late(layout, working)
    passed_on, stiff = _passed_on(lines, ways[taken_by], load, hold, late)
    through = _through(lines, ways[taken_by], load)
    by_then = _through(lines, ways[taken_by], passed_on)
    for ref in others:
        here = working.is_stopped_by(ref.kind, ref.name)
        if not some(here):
            continue
        other, firm = _passed_on(lines, ways[ref], load, hold, late)
        through = _one_of(here, _through(lines, ways[ref], load), through)
        by_then = _one_of(here, _through(lines, ways[ref], other), by_then)
        passed_on, stiff = pick(here, other, passed_on), pick(here, firm, stiff)
        taken_by = ref if every(here) else taken_by
    spared, on_floor = _on_floor(assembly, lines, ways[taken_by], load)
    if some(spared):
        through = _one_of(spared, on_floor, through)
    by_springs = _by_springs(lines, ways[taken_by], hold)
    pedal_stop = _one_of(late > 0, by_then, by_springs)
    by_pedal = met | ((late >= 0) & (passed_on < load))
    return Stamp(
        load=load,
        pad_travel=working.end,
        taken_by=taken_by,
        plate_stop=through,
        pedal_stop=replace(pedal_stop, pedal_stop=greater(load - passed_on, 0.0)),
        by_pedal=by_pedal if is_column(by_pedal) else bool(by_pedal),
        late=pick(late > 0, late, 0.0),
        stiffness=stiff,
        passed_on=passed_on,
        spared=spared,
        euler={loop.link.rod.name: loop.push_limit for loop in assembly.loops},
    )


def _by_springs(lines: Lines, root: str, hold: Number) -> Taken:
    """Return what rods, clamps and the stop take of springs alone, at the end."""
    pulls = _pulls(lines, lines.layout.pedal.shaft)
    stop: Number = 0.0
    for link in lines.layout.path_to(root):
        name, shaft = link.rod.name, link.driven.shaft
        if name in lines.given:
            shut = last(balanced(lines).held(shaft, frozenset({Ref("rod", name)})))
            pressed = abs(shut - pulls[name] * last(lines.rods[name].arms[shaft]))
            stop = pick(last(lines.given[name]), pressed, stop)
    return _taken(lines, pulls, hold, stop)


def _on_floor(
    assembly: Assembly, lines: Lines, root: str, load: Number
) -> tuple[Truth, Taken]:
    """Return whether over-travel springs on the way to a stop last to the floor.

    And what rods, clamps, stop and floor take there.
    """
    layout = assembly.layout
    rods = can_give(assembly, root)
    if not rods:
        return False, _taken(lines, _pulls(lines, layout.pedal.shaft), 0.0, 0.0)
    motion = sweep_clear(assembly, np.atleast_1d(layout.pedal.travel))
    there = force_lines(motion, like=lines)
    spared: Truth = True
    for rod in rods:
        far, way = last(there.frame.given[rod]), layout.rods[rod].over_travel
        stops: Any = assembly.loop(rod).spares
        spared = spared & np.isfinite(stops) & (far <= way)  # nan where it jams
    hold = last(balanced(there).pressed())
    taken = _by_springs(there, root, hold)
    return (
        spared if is_column(spared) else bool(spared),
        replace(taken, pedal_stop=greater(load - hold, 0.0)),
    )


def _passed_on(
    lines: Lines, root: str, load: Number, hold: Number, late: Number
) -> tuple[Number, Number]:
    """Return what of the foot goes into the linkage, and its stiffness; see `Stamp`."""
    firm = stiffness(lines, root)
    foot = hold + pick(late > 0, firm * late, 0.0)
    return pick(foot < load, foot, load), firm


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


def _met_and_late(layout: Layout, working: Working) -> tuple[Truth, Number]:
    """Return whether floor or pedal stop is met first, and how late it comes. [m].

    A stop on the pedal's own shaft is a pedal stop too. The lateness is 0 where one
    is met first, and nan where a full stop is and no pedal stop comes after it
    before the floor: a floor gives.
    """
    met = working.is_stopped_by("floor") | working.is_stopped_by("pedal stop")
    for name, stop in layout.stops.items():
        if stop.shaft == layout.pedal.shaft:
            met = met | working.is_stopped_by("stop", name)
    fitted = layout.pedal.stop_met
    late = pick(fitted, greater(working.left_over, 0.0), math.nan)
    return met, pick(met, 0.0, late)


def _pulls(lines: Lines, root: str) -> dict[str, Number]:
    """Return what springs and weight put on every rod at the end, one shaft held."""
    still = balanced(lines)
    return {
        rod: last(still.pull(rod, outer)) for rod, outer in lines.hanging.inwards(root)
    }


def _through(lines: Lines, root: str, foot: Number) -> Taken:
    """Return what a force at the pad does that goes through the rods to a stop."""
    pulls = _pulls(lines, root)
    hold = last(balanced(lines).held(root))
    torque = foot * lines.push_arm
    for link in lines.layout.path_to(root):
        arms = lines.rods[link.rod.name].arms
        pull = -torque / last(arms[link.driver.shaft])
        pulls[link.rod.name] = pulls[link.rod.name] + pull
        torque = pull * last(arms[link.driven.shaft])
    return _taken(lines, pulls, foot, abs(hold - torque))


def _taken(
    lines: Lines, pulls: Mapping[str, Number], foot: Number, stop: Number
) -> Taken:
    """Return what rods, clamps and the stop at the root take; no pedal stop."""
    layout: Layout = lines.layout
    pad = Ref("arm", layout.pedal.shaft, layout.pedal.pad)
    clamps = {pad: abs(foot * lines.push_arm)}
    for link in layout.links:
        arms = lines.rods[link.rod.name].arms
        for hole in link.holes:
            if layout.shafts[hole.shaft].slides:
                continue
            torque = pulls[link.rod.name] * last(arms[hole.shaft])
            clamps[Ref("arm", hole.shaft, hole.arm)] = abs(torque)
    return Taken(rods=pulls, clamps=clamps, stop_torque=stop, pedal_stop=0.0)
