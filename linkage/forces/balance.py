"""The balance of one shaft after another, with bearing friction in closed form.

Rods are two-force members and form a tree. Held at one shaft (its root), the
tree is solved from its ends inwards: each shaft has one unknown, the force X in
the rod that leads towards the root::

    X B + M - σ (μ r |W + X f| + D) = 0

B torque arm and f direction of that rod on the shaft, M torque and W force of
all else on it, D a drag that no load changes, σ the sense in which it turns, μ r
the radius of its friction circle. The reaction |W + X f| depends on X and X on it;
the fixed point of the two is the root of a quadratic equation, so nothing is
iterated. Where the friction circle reaches the rod's line (μ r ≥ |B|) friction
locks the shaft.

What a rod carries inwards depends on nothing but what lies beyond it. So it is
worked out once for every set of parts that are gone there, however many
failures, plates and roots ask for it.

Not modelled: friction in joints, and the tipping of a shaft in two bearings.

Not here: what is balanced (`statics`, `returns`).

References
----------
.. [1] K. J. Waldron, G. L. Kinzel, Kinematics, Dynamics, and Design of
   Machinery, the friction circle of a journal bearing (from memory).
"""

from __future__ import annotations

from functools import reduce
from operator import or_
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from linkage.forces.lines import LinesPart
from linkage.model.columns import some
from linkage.motion.frame import dot

if TYPE_CHECKING:
    from linkage.forces.lines import Lines
    from linkage.model.columns import Number, Positions, Truth
    from linkage.model.refs import Ref
    from linkage.motion.frame import Vectors

#: Springs and rods that act no more.
Gone: TypeAlias = "frozenset[Ref]"
NOTHING: Gone = frozenset()


class Balanced:
    """All balances of one set of lines in one sense; see `balanced`.

    Every force is nan where friction locks a shaft or the linkage is jammed; who
    asks for one silences NumPy about what is divided by zero there.

    Attributes
    ----------
    circle, drag : dict of str to (float or column)
        By shaft: radius of its friction circle, μ r, and friction torque that no
        load changes; 0 where they are not given. [m], [N·m]
    """

    def __init__(self, lines: Lines, sense: Number, factor: Number) -> None:
        self.lines = lines
        self.sense = sense
        self.circle: dict[str, Number] = {}
        self.drag: dict[str, Number] = {}
        for name, s in lines.layout.shafts.items():
            coefficient = lines.layout.friction if s.friction is None else s.friction
            self.circle[name] = coefficient * factor * s.bearing / 2
            self.drag[name] = 0.0 if s.drag is None else factor * s.drag
        self._pulls: dict[tuple[str, str, Gone], Positions] = {}
        self._circles: dict[str, Any] = {}
        self._shares: dict[tuple[str, str], tuple[Positions, ...]] = {}

    def rubs(self, *shafts: str) -> Truth:
        """Tell whether anything resists the turning of any of some shafts."""
        return reduce(
            or_, ((self.circle[s] != 0) | (self.drag[s] != 0) for s in shafts)
        )

    def pull(self, rod: str, outer: str, gone: Gone = NOTHING) -> Positions:
        """Return what a rod carries, pull positive. [N].

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
            found = self._pulls[key] = self._meet(rod, outer, key[2])
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
        torque, force = self._loaded(shaft, gone)
        if force is None:
            return -torque
        return self._circle(shaft) * np.sqrt(dot(force, force)) - torque

    def _loaded(
        self, shaft: str, gone: Gone, but: str = ""
    ) -> tuple[Positions, Vectors | None]:
        """Return torque and force of all that acts on a shaft, but for one rod.

        Drag is in the torque; force is None where the bearing does not rub. [N·m], [N]
        """
        lines = self.lines
        torque, drag = lines.torque(shaft, gone), self.sense * self.drag[shaft]
        if some(drag != 0):
            torque = torque - lines.turning[shaft] * drag
        force = None if self._circle(shaft) is None else lines.force(shaft, gone)
        for rod, other, ref in reversed(lines.hanging.rods[shaft]):
            if rod != but and ref not in gone:
                pull = self.pull(rod, other, gone)
                torque = torque + pull * lines.rods[rod].arms[shaft]
                if force is not None:
                    force = force - pull * lines.toward(rod, other)[0]
        return torque, force

    def _circle(self, shaft: str) -> Any:  # noqa: ANN401
        """Return σ μ r of a shaft, or None where its bearing does not rub."""
        if shaft not in self._circles:
            circle = self.sense * self.circle[shaft]
            rubs = some(circle != 0)
            self._circles[shaft] = self.lines.turning[shaft] * circle if rubs else None
        return self._circles[shaft]

    def _meet(self, rod: str, outer: str, gone: Gone) -> Positions:
        """Solve one shaft: the force X along ``way``.

        D is in M already. With c = σ μ r / B and w = W - (M/B) f, X = -M/B + c x, the
        reaction x is the positive root of x²(1 - c²) - 2 c x (w·f) - |w|² = 0.
        """
        way, arm = self.lines.toward(rod, outer)
        torque, force = self._loaded(outer, gone, rod)
        pull = -torque / arm
        if force is None:
            return pull
        shares = self._shares.get((rod, outer))
        if shares is None:
            c = self._circle(outer) / arm
            free = 1 - c * c
            free = np.where(free > 0, free, np.nan)
            shares = self._shares[rod, outer] = c, free, c / free
        c, free, more = shares
        w = force + pull * way
        lean = c * dot(w, way)
        return pull + more * (lean + np.sqrt(lean * lean + free * dot(w, w)))


class _Part(Balanced):
    """Balances at some of the positions of others, which are worked out for all."""

    def __init__(self, whole: Balanced, lines: LinesPart) -> None:
        self.lines: LinesPart = lines
        self.sense, self.circle, self.drag = whole.sense, whole.circle, whole.drag
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
