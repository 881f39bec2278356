"""The table of a slide in a layout file, and the slide that it makes.

Not here: shafts (`build`), the other tables (`models`).
"""

from linkage.config.fields import (
    AxisWord,
    Force,
    Fraction,
    Mass,
    Name,
    Point,
    Size,
    YesNo,
)
from linkage.config.rods import given, point_of, si
from linkage.config.tables import Table, key, optional
from linkage.errors import LayoutError
from linkage.model import Slide
from linkage.model.slide import slide_of


class SlideTable(Table):
    """A bar that runs straight in a guide."""

    guide: tuple[Point, Point] = key(
        "Both ends of the guide, on the middle of the bar; forward is from the first."
    )
    axis: AxisWord = key("Where its viewer stands, at whom its pins point.")
    pins: dict[Name, Point] = key("Where its pins are at rest, by name.")
    diameter: Size | None = optional("Of the bar.")
    friction: Fraction | None = optional("Coefficient of friction in its guide.")
    drag: Force | None = optional(
        "Friction that no load changes: half of what moves it less what lets it back, "
        "rods and springs off.",
    )
    mass: Mass | None = optional("Of the bar.")
    fixed: YesNo = key("Bought, or not to be touched.", default=False)


def slide_from(name: str, table: SlideTable) -> Slide:
    """Return the slide of a table.

    Raises
    ------
    LayoutError
        If both ends of its guide are one, its pins stand along it, or it has none.
    """
    if not table.pins:
        msg = f"slide `{name}` has no pin"
        hint = "add `pins.NAME = [x, y, z]`, where a rod is joined to it"
        raise LayoutError(msg, hint=hint, key=("slides", name, "pins"))
    one, two = (point_of(end) for end in table.guide)
    return slide_of(
        name,
        guide=(one, two),
        seen=table.axis,
        points={pin: point_of(at) for pin, at in table.pins.items()},
        bearing=si(table.diameter),
        friction=given(table, "friction"),
        drag=given(table, "drag"),
        mass=si(table.mass),
        fixed=table.fixed,
    )
