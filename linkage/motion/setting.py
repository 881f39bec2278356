"""The trade's order of setting: full throttle first, then prove idle.

Not here: whether the outcome is good enough (`rules`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.axes import add, dot
from linkage.model.columns import is_column, last, pick
from linkage.motion.assembly import Assembly, assemble
from linkage.motion.chain import SAMPLES
from linkage.motion.sweep import pads, sweep
from linkage.motion.working import working_travel
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model.columns import Number

#: How far from the pedal's end the full stop so set may be met. [m]
MET: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Outcome of setting the last rod at full throttle.

    Parameters
    ----------
    rod : str
        The rod that is adjusted: the last one before the main throttle.
    length : float or column
        Its length, centre to centre. [m]
    pad_travel : float or column
        Where the full stop is met: the pedal's own end. [m]
    opening_at_rest : float or column
        Of the main throttle with the pedal up; positive: held off idle. [rad]
    start : float or column
        Pad travel at which the plate then leaves its idle stop. [m]
    """

    rod: str
    length: Number
    pad_travel: Number
    opening_at_rest: Number
    start: Number


def set_full_first(assembly: Assembly, *, samples: int = SAMPLES) -> Setting | None:
    """Find the last rod's length that meets the full stop at the pedal's end.

    The lever is held against its full stop and the pad against the floor or
    pedal stop; the rod is the distance between the two holes there. Solved
    again with that rod, the lever is then looked at with the pedal up.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`.
    samples : int
        As of `working_travel`.

    Returns
    -------
    Setting or None
        None where an earlier rod jams, or the rod set so cannot be put
        together at rest or runs out on the way. Of many layouts, numbers of
        such rows are nan.
    """
    layout = assembly.layout
    main = layout.main
    link = layout.path_to(main.shaft)[-1]
    end = layout.pedal.end
    driver = layout.shafts[link.driver.shaft]
    at_end = sweep(assembly, pads(0.0, end))
    turn = np.arctan2(*(last(c) for c in at_end.pair(driver.name)[::-1]))
    lever = layout.shafts[main.shaft].pin(link.driven.arm, main.opens * main.swing)
    gap = add(driver.pin(link.driver.arm, turn), lever, -1)
    length = np.sqrt(dot(gap, gap))
    known = length > 0
    if not is_column(known):
        if not known:
            return None
        length = float(length)
    try:
        again = assemble(layout.with_rod(link.rod.name, pick(known, length, 1.0)))
    except ValueError:
        return None
    working = working_travel(again, samples=samples)
    good = (abs(working.end - end) <= MET) & np.logical_not(working.jammed) & known
    if not is_column(good) and not good:
        return None
    return Setting(
        rod=link.rod.name,
        length=pick(good, length, np.nan),
        pad_travel=end,
        opening_at_rest=pick(good, working.opening_at_rest[main.name], np.nan),
        start=pick(good, working.start, np.nan),
    )
