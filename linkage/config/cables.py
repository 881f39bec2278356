"""From the table of a cable to the cable.

Not here: rods (`rods`), the other tables (`build`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final, Literal, cast

from linkage.config.cable_table import MOST_POINTS
from linkage.config.rods import given, hole_of, point_of, si
from linkage.errors import LayoutError
from linkage.model import Cable, SheathEnd
from linkage.model.valid import positive
from linkage.quantities import say

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.config.cable_table import CableTable
    from linkage.units import Parsed

    Point = tuple[Parsed, Parsed, Parsed]
    Key = tuple[str, ...]

#: A sheath may be shorter than the way through its points by so much. [m]
ROUNDING: Final = 1e-9
#: Most of its bends together; common practice, no source. [rad]
MOST_BENT: Final = 8 * math.pi
#: Least diameter of a wire; common practice, no source. [m]
THINNEST: Final = 1e-4


def _end(point: Point, on: str) -> SheathEnd:
    return SheathEnd(point=point_of(point), on=cast("Literal['body', 'engine']", on))


def cable_of(
    name: str, table: CableTable, arms: Mapping[str, Mapping[str, Any]]
) -> Cable:
    """Return the cable of a table."""
    key = ("cables", name)
    if len(table.sheath_through) > MOST_POINTS:
        msg = f"a sheath through {len(table.sheath_through)} points, more than {MOST_POINTS}"
        hint = "it goes straight between two points; one at each bend will do"
        raise LayoutError(msg, hint=hint, key=(*key, "sheath_through"))
    pushes = table.works == "pull and push"
    _known_once(name, table, pushes=pushes)
    _of_some_size(name, table)
    free = None
    if table.wire_length is not None and table.sheath_length is not None:
        free = table.wire_length.value - table.sheath_length.value
        positive(free, "the wire that its sheath leaves free", (*key, "wire_length"))
    cable = Cable(
        name=name,
        start=hole_of(table.from_, arms, (*key, "from")),
        end=hole_of(table.to, arms, (*key, "to")),
        ends=(
            _end(table.sheath_from, table.sheath_from_on),
            _end(table.sheath_to, table.sheath_to_on),
        ),
        through=tuple(point_of(point) for point in table.sheath_through),
        length=free,
        lost=si(table.slack),
        only="" if pushes else "pull",
        bend=given(table, "bend"),
        sheath_friction=given(table, "sheath_friction"),
        sheath_length=given(table, "sheath_length"),
        wire=si(table.wire),
        play=si(table.play),
        stroke=si(table.stroke),
        push_limit=si(table.push_limit),
        mass=si(table.mass),
        joint_diameter=si(table.nipple_diameter),
        joint_friction=given(table, "nipple_friction"),
        fixed=table.fixed,
    )
    _long_enough(cable)
    return cable


def _long_enough(cable: Cable) -> None:
    """Refuse a sheath that is shorter than the way it has to go."""
    if cable.sheath_length is None or cable.sheath_length >= cable.way - ROUNDING:
        return
    msg = (
        f"the sheath of cable `{cable.name}` is {say(cable.sheath_length, 'length')} "
        f"long, and its points are {say(cable.way, 'length')} from end to end"
    )
    hint = (
        "measure the sheath between its two ends, and the points along it from the same "
        "datum; leave `sheath_length` out to have it taken from them"
    )
    raise LayoutError(msg, hint=hint, key=(*cable.key, "sheath_length"))


def _known_once(name: str, table: CableTable, *, pushes: bool) -> None:
    """Refuse what is told twice, or of a cable that is not of this kind."""
    key = ("cables", name)
    if table.wire_length is not None and table.sheath_length is None:
        msg = f"cable `{name}` has a `wire_length` and no `sheath_length`"
        hint = (
            "what is free follows from both: measure the sheath from end to end too, or "
            "leave `wire_length` out to have the cable set by its adjuster"
        )
        raise LayoutError(msg, hint=hint, key=(*key, "wire_length"))
    if table.wire_length is not None and table.slack is not None:
        msg = f"cable `{name}` has a length of its wire and the slack at rest"
        hint = (
            "each follows from the other: leave `wire_length` out to have the adjuster "
            "leave so much slack, or `slack` out"
        )
        raise LayoutError(msg, hint=hint, key=(*key, "slack"))
    if table.bend is not None and table.sheath_through:
        msg = (
            f"cable `{name}` has all its bends together and the points it goes through"
        )
        hint = "the points give the bends: keep one of the two"
        raise LayoutError(msg, hint=hint, key=(*key, "bend"))
    both = {
        "stroke": table.stroke,
        "push_limit": table.push_limit,
        "play": table.play,
    }
    for word, value in both.items():
        if value is not None and not pushes:
            msg = f"cable `{name}` only pulls, and has `{word}`"
            hint = 'that is of a push-pull cable: add `works = "pull and push"`'
            raise LayoutError(msg, hint=hint, key=(*key, word))
    if table.slack is not None and pushes:
        msg = f"cable `{name}` pulls and pushes, and has slack"
        hint = "what a push-pull cable loses either way is its `play`"
        raise LayoutError(msg, hint=hint, key=(*key, "slack"))


def _of_some_size(name: str, table: CableTable) -> None:
    """Refuse bends and wires that there are none of."""
    key = ("cables", name)
    if table.bend is not None and table.bend.value > MOST_BENT:
        msg = f"the bends of cable `{name}` are {say(table.bend.value, 'angle')} in all"
        hint = "a wire that goes round so often does not move; add up its bends again"
        raise LayoutError(msg, hint=hint, key=(*key, "bend"))
    if table.wire is not None and table.wire.value < THINNEST:
        msg = f"the wire of cable `{name}` is thinner than any that carries a pull"
        hint = "give its diameter, 1.2 to 3 mm as a rule, or leave `wire` out"
        raise LayoutError(msg, hint=hint, key=(*key, "wire"))
