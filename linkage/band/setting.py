"""What a turn of a rod's thread does to the plate, at idle and at full.

Not here: what measuring errors do (`band.effects`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Cable
from linkage.motion import frame, sweep_clear
from linkage.motion.sweep import pads
from linkage.motion.tangent import carried

if TYPE_CHECKING:
    from linkage.rules.examine import Examined

#: Pitch of M6, ISO 261 (from memory): one turn at one end of a rod. [m]
TURN: Final = 1e-3


def settings(x: Examined) -> list[tuple[str, float, float]]:
    """Return what a turn of every rod on the way to the main plate does.

    Parameters
    ----------
    x : Examined
        One layout.

    Returns
    -------
    list of (str, float, float)
        Rod; opening that its being a turn longer gives where the plate begins to move,
        and where the pedal stops, the pad kept. [rad]
    """
    main = x.layout.main
    places = pads(0.0, x.working.start, x.working.end)
    still = frame(sweep_clear(x.assembly, places))
    out = []
    for link in x.layout.path_to(main.shaft):
        if isinstance(link.rod, Cable):
            continue
        turns = carried(still, ("rods", link.rod.name, "length"))[main.shaft]
        opening = main.opens * np.broadcast_to(turns, (3,)) * TURN
        out.append((link.rod.name, float(opening[1]), float(opening[2])))
    return out
