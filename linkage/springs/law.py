"""The force law of a spring, from whatever is known of it.

Ways to give a spring, first found is used: its rate; two measured loads at two
lengths; wire, coil, turns and material; a measured pull at idle and at full.

Not here: where the spring sits (`place`), stresses (`stress`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from linkage.errors import LayoutError
from linkage.springs import wire
from linkage.springs.materials import Wire, wire_named

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from linkage.model import Spring

    FloatArray = NDArray[np.float64]

#: Least index a coil may have; below it the wire cannot be wound (EN 13906-1
#: gives 4 to 20, Shigley 4 to 12, both from memory; 3 is the hard floor).
LEAST_INDEX = 3.0
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
    rate : float
        [N/m], or [N·m/rad] about a shaft.
    initial : float
        Initial tension of an extension spring [N]; torque at rest of one about
        a shaft [N·m].
    free_length : float
        0 about a shaft. [m]
    shortest, longest : float
        Lengths it may work at: solid and greatest; 0 and inf where not
        known. [m]
    sense : {1, -1, 0}
        In which a spring about a shaft turns it; 0 for one along a line.
    origin : str
        In words, what the law was made from.
    """

    name: str
    kind: Literal["extension", "compression", "torsion", "measured"]
    rate: float
    initial: float = 0.0
    free_length: float = 0.0
    shortest: float = 0.0
    longest: float = math.inf
    sense: Literal[1, -1, 0] = 0
    origin: str = ""

    @property
    def along_line(self) -> bool:
        """Whether it acts along the line from hook to anchor."""
        return self.sense == 0

    def pull(self, length: FloatArray) -> FloatArray:
        """Return the pull of a spring along a line; a push is negative.

        Parameters
        ----------
        length : ndarray, shape (n,)
            Between hook and anchor. [m]

        Returns
        -------
        ndarray, shape (n,)
            0 where an extension spring is slack or a compression spring is
            not touched. [N]
        """
        stretch = length - self.free_length
        if self.kind == "compression":
            return self.rate * np.minimum(stretch, 0.0)
        return np.where(stretch > 0, self.initial + self.rate * stretch, 0.0)

    def torque(self, turn: FloatArray) -> FloatArray:
        """Return the torque of a spring about a shaft.

        Parameters
        ----------
        turn : ndarray, shape (n,)
            Of the shaft from rest, anticlockwise positive. [rad]

        Returns
        -------
        ndarray, shape (n,)
            Anticlockwise positive; a spring never turns the other way. [N·m]
        """
        wound = self.initial - self.sense * self.rate * turn
        return self.sense * np.maximum(wound, 0.0)


def spring_law(
    spring: Spring, *, opens: int | None = None, swing: float = 0.0, arm: float = 0.0
) -> SpringLaw:
    """Return the law of a spring.

    Parameters
    ----------
    spring : Spring
        From the layout.
    opens : {1, -1}, optional
        Opening sense of the throttle on its shaft, if there is one: a spring
        about a spindle shuts it unless it says otherwise.
    swing : float
        Of that throttle, for a measured pull. [rad]
    arm : float
        Radius of the hole at which the pull was measured. [m]

    Returns
    -------
    SpringLaw

    Raises
    ------
    LayoutError
        If a number is missing or impossible; `key` names it.
    """
    for field, value in spring.data.items():
        least = -1.0 if field == "shuts" else 0.0
        if not math.isfinite(value) or value < least:
            msg = f"the {field.replace('_', ' ')} of spring `{spring.name}` is negative"
            hint = "measure it again; a return spring has no negative numbers"
            raise LayoutError(msg, hint=hint, key=("springs", spring.name, field))
    if spring.kind == "torsion":
        return _torsion(spring, opens)
    if spring.kind == "measured":
        return _measured(spring, opens, swing, arm)
    return _along_line(spring)


