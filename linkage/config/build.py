"""From the tables of a file to the layout.

Not here: reading single values (`fields`), measuring errors (`quantities`), complaints about
keys (`complaints`).
"""

import math
from collections.abc import Callable, Mapping
from typing import Any, Final, Literal, cast

from linkage.config.cable_table import MOST_POINTS
from linkage.config.cables import cable_of
from linkage.config.cams import cam_of
from linkage.config.ends import ThrottleTable, stops_of
from linkage.config.heat import heat_of, refuse_heat
from linkage.config.inputs import driver_of, hand_of, refuse_lengths
from linkage.config.listed import instruments_in
from linkage.config.meant import refuse_unmeant
from linkage.config.models import (
    ArmTable,
    EngineTable,
    LayoutFile,
    ShaftTable,
    SpringTable,
)
from linkage.config.obstacles import obstacle_of
from linkage.config.quantities import quantities, tolerances
from linkage.config.rods import given, hole_of, play_of, point_of, rod_of, si, sign_of
from linkage.config.slides import slide_from
from linkage.errors import LayoutError
from linkage.model import (
    Arm,
    Engine,
    Hole,
    Known,
    Layout,
    Limits,
    Shaft,
    Spring,
    Throttle,
    Vehicle,
)
from linkage.model.axes import add, dot
from linkage.model.instruments import GROUPS
from linkage.quantities import say_round
from linkage.units import Parsed

Key = tuple[str, ...]

#: Nipple and first point of a rim nearer than this are one. [m]
NIPPLE: Final = 1e-6

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


def _by_pin(table: ArmTable, shaft: ShaftTable, key: Key) -> tuple[float, ...]:
    """Return length, angle and offset of an arm given by its pin."""
    assert table.pin is not None  # noqa: S101  (the model has seen to it)
    away = add(point_of(table.pin), point_of(shaft.pivot), -1)
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
                si(row.length),
                si(row.angle),
                si(row.offset),
            )
        else:
            place = _by_pin(row, table, ("shafts", name, "arms", arm))
        arms[arm] = Arm(
            name=arm,
            length=place[0],
            angle=place[1],
            offset=place[2],
            mass=si(row.mass),
            fixed=row.fixed,
            clocking=cast("Literal['free', 'fixed']", row.clocking),
            wound=0 if row.wound is None else sign_of(row.wound),
            rim=_rim(row, place[0], ("shafts", name, "arms", arm)),
        )
    places = table.bearings
    return Shaft(
        name=name,
        pivot=point_of(table.pivot),
        axis=table.axis,
        arms=arms,
        bearing=si(table.bearing),
        bearings=None if places is None else (places[0].value, places[1].value),
        friction=given(table, "friction"),
        drag=given(table, "drag"),
        inertia=si(table.inertia),
        fixed=table.fixed,
        play=play_of(table, table.bearing, ("shafts", name), ends=1),
    )


def _rim(row: ArmTable, radius: float, key: Key) -> tuple[tuple[float, float], ...]:
    """Return the rim of a drum."""
    if not row.rim:
        return ()
    if len(row.rim) > MOST_POINTS:
        msg = f"a rim of {len(row.rim)} points, more than {MOST_POINTS}"
        hint = "the radius grows evenly between two points; fewer will do"
        raise LayoutError(msg, hint=hint, key=(*key, "rim"))
    first = row.rim[0][1].value
    if abs(first - radius) > NIPPLE:
        begins, nipple = (say_round(r, "length") for r in (first, radius))
        msg = f"the rim begins at {begins}, and the nipple is at {nipple}"
        hint = "the rim begins at the nipple: its first radius is the arm's length"
        raise LayoutError(msg, hint=hint, key=(*key, "rim"))
    return tuple((turn.value, away.value) for turn, away in row.rim)


def _throttle(name: str, table: ThrottleTable, *, governed: bool) -> Throttle:
    kind = getattr(table, "kind", "plate")
    # A governor shuts: the sense in which it drives is the other one.
    sense = sign_of(table.opens)
    return Throttle(
        name=name,
        shaft=table.shaft,
        opens=-sense if governed else sense,
        swing=table.swing.value,
        bore=si(table.bore),
        spindle=si(table.spindle),
        closed_angle=si(table.closed_angle),
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
        shuts=None if table.shuts is None else sign_of(table.shuts),
    )
    if table.hook is None:
        at = Hole(shaft=table.shaft or "", arm="")
    else:
        at = hole_of(table.hook, arms, ("springs", name, "hook"))
    return Spring(
        name=name,
        kind=cast(
            "Literal['extension', 'compression', 'torsion', 'measured']", table.kind
        ),
        shaft=at.shaft,
        arm=at.arm,
        anchor=None if table.anchor is None else point_of(table.anchor),
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
        roll=si(table.roll),
        about=(0.0, 0.0, 0.0) if about is None else point_of(about.point),
        axis=None if about is None else about.axis,
        lift=si(table.lift),
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
    shafts: dict[str, Shaft] = {
        **{name: _shaft(name, table) for name, table in file.shafts.items()},
        **{name: slide_from(name, table) for name, table in file.slides.items()},
    }
    arms: dict[str, Mapping[str, Any]] = {
        name: shaft.arms for name, shaft in shafts.items()
    }
    throttles = (
        {"throttle": file.throttle}
        if file.throttle is not None
        else file.throttles or {}
    )
    friction = None if file.friction is None else file.friction.coefficient
    governed = file.governor is not None
    make: Callable[..., Layout] = Layout
    layout = make(
        title=file.title,
        shafts=shafts,
        rods={
            **{name: rod_of(name, table, arms) for name, table in file.rods.items()},
            **{n: cable_of(n, table, arms) for n, table in file.cables.items()},
            **{n: cam_of(n, table, shafts) for n, table in file.cams.items()},
        },
        pedal=driver_of(file, shafts),
        hand=hand_of(file, shafts),
        governed=governed,
        throttles={
            name: _throttle(name, row, governed=governed)
            for name, row in throttles.items()
        },
        springs={name: _spring(name, row, arms) for name, row in file.springs.items()},
        stops=stops_of(file.stops, shafts),
        obstacles={
            name: obstacle_of(name, row) for name, row in file.obstacles.items()
        },
        engine=_engine(file.engine),
        heat=heat_of(file.heat),
        limits=_limits(file),
        cold_factor=given(file.friction, "cold_factor"),
        vehicle=Vehicle(
            mass=given(file.vehicle, "mass"),
            temperature=given(file.vehicle, "temperature"),
        ),
        tolerances=tolerances(file, shafts),
        measured=instruments_in(file.measured, GROUPS),
        **({} if friction is None else {"friction": friction.value}),
    )
    refuse_lengths(layout)
    refuse_heat(layout)
    return layout
