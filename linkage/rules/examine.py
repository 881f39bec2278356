"""Solve a layout once, for every rule to look at.

Not here: the rules (`rules.order`), how they are asked (`rules.engine`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

from linkage.model.columns import spread
from linkage.motion import (
    DeadCentre,
    Frame,
    assemble,
    dead_centres,
    frame,
    sweep,
    working_travel,
)
from linkage.rules.loaded import Loaded

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect import Line
    from linkage.model import Layout
    from linkage.model.columns import Number, Truth
    from linkage.motion import Assembly, Motion, Working
    from linkage.rules.rule import Outcome

#: Steps in which a pedal stop is set. [m]
STOP_STEP: Final = 0.5e-3
#: Positions over the working travel at which every rule looks.
POSITIONS: Final = 121


class Examined:
    """A layout, one or many as rows, put together and moved through its travel.

    What only some rules need is worked out when it is first asked for, and once.

    Parameters
    ----------
    assembly : Assembly
        The layout put together.
    working : Working
        Its stops.
    motion : Motion
        `POSITIONS` positions from start to end of the working travel.
    """

    def __init__(self, assembly: Assembly, working: Working, motion: Motion) -> None:
        self.layout: Layout = assembly.layout
        self.assembly = assembly
        self.working = working
        self.motion = motion
        #: What each rule found, by its code; kept by the engine.
        self.outcomes: dict[str, tuple[Outcome, ...]] = {}

    def __repr__(self) -> str:
        return f"<Examined {self.layout!r}, {self.working!r}>"

    @property
    def speeds(self) -> Frame:
        """Places, directions and derivatives at the positions."""
        return frame(self.motion)

    @property
    def lines(self) -> Mapping[str, Line]:
        """How each rod lies, by its name."""
        return frame(self.motion).rods

    @property
    def moves(self) -> Truth:
        """Whether there is any working travel."""
        return self.working.end > self.working.start

    @property
    def stopped(self) -> Mapping[str, Any]:
        """What can stop the pedal, and the index of what does, as facts."""
        return {"stops": self.working.stops, "stopped": self.working.stopped}

    @property
    def ok(self) -> Truth:
        """Whether it could be put together."""
        return self.assembly.ok

    @property
    def throttle_share(self) -> Number:
        """Share of the swing to which the main throttle is opened at the end."""
        main = self.layout.main
        return self.working.opening_at_end[main.name] / main.swing

    @cached_property
    def dead_centres(self) -> tuple[DeadCentre, ...]:
        """The dead centres of every arm."""
        return dead_centres(self.assembly, self.working)

    @cached_property
    def forces(self) -> Loaded:
        """The forces at the same positions."""
        return Loaded(self.assembly, self.working, self.motion)


def examine(layout: Layout) -> Examined:
    """Solve a layout, one or many as rows.

    Parameters
    ----------
    layout : Layout
        What was measured.

    Raises
    ------
    AssemblyError
        If the parts of a single layout cannot be put together at rest.
    """
    assembly = assemble(layout)
    working = working_travel(assembly)
    travel = spread(working.start, working.end, POSITIONS)
    return Examined(assembly, working, sweep(assembly, travel))


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