def need(spring: Spring, *fields: str, hint: str) -> tuple[float, ...]:
    """Return numbers of a spring that must be there and above zero."""
    for field in fields:
        if not spring.data.get(field, 0.0) > 0:
            word = field.replace("_", " ")
            msg = f"spring `{spring.name}` needs its {word}, more than zero"
            raise LayoutError(msg, hint=hint, key=("springs", spring.name, field))
    return tuple(spring.data[field] for field in fields)


def coil_of(spring: Spring) -> tuple[float, float, float]:
    """Return wire diameter, mean coil diameter and turns, checked.

    Raises
    ------
    LayoutError
        If the wire is thicker than the coil or the index is under 3.
    """
    d, outside, turns = need(
        spring,
        "wire",
        "coil",
        "turns",
        hint="give `rate` and `free_length`, or `loads`, or `wire`, `coil` (outside "
        "diameter), `turns` and `material`",
    )
    key = ("springs", spring.name, "wire")
    if d >= outside:
        msg = f"the wire of spring `{spring.name}` is thicker than its coil"
        hint = "`coil` is the outside diameter of the coils; are the two exchanged?"
        raise LayoutError(msg, hint=hint, key=key)
    index = (outside - d) / d
    if index < LEAST_INDEX:
        msg = f"the index of spring `{spring.name}` is {index:.2f}, under 3"
        hint = (
            "the index is mean coil diameter over wire diameter, usually 4 to 12; "
            "measure wire and outside diameter again"
        )
        raise LayoutError(msg, hint=hint, key=key)
    return d, outside - d, turns


def _along_line(spring: Spring) -> SpringLaw:
    if "rate" in spring.data:
        hint = "give `rate` and `free_length`"
        rate, free = need(spring, "rate", "free_length", hint=hint)
        return _bounded(
            spring,
            rate,
            spring.data.get("initial_tension", 0.0),
            free,
            "rate and free length",
        )
    if "load_1" in spring.data or "load_2" in spring.data:
        return _two_loads(spring)
    return _wound_line(spring)


def _two_loads(spring: Spring) -> SpringLaw:
    hint = "give two loads, each with its length"
    f1, l1, f2, l2 = need(spring, "load_1", "length_1", "load_2", "length_2", hint=hint)
    side = -1.0 if spring.kind == "compression" else 1.0
    if side * (f2 - f1) * (l2 - l1) <= 0:
        how = "shorter" if side < 0 else "longer"
        msg = f"the two loads of spring `{spring.name}` do not make a rate above zero"
        hint = f"the larger load must stand at the {how} length; measure both again"
        raise LayoutError(msg, hint=hint, key=("springs", spring.name, "loads"))
    rate = abs((f2 - f1) / (l2 - l1))
    tension = spring.data.get("initial_tension", 0.0)
    free = spring.data.get("free_length")
    if free is None:
        free = l1 - side * (f1 - tension) / rate
    else:
        tension = max(f1 - side * rate * (l1 - free), 0.0)
    if free <= 0:
        msg = f"the two loads of spring `{spring.name}` lead to no free length"
        hint = "give `free_length` or `initial_tension` too"
        raise LayoutError(msg, hint=hint, key=("springs", spring.name, "loads"))
    return _bounded(spring, rate, tension, free, "two loads at two lengths")


def _wound_line(spring: Spring) -> SpringLaw:
    d, mean, turns = coil_of(spring)
    kind = material_of(spring)
    young, shear = kind.elastic(d)
    origin = f"wire, coil and turns, {kind.name}"
    if spring.kind == "compression":
        working = turns - spring.data.get("end_turns", SQUARED)
        if working <= 0:
            msg = f"spring `{spring.name}` has no working turns"
            hint = "`turns` counts all turns, `end_turns` those at the ends, usually 2"
            raise LayoutError(msg, hint=hint, key=("springs", spring.name, "turns"))
        hint = "measure it off the linkage"
        (free,) = need(spring, "free_length", hint=hint)
        rate = wire.coil_rate(d, mean, working, shear)
        return _bounded(spring, rate, 0.0, free, origin)
    rate = wire.coil_rate(d, mean, wire.extension_turns(turns, young, shear), shear)
    free = spring.data.get("free_length") or wire.extension_free_length(d, mean, turns)
    tension = spring.data.get("initial_tension")
    if tension is None:
        tension = wire.usual_initial_tension(d, mean)
        origin += ", initial tension as usually wound"
    return _bounded(spring, rate, tension, free, origin)


