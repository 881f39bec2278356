"""Solve a layout once, for every rule to look at.

Not here: the rules (`rules.order`), how they are asked (`rules.engine`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final, Self

import numpy as np

from linkage.errors import LinkageError
from linkage.forces.failures import failures
from linkage.forces.time import NODES
from linkage.gaps import Gaps, gaps_of
from linkage.model.columns import is_column, lesser, pick, some, spread
from linkage.model.rows import rows_of
from linkage.motion import (
    Assembly,
    DeadCentre,
    Frame,
    assemble,
    dead_centres,
    frame,
    sweep_clear,
    working_travel,
)
from linkage.motion.by_hand import by_hand
from linkage.motion.chain import SAMPLES
from linkage.motion.giving import full_from, spares_main
from linkage.motion.sweep import pads
from linkage.rules.loaded import Loaded
from linkage.rules.one_turn import a_turn_off

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect import Line
    from linkage.forces import Failure
    from linkage.model import Layout
    from linkage.model.columns import Number, Truth
    from linkage.motion import Motion, Working
    from linkage.rules.rule import Outcome
    from linkage.rules.states import States
    from linkage.rules.warm import Warm

#: Steps in which a pedal stop is set. [m]
STOP_STEP: Final = 0.5e-3


@dataclass(frozen=True, slots=True)
class Grain:
    """How closely a layout is looked at.

    Parameters
    ----------
    positions : int
        Over the working travel, at which every rule looks.
    samples : int
        Over the pedal's travel, in which stops and jams are looked for.
    nodes : int
        Over the way back to idle; odd.
    all_moves : bool
        Whether in every movement of the engine; else in those that go furthest.
    corners : bool
        Whether measuring errors are worked out; else they are taken as usual.
    """

    positions: int
    samples: int
    nodes: int
    all_moves: bool = True
    corners: bool = True


#: For a verdict; for a search, of which the winner is looked at closely; and for many, each
#: of which is told or counted though nobody looks at it again.
WHOLE: Final = Grain(121, SAMPLES, NODES)
COARSE: Final = Grain(25, 61, 33, all_moves=False, corners=False)
SAMPLED: Final = Grain(25, 61, 33, corners=False)


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
        Positions from start to end of the working travel.
    grain : Grain
        How closely it was looked at.
    """

    def __init__(
        self, assembly: Assembly, working: Working, motion: Motion, grain: Grain
    ) -> None:
        self.grain = grain
        self.layout: Layout = assembly.layout
        self.assembly = assembly
        self.working = working
        self.motion = motion
        #: What each rule found, by its code; kept by the engine.
        self.outcomes: dict[str, tuple[Outcome, ...]] = {}
        #: The same with its engine moved; kept by `rules.states`.
        self.kept: list[States] = []
        #: The same cold and hot; kept by `rules.warm`.
        self.warmed: list[Warm] = []

    @classmethod
    def of(cls, assembly: Assembly, working: Working, grain: Grain) -> Self:
        """Move an assembly through its working travel."""
        travel = spread(working.start, working.end, grain.positions)
        return cls(assembly, working, sweep_clear(assembly, travel), grain)

    def __repr__(self) -> str:
        return f"<Examined {self.layout!r}>"

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
    def rows(self) -> int:
        """How many layouts these are."""
        return rows_of(self.layout)

    def forget(self) -> None:
        """Let go of what can be worked out again; a search keeps hundreds of these."""
        for moved in self.kept:
            moved.forget()
        self.kept.clear()
        self.warmed.clear()
        self.motion.frames.clear()
        forces = self.__dict__.pop("forces", None)
        if forces is not None:
            forces.forget()
        self.__dict__.pop("unstopped", None)
        self.__dict__.pop("gaps", None)
        by_hand = self.__dict__.get("by_hand")
        if by_hand is not None:
            by_hand.forget()

    @cached_property
    def by_hand(self) -> Examined | None:
        """The same as the hand sees it.

        None where there is no hand lever, or a single layout cannot be put together so.
        """
        assembly = self._pulled
        if assembly is None or isinstance(assembly, LinkageError):
            return None
        working = working_travel(assembly, samples=self.grain.samples)
        return Examined.of(assembly, working, self.grain)

    @cached_property
    def _pulled(self) -> Assembly | LinkageError | None:
        """The layout put together as the hand sees it, or why it cannot be."""
        if self.layout.hand is None:
            return None
        try:
            return assemble(by_hand(self.assembly))
        except LinkageError as error:
            return error

    def torn_by_hand(self, i: int) -> str:
        """Return why a row cannot be put together as the hand sees it."""
        found = self._pulled
        error = found.error(i) if isinstance(found, Assembly) else found
        return "" if error is None else error.message

    @cached_property
    def dead_centres(self) -> tuple[DeadCentre, ...]:
        """The dead centres of every arm."""
        return dead_centres(self.assembly, self.working)

    @cached_property
    def failures(self) -> tuple[Failure, ...]:
        """Every single failure of a part."""
        return failures(self.layout)

    @cached_property
    def unstopped(self) -> Motion:
        """At rest, and with the pedal at its own end whatever stops it before."""
        return sweep_clear(self.assembly, pads(0.0, self.layout.pedal.end))

    @cached_property
    def gaps(self) -> Gaps:
        """How near its parts come to obstacles and to each other, at the same positions."""
        return gaps_of(self.motion, self.rows)

    @cached_property
    def forces(self) -> Loaded:
        """The forces at the same positions."""
        assembly, nodes = self.assembly, self.grain.nodes
        return Loaded(assembly, self.working, self.motion, nodes, self.rows)


