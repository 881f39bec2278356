"""Lines of force through the travel: springs and weight, as torque arms.

Where rods lie is the frame's (`motion.frame`); what springs and weight add to it
is worked out here, when it is first asked for, and once: then any spring may be
taken off and any rod parted at no cost but that of the balance itself. Vectors
have their component first, as in the frame.

Not here: the balance (`balance`, `statics`).
"""

from __future__ import annotations

from functools import cached_property, reduce
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.forces.friction import Carried, drag_of
from linkage.forces.hanging import Hanging
from linkage.forces.joints import Joints, Roller, WireEnds
from linkage.forces.masses import Weights
from linkage.forces.push import Push
from linkage.forces.sheath import Sheath
from linkage.forces.spring_line import SpringLine, spring_line
from linkage.model import Cable, Hole
from linkage.model.columns import some
from linkage.model.refs import Ref
from linkage.model.rows import rows_of
from linkage.motion.frame import frame
from linkage.springs import SpringLaw, spring_laws

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect import Line
    from linkage.model import Throttle
    from linkage.model.columns import Number, Positions
    from linkage.motion import Motion
    from linkage.motion.frame import Vectors


#: What turns against what at the ends of a part, by its kind; of a rod both its joints.
_JOINTS: Final[dict[str, type[Joints | WireEnds | Roller]]] = {
    "cable": WireEnds,
    "cam": Roller,
}