def _bounded(
    spring: Spring, rate: float, tension: float, free: float, origin: str
) -> SpringLaw:
    """Add the lengths between which the spring may work."""
    shortest = 0.0
    if spring.kind == "compression":
        shortest = spring.data.get("solid_length", 0.0)
        if not shortest and spring.data.get("wire") and spring.data.get("turns"):
            shortest = wire.solid_length(spring.data["wire"], spring.data["turns"])
        tension = 0.0
        if shortest >= free:
            msg = f"spring `{spring.name}` is solid at its free length"
            hint = "give the length without load and the length with coils touching"
            raise LayoutError(
                msg, hint=hint, key=("springs", spring.name, "free_length")
            )
    longest = spring.data.get("greatest_length") or math.inf
    if spring.kind == "extension" and longest <= free:
        msg = f"the greatest length of spring `{spring.name}` is not above its free length"
        hint = "give the longest it may be pulled without staying longer"
        raise LayoutError(
            msg, hint=hint, key=("springs", spring.name, "greatest_length")
        )
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


def material_of(spring: Spring) -> Wire:
    """Return the wire a spring is made of; an error if it is not known."""
    key = ("springs", spring.name, "material")
    if not spring.material:
        msg = f"spring `{spring.name}` needs its material"
        hint = "such as `music wire A228` or `EN 10270-1 SM`; or give its `rate`"
        raise LayoutError(msg, hint=hint, key=key)
    return wire_named(spring.material, key=key)


def _sense(spring: Spring, opens: int | None) -> Literal[1, -1]:
    stated = spring.data.get("shuts", 0.0)
    if stated:
        return 1 if stated > 0 else -1
    if opens is None:
        msg = f"spring `{spring.name}` needs the sense in which it turns its shaft"
        hint = '`shuts = "clockwise"` or `"anticlockwise"`, for the viewer of its axis'
        raise LayoutError(msg, hint=hint, key=("springs", spring.name, "shuts"))
    return -1 if opens > 0 else 1


def _torsion(spring: Spring, opens: int | None) -> SpringLaw:
    sense = _sense(spring, opens)
    if "rate" in spring.data:
        (rate,) = need(spring, "rate", hint="give a torque an angle, such as N·m/deg")
        origin = "rate"
    else:
        d, mean, turns = coil_of(spring)
        kind = material_of(spring)
        rate = wire.torsion_rate(d, mean, turns, kind.elastic(d)[0])
        origin = f"wire, coil and turns, {kind.name}"
    if "preload" not in spring.data:
        msg = f"torsion spring `{spring.name}` needs its torque at rest"
        hint = "`preload`: pull at rest times the radius it was measured at"
        raise LayoutError(msg, hint=hint, key=("springs", spring.name, "preload"))
    return SpringLaw(
        name=spring.name,
        kind="torsion",
        rate=rate,
        initial=spring.data["preload"],
        sense=sense,
        origin=origin,
    )


def _measured(spring: Spring, opens: int | None, swing: float, arm: float) -> SpringLaw:
    """Return the torque that runs straight from the pull at idle to that at full."""
    if opens is None:
        msg = f"measured pull `{spring.name}` is not at a throttle's spindle"
        hint = (
            "measure at a hole of the carburettor's lever, or give the spring itself "
            "by its rate and free length"
        )
        raise LayoutError(msg, hint=hint, key=("springs", spring.name, "hook"))
    hint = "pull square to the arm with a spring balance, at idle and at full"
    idle, full = need(spring, "pull_idle", "pull_full", hint=hint)
    return SpringLaw(
        name=spring.name,
        kind="measured",
        rate=(full - idle) * arm / swing,
        initial=idle * arm,
        sense=_sense(spring, opens),
        origin="pull at idle and at full, square to the arm",
    )
