"""The tables of a layout file.

Each class is one table, each field one key, in the order in which a person
measures. The JSON Schema is made from these classes.

Not here: what the values mean together (`build`).
"""

from typing import TYPE_CHECKING, Annotated, Any, Final, Self

from pydantic import BaseModel, ConfigDict, Field, create_model, model_validator

from linkage.config.fields import (
    Angle,
    AxisWord,
    Force,
    FormatNumber,
    Fraction,
    Inertia,
    Joints,
    Length,
    Mass,
    Name,
    Number,
    Point,
    Quantity,
    Rate,
    Sense,
    Size,
    Temperature,
    Torque,
    Turn,
    one_of,
    unit_of,
)
from linkage.errors import LayoutError
from linkage.model import LIMIT_ROWS
from linkage.units import KINDS, Parsed
from linkage.units.table import BARE


class Table(BaseModel):
    """A table whose keys are all known."""

    model_config = ConfigDict(extra="forbid", frozen=True)


if TYPE_CHECKING:
    UnitsTable = Table
    LimitsTable = Table
else:
    UnitsTable = create_model(
        "UnitsTable",
        __base__=Table,
        __doc__="Unit of every bare number of a kind.",
        **{
            kind.replace(" ", "_"): (Annotated[str, unit_of(kind)] | None, None)
            for kind in KINDS
            if kind not in BARE
        },
    )
    LimitsTable = create_model(
        "LimitsTable",
        __base__=Table,
        __doc__="Limits of the check that differ from their defaults.",
        **{
            name: (
                Annotated[Parsed, Quantity(row.kind)] | None,
                Field(None, description=row.meaning),
            )
            for name, row in LIMIT_ROWS.items()
        },
    )


def _without(*keys: str) -> dict[str, Any]:
    """Return a schema that none of the keys satisfies."""
    return {"not": {"anyOf": [{"required": [key]} for key in keys]}}


class ArmTable(Table):
    """A lever on a shaft: by `length` and `angle`, or by `pin`."""

    model_config = ConfigDict(
        json_schema_extra={
            "oneOf": [
                {"required": ["pin"], **_without("length", "angle", "offset")},
                {"required": ["length", "angle"], **_without("pin")},
            ]
        }
    )

    length: Length | None = Field(None, description="Pivot to hole.")
    angle: Angle | None = Field(
        None, description="From u towards v, anticlockwise for the viewer of the axis."
    )
    offset: Length | None = Field(
        None, description="Place along the shaft, positive toward the viewer."
    )
    pin: Point | None = Field(
        None, description="Centre of the hole, instead of length and angle."
    )
    mass: Mass | None = Field(None, description="Mass of the lever.")

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        given = [k for k in ("length", "angle", "offset") if getattr(self, k)]
        if self.pin is not None and given:
            msg = f"an arm has `pin` or `{given[0]}`, not both"
            raise LayoutError(msg, hint="keep the one that you measured")
        if self.pin is None and not {"length", "angle"} <= {*given}:
            lacking = "angle" if self.length else "length"
            msg = f"the key `{lacking}` is missing"
            hint = "an arm needs `length` and `angle`, or `pin = [x, y, z]`"
            raise LayoutError(msg, hint=hint)
        return self


class ShaftTable(Table):
    """A part that turns about a fixed pivot."""

    pivot: Point = Field(description="A point on its centre line.")
    axis: AxisWord = Field(description="Where its viewer stands.")
    arms: dict[Name, ArmTable] = Field(description="Its levers by name.")
    bearing: Size | None = Field(None, description="Diameter of its bearing or pin.")
    friction: Fraction | None = Field(None, description="Coefficient of friction.")
    drag: Torque | None = Field(
        None,
        description="Friction torque that no load changes: half of what turns it "
        "less what lets it back, springs off.",
    )
    inertia: Inertia | None = Field(None, description="Moment of inertia.")


