"""From the table of a rod to the rod, and single values of any table.

Not here: the other tables (`build`), reading values (`fields`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal, cast

from linkage.errors import LayoutError
from linkage.model import Hole, Rod
from linkage.model.fits import most_play
from linkage.model.names import split_hole
from linkage.model.valid import positive
from linkage.spoken import listed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.config.models import RodTable, ShaftTable
    from linkage.config.tables import Table
    from linkage.model import Joint, OneWay, Vector
    from linkage.units import Parsed

    Key = tuple[str, ...]


def si(value: Parsed | None, default: float = 0.0) -> float:
    """Return a value in SI, or what stands for none."""
    return default if value is None else value.value


def given(table: Table | None, key: str) -> float | None:
    """Return a value of a table in SI; None where it is not given."""
    value = getattr(table, key, None)
    return None if value is None else float(value.value)


def point_of(point: tuple[Parsed, Parsed, Parsed]) -> Vector:
    """Return a point in SI."""
    return point[0].value, point[1].value, point[2].value


def sign_of(word: str) -> Literal[1, -1]:
    """Return a sense of turning as a sign: 1 anticlockwise, -1 clockwise."""
    return 1 if word == "anticlockwise" else -1


def hole_of(text: str, arms: Mapping[str, Mapping[str, Any]], key: Key) -> Hole:
    """Return a hole; `Layout` refuses unknown names."""
    shaft, arm = split_hole(text, arms, key)
    return Hole(shaft=shaft, arm=arm)


def play_of(
    table: RodTable | ShaftTable, diameter: Parsed | None, key: Key, *, ends: int
) -> float:
    """Return the play that is given, or the most that a fit has at so many ends. [m].

    Parameters
    ----------
    table : Table
        Of a rod or a shaft.
    diameter : Parsed or None
        Of the pin.
    key : tuple of str
        Of the table.
    ends : int
        2 of a rod, 1 of a shaft.

    Raises
    ------
    LayoutError
        If both are given, or a fit without the pin's diameter.
    """
    if table.fit is None:
        return si(table.play)
    word = "joint_diameter" if ends > 1 else "bearing"
    if table.play is not None:
        msg = "both `play` and `fit` are given"
        hint = "keep `play` where it was measured, `fit` of what is new"
        raise LayoutError(msg, hint=hint, key=(*key, "fit"))
    if diameter is None:
        msg = f"a fit without `{word}`"
        hint = f"a fit's play goes with the diameter of its pin: add `{word}`"
        raise LayoutError(msg, hint=hint, key=(*key, "fit"))
    try:
        return ends * most_play(table.fit, diameter.value)
    except LayoutError as error:
        error.key = (*key, word)
        raise


def rod_of(name: str, table: RodTable, arms: Mapping[str, Mapping[str, Any]]) -> Rod:
    """Return the rod of a table."""
    _lost_known(name, table)
    _over_travel_known(name, table)
    return Rod(
        name=name,
        start=hole_of(table.from_, arms, ("rods", name, "from")),
        end=hole_of(table.to, arms, ("rods", name, "to")),
        length=None if table.length is None else table.length.value,
        joints=cast("tuple[Joint, Joint]", table.joints or ("ball", "ball")),
        play=play_of(table, table.joint_diameter, ("rods", name), ends=2),
        diameter=si(table.diameter),
        bore=si(table.bore),
        material=cast("Literal['steel', 'aluminium']", table.material or "steel"),
        mass=si(table.mass),
        joint_diameter=si(table.joint_diameter),
        joint_friction=given(table, "joint_friction"),
        fixed=table.fixed,
        slot=si(table.slot),
        slot_at="start" if table.slot_at == "from" else "end",
        only=cast("OneWay", table.only or ""),
        lost=si(table.lost),
        over_travel=si(table.over_travel),
        over_travel_load=si(table.over_travel_load),
        over_travel_rate=si(table.over_travel_rate),
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


def _over_travel_known(name: str, table: RodTable) -> None:
    """Refuse an over-travel spring of which not all three numbers are known."""
    keys = ("over_travel", "over_travel_load", "over_travel_rate")
    missing = [key for key in keys if getattr(table, key) is None]
    if 0 < len(missing) < len(keys):
        told = listed([f"`{key}`" for key in missing])
        msg = f"the over-travel spring of rod `{name}` lacks {told}"
        hint = (
            "give how far it can give, the force at which it begins to, and its rate: "
            "pull the rod with a spring balance against the held lever"
        )
        there = next(key for key in keys if key not in missing)
        raise LayoutError(msg, hint=hint, key=("rods", name, there))
    if table.over_travel is not None:
        positive(
            table.over_travel.value,
            "the way of an over-travel spring",
            ("rods", name, "over_travel"),
        )
