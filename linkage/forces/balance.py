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

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from linkage.model.columns import some
from linkage.model.refs import Ref
from linkage.motion.frame import dot

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from linkage.forces.lines import Lines
    from linkage.model import Layout
    from linkage.model.columns import Number, Positions, Truth
    from linkage.motion.frame import Vectors

#: Springs and rods that act no more.
Gone: TypeAlias = "frozenset[Ref]"
NOTHING: Gone = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Rubbing:
    """What resists the turning of each shaft.

    Parameters
    ----------
    circle : mapping of str to float or column
        Radius of its friction circle, μ r; 0 where the bearing's diameter is
        not given. [m]
    drag : mapping of str to float or column
        Friction torque that no load changes. [N·m]
    """

    circle: Mapping[str, Number]
    drag: Mapping[str, Number]

    def at(self, shaft: str) -> Truth:
        """Tell whether a shaft is rubbed at all."""
        return (self.circle[shaft] != 0) | (self.drag[shaft] != 0)

    def among(self, shafts: Iterable[str]) -> Truth:
        """Tell whether any of some shafts is rubbed at all."""
        found: Truth = False
        for shaft in shafts:
            found = found | self.at(shaft)
        return found


def rubbing(layout: Layout, factor: Number = 1.0) -> Rubbing:
    """Return what resists the turning of each shaft of a layout.

    Parameters
    ----------
    layout : Layout
        Its shafts.
    factor : float or column
        On every friction, for cold grease.
    """
    circle = {}
    for name, s in layout.shafts.items():
        coefficient = layout.friction if s.friction is None else s.friction
        circle[name] = coefficient * factor * s.bearing / 2
    drag = {name: factor * s.drag for name, s in layout.shafts.items()}
    return Rubbing(circle=circle, drag=drag)


class Balanced:
    """All balances of one set of lines in one sense; see `balanced`.

    Every force is nan where friction locks a shaft or the linkage is jammed.
    """

    def __init__(self, lines: Lines, rub: Rubbing, sense: Number) -> None:
        self.lines = lines
        self.rub = rub
        self.sense = sense
        self._pulls: dict[tuple[str, str, Gone], Positions] = {}
        self._shares: dict[tuple[str, str], tuple[Positions, Positions]] = {}

    def pull(self, rod: str, outer: str, gone: Gone = NOTHING) -> Positions:
        """Return what a rod carries, pull positive. [N].

        Parameters
        ----------
        rod : str
            The rod.
        outer : str
            Its shaft on the side that is balanced; the root is on the other.
        gone : frozenset of Ref
            Springs and rods that act no more.
        """
        key = rod, outer, gone & self.lines.hanging.beyond(rod, outer)
        found = self._pulls.get(key)
        if found is None:
            line, way = self.lines.rods[rod], self.lines.hanging.way(rod, outer)
            acting = self.loaded(outer, gone, but=rod)
            found = self._meet(key[:2], acting, way * line.along, line.arms[outer])
            self._pulls[key] = found
        return found

    def pressed(self, gone: Gone = NOTHING) -> Positions:
        """Return the force of the foot that holds the pad, pressing positive. [N]."""
        lines, pedal = self.lines, self.lines.layout.pedal.shaft
        key = "", pedal, gone
        found = self._pulls.get(key)
        if found is None:
            acting = self.loaded(pedal, gone)
            found = self._meet(key[:2], acting, lines.push, lines.push_arm)
            self._pulls[key] = found
        return found

    def held(self, shaft: str, gone: Gone = NOTHING) -> Positions:
        """Return the torque that must be put on a shaft, anticlockwise positive. [N·m].

        Parameters
        ----------
        shaft : str
            The root.
        gone : frozenset of Ref
            Springs and rods that act no more.
        """
        torque, force = self.loaded(shaft, gone)
        circle = self._circle(shaft)
        if circle is None:
            return -torque
        return circle * np.sqrt(dot(force, force)) - torque

    def bearing(self, shaft: str, rod: str, gone: Gone = NOTHING) -> Vectors:
        """Return the force of a shaft on its bearing, in vehicle axes. [N].

        Parameters
        ----------
        shaft : str
            The shaft.
        rod : str
            The rod that leads towards the root; empty for the pedal under the
            foot.
        gone : frozenset of Ref
            Springs and rods that act no more.
        """
        _, force = self.loaded(shaft, gone, but=rod)
        if not rod:
            return force + self.pressed(gone) * self.lines.push
        way = self.lines.hanging.way(rod, shaft)
        return force + way * self.pull(rod, shaft, gone) * self.lines.rods[rod].along

    def loaded(
        self, shaft: str, gone: Gone, but: str = ""
    ) -> tuple[Positions, Vectors]:
        """Return torque and force on a shaft of all that acts, but for one rod.

        Returns
        -------
        torque : ndarray, shape (n,) or (rows, n)
            Drag counted against the sense in which it turns. [N·m]
        force : ndarray, shape (3, n) or (3, rows, n)
            [N]
        """
        lines = self.lines
        torque, force = lines.load(shaft, gone)
        drag = self.rub.drag[shaft]
        if some((drag != 0) & (self.sense != 0)):
            torque = torque - lines.turning[shaft] * (self.sense * drag)
        for rod, other in reversed(lines.hanging.rods[shaft]):
            if rod != but and Ref("rod", rod) not in gone:
                pull, line = self.pull(rod, other, gone), lines.rods[rod]
                torque = torque + pull * line.arms[shaft]
                force = force - (lines.hanging.way(rod, other) * pull) * line.along
        return torque, force

    def _circle(self, shaft: str) -> Positions | None:
        """Return σ μ r of a shaft, or None where its bearing does not rub."""
        circle = self.sense * self.rub.circle[shaft]
        return self.lines.turning[shaft] * circle if some(circle != 0) else None

    def _meet(
        self,
        key: tuple[str, str],
        acting: tuple[Positions, Vectors],
        way: Vectors,
        arm: Positions,
    ) -> Positions:
        """Solve one shaft: the force X along ``way``.

        D is in M already. With c = σ μ r / B and w = W - (M/B) f, X = -M/B + c x, the
        reaction x is the positive root of x²(1 - c²) - 2 c x (w·f) - |w|² = 0.
        """
        torque, force = acting
        pull = -torque / arm
        if key not in self._shares:
            circle = self._circle(key[1])
            c: Positions = 0.0 if circle is None else circle / arm
            free = 1 - c * c
            self._shares[key] = c, np.where(free > 0, free, np.nan)
        c, free = self._shares[key]
        if np.ndim(c) == 0:
            return pull
        w = force + pull * way
        lean = c * dot(w, way)
        return pull + c * (lean + np.sqrt(lean * lean + free * dot(w, w))) / free


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
        found = lines.balances[key] = Balanced(
            lines, rubbing(lines.layout, factor), sense
        )
    return found
