"""What still shuts the plate with nothing failed, and after any single failure.

At every position, for every plate: the closing force of what still hangs
together with it, against the friction of the same parts. Friction depends on
how the rest is held, so it is taken twice, once with the foot letting the pad
up slowly and once with the plate held by hand, and the larger counts.

Not here: how fast (`time`), sources of energy (`sources`), the verdict (`rules`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from linkage.forces.balance import balanced
from linkage.forces.failures import INTACT, Failure
from linkage.forces.lines import Lines, force_lines
from linkage.forces.lines_part import LinesPart
from linkage.forces.statics import closing_force, per_opening
from linkage.model.columns import (
    all_of,
    any_of,
    every,
    greater,
    pick,
    where_least,
)
from linkage.model.refs import Ref
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from linkage.forces.balance import Balanced, Gone
    from linkage.model.columns import Number, Positions, Truth
    from linkage.motion import Motion

#: What has failed, and the plate that is to shut.
Case: TypeAlias = tuple[Failure, str]


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
    lines: Lines, cases: Sequence[Case], *, factor: Number = 1.0
) -> tuple[Positions, Positions, list[list[str]]]:
    """Return closing force and friction of plates as felt at the pad.

    Where pressing shuts the plate, closing is the way in which the pad goes down.

    Parameters
    ----------
    lines : Lines
        Geometry and springs.
    cases : sequence of (Failure, str)
        What has failed, and the plate.
    factor : float or column
        On every friction, for cold grease.

    Returns
    -------
    closing, friction : ndarray, shape (cases, n) or (cases, rows, n)
        By virtual work over what hangs together with the plate; friction inf
        where it locks. [N]
    shafts : list of list of str
        By case: what hangs together with the plate.
    """
    with np.errstate(invalid="ignore"):
        ways = {plate: _opening_way(lines, plate) for _, plate in cases}
    if not isinstance(lines, LinesPart):
        return _pad_forces(lines, cases, ways, factor)
    # Worked out for all positions, and once.
    known, numbers = lines.whole.pad_forces, (factor, *ways.values())
    key = (*cases, *(np.asarray(n, dtype=float).tobytes() for n in numbers))
    if key not in known:
        known[key] = _pad_forces(lines.whole, cases, ways, factor)
    closing, friction, shafts = known[key]
    return lines.cut(closing), lines.cut(friction), shafts


@np.errstate(divide="ignore", invalid="ignore")
def _pad_forces(
    lines: Lines, cases: Sequence[Case], ways: Mapping[str, Number], factor: Number
) -> tuple[Positions, Positions, list[list[str]]]:
    closing = np.empty((len(cases), *lines.shape))
    friction = np.zeros_like(closing)
    shafts = []
    for i, (failure, plate) in enumerate(cases):
        gone, way = failure.gone, ways[plate]
        spindle = lines.layout.throttles[plate].shaft
        shafts.append(lines.hanging.together(spindle, gone))
        closing[i] = way * closing_force(lines, shafts[i], gone)
        solved = balanced(lines, -way, factor)
        friction[i] = closing[i] - _left(solved, spindle, way, gone)
    locked = np.isnan(friction)
    if locked.any():
        friction[locked & ~np.isnan(closing)] = np.inf
    return closing, friction, shafts


def _left(solved: Balanced, spindle: str, way: Number, gone: Gone) -> Positions:
    """Return the closing force that friction leaves, the lesser of the two ways. [N]."""
    lines, root = solved.lines, spindle
    for link in reversed(lines.layout.path_to(spindle)):
        if Ref("rod", link.rod.name) in gone:
            break
        root = link.driver.shaft
    if root == lines.layout.pedal.shaft:
        at_pad = solved.pressed(gone)
    else:  # the shaft that the parted rod drove
        at_pad = solved.held(root, gone) * lines.first[root]
    by_hand = solved.held(spindle, gone) * lines.first[spindle]
    return np.minimum(way * at_pad, way * by_hand)


def _opening_way(lines: Lines, throttle: str) -> Number:
    """Return 1 where pressing opens a plate by and large, -1 where it shuts it."""
    opening = per_opening(lines, throttle)
    total = np.nansum(opening, axis=-1, keepdims=opening.ndim > 1)
    return 1.0 if every(total >= 0) else pick(total >= 0, 1.0, -1.0)


def all_cases(lines: Lines, plates: Iterable[str]) -> tuple[Case, ...]:
    """Return nothing failed, then every single failure; for each, every plate."""
    plates = tuple(plates)
    whole = (INTACT, *lines.hanging.failures)
    return tuple((failure, plate) for failure in whole for plate in plates)


def returns(
    motion: Motion,
    *,
    lines: Lines | None = None,
    factor: Number = 1.0,
    dirt: Number = 1.0,
    cases: Sequence[Case] | None = None,
) -> tuple[Return, ...]:
    """Return what shuts every plate with nothing failed and after every failure.

    Parameters
    ----------
    motion : Motion
        Over the working travel.
    lines : Lines, optional
        Of this motion, where they are known already.
    factor : float or column
        On every friction, for cold grease.
    dirt : float or column
        The least factor on every friction with anything failed, for cold and dirt.
    cases : sequence of (Failure, str), optional
        Failures and plates; every single failure on every plate where not given.

    Returns
    -------
    tuple of Return
        Nothing failed first, then springs, rods and other parts; for each, every
        plate.
    """
    lines = force_lines(motion) if lines is None else lines
    if cases is None:
        cases = all_cases(lines, (p.name for p in lines.layout.plates))
    whole = [case for case in cases if case[0] == INTACT]
    broken = [case for case in cases if case[0] != INTACT]
    parts = [
        pad_forces(lines, some, factor=by)
        for some, by in ((whole, factor), (broken, greater(factor, dirt)))
        if some
    ]
    cases = [*whole, *broken]
    closing, friction = (np.concatenate([p[i] for p in parts]) for i in (0, 1))
    shafts = [found for part in parts for found in part[2]]
    with np.errstate(divide="ignore", invalid="ignore"):
        opening = {plate: np.abs(per_opening(lines, plate)) for _, plate in cases}
        per = np.array([np.broadcast_to(opening[p], lines.shape) for _, p in cases])
        free = np.where(closing == 0, 0.0, np.copysign(np.inf, closing))
        free = np.where(np.isnan(closing), 0.0, free)
        ratio = np.where(friction > 0, closing / friction, free)
        ratio[np.isinf(friction)] = 0.0
        torque, lost = closing / per, friction / per
    acts = {n: any_of(lines.full(s.load) != 0) for n, s in lines.springs.items()}
    return tuple(
        Return(
            failure=failure,
            throttle=plate,
            left={
                name: acts[name]
                for name, line in lines.springs.items()
                if line.shaft in shafts[i] and Ref("spring", name) not in failure.gone
            },
            closing_torque=torque[i],
            friction_torque=lost[i],
            ratio=ratio[i],
        )
        for i, (failure, plate) in enumerate(cases)
    )
