"""From the tables of a file to the layout.

Not here: reading single values (`fields`), measuring errors (`quantities`), complaints about
keys (`complaints`).
"""

import math
from collections.abc import Callable, Mapping
from typing import Any, Final, Literal, cast

from linkage.config.meant import refuse_unmeant
from linkage.config.models import (
    ArmTable,
    EngineTable,
    LayoutFile,
    PedalTable,
    RodTable,
    ShaftTable,
    SpringTable,
    ThrottleTable,
)
from linkage.config.quantities import quantities, tolerances
from linkage.config.tables import Table
from linkage.errors import LayoutError
from linkage.model import (
    Arm,
    Engine,
    Hole,
    Joint,
    Known,
    Layout,
    Limits,
    OneWay,
    Pedal,
    Rod,
    Shaft,
    Spring,
    Stop,
    Throttle,
    Vehicle,
)
from linkage.model.axes import add, dot
from linkage.model.names import split_hole
from linkage.model.valid import positive
from linkage.units import Parsed

Key = tuple[str, ...]
Sign = Literal[1, -1]

#: Share of the pad's path that must point forward for `presses` to be left out.
LEAST_FORWARD: Final = 0.2

#: Keys of a spring's table that are no numbers of its force law.
_NOT_DATA: Final = frozenset(
    {
        "kind",
        "hook",
        "shaft",
        "anchor",
        "anchored_on",
        "material",
        "loads",
        "shuts",
        "fixed",
    }
)


def _si(value: Parsed | None, default: float = 0.0) -> float:
    return default if value is None else value.value


def _optional(table: Table | None, key: str) -> float | None:
    value = getattr(table, key, None)
    return None if value is None else float(value.value)


def _point(point: tuple[Parsed, Parsed, Parsed]) -> tuple[float, float, float]:
    return point[0].value, point[1].value, point[2].value


def _sign(word: str) -> Sign:
    return 1 if word == "anticlockwise" else -1


def _hole(text: str, arms: Mapping[str, Mapping[str, Any]], key: Key) -> Hole:
    """Return a hole; `Layout` refuses unknown names."""
    shaft, arm = split_hole(text, arms, key)
    return Hole(shaft=shaft, arm=arm)


def _by_pin(table: ArmTable, shaft: ShaftTable, key: Key) -> tuple[float, ...]:
    """Return length, angle and offset of an arm given by its pin."""
    assert table.pin is not None  # noqa: S101  (the model has seen to it)
    away = add(_point(table.pin), _point(shaft.pivot), -1)
    along, up = dot(away, shaft.axis.u), dot(away, shaft.axis.v)
    length = math.hypot(along, up)
    if length < 1e-9:
        msg = "the pin lies on the centre line of its own shaft"
        hint = "an arm needs a length; measure pivot and pin from the same datum"
        raise LayoutError(msg, hint=hint, key=(*key, "pin"))
    return length, math.atan2(up, along), dot(away, shaft.axis.n)


def _shaft(name: str, table: ShaftTable) -> Shaft:
    arms = {}
    for arm, row in table.arms.items():
        if row.pin is None:
            place: tuple[float, ...] = (
                _si(row.length),
                _si(row.angle),
                _si(row.offset),
            )
        else:
            place = _by_pin(row, table, ("shafts", name, "arms", arm))
        arms[arm] = Arm(
            name=arm,
            length=place[0],
            angle=place[1],
            offset=place[2],
            mass=_si(row.mass),
            fixed=row.fixed,
            clocking=cast("Literal['free', 'fixed']", row.clocking),
        )
    places = table.bearings
    return Shaft(
        name=name,
        pivot=_point(table.pivot),
        axis=table.axis,
        arms=arms,
        bearing=_si(table.bearing),
        bearings=None if places is None else (places[0].value, places[1].value),
        friction=_optional(table, "friction"),
        drag=_optional(table, "drag"),
        inertia=_si(table.inertia),
        fixed=table.fixed,
    )


def _rod(name: str, table: RodTable, arms: Mapping[str, Mapping[str, Any]]) -> Rod:
    _lost_known(name, table)
    return Rod(
        name=name,
        start=_hole(table.from_, arms, ("rods", name, "from")),
        end=_hole(table.to, arms, ("rods", name, "to")),
        length=None if table.length is None else table.length.value,
        joints=cast("tuple[Joint, Joint]", table.joints or ("ball", "ball")),
        play=_si(table.play),
        diameter=_si(table.diameter),
        bore=_si(table.bore),
        material=cast("Literal['steel', 'aluminium']", table.material or "steel"),
        mass=_si(table.mass),
        joint_diameter=_si(table.joint_diameter),
        joint_friction=_optional(table, "joint_friction"),
        fixed=table.fixed,
        slot=_si(table.slot),
        slot_at="start" if table.slot_at == "from" else "end",
        only=cast("OneWay", table.only or ""),
        lost=_si(table.lost),
    )


def _lost_known(name: str, table: RodTable) -> None:
    """Refuse a table that says twice how much motion a rod loses, or where no slot is."""
    if table.lost is not None and table.length is not None:
        msg = f"rod `{name}` has a length and the motion that is lost"
        hint = (
            "each follows from the other: leave `length` out to have it cut so that so "
            "much is lost, or `lost` out"
        )
        raise LayoutError(msg, hint=hint, key=("rods", name, "lost"))
    if table.slot is not None:
        positive(
            table.slot.value, "the way of a pin in its slot", ("rods", name, "slot")
        )
    if table.slot_at is not None and table.slot is None:
        msg = f"rod `{name}` says where its slot is, and has none"
        hint = "add `slot`, the way of the pin from end to end, or take `slot_at` out"
        raise LayoutError(msg, hint=hint, key=("rods", name, "slot_at"))


