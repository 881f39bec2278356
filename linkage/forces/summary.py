"""Everything the spring card needs, worked out once.

Not here: whether it is good enough (`rules`), how it is shown.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from linkage.forces.lines import force_lines
from linkage.forces.returns import Return, returns
from linkage.forces.statics import Statics, statics
from linkage.forces.time import Fall, cold_factor, falls
from linkage.motion import sweep

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.motion import Assembly, Motion, Working
    from linkage.springs import SpringLaw


@dataclass(frozen=True, slots=True, eq=False, kw_only=True, repr=False)
class SpringCard:
    """Springs, closing torque and pad force through the working travel.

    Parameters
    ----------
    motion : Motion
        The positions.
    laws : mapping of str to SpringLaw
        By spring.
    together : Statics
        With every spring on.
    alone : mapping of str to Statics
        With one spring on, by its name.
    returns : tuple of Return
        Each single failure of each plate, nothing failed first.
    falls : tuple of Fall
        Time to idle in the same order.
    factor : float
        On every coefficient of friction, for the cold.
    """

    motion: Motion
    laws: Mapping[str, SpringLaw]
    together: Statics
    alone: Mapping[str, Statics]
    returns: tuple[Return, ...]
    falls: tuple[Fall, ...]
    factor: float

    def __repr__(self) -> str:
        return f"<SpringCard of {len(self.laws)} springs, {len(self.returns)} returns>"


def spring_card(
    assembly: Assembly, working: Working, *, points: int = 101
) -> SpringCard:
    """Work out all there is to say about springs.

    Parameters
    ----------
    assembly : Assembly
        What moves.
    working : Working
        Its working travel.
    points : int
        Positions over it, evenly spread.

    Raises
    ------
    LayoutError
        If a spring of the layout is impossible.
    """
    layout = assembly.layout
    motion = sweep(assembly, np.linspace(working.start, working.end, max(points, 2)))
    lines = force_lines(motion)
    factor = cold_factor(layout)
    return SpringCard(
        motion=motion,
        laws=lines.laws,
        together=statics(motion, cold_factor=factor, lines=lines),
        alone={
            name: statics(motion, springs=(name,), cold_factor=factor, lines=lines)
            for name in layout.springs
        },
        returns=returns(motion, lines=lines, factor=factor),
        falls=falls(assembly, working, factor=factor, like=lines),
        factor=factor,
    )
