"""What hangs on one part, so that its failure takes all of it.

Holes that are near to each other are on one pin, holes in one line on one lever,
and anchors that are near to each other on one bracket, whatever they are named.
In many rows they may be near in some and not in others.

Not here: the failures (`failures`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import cosine, is_column, sine
from linkage.model.refs import Ref
from linkage.model.rows import rows_of
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from linkage.model import Arm, Layout, Spring
    from linkage.model.columns import Number, Truth

#: Arms in one plane whose directions differ by less are one lever; common practice,
#: no source. [rad]
ONE_LEVER: Final = math.radians(10)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Taken:
    """What one part takes with it.

    Parameters
    ----------
    ref : Ref
        The part: an arm, or a spring of which it is the anchor.
    gone : frozenset of Ref
        Springs and rods.
    applies : bool or column
        In which rows it takes just these.
    """

    ref: Ref
    gone: frozenset[Ref]
    applies: Truth


def _hung(layout: Layout, shaft: str) -> dict[str, set[Ref]]:
    """Return by arm of a shaft what hangs on it."""
    out: dict[str, set[Ref]] = {name: set() for name in layout.shafts[shaft].arms}
    for rod in layout.rods.values():
        for hole in (rod.start, rod.end):
            if hole.shaft == shaft:
                out[hole.arm].add(Ref("rod", rod.name))
    for name, spring in layout.springs.items():
        if spring.shaft == shaft and spring.arm:
            out[spring.arm].add(Ref("spring", name))
    return {name: refs for name, refs in out.items() if refs}


def _groups(
    names: Sequence[str], near: Mapping[str, Truth], rows: int
) -> Iterator[tuple[frozenset[str], Truth]]:
    """Yield each set of names that are near to one in some rows, and in which."""
    if not any(is_column(near[n]) for n in names):
        yield frozenset(n for n in names if near[n]), True
        return
    table = np.stack([np.broadcast_to(np.ravel(near[n]), rows) for n in names], axis=1)
    patterns, which = np.unique(table, axis=0, return_inverse=True)
    for i, pattern in enumerate(patterns):
        inside = frozenset(n for n, true in zip(names, pattern, strict=True) if true)
        yield inside, (np.ravel(which) == i)[:, None]


def _several(
    hung: Mapping[str, set[Ref]],
    seed: str,
    near: Mapping[str, Truth],
    ref: Ref,
    rows: int,
) -> Iterator[Taken]:
    """Yield what goes with a seed, where that is more than one thing."""
    for inside, applies in _groups([*hung], near, rows):
        gone = frozenset().union(*(hung[n] for n in inside | {seed}))
        if len(gone) > 1:
            yield Taken(ref=ref, gone=gone, applies=applies)


def _pin(arm: Arm) -> tuple[Number, Number, Number]:
    return arm.length * cosine(arm.angle), arm.length * sine(arm.angle), arm.offset


def _apart(one: Sequence[Number], two: Sequence[Number]) -> Number:
    square = sum((a - b) ** 2 for a, b in zip(one, two, strict=True))
    return np.sqrt(square) if is_column(square) else math.sqrt(square)


def on_pins(layout: Layout) -> Iterator[Taken]:
    """Yield for each hole what hangs on its pin, where that is more than one thing."""
    rows, limit = rows_of(layout), layout.limits.pin_apart
    for shaft in layout.shafts.values():
        hung = _hung(layout, shaft.name)
        at = {name: _pin(shaft.arms[name]) for name in hung}
        for seed in hung:
            near = {name: _apart(at[seed], at[name]) < limit for name in hung}
            ref = Ref("arm", shaft.name, seed)
            yield from _several(hung, seed, near, ref, rows)


def one_lever(one: Arm, two: Arm, limit: Number) -> Truth:
    """Tell whether two arms of a shaft are holes of one lever, to a limit along it."""
    turn = np.abs((one.angle - two.angle + np.pi) % (2 * np.pi) - np.pi)
    same = (turn < ONE_LEVER) & (np.abs(one.offset - two.offset) < limit)
    return same if is_column(same) and same.ndim else bool(same)


def on_levers(layout: Layout) -> Iterator[Taken]:
    """Yield for each arm what hangs on its lever, where that is more than one thing.

    Arms in one plane and one direction are holes of one lever.
    """
    rows, limit = rows_of(layout), layout.limits.pin_apart
    for shaft in layout.shafts.values():
        if shaft.slides:
            continue  # it has no levers
        hung = _hung(layout, shaft.name)
        arms = shaft.arms
        for seed in hung:
            near = {n: one_lever(arms[seed], arms[n], limit) for n in hung}
            ref = Ref("arm", shaft.name, seed)
            yield from _several(hung, seed, near, ref, rows)


def _anchor_near(one: Spring, two: Spring, limit: Number) -> Truth:
    if one.anchored_on != two.anchored_on or one.anchor is None or two.anchor is None:
        return False
    return _apart(one.anchor, two.anchor) < limit


def anchored(layout: Layout) -> Iterator[Taken]:
    """Yield for each spring what goes with its anchor, where that is several springs."""
    rows, limit = rows_of(layout), layout.limits.anchor_apart
    springs = {n: s for n, s in layout.springs.items() if s.anchor is not None}
    hung = {name: {Ref("spring", name)} for name in springs}
    for seed, spring in springs.items():
        near = {n: _anchor_near(spring, s, limit) for n, s in springs.items()}
        yield from _several(hung, seed, near, Ref("spring", seed), rows)
