"""What of a linkage gets warm and grows, of what it is, and from where it grows.

The engine is held by its mounts, and stands on them; the block grows from there, and
the manifold on it from the face at which it sits. The body grows from the mounts too, so
that it and the engine have that one point in common.

Not here: where the grown parts stand (`motion.grown`), what is asked of them
(`rules.heat`).
"""

from __future__ import annotations

import math
from dataclasses import field
from typing import TYPE_CHECKING, Final, Literal, NamedTuple, TypeAlias

from linkage.errors import LayoutError, did_you_mean
from linkage.model.columns import every, greater, lesser, pick
from linkage.model.frozen import FrozenDict
from linkage.model.valid import finite
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.model.axes import Vector
    from linkage.model.cable import Cable, SheathEnd
    from linkage.model.columns import Number
    from linkage.model.model import Layout
    from linkage.model.parts import Hole

Part: TypeAlias = Literal["body", "block", "manifold", "rods"]
PARTS: Final[tuple[Part, ...]] = ("body", "block", "manifold", "rods")

#: Mean linear expansion between 20 and 100 °C: E. Oberg and others, Machinery's
#: Handbook, tables of thermal expansion, from memory and rounded. Alloys of one name
#: differ by some 5 %. [1/K]
EXPANSION: Final[Mapping[str, float]] = FrozenDict(
    {
        "steel": 11.7e-6,
        "stainless steel": 17.3e-6,
        "cast iron": 10.8e-6,
        "aluminium": 23.0e-6,
        "magnesium": 26.0e-6,
        "zinc": 27.4e-6,
        "brass": 19.9e-6,
    }
)
MATERIALS: Final = tuple(EXPANSION)

#: Temperature at which a linkage is measured and set, in a workshop, and of a cold
#: start; and of each part when hot. Common practice, no source. [°C]
SET_AT: Final = 20.0
COLD: Final = -10.0
HOT: Final[Mapping[Part, float]] = FrozenDict(
    {"body": 40.0, "block": 90.0, "manifold": 100.0, "rods": 60.0}
)
#: Nothing is colder. [°C]
ABSOLUTE_ZERO: Final = -273.15


class State(NamedTuple):
    """How warm a vehicle may be: which of its parts are hot, the others cold."""

    words: str
    hot: tuple[Part, ...]


#: In the order in which a drive brings them. What is between lies between in growth too.
STATES: Final = (
    State("in a cold start", ()),
    State("while it warms up, the manifold hot already", ("manifold",)),
    State("hot on a cold day", ("block", "manifold")),
    State("stopped hot", PARTS),
)