def examine(layout: Layout, grain: Grain = WHOLE) -> Examined:
    """Solve a layout, one or many as rows.

    Parameters
    ----------
    layout : Layout
        What was measured.
    grain : Grain
        How closely to look.

    Raises
    ------
    AssemblyError
        If the parts of a single layout cannot be put together at rest.
    """
    assembly = assemble(layout)
    working = working_travel(assembly, samples=grain.samples)
    return Examined.of(assembly, working, grain)


def stop_at(x: Examined | Working, travel: Number) -> Number:
    """Return the pad travel for a pedal stop: the next step after all has stopped.

    Parameters
    ----------
    x : Examined or Working
        Stopped by the full stop.
    travel : float or column
        Of the pad to the floor. [m]

    Returns
    -------
    float or column
        A whole number of `STOP_STEP`, at least one, and never past the floor. [m]
    """
    return _step_after(x.working.end if isinstance(x, Examined) else x.end, travel)


def _step_after(place: Number, travel: Number) -> Number:
    steps = np.maximum(np.ceil(np.round(place / STOP_STEP, 6)), 1.0)
    at = np.round(steps * STOP_STEP, 9)  # the number that a file with that size gives
    return lesser(at if is_column(at) else float(at), travel)


def stop_before(place: Number) -> Number:
    """Return the pad travel for a pedal stop that is met before a place. [m].

    A whole number of `STOP_STEP`; 0 where there is none.
    """
    steps = np.floor(np.round(place / STOP_STEP, 6))
    at = np.round(steps * STOP_STEP, 9)
    return at if is_column(at) else float(at)


def _past_full(
    layout: Layout, assembly: Assembly, working: Working, short: Number
) -> Number:
    """Return the pedal stop behind an over-travel spring; ``short`` where not full. [m]."""
    floor, old = layout.pedal.travel, layout.pedal.stop
    met = full_from(assembly, working)
    least = _step_after(met, floor)
    most = pick(working.jammed, stop_before(working.end), floor)
    at = pick((old >= least) & (old <= most), old, least)
    return pick(np.isnan(met), short, at)


def stop_set_last(
    layout: Layout, grain: Grain = WHOLE, *, kept: bool = False
) -> Examined:
    """Set the pedal stop to where the full stop is met, as a fitter does last.

    A stop that was set for other arms would hide what new ones can do. A layout
    without a pedal stop gets none.

    Behind an over-travel spring full throttle stops no pedal: a stop stays where it is
    between full throttle and where the spring is used up, else it is set to the next
    half millimetre after full throttle.

    Parameters
    ----------
    layout : Layout
        With the stop as it was; one or many.
    grain : Grain
        How closely to look.
    kept : bool
        Whether the stop stays where the floor comes first, set to the floor.

    Returns
    -------
    Examined
        The layout with its stop at the next half millimetre of pad after the full
        stop; where the floor comes first without one, or at the floor if it is to
        be kept; solved.

    Raises
    ------
    AssemblyError
        If the parts of a single layout cannot be put together at rest.
    """
    if layout.governed:  # of a governor its rods are set last
        return examine(a_turn_off(layout), grain)
    if layout.pedal.stop is None:
        return examine(layout, grain)
    assembly = assemble(replace(layout, pedal=replace(layout.pedal, stop=None)))
    working = working_travel(assembly, samples=grain.samples)
    full = working.is_stopped_by("full stop")
    floor = layout.pedal.travel
    at: Number = floor if kept else math.inf
    sprung = spares_main(assembly)
    if sprung:
        at = _past_full(layout, assembly, working, at)
    if some(full) or kept or sprung:
        at = pick(full, stop_at(working, floor), at)
        pedal = replace(layout.pedal, stop=at)
        assembly = replace(assembly, layout=replace(layout, pedal=pedal))
        working = working_travel(assembly, samples=grain.samples)
    return Examined.of(assembly, working, grain)
