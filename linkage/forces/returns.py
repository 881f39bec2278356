"""What still shuts the plate with nothing failed, and after any single failure.

At every position, for every plate: the closing force of what still hangs
together with it, against the friction of the same parts. Friction depends on
how the rest is held, so it is taken twice, once with the foot letting the pad
up slowly and once with the plate held by hand, and the larger counts.

Not here: how fast (`time`), sources of energy (`sources`), the verdict (`rules`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from linkage.forces.balance import NOTHING, balanced
from linkage.forces.failures import INTACT, Failure, failures
from linkage.forces.lines import Lines, force_lines
from linkage.forces.statics import closing_force, per_opening
from linkage.model.columns import (
    all_of,
    any_of,
    every,
    pick,
    some,
    where_least,
)
from linkage.model.refs import Ref

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.forces.balance import Gone
    from linkage.model.columns import Number, Positions, Truth
    from linkage.motion import Motion


class AtPad(NamedTuple):
    """What shuts a plate and what resists, as felt at the pad.

    Attributes
    ----------
    closing, friction : ndarray, shape (n,) or (rows, n)
        By virtual work over what hangs together with the plate; friction inf
        where it locks. [N]
    shafts : list of str
        What hangs together with the plate.
    """

    closing: Positions
    friction: Positions
    shafts: list[str]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Return:
    """What shuts one plate after one failure.

    Parameters
    ----------
    failure : Failure
        What has failed.
    throttle : str
        The plate.
    left : mapping of str to bool or column
        By spring that still hangs together with it: whether it acts in part of
        the travel at least.
    closing_torque, friction_torque : ndarray, shape (n,) or (rows, n)
        At its spindle, positive shutting and positive resisting. Friction is
        inf where it locks. [N·m]
    ratio : ndarray, shape (n,) or (rows, n)
        Closing over friction; inf without friction, 0 or less where nothing
        shuts.
    """

    failure: Failure
    throttle: str
    left: Mapping[str, Truth]
    closing_torque: Positions
    friction_torque: Positions
    ratio: Positions

    @property
    def springs(self) -> tuple[str, ...]:
        """Springs that still act on it in every row."""
        return tuple(name for name, acts in self.left.items() if every(acts))

    @property
    def unsprung(self) -> Truth:
        """Whether no spring is left on the plate."""
        found: Truth = False
        for acts in self.left.values():
            found = found | acts
        return np.logical_not(found)

    @property
    def worst(self) -> Number:
        """Index of the position where least is left to shut it, for `columns.at`."""
        return pick(
            all_of(np.isinf(self.ratio)),
            where_least(self.closing_torque),
            where_least(self.ratio),
        )


def pad_forces(
    lines: Lines, throttle: str, *, gone: Gone = NOTHING, factor: Number = 1.0
) -> AtPad:
    """Return closing force and friction of a plate as felt at the pad.

    Where pressing shuts the plate, closing is the way in which the pad goes down.

    Parameters
    ----------
    lines : Lines
        Geometry and springs.
    throttle : str
        The plate.
    gone : frozenset of Ref
        Springs and rods that act no more.
    factor : float or column
        On every friction.
    """
    layout, hanging = lines.layout, lines.hanging
    spindle = layout.throttles[throttle].shaft
    shafts = hanging.together(spindle, gone)
    way = _opening_way(lines, throttle)
    closing = way * closing_force(lines, shafts, gone)
    held = balanced(lines, -way, factor)
    rubbed = held.rub.among(shafts)
    if not some(rubbed):
        return AtPad(closing, np.zeros_like(closing), shafts)
    if layout.pedal.shaft in shafts:
        at_pad = held.pressed(gone)
    else:
        # The shaft of the parted branch that the parted rod drove.
        root = next(
            link.driven.shaft
            for link in reversed(layout.path_to(spindle))
            if Ref("rod", link.rod.name) in gone
        )
        at_pad = held.held(root, gone) * lines.first[root]
    by_hand = held.held(spindle, gone) * lines.first[spindle]
    friction = closing - np.minimum(way * at_pad, way * by_hand)
    friction = np.where(np.isnan(friction) & ~np.isnan(closing), np.inf, friction)
    return AtPad(closing, pick(rubbed, friction, 0.0), shafts)


def _opening_way(lines: Lines, throttle: str) -> Number:
    """Return 1 where pressing opens a plate by and large, -1 where it shuts it."""
    opening = per_opening(lines, throttle)
    total = np.nansum(opening, axis=-1, keepdims=opening.ndim > 1)
    if every(total >= 0):
        return 1.0
    return pick(total >= 0, 1.0, -1.0)


def after(
    lines: Lines, failure: Failure, throttle: str, *, factor: Number = 1.0
) -> Return:
    """Return what shuts one plate after one failure.

    Parameters
    ----------
    lines : Lines
        Geometry and springs.
    failure : Failure
        What has failed.
    throttle : str
        The plate.
    factor : float or column
        On every friction.
    """
    closing, friction, shafts = pad_forces(
        lines, throttle, gone=failure.gone, factor=factor
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        opening = np.abs(per_opening(lines, throttle))
        ratio = np.where(
            friction > 0,
            np.where(np.isinf(friction), 0.0, closing / friction),
            np.where(closing > 0, np.inf, np.where(closing < 0, -np.inf, 0.0)),
        )
        torque, lost = closing / opening, friction / opening
    return Return(
        failure=failure,
        throttle=throttle,
        left={
            name: any_of(line.load != 0)
            for name, line in lines.springs.items()
            if line.shaft in shafts and Ref("spring", name) not in failure.gone
        },
        closing_torque=torque,
        friction_torque=lost,
        ratio=ratio,
    )


def returns(
    motion: Motion, *, lines: Lines | None = None, factor: Number = 1.0
) -> tuple[Return, ...]:
    """Try every single failure on every plate.

    Parameters
    ----------
    motion : Motion
        Over the working travel.
    lines : Lines, optional
        Of this motion, where they are known already.
    factor : float or column
        On every friction, for cold grease.

    Returns
    -------
    tuple of Return
        Nothing failed first, then springs, then rods; for each, every plate.
    """
    lines = force_lines(motion) if lines is None else lines
    layout = motion.assembly.layout
    return tuple(
        after(lines, failure, plate.name, factor=factor)
        for failure in (INTACT, *failures(layout))
        for plate in layout.plates
    )
