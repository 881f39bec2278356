"""The table of a governor, which stands in the place of a pedal.

At rest, the engine stopped, its throttle is full open; the governor shuts it. Inside, the
governor is the end that drives, and the sense in which it moves a throttle is the one
that counts as opening there: what is told of such a layout is told by rules of its own
(`rules.governed`).

Not here: the other tables (`models`), what they mean together (`build`).
"""

from typing import TYPE_CHECKING

from linkage.config.fields import Length, Sense
from linkage.config.rods import sign_of
from linkage.config.tables import Table, key
from linkage.errors import LayoutError
from linkage.model import Pedal
from linkage.model.valid import positive

if TYPE_CHECKING:
    from linkage.config.models import LayoutFile


class GovernorTable(Table):
    """The governor of an engine, in the place of a pedal."""

    shaft: str = key("The shaft of its output arm.")
    arm: str = key("That arm.")
    travel: Length = key("Way of the arm's hole along its arc, from rest to its end.")
    turns: Sense = key("Sense in which it turns as the engine runs faster.")


def one_driver(file: "LayoutFile") -> None:
    """Refuse a file with neither pedal nor governor, or both, or a kickdown with one."""
    if file.governor is None:
        if file.pedal is None:
            msg = "the table [pedal] is missing"
            hint = (
                "add it with `shaft`, `pad` and `travel`; an engine whose governor moves "
                "the throttle has [governor] instead"
            )
            raise LayoutError(msg, hint=hint)
        return
    if file.pedal is not None:
        msg = "the file has a pedal and a governor"
        hint = (
            "a governor holds the speed, and a pedal would work against it: keep the one "
            "that moves the throttle; the lever that sets the governed speed is no part "
            "of this linkage"
        )
        raise LayoutError(msg, hint=hint, key=("governor",))
    if file.hand is not None:
        msg = "the file has a hand lever and a governor"
        hint = "a hand lever that sets the governed speed is no part of this linkage"
        raise LayoutError(msg, hint=hint, key=("hand",))
    for name, table in (file.throttles or {}).items():
        if table.kind == "kickdown":
            msg = f"throttle `{name}` is a kickdown lever, and a governor drives"
            hint = "a kickdown lever goes with a pedal; take it out"
            raise LayoutError(msg, hint=hint, key=("throttles", name, "kind"))


def governor_of(table: GovernorTable) -> Pedal:
    """Return a governor as the end that drives."""
    positive(table.travel.value, "the governor's travel", ("governor", "travel"))
    return Pedal(
        shaft=table.shaft,
        pad=table.arm,
        travel=table.travel.value,
        presses=sign_of(table.turns),
    )
