"""The ends of a linkage: the pedal, a hand lever, the throttles, and fixed stops.

Not here: the shafts they are on (`model.parts`).
"""

from __future__ import annotations

import math
from dataclasses import field
from typing import Final, Literal

import numpy as np

from linkage.errors import LayoutError
from linkage.model.columns import Number, Truth, every, is_column, lesser, some
from linkage.model.valid import positive
from linkage.records import dataclass


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
        Pad travel at which a pedal stop takes the foot, if one is fitted; in a
        column, inf where a row has none. [m]
    free_play : float
        Pad travel before anything moves. [m]
    """

    shaft: str
    pad: str
    travel: Number
    presses: Literal[1, -1]
    stop: Number | None = field(default=None, metadata={"none": math.inf})
    free_play: Number = 0.0

    def __post_init__(self) -> None:
        positive(self.travel, "the pedal's travel", ("pedal", "travel"))
        if self.stop is not None and not (
            is_column(self.stop) and every(self.stop > 0)
        ):
            positive(self.stop, "the pedal stop", ("pedal", "stop"))
        if not every((self.free_play >= 0) & (self.free_play < self.travel)):
            msg = "the pedal's free play must be less than its travel"
            raise LayoutError(
                msg,
                hint="give the play alone, not the whole travel",
                key=("pedal", "free_play"),
            )

    @property
    def end(self) -> Number:
        """Pad travel at which the pedal itself is stopped. [m]."""
        return self.travel if self.stop is None else lesser(self.stop, self.travel)

    @property
    def stop_met(self) -> Truth:
        """Whether the pedal itself ends on its stop, not on the floor."""
        return False if self.stop is None else self.stop <= self.travel

    @property
    def end_name(self) -> Literal["floor", "pedal stop"]:
        """What stops the pedal itself, of one layout."""
        return "pedal stop" if self.stop_met else "floor"


#: Most that is a fast idle; common practice, no source. [rad]
MOST_FAST_IDLE: Final = math.radians(20)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """A hand lever that opens the throttle beside the pedal.

    Parameters
    ----------
    shaft, lever : str
        Its shaft, and the arm that the hand holds.
    travel : float
        Way of that arm's end along its arc, from pushed home to pulled full. [m]
    pulls : {1, -1}
        Sense in which pulling turns the shaft: 1 anticlockwise, -1 clockwise, for
        the viewer of its axis.
    holds : float, optional
        Force at the lever's end up to which its friction or ratchet holds it where it
        was left; None where that is not known. [N]
    fast_idle : float, optional
        Opening that is wanted with the lever pulled full, where it is the choke's
        control; None of a hand throttle. [rad]
    """

    shaft: str
    lever: str
    travel: Number
    pulls: Literal[1, -1]
    holds: Number | None = field(default=None, metadata={"none": math.nan})
    fast_idle: Number | None = field(default=None, metadata={"none": math.nan})

    def __post_init__(self) -> None:
        positive(self.travel, "the hand lever's travel", ("hand", "travel"))
        self._few_degrees()
        holds = 1.0 if self.holds is None else self.holds
        if is_column(holds):
            holds = np.where(np.isnan(holds), 1.0, holds)
        if not every((holds > 0) & (holds < math.inf)):
            msg = "what holds the hand lever must be a force above zero"
            hint = (
                "leave `holds` out where nothing holds it, or where that is not known"
            )
            raise LayoutError(msg, hint=hint, key=("hand", "holds"))

    def _few_degrees(self) -> None:
        """Refuse a fast idle of nothing, or one that is none.

        Raises
        ------
        LayoutError
            If it is so.
        """
        wanted = MOST_FAST_IDLE if self.fast_idle is None else self.fast_idle
        if is_column(wanted):
            wanted = np.where(np.isnan(wanted), MOST_FAST_IDLE, wanted)
        if not every((wanted > 0) & (wanted <= MOST_FAST_IDLE)):
            msg = "a fast idle opens the throttle by a few degrees, 20° at the most"
            hint = "a hand lever that opens it further is a hand throttle: leave it out"
            raise LayoutError(msg, hint=hint, key=("hand", "fast_idle"))

    @property
    def as_pedal(self) -> Pedal:
        """The same as the end that drives."""
        return Pedal(
            shaft=self.shaft, pad=self.lever, travel=self.travel, presses=self.pulls
        )


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
    swing: Number
    bore: Number = 0.0
    spindle: Number = 0.0
    closed_angle: Number = 0.0
    kind: Literal["plate", "kickdown"] = "plate"

    def __post_init__(self) -> None:
        key = (self.name,) if self.name == "throttle" else ("throttles", self.name)
        positive(self.swing, "the throttle's swing", (*key, "swing"))
        if some(self.swing > math.radians(180)):
            msg = "a throttle swings less than half a turn"
            raise LayoutError(
                msg,
                hint="give the angle between idle and full stop, usually 70 to 84 deg",
                key=(*key, "swing"),
            )
        angle = self.closed_angle
        if not every((angle >= 0) & (angle < math.radians(90))):
            msg = "the closed plate angle must be from 0 to less than 90°"
            hint = "measure it from the plane square to the bore, usually 2 to 12 deg"
            raise LayoutError(msg, hint=hint, key=(*key, "closed_angle"))
        if some((self.bore > 0) & (self.spindle >= self.bore)):
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
    turn: Number