class RodTable(Table):
    """A rod between two arms."""

    from_: str = Field(
        alias="from", description="Its hole nearer the pedal: shaft.arm."
    )
    to: str = Field(description="Its other hole: shaft.arm.")
    length: Length | None = Field(
        None, description="Centre to centre; without it the rod is cut to fit."
    )
    joints: Joints | None = Field(None, description="Kind of joint at its ends.")
    play: Size | None = Field(None, description="Lost motion of both joints together.")
    diameter: Size | None = Field(None, description="Outer diameter.")
    bore: Size | None = Field(None, description="Inner diameter of a tube.")
    material: Annotated[str, one_of("rod material", "steel", "aluminium")] | None = None
    mass: Mass | None = None


class PedalTable(Table):
    """The driver's pedal."""

    shaft: str = Field(description="Its shaft.")
    pad: str = Field(description="The arm that carries the pad.")
    travel: Length = Field(description="Along the pad's arc, from rest to the floor.")
    stop: Length | None = Field(None, description="Pad travel at the pedal stop.")
    free_play: Size | None = Field(None, description="Travel before anything moves.")
    presses: Sense | None = Field(
        None, description="Sense in which pressing turns it, where it is not forward."
    )


class ThrottleTable(Table):
    """A plate on a spindle, or another lever that must reach its end."""

    shaft: str = Field(description="The spindle.")
    opens: Sense = Field(description="Opening sense, for the viewer of its axis.")
    swing: Angle = Field(description="From the idle stop to the full stop.")
    bore: Size | None = Field(None, description="Bore diameter.")
    spindle: Size | None = Field(None, description="Spindle diameter.")
    closed_angle: Turn | None = Field(
        None, description="Shut plate from the plane square to the bore."
    )


class NamedThrottleTable(ThrottleTable):
    """One of several throttles."""

    kind: Annotated[str, one_of("kind of throttle", "plate", "kickdown")] = "plate"


