"""What is met on the way, as measures that reach zero there.

Not here: which is met first (`motion.working`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import every, is_column, some_rows
from linkage.model.refs import Ref
from linkage.motion.chain import Chain
from linkage.motion.events import crossings, flat, over_rows
from linkage.motion.sweep import moved

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.model.columns import Number, Positions
    from linkage.motion.assembly import Assembly
    from linkage.motion.chain import Solved
    from linkage.motion.events import Measure
    from linkage.motion.sweep import Motion

    IntArray = NDArray[np.intp]

#: Angle below zero at which a lever that rests on its stop does so. [rad]
TOUCH: Final = 1e-12


def crossing(
    assembly: Assembly,
    measure: Callable[[Motion], Positions],
    low: float,
    high: float,
) -> float | None:
    """Return the first pad position from ``low`` at which a measure reaches zero.

    Parameters
    ----------
    assembly : Assembly
        What moves; one layout.
    measure : callable
        From a motion to an array that starts below zero.
    low, high : float
        Where to look; ``high`` may be less than ``low``. [m]

    Returns
    -------
    float or None
        None where the measure stays below zero. [m]
    """

    def of_motion(solved: Solved, _: IntArray) -> Positions:
        return measure(moved(assembly, solved))

    chain = Chain.of(assembly)
    _, after = crossings(chain, of_motion, np.array([low]), np.array([high]))
    return None if np.isnan(after[0]) else float(after[0])


def opens_by(layout: Layout, throttle: str, target: Number) -> Measure:
    """Return the measure that reaches zero where a throttle opens by an angle.

    Parameters
    ----------
    layout : Layout
        With the throttle.
    throttle : str
        Its name.
    target : float, or column by event
        From its idle stop. [rad]
    """
    t = layout.throttles[throttle]

    def measure(solved: Solved, rows: IntArray) -> Positions:
        opening = t.opens * solved.turn(t.shaft)
        return over_rows(opening, len(rows)) - some_rows(target, rows) + TOUCH

    return measure


def turns_by(shaft: str, target: Number, near: float = TOUCH) -> Measure:
    """Return the measure that reaches zero where a shaft has turned by an angle.

    Parameters
    ----------
    shaft : str
        Its name.
    target : float, or column by event
        Either way from its measured angle. [rad]
    near : float
        How far short of it counts as there. [rad]
    """

    def measure(solved: Solved, rows: IntArray) -> Positions:
        there = some_rows(target, rows)
        sense = np.where(there >= 0, 1.0, -1.0)
        return sense * (over_rows(solved.turn(shaft), len(rows)) - there) + near

    return measure


def first_met(assembly: Assembly, measure: Measure, end: Number) -> Number:
    """Return the pad travel at which a measure first reaches zero. [m].

    Parameters
    ----------
    assembly : Assembly
        One layout, or many as rows.
    measure : callable
        See `motion.events.Measure`.
    end : float or column
        How far from the pedal's rest it is looked for. [m]

    Returns
    -------
    float or column
        nan where it stays below zero.
    """
    many = is_column(assembly.ok)
    far = flat(end, len(assembly.ok) if many else 1)
    _, place = crossings(Chain.of(assembly), measure, np.zeros(len(far)), far)
    return place[:, None] if many else float(place[0])


def may_stop(assembly: Assembly) -> tuple[list[Ref], list[Measure]]:
    """Return full stops and stops of which any can stop the pedal, and when each is met.

    One on a shaft that a rod with an over-travel spring drives cannot: that gives.

    Parameters
    ----------
    assembly : Assembly
        One layout, or many as rows.
    """
    layout = assembly.layout
    throttles = [
        (name, t)
        for name, t in layout.throttles.items()
        if not _spared(assembly, t.shaft, t.opens * t.swing)
    ]
    stops = [
        (name, stop)
        for name, stop in layout.stops.items()
        if not _spared(assembly, stop.shaft, stop.turn)
    ]
    refs = [Ref("full stop", name) for name, _ in throttles]
    measures = [opens_by(layout, name, t.swing) for name, t in throttles]
    refs += [Ref("stop", name) for name, _ in stops]
    measures += [turns_by(stop.shaft, stop.turn) for _, stop in stops]
    return refs, measures


def _spared(assembly: Assembly, shaft: str, turn: Number) -> bool:
    """Tell whether what drives a shaft gives before a stop at a turn takes the foot."""
    spared = [p.spares for p in assembly.loops if p.link.driven.shaft == shaft]
    return any(s is not None and every(s * turn > 0) for s in spared)
