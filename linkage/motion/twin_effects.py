"""What a millimetre of an arm, or the play of a joint, does to plates beside each other.

By the derivatives of the rods' closure, exact and carried on from rod to rod.

Not here: the difference itself (`motion.twins`), the derivatives (`formulas`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import is_column, pick
from linkage.model.paths import arm_path
from linkage.model.refs import Ref
from linkage.motion.frame import frame
from linkage.motion.sweep import pads, sweep_clear
from linkage.motion.tangent import carried
from linkage.motion.twins import own_arms
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model.columns import Number, Positions
    from linkage.model.paths import Path
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
        _told(
            Ref("arm", hole.shaft, hole.arm),
            ARM,
            ARM * _apart(still, twins, arm_path(hole, "length")),
        )
        for hole in own_arms(twins.ways)
        if not assembly.layout.shafts[hole.shaft].slides
    ]
    for link in (link for way in twins.ways for link in way):
        play = pick(link.rod.play > 0, link.rod.play, PLAY)
        more = np.abs(play * _apart(still, twins, ("rods", link.rod.name, "play")))
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


def _apart(still: Frame, twins: Twins, path: Path) -> Positions:
    """Return the change of the difference by a unit of a number."""
    change = carried(still, path, set_again=False)
    one, other = (still.layout.throttles[name] for name in (twins.first, twins.other))
    ahead: Positions = other.opens * change[other.shaft]
    return ahead - one.opens * change[one.shaft]
