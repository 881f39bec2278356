"""Numbers of a spring, looked at before a law is made of them.

What cannot be is refused where it is one layout's; of many, the row is marked
and its law becomes nan.

Not here: the law (`law`), where the spring sits (`place`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from linkage.errors import LayoutError
from linkage.model.columns import Number, Truth, is_column, negated, pick
from linkage.springs.materials import Wire, wire_named

if TYPE_CHECKING:
    from linkage.model import Spring

#: Least index a coil may have; below it the wire cannot be wound (EN 13906-1
#: gives 4 to 20, Shigley 4 to 12, both from memory; 3 is the hard floor).
LEAST_INDEX = 3.0


class Marks:
    """Which rows hold a spring that cannot be.

    Parameters
    ----------
    spring : Spring
        Whose errors are told.
    """

    def __init__(self, spring: Spring) -> None:
        self.spring = spring
        self.bad: Truth = False

    def refuse(self, bad: Truth, message: str, hint: str, field: str) -> None:
        """Mark the rows in which something is wrong; one layout is refused.

        Parameters
        ----------
        bad : bool or column of bool
            Where it is wrong.
        message, hint, field : str
            What is wrong, what to do, and the key in the spring's table.

        Raises
        ------
        LayoutError
            If it is no column and true; `key` names the field.
        """
        if is_column(bad):
            self.bad = self.bad | bad
        elif bad:
            key = ("springs", self.spring.name, field)
            raise LayoutError(message, hint=hint, key=key)

    def over(self, value: Number) -> Number:
        """Return a number with nan in the marked rows."""
        return pick(self.bad, math.nan, value)


def plausible(marks: Marks) -> None:
    """Refuse numbers that are negative or not finite."""
    for field, value in marks.spring.known.numbers():
        word = field.replace("_", " ")
        marks.refuse(
            negated((value >= 0) & (value < math.inf)),
            f"the {word} of spring `{marks.spring.name}` is negative",
            "measure it again; a return spring has no negative numbers",
            field,
        )


def need(marks: Marks, *fields: str, hint: str) -> tuple[Number, ...]:
    """Return numbers of a spring that must be there and above zero."""
    values = []
    for field in fields:
        value = getattr(marks.spring.known, field)
        marks.refuse(
            True if value is None else negated(value > 0),
            f"spring `{marks.spring.name}` needs its {field.replace('_', ' ')}, "
            "more than zero",
            hint,
            field,
        )
        values.append(value)
    return tuple(values)


def given(value: Number | None, other: Number) -> Number:
    """Return a number where it is given and not zero, and another elsewhere."""
    return other if value is None else pick(value > 0, value, other)


def coil_of(marks: Marks) -> tuple[Number, Number, Number]:
    """Return wire diameter, mean coil diameter and turns, checked.

    Raises
    ------
    LayoutError
        If the wire is thicker than the coil or the index is under 3.
    """
    name = marks.spring.name
    d, outside, turns = need(
        marks,
        "wire",
        "coil",
        "turns",
        hint="give `rate` and `free_length`, or `loads`, or `wire`, `coil` (outside "
        "diameter), `turns` and `material`",
    )
    msg = f"the wire of spring `{name}` is thicker than its coil"
    hint = "`coil` is the outside diameter of the coils; are the two exchanged?"
    marks.refuse(d >= outside, msg, hint, "wire")
    index = (outside - d) / d
    msg = f"the index of spring `{name}` is {np.min(index):.2f}, under 3"
    hint = (
        "the index is mean coil diameter over wire diameter, usually 4 to 12; "
        "measure wire and outside diameter again"
    )
    marks.refuse(index < LEAST_INDEX, msg, hint, "wire")
    return d, outside - d, turns


def material_of(spring: Spring) -> Wire:
    """Return the wire a spring is made of; an error if it is not known."""
    key = ("springs", spring.name, "material")
    if not spring.material:
        msg = f"spring `{spring.name}` needs its material"
        hint = "such as `music wire A228` or `EN 10270-1 SM`; or give its `rate`"
        raise LayoutError(msg, hint=hint, key=key)
    return wire_named(spring.material, key=key)
