"""The trade's order of setting: full throttle first, then prove idle.

Not here: whether the outcome is good enough (`checks.travel`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from linkage.model.axes import add, norm
from linkage.motion.assembly import Assembly, assemble
from linkage.motion.sweep import sweep
from linkage.motion.working import working_travel


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Outcome of setting the last rod at full throttle.

    Parameters
    ----------
    rod : str
        The rod that is adjusted: the last one before the main throttle.
    length : float
        Its length, centre to centre. [m]
    pad_travel : float
        Where the full stop is met: the pedal's own end. [m]
    opening_at_rest : float
        Of the main throttle with the pedal up; positive: held off idle. [rad]
    start : float
        Pad travel at which the plate then leaves its idle stop. [m]
    """

    rod: str
    length: float
    pad_travel: float
    opening_at_rest: float
    start: float


def set_full_first(assembly: Assembly) -> Setting | None:
    """Find the last rod's length that meets the full stop at the pedal's end.

    The lever is held against its full stop and the pad against the floor or
    pedal stop; the rod is the distance between the two holes there. Solved
    again with that rod, the lever is then looked at with the pedal up.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.

    Returns
    -------
    Setting or None
        None where an earlier rod jams, or the rod set so cannot be put
        together at rest or runs out on the way.
    """
    layout = assembly.layout
    main = layout.main
    link = layout.path_to(main.shaft)[-1]
    end = layout.pedal.end
    at_end = sweep(assembly, np.array([0.0, end]))
    driver = layout.shafts[link.driver.shaft]
    turn = math.atan2(at_end.sines[driver.name][1], at_end.cosines[driver.name][1])
    if math.isnan(turn):
        return None
    lever = layout.shafts[main.shaft].pin(link.driven.arm, main.opens * main.swing)
    length = norm(add(driver.pin(link.driver.arm, turn), lever, -1))
    try:
        again = assemble(layout.with_rod(link.rod.name, length))
    except ValueError:
        return None
    working = working_travel(again)
    if working.jam is not None or abs(working.end - end) > 1e-6:
        return None
    return Setting(
        rod=link.rod.name,
        length=length,
        pad_travel=end,
        opening_at_rest=working.opening_at_rest[main.name],
        start=working.start,
    )
