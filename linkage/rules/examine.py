"""Solve a layout once, for every rule to look at.

Not here: the rules (`checks.geometry`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from linkage.motion import (
    Assembly,
    DeadCentre,
    Frame,
    Motion,
    Working,
    assemble,
    dead_centres,
    frame,
    sweep,
    working_travel,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect import Line
    from linkage.model import Layout

#: Steps in which a pedal stop is set. [m]
STOP_STEP = 0.5e-3
#: Positions over the working travel at which every rule looks.
POSITIONS = 121


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Examined:
    """A layout put together and moved through its working travel.

    Parameters
    ----------
    layout : Layout
        What was measured.
    assembly : Assembly
        Rod lengths, branches, rest turns.
    working : Working
        Stops.
    motion : Motion
        `POSITIONS` positions from start to end of the working travel.
    speeds : Speeds
        Derivatives at them.
    lines : mapping of str to Line
        By rod, at the same positions.
    """

    layout: Layout
    assembly: Assembly
    working: Working
    motion: Motion
    speeds: Frame
    lines: Mapping[str, Line]
    _dead: list[tuple[DeadCentre, ...]] = field(default_factory=list, repr=False)

    @property
    def throttle_share(self) -> float:
        """Share of the swing to which the main throttle is opened at the end."""
        main = self.layout.main
        return self.working.opening_at_end[main.name] / main.swing

    def dead_centres(self) -> tuple[DeadCentre, ...]:
        """Return the dead centres; looked for once, as it takes the longest."""
        if not self._dead:
            self._dead.append(dead_centres(self.assembly, self.working))
        return self._dead[0]


def examine(layout: Layout) -> Examined:
    """Solve a layout.

    Parameters
    ----------
    layout : Layout
        What was measured.

    Raises
    ------
    AssemblyError
        If the parts cannot be put together at rest.
    """
    assembly = assemble(layout)
    working = working_travel(assembly)
    motion = sweep(assembly, np.linspace(working.start, working.end, POSITIONS))
    return Examined(
        layout=layout,
        assembly=assembly,
        working=working,
        motion=motion,
        speeds=frame(motion),
        lines=frame(motion).rods,
    )


def stop_at(x: Examined) -> float:
    """Return the pad travel for a pedal stop: the next step after all has stopped.

    Parameters
    ----------
    x : Examined
        Stopped by the full stop.

    Returns
    -------
    float
        A whole number of `STOP_STEP`, and never past the floor. [m]
    """
    at = math.ceil(round(x.working.end / STOP_STEP, 6)) * STOP_STEP
    return min(at, x.layout.pedal.travel)


def stop_set_last(layout: Layout) -> tuple[Layout, Examined]:
    """Set the pedal stop to where the full stop is met, as a fitter does last.

    A stop that was set for other arms would hide what new ones can do. A layout
    without a pedal stop gets none.

    Parameters
    ----------
    layout : Layout
        With the stop as it was.

    Returns
    -------
    layout : Layout
        With its stop at the next half millimetre of pad after the full stop;
        without one where the floor comes first.
    examined : Examined
        That layout solved.

    Raises
    ------
    AssemblyError
        If the parts cannot be put together at rest.
    """
    if layout.pedal.stop is None:
        return layout, examine(layout)
    free = replace(layout, pedal=replace(layout.pedal, stop=None))
    x = examine(free)
    if not x.working.is_stopped_by("full stop"):
        return free, x
    new = replace(free, pedal=replace(free.pedal, stop=stop_at(x)))
    return new, examine(new)
