"""The parts of a linkage as frozen data, checked when made.

A linkage is *shafts* (pedal, cross shaft, bell crank, spindle), each with
*arms*; *rods* that join two arms; springs, stops and limits. Everything is in
SI and radians, in vehicle axes (ISO 8855). Every number is a float, or a column
of shape (rows, 1) where the rows of a batch differ in it (`model.columns`); an
impossible value in any row is refused.

Not here: pedal, throttles and stops (`ends`), springs (`spring`), how the parts
hang together (`model`, `tree`), reading a file (`config`).
"""

from __future__ import annotations

import math
from dataclasses import field
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from linkage.errors import LayoutError
from linkage.model.axes import Axis, Vector, add
from linkage.model.columns import Number, cosine, is_column, sine, some
from linkage.model.frozen import FrozenDict
from linkage.model.valid import finite, positive
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

Joint = Literal["ball", "ball with clip", "rod end", "clevis"]
#: What a rod can do that does not do both: a chain, a wire or an open hook only
#: pulls, a finger or a push rod in a cup only pushes.
OneWay = Literal["", "pull", "push"]

#: Lean a joint allows, either way. Ball: DIN 71802, 18°, 15° with a safety
#: clip. Rod end: ISO 12240-4 (K), about 13°, from memory. Clevis: 3° sideways,
#: common practice, no source.
JOINT_TILT: Final[dict[str, float]] = {
    "ball": math.radians(18),
    "ball with clip": math.radians(15),
    "rod end": math.radians(13),
    "clevis": math.radians(3),
}