def _presses(table: PedalTable, shafts: Mapping[str, Shaft]) -> Sign:
    """Return the pressing sense: as given, or that which moves the pad forward."""
    if table.presses is not None:
        return _sign(table.presses)
    shaft = shafts.get(table.shaft)
    arm = None if shaft is None else shaft.arms.get(table.pad)
    if shaft is None or arm is None:
        return 1  # `Layout` refuses the unknown name
    u, v = shaft.axis.u, shaft.axis.v
    forward = math.cos(arm.angle) * v[0] - math.sin(arm.angle) * u[0]
    if abs(forward) < LEAST_FORWARD:
        msg = "it is not clear which way the pedal is pressed: its pad hardly moves forward"
        hint = (
            'add `presses = "clockwise"` or `"anticlockwise"`, '
            f"seen from {shaft.axis.seen_from}"
        )
        raise LayoutError(msg, hint=hint, key=("pedal", "presses"))
    return 1 if forward > 0 else -1


def _pedal(table: PedalTable, shafts: Mapping[str, Shaft]) -> Pedal:
    return Pedal(
        shaft=table.shaft,
        pad=table.pad,
        travel=table.travel.value,
        presses=_presses(table, shafts),
        stop=None if table.stop is None else table.stop.value,
        free_play=_si(table.free_play),
    )


def _throttle(name: str, table: ThrottleTable) -> Throttle:
    kind = getattr(table, "kind", "plate")
    return Throttle(
        name=name,
        shaft=table.shaft,
        opens=_sign(table.opens),
        swing=table.swing.value,
        bore=_si(table.bore),
        spindle=_si(table.spindle),
        closed_angle=_si(table.closed_angle),
        kind=cast("Literal['plate', 'kickdown']", kind),
    )


def spring_numbers(table: SpringTable) -> dict[str, Parsed]:
    """Return the numbers of a spring by the field of `Known`."""
    found = {
        name: value
        for name in SpringTable.model_fields
        if name not in _NOT_DATA and isinstance(value := getattr(table, name), Parsed)
    }
    for number, (load, length) in enumerate(table.loads or (), start=1):
        found[f"load_{number}"] = load
        found[f"length_{number}"] = length
    return found


def _spring(
    name: str, table: SpringTable, arms: Mapping[str, Mapping[str, Any]]
) -> Spring:
    known = Known(
        **{key: value.value for key, value in spring_numbers(table).items()},
        shuts=None if table.shuts is None else _sign(table.shuts),
    )
    if table.hook is None:
        at = Hole(shaft=table.shaft or "", arm="")
    else:
        at = _hole(table.hook, arms, ("springs", name, "hook"))
    return Spring(
        name=name,
        kind=cast(
            "Literal['extension', 'compression', 'torsion', 'measured']", table.kind
        ),
        shaft=at.shaft,
        arm=at.arm,
        anchor=None if table.anchor is None else _point(table.anchor),
        anchored_on=cast("Literal['body', 'engine']", table.anchored_on),
        known=known,
        material=table.material or "",
        fixed=table.fixed,
    )


def _engine(table: EngineTable | None) -> Engine:
    if table is None:
        return Engine()
    about = table.about
    return Engine(
        carries=tuple(table.carries),
        roll=_si(table.roll),
        about=(0.0, 0.0, 0.0) if about is None else _point(about.point),
        axis=None if about is None else about.axis,
        lift=_si(table.lift),
    )


def _limits(file: LayoutFile) -> Limits:
    if file.limits is None:
        return Limits()
    return Limits(**{key[0]: row.value for key, row in quantities(file.limits)})


def build(file: LayoutFile) -> Layout:
    """Return the layout that a file describes.

    Parameters
    ----------
    file : LayoutFile
        Its tables, each value read.

    Returns
    -------
    Layout
        In SI.

    Raises
    ------
    LayoutError
        If the parts do not make a linkage; `key` says where.
    """
    refuse_unmeant(file)
    arms = {name: table.arms for name, table in file.shafts.items()}
    shafts = {name: _shaft(name, table) for name, table in file.shafts.items()}
    throttles = (
        {"throttle": file.throttle}
        if file.throttle is not None
        else file.throttles or {}
    )
    friction = None if file.friction is None else file.friction.coefficient
    make: Callable[..., Layout] = Layout
    return make(
        title=file.title,
        shafts=shafts,
        rods={name: _rod(name, table, arms) for name, table in file.rods.items()},
        pedal=_pedal(file.pedal, shafts),
        throttles={name: _throttle(name, row) for name, row in throttles.items()},
        springs={name: _spring(name, row, arms) for name, row in file.springs.items()},
        stops={
            name: Stop(
                name=name, shaft=row.shaft, turn=_sign(row.turn) * row.after.value
            )
            for name, row in file.stops.items()
        },
        engine=_engine(file.engine),
        limits=_limits(file),
        cold_factor=_optional(file.friction, "cold_factor"),
        vehicle=Vehicle(
            mass=_optional(file.vehicle, "mass"),
            temperature=_optional(file.vehicle, "temperature"),
        ),
        tolerances=tolerances(file, shafts),
        **({} if friction is None else {"friction": friction.value}),
    )
