"""What is met on the way, as measures that reach zero there.

Not here: which is met first (`motion.working`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import every
from linkage.model.refs import Ref
from linkage.motion.chain import Chain, some_rows
from linkage.motion.events import crossings, over_rows
from linkage.motion.sweep import moved

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from linkage.model import Layout, Stop
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


def _stop_measure(stop: Stop) -> Measure:
    def measure(solved: Solved, rows: IntArray) -> Positions:
        sense = np.where(some_rows(stop.turn, rows) >= 0, 1.0, -1.0)
        turn = over_rows(solved.turn(stop.shaft), len(rows))
        return sense * (turn - some_rows(stop.turn, rows)) + TOUCH

    return measure


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
    measures += [_stop_measure(stop) for _, stop in stops]
    return refs, measures


def _spared(assembly: Assembly, shaft: str, turn: Number) -> bool:
    """Tell whether what drives a shaft gives before a stop at a turn takes the foot."""
    spared = [p.spares for p in assembly.loops if p.link.driven.shaft == shaft]
    return any(s is not None and every(s * turn > 0) for s in spared)
