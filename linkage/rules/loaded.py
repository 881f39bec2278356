"""The forces of a layout, each worked out when a rule first asks for it.

Not here: the rules of force (`rules.springs`, `rules.shutting`, `rules.loads`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from linkage.forces import (
    INTACT,
    Failure,
    Fall,
    Lines,
    LinesPart,
    Return,
    RodSense,
    Sources,
    SpringSense,
    Stamp,
    Statics,
    cold_factor,
    falls,
    force_lines,
    returns,
    rod_senses,
    sources,
    spring_senses,
    stamped,
    statics,
    way_back,
)
from linkage.model.columns import greater
from linkage.motion import sweep_clear

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model.columns import Positions
    from linkage.motion import Assembly, Motion, Working


class Loaded:
    """Forces through the working travel, without a jam in it.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its stops.
    motion : Motion
        The working travel.
    nodes : int
        Over the way back to idle.
    rows : int
        Layouts.

    Raises
    ------
    LayoutError
        When asked for anything, if a spring of a single layout is impossible.
    """

    def __init__(
        self,
        assembly: Assembly,
        working: Working,
        motion: Motion,
        nodes: int,
        rows: int,
    ) -> None:
        #: Whether it is asked what parts that fail do, and not only what holds with none.
        self.parts_fail = True
        self._nodes = nodes
        self._rows = rows
        self._assembly = assembly
        self._working = working
        self._motion = motion
        self._factor = cold_factor(assembly.layout)

    def forget(self) -> None:
        """Let go of the lines, which refer to their balances and these to them."""
        both = self.__dict__.get("_both", ())
        for lines in (*both, *(part.whole for part in both[:1])):
            lines.forget()

    @cached_property
    def _both(self) -> tuple[Lines, Lines]:
        """Lines of force at every position, and on the way back, worked out as one."""
        ahead = self._motion.pad_travel
        back = way_back(self._assembly, self._working, self._nodes)
        both = sweep_clear(self._assembly, np.concatenate((ahead, back), axis=-1))
        whole = force_lines(both, rows=self._rows)
        count = ahead.shape[-1]
        return (
            LinesPart(whole, slice(count), self._motion),
            LinesPart(whole, slice(count, None)),
        )

    @property
    def lines(self) -> Lines:
        """Lines of force at every position."""
        return self._both[0]

    @cached_property
    def statics(self) -> Statics:
        """Forces at every position."""
        return statics(self._motion, lines=self.lines, cold_factor=self._factor)

    @cached_property
    def returns(self) -> tuple[Return, ...]:
        """Nothing failed, then every single failure, where it is asked what those do."""
        plates = self._assembly.layout.plates
        cases = None if self.parts_fail else [(INTACT, p.name) for p in plates]
        return returns(
            self._motion,
            lines=self.lines,
            factor=self._factor,
            failed=self._failed,
            cases=cases,
        )

    @cached_property
    def _failed(self) -> Positions:
        """Factor on every friction with anything failed, at every position and back.

        Cold and dirt count where it has to shut, the cold alone in how fast it does.
        """
        dirt = greater(self._factor, self._assembly.layout.limits.dirt_factor)
        ahead, back = (lines.motion.pad_travel.shape[-1] for lines in self._both)
        return np.where(np.arange(ahead + back) < ahead, dirt, self._factor)

    @cached_property
    def intact(self) -> tuple[Return, ...]:
        """Returns with nothing failed, one a plate."""
        return tuple(r for r in self.returns if r.failure == INTACT)

    @cached_property
    def returns_of(self) -> Mapping[str, Mapping[Failure, Return]]:
        """By plate and failure."""
        out: dict[str, dict[Failure, Return]] = {}
        for r in self.returns:
            out.setdefault(r.throttle, {})[r.failure] = r
        return out

    @cached_property
    def sources(self) -> tuple[Sources, ...]:
        """Sources of energy by plate."""
        return sources(self.lines)

    @cached_property
    def springs(self) -> tuple[SpringSense, ...]:
        """How every spring works."""
        return spring_senses(self.statics)

    @cached_property
    def rods(self) -> tuple[RodSense, ...]:
        """What every rod carries."""
        return rod_senses(self.statics)

    @cached_property
    def falls(self) -> tuple[Fall, ...]:
        """Time to idle, nothing failed, then every single failure."""
        return falls(
            self._assembly,
            self._working,
            factor=self._factor,
            failed=self._failed,
            lines=self._both[1],
        )

    @cached_property
    def stamp(self) -> Stamp:
        """A stamped foot at the end of the travel."""
        return stamped(self._assembly, self._working, lines=self.lines)
