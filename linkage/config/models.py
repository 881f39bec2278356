"""The tables of a layout file.

Each class is one table, each field one key, in the order in which a person
measures. The JSON Schema is made from these classes.

Not here: what the values mean together (`build`).
"""

from typing import Annotated, Any, ClassVar, Final, Self

from linkage.config.cable_table import CableTable, RimPoint
from linkage.config.cam_table import CamTable
from linkage.config.ends import (
    HandTable,
    NamedThrottleTable,
    PedalTable,
    StopTable,
    ThrottleTable,
)
from linkage.config.fields import (
    Angle,
    AxisWord,
    Fit,
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
    YesNo,
    one_of,
)
from linkage.config.governor import GovernorTable, one_driver
from linkage.config.heat_table import HeatTable
from linkage.config.listed import LimitsTable, MeasuredTable, UnitsTable
from linkage.config.obstacle_table import ObstacleTable
from linkage.config.slides import SlideTable
from linkage.config.tables import Table, key, optional, without
from linkage.errors import LayoutError


class ArmTable(Table):
    """A lever on a shaft: by `length` and `angle`, or by `pin`."""

    model_config: ClassVar = {
        "json_schema_extra": {
            "oneOf": [
                {"required": ["pin"], **without("length", "angle", "offset")},
                {"required": ["length", "angle"], **without("pin")},
            ]
        }
    }

    length: Length | None = optional("Pivot to hole.")
    angle: Angle | None = optional(
        "From u towards v, anticlockwise for the viewer of the axis."
    )
    offset: Length | None = optional(
        "Place along the shaft, positive toward the viewer."
    )
    pin: Point | None = optional("Centre of the hole, instead of length and angle.")
    mass: Mass | None = optional("Mass of the lever.")
    fixed: YesNo = key("Bought, or not to be touched.", default=False)
    clocking: Annotated[str, one_of("clocking", "free", "fixed")] = key(
        "Fixed: it may not be turned on its shaft.", default="free"
    )
    wound: Sense | None = optional(
        "Of a drum or quadrant: sense in which its wire lies round it from the nipple on."
    )
    rim: list[RimPoint] = key(
        "Of one that is no circle: turns round it from the nipple on, and the radius.",
        made=list,
    )

    def _together(self) -> Self:
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

    pivot: Point = key("A point on its centre line.")
    axis: AxisWord = key("Where its viewer stands.")
    arms: dict[Name, ArmTable] = key("Its levers by name.")
    bearing: Size | None = optional("Diameter of its bearing or pin.")
    bearings: tuple[Length, Length] | None = optional(
        "Two places along the shaft, from the pivot, at which it is carried."
    )
    friction: Fraction | None = optional("Coefficient of friction.")
    drag: Torque | None = optional(
        "Friction torque that no load changes: half of what turns it "
        "less what lets it back, rods and springs off.",
    )
    inertia: Inertia | None = optional("Moment of inertia.")
    play: Size | None = optional("Of its pin in its bush, from side to side.")
    fit: Fit | None = optional("Of hole and pin by ISO 286, instead of `play`.")
    fixed: YesNo = key("Bought, or not to be touched.", default=False)


class RodTable(Table):
    """A rod between two arms."""

    from_: str = key("Its hole nearer the pedal: shaft.arm.", alias="from")
    to: str = key("Its other hole: shaft.arm.")
    length: Length | None = optional(
        "Centre to centre; without it the rod is cut to fit."
    )
    joints: Joints | None = optional("Kind of joint at its ends.")
    play: Size | None = optional("Lost motion of both joints together.")
    fit: Fit | None = optional("Of hole and pin of both by ISO 286, instead of `play`.")
    diameter: Size | None = optional("Outer diameter.")
    bore: Size | None = optional("Inner diameter of a tube.")
    material: Annotated[str, one_of("rod material", "steel", "aluminium")] | None = None
    mass: Mass | None = None
    joint_diameter: Size | None = optional("Of the balls or pins of its joints.")
    joint_friction: Fraction | None = optional("Coefficient of friction in them.")
    fixed: YesNo = key("Bought, or not to be touched.", default=False)
    slot: Length | None = optional("Way of its pin in a slot, from end to end.")
    slot_at: Annotated[str, one_of("end of a rod", "from", "to")] | None = optional(
        "The end with the slot; `to` without it."
    )
    only: Annotated[str, one_of("way of a rod", "pull", "push")] | None = optional(
        "What alone it can do: a wire or an open hook, a push rod in a cup."
    )
    lost: Size | None = optional("Way that it goes at rest before it drives.")
    over_travel: Length | None = optional("Way that its over-travel spring gives.")
    over_travel_load: Force | None = optional("Force at which that begins to give.")
    over_travel_rate: Rate | None = optional("Force a length that it takes on.")


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
                    **without(*barred),
                },
            }
        )
    schema["allOf"] = rules
    schema["properties"]["rate"] = {
        "description": "Force a length, or torque an angle."
    }


