"""Lines of force through the travel: springs and weight, as torque arms.

Where rods lie is the frame's (`motion.frame`); what springs and weight add to it
is worked out here, when it is first asked for, and once: then any spring may be
taken off and any rod parted at no cost but that of the balance itself. Vectors
have their component first, as in the frame.

Not here: the balance (`balance`, `statics`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from linkage.forces.hanging import Hanging
from linkage.model import Hole
from linkage.model.columns import some
from linkage.model.rows import rows_of
from linkage.motion.frame import dot, frame
from linkage.records import dataclass
from linkage.springs import SpringLaw, spring_laws

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect import Line
    from linkage.model import Vector
    from linkage.model.columns import Number, Positions
    from linkage.model.refs import Ref
    from linkage.motion import Motion
    from linkage.motion.frame import Vectors

#: Standard acceleration of gravity, ISO 80000-3. [m/s²]
GRAVITY = 9.80665


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SpringLine:
    """What a spring does at every position.

    Parameters
    ----------
    law : SpringLaw
        Its law.
    shaft : str
        On which it acts.
    load : ndarray, shape (n,) or (rows, n)
        Pull positive, push negative [N]; torque about a shaft [N·m].
    torque : ndarray, shape (n,) or (rows, n)
        About its shaft, anticlockwise positive. [N·m]
    length : ndarray, shape (n,) or (rows, n), optional
        From hook to anchor; None about a shaft. [m]
    arm : ndarray, shape (n,) or (rows, n), optional
        Torque of 1 N of its force, anticlockwise positive, in its own working
        direction; None about a shaft. [m]
    force : ndarray, shape (3, n) or (3, rows, n), optional
        On its hook; None about a shaft. [N]
    """

    law: SpringLaw
    shaft: str
    load: Positions
    torque: Positions
    length: Positions | None = None
    arm: Positions | None = None
    force: Vectors | None = None


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
    def rods(self) -> Mapping[str, Line]:
        """By rod, in driving order: its direction and arms, as the frame has them."""
        return self.frame.rods

    @cached_property
    def springs(self) -> Mapping[str, SpringLine]:
        """By spring, in the layout's order."""
        return {name: self._spring(name, law) for name, law in self.laws.items()}

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
    def _hung(self) -> Mapping[str, list[tuple[str, Number, float]]]:
        """By shaft: arm, mass and share of its radius of all of given mass."""
        hung = {
            name: [(a.name, a.mass, 0.5) for a in s.arms.values() if some(a.mass != 0)]
            for name, s in self.layout.shafts.items()
        }
        for rod in self.layout.rods.values():
            for hole in (rod.start, rod.end):  # half its mass at each end
                if some(rod.mass != 0):
                    hung[hole.shaft].append((hole.arm, rod.mass / 2, 1.0))
        return hung

    @cached_property
    def _weight(self) -> Mapping[str, tuple[Positions, Vectors]]:
        """By shaft: torque and force of the weight of rods and arms. [N·m], [N]."""
        found = {}
        for shaft, hung in self._hung.items():
            torque: Positions = 0.0
            for name, mass, share in hung:
                hole = self.frame.hole(Hole(shaft=shaft, arm=name))
                torque = torque - GRAVITY * mass * share * hole.length * hole.tangent[2]
            weight = GRAVITY * sum((mass for _, mass, _ in hung), 0.0)
            force = self.vectors(self.frame.vector((0.0, 0.0, -weight)))
            found[shaft] = torque, force
        return found

    @cached_property
    def spring_work(self) -> Mapping[str, Positions]:
        """By spring: its torque as felt at the pad, positive opening. [N]."""
        return {n: s.torque * self.first[s.shaft] for n, s in self.springs.items()}

    @cached_property
    def weight_work(self) -> Mapping[str, Positions]:
        """By shaft: torque of its weight as felt at the pad, where it has any. [N]."""
        return {
            s: self._weight[s][0] * self.first[s] for s, h in self._hung.items() if h
        }

    @property
    def push_arm(self) -> Number:
        """Torque of 1 N of pad force about the pedal's shaft. [m]."""
        return self.layout.pedal.presses * self.layout.pad_radius

    def toward(self, rod: str, outer: str) -> tuple[Vectors, Positions]:
        """Return in which way a rod pulls at a shaft, and its torque arm on it.

        Parameters
        ----------
        rod : str
            The rod; empty for the foot on the pad, and the way it presses.
        outer : str
            The shaft.

        Returns
        -------
        way : ndarray, shape (3, n) or (3, rows, n)
            Unit vector.
        arm : float, column or ndarray, shape (n,) or (rows, n)
            Torque of a pull of 1 N, anticlockwise positive. [m]
        """
        found = self._toward.get((rod, outer))
        if found is None:
            if rod:
                line = self.rods[rod]
                way = self.hanging.way(rod, outer) * self.vectors(line.along)
                found = way, line.arms[outer]
            else:
                pedal = self.layout.pedal
                pad = self.frame.tangent(Hole(shaft=outer, arm=pedal.pad))
                found = pedal.presses * self.vectors(pad), self.push_arm
            self._toward[rod, outer] = found
        return found

    def torque(self, shaft: str, gone: frozenset[Ref]) -> Positions:
        """Return the torque on a shaft of its weight and of springs not gone. [N·m]."""
        torque = self._weight[shaft][0]
        for ref in self.hanging.springs[shaft]:
            if ref not in gone:
                torque = torque + self.springs[ref.name].torque
        return torque

    def force(self, shaft: str, gone: frozenset[Ref]) -> Vectors:
        """Return the force on a shaft of its weight and of springs not gone. [N].

        Of a shape that broadcasts to (3, n) or (3, rows, n).
        """
        force = self._weight[shaft][1]
        for ref in self.hanging.springs[shaft]:
            line = self.springs[ref.name]
            if line.force is not None and ref not in gone:
                force = force + line.force
        return force

    def _spring(self, name: str, law: SpringLaw) -> SpringLine:
        spring = self.layout.springs[name]
        if not law.along_line:
            torque = law.torque(self.motion.turns[spring.shaft])
            return SpringLine(law=law, shaft=spring.shaft, load=torque, torque=torque)
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


