"""The balance of one shaft after another, with friction solved for.

Rods form a tree. Held at one shaft (its root), the tree is solved from its ends
inwards: each shaft has one unknown, the force X in the rod that leads towards the
root::

    X B + M - σ (μ r Σ |W_k + X f_k| + D) = 0

B torque arm of that rod on the shaft and f_k its share in the reaction at each
place that carries the shaft, both with the friction of the rod's joints; M torque
and W_k of all else on it, D a drag that no load changes, σ the sense in which it
turns, μ r the radius of its friction circle. The sum is convex in X, so the root is
one, and Newton's steps close on it from one side. Where the friction circle reaches
the rod's line friction locks the shaft.

What a rod carries inwards depends on nothing but what lies beyond it. So it is
worked out once for every set of parts that are gone there, however many
failures, plates and roots ask for it.

Not here: what is balanced (`statics`, `returns`), where shafts are carried
(`friction`), the joints (`joints`).

References
----------
.. [1] K. J. Waldron, G. L. Kinzel, Kinematics, Dynamics, and Design of
   Machinery, the friction circle of a journal bearing (from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from linkage.forces.friction import bearing_of, coefficient_of, sizes
from linkage.forces.joints import circle_of
from linkage.forces.lines_part import LinesPart
from linkage.model.columns import some

if TYPE_CHECKING:
    from linkage.forces.lines import Lines
    from linkage.model.columns import Number, Positions
    from linkage.model.refs import Ref

#: Springs and rods that act no more.
Gone: TypeAlias = "frozenset[Ref]"
NOTHING: Gone = frozenset()
#: Most steps of Newton, and the share of the change after which the next is rounding.
STEPS: Final = 40
NEAR: Final = 1e-9


class Balanced:
    """All balances of one set of lines in one sense; see `balanced`.

    Every force is nan where friction locks a shaft or the linkage is jammed; who
    asks for one silences NumPy about what is divided by zero there.

    Parameters
    ----------
    lines : Lines
        Geometry and springs.
    sense : {1, -1, 0} or column of them
        In which the pad moves.
    factor : float or column
        On every friction.
    """

    def __init__(self, lines: Lines, sense: Number, factor: Number) -> None:
        self.lines = lines
        self.sense = sense
        self.factor = factor
        self._rubs = some(np.asarray(sense) != 0)
        self._pulls: dict[tuple[str, str, Gone], Positions] = {}
        self._circles: dict[str, Positions] = {}
        self._ends: dict[str, Positions] = {}

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
        key = rod, outer, gone & self.lines.hanging.beyond(rod, outer)
        found = self._pulls.get(key)
        if found is None:
            found = self._pulls[key] = self._meet(rod, outer, gone)
        return found

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
        torque, places = self._loaded(shaft, gone)
        if not self._rubs:
            return -torque
        carried = np.sqrt(sizes(places, places)).sum(axis=0)
        return self._circle(shaft) * carried - torque

    def _loaded(
        self, shaft: str, gone: Gone, but: str = ""
    ) -> tuple[Positions, Positions]:
        """Return torque and reactions of all that acts on a shaft, but for one rod.

        Drag is in the torque. [N·m], [N]
        """
        lines = self.lines
        torque = lines.torque(shaft, gone)
        places = 0.0
        if self._rubs:
            turns = self.sense * lines.turning[shaft]
            torque = torque - turns * self.factor * lines.drags[shaft]
            places = lines.carries(shaft, gone)
        for rod, other, ref in reversed(lines.hanging.rods[shaft]):
            if rod != but and ref not in gone:
                pull = self.pull(rod, other, gone)
                arm, carried = self._end(rod, shaft, np.sign(pull))
                torque = torque + pull * arm
                places = places + pull * carried
        return torque, places

    def _end(
        self, rod: str, shaft: str, way: Positions
    ) -> tuple[Positions, Positions | float]:
        """Return torque arm and reactions of 1 N in a rod that pulls, or pushes."""
        push = self.lines.push(rod, shaft)
        if not self._rubs:
            return push.arm, 0.0
        if not rod:
            return push.arm, push.places
        if rod not in self._ends:
            radius = self.factor * circle_of(self.lines.layout.rods[rod])
            lean = radius * self.lines.joints[rod].lean
            left = 1 - lean * lean
            # A rod shorter than both friction circles locks in its joints.
            self._ends[rod] = radius / np.sqrt(np.where(left > 0, left, np.nan))
        rub = self.lines.rub(rod, shaft)
        share = way * self.sense * self._ends[rod]
        return push.arm + share * rub.arm, push.places + share * rub.places

    def _circle(self, shaft: str) -> Positions:
        """Return σ μ r of a shaft."""
        if shaft not in self._circles:
            layout = self.lines.layout
            radius = coefficient_of(layout, shaft) * bearing_of(layout, shaft) / 2
            turns = self.sense * self.lines.turning[shaft]
            self._circles[shaft] = turns * self.factor * radius
        return self._circles[shaft]

    def _meet(self, rod: str, outer: str, gone: Gone) -> Positions:
        """Solve one shaft: the force X in the rod towards the root."""
        torque, places = self._loaded(outer, gone, rod)
        bare = self.lines.push(rod, outer).arm
        if not self._rubs:
            return -torque / bare
        circle, squares = self._circle(outer), sizes(places, places)
        still = torque - circle * np.sqrt(squares).sum(axis=0)
        # At X = 0 friction of the joints has no part in it, so that tells whether
        # the rod pulls or pushes.
        arm, carried = self._end(rod, outer, -np.sign(still) * np.sign(bare))
        mixed, own = sizes(places, carried), sizes(carried, carried)
        free = np.abs(circle) * np.sqrt(own).sum(axis=0) < np.abs(arm)
        free &= arm * bare > 0
        arm = np.where(free, arm, np.nan)
        pull = -still / arm
        for _ in range(STEPS):
            square = squares + pull * (2 * mixed + pull * own)
            size = np.sqrt(np.maximum(square, 0.0))
            slope = np.where(size > 0, (mixed + pull * own) / size, 0.0)
            miss = pull * arm + torque - circle * size.sum(axis=0)
            step = miss / (arm - circle * slope.sum(axis=0))
            pull = pull - step
            if not (np.abs(step) > NEAR * np.abs(pull)).any():
                break
        return pull


class _Part(Balanced):
    """Balances at some of the positions of others, which are worked out for all."""

    def __init__(self, whole: Balanced, lines: LinesPart) -> None:
        super().__init__(lines, whole.sense, whole.factor)
        self.lines: LinesPart = lines
        self._whole = whole

    def pull(self, rod: str, outer: str, gone: Gone = NOTHING) -> Positions:
        """Return what a rod carries, pull positive. [N]."""
        return self.lines.cut(self._whole.pull(rod, outer, gone))

    def held(self, shaft: str, gone: Gone = NOTHING) -> Positions:
        """Return the torque that must be put on a shaft, anticlockwise positive. [N·m]."""
        return self.lines.cut(self._whole.held(shaft, gone))


def balanced(lines: Lines, sense: Number = 0, factor: Number = 1.0) -> Balanced:
    """Return the balances of some lines, always the same for the same sense.

    Parameters
    ----------
    lines : Lines
        Geometry and springs.
    sense : {1, -1, 0} or column of them
        1 while the pedal goes down slowly, -1 while it comes up, 0 without
        friction.
    factor : float or column
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