#: Keys that each kind of spring needs, and those it cannot have.
_ENDS: Final[dict[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    "extension": (("hook", "anchor"), ("shaft",)),
    "compression": (("hook", "anchor"), ("shaft",)),
    "measured": (("hook",), ("shaft",)),
    "torsion": (("shaft",), ("hook", "anchor")),
}
_ENDS_HINT: Final = (
    'a spring has `hook = "shaft.arm"` and `anchor = [x, y, z]`; '
    "one of kind `torsion` has `shaft`"
)


def _spring_rules(schema: dict[str, Any]) -> None:
    """Say in the schema what `_ENDS` and the two kinds of rate say."""
    rules = []
    for kind, (asked, barred) in _ENDS.items():
        condition: dict[str, Any] = {"properties": {"kind": {"const": kind}}}
        if kind != "extension":
            condition["required"] = ["kind"]
        rate = "torsion rate+" if kind == "torsion" else "rate+"
        rules.append(
            {
                "if": condition,
                "then": {
                    "required": list(asked),
                    "properties": {"rate": {"x-kind": rate}},
                    **_without(*barred),
                },
            }
        )
    schema["allOf"] = rules
    schema["properties"]["rate"] = {
        "description": "Force a length, or torque an angle."
    }


class SpringTable(Table):
    """A return spring."""

    model_config = ConfigDict(json_schema_extra=_spring_rules)

    kind: Annotated[
        str, one_of("kind of spring", "extension", "compression", "torsion", "measured")
    ] = "extension"
    hook: str | None = Field(None, description="Hole it is hooked to: shaft.arm.")
    shaft: str | None = Field(None, description="Shaft of a torsion spring.")
    anchor: Point | None = Field(None, description="Its fixed end.")
    anchored_on: Annotated[str, one_of("carrier", "body", "engine")] = "body"
    rate: Rate | None = Field(None, description="Force a length, or torque an angle.")
    free_length: Size | None = Field(None, description="Length without load.")
    initial_tension: Force | None = Field(
        None, description="Load that opens the coils."
    )
    greatest_length: Size | None = Field(None, description="Longest it may be pulled.")
    solid_length: Size | None = Field(None, description="Length with coils touching.")
    loads: tuple[tuple[Force, Size], tuple[Force, Size]] | None = Field(
        None, description="Two measured loads, each with its length."
    )
    wire: Size | None = Field(None, description="Wire diameter.")
    coil: Size | None = Field(None, description="Outside diameter of the coils.")
    turns: Number | None = Field(None, description="Number of turns.")
    end_turns: Number | None = Field(None, description="Turns that do not work.")
    hook_bend_radius: Size | None = Field(None, description="Mean bend of the hook.")
    hook_twist_radius: Size | None = Field(None, description="Bend at the hook's root.")
    material: str | None = Field(None, description="Wire, by its standard.")
    preload: Torque | None = Field(None, description="Torque at rest, torsion spring.")
    shuts: Sense | None = Field(None, description="Sense in which it turns its shaft.")
    pull_idle: Force | None = Field(None, description="Measured pull at idle.")
    pull_full: Force | None = Field(None, description="Measured pull at full throttle.")

    @model_validator(mode="after")
    def _ends(self) -> Self:
        asked, barred = _ENDS[self.kind]
        for key in barred:
            if getattr(self, key) is not None:
                msg = f"a spring of kind `{self.kind}` has no `{key}`"
                raise LayoutError(msg, hint=_ENDS_HINT)
        for key in asked:
            if getattr(self, key) is None:
                msg = f"the key `{key}` is missing"
                raise LayoutError(msg, hint=_ENDS_HINT)
        return self


class StopTable(Table):
    """A fixed stop on a shaft."""

    shaft: str = Field(description="The shaft it stops.")
    turn: Sense = Field(description="Sense in which the shaft meets it.")
    after: Turn = Field(description="Turn from rest.")


class AboutTable(Table):
    """The line about which the engine rolls."""

    point: Point
    axis: AxisWord


class EngineTable(Table):
    """What rocks with the engine, and how far."""

    carries: list[str] = Field(
        default_factory=list, description="Shafts fixed to the engine."
    )
    roll: Turn | None = Field(None, description="Roll either way.")
    about: AboutTable | None = None
    lift: Size | None = Field(None, description="Rise if a mount lets go.")


class FrictionTable(Table):
    """Friction in the bearings."""

    coefficient: Fraction | None = None
    cold_factor: Number | None = Field(None, description="How much more when cold.")


class VehicleTable(Table):
    """The whole vehicle."""

    mass: Mass | None = None
    temperature: Temperature | None = Field(None, description="Coldest ambient.")


class LayoutFile(Table):
    """A layout file."""

    model_config = ConfigDict(
        title="Layout of a throttle linkage",
        json_schema_extra={
            "oneOf": [{"required": ["throttle"]}, {"required": ["throttles"]}]
        },
    )

    format: FormatNumber = Field(description="Version of the file format.")
    title: str = Field("", description="One line that names the layout.")
    units: UnitsTable | None = None
    shafts: dict[Name, ShaftTable] = Field(description="Pedal, cross shaft, spindle.")
    rods: dict[Name, RodTable] = Field(description="Rods by name.")
    pedal: PedalTable
    throttle: ThrottleTable | None = None
    throttles: dict[Name, NamedThrottleTable] | None = None
    springs: dict[Name, SpringTable] = Field(default_factory=dict)
    stops: dict[Name, StopTable] = Field(default_factory=dict)
    engine: EngineTable | None = None
    friction: FrictionTable | None = None
    vehicle: VehicleTable | None = None
    limits: LimitsTable | None = None

    @model_validator(mode="after")
    def _one_form(self) -> Self:
        if (self.throttle is None) == (self.throttles is None):
            if self.throttle is None:
                msg = "the table [throttle] is missing"
                raise LayoutError(msg, hint="add it with `shaft`, `opens` and `swing`")
            msg = "the file has both [throttle] and [throttles]"
            raise LayoutError(msg, hint="write all of them as [throttles.NAME]")
        return self


def kind_of(annotation: Any) -> str | None:  # noqa: ANN401
    """Return the kind of quantity that a field's annotation holds, if any."""
    for part in getattr(annotation, "__metadata__", ()):
        if isinstance(part, Quantity):
            return part.kind
    for inner in getattr(annotation, "__args__", ()):
        kind = kind_of(inner)
        if kind is not None:
            return kind
    return None
