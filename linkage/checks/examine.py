"""Solve a layout once, for every rule to look at.

Not here: the rules (`checks.geometry`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from linkage.motion import (
    Assembly,
    DeadCentre,
    Motion,
    RodLine,
    Speeds,
    Working,
    assemble,
    dead_centres,
    rod_line,
    speeds,
    sweep,
    working_travel,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.layout import Layout

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
    lines : mapping of str to RodLine
        By rod, at the same positions.
    """

    layout: Layout
    assembly: Assembly
    working: Working
    motion: Motion
    speeds: Speeds
    lines: Mapping[str, RodLine]
    _dead: list[tuple[DeadCentre, ...]] = field(default_factory=list, repr=False)

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
        speeds=speeds(motion),
        lines={link.rod.name: rod_line(motion, link) for link in layout.links},
    )
