"""Everything the spring card needs, worked out once.

Not here: whether it is good enough (`rules`), how it is shown.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.forces.lines import force_lines
from linkage.forces.returns import Return, returns
from linkage.forces.statics import Statics, statics
from linkage.forces.time import Fall, cold_factor, falls
from linkage.motion import sweep_clear
from linkage.records import dataclass
from linkage.tabular import Tabular, column_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.motion import Assembly, Motion, Working
    from linkage.springs import SpringLaw


@dataclass(frozen=True, slots=True, eq=False, kw_only=True, repr=False)
class SpringCard(Tabular):
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

    def columns(self) -> dict[str, Any]:
        """Return torques and forces over the travel, by name with unit, in shown units.

        Of a governor what counts as closing inside is opening, and is called so.
        """
        s, main = self.together, self.motion.assembly.layout.main.name
        out = {
            "pad_travel_mm": s.pad_travel * 1e3,
            "throttle_angle_deg": np.degrees(self.motion.opening(main)),
            "closing_torque_N_m": s.closing_torque[main],
            "friction_torque_N_m": s.friction_torque[main],
        }
        sprung = column_words(s.over_travel_share)
        over = {rod: f"over_travel_{word}" for rod, word in sprung.items()}
        springs = column_words(
            dict.fromkeys((*self.alone, *s.split)),
            taken=("pressing", "releasing", *over.values()),
        )
        rods = column_words(s.rod_pressing)
        for name, alone in self.alone.items():
            torque = alone.closing_torque[main]
            out[f"closing_torque_{springs[name]}_only_N_m"] = torque
        out["pad_force_pressing_N"] = s.pad_force_pressing
        out["pad_force_releasing_N"] = s.pad_force_releasing
        out |= {
            f"pad_force_{springs[name]}_N": share for name, share in s.split.items()
        }
        out |= {
            f"pad_force_{over[rod]}_N": share
            for rod, share in s.over_travel_share.items()
        }
        out |= {f"rod_force_{rods[n]}_N": force for n, force in s.rod_pressing.items()}
        if not self.motion.assembly.layout.governed:
            return out
        out["throttle_angle_deg"] = np.degrees(
            self.motion.assembly.layout.main.swing - self.motion.opening(main)
        )
        return {_governors(key): column for key, column in out.items()}


#: Beginnings of columns, and what they are called of a governor.
_GOVERNORS: Final = {
    "pad_force_pressing_": "arm_force_shutting_",
    "pad_force_releasing_": "arm_force_opening_",
    "pad_": "arm_",
    "throttle_angle_": "open_angle_",
    "closing_torque_": "opening_torque_",
}


def _governors(key: str) -> str:
    """Return what a column is called of a governor."""
    for start, instead in _GOVERNORS.items():
        if key.startswith(start):
            return instead + key.removeprefix(start)
    return key


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
    motion = sweep_clear(
        assembly, np.linspace(working.start, working.end, max(points, 2))
    )
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
        returns=returns(
            motion, lines=lines, factor=factor, dirt=layout.limits.dirt_factor
        ),
        falls=falls(assembly, working, factor=factor, like=lines),
        factor=factor,
    )
