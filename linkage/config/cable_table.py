"""The table of a cable in a layout file.

Not here: the other tables (`models`), what the values mean together (`cables`).
"""

from typing import Annotated

from linkage.config.fields import (
    Angle,
    Force,
    Fraction,
    Length,
    Mass,
    Point,
    Size,
    Turn,
    YesNo,
    one_of,
)
from linkage.config.tables import Table, key, optional

#: Most points of a sheath, and of a rim.
MOST_POINTS = 64

_HELD = Annotated[str, one_of("carrier", "body", "engine")]


class CableTable(Table):
    """A wire in a sheath between two arms."""

    from_: str = key("Its nipple nearer the pedal: shaft.arm.", alias="from")
    to: str = key("Its other nipple: shaft.arm.")
    sheath_from: Point = key("Where its wire leaves the sheath near `from`.")
    sheath_to: Point = key("Where it leaves the sheath near `to`.")
    sheath_from_on: _HELD = key("What holds that end.", default="body")
    sheath_to_on: _HELD = key("What holds that end.", default="body")
    sheath_through: list[Point] = key(
        "Points between, from `from` to `to`, through which the sheath goes.", made=list
    )
    bend: Turn | None = optional(
        "All bends of the wire together, where no points are given."
    )
    sheath_friction: Fraction | None = optional("Coefficient of friction in it.")
    sheath_length: Size | None = optional("Of the sheath from end to end.")
    wire_length: Length | None = optional(
        "Of the wire from nipple to nipple; without it the adjuster sets the cable."
    )
    slack: Size | None = optional("Wire that hangs loose at rest.")
    wire: Size | None = optional("Diameter of the wire.")
    works: Annotated[str, one_of("way of a cable", "pull", "pull and push")] = key(
        "Which of the two it can do.", default="pull"
    )
    play: Size | None = optional("What a push-pull cable loses when it turns back.")
    stroke: Size | None = optional("Way that a push-pull cable has in all.")
    push_limit: Force | None = optional("Push at which a push-pull cable gives way.")
    mass: Mass | None = optional("Mass of its wire.")
    nipple_diameter: Size | None = optional("Of the nipples that turn in its arms.")
    nipple_friction: Fraction | None = optional("Coefficient of friction in them.")
    fixed: YesNo = key("Bought, or not to be touched.", default=False)


#: Turn round a rim from the nipple on, and the radius there.
RimPoint = tuple[Angle, Length]
