"""Types of the values in a layout file, for the models.

Each type reads one value and describes itself in the JSON Schema by a mark,
``x-kind``, that `schema` turns into a reference.

Not here: the tables of the file (`models`).
"""

import math
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, StringConstraints
from pydantic_core import CoreSchema, core_schema

from linkage.errors import LayoutError, UnitError, did_you_mean
from linkage.layout import JOINT_TILT, NAMED, Axis, Joint, axis_from_vector
from linkage.units import Parsed, parse
from linkage.units.table import UNITS


class Quantity:
    """A number with a unit of one kind; reads to `linkage.units.Parsed`.

    Parameters
    ----------
    kind : str
        Key of `linkage.quantities.SHOWN`.
    signed : bool
        Whether it may be negative.
    """

    def __init__(self, kind: str, *, signed: bool = False) -> None:
        self.kind = kind
        self.signed = signed

    def kind_for(self, others: dict[str, Any]) -> str:  # noqa: ARG002
        """Return the kind, given the fields that stand before it."""
        return self.kind

    def read(self, value: object, info: core_schema.ValidationInfo) -> Parsed:
        """Read one value; bare numbers take the unit that the file names."""
        kind = self.kind_for(info.data if info.data is not None else {})
        units = info.context or {}
        parsed = parse(value, kind, default_unit=units.get(kind))
        if parsed.value < 0 and not self.signed:
            msg = f"`{value}` is negative"
            raise UnitError(msg, hint="this must be zero or more")
        return parsed

    def __get_pydantic_core_schema__(
        self, _source: object, _handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, _schema: CoreSchema, _handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"x-kind": self.kind + ("" if self.signed else "+")}


class RateQuantity(Quantity):
    """A rate: of a torsion spring in torque an angle, else force a length."""

    def __init__(self) -> None:
        super().__init__("rate")

    def kind_for(self, others: dict[str, Any]) -> str:
        """Return the kind that fits the kind of spring."""
        return "torsion rate" if others.get("kind") == "torsion" else "rate"


class _Plain:
    """A value read by one function."""

    mark: str

    def read(self, value: object) -> object:
        raise NotImplementedError

    def __get_pydantic_core_schema__(
        self, _source: object, _handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, _schema: CoreSchema, _handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"x-kind": self.mark}


def _word(value: object, known: tuple[str, ...], what: str) -> str:
    if not isinstance(value, str):
        msg = f"{what} must be a word"
        raise LayoutError(msg, hint="one of " + ", ".join(known))
    if value not in known:
        msg = f"unknown {what} `{value}`"
        raise LayoutError(msg, hint=did_you_mean(value, known))
    return value


class UnitWord(_Plain):
    """The unit of all bare numbers of one kind.

    Parameters
    ----------
    kind : str
        Key of `linkage.quantities.SHOWN`.
    """

    def __init__(self, kind: str) -> None:
        self.kind = kind
        self.mark = f"unit of {kind}"

    def read(self, value: object) -> str:
        """Read one unit."""
        return _word(value, tuple(UNITS[self.kind]), f"unit of {self.kind}")


class OneOf(_Plain):
    """One word of a list, with a hint where it is misspelt.

    Parameters
    ----------
    what : str
        What the word says, for the message.
    *known : str
        The words.
    """

    def __init__(self, what: str, *known: str) -> None:
        self.what = what
        self.known = known
        self.mark = "one of " + "|".join(known)

    def read(self, value: object) -> str:
        """Read one word."""
        return _word(value, self.known, self.what)


class AxisField(_Plain):
    """A named axis, or a vector that points at the viewer."""

    mark = "axis"

    def read(self, value: object) -> Axis:
        """Read one axis."""
        hint = "give `across`, `along`, `upright`, or a vector such as [0, -1, 0]"
        if isinstance(value, str):
            return NAMED[_word(value, tuple(NAMED), "axis")]
        if not isinstance(value, list) or len(value) != 3:
            msg = "an axis must be a word or a list of three numbers"
            raise LayoutError(msg, hint=hint)
        if any(isinstance(c, bool) or not isinstance(c, (int, float)) for c in value):
            msg = "the three numbers of an axis are plain numbers without units"
            raise LayoutError(msg, hint=hint)
        if not all(math.isfinite(c) and abs(c) < 1e9 for c in value):
            msg = "the three numbers of an axis must be finite"
            raise LayoutError(msg, hint=hint)
        return axis_from_vector((float(value[0]), float(value[1]), float(value[2])))


class JointsField(_Plain):
    """One kind of joint for both ends, or a list of two."""

    mark = "joints"

    def read(self, value: object) -> tuple[Joint, Joint]:
        """Read the joints of a rod."""
        known = tuple(JOINT_TILT)
        both = value if isinstance(value, list) else [value, value]
        if len(both) != 2:
            msg = "a rod has two joints"
            raise LayoutError(msg, hint="give one word for both, or a list of two")
        one, two = (_word(word, known, "kind of joint") for word in both)
        return one, two  # type: ignore[return-value]


class FormatField(_Plain):
    """The version of the file format."""

    mark = "format"

    def read(self, value: object) -> int:
        """Read the version."""
        if value is True or value != 1:
            msg = f"this file is of format {value}; this program reads format 1"
            raise LayoutError(msg, hint="write `format = 1`, or get a newer program")
        return 1


#: A name a person gives to a part.
NAME_PATTERN = r"^[^\u0000-\u001f\u007f-\u009f]{1,80}$"
Name = Annotated[str, StringConstraints(pattern=NAME_PATTERN)]

Length = Annotated[Parsed, Quantity("length", signed=True)]
Size = Annotated[Parsed, Quantity("length")]
Angle = Annotated[Parsed, Quantity("angle", signed=True)]
Turn = Annotated[Parsed, Quantity("angle")]
Force = Annotated[Parsed, Quantity("force")]
Torque = Annotated[Parsed, Quantity("torque")]
Rate = Annotated[Parsed, RateQuantity()]
Mass = Annotated[Parsed, Quantity("mass")]
Inertia = Annotated[Parsed, Quantity("inertia")]
Temperature = Annotated[Parsed, Quantity("temperature", signed=True)]
Fraction = Annotated[Parsed, Quantity("fraction")]
Number = Annotated[Parsed, Quantity("ratio")]
Point = tuple[Length, Length, Length]
AxisWord = Annotated[Axis, AxisField()]
Joints = Annotated[tuple[Joint, Joint], JointsField()]
Sense = Annotated[str, OneOf("sense of turning", "clockwise", "anticlockwise")]
FormatNumber = Annotated[int, FormatField()]
