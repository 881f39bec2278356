"""The tables of the ends of a linkage: pedal, hand lever, throttles; stops and their making.

Not here: the other tables (`models`), what those of ends make (`inputs`, `build`).
"""

from collections.abc import Mapping
from typing import Annotated, ClassVar, Self

from linkage.config.fields import Angle, Force, Length, Sense, Size, Turn, one_of
from linkage.config.rods import sign_of
from linkage.config.tables import Table, key, optional, without
from linkage.errors import LayoutError
from linkage.model import Shaft, Stop


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
    """A fixed stop on a shaft, by `turn` and `after`; on a slide by `toward` and `way`."""

    model_config: ClassVar = {
        "json_schema_extra": {
            "oneOf": [
                {"required": ["turn", "after"], **without("toward", "way")},
                {"required": ["toward", "way"], **without("turn", "after")},
            ]
        }
    }

    shaft: str = key("The shaft it stops, or the slide.")
    turn: Sense | None = optional("Sense in which the shaft meets it.")
    after: Turn | None = optional("Turn from rest.")
    toward: Annotated[str, one_of("end of a guide", "first", "second")] | None = (
        optional("Toward which end of its guide a slide meets it.")
    )
    way: Size | None = optional("Way of a slide from rest.")

    def _together(self) -> Self:
        of_slide = self.toward is not None or self.way is not None
        of_shaft = self.turn is not None or self.after is not None
        if of_slide and of_shaft:
            msg = "a stop is met by a turn or by a way, not both"
            hint = "of a shaft give `turn` and `after`, of a slide `toward` and `way`"
            raise LayoutError(msg, hint=hint)
        for name in ("toward", "way") if of_slide else ("turn", "after"):
            if getattr(self, name) is None:
                msg = f"the key `{name}` is missing"
                hint = (
                    "a stop on a shaft has `turn` and `after`, one on a slide `toward` "
                    "and `way`"
                )
                raise LayoutError(msg, hint=hint)
        return self


def stops_of(
    tables: Mapping[str, StopTable], shafts: Mapping[str, Shaft]
) -> dict[str, Stop]:
    """Return the stops of their tables.

    Raises
    ------
    LayoutError
        If one on a shaft is met by a way, or one on a slide by a turn.
    """
    found = {}
    for name, row in tables.items():
        on = shafts.get(row.shaft)  # `Layout` refuses an unknown name
        if on is not None and on.slides != (row.way is not None):
            goes = "goes a `way` `toward` an end of its guide"
            msg = f"stop `{name}` is on {on.called}, which "
            msg += goes if on.slides else "turns: it has no `way`"
            hint = "of a shaft give `turn` and `after`, of a slide `toward` and `way`"
            raise LayoutError(msg, hint=hint, key=("stops", name, "shaft"))
        if row.way is not None:
            turn = row.way.value * (1 if row.toward == "second" else -1)
        else:
            # The table has seen to it that both are there.
            assert row.turn is not None and row.after is not None  # noqa: S101, PT018
            turn = sign_of(row.turn) * row.after.value
        found[name] = Stop(name=name, shaft=row.shaft, turn=turn)
    return found
