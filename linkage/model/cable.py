"""Cables: a wire in a sheath, and where it leaves that.

Not here: rods (`rod`), the drums that a wire lies on (`rim`), how a cable moves
(`connect.cable`), what its sheath costs (`forces.sheath`).
"""

from __future__ import annotations

import math
from dataclasses import field, replace
from itertools import pairwise
from typing import ClassVar, Literal

from linkage.model.axes import Vector, add, norm
from linkage.model.columns import Number, pick
from linkage.model.rod import Joint, Rod
from linkage.model.valid import finite
from linkage.records import dataclass

#: Diameter of a wire that is not given; common practice, no source. [m]
WIRE = 0.0015


@dataclass(frozen=True, slots=True, kw_only=True)
class SheathEnd:
    """Where a wire leaves its sheath.

    Parameters
    ----------
    point : tuple of 3 floats
        In vehicle axes, engine at rest. [m]
    on : {"body", "engine"}
        What holds it there.
    """

    point: Vector
    on: Literal["body", "engine"] = "body"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cable(Rod):
    """A wire in a sheath, from one arm to another; it only pulls, if not told else.

    Its `length` is the wire that is free: from nipple to nipple, less the sheath. None
    has it set by its adjuster so that `lost` of it hangs loose at rest.

    Parameters
    ----------
    name, start, end, length, lost, play, mass, fixed : as of `Rod`
        The play is what a push-pull cable loses when it turns back.
    only : {"", "pull"}
        Empty of a push-pull cable.
    joints : pair of str
        ``nipple`` at both ends.
    joint_diameter, joint_friction : float
        Of the nipples that turn in its arms. [m]
    diameter, bore, material, slot, slot_at : as of `Rod`
        Not used: a cable is no bar.
    over_travel, over_travel_load, over_travel_rate : float
        Not used.
    ends : pair of SheathEnd
        Where the wire leaves its sheath near `start` and near `end`.
    through : tuple of tuple of 3 floats
        Points that the sheath goes through from the one to the other. [m]
    bend : float, optional
        All its bends together, where they are not to be taken from the points;
        the first and last bend, into the free wire, included. [rad]
    sheath_friction : float, optional
        Coefficient of friction of the wire in it; None where it is not given.
    sheath_length : float, optional
        Of the sheath between both its ends; None takes the way through the points.
        [m]
    wire : float
        Diameter of the wire; 0 where it is not given. [m]
    push_limit : float
        Push at which the inner member of a push-pull cable gives way; 0 where it is not
        known. [N]
    stroke : float
        Way that the inner member of a push-pull cable has; 0 where it is not known.
        [m]
    """

    kind: ClassVar[str] = "cable"

    joints: tuple[Joint, Joint] = ("nipple", "nipple")
    ends: tuple[SheathEnd, SheathEnd]
    through: tuple[Vector, ...] = ()
    bend: Number | None = field(default=None, metadata={"none": math.nan})
    sheath_friction: Number | None = field(default=None, metadata={"none": math.nan})
    sheath_length: Number | None = field(default=None, metadata={"none": math.nan})
    wire: Number = 0.0
    push_limit: Number = 0.0
    stroke: Number = 0.0

    def __post_init__(self) -> None:
        # The zero-argument form does not know the class that slots make anew.
        Rod.__post_init__(self)
        for end, at in zip(self.ends, ("from", "to"), strict=True):
            finite(end.point, "the end of a sheath", (*self.key, f"sheath_{at}"))
        for point in self.through:
            finite(point, "a point of a sheath", (*self.key, "sheath_through"))

    def with_end(self, i: int, end: SheathEnd) -> Cable:
        """Return the cable with its sheath ending elsewhere: 0 near `start`, 1 `end`."""
        one, two = self.ends
        return replace(self, ends=(one, end) if i else (end, two))

    @property
    def route(self) -> tuple[Vector, ...]:
        """Points of the sheath from the `start` side to the `end` side. [m]."""
        return (self.ends[0].point, *self.through, self.ends[1].point)

    @property
    def way(self) -> Number:
        """Length of the straight legs through the sheath's points. [m]."""
        route = self.route
        legs = (norm(add(b, a, -1)) for a, b in pairwise(route))
        return sum(legs, 0.0)

    @property
    def sheathed(self) -> Number:
        """Length of the sheath, given or taken from its points. [m]."""
        if self.sheath_length is None:
            return self.way
        given = self.sheath_length
        return pick(given == given, given, self.way)  # noqa: PLR0124  (nan: not given)

    @property
    def thick(self) -> Number:
        """Diameter of the wire, assumed where it is not given. [m]."""
        return pick(self.wire > 0, self.wire, WIRE)
