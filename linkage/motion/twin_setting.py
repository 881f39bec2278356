"""Plates set together: rods with which both rest on their stops and both are full at once.

At idle the last rods that are not common can always be cut right; whether both are then
full together hangs on the arms, and so it is told which arm of what length would do it.

Not here: the difference of plates as they are (`motion.twins`), changes that mend a whole
layout (`search`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import LinkageError
from linkage.model.columns import column
from linkage.motion.assembly import assemble
from linkage.motion.chain import Chain
from linkage.motion.events import over_rows
from linkage.motion.stops import first_met, opens_by
from linkage.motion.twins import FURTHER, TOGETHER, Twins, beside, own_arms, paired_arms
from linkage.motion.working import working_travel
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from linkage.model import Hole, Layout

    FloatArray = NDArray[np.float64]

#: Shares of an arm's length between which the right one is looked for, and how closely.
LEAST, MOST, STEPS = 0.5, 1.5, 51
#: How often it is looked for again between two lengths, and between how many.
AGAIN, FINER = 5, 9
#: Arms nearer in length than this are alike. [m]
SAME_ARM: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TwinArm:
    """An arm of such a length that both plates are full together.

    Parameters
    ----------
    hole : Hole
        The arm.
    length : float
        As it is. [m]
    right : float
        As it should be, the rods at it cut to fit. [m]
    rods : mapping of str to float
        Lengths of the last rods then. [m]
    """

    hole: Hole
    length: float
    right: float
    rods: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TwinSetting:
    """How two plates are set together.

    Parameters
    ----------
    rods : mapping of str to float
        The last rods on the way to either plate alone, with their lengths: both plates
        rest on their idle stops. Of plates of which one starts later on purpose, the
        rod alone with which both are full together. [m]
    left : float
        Opening by which the other is then ahead of the first where the pedal stops;
        negative where it is behind. [rad]
    greatest, greatest_at : float
        The greatest difference then, and the pad travel there. [rad], [m]
    arms : tuple of TwinArm
        Arms of which each alone makes both full together, the likeliest first; none
        where they are together already.
    """

    rods: Mapping[str, float]
    left: float
    greatest: float
    greatest_at: float
    arms: tuple[TwinArm, ...]

    @property
    def together(self) -> bool:
        """Whether both plates are then full together."""
        return abs(self.left) <= TOGETHER


def set_together(layout: Layout, twins: Twins) -> TwinSetting | None:
    """Set two plates together by the rods that are not common to both.

    Parameters
    ----------
    layout : Layout
        One layout.
    twins : Twins
        Two of its plates.

    Returns
    -------
    TwinSetting or None
        None where the rods cannot be cut so, or where one plate is to start later.
    """
    if twins.later:
        return None
    names = [way[-1].rod.name for way in twins.ways if way]
    cut = _cut(layout, names)
    try:
        assembly = assemble(cut)
    except LinkageError:
        return None
    after = next(
        t for t in beside(assembly, working_travel(assembly)) if t.other == twins.other
    )
    left = float(after.at_full)
    arms = () if abs(left) <= TOGETHER else _arms(cut, after, names)
    return TwinSetting(
        rods={name: float(assembly.loop(name).length) for name in names},
        left=left,
        greatest=float(after.greatest),
        greatest_at=float(after.greatest_at),
        arms=arms,
    )


def _cut(layout: Layout, names: list[str]) -> Layout:
    for name in names:
        layout = layout.with_rod(name, None)
    return layout


def _arms(layout: Layout, twins: Twins, names: list[str]) -> tuple[TwinArm, ...]:
    """Return the arms that, of another length, make both full together."""
    found = []
    for hole in own_arms(twins.ways[::-1]):
        if layout.shafts[hole.shaft].slides:
            continue
        arm = layout.shafts[hole.shaft].arms[hole.arm]
        right = _right(layout, twins, hole)
        if right is None:
            continue
        set_so = assemble(layout.with_arm(hole, length=right))
        rods = {name: float(set_so.loop(name).length) for name in names}
        found.append(TwinArm(hole=hole, length=arm.length, right=right, rods=rods))
    odd = _odd(layout, twins)
    return tuple(
        sorted(
            found, key=lambda a: (a.hole not in odd, round(abs(a.right - a.length), 4))
        )
    )


def _odd(layout: Layout, twins: Twins) -> set[Hole]:
    """Return arms that are not as long as the arm in their place on the other way."""
    out: set[Hole] = set()
    for pair in paired_arms(twins.ways):
        lengths = [layout.shafts[h.shaft].arms[h.arm].length for h in pair]
        if abs(lengths[0] - lengths[1]) > SAME_ARM:
            out |= set(pair)
    return out


def _right(layout: Layout, twins: Twins, hole: Hole) -> float | None:
    """Return the length of an arm, nearest to what it is, that makes both full at once."""
    old = layout.shafts[hole.shaft].arms[hole.arm].length
    low, high, steps = LEAST * old, MOST * old, STEPS
    found = None
    for _ in range(AGAIN):
        tried = np.linspace(low, high, steps)
        apart = _apart(layout, twins, hole, tried)
        turns = np.flatnonzero(apart[:-1] * apart[1:] <= 0)
        if not turns.size:
            break
        middle = (tried[turns] + tried[turns + 1]) / 2
        i = turns[np.argmin(np.abs(middle - old))]
        low, high = tried[i], tried[i + 1]
        over = apart[i] / (apart[i] - apart[i + 1]) if apart[i] else 0.0
        found, steps = float(low + over * (high - low)), FINER
    return found


def _apart(layout: Layout, twins: Twins, hole: Hole, lengths: FloatArray) -> FloatArray:
    """Return the opening that the other lacks where the first is full, by arm's length."""
    try:
        assembly = assemble(layout.with_arm(hole, length=column(lengths)))
    except LinkageError:
        return np.full(len(lengths), np.nan)
    one, other = (layout.throttles[n] for n in (twins.first, twins.other))
    full = opens_by(layout, one.name, one.swing)
    place: Any = first_met(assembly, full, FURTHER * layout.pedal.travel)
    solved = Chain.of(assembly).solve(np.nan_to_num(place))
    turn = over_rows(solved.turn(other.shaft), len(lengths))
    lacks = other.opens * turn - other.swing
    return np.where(np.isnan(place), np.nan, lacks)[:, 0]