#: Bearings nearer to each other than this are one place. [m]
LEAST_SPREAD: Final = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Arm:
    """A lever on a shaft, from the pivot to one hole.

    Parameters
    ----------
    name : str
        Unique on its shaft.
    length : float
        Radius of the hole from the shaft's centre line. [m]
    angle : float
        Direction at rest, from u towards v, anticlockwise positive for the
        viewer of the shaft's axis. [rad]
    offset : float
        Place along the shaft from the pivot, positive toward the viewer. [m]
    mass : float
        Mass of the lever, taken at half its length; 0 where it is not given. [kg]
    fixed : bool
        Bought, or not to be touched: nothing of it is to be changed.
    clocking : {"free", "fixed"}
        ``fixed``: it may not be turned on its shaft, as a lever that belongs to
        the carburettor.
    """

    name: str
    length: Number
    angle: Number
    offset: Number = 0.0
    mass: Number = 0.0
    fixed: bool = False
    clocking: Literal["free", "fixed"] = "free"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shaft:
    """A part that turns about a fixed pivot.

    Parameters
    ----------
    name : str
        Unique in the layout.
    pivot : tuple of 3 floats
        A point on the centre line, in vehicle axes. [m]
    axis : Axis
        Its direction and viewer.
    arms : mapping of str to Arm
        At least one.
    bearing : float
        Diameter of the bearing or pin that carries it; 0 where not given. [m]
    bearings : pair of float, optional
        Places along the shaft, from the pivot toward the viewer, at which it is
        carried; None where they are to be assumed. [m]
    friction : float, optional
        Coefficient of friction in its bearing; None takes the layout's.
    drag : float, optional
        Friction torque that no load changes, as of seals and felts: half of
        what turns it less what lets it back, rods and springs off. None where it
        was not measured. [N·m]
    inertia : float
        Moment of inertia about its axis; 0 where it is to be estimated. [kg·m²]
    fixed : bool
        Bought, or not to be touched: neither where it stands nor its arms are to
        be changed.
    """

    name: str
    pivot: Vector
    axis: Axis
    arms: Mapping[str, Arm]
    bearing: Number = 0.0
    bearings: tuple[Number, Number] | None = None
    friction: Number | None = None
    drag: Number | None = field(default=None, metadata={"none": math.nan})
    inertia: Number = 0.0
    fixed: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "arms", FrozenDict.of(self.arms))
        where = ("shafts", self.name)
        finite(self.pivot, "a pivot", (*where, "pivot"))
        for arm in self.arms.values():
            key = (*where, "arms", arm.name)
            positive(arm.length, f"the length of arm `{arm.name}`", (*key, "length"))
            finite((arm.angle,), "an angle", (*key, "angle"))
            finite((arm.offset,), "an offset", (*key, "offset"))
        if self.bearings is not None:
            one, two = self.bearings
            finite(self.bearings, "the place of a bearing", (*where, "bearings"))
            if some(abs(two - one) < LEAST_SPREAD):
                msg = f"the two bearings of shaft `{self.name}` are in one place"
                hint = (
                    "give the two ends at which it is carried, along the shaft from the "
                    "pivot; leave `bearings` out where they are not known"
                )
                raise LayoutError(msg, hint=hint, key=(*where, "bearings"))

    def centre(self, arm: str) -> Vector:
        """Return the point on the centre line about which an arm turns. [m]."""
        return add(self.pivot, self.axis.n, self.arms[arm].offset)

    def pin(self, arm: str, turn: Number = 0.0) -> Vector:
        """Return the centre of an arm's hole.

        Parameters
        ----------
        arm : str
            Name of the arm.
        turn : float, column or array over positions
            Turn of the shaft from rest, anticlockwise positive. [rad]

        Returns
        -------
        tuple of 3 floats, columns or arrays over positions
            In vehicle axes. [m]
        """
        a = self.arms[arm]
        angle = a.angle + turn
        centre = self.centre(arm)
        in_plane = add(
            add((0.0, 0.0, 0.0), self.axis.u, a.length * cosine(angle)),
            self.axis.v,
            a.length * sine(angle),
        )
        return add(centre, in_plane)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One hole of one arm: where a rod or a spring is joined.

    >>> str(Hole(shaft="spindle", arm="lever"))
    'spindle.lever'
    """

    shaft: str
    arm: str

    def __str__(self) -> str:
        return f"{self.shaft}.{self.arm}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rod:
    """A straight rod with a joint at each end.

    Parameters
    ----------
    name : str
        Unique in the layout.
    start, end : Hole
        The two holes it joins, in the file's order (``from`` and ``to``).
    length : float, optional
        Centre to centre; None means cut to fit the rest position, as nan does in
        a column. [m]
    joints : pair of str
        Kind of joint at start and end; keys of `JOINT_TILT`.
    play : float
        Lost motion of both joints together, along the rod. [m]
    diameter : float
        Outer diameter; 0 where it is not given. [m]
    bore : float
        Inner diameter of a tube; 0 for a solid rod. [m]
    material : str
        ``steel`` or ``aluminium``.
    mass : float
        0 where it is not given. [kg]
    joint_diameter : float
        Of the balls or pins of its joints; 0 where it is not given. [m]
    joint_friction : float, optional
        Coefficient of friction in them; None where it is not given.
    fixed : bool
        Bought, or not to be touched: neither its length nor its make is to be
        changed.
    slot : float
        Way of the pin in a slot at one end, from end to end; 0 where there is none.
        The length is then that at which the rod drives. [m]
    slot_at : {"end", "start"}
        At which of its two holes the slot is.
    only : {"", "pull", "push"}
        What alone it can do; the other way it lets go however far.
    lost : float
        Way that the pin goes at rest before it drives, where no length is given. [m]
    """

    name: str
    start: Hole
    end: Hole
    length: Number | None = field(default=None, metadata={"none": math.nan})
    joints: tuple[Joint, Joint] = ("ball", "ball")
    play: Number = 0.0
    diameter: Number = 0.0
    bore: Number = 0.0
    material: Literal["steel", "aluminium"] = "steel"
    mass: Number = 0.0
    joint_diameter: Number = 0.0
    joint_friction: Number | None = None
    fixed: bool = False
    slot: Number = 0.0
    slot_at: Literal["end", "start"] = "end"
    only: OneWay = ""
    lost: Number = 0.0

    @property
    def loose(self) -> bool:
        """Whether it carries one way only, and lets go the other way."""
        return bool(self.only) or some(self.slot > 0)

    def __post_init__(self) -> None:
        key = ("rods", self.name)
        _loose(self, key)
        if self.length is not None:
            given = self.length
            if is_column(given):
                given = np.where(np.isnan(given), 1.0, given)
            positive(given, "a rod's length", (*key, "length"))
        if some((self.bore > 0) & (self.bore >= self.diameter)):
            msg = "the bore of a tube must be less than its diameter"
            raise LayoutError(
                msg, hint="swap them, or leave `bore` out", key=(*key, "bore")
            )


def _loose(rod: Rod, key: tuple[str, ...]) -> None:
    """Refuse a slot that cannot be."""
    if some(rod.slot > 0) and rod.only:
        msg = f"rod `{rod.name}` has a slot and can only {rod.only}"
        hint = (
            "a slot has two ends, and both carry: take `only` out; a hook, a chain or a "
            "wire has none: take `slot` out"
        )
        raise LayoutError(msg, hint=hint, key=(*key, "only"))
    if some(rod.lost > 0) and not rod.loose:
        msg = f"rod `{rod.name}` loses no motion: it has no slot and goes both ways"
        hint = "give the `slot`, or what it can do `only`; play of joints is `play`"
        raise LayoutError(msg, hint=hint, key=(*key, "lost"))
    if some((rod.slot > 0) & (rod.lost > rod.slot)):
        msg = f"the motion lost in rod `{rod.name}` is more than its slot is long"
        hint = "at rest the pin stands in the slot: give the way to the end that drives"
        raise LayoutError(msg, hint=hint, key=(*key, "lost"))
    if rod.length is not None and some(rod.slot >= rod.length):
        msg = f"the slot of rod `{rod.name}` is as long as the rod, or longer"
        hint = (
            "`slot` is the free way of the pin from end to end, `length` from the other "
            "hole to the pin where it drives"
        )
        raise LayoutError(msg, hint=hint, key=(*key, "slot"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """What rocks with the engine, and how far.

    Parameters
    ----------
    carries : tuple of str
        Shafts that are fixed to the engine.
    roll : float
        Turn of the engine either way. [rad]
    about : tuple of 3 floats
        A point on the roll axis. [m]
    axis : Axis
        Direction of the roll axis.
    lift : float
        Way the engine rises or sinks if a mount lets go. [m]
    """

    carries: tuple[str, ...] = ()
    roll: Number = 0.0
    about: Vector = (0.0, 0.0, 0.0)
    axis: Axis | None = None
    lift: Number = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle:
    """The whole vehicle; None where a number is not given.

    Parameters
    ----------
    mass : float, optional
        Gross mass. [kg]
    temperature : float, optional
        Coldest ambient. [°C]
    """

    mass: Number | None = None
    temperature: Number | None = None
