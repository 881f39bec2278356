"""The balance of one shaft after another, with friction solved for.

Rods form a tree. Held at one shaft (its root), it is solved from its ends inwards: each
shaft has one unknown, the force X in the rod that leads towards the root::

    X B + M - σ (μ r Σ |W_k + X f_k| + D) = 0

B torque arm of that rod on the shaft and f_k its share in the reaction at each
place that carries the shaft, both with the friction of the rod's joints; M torque
and W_k of all else on it, D a drag that no load changes, σ the sense in which it
turns, μ r the radius of its friction circle. The sum is convex in X, so the root is
one, and Newton's steps close on it from one side. Where the friction circle reaches
the rod's line friction locks the shaft.

What a rod carries inwards depends on nothing but what lies beyond it. So it is
worked out once for every set of parts that are gone there, however many
failures, plates and roots ask for it, and for many such sets at once: they are one
more axis, before that of the rows.

Not here: what is balanced (`statics`, `returns`), where shafts are carried
(`friction`), the joints (`joints`).

References
----------
.. [1] K. J. Waldron, G. L. Kinzel, Kinematics, Dynamics, and Design of
   Machinery, the friction circle of a journal bearing (from memory).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from linkage.forces.acts import Others, spaced
from linkage.forces.friction import rubs_at, sizes
from linkage.forces.joints import circle_of
from linkage.forces.lines_part import LinesPart
from linkage.model.columns import some

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from linkage.forces.lines import Lines
    from linkage.model.columns import Number, Positions
    from linkage.model.refs import Ref

#: Springs and rods that act no more.
Gone: TypeAlias = "frozenset[Ref]"
NOTHING: Gone = frozenset()
#: Most steps of Newton, and the share of the change after which the next is rounding.
STEPS: Final = 40
NEAR: Final = 1e-9
#: Numbers over positions, rows and sets of parts gone that are gone through at once: as
#: all that acts on a shaft is added up, and, so near the processor, in Newton's steps.
MANY: Final = 1 << 17
STEPPED: Final = 1 << 13


class Balanced:
    """All balances of one set of lines in one sense; see `balanced`.

    Every force is nan where friction locks a shaft or the linkage is jammed.

    Parameters
    ----------
    lines : Lines
        Geometry and springs.
    sense : {1, -1, 0} or column of them
        In which the pad moves.
    factor : float, column or ndarray over positions
        On every friction.
    """

    def __init__(self, lines: Lines, sense: Number, factor: Positions) -> None:
        self.lines = lines
        self.sense = sense
        self.factor = factor
        self._rubs = some(np.asarray(sense) != 0)
        #: Of an array over sets of parts that are gone, rows and positions.
        self._axes = 1 + len(lines.shape)
        self._pulls: dict[tuple[str, str], dict[Gone, Positions]] = {}
        self._circles: dict[str, Positions] = {}
        self._ends: dict[str, Positions] = {}
        #: The shaft that was asked for last, and what its rods put on it.
        self._last: tuple[str, dict[tuple[str, Gone], Positions]] = "", {}

    def pull(self, rod: str, outer: str, gone: Gone = NOTHING) -> Positions:
        """Return what a rod carries along itself, pull positive. [N].

        Parameters
        ----------
        rod : str
            The rod; empty for the foot, that holds the pedal at its pad.
        outer : str
            Its shaft on the side that is balanced; the root is on the other.
        gone : frozenset of Ref
            Springs and rods that act no more.
        """
        return self.pulls(rod, outer, (gone,))[0]

    def pulls(self, rod: str, outer: str, gones: Sequence[Gone]) -> list[Positions]:
        """Return the same for each of several sets of parts that are gone."""
        beyond = self.lines.hanging.beyond(rod, outer)
        keys = [gone & beyond for gone in gones]
        known = self._pulls.setdefault((rod, outer), {})
        new = [key for key in dict.fromkeys(keys) if key not in known]
        for some_new in self._parts(new):
            known.update(zip(some_new, self._meet(rod, outer, some_new), strict=True))
        return [known[key] for key in keys]

    def pressed(self, gone: Gone = NOTHING) -> Positions:
        """Return the force of the foot that holds the pad, pressing positive. [N]."""
        return self.pull("", self.lines.layout.pedal.shaft, gone)

    def held(self, shaft: str, gone: Gone = NOTHING) -> Positions:
        """Return the torque that must be put on a shaft, anticlockwise positive. [N·m].

        Parameters
        ----------
        shaft : str
            The root.
        gone : frozenset of Ref
            Springs and rods that act no more.
        """
        return next(self.helds(shaft, (gone,)))

    def helds(self, shaft: str, gones: Sequence[Gone]) -> Iterator[Positions]:
        """Yield the same for each of several sets of parts that are gone."""
        for some_gone in self._parts(gones):
            torque, *_ = acts = self._loaded(shaft, some_gone)
            if not self._rubs:
                yield from -torque
                continue
            places = acts[1:]
            carried = np.sqrt(sizes(places, places)).sum(axis=0)
            yield from self._circle(shaft) * carried - torque

    def _parts(self, gones: Sequence[Gone]) -> Iterator[Sequence[Gone]]:
        """Yield as many at a time as are gone through at once."""
        step = max(MANY // max(math.prod(self.lines.shape), 1), 1)
        return (gones[i : i + step] for i in range(0, len(gones), step))

    def _loaded(self, shaft: str, gones: Sequence[Gone], but: str = "") -> Positions:
        """Return all that acts on a shaft, but for one rod, as `acts` has it.

        Of every set of parts that are gone: shape (6, gones, n) or (6, gones, rows, n).
        Drag is in the torque.
        """
        hanging, shape = self.lines.hanging, self.lines.shape
        rods = [r for r in reversed(hanging.rods[shaft]) if r[0] != but]
        index = {rod: k for k, (rod, *_) in enumerate(rods)}
        leads, own = hanging.branches(shaft), hanging.on(shaft)
        touched = [
            sorted({index[leads[ref]] for ref in gone if leads[ref] in index})
            for gone in gones
        ]
        acts = self._acts(shaft, rods, gones, touched)
        others = Others([found.get(NOTHING) for found in acts])
        springs: dict[Gone, Positions] = {}
        out = np.empty((6 if self._rubs else 1, len(gones), *shape))
        for i, gone in enumerate(gones):
            key = gone & own
            if key not in springs:
                springs[key] = self._own(shaft, key)
            otherwise = {
                k: None if rods[k][2] in gone else acts[k][gone] for k in touched[i]
            }
            out[:, i] = others.added(springs[key], otherwise)
        return out

    def _acts(
        self,
        shaft: str,
        rods: Sequence[tuple[str, str, Ref]],
        gones: Sequence[Gone],
        touched: Sequence[Iterable[int]],
    ) -> list[dict[Gone, Positions]]:
        """Return by rod what it puts on a shaft, of each set that touches it."""
        asked: list[list[Gone]] = [[] for _ in rods]
        for gone, those in zip(gones, touched, strict=True):
            for k in those:
                asked[k].append(gone)
        for k, (_, _, ref) in enumerate(rods):
            there = [gone for gone in asked[k] if ref not in gone]
            asked[k] = there if len(asked[k]) == len(gones) else [NOTHING, *there]
        pulls = [
            self.pulls(rod, other, some_asked)
            for (rod, other, _), some_asked in zip(rods, asked, strict=True)
        ]
        known: dict[tuple[str, Gone], Positions] = {}
        # Asked for again for every other rod; of many rows it would be much.
        if len(rods) > 1 and math.prod(self.lines.shape) < STEPPED:
            if self._last[0] != shaft:
                self._last = shaft, known
            known = self._last[1]
        carried = (dict(zip(*p, strict=True)) for p in zip(asked, pulls, strict=True))
        return [
            self._put(shaft, (rod, other), found, known)
            for (rod, other, _), found in zip(rods, carried, strict=True)
        ]

    def _put(
        self,
        shaft: str,
        by: tuple[str, str],
        pulls: Mapping[Gone, Positions],
        known: dict[tuple[str, Gone], Positions],
    ) -> dict[Gone, Positions]:
        """Return what a rod puts on a shaft, by its own outer shaft and its pulls."""
        beyond = self.lines.hanging.beyond(*by)
        keys = {gone: (by[0], gone & beyond) for gone in pulls}
        new = {key: pulls[gone] for gone, key in keys.items() if key not in known}
        if new:
            pull = np.stack([*new.values()])
            if self._rubs and (sheath := self.lines.sheaths.get(by[0])):
                pull = sheath.beyond(by[1], pull, self.sense, self.factor)
            arm, carried = self._end(by[0], shaft, np.sign(pull))
            acts = np.empty((1 + len(carried), *pull.shape))
            np.multiply(pull, arm, out=acts[0])
            np.multiply(pull, carried, out=acts[1:])
            known.update((key, acts[:, i]) for i, key in enumerate(new))
        return {gone: known[key] for gone, key in keys.items()}

    def _own(self, shaft: str, gone: Gone) -> Positions:
        """Return what weight, springs and drag put on a shaft."""
        lines = self.lines
        torque = lines.torque(shaft, gone)
        if not self._rubs:
            return lines.full(torque)[None]
        turns = self.sense * lines.turning[shaft]
        out = np.empty((6, *lines.shape))
        out[0] = torque - turns * self.factor * lines.drags[shaft]
        out[1:] = spaced(lines.carries(shaft, gone), len(lines.shape))
        return out

    def _end(self, rod: str, shaft: str, way: Positions) -> tuple[Positions, Positions]:
        """Return torque arm and reactions of 1 N in a rod that pulls, or pushes.

        Which of the two is told for every set of parts that are gone, shape (gones, n).
        """
        push = self.lines.push(rod, shaft)
        if not self._rubs:
            return push.arm, spaced(push.places[:0], self._axes)
        if not rod:
            return push.arm, spaced(push.places, self._axes)
        if rod not in self._ends:
            radius = self.factor * circle_of(self.lines.layout.rods[rod])
            lean = radius * self.lines.joints[rod].lean
            left = 1 - lean * lean
            # A rod shorter than both friction circles locks in its joints.
            self._ends[rod] = radius / np.sqrt(np.where(left > 0, left, np.nan))
        rub = self.lines.rub(rod, shaft)
        if way.size and (way == way.flat[0]).all():
            way = way.flat[0]
        share = way * self.sense * self._ends[rod]
        places, aside = (spaced(p.places, self._axes) for p in (push, rub))
        return push.arm + share * rub.arm, places + share * aside

    def _circle(self, shaft: str) -> Positions:
        """Return σ μ r of a shaft, σ μ of a slide."""
        if shaft not in self._circles:
            layout = self.lines.layout
            turns = self.sense * self.lines.turning[shaft]
            self._circles[shaft] = turns * self.factor * rubs_at(layout, shaft)
        return self._circles[shaft]

    def _meet(self, rod: str, outer: str, gones: Sequence[Gone]) -> Positions:
        """Solve one shaft: the force X in the rod towards the root, of every set."""
        acts = self._loaded(outer, gones, rod)
        if not self._rubs:
            return self.lines.can(
                rod, outer, -acts[0] / self.lines.push(rod, outer).arm
            )
        out = np.empty(acts.shape[1:])
        step = max(STEPPED // max(math.prod(self.lines.shape), 1), 1)
        for i in range(0, len(gones), step):
            few = slice(i, i + step)
            out[few] = self._solved(rod, outer, acts[:, few])
        return self.lines.can(rod, outer, out)

    def _solved(self, rod: str, outer: str, acts: Positions) -> Positions:
        torque, places = acts[0], acts[1:]
        bare = self.lines.push(rod, outer).arm
        circle, squares = self._circle(outer), sizes(places, places)
        still = torque - circle * np.sqrt(squares).sum(axis=0)
        # At X = 0 friction of the joints has no part in it, so that tells whether
        # the rod pulls or pushes.
        arm, carried = self._end(rod, outer, -np.sign(still) * np.sign(bare))
        mixed, own = sizes(places, carried), sizes(carried, carried)
        free = np.abs(circle) * np.sqrt(own).sum(axis=0) < np.abs(arm)
        arm = np.where(free & (arm * bare > 0), arm, np.nan)
        pull = step = -still / arm
        twice, far = 2 * mixed, np.isnan(arm)
        for _ in range(STEPS):
            grown = pull * own
            size = squares + pull * (twice + grown)
            np.sqrt(np.maximum(size, 0.0, out=size), out=size)
            slope = np.where(size > 0, (mixed + grown) / size, 0.0)
            miss = pull * arm + torque - circle * size.sum(axis=0)
            step = miss / (arm - circle * slope.sum(axis=0))
            pull = pull - step
            far = np.abs(step) > NEAR * np.abs(pull)
            if not far.any():
                return pull
        far &= np.abs(step * arm) > NEAR * np.abs(torque)
        return np.where(far, np.nan, pull)  # what is not settled is no force


class _Part(Balanced):
    """Balances at some of the positions of others, which are worked out for all."""

    def __init__(self, whole: Balanced, lines: LinesPart) -> None:
        super().__init__(lines, whole.sense, whole.factor)
        self.lines: LinesPart = lines
        self._whole = whole

    def pulls(self, rod: str, outer: str, gones: Sequence[Gone]) -> list[Positions]:
        """Return what a rod carries, pull positive. [N]."""
        return [self.lines.cut(p) for p in self._whole.pulls(rod, outer, gones)]

    def helds(self, shaft: str, gones: Sequence[Gone]) -> Iterator[Positions]:
        """Yield the torque that must be put on a shaft, anticlockwise positive. [N·m]."""
        return map(self.lines.cut, self._whole.helds(shaft, gones))


def balanced(lines: Lines, sense: Number = 0, factor: Positions = 1.0) -> Balanced:
    """Return the balances of some lines, always the same for the same sense.

    Parameters
    ----------
    lines : Lines
        Geometry and springs.
    sense : {1, -1, 0} or column of them
        1 while the pedal goes down slowly, -1 while it comes up, 0 without
        friction.
    factor : float, column or ndarray over positions
        On every friction, for cold grease.
    """
    key = tuple(np.asarray(v, dtype=float).tobytes() for v in (sense, factor))
    found: Balanced | None = lines.balances.get(key)
    if found is None:
        if isinstance(lines, LinesPart):
            found = _Part(balanced(lines.whole, sense, factor), lines)
        else:
            found = Balanced(lines, sense, factor)
        lines.balances[key] = found
    return found
