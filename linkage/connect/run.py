"""Free runs: how much wire there is between the end of its sheath and an arm.

Of a bare arm, to whose hole the wire goes straight; of a drum, on which it lies from
its nipple on and leaves on the tangent. A drum from which the wire is all unwound is a
bare arm.

Turns are pairs of cosine and sine, from rest; everything broadcasts.

Not here: drums whose radius changes (`connect.snail`), both runs of one wire
(`connect.cable`), the formulas (`formulas`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final, NamedTuple, Protocol, Self

import numpy as np

from linkage import formulas
from linkage.connect.line import choose
from linkage.model.columns import pick, plain, some_rows
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect.connector import Pair
    from linkage.model import Arm, Shaft, Vector
    from linkage.model.columns import Number, Positions, Truth


class Foot(NamedTuple):
    """Where a wire leaves an arm: radius, and turn from the arm's own direction."""

    radius: Positions
    turn: Positions


class Run(Protocol):
    """The free run at one end of a wire."""

    @property
    def ok(self) -> Truth:
        """Whether the sheath ends outside the drum."""

    def length(self, turn: Pair) -> Positions:
        """Return how long it is. [m]."""

    def rates(self, turn: Pair) -> tuple[Positions, Positions]:
        """Return its first and second derivative by the turn. [m]."""

    def by_radius(self, turn: Pair) -> Positions:
        """Return its derivative by the radius of the arm."""

    def at(self, length: Positions) -> tuple[Positions, Positions, Positions]:
        """Return cosine and sine of the turn at which it is so long, and the reach."""

    def wound(self, turn: Pair) -> Positions:
        """Return the angle on which the wire lies; 0 of a bare arm. [rad]."""

    def foot(self, turn: Pair) -> Foot:
        """Return where the wire leaves the arm."""

    @property
    def most(self) -> Number:
        """The longest that it can be. [m]."""

    @property
    def least(self) -> Number:
        """The shortest that it can be, its arm turned no more than half round. [m]."""

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array."""


def placed(shaft: Shaft, arm: Arm, end: Vector) -> tuple[Number, ...]:
    """Return an arm and the end of a sheath in the order of the formulas."""
    axis = shaft.axis
    place = (*shaft.pivot, *axis.u, *axis.v, *axis.n)
    return (arm.length, arm.angle, arm.offset, *place, *end)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class BareRun:
    """The run to a hole.

    Parameters
    ----------
    arm : tuple of 3 floats or columns
        K, P and Q of `formulas.arm_coefficients`. [m²]
    radius : float or column
        Of the hole. [m]
    branch : {1, -1} or column
        1 where a pull turns the arm anticlockwise at rest.
    """

    arm: tuple[Number, Number, Number]
    radius: Number
    branch: Number

    @property
    def ok(self) -> Truth:
        """True: a hole is no drum."""
        return True

    def length(self, turn: Pair) -> Positions:
        """Return how long it is. [m]."""
        return formulas.arm_run(turn, self.arm)

    def rates(self, turn: Pair) -> tuple[Positions, Positions]:
        """Return its first and second derivative by the turn. [m]."""
        return formulas.arm_rates(turn, self.arm)

    def by_radius(self, turn: Pair) -> Positions:
        """Return its derivative by the radius of the arm."""
        return formulas.arm_by_radius(turn, self.arm, self.radius)

    def at(self, length: Positions) -> tuple[Positions, Positions, Positions]:
        """Return cosine and sine of the turn at which it is so long, and the reach."""
        cosine, sine, reach = formulas.arm_turn(length, self.arm, self.branch)
        return cosine, sine, np.minimum(reach, length / self.radius)

    def wound(self, turn: Pair) -> Positions:
        """Return 0: nothing for it to lie on."""
        return 0.0 * turn[0]

    def foot(self, turn: Pair) -> Foot:
        """Return its hole."""
        return Foot(self.radius + 0.0 * turn[0], 0.0 * turn[0])

    @property
    def most(self) -> Number:
        """The longest that it can be. [m]."""
        k, p, q = self.arm
        return np.sqrt(k + np.hypot(p, q))

    @property
    def least(self) -> Number:
        """The shortest that it can be. [m]."""
        k, p, q = self.arm
        return np.sqrt(np.maximum(k - np.hypot(p, q), 0.0))

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array."""
        return type(self)(
            arm=tuple(some_rows(c, rows) for c in self.arm),
            radius=some_rows(self.radius, rows),
            branch=some_rows(self.branch, rows),
        )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class DrumRun:
    """The run to a round drum.

    Parameters
    ----------
    bare : BareRun
        The same arm where the wire is all unwound.
    sense : {1, -1}
        In which the wire lies round it from the nipple on.
    straight : float or column
        From where the wire leaves the drum to the sheath. [m]
    rest : float or column
        Angle on which it lies at rest. [rad]
    clear : float or column
        Square of the straight part in the drum's plane; negative where the sheath ends
        within it. [m²]
    """

    bare: BareRun
    sense: int
    straight: Number
    rest: Number
    clear: Number

    @property
    def ok(self) -> Truth:
        """Whether the sheath ends outside the drum."""
        return self.clear > 0

    def _wound(self, turn: Pair) -> Positions:
        return self.rest - self.sense * np.arctan2(turn[1], turn[0])

    def length(self, turn: Pair) -> Positions:
        """Return how long it is. [m]."""
        wound, radius = self._wound(turn), self.bare.radius
        run = formulas.drum_run(self.straight, wound, radius)
        return choose(wound > 0, run, self.bare.length(turn))

    def rates(self, turn: Pair) -> tuple[Positions, Positions]:
        """Return its first and second derivative by the turn. [m]."""
        first, second = self.bare.rates(turn)
        on = self._wound(turn) > 0
        arc = -self.sense * self.bare.radius
        return choose(on, arc, first), choose(on, 0.0, second)

    def by_radius(self, turn: Pair) -> Positions:
        """Return its derivative by the radius of the drum."""
        wound, flat = self._wound(turn), np.sqrt(self.clear)
        radius = self.bare.radius
        by = formulas.drum_by_radius(self.straight, wound, radius, flat)
        return choose(wound > 0, by, self.bare.by_radius(turn))

    def at(self, length: Positions) -> tuple[Positions, Positions, Positions]:
        """Return cosine and sine of the turn at which it is so long, and the reach."""
        wound = formulas.drum_wound(self.straight, length, self.bare.radius)
        turn = self.sense * (self.rest - wound)
        cosine, sine, reach = self.bare.at(length)
        on = wound > 0
        return (
            choose(on, np.cos(turn), cosine),
            choose(on, np.sin(turn), sine),
            choose(on, 1.0, reach),
        )

    def wound(self, turn: Pair) -> Positions:
        """Return the angle on which the wire lies. [rad]."""
        return np.maximum(self._wound(turn), 0.0)

    def foot(self, turn: Pair) -> Foot:
        """Return where the wire leaves the drum."""
        wound = self.wound(turn)
        return Foot(self.bare.radius + 0.0 * wound, self.sense * wound)

    @property
    def most(self) -> Number:
        """The longest that is taken: half a turn more on it than at rest. [m]."""
        return formulas.drum_run(self.straight, self.rest + math.pi, self.bare.radius)

    @property
    def least(self) -> Number:
        """The shortest that it gets by half a turn. [m]."""
        return shortest(self, self.sense, self.bare.least)

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array."""
        return type(self)(
            bare=self.bare.take(rows),
            sense=self.sense,
            straight=some_rows(self.straight, rows),
            rest=some_rows(self.rest, rows),
            clear=some_rows(self.clear, rows),
        )


#: Angle short of the nipple from which on a wire counts as wound at rest, so that one
#: may lie on up to a whole turn less this. [rad]
BEFORE: Final = math.radians(60)


def from_nipple(turn: Number) -> Number:
    """Return a turn from the nipple on as one between -60 and 300 degrees. [rad]."""
    return (turn + BEFORE) % (2 * math.pi) - BEFORE


def shortest(run: Run, sense: int, in_line: Number) -> Number:
    """Return the shortest that a run gets by half a turn: there, or in line before. [m].

    Parameters
    ----------
    run : Run
        To a drum or snail.
    sense : {1, -1}
        In which a pull turns it.
    in_line : float or column
        How long it is where the wire, all unwound, is in line with the arm. [m]
    """
    half = (-1.0, sense * 0.0)
    shortens = sense * run.rates(half)[0] < 0
    return plain(np.where(shortens, run.length(half), in_line))


def bare_run(shaft: Shaft, arm: Arm, end: Vector) -> BareRun:
    """Return the run from the end of a sheath straight to a hole."""
    k, p, q = formulas.arm_coefficients(*placed(shaft, arm, end))
    # At rest the run gets less with the turn where Q is positive.
    branch = arm.wound or pick(q > 0, 1, -1)
    return BareRun(arm=(k, p, q), radius=arm.length, branch=branch)


def drum_run(shaft: Shaft, arm: Arm, end: Vector) -> DrumRun:
    """Return the run from the end of a sheath to a round drum."""
    sense = arm.wound
    straight, leaves, clear = formulas.drum_at_rest(*placed(shaft, arm, end), sense)
    return DrumRun(
        bare=bare_run(shaft, arm, end),
        sense=sense,
        straight=straight,
        rest=from_nipple(sense * leaves),
        clear=clear,
    )
