"""Lines of force through the travel: springs and weight, as torque arms.

Where rods lie is the frame's (`motion.frame`); what springs and weight add to it
is worked out here, when it is first asked for, and once: then any spring may be
taken off and any rod parted at no cost but that of the balance itself. Vectors
have their component first, as in the frame.

Not here: the balance (`balance`, `statics`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from linkage.forces.hanging import Hanging
from linkage.model import Hole
from linkage.model.columns import some
from linkage.model.rows import rows_of
from linkage.motion.frame import dot, frame
from linkage.springs import SpringLaw, spring_laws

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model import Layout, Shaft, Vector
    from linkage.model.columns import Number, Positions
    from linkage.model.refs import Ref
    from linkage.motion import Motion
    from linkage.motion.frame import Vectors

#: Standard acceleration of gravity, ISO 80000-3. [m/s²]
GRAVITY = 9.80665


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class RodForceLine:
    """Along what and with what arms a rod acts.

    Parameters
    ----------
    along : ndarray, shape (3, n) or (3, rows, n)
        Unit vector from the driver's hole to the driven.
    arms : mapping of str to ndarray, shape (n,) or (rows, n)
        By shaft: torque that a pull of 1 N in the rod puts on it,
        anticlockwise positive. [m]
    """

    along: Vectors
    arms: Mapping[str, Positions]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SpringLine:
    """What a spring does at every position.

    Parameters
    ----------
    law : SpringLaw
        Its law.
    shaft : str
        On which it acts.
    length : ndarray, shape (n,) or (rows, n), optional
        From hook to anchor; None about a shaft. [m]
    arm : ndarray, shape (n,) or (rows, n), optional
        Torque of 1 N of its force, anticlockwise positive, in its own working
        direction; None about a shaft. [m]
    load : ndarray, shape (n,) or (rows, n)
        Pull positive, push negative [N]; torque about a shaft [N·m].
    torque : ndarray, shape (n,) or (rows, n)
        About its shaft, anticlockwise positive. [N·m]
    force : ndarray, shape (3, n) or (3, rows, n), optional
        On its hook; None about a shaft. [N]
    """

    law: SpringLaw
    shaft: str
    length: Positions | None
    arm: Positions | None
    load: Positions
    torque: Positions
    force: Vectors | None


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
    ndim : int
        1, or 2 where anything differs between rows.
    """

    def __init__(
        self,
        motion: Motion,
        laws: Mapping[str, SpringLaw],
        hanging: Hanging,
        ndim: int,
    ) -> None:
        self.motion = motion
        self.laws = laws
        self.frame = frame(motion)
        self.layout = motion.assembly.layout
        self.hanging = hanging
        self.ndim = ndim
        #: Balances of these lines by sense and friction; kept by `balance.balanced`.
        self.balances: dict[tuple[Any, ...], Any] = {}
        self._toward: dict[tuple[str, str], tuple[Vectors, Positions]] = {}

    def __repr__(self) -> str:
        return f"<lines of force of {self.motion!r}>"

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
    def rods(self) -> Mapping[str, RodForceLine]:
        """By rod, in driving order."""
        return {
            name: RodForceLine(along=self.vectors(line.along), arms=line.arms)
            for name, line in self.frame.rods.items()
        }

    @cached_property
    def springs(self) -> Mapping[str, SpringLine]:
        """By spring, in the layout's order."""
        return {name: self._spring(name, law) for name, law in self.laws.items()}

    @cached_property
    def shape(self) -> tuple[int, ...]:
        """Shape of all that is told over positions, (n,) or (rows, n)."""
        arrays = [*self.first.values(), *(s.torque for s in self.springs.values())]
        shapes = (np.shape(a) for a in arrays)
        return np.broadcast_shapes(self.motion.pad_travel.shape, *shapes)

    def full(self, values: Positions) -> Positions:
        """Return positions at which all rows are alike in the shape of all others."""
        return np.broadcast_to(values, self.shape)

    @cached_property
    def weight(self) -> Mapping[str, Number]:
        """By shaft: weight of rods and arms whose mass is given. [N]."""
        return {
            name: GRAVITY * sum((mass for _, mass, _ in _hung(self.layout, s)), 0.0)
            for name, s in self.layout.shafts.items()
        }

    @cached_property
    def weight_torque(self) -> Mapping[str, Positions]:
        """By shaft: torque of that weight; 0 where there is none. [N·m]."""
        return {name: self._weighed(s) for name, s in self.layout.shafts.items()}

    @cached_property
    def spring_work(self) -> Mapping[str, Positions]:
        """By spring: its torque as felt at the pad, positive opening. [N]."""
        return {n: s.torque * self.first[s.shaft] for n, s in self.springs.items()}

    @cached_property
    def weight_work(self) -> Mapping[str, Positions]:
        """By shaft: torque of its weight as felt at the pad, where it has any. [N]."""
        return {
            name: self.weight_torque[name] * self.first[name]
            for name, weight in self.weight.items()
            if some(weight != 0)
        }

    @cached_property
    def push(self) -> Vectors:
        """Unit vector in which the foot presses the pad."""
        pedal = self.layout.pedal
        pad = Hole(shaft=pedal.shaft, arm=pedal.pad)
        return pedal.presses * self.vectors(self.frame.tangent(pad))

    @property
    def push_arm(self) -> Number:
        """Torque of 1 N of pad force about the pedal's shaft. [m]."""
        return self.layout.pedal.presses * self.layout.pad_radius

    def toward(self, rod: str, outer: str) -> tuple[Vectors, Positions]:
        """Return the unit vector of a rod from a shaft, and its arm on that shaft.

        Parameters
        ----------
        rod : str
            The rod; empty for the foot on the pad, the way it presses.
        outer : str
            The shaft on the side that is balanced.

        Returns
        -------
        way : ndarray, shape (3, n) or (3, rows, n)
            In which a pull acts on the shaft.
        arm : float, column or ndarray, shape (n,) or (rows, n)
            Torque of a pull of 1 N, anticlockwise positive. [m]
        """
        found = self._toward.get((rod, outer))
        if found is None:
            if rod:
                line = self.rods[rod]
                drives = self.hanging.way(rod, outer) > 0
                found = line.along if drives else -line.along, line.arms[outer]
            else:
                found = self.push, self.push_arm
            self._toward[rod, outer] = found
        return found

    def torque(self, shaft: str, gone: frozenset[Ref]) -> Positions:
        """Return the torque of springs and weight on a shaft. [N·m].

        Parameters
        ----------
        shaft : str
            The shaft.
        gone : frozenset of Ref
            Springs among them act no more.

        Returns
        -------
        float or ndarray, shape (n,) or (rows, n)
            Anticlockwise positive.
        """
        torque = self.weight_torque[shaft]
        for ref in self.hanging.springs[shaft]:
            if ref not in gone:
                torque = torque + self.springs[ref.name].torque
        return torque

    def force(self, shaft: str, gone: frozenset[Ref]) -> Vectors:
        """Return the force of springs and weight on a shaft, in vehicle axes. [N].

        Parameters as for `torque`.

        Returns
        -------
        ndarray that broadcasts to shape (3, n) or (3, rows, n)
        """
        force = self._weight_force[shaft]
        for ref in self.hanging.springs[shaft]:
            line = self.springs[ref.name]
            if line.force is not None and ref not in gone:
                force = force + line.force
        return force

    @cached_property
    def _weight_force(self) -> Mapping[str, Vectors]:
        return {
            name: self.vectors(self.frame.vector((0.0, 0.0, -weight)))
            for name, weight in self.weight.items()
        }

    def _spring(self, name: str, law: SpringLaw) -> SpringLine:
        spring = self.layout.springs[name]
        if not law.along_line:
            torque = law.torque(self.motion.turns[spring.shaft])
            return SpringLine(
                law=law,
                shaft=spring.shaft,
                length=None,
                arm=None,
                load=torque,
                torque=torque,
                force=None,
            )
        hook = self.frame.hole(Hole(shaft=spring.shaft, arm=spring.arm))
        anchor = self.vectors(self.frame.vector(cast("Vector", spring.anchor)))
        line = anchor - self.vectors(hook.pin)
        length = np.sqrt(dot(line, line))
        line /= length
        arm = hook.length * dot(self.vectors(hook.tangent), line)
        load = law.pull(length)
        return SpringLine(
            law=law,
            shaft=spring.shaft,
            length=length,
            arm=-arm if law.kind == "compression" else arm,
            load=load,
            torque=load * arm,
            force=load * line,
        )

    def _weighed(self, shaft: Shaft) -> Positions:
        total: Positions = 0.0
        for name, mass, share in _hung(self.layout, shaft):
            hole = self.frame.hole(Hole(shaft=shaft.name, arm=name))
            total = total - GRAVITY * mass * share * hole.length * hole.tangent[2]
        return total


def force_lines(motion: Motion, like: Lines | None = None) -> Lines:
    """Return every line of force of a motion.

    Parameters
    ----------
    motion : Motion
        From `linkage.motion.sweep`.
    like : Lines, optional
        Of another motion of the same layout, to take over what is the same.

    Raises
    ------
    LayoutError
        If a spring of the layout is impossible.
    """
    layout = motion.assembly.layout
    if like is not None:
        return Lines(motion, like.laws, like.hanging, like.ndim)
    ndim = 2 if motion.ndim > 1 or rows_of(layout) > 1 else motion.ndim
    return Lines(motion, spring_laws(layout), Hanging(layout), ndim)


def _hung(layout: Layout, shaft: Shaft) -> list[tuple[str, Number, float]]:
    """Return (arm, mass, share of its radius) of all that hangs on a shaft.

    A rod is taken as half its mass at each end.
    """
    hung = [(a.name, a.mass, 0.5) for a in shaft.arms.values() if some(a.mass != 0)]
    for rod in layout.rods.values():
        if some(rod.mass != 0):
            hung += [
                (hole.arm, rod.mass / 2, 1.0)
                for hole in (rod.start, rod.end)
                if hole.shaft == shaft.name
            ]
    return hung
