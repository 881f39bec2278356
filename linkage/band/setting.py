"""What a turn of a rod's thread does to the plate, at idle and at full.

Not here: what measuring errors do (`band.effects`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Cable
from linkage.motion import frame, sweep_clear
from linkage.motion.sweep import pads
from linkage.motion.tangent import carried
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.rules.examine import Examined

#: Pitch of M6, ISO 261 (from memory): one turn at one end of a rod. [m]
TURN: Final = 1e-3
#: A turn that does less does nothing. [rad]
NOTHING: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What a turn of one rod's thread does to the main plate.

    Parameters
    ----------
    rod : str
        The rod.
    at_idle, at_full : float
        Opening that its being a turn longer gives where the plate begins to move, and
        where the pedal stops, the pad kept. [rad]
    missing : float
        Opening that is missing to what is asked of full throttle; 0 where none is. [rad]
    """

    rod: str
    at_idle: float
    at_full: float
    missing: float

    @property
    def turns(self) -> float:
        """Turns that bring full throttle back, longer positive; nan where none do."""
        if abs(self.at_full) < NOTHING:
            return math.nan
        return self.missing / self.at_full

    @property
    def idle_then(self) -> float:
        """Where the plate stands then with the pedal up, off its idle stop. [rad].

        Below zero the stop holds it, and as much of the pedal's way is lost.
        """
        return self.turns * self.at_idle


def settings(x: Examined) -> list[Setting]:
    """Return what a turn of every rod on the way to the main plate does.

    Parameters
    ----------
    x : Examined
        One layout.

    Returns
    -------
    list of Setting
        From the pedal on; first order, as all turns of a thread that are told.
    """
    layout, main = x.layout, x.layout.main
    places = pads(0.0, x.working.start, x.working.end)
    still = frame(sweep_clear(x.assembly, places))
    asked = layout.limits.full_throttle * main.swing
    missing = max(asked - float(x.working.opening_at_end[main.name]), 0.0)
    out = []
    for link in layout.path_to(main.shaft):
        if isinstance(link.rod, Cable):
            continue
        turns = carried(still, ("rods", link.rod.name, "length"))[main.shaft]
        _, idle, full = (main.opens * np.broadcast_to(turns, (3,)) * TURN).tolist()
        out.append(
            Setting(rod=link.rod.name, at_idle=idle, at_full=full, missing=missing)
        )
    return out
