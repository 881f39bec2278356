"""The trade's order of setting: full throttle first, then prove idle.

Not here: whether the outcome is good enough (`rules`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.axes import add, dot
from linkage.model.columns import is_column, pick, spread
from linkage.motion.assembly import Assembly, assemble
from linkage.motion.chain import SAMPLES, Chain
from linkage.motion.events import FINE, flat, over_rows
from linkage.motion.jam import jams
from linkage.motion.stops import may_stop
from linkage.motion.working import Coarse, look_coarsely, starts_late
from linkage.records import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model.columns import Number, Positions

#: How far from the pedal's end the full stop so set may be met. [m]
MET: Final = 1e-6
#: Opening by which the lever may miss its full stop there. [rad]
AT_FULL: Final = 1e-4


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


def set_full_first(
    assembly: Assembly, *, samples: int = SAMPLES, coarse: Coarse | None = None
) -> Setting | None:
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
    coarse : Coarse, optional
        Of the working travel of this assembly, where that is known.

    Returns
    -------
    Setting or None
        None where an earlier rod jams, or the rod set so cannot be put
        together at rest, runs out on the way or leads the lever elsewhere. Of
        many layouts, numbers of such rows are nan.
    """
    layout = assembly.layout
    main = layout.main
    link = layout.path_to(main.shaft)[-1]
    many = is_column(assembly.ok)
    limit = flat(layout.pedal.end, len(assembly.ok) if many else 1)
    if coarse is None:
        coarse = look_coarsely(Chain.of(assembly, samples), limit)
    driver = layout.shafts[link.driver.shaft]
    turn = _turn_at_end(coarse, driver.name)
    turn = turn if many else float(turn[0, 0])
    lever = layout.shafts[main.shaft].pin(link.driven.arm, main.opens * main.swing)
    gap = add(driver.pin(link.driver.arm, turn), lever, -1)
    length = np.sqrt(dot(gap, gap))
    slot = layout.rods[link.rod.name].slot
    known = length > slot
    if not is_column(known):
        if not known:
            return None
        length = float(length)
    changed = layout.with_rod(link.rod.name, pick(known, length, 1.0 + slot))
    try:
        again = assemble(changed, assembly)
    except ValueError:
        return None
    chain = Chain.of(again, samples)
    solved = chain.solve_like(coarse.solved)
    coarse = Coarse(chain=chain, travel=coarse.travel, solved=solved)
    rods, places = jams(chain, coarse.travel, solved)
    start, _, rest = starts_late(again, coarse, np.where(rods < 0, limit, places))
    good = (rods < 0) & ~_met_before(again, coarse, start)
    # Between the same holes the lever may also lie on the other side of its rod.
    there = over_rows(main.opens * solved.turn(main.shaft), len(start))[:, -1]
    good &= np.abs(there - np.ravel(main.swing)) < AT_FULL
    good &= np.ravel(again.ok) & np.ravel(known)
    if not many and not good[0]:
        return None

    def number(values: Positions) -> Number:
        return np.where(good, values, np.nan)[:, None] if many else float(values[0])

    return Setting(
        rod=link.rod.name,
        length=number(np.ravel(length)),
        pad_travel=layout.pedal.end,
        opening_at_rest=number(rest[main.name]),
        start=number(start),
    )


def _turn_at_end(coarse: Coarse, shaft: str) -> Number:
    """Return a shaft's turn at the pedal's own end, a rod that jams set aside. [rad]."""
    cosine, sine = (c[:, -1:] for c in coarse.solved.pair(shaft))
    return np.arctan2(sine, cosine)


def _met_before(
    assembly: Assembly, coarse: Coarse, start: Positions
) -> NDArray[np.bool_]:
    """Return in which rows a stop is met from a start on, but before the very end."""
    chain, travel, rows = coarse.chain, coarse.travel, len(start)
    end = travel[:, -1:] - MET
    near = spread(np.minimum(travel[:, -2:-1], end), end, FINE)
    finer = chain.solve(near)
    every = np.arange(rows)
    met = np.zeros(rows, dtype=bool)
    for measure in may_stop(assembly)[1]:
        for places, solved in ((travel, coarse.solved), (near, finer)):
            on_way = (places >= start[:, None]) & (places < end)
            met |= (on_way & (measure(solved, every) >= 0)).any(axis=-1)
    return met