class SpringTable(Table):
    """A return spring."""

    model_config: ClassVar = {"json_schema_extra": _spring_rules}

    kind: Annotated[
        str, one_of("kind of spring", "extension", "compression", "torsion", "measured")
    ] = "extension"
    hook: str | None = optional("Hole it is hooked to: shaft.arm.")
    shaft: str | None = optional("Shaft of a torsion spring.")
    anchor: Point | None = optional("Its fixed end.")
    anchored_on: Annotated[str, one_of("carrier", "body", "engine")] = "body"
    rate: Rate | None = optional("Force a length, or torque an angle.")
    free_length: Size | None = optional("Length without load.")
    initial_tension: Force | None = optional("Load that opens the coils.")
    greatest_length: Size | None = optional("Longest it may be pulled.")
    solid_length: Size | None = optional("Length with coils touching.")
    loads: tuple[tuple[Force, Size], tuple[Force, Size]] | None = optional(
        "Two measured loads, each with its length."
    )
    wire: Size | None = optional("Wire diameter.")
    coil: Size | None = optional("Outside diameter of the coils.")
    turns: Number | None = optional("Number of turns.")
    end_turns: Number | None = optional("Turns that do not work.")
    hook_bend_radius: Size | None = optional("Mean bend of the hook.")
    hook_twist_radius: Size | None = optional("Bend at the hook's root.")
    material: str | None = optional("Wire, by its standard.")
    preload: Torque | None = optional("Torque at rest, torsion spring.")
    shuts: Sense | None = optional("Sense in which it turns its shaft.")
    pull_idle: Force | None = optional("Measured pull at idle.")
    pull_full: Force | None = optional("Measured pull at full throttle.")
    fixed: YesNo = key("Bought, or not to be touched.", default=False)

    def _together(self) -> Self:
        asked, barred = _ENDS[self.kind]
        for name in barred:
            if getattr(self, name) is not None:
                msg = f"a spring of kind `{self.kind}` has no `{name}`"
                raise LayoutError(msg, hint=_ENDS_HINT)
        for name in asked:
            if getattr(self, name) is None:
                msg = f"the key `{name}` is missing"
                raise LayoutError(msg, hint=_ENDS_HINT)
        return self


class AboutTable(Table):
    """The line about which the engine rolls."""

    point: Point
    axis: AxisWord


class EngineTable(Table):
    """What rocks with the engine, and how far."""

    carries: list[str] = key("Shafts fixed to the engine.", made=list)
    roll: Turn | None = optional("Roll either way.")
    about: AboutTable | None = None
    lift: Size | None = optional("Rise or sag if a mount lets go.")


class FrictionTable(Table):
    """Friction in the bearings."""

    coefficient: Fraction | None = None
    cold_factor: Number | None = optional("How much more when cold.")


class VehicleTable(Table):
    """The whole vehicle."""

    use: (
        Annotated[str, one_of("use", "road", "water", "machine", "aircraft")] | None
    ) = optional("What it is for; aircraft are refused.")
    mass: Mass | None = None
    temperature: Temperature | None = optional("Coldest ambient.")


class LayoutFile(Table):
    """A layout file."""

    model_config: ClassVar = {
        "title": "Layout of a throttle linkage",
        "json_schema_extra": {
            "allOf": [
                {"oneOf": [{"required": ["throttle"]}, {"required": ["throttles"]}]},
                {"oneOf": [{"required": ["pedal"]}, {"required": ["governor"]}]},
            ]
        },
    }

    format: FormatNumber = key("Version of the file format.")
    title: str = key("One line that names the layout.", default="")
    units: UnitsTable | None = None
    measured: MeasuredTable | None = optional("What was measured with what.")
    shafts: dict[Name, ShaftTable] = key("Pedal, cross shaft, spindle.")
    slides: dict[Name, SlideTable] = key("Slides by name.", made=dict)
    rods: dict[Name, RodTable] = key("Rods by name.", made=dict)
    cables: dict[Name, CableTable] = key("Cables by name.", made=dict)
    cams: dict[Name, CamTable] = key("Cams by name.", made=dict)
    pedal: PedalTable | None = None
    governor: GovernorTable | None = None
    hand: HandTable | None = None
    throttle: ThrottleTable | None = None
    throttles: dict[Name, NamedThrottleTable] | None = None
    springs: dict[Name, SpringTable] = key(made=dict)
    stops: dict[Name, StopTable] = key(made=dict)
    engine: EngineTable | None = None
    heat: HeatTable | None = optional("How warm it gets, and from where it grows.")
    obstacles: dict[Name, ObstacleTable] = key(
        "What is near and must not be touched.", made=dict
    )
    friction: FrictionTable | None = None
    vehicle: VehicleTable | None = None
    limits: LimitsTable | None = None

    def _together(self) -> Self:
        one_driver(self)
        if (self.throttle is None) == (self.throttles is None):
            if self.throttle is None:
                msg = "the table [throttle] is missing"
                raise LayoutError(msg, hint="add it with `shaft`, `opens` and `swing`")
            msg = "the file has both [throttle] and [throttles]"
            raise LayoutError(msg, hint="write all of them as [throttles.NAME]")
        if both := sorted({*self.shafts} & {*self.slides}):
            msg = f"a shaft and a slide are both named `{both[0]}`"
            hint = "give one of them another name: rods name what they join by it"
            raise LayoutError(msg, hint=hint, key=("slides", both[0]))
        _named_once({"rod": self.rods, "cable": self.cables, "cam": self.cams})
        return self


def _named_once(tables: dict[str, Any]) -> None:
    """Refuse parts that join shafts of one name."""
    found: dict[str, str] = {}
    for kind, table in tables.items():
        for name in sorted(table):
            if name in found:
                msg = f"a {found[name]} and a {kind} are both named `{name}`"
                hint = (
                    "give one of them another name: findings tell of each by its name"
                )
                raise LayoutError(msg, hint=hint, key=(f"{kind}s", name))
        found |= dict.fromkeys(table, kind)


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
