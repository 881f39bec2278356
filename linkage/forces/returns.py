"""What still shuts the plate with nothing failed, and after any single failure.

At every position, for every plate: the closing force of what still hangs
together with it, against the friction of the same parts. Friction depends on
how the rest is held, so it is taken twice, once with the foot letting the pad
up slowly and once with the plate held by hand, and the larger counts.

Not here: how fast (`time`), sources of energy (`sources`), the verdict (`rules`).
"""

from __future__ import annotations

from functools import reduce
from operator import or_
from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from linkage.forces.balance import balanced
from linkage.forces.failures import INTACT, Failure
from linkage.forces.lines import Lines, force_lines
from linkage.forces.lines_part import LinesPart
from linkage.forces.statics import closing_forces, per_opening
from linkage.model.columns import (
    any_of,
    every,
    greater,
    pick,
)
from linkage.model.refs import Ref
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from linkage.forces.balance import Balanced, Gone
    from linkage.model.columns import Number, Positions, Truth
    from linkage.motion import Motion

#: What acts where nothing is left that does.
NONE: Final = False
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
    unsprung : bool or column
        Whether no spring is left on the plate.
    closing_torque, friction_torque : ndarray, shape (n,) or (rows, n)
        At its spindle, positive shutting and positive resisting. Friction is
        inf where it locks. [N·m]
    ratio : ndarray, shape (n,) or (rows, n)
        Closing over friction; inf without friction, 0 or less where nothing
        shuts.
    weakest : int or column
        Index of the position of least closing torque, for `columns.at`.
    worst : int or column
        Index of the position where least is left to shut it: of least ratio, and
        without any friction of least torque.
    """

    failure: Failure
    throttle: str
    left: Mapping[str, Truth]
    unsprung: Truth
    closing_torque: Positions
    friction_torque: Positions
    ratio: Positions
    weakest: Number
    worst: Number

    @property
    def springs(self) -> tuple[str, ...]:
        """Springs that still act on it in every row."""
        return tuple(name for name, acts in self.left.items() if every(acts))


def pad_forces(
    lines: Lines,
    cases: Sequence[Case],
    *,
    factor: Positions = 1.0,
    failed: Positions | None = None,
) -> tuple[Positions, Positions, list[tuple[str, ...]]]:
    """Return closing force and friction of plates as felt at the pad.

    Where pressing shuts the plate, closing is the way in which the pad goes down.

    Parameters
    ----------
    lines : Lines
        Geometry and springs.
    cases : sequence of (Failure, str)
        What has failed, and the plate.
    factor : float, column or ndarray over positions
        On every friction, for cold grease. Of lines that are part of others, over the
        positions of all.
    failed : float, column or ndarray over positions, optional
        The same with anything failed; as with nothing failed where it is not given.

    Returns
    -------
    closing, friction : ndarray, shape (cases, n) or (cases, rows, n)
        By virtual work over what hangs together with the plate; friction inf
        where it locks. [N]
    shafts : list of tuple of str
        By case: what hangs together with the plate.
    """
    failed = factor if failed is None else failed
    with np.errstate(invalid="ignore"):
        plates = dict.fromkeys(plate for _, plate in cases)
        ways = {plate: _opening_way(lines, plate) for plate in plates}
    if not isinstance(lines, LinesPart):
        return _pad_forces(lines, cases, ways, (factor, failed))
    # Worked out for all positions, and once.
    known, numbers = lines.whole.pad_forces, (factor, failed, *ways.values())
    key = (*cases, *(np.asarray(n, dtype=float).tobytes() for n in numbers))
    if key not in known:
        known[key] = _pad_forces(lines.whole, cases, ways, (factor, failed))
    closing, friction, shafts = known[key]
    return lines.cut(closing), lines.cut(friction), shafts


@np.errstate(divide="ignore", invalid="ignore")
def _pad_forces(
    lines: Lines,
    cases: Sequence[Case],
    ways: Mapping[str, Number],
    factors: tuple[Positions, Positions],
) -> tuple[Positions, Positions, list[tuple[str, ...]]]:
    closing = np.empty((len(cases), *lines.shape))
    friction = np.empty_like(closing)
    shafts = []
    asked: dict[tuple[str, bool], list[int]] = {}
    by_plate: dict[str, list[int]] = {}
    for i, (failure, plate) in enumerate(cases):
        shaft = lines.layout.throttles[plate].shaft
        shafts.append(lines.hanging.together(shaft, failure.gone))
        asked.setdefault((plate, failure != INTACT), []).append(i)
        by_plate.setdefault(plate, []).append(i)
    for plate, mine in by_plate.items():
        forces = closing_forces(lines, plate, [cases[i][0].gone for i in mine])
        for i, force in zip(mine, forces, strict=True):
            closing[i] = ways[plate] * force
    held: dict[tuple[int, str, Gone], Positions] = {}
    for (plate, broken), mine in asked.items():
        way = ways[plate]
        solved = balanced(lines, -way, factors[broken])
        gones = [cases[i][0].gone for i in mine]
        for i, left in zip(mine, _left(solved, plate, way, gones, held), strict=True):
            friction[i] = closing[i] - left
    locked = np.isnan(friction)
    if locked.any():
        friction[locked & ~np.isnan(closing)] = np.inf
    return closing, friction, shafts


def _left(
    solved: Balanced,
    plate: str,
    way: Number,
    gones: Sequence[Gone],
    held: dict[tuple[int, str, Gone], Positions],
) -> Iterator[Positions]:
    """Yield the closing forces that friction leaves, the lesser of the two ways. [N].

    ``held`` is what was worked out for other plates.
    """
    lines = solved.lines
    pedal, spindle = lines.layout.pedal.shaft, lines.layout.throttles[plate].shaft
    path = lines.layout.path_to(spindle)[::-1]
    on_path = {Ref("rod", link.rod.name): i for i, link in enumerate(path)}
    # The shaft that the parted rod drove; the pedal's where none has on the way there.
    driven = [link.driven.shaft for link in path]
    asked: dict[str, list[Gone]] = {}
    roots = []
    for gone in gones:
        parted = min((on_path[ref] for ref in gone if ref in on_path), default=None)
        roots.append(pedal if parted is None else driven[parted])
        if roots[-1] not in {spindle, pedal}:
            asked.setdefault(roots[-1], []).append(gone)
    for root, some_asked in asked.items():
        new = [gone for gone in some_asked if (id(solved), root, gone) not in held]
        for gone, torque in zip(new, solved.helds(root, new), strict=True):
            held[id(solved), root, gone] = torque * lines.first[root]
    at_pad = [gone for gone, root in zip(gones, roots, strict=True) if root == pedal]
    pressed = dict(zip(at_pad, solved.pulls("", pedal, at_pad), strict=True))
    hands = solved.helds(spindle, gones)
    # Where a rod on the way is slack the other root does not feel the plate.
    slack = lines.frame.slack_before.get(spindle)
    for gone, root, hand in zip(gones, roots, hands, strict=True):
        by_hand = way * (hand * lines.first[spindle])
        if root == spindle:
            yield by_hand
            continue
        far = pressed[gone] if root == pedal else held[id(solved), root, gone]
        least = np.minimum(way * far, by_hand)
        yield least if slack is None else np.where(slack, by_hand, least)


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
    failed: Positions | None = None,
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
    failed : ndarray, optional
        That of all positions of which ``lines`` are a part, where they are; it stands
        before ``dirt``.
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
    cases = tuple(sorted(cases, key=lambda case: case[0] != INTACT))
    failed = greater(factor, dirt) if failed is None else failed
    closing, friction, shafts = pad_forces(lines, cases, factor=factor, failed=failed)
    with np.errstate(divide="ignore", invalid="ignore"):
        plates = dict.fromkeys(plate for _, plate in cases)
        opening = {
            plate: np.broadcast_to(np.abs(per_opening(lines, plate)), lines.shape)
            for plate in plates
        }
        per = np.array([opening[plate] for _, plate in cases])
        free = np.where(closing == 0, 0.0, np.copysign(np.inf, closing))
        free = np.where(np.isnan(closing), 0.0, free)
        ratio = np.where(friction > 0, closing / friction, free)
        ratio[np.isinf(friction)] = 0.0
        torque, lost = closing / per, friction / per
    weakest, worst = worst_places(torque, ratio)
    acts = {n: any_of(lines.full(s.load) != 0) for n, s in lines.springs.items()}
    left: dict[tuple[Gone, str], dict[str, Truth]] = {}
    bare: dict[tuple[Gone, str], Truth] = {}
    told: list[tuple[Gone, str]] = []
    for (failure, plate), part in zip(cases, shafts, strict=True):
        on = _shutting(lines, plate, failure.gone) if lines.one_way else part
        told.append((failure.gone, on[0]))
        if told[-1] not in left:
            left[told[-1]] = found = _still_on(lines, on, failure.gone, acts)
            bare[told[-1]] = np.logical_not(reduce(or_, (*found.values(), NONE)))
    return tuple(
        Return(
            failure=failure,
            throttle=plate,
            left=left[told[i]],
            unsprung=bare[told[i]],
            closing_torque=torque[i],
            friction_torque=lost[i],
            ratio=ratio[i],
            weakest=weakest[i],
            worst=worst[i],
        )
        for i, (failure, plate) in enumerate(cases)
    )


def worst_places(torque: Positions, ratio: Positions) -> tuple[Positions, Positions]:
    """Return where each case has least torque, and where least is left to shut it.

    Parameters
    ----------
    torque, ratio : ndarray, shape (cases, n) or (cases, rows, n)
        Closing torque [N·m], and closing over friction.

    Returns
    -------
    weakest, worst : ndarray of int, shape (cases,) or (cases, rows, 1)
        Without any friction the latter is where torque is least.
    """
    weakest, lowest = (a.argmin(axis=-1, keepdims=True) for a in (torque, ratio))
    worst = np.where(np.isinf(ratio).all(axis=-1, keepdims=True), weakest, lowest)
    return (weakest, worst) if ratio.ndim > 2 else (weakest[:, 0], worst[:, 0])


def _shutting(lines: Lines, plate: str, gone: Gone) -> tuple[str, ...]:
    """Return the shafts that move with a plate and whose springs can shut it."""
    shaft = lines.layout.throttles[plate].shaft
    return lines.hanging.together(shaft, gone | lines.lets_go(shaft))


def _still_on(
    lines: Lines, shafts: Sequence[str], gone: Gone, acts: Mapping[str, Truth]
) -> dict[str, Truth]:
    """Return by spring that hangs together with some shafts whether it acts."""
    among = set(shafts)
    return {
        name: acts[name]
        for name, line in lines.springs.items()
        if line.shaft in among and Ref("spring", name) not in gone
    }
