"""Work out the forces of a layout once, for every rule of force to look at.

Not here: the rules (`checks.spring_rules`, `checks.shutting`, `checks.loads`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linkage.forces import (
    INTACT,
    cold_factor,
    falls,
    force_lines,
    returns,
    rod_senses,
    sources,
    spring_senses,
    stamped,
    statics,
)

if TYPE_CHECKING:
    from linkage.forces import (
        Fall,
        Return,
        RodSense,
        Sources,
        SpringSense,
        Stamp,
        Statics,
    )
    from linkage.rules.examine import Examined


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Loaded:
    """A layout with its forces.

    Parameters
    ----------
    examined : Examined
        The solved layout.
    statics : Statics
        At the same positions.
    returns : tuple of Return
        Nothing failed, then every single failure.
    sources : tuple of Sources
        By plate.
    springs : tuple of SpringSense
        How every spring works.
    rods : tuple of RodSense
        What every rod carries.
    falls : tuple of Fall
        Time to idle, nothing failed, then every single failure.
    stamp : Stamp
        A stamped foot at the end of the travel.
    """

    examined: Examined
    statics: Statics
    returns: tuple[Return, ...]
    sources: tuple[Sources, ...]
    springs: tuple[SpringSense, ...]
    rods: tuple[RodSense, ...]
    falls: tuple[Fall, ...]
    stamp: Stamp

    @property
    def intact(self) -> tuple[Return, ...]:
        """Returns with nothing failed, one a plate."""
        return tuple(r for r in self.returns if r.failure == INTACT)


def load(x: Examined) -> Loaded:
    """Work out the forces of a solved layout.

    Parameters
    ----------
    x : Examined
        From `checks.examine`; without a jam in its travel.

    Raises
    ------
    LayoutError
        If a spring of the layout is impossible.
    """
    lines = force_lines(x.motion)
    factor = cold_factor(x.layout)
    s = statics(x.motion, lines=lines, cold_factor=factor)
    return Loaded(
        examined=x,
        statics=s,
        returns=returns(x.motion, lines=lines, factor=factor),
        sources=sources(lines),
        springs=spring_senses(s),
        rods=rod_senses(s),
        falls=falls(x.assembly, x.working, factor=factor, like=lines),
        stamp=stamped(x.assembly, x.working, lines=lines),
    )
