"""From the table of heat to what grows, and back; what no vehicle's heat can be.

Not here: the other tables (`build`, `writer`), what heat does (`rules.heat`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from linkage.config.rods import given, point_of
from linkage.config.written import text_of
from linkage.errors import LayoutError
from linkage.model import Heat
from linkage.model.heat import ABSOLUTE_ZERO, PARTS, on_manifold
from linkage.quantities import say, say_round

if TYPE_CHECKING:
    from collections.abc import Iterator

    from linkage.config.heat_table import HeatTable
    from linkage.config.writer import Lines, Writer
    from linkage.model import Layout

#: What each may be at the least and at the most; beyond it a number or a unit is wrong.
#: Common practice, no source. [°C]
WITHIN: Final = {
    "set_at": (-20.0, 60.0),
    "cold": (-60.0, 40.0),
    "body_hot": (-20.0, 120.0),
    "block_hot": (30.0, 200.0),
    "manifold_hot": (20.0, 400.0),
    "rods_hot": (-20.0, 250.0),
}
#: No engine's mounts or manifold are further from what stands on it. Common practice,
#: no source. [m]
FARTHEST: Final = 3.0


def heat_of(table: HeatTable | None) -> Heat | None:
    """Return the heat of a table; None where there is none.

    Raises
    ------
    LayoutError
        If a temperature is none that a vehicle has.
    """
    if table is None:
        return None
    found = {name: given(table, name) for name in WITHIN}
    for name, value in found.items():
        if value is not None:
            _within(name, value)
    return Heat(
        held=point_of(table.held),
        block=table.block,
        manifold=table.manifold or "",
        seat=None if table.seat is None else point_of(table.seat),
        carries=None if table.carries is None else tuple(table.carries),
        body=table.body or "steel",
        **found,
    )


def _within(name: str, value: float) -> None:
    key = ("heat", name)
    told = say_round(value, "temperature")
    if value <= ABSOLUTE_ZERO:
        msg = f"`{name}` is {told}, and nothing is that cold"
        hint = f"look at number and unit; {say_round(ABSOLUTE_ZERO, 'temperature')} is the least"
        raise LayoutError(msg, hint=hint, key=key)
    least, most = WITHIN[name]
    if not least <= value <= most:
        low, high = (say_round(t, "temperature") for t in (least, most))
        msg = f"`{name}` is {told}, {'colder' if value < least else 'hotter'} than can be meant"
        hint = f"from {low} to {high}; look at number and unit"
        raise LayoutError(msg, hint=hint, key=key)


def refuse_heat(layout: Layout) -> None:
    """Refuse heat that does not belong to its layout.

    Raises
    ------
    LayoutError
        If nothing stands on the engine, the manifold carries what the engine does not,
        a place is out of the vehicle, or hot is colder than when it was set.
    """
    if layout.heat is None:
        return
    for error in _unmeant(layout, layout.heat):
        raise error


def _unmeant(layout: Layout, heat: Heat) -> Iterator[LayoutError]:
    carried = layout.engine.carries
    if not carried:
        msg = "[heat] is given, and no shaft stands on the engine"
        hint = 'name the shafts that the engine holds: `carries = ["spindle"]` under [engine]'
        yield LayoutError(msg, hint=hint, key=("heat",))
        return
    for name in heat.carries or ():
        if name not in carried:
            msg = f"the manifold carries `{name}`, and the engine does not"
            hint = "name it in `carries` of [engine] too, or take it out here"
            yield LayoutError(msg, hint=hint, key=("heat", "carries"))
    if heat.manifold and not on_manifold(layout, heat):
        msg = "nothing stands on the manifold"
        hint = (
            "name its shafts in `carries` of [heat], or take `manifold` and `seat` out: "
            "all grows as the block then"
        )
        yield LayoutError(msg, hint=hint, key=("heat", "manifold"))
    for word, point in (("held", heat.held), ("seat", heat.seat)):
        for name in carried if point is not None else ():
            away = math.dist(point or (), layout.shafts[name].pivot)
            if away > FARTHEST:
                msg = f"`{word}` is {say(away, 'length', 0)} away from shaft `{name}`"
                hint = (
                    "measure it from the datums of the pivots; look at number and unit"
                )
                yield LayoutError(msg, hint=hint, key=("heat", word))
    yield from _swapped(heat)


def _swapped(heat: Heat) -> Iterator[LayoutError]:
    """Yield temperatures in the wrong order: cold, as it was set, hot."""
    when_set = say_round(heat.when_set, "temperature")
    if heat.cold is not None and heat.cold > heat.when_set:
        cold = say_round(heat.cold, "temperature")
        msg = f"`cold` of {cold} is warmer than the {when_set} at which it was set"
        hint = "are cold and hot swapped? `cold` is that of a cold start, `set_at` when set"
        yield LayoutError(msg, hint=hint, key=("heat", "cold"))
    for part in PARTS:
        if getattr(heat, f"{part}_hot") is None:
            continue
        hot = heat.when_hot(part)
        if hot < heat.when_set:
            msg = (
                f"`{part}_hot` of {say_round(hot, 'temperature')} is colder than the "
                f"{when_set} at which it was set"
            )
            hint = "are cold and hot swapped? each `…_hot` is when the engine is hot"
            yield LayoutError(msg, hint=hint, key=("heat", f"{part}_hot"))


def heat_lines(out: Writer, heat: Heat | None) -> Lines:
    """Return the table of heat as a layout file has it."""
    if heat is None:
        return []
    lines = [
        "[heat]",
        f"held = {out.point(heat.held, 'heat', 'held')}",
        f"block = {text_of(heat.block)}",
    ]
    if heat.seat is not None:
        lines += [
            f"manifold = {text_of(heat.manifold)}",
            f"seat = {out.point(heat.seat, 'heat', 'seat')}",
        ]
    if heat.carries is not None:
        names = ", ".join(text_of(name) for name in heat.carries)
        lines.append(f"carries = [{names}]")
    if heat.body != "steel":
        lines.append(f"body = {text_of(heat.body)}")
    rows = [(name, getattr(heat, name), "temperature") for name in WITHIN]
    return lines + out.given(rows, "heat")
