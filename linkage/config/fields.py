"""Types of the values in a layout file, for the models.

Each type reads one value and describes itself in the JSON Schema by a mark,
``x-kind``, that `describe` turns into a reference.

Not here: the tables of the file (`models`).
"""

from collections.abc import Callable, Iterable
from typing import Annotated, Any

from pydantic_core import CoreSchema, core_schema

from linkage.errors import LayoutError, UnitError, did_you_mean
from linkage.model import JOINT_TILT, NAMED, Axis, axis_from_vector
from linkage.model.fits import read_fit
from linkage.model.names import NAME_PATTERN
from linkage.records import short
from linkage.units import Parsed, parse
from linkage.units.table import UNITS


def _marked(mark: str) -> dict[str, Any]:
    """Return what makes pydantic describe a value by our mark."""
    return {"pydantic_js_functions": [lambda _schema, _handler: {"x-kind": mark}]}


class Quantity:
    """A number with a unit of one kind; reads to `linkage.units.Parsed`.

    Parameters
    ----------
    kind : str
        Key of `linkage.quantities.SHOWN`.
    signed : bool
        Whether it may be negative.
    torsion : str
        Kind that it has in the table of a torsion spring, where that differs.
    """

    def __init__(self, kind: str, *, signed: bool = False, torsion: str = "") -> None:
        self.kind = kind
        self.signed = signed
        self.torsion = torsion

    def read(self, value: object, info: core_schema.ValidationInfo) -> Parsed:
        """Read one value; bare numbers take the unit that the file names."""
        kind = self.kind
        if self.torsion and info.data.get("kind") == "torsion":
            kind = self.torsion
        parsed = parse(value, kind, default_unit=(info.context or {}).get(kind))
        if parsed.value < 0 and not self.signed:
            msg = f"`{value}` is negative"
            raise UnitError(msg, hint="this must be zero or more")
        return parsed

    def core(self) -> CoreSchema:
        """Return the core schema that reads it."""
        mark = self.kind + ("" if self.signed else "+")
        return core_schema.with_info_plain_validator_function(
            self.read, metadata=_marked(mark)
        )


class Special:
    """A value that one function reads.

    Parameters
    ----------
    mark : str
        What `describe` knows it by.
    read : callable
        From the value in the file to ours; raises `LayoutError`.
    """

    def __init__(self, mark: str, read: Callable[[object], object]) -> None:
        self.mark = mark
        self.read = read

    def core(self) -> CoreSchema:
        """Return the core schema that reads it."""
        return core_schema.no_info_plain_validator_function(
            self.read, metadata=_marked(self.mark)
        )


class Text:
    """Text of a pattern.

    Parameters
    ----------
    pattern : str
        Regular expression that it must match.
    """

    def __init__(self, pattern: str) -> None:
        self.pattern = pattern

    def core(self) -> CoreSchema:
        """Return the core schema that reads it."""
        return core_schema.str_schema(pattern=self.pattern)


def _word(value: object, known: Iterable[str], what: str) -> str:
    words = list(known)
    if not isinstance(value, str):
        msg = f"{what} must be a word"
        raise LayoutError(msg, hint="one of " + ", ".join(words))
    if value not in words:
        msg = f"unknown {what} `{short(value)}`"
        raise LayoutError(msg, hint=did_you_mean(value, words))
    return value


def unit_of(kind: str) -> Special:
    """Return the field for the unit of all bare numbers of a kind."""
    return Special(
        f"unit of {kind}", lambda value: _word(value, UNITS[kind], f"unit of {kind}")
    )


def one_of(what: str, *known: str) -> Special:
    """Return the field for one word of a list."""
    return Special("one of " + "|".join(known), lambda value: _word(value, known, what))


def read_axis(value: object) -> Axis:
    """Read a named axis, or a vector that points at the viewer."""
    hint = "give `across`, `along`, `upright`, or a vector such as [0, -1, 0]"
    if isinstance(value, str):
        return NAMED[_word(value, NAMED, "axis")]
    if not isinstance(value, list) or len(value) != 3:
        msg = "an axis must be a word or a list of three numbers"
        raise LayoutError(msg, hint=hint)
    if any(isinstance(c, bool) or not isinstance(c, (int, float)) for c in value):
        msg = "the three numbers of an axis are plain numbers without units"
        raise LayoutError(msg, hint=hint)
    if not all(abs(c) < 1e9 for c in value):
        msg = "the three numbers of an axis must be finite and less than 1e9"
        raise LayoutError(msg, hint=hint)
    return axis_from_vector((float(value[0]), float(value[1]), float(value[2])))


def read_joints(value: object) -> tuple[str, str]:
    """Read one kind of joint for both ends of a rod, or a list of two."""
    both = value if isinstance(value, list) else [value, value]
    if len(both) != 2:
        msg = "a rod has two joints"
        raise LayoutError(msg, hint="give one word for both, or a list of two")
    one, two = (_word(word, JOINT_TILT, "kind of joint") for word in both)
    return one, two


def read_format(value: object) -> int:
    """Read the version of the file format."""
    if value is True or value != 1:
        msg = f"this file is of format {short(str(value))}; this program reads format 1"
        raise LayoutError(msg, hint="write `format = 1`, or get a newer program")
    return 1


def _yes_or_no(value: object) -> bool:
    if not isinstance(value, bool):
        msg = f"`{short(str(value))}` is neither true nor false"
        raise LayoutError(msg, hint="write `true` or `false`, without quotes")
    return value


#: A name a person gives to a part.
Name = Annotated[str, Text(NAME_PATTERN)]

Length = Annotated[Parsed, Quantity("length", signed=True)]
Size = Annotated[Parsed, Quantity("length")]
Angle = Annotated[Parsed, Quantity("angle", signed=True)]
Turn = Annotated[Parsed, Quantity("angle")]
Force = Annotated[Parsed, Quantity("force")]
Torque = Annotated[Parsed, Quantity("torque")]
Rate = Annotated[Parsed, Quantity("rate", torsion="torsion rate")]
Mass = Annotated[Parsed, Quantity("mass")]
Inertia = Annotated[Parsed, Quantity("inertia")]
Temperature = Annotated[Parsed, Quantity("temperature", signed=True)]
Fraction = Annotated[Parsed, Quantity("fraction")]
Number = Annotated[Parsed, Quantity("ratio")]
Point = tuple[Length, Length, Length]
AxisWord = Annotated[Axis, Special("axis", read_axis)]
Joints = Annotated[tuple[str, str], Special("joints", read_joints)]
Sense = Annotated[str, one_of("sense of turning", "clockwise", "anticlockwise")]
YesNo = Annotated[bool, Special("one of true|false", _yes_or_no)]
Fit = Annotated[str, Special("fit", read_fit)]
FormatNumber = Annotated[int, Special("format", read_format)]