class LinesPart(Lines):
    """Lines of force at some of the positions of others, where they are worked out.

    Parameters
    ----------
    whole : Lines
        Of all positions.
    which : slice
        Which of them.
    motion : Motion, optional
        At just these, where it is known already.
    """

    def __init__(
        self, whole: Lines, which: slice, motion: Motion | None = None
    ) -> None:
        motion = whole.motion.part(which) if motion is None else motion
        super().__init__(motion, whole.laws, whole.hanging, whole.rows)
        self.whole = whole
        self._which = which

    def cut(self, values: Positions) -> Positions:
        """Return of an array over all positions those at these; a number stays."""
        over = isinstance(values, np.ndarray) and values.ndim and values.shape[-1] > 1
        return values[..., self._which] if over else values

    @cached_property
    def first(self) -> Mapping[str, Positions]:
        """By shaft: turn a metre of pad gives, dq/ds. [rad/m]."""
        return {name: self.cut(a) for name, a in self.whole.first.items()}

    @cached_property
    def springs(self) -> Mapping[str, SpringLine]:
        """By spring, in the layout's order."""
        return {
            name: SpringLine(
                law=line.law,
                shaft=line.shaft,
                load=self.cut(line.load),
                torque=self.cut(line.torque),
                length=self.cut(line.length),
                arm=self.cut(line.arm),
                force=self.cut(line.force),
            )
            for name, line in self.whole.springs.items()
        }

    @cached_property
    def shape(self) -> tuple[int, ...]:
        """Shape of all that is told over positions, (n,) or (rows, n)."""
        return (*self.whole.shape[:-1], self.motion.pad_travel.shape[-1])

    @cached_property
    def spring_work(self) -> Mapping[str, Positions]:
        """By spring: its torque as felt at the pad, positive opening. [N]."""
        return {name: self.cut(a) for name, a in self.whole.spring_work.items()}

    @cached_property
    def weight_work(self) -> Mapping[str, Positions]:
        """By shaft: torque of its weight as felt at the pad, where it has any. [N]."""
        return {name: self.cut(a) for name, a in self.whole.weight_work.items()}


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