class Lines:
    """All lines of force of a motion; see `force_lines`.

    Parameters
    ----------
    motion : Motion
        Positions.
    laws : mapping of str to SpringLaw
        By spring.
    hanging : Hanging
        What hangs on which shaft.
    rows : int
        Layouts.
    """

    def __init__(
        self, motion: Motion, laws: Mapping[str, SpringLaw], hanging: Hanging, rows: int
    ) -> None:
        self.motion = motion
        self.laws = laws
        self.frame = frame(motion)
        self.layout = motion.assembly.layout
        self.hanging = hanging
        self.rows = rows
        self.ndim = 2 if rows > 1 else motion.ndim
        #: Balances of these lines by sense and friction; kept by `balance.balanced`.
        self.balances: dict[tuple[Any, ...], Any] = {}
        #: Forces at the pad by case and friction; kept by `returns.pad_forces`.
        self.pad_forces: dict[tuple[Any, ...], Any] = {}
        self._pushes: dict[tuple[str, str], Push] = {}
        self._rubs: dict[tuple[str, str], Push] = {}

    def __repr__(self) -> str:
        return f"<lines of force of {self.motion!r}>"

    def forget(self) -> None:
        """Let go of what refers back to these lines, so that they go when unasked for.

        Else all of it would stay until Python looks for what refers to itself. They
        are not asked for any force after it.
        """
        for kept in (self.balances, self.pad_forces, self._pushes, self._rubs):
            kept.clear()
        self.__dict__.pop("carried", None)
        self.motion.frames.clear()

    def vectors(self, v: Vectors) -> Vectors:
        """Return vectors of the frame with an axis for rows, where there are any."""
        return v if v.ndim > self.ndim else v[:, None]

    @cached_property
    def first(self) -> Mapping[str, Positions]:
        """By shaft: turn a metre of pad gives, dq/ds. [rad/m]."""
        return self.frame.first

    @cached_property
    def turning(self) -> Mapping[str, Positions]:
        """By shaft: 1 where pressing turns it anticlockwise, -1 where clockwise."""
        return {name: np.sign(first) for name, first in self.first.items()}

    @cached_property
    def rods(self) -> Mapping[str, Line]:
        """By rod, in driving order: its direction and arms, as the frame has them."""
        return self.frame.rods

    @cached_property
    def one_way(self) -> Mapping[str, Number]:
        """By rod that carries one way only: 1 where it can pull, -1 where push."""
        loops = self.motion.assembly.loops
        return {p.link.rod.name: p.carries for p in loops if some(p.carries != 0)}

    @property
    def slack(self) -> Mapping[str, Positions]:
        """By such a rod: whether it is slack, so that it carries nothing."""
        return self.frame.slack

    def felt(self, shaft: str, work: Positions, *, stiff: bool = False) -> Positions:
        """Return what is done on a shaft as the pad feels it: nothing where it stands.

        With over-travel springs taken as ``stiff``, only where a rod is slack.
        """
        frame = self.frame
        stands = (frame.slack_before if stiff else frame.stands).get(shaft)
        return work if stands is None else np.where(stands, 0.0, work)

    @cached_property
    def given(self) -> Mapping[str, Positions]:
        """By rod with an over-travel spring: whether that has given."""
        return {name: far > 0 for name, far in self.frame.given.items()}

    @cached_property
    def sprung(self) -> Mapping[str, Positions]:
        """By such a rod: the load of its spring, pull positive, past where it gives. [N]."""
        found = {}
        for name, far in self.frame.given.items():
            rod, loop = self.layout.rods[name], self.motion.assembly.loop(name)
            load = rod.over_travel_load + rod.over_travel_rate * far
            found[name] = loop.gives_by * load
        return found

    def can(self, rod: str, outer: str, pull: Positions) -> Positions:
        """Return a force as far as a rod can carry it, towards the root of a balance.

        One that carries one way carries nothing the other way, and nothing at all
        where it is slack: what it cannot carry the one side does not put on the other.
        One whose over-travel spring has given puts the load of that on its driver, the
        stop takes the rest. Seen from the lever on its stop it is taken as stiff: that
        leaves the spring's help out, which is the unkind side.
        """
        if rod in self.sprung and self.hanging.way(rod, outer) < 0:
            return np.where(self.given[rod], self.sprung[rod], pull)
        way = self.one_way.get(rod)
        if way is None:
            return pull
        return np.where(self.slack[rod], 0.0, way * np.maximum(way * pull, 0.0))

    def lets_go(self, shaft: str) -> frozenset[Ref]:
        """Return the rods on the way to a shaft that carry one way only.

        What lies before one cannot shut what it drives.
        """
        way = (Ref("rod", link.rod.name) for link in self.layout.path_to(shaft))
        return frozenset(ref for ref in way if ref.name in self.one_way)

    def slack_from(self, root: str, shaft: str) -> Positions:
        """Return whether a rod is slack on the way from one shaft out to another."""
        path = self.layout.path_to(shaft)
        known = {link.driven.shaft: i + 1 for i, link in enumerate(path)}
        rods = [link.rod.name for link in path[known.get(root, 0) :]]
        found = [self.slack[rod] for rod in rods if rod in self.slack]
        return reduce(np.logical_or, found, np.False_)

    @cached_property
    def springs(self) -> Mapping[str, SpringLine]:
        """By spring, in the layout's order."""
        return {n: spring_line(self, n, law) for n, law in self.laws.items()}

    @cached_property
    def shape(self) -> tuple[int, ...]:
        """Shape of all that is told over positions, (n,) or (rows, n)."""
        arrays = [*self.first.values(), *(s.torque for s in self.springs.values())]
        shapes = [np.shape(a) for a in arrays]
        # Rows may differ in friction alone.
        shapes += [(self.rows, 1)] if self.rows > 1 else []
        return np.broadcast_shapes(self.motion.pad_travel.shape, *shapes)

    def full(self, values: Positions) -> Positions:
        """Return an array in the shape of all others, not to be written to."""
        return np.broadcast_to(values, self.shape)

    @cached_property
    def carried(self) -> Mapping[str, Carried]:
        """By shaft: how forces on it reach its bearings."""
        return {name: Carried(self, name) for name in self.layout.shafts}

    @cached_property
    def joints(self) -> Mapping[str, Joints | WireEnds | Roller]:
        """By rod: the turn of its joints."""
        frame, rods = self.frame, self.layout.rods.items()
        return {n: _JOINTS.get(r.kind, Joints)(frame, n) for n, r in rods}

    @cached_property
    def sheaths(self) -> Mapping[str, Sheath]:
        """By cable: the friction of its sheath."""
        cables = [n for n, r in self.layout.rods.items() if isinstance(r, Cable)]
        return {name: Sheath(self.frame, name) for name in cables}

    @cached_property
    def _weights(self) -> Mapping[str, Weights]:
        """By shaft: the weight on it."""
        rods = {loop.link.rod.name: loop.mass for loop in self.motion.assembly.loops}
        return {s: Weights(self.frame, s, rods) for s in self.layout.shafts}

    @cached_property
    def _heavy(self) -> Mapping[str, Positions]:
        """By shaft: what weight puts on its bearings. [N]."""
        return {s: w.reactions(self.carried[s]) for s, w in self._weights.items()}

    @cached_property
    def _pulled(self) -> Mapping[str, Positions]:
        """By spring along a line: what it puts on its shaft's bearings. [N]."""
        found = {}
        for name, line in self.springs.items():
            if line.force is not None:
                hole = Hole(shaft=line.shaft, arm=self.layout.springs[name].arm)
                found[name] = self.carried[line.shaft].reactions(line.force, hole)
        return found

    @cached_property
    def drags(self) -> Mapping[str, Positions]:
        """By shaft: friction torque that no load changes. [N·m]."""

        def opening(throttle: Throttle) -> Positions:
            moved = self.motion.opening(throttle.name)
            return throttle.swing - moved if self.layout.governed else moved

        return {s: drag_of(self.layout, s, opening) for s in self.layout.shafts}

    @cached_property
    def spring_work(self) -> Mapping[str, Positions]:
        """By spring: its torque as felt at the pad, positive opening. [N]."""
        return {n: s.torque * self.first[s.shaft] for n, s in self.springs.items()}

    def weight_work(self, shaft: str, gone: frozenset[Ref]) -> Positions:
        """Return the torque of the weight on a shaft as felt at the pad.

        Positive opening. [N]
        """
        return self._weights[shaft].torque(gone) * self.first[shaft]

    @property
    def push_arm(self) -> Number:
        """Torque of 1 N of pad force about the pedal's shaft. [m]."""
        return self.layout.pedal.presses * self.layout.pad_radius

    def push(self, rod: str, outer: str) -> Push:
        """Return what 1 N in a rod does to a shaft at one of its ends.

        Parameters
        ----------
        rod : str
            The rod; empty for the foot on the pad, pressing.
        outer : str
            The shaft.
        """
        found = self._pushes.get((rod, outer))
        if found is None:
            if rod:
                line, hole = self.rods[rod], self._hole(rod, outer)
                way = line.pulls[0 if hole == line.link.driver else 1]
                arm = line.arms[outer]
            else:
                pedal = self.layout.pedal
                hole = Hole(shaft=outer, arm=pedal.pad)
                way, arm = pedal.presses * self.frame.tangent(hole), self.push_arm
            places = self.carried[outer].reactions(way, hole)
            found = self._pushes[rod, outer] = Push(arm=arm, places=places)
        return found

    def rub(self, rod: str, outer: str) -> Push:
        """Return what friction in a rod's joints does to a shaft while pressing.

        A metre of the radius of their friction circles, with 1 N in the rod.
        """
        found = self._rubs.get((rod, outer))
        if found is None:
            joints, hole = self.joints[rod], self._hole(rod, outer)
            places = self.carried[outer].reactions(joints.across(hole), hole)
            arm = joints.back(hole)
            found = self._rubs[rod, outer] = Push(arm=arm, places=places)
        return found

    def torque(self, shaft: str, gone: frozenset[Ref]) -> Positions:
        """Return the torque on a shaft of its weight and of springs not gone. [N·m]."""
        torque = self._weights[shaft].torque(gone)
        for ref in self.hanging.springs[shaft]:
            if ref not in gone:
                torque = torque + self.springs[ref.name].torque
        return torque

    def carries(self, shaft: str, gone: frozenset[Ref]) -> Positions:
        """Return what weight and springs not gone put on a shaft's bearings. [N].

        Of a shape that broadcasts to (5, n) or (5, rows, n).
        """
        total = self._heavy[shaft]
        for ref in self.hanging.springs[shaft]:
            if ref.name in self._pulled and ref not in gone:
                total = total + self._pulled[ref.name]
        return total

    def _hole(self, rod: str, shaft: str) -> Hole:
        part = self.layout.rods[rod]
        return part.start if part.start.shaft == shaft else part.end


def force_lines(
    motion: Motion, like: Lines | None = None, *, rows: int | None = None
) -> Lines:
    """Return every line of force of a motion.

    Parameters
    ----------
    motion : Motion
        From `linkage.motion.sweep`.
    like : Lines, optional
        Of another motion of the same layout, to take over what is the same.
    rows : int, optional
        Of the layout, where they are counted already.

    Raises
    ------
    LayoutError
        If a spring of the layout is impossible.
    """
    layout = motion.assembly.layout
    if like is not None:
        return Lines(motion, like.laws, like.hanging, like.rows)
    rows = rows_of(layout) if rows is None else rows
    return Lines(motion, spring_laws(layout), Hanging(layout), rows)
