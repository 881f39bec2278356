"""What a millimetre of an arm, or the play of a joint, does to plates beside each other.

By the derivatives of the rods' closure, exact and carried on from rod to rod.

Not here: the difference itself (`motion.twins`), the derivatives (`formulas`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model import Hole
from linkage.model.columns import is_column, pick
from linkage.model.refs import Ref
from linkage.motion.frame import frame
from linkage.motion.sweep import pads, sweep_clear
from linkage.motion.twins import own_arms
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect import Connector
    from linkage.model import Link
    from linkage.model.columns import Number, Positions
    from linkage.motion.assembly import Assembly
    from linkage.motion.frame import Frame
    from linkage.motion.twins import Twins

#: How much more of an arm is told of. [m]
ARM: Final = 1e-3
#: Play of a rod's joints where none is given: common practice, no source. [m]
PLAY: Final = 0.1e-3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TwinEffect:
    """What one arm or rod does to the difference of two plates at three places.

    Parameters
    ----------
    about : Ref
        The arm, or the rod whose joints have play.
    amount : float or column
        How much longer the arm is, or how much play there is. [m]
    at_idle, at_greatest, at_full : float or column
        Change of the difference where the pedal rests, where the two differ most and
        where the pedal stops, at that pad travel: positive where the other plate gets
        ahead. Of play, which may go either way, its amount. [rad]
    """

    about: Ref
    amount: Number
    at_idle: Number
    at_greatest: Number
    at_full: Number

    @property
    def worst(self) -> float:
        """The most that it does, of the three. [rad]."""
        three = (self.at_idle, self.at_greatest, self.at_full)
        return max(float(np.max(np.abs(value))) for value in three)


def effects(assembly: Assembly, twins: Twins) -> tuple[TwinEffect, ...]:
    """Return what each arm and joint on the way to one plate alone does, worst first.

    Rods that are cut to fit are cut again for a changed arm, so that at rest both
    plates stay where they were; rods of given length stay as they are.

    Parameters
    ----------
    assembly : Assembly
        One layout, or many as rows.
    twins : Twins
        Two of its plates.

    Returns
    -------
    tuple of TwinEffect
        An arm that serves both plates is left out.
    """
    travel = pads(
        0.0 * twins.pad_travel[..., :1] if is_column(assembly.ok) else 0.0,
        *(_place(value) for value in _places(twins)),
    )
    still = frame(sweep_clear(assembly, travel))
    found = [
        _told(Ref("arm", hole.shaft, hole.arm), ARM, ARM * _apart(still, twins, hole))
        for hole in own_arms(twins.ways)
        if not assembly.layout.shafts[hole.shaft].slides
    ]
    for link in (link for way in twins.ways for link in way):
        play = pick(link.rod.play > 0, link.rod.play, PLAY)
        more = np.abs(play * _apart(still, twins, link.rod.name))
        found.append(_told(Ref("rod", link.rod.name), play, more))
    return tuple(sorted(found, key=lambda effect: -effect.worst))


def _places(twins: Twins) -> tuple[Number, Number, Number]:
    return twins.pad_travel[..., :1], twins.greatest_at, twins.pad_travel[..., -1:]


def _place(value: Number) -> Number:
    """Return a place of one layout as a float, of rows as a column."""
    return value if np.ndim(value) > 1 else float(np.ravel(value)[0])


def _told(about: Ref, amount: Number, more: Positions) -> TwinEffect:
    _, idle, most, full = (more[..., i : i + 1] for i in range(4))
    three = (_place(value) for value in (idle, most, full))
    return TwinEffect(
        about=about,
        amount=amount,
        **dict(zip(("at_idle", "at_greatest", "at_full"), three, strict=True)),
    )


def _apart(still: Frame, twins: Twins, part: Hole | str) -> Positions:
    """Return the change of the difference by a metre of an arm or of a rod's play."""
    layout = still.layout
    one, other = (layout.throttles[name] for name in (twins.first, twins.other))
    ahead: Positions = other.opens * _carried(still, layout.path_to(other.shaft), part)
    return ahead - one.opens * _carried(still, layout.path_to(one.shaft), part)


def _carried(still: Frame, path: tuple[Link, ...], part: Hole | str) -> Positions:
    """Return the turn of a way's last shaft by a metre of a part, rest at the first place.

    Parameters
    ----------
    still : Frame
        At rest, and then at the places asked for.
    path : tuple of Link
        From the pedal.
    part : Hole or str
        An arm; or a rod, whose joints then have play.
    """
    motion, layout = still.motion, still.layout
    change = np.zeros(motion.pad_travel.shape)
    pedal = layout.pedal
    if part == Hole(shaft=pedal.shaft, arm=pedal.pad):  # the pad's own arm
        change = -motion.turns[pedal.shaft] / layout.pad_radius
    for link in path:
        loop = motion.assembly.loop(link.rod.name)
        one, two = (motion.pair(hole.shaft) for hole in link.holes)
        change = change * still.ratios[link.rod.name]
        if not isinstance(part, str):
            by_driver, by_driven = loop.by_arms(one, two)
            change = change + by_driver * (link.driver == part)
            change = change + by_driven * (link.driven == part)
            change = change + _cut_again(loop, one, two, change)
        elif part == link.rod.name:
            change = change + loop.by_length(one, two)
        for stands in (loop.slack(one, two), loop.given(one, two)):
            change = change if stands is None else np.where(stands > 0, 0.0, change)
    return change


def _cut_again(
    loop: Connector, one: tuple[Positions, Positions], two: tuple[Positions, Positions],
    change: Positions,
) -> Positions:  # fmt: skip
    """Return what a rod gives back that is cut to fit at rest again."""
    given = loop.link.rod.length
    if given is not None and not is_column(given):
        return np.zeros(1)
    by_length = loop.by_length(one, two)
    slack = loop.slack(one, two)
    length = loop.length
    # A rod that loses motion is cut by the pins' distance, which is not its length.
    away = length if slack is None else length - loop.carries * slack[..., :1]
    longer = -change[..., :1] / by_length[..., :1] * length / away
    return by_length * (
        longer if given is None else np.where(np.isnan(given), longer, 0.0)
    )
