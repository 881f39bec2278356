"""The table of a cam in a layout file.

Not here: the other tables (`models`), what the values mean together (`cams`).
"""

from linkage.config.fields import Angle, Fraction, Length, Mass, Sense, Size, YesNo
from linkage.config.tables import Table, key, optional

#: Turn round a cam from its arm on, and the radius there.
ProfilePoint = tuple[Angle, Length]
#: Radius of an arc, and the angle that it goes round.
ProfileArc = tuple[Length, Angle]


class CamTable(Table):
    """A cam on one shaft that pushes a roller on another."""

    from_: str = key(
        "The cam's arm, nearer the pedal: shaft.arm. The profile begins there.",
        alias="from",
    )
    to: str = key("The roller's arm: shaft.arm.")
    roller: Length = key("Diameter of the roller.")
    round: Sense = key("Sense in which the profile goes round from its arm on.")
    profile: list[ProfilePoint] = key(
        "Points: turns round the cam from its arm on, and the radius.", made=list
    )
    arcs: list[ProfileArc] = key(
        "In place of points: the radius of every arc and the angle that it goes round.",
        made=list,
    )
    pin_diameter: Size | None = optional("Of the pin that the roller turns on.")
    pin_friction: Fraction | None = optional("Coefficient of friction on it.")
    mass: Mass | None = optional("Mass of the roller.")
    fixed: YesNo = key("Bought, or not to be touched.", default=False)
