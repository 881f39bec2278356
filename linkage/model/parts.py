"""The parts of a linkage as frozen data, checked when made.

A linkage is *shafts* (pedal, cross shaft, bell crank, spindle), each with
*arms*; *rods* that join two arms; springs, stops and limits. Everything is in
SI and radians, in vehicle axes (ISO 8855).

Not here: how the parts hang together (`layout.model`), reading a file (`config`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final, Literal

from linkage.errors import LayoutError
from linkage.model.axes import Axis, Vector, add

if TYPE_CHECKING:
    from collections.abc import Mapping

Joint = Literal["ball", "ball with clip", "rod end", "clevis"]

#: Lean a joint allows, either way. Ball: DIN 71802, 18°, 15° with a safety
#: clip. Rod end: ISO 12240-4 (K), about 13°, from memory. Clevis: 3° sideways,
#: common practice, no source.
JOINT_TILT: Final[dict[str, float]] = {
    "ball": math.radians(18),
    "ball with clip": math.radians(15),
    "rod end": math.radians(13),
    "clevis": math.radians(3),
}


def positive(value: float, what: str, key: tuple[str, ...]) -> None:
    """Refuse a value that is not a finite number above zero."""
    if not math.isfinite(value) or value <= 0:
        msg = f"{what} must be more than zero"
        raise LayoutError(msg, hint="measure it again, centre to centre", key=key)


def finite(values: tuple[float, ...], what: str, key: tuple[str, ...]) -> None:
    """Refuse numbers that are not finite."""
    if not all(math.isfinite(v) for v in values):
        msg = f"{what} must be finite"
        raise LayoutError(msg, hint="write a plain decimal number", key=key)


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
    """

    name: str
    length: float
    angle: float
    offset: float = 0.0
    mass: float = 0.0


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
    friction : float, optional
        Coefficient of friction in its bearing; None takes the layout's.
    drag : float
        Friction torque that no load changes, as of seals and felts: half of
        what turns it less what lets it back, springs off. [N·m]
    inertia : float
        Moment of inertia about its axis; 0 where it is to be estimated. [kg·m²]
    """

    name: str
    pivot: Vector
    axis: Axis
    arms: Mapping[str, Arm]
    bearing: float = 0.0
    friction: float | None = None
    drag: float = 0.0
    inertia: float = 0.0

    def __post_init__(self) -> None:
        where = ("shafts", self.name)
        finite(self.pivot, "a pivot", (*where, "pivot"))
        for arm in self.arms.values():
            key = (*where, "arms", arm.name)
            positive(arm.length, f"the length of arm `{arm.name}`", (*key, "length"))
            finite((arm.angle,), "an angle", (*key, "angle"))
            finite((arm.offset,), "an offset", (*key, "offset"))

    def centre(self, arm: str) -> Vector:
        """Return the point on the centre line about which an arm turns. [m]."""
        return add(self.pivot, self.axis.n, self.arms[arm].offset)

    def pin(self, arm: str, turn: float = 0.0) -> Vector:
        """Return the centre of an arm's hole.

        Parameters
        ----------
        arm : str
            Name of the arm.
        turn : float
            Turn of the shaft from rest, anticlockwise positive. [rad]

        Returns
        -------
        tuple of 3 floats
            In vehicle axes. [m]
        """
        a = self.arms[arm]
        angle = a.angle + turn
        centre = self.centre(arm)
        in_plane = add(
            add((0.0, 0.0, 0.0), self.axis.u, a.length * math.cos(angle)),
            self.axis.v,
            a.length * math.sin(angle),
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
        Centre to centre; None means cut to fit the rest position. [m]
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
    """

    name: str
    start: Hole
    end: Hole
    length: float | None = None
    joints: tuple[Joint, Joint] = ("ball", "ball")
    play: float = 0.0
    diameter: float = 0.0
    bore: float = 0.0
    material: Literal["steel", "aluminium"] = "steel"
    mass: float = 0.0

    def __post_init__(self) -> None:
        key = ("rods", self.name)
        if self.length is not None:
            positive(self.length, "a rod's length", (*key, "length"))
        if self.bore > 0 and self.bore >= self.diameter:
            msg = "the bore of a tube must be less than its diameter"
            raise LayoutError(
                msg, hint="swap them, or leave `bore` out", key=(*key, "bore")
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pedal:
    """The driver's pedal.

    Parameters
    ----------
    shaft, pad : str
        The pedal's shaft, and the arm that carries the pad.
    travel : float
        Way of the pad along its arc from rest to the floor. [m]
    presses : {1, -1}
        Sense in which pressing turns the shaft: 1 anticlockwise, -1 clockwise,
        for the viewer of its axis.
    stop : float, optional
        Pad travel at which a pedal stop takes the foot, if one is fitted. [m]
    free_play : float
        Pad travel before anything moves. [m]
    """

    shaft: str
    pad: str
    travel: float
    presses: Literal[1, -1]
    stop: float | None = None
    free_play: float = 0.0

    def __post_init__(self) -> None:
        positive(self.travel, "the pedal's travel", ("pedal", "travel"))
        if self.stop is not None:
            positive(self.stop, "the pedal stop", ("pedal", "stop"))
        if not 0 <= self.free_play < self.travel:
            msg = "the pedal's free play must be less than its travel"
            raise LayoutError(
                msg,
                hint="give the play alone, not the whole travel",
                key=("pedal", "free_play"),
            )

    @property
    def end(self) -> float:
        """Pad travel at which the pedal itself is stopped. [m]."""
        return self.travel if self.stop is None else min(self.stop, self.travel)

    @property
    def end_name(self) -> Literal["floor", "pedal stop"]:
        """What stops the pedal itself."""
        met = self.stop is not None and self.stop <= self.travel
        return "pedal stop" if met else "floor"


@dataclass(frozen=True, slots=True, kw_only=True)
class Throttle:
    """A plate on a spindle, or another lever that must reach its full stop.

    Parameters
    ----------
    name : str
        ``throttle``, or the name that tells several apart.
    shaft : str
        The spindle.
    opens : {1, -1}
        1 anticlockwise, -1 clockwise, for the viewer of its axis.
    swing : float
        Turn from the idle stop to the full stop. [rad]
    bore, spindle : float
        Diameters; 0 where not given. [m]
    closed_angle : float
        Angle of the shut plate from the plane square to the bore. [rad]
    kind : {"plate", "kickdown"}
        A kickdown lever must reach its end with the plate, never before it.
    """

    name: str
    shaft: str
    opens: Literal[1, -1]
    swing: float
    bore: float = 0.0
    spindle: float = 0.0
    closed_angle: float = 0.0
    kind: Literal["plate", "kickdown"] = "plate"

    def __post_init__(self) -> None:
        key = (self.name,) if self.name == "throttle" else ("throttles", self.name)
        positive(self.swing, "the throttle's swing", (*key, "swing"))
        if self.swing > math.radians(180):
            msg = "a throttle swings less than half a turn"
            raise LayoutError(
                msg,
                hint="give the angle between idle and full stop, usually 70 to 84 deg",
                key=(*key, "swing"),
            )
        if not 0 <= self.closed_angle < math.radians(90):
            msg = "the closed plate angle must be from 0 to less than 90°"
            hint = "measure it from the plane square to the bore, usually 2 to 12 deg"
            raise LayoutError(msg, hint=hint, key=(*key, "closed_angle"))
        if self.bore > 0 and self.spindle >= self.bore:
            msg = "the spindle must be thinner than the bore"
            raise LayoutError(msg, hint="give both as diameters", key=(*key, "spindle"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A fixed stop on a shaft.

    Parameters
    ----------
    name, shaft : str
        Its name and the shaft it stops.
    turn : float
        Turn of the shaft from its measured rest at which it is met,
        anticlockwise positive. [rad]
    """

    name: str
    shaft: str
    turn: float


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
        Way the engine rises if a mount lets go. [m]
    """

    carries: tuple[str, ...] = ()
    roll: float = 0.0
    about: Vector = (0.0, 0.0, 0.0)
    axis: Axis | None = None
    lift: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spring:
    """A return spring, as geometry and as a maker of force.

    Extension and compression springs act along the line from hook to anchor;
    a torsion spring acts about its shaft. What is not given is None; the force
    law is made in `springs`.

    Parameters
    ----------
    name : str
        Unique in the layout.
    kind : {"extension", "compression", "torsion", "measured"}
        ``measured``: a pull found with a spring balance at a hole at idle and
        at full, such as a carburettor's inner spring.
    shaft : str
        The shaft it acts on.
    arm : str
        The arm it is hooked to; empty for a torsion spring.
    anchor : tuple of 3 floats, optional
        The fixed end. [m]
    anchored_on : {"body", "engine"}
        What carries the fixed end.
    data : mapping of str to float
        Its other numbers by their key in the file, in SI.
    material : str
        Wire, by standard; empty where it is not given.
    """

    name: str
    kind: Literal["extension", "compression", "torsion", "measured"]
    shaft: str
    arm: str = ""
    anchor: Vector | None = None
    anchored_on: Literal["body", "engine"] = "body"
    data: Mapping[str, float] = field(default_factory=dict)
    material: str = ""
