"""The parts of a linkage as frozen data, checked when made.

A linkage is *shafts* (pedal, cross shaft, bell crank, spindle), each with
*arms*; *rods* that join two arms; springs, stops and limits. Everything is in
SI and radians, in vehicle axes (ISO 8855). Every number is a float, or a column
of shape (rows, 1) where the rows of a batch differ in it (`model.columns`); an
impossible value in any row is refused.

Not here: rods (`rod`), pedal, throttles and stops (`ends`), springs (`spring`), how the
parts hang together (`model`, `tree`), reading a file (`config`).
"""

from __future__ import annotations

import math
from dataclasses import field, replace
from typing import TYPE_CHECKING, ClassVar, Final, Literal

from linkage.errors import LayoutError
from linkage.model.axes import Axis, Vector, add, cross
from linkage.model.columns import Number, cosine, every, sine, some
from linkage.model.frozen import FrozenDict
from linkage.model.rim import rim_known
from linkage.model.valid import finite, positive
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

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
    wound : {0, 1, -1}
        Of a drum, quadrant or snail, whose radius at the nipple `length` is: sense in
        which the wire lies round it from the nipple on, 1 anticlockwise for the
        viewer; so a pull turns it that way. 0: a bare arm.
    rim : tuple of pair of float
        Of one that is no circle: turn round it from the nipple on [rad], and its radius
        there [m], the nipple's first; `length` scales them all. Empty: a circle.
    """

    name: str
    length: Number
    angle: Number
    offset: Number = 0.0
    mass: Number = 0.0
    fixed: bool = False
    clocking: Literal["free", "fixed"] = "free"
    wound: Literal[0, 1, -1] = 0
    rim: tuple[tuple[float, float], ...] = ()

    @property
    def called(self) -> str:
        """What it is, in a word."""
        if not self.wound:
            return "arm"
        return "snail" if self.rim else "drum"

    @property
    def profile(self) -> tuple[tuple[float, Number], ...]:
        """Its rim as large as `length` makes it: turn [rad], and radius there [m]."""
        by = self.length / self.rim[0][1] if self.rim else 1.0
        if every(by == 1):
            return self.rim
        return tuple((turn, radius * by) for turn, radius in self.rim)


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
    play : float
        Of its pin in its bush, from side to side. [m]
    """

    #: Whether it goes along its axis instead of turning round it (`model.slide`).
    slides: ClassVar[bool] = False
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
    play: Number = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "arms", FrozenDict.of(self.arms))
        finite((self.play,), "the play of a bush", (*self.key, "play"))
        where = self.key
        finite(self.pivot, "a pivot", (*where, "pivot"))
        for arm in self.arms.values():
            self._arm_known(arm, self.arm_key(arm.name))
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

    def _arm_known(self, arm: Arm, key: tuple[str, ...]) -> None:
        """Refuse an arm that could not be."""
        positive(arm.length, f"the length of arm `{arm.name}`", (*key, "length"))
        finite((arm.angle,), "an angle", (*key, "angle"))
        finite((arm.offset,), "an offset", (*key, "offset"))
        rim_known(arm, key)

    @property
    def kind(self) -> str:
        """What it is, in a word."""
        return "slide" if self.slides else "shaft"

    @property
    def called(self) -> str:
        """What it is, and its name, for words."""
        return f"{self.kind} `{self.name}`"

    @property
    def key(self) -> tuple[str, ...]:
        """Where it stands in the layout file."""
        return (f"{self.kind}s", self.name)

    @property
    def viewed(self) -> Axis:
        """From where it is looked at: its axis, of a slide that of its pins."""
        return self.axis

    @property
    def across(self) -> Vector:
        """Unit vector square to all ways of its holes: along it, of a slide its pins."""
        return self.axis.n

    def arm_key(self, arm: str) -> tuple[str, ...]:
        """Return where one of its arms stands in the layout file."""
        return (*self.key, "pins" if self.slides else "arms", arm)

    def with_arm(self, arm: Arm) -> Shaft:
        """Return the shaft with an arm in place of the one of its name, or added."""
        return replace(self, arms={**self.arms, arm.name: arm})

    def moved(self, turn: Number) -> Shaft:
        """Return the shaft with all its arms turned, anticlockwise positive. [rad]."""
        arms = {n: replace(a, angle=a.angle + turn) for n, a in self.arms.items()}
        return replace(self, arms=arms)

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

    def ahead(self, arm: str, turn: Number = 0.0) -> Vector:
        """Return the way in which an arm's hole goes a radian, anticlockwise. [m]."""
        out = add(self.pin(arm, turn), self.centre(arm), -1)
        return cross(self.axis.n, out)

    def lever(self, arm: str) -> Number:
        """Return how far an arm's hole goes a radian: the arm's length. [m]."""
        return self.arms[arm].length


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