_UNKNOWN: Final = {"none": math.nan}


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """How warm a vehicle gets, of what its engine is, and from where that grows.

    Parameters
    ----------
    held : tuple of 3 floats
        Amid its mounts: where the body holds the engine. [m]
    block, manifold, body : str
        Materials, keys of `EXPANSION`; of the manifold empty where none is told apart
        from the block.
    seat : tuple of 3 floats, optional
        Middle of the face at which the manifold sits on the block. [m]
    carries : tuple of str, optional
        Shafts on the manifold; None takes the throttles' spindles on the engine.
    set_at, cold : float, optional
        Temperature of all at which it was measured and set, and of a cold start. None
        takes `SET_AT`, and of cold the vehicle's coldest or `COLD`. [°C]
    body_hot, block_hot, manifold_hot, rods_hot : float, optional
        Temperature of each part when hot; None takes that of `HOT`. [°C]
    """

    held: Vector
    block: str
    manifold: str = ""
    seat: Vector | None = None
    carries: tuple[str, ...] | None = None
    body: str = "steel"
    set_at: Number | None = field(default=None, metadata=_UNKNOWN)
    cold: Number | None = field(default=None, metadata=_UNKNOWN)
    body_hot: Number | None = field(default=None, metadata=_UNKNOWN)
    block_hot: Number | None = field(default=None, metadata=_UNKNOWN)
    manifold_hot: Number | None = field(default=None, metadata=_UNKNOWN)
    rods_hot: Number | None = field(default=None, metadata=_UNKNOWN)

    def __post_init__(self) -> None:
        for what in ("block", "manifold", "body"):
            _known_material(getattr(self, what), what)
        finite(self.held, "where the engine is held", ("heat", "held"))
        if (self.seat is None) == bool(self.manifold):
            msg = "the seat of a manifold and its material go together"
            hint = "give `manifold` and `seat`, or neither: all grows as the block then"
            raise LayoutError(msg, hint=hint, key=("heat", "manifold"))
        if self.seat is not None:
            finite(self.seat, "the seat of the manifold", ("heat", "seat"))
        self._warm_enough()

    def _warm_enough(self) -> None:
        """Refuse a temperature that nothing has."""
        for name in ("set_at", "cold", *(f"{part}_hot" for part in PARTS)):
            value = getattr(self, name)
            if value is None:
                continue
            there = pick(value == value, value, SET_AT)  # noqa: PLR0124  (nan: not given)
            if not every((there > ABSOLUTE_ZERO) & (there < math.inf)):
                msg = f"`{name}` is no temperature that anything has"
                hint = "nothing is colder than -273.15 °C; look at number and unit"
                raise LayoutError(msg, hint=hint, key=("heat", name))

    def value(self, name: str, usual: Number) -> Number:
        """Return a temperature, or the usual one where it is not given. [°C]."""
        given = getattr(self, name)
        if given is None:
            return usual
        return pick(given == given, given, usual)  # noqa: PLR0124  (nan: not given)

    @property
    def when_set(self) -> Number:
        """Temperature of all at which it was measured and set. [°C]."""
        return self.value("set_at", SET_AT)

    def when_hot(self, part: Part) -> Number:
        """Return the temperature of a part when hot, usually no less than when set. [°C]."""
        return self.value(f"{part}_hot", greater(HOT[part], self.when_set))

    @property
    def states(self) -> tuple[State, ...]:
        """States in which it may be; none of the manifold alone where there is none."""
        return STATES if self.manifold else (STATES[0], *STATES[2:])


def coldest(layout: Layout, heat: Heat) -> Number:
    """Return the temperature of a cold start, never above that when set. [°C]."""
    usual = layout.vehicle.temperature
    usual = COLD if usual is None else usual
    return lesser(heat.value("cold", usual), heat.when_set)


def on_manifold(layout: Layout, heat: Heat) -> frozenset[str]:
    """Return the shafts that stand on the manifold."""
    if not heat.manifold:
        return frozenset()
    named = heat.carries
    if named is None:
        named = tuple(t.shaft for t in layout.throttles.values())
    return frozenset(named) & frozenset(layout.engine.carries)


def stands_on(layout: Layout, heat: Heat, shaft: str) -> Part:
    """Return the part on which a shaft stands."""
    if shaft not in layout.engine.carries:
        return "body"
    return "manifold" if shaft in on_manifold(layout, heat) else "block"


def ends_on(layout: Layout, heat: Heat, cable: Cable) -> tuple[Part, Part]:
    """Return the parts that hold both ends of a sheath.

    One on the engine is held beside its own arm where that is on the manifold.
    """
    on = on_manifold(layout, heat)

    def held(end: SheathEnd, hole: Hole) -> Part:
        if end.on != "engine":
            return "body"
        return "manifold" if hole.shaft in on else "block"

    return held(cable.ends[0], cable.start), held(cable.ends[1], cable.end)


def heat_known(layout: Layout) -> bool:
    """Tell whether it is known what heat does to how a layout moves.

    Not of a governed engine, whose rod stands off its stop at rest, nor of a cam: how
    far its profile and its gap grow is not told.
    """
    cams = any(rod.kind == "cam" for rod in layout.rods.values())
    return layout.heat is not None and not (layout.governed or cams)


def _known_material(name: str, what: str) -> None:
    if name not in EXPANSION and not (what == "manifold" and not name):
        msg = f"unknown material `{name}` of the {what}"
        raise LayoutError(msg, hint=did_you_mean(name, MATERIALS), key=("heat", what))
