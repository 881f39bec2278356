"""The tables of the ends of a linkage: pedal, hand lever, throttles, stops.

Not here: the other tables (`models`), what they make (`inputs`, `build`).
"""

from typing import Annotated

from linkage.config.fields import Angle, Force, Length, Sense, Size, Turn, one_of
from linkage.config.tables import Table, key, optional


class PedalTable(Table):
    """The driver's pedal."""

    shaft: str = key("Its shaft.")
    pad: str = key("The arm that carries the pad.")
    travel: Length = key("Along the pad's arc, from rest to the floor.")
    stop: Length | None = optional("Pad travel at the pedal stop.")
    free_play: Size | None = optional("Travel before anything moves.")
    presses: Sense | None = optional(
        "Sense in which pressing turns it, where it is not forward."
    )


class HandTable(Table):
    """A hand lever that opens the throttle beside the pedal."""

    shaft: str = key("Its shaft.")
    lever: str = key("The arm that the hand holds.")
    travel: Length = key("Along the arc of its end, from pushed home to pulled full.")
    pulls: Sense | None = optional(
        "Sense in which pulling turns it, where that is not backward."
    )
    holds: Force | None = optional(
        "Force at its end up to which friction or a ratchet holds it."
    )
    fast_idle: Angle | None = optional(
        "Opening of the throttle wanted with it pulled full, where it is the choke's control."
    )


class ThrottleTable(Table):
    """A plate on a spindle, or another lever that must reach its end."""

    shaft: str = key("The spindle.")
    opens: Sense = key("Opening sense, for the viewer of its axis.")
    swing: Angle = key("From the idle stop to the full stop.")
    bore: Size | None = optional("Bore diameter.")
    spindle: Size | None = optional("Spindle diameter.")
    closed_angle: Turn | None = optional(
        "Shut plate from the plane square to the bore."
    )


class NamedThrottleTable(ThrottleTable):
    """One of several throttles."""

    kind: Annotated[str, one_of("kind of throttle", "plate", "kickdown")] = "plate"


class StopTable(Table):
    """A fixed stop on a shaft."""

    shaft: str = key("The shaft it stops.")
    turn: Sense = key("Sense in which the shaft meets it.")
    after: Turn = key("Turn from rest.")
