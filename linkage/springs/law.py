"""The force law of a spring, from whatever is known of it.

Ways to give a spring, first found is used: its rate; two measured loads at two
lengths; wire, coil, turns and material; a measured pull at idle and at full.

Not here: its numbers, looked at first (`numbers`), where the spring sits
(`place`), stresses (`stress`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from linkage.errors import LayoutError
from linkage.model.columns import Number, greater, is_column, pick
from linkage.records import dataclass
from linkage.springs import wire
from linkage.springs.numbers import (
    Marks,
    coil_of,
    given,
    material_of,
    need,
    plausible,
)

if TYPE_CHECKING:
    from linkage.model import Spring
    from linkage.model.columns import Positions

#: Turns of a compression spring that do not work: both ends squared.
SQUARED = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringLaw:
    """How a spring answers to its length, or to the turn of its shaft.

    Parameters
    ----------
    name : str
        Of the spring.
    kind : {"extension", "compression", "torsion", "measured"}
        The first two act along a line, the others about a shaft.
    rate : float or column
        [N/m], or [N·m/rad] about a shaft; nan in rows whose spring cannot be.
    initial : float or column
        Initial tension of an extension spring [N]; torque at rest of one about
        a shaft [N·m].
    free_length : float or column
        0 about a shaft. [m]
    shortest, longest : float or column
        Lengths it may work at: solid and greatest; 0 and inf where not
        known. [m]
    sense : {1, -1, 0}
        In which a spring about a shaft turns it; 0 for one along a line.
    origin : str
        In words, what the law was made from.
    """

    name: str
    kind: Literal["extension", "compression", "torsion", "measured"]
    rate: Number
    initial: Number = 0.0
    free_length: Number = 0.0
    shortest: Number = 0.0
    longest: Number = math.inf
    sense: Literal[1, -1, 0] = 0
    origin: str = ""

    @property
    def along_line(self) -> bool:
        """Whether it acts along the line from hook to anchor."""
        return self.sense == 0

    def pull(self, length: Positions) -> Positions:
        """Return the pull of a spring along a line; a push is negative.

        Parameters
        ----------
        length : ndarray, shape (n,) or (rows, n)
            Between hook and anchor. [m]

        Returns
        -------
        ndarray, shape (n,) or (rows, n)
            0 where an extension spring is slack or a compression spring is
            not touched; nan where its length is. [N]
        """
        stretch = length - self.free_length
        if self.kind == "compression":
            return self.rate * np.minimum(stretch, 0.0)
        return np.where(stretch <= 0, 0.0, self.initial + self.rate * stretch)

    def torque(self, turn: Positions) -> Positions:
        """Return the torque of a spring about a shaft.

        Parameters
        ----------
        turn : ndarray, shape (n,) or (rows, n)
            Of the shaft from rest, anticlockwise positive. [rad]

        Returns
        -------
        ndarray, shape (n,) or (rows, n)
            Anticlockwise positive; a spring never turns the other way. [N·m]
        """
        wound = self.initial - self.sense * self.rate * turn
        return self.sense * np.maximum(wound, 0.0)


def spring_law(
    spring: Spring,
    *,
    opens: int | None = None,
    swing: Number = 0.0,
    arm: Number = 0.0,
    marks: Marks | None = None,
) -> SpringLaw:
    """Return the law of a spring.

    Parameters
    ----------
    spring : Spring
        From the layout.
    opens : {1, -1}, optional
        Opening sense of the throttle on its shaft, if there is one: a spring
        about a spindle shuts it unless it says otherwise.
    swing : float or column
        Of that throttle, for a measured pull. [rad]
    arm : float or column
        Radius of the hole at which the pull was measured. [m]
    marks : Marks, optional
        Rows found to be impossible before.

    Returns
    -------
    SpringLaw
        Its rate and initial load are nan in rows whose spring cannot be.

    Raises
    ------
    LayoutError
        If a number is missing, or impossible in one layout; `key` names it.
    """
    marks = Marks(spring) if marks is None else marks
    plausible(marks)
    if spring.kind == "torsion":
        law = _torsion(marks, opens)
    elif spring.kind == "measured":
        law = _measured(marks, opens, swing, arm)
    else:
        law = _along_line(marks)
    if not is_column(marks.bad):
        return law
    return replace(law, rate=marks.over(law.rate), initial=marks.over(law.initial))


def _along_line(marks: Marks) -> SpringLaw:
    known = marks.spring.known
    if known.rate is not None:
        hint = "give `rate` and `free_length`"
        rate, free = need(marks, "rate", "free_length", hint=hint)
        tension = _or_zero(known.initial_tension)
        return _bounded(marks, rate, tension, free, "rate and free length")
    if known.load_1 is not None or known.load_2 is not None:
        return _two_loads(marks)
    return _wound_line(marks)


def _or_zero(value: Number | None) -> Number:
    return 0.0 if value is None else value


def _two_loads(marks: Marks) -> SpringLaw:
    spring, known = marks.spring, marks.spring.known
    hint = "give two loads, each with its length"
    f1, l1, f2, l2 = need(marks, "load_1", "length_1", "load_2", "length_2", hint=hint)
    side = -1.0 if spring.kind == "compression" else 1.0
    how = "shorter" if side < 0 else "longer"
    msg = f"the two loads of spring `{spring.name}` do not make a rate above zero"
    hint = f"the larger load must stand at the {how} length; measure both again"
    marks.refuse(side * (f2 - f1) * (l2 - l1) <= 0, msg, hint, "loads")
    rate = abs((f2 - f1) / (l2 - l1))
    tension = _or_zero(known.initial_tension)
    if known.free_length is None:
        free = l1 - side * (f1 - tension) / rate
    else:
        free = known.free_length
        tension = greater(f1 - side * rate * (l1 - free), 0.0)
    msg = f"the two loads of spring `{spring.name}` lead to no free length"
    hint = "give `free_length` or `initial_tension` too"
    marks.refuse(free <= 0, msg, hint, "loads")
    return _bounded(marks, rate, tension, free, "two loads at two lengths")


def _wound_line(marks: Marks) -> SpringLaw:
    spring, known = marks.spring, marks.spring.known
    d, mean, turns = coil_of(marks)
    kind = material_of(spring)
    young, shear = kind.elastic(d)
    origin = f"wire, coil and turns, {kind.name}"
    if spring.kind == "compression":
        working = turns - (SQUARED if known.end_turns is None else known.end_turns)
        msg = f"spring `{spring.name}` has no working turns"
        hint = "`turns` counts all turns, `end_turns` those at the ends, usually 2"
        marks.refuse(working <= 0, msg, hint, "turns")
        (free,) = need(marks, "free_length", hint="measure it off the linkage")
        rate = wire.coil_rate(d, mean, working, shear)
        return _bounded(marks, rate, 0.0, free, origin)
    rate = wire.coil_rate(d, mean, wire.extension_turns(turns, young, shear), shear)
    free = given(known.free_length, wire.extension_free_length(d, mean, turns))
    tension = known.initial_tension
    if tension is None:
        tension = wire.usual_initial_tension(d, mean)
        origin += ", initial tension as usually wound"
    return _bounded(marks, rate, tension, free, origin)


def _bounded(
    marks: Marks, rate: Number, tension: Number, free: Number, origin: str
) -> SpringLaw:
    """Add the lengths between which the spring may work."""
    spring, known = marks.spring, marks.spring.known
    shortest: Number = 0.0
    if spring.kind == "compression":
        d, turns = _or_zero(known.wire), _or_zero(known.turns)
        solid = pick((d > 0) & (turns > 0), wire.solid_length(d, turns), 0.0)
        shortest = given(known.solid_length, solid)
        tension = 0.0
        msg = f"spring `{spring.name}` is solid at its free length"
        hint = "give the length without load and the length with coils touching"
        marks.refuse(shortest >= free, msg, hint, "free_length")
    longest = given(known.greatest_length, math.inf)
    if spring.kind == "extension":
        msg = f"the greatest length of spring `{spring.name}` is not above its free length"
        hint = "give the longest it may be pulled without staying longer"
        marks.refuse(longest <= free, msg, hint, "greatest_length")
    return SpringLaw(
        name=spring.name,
        kind=spring.kind,
        rate=rate,
        initial=tension,
        free_length=free,
        shortest=shortest,
        longest=longest,
        origin=origin,
    )


def _sense(spring: Spring, opens: int | None) -> Literal[1, -1]:
    if spring.known.shuts:
        return spring.known.shuts
    if opens is None:
        msg = f"spring `{spring.name}` needs the sense in which it turns its shaft"
        hint = '`shuts = "clockwise"` or `"anticlockwise"`, for the viewer of its axis'
        raise LayoutError(msg, hint=hint, key=("springs", spring.name, "shuts"))
    return -1 if opens > 0 else 1


def _torsion(marks: Marks, opens: int | None) -> SpringLaw:
    spring, known = marks.spring, marks.spring.known
    sense = _sense(spring, opens)
    if known.rate is not None:
        hint = "give a torque an angle, such as N·m/deg"
        (rate,) = need(marks, "rate", hint=hint)
        origin = "rate"
    else:
        d, mean, turns = coil_of(marks)
        kind = material_of(spring)
        rate = wire.torsion_rate(d, mean, turns, kind.elastic(d)[0])
        origin = f"wire, coil and turns, {kind.name}"
    msg = f"torsion spring `{spring.name}` needs its torque at rest"
    hint = "`preload`: pull at rest times the radius it was measured at"
    marks.refuse(known.preload is None, msg, hint, "preload")
    return SpringLaw(
        name=spring.name,
        kind="torsion",
        rate=rate,
        initial=_or_zero(known.preload),
        sense=sense,
        origin=origin,
    )


def _measured(marks: Marks, opens: int | None, swing: Number, arm: Number) -> SpringLaw:
    """Return the torque that runs straight from the pull at idle to that at full."""
    spring = marks.spring
    msg = f"measured pull `{spring.name}` is not at a throttle's spindle"
    hint = (
        "measure at a hole of the carburettor's lever, or give the spring itself "
        "by its rate and free length"
    )
    marks.refuse(opens is None, msg, hint, "hook")
    hint = "pull square to the arm with a spring balance, at idle and at full"
    idle, full = need(marks, "pull_idle", "pull_full", hint=hint)
    return SpringLaw(
        name=spring.name,
        kind="measured",
        rate=(full - idle) * arm / swing,
        initial=idle * arm,
        sense=_sense(spring, opens),
        origin="pull at idle and at full, square to the arm",
    )
