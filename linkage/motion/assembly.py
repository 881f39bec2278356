"""Put the parts together in the rest position: rod lengths, branches, rest turns.

Not here: any one kind of rod (`connect`), the travel (`motion.sweep`).
"""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Final, cast

import numpy as np

from linkage.connect import join
from linkage.errors import LayoutError, LinkageError
from linkage.model import Cable
from linkage.model.columns import every, is_column
from linkage.model.rows import row, rows_of
from linkage.records import dataclass, short

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from linkage.connect import Connector
    from linkage.model import Layout, Link
    from linkage.model.columns import Number, Truth


#: Turn of the pedal's shaft at rest. [rad]
UP: Final = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Assembly:
    """A layout put together.

    Parameters
    ----------
    layout : Layout
        What was put together.
    loops : tuple of Connector
        In driving order.
    rest : mapping of str to float or column
        Turn of every shaft from its measured angle with the pedal up. Zero,
        but for shafts that a rod of given length moves. [rad]
    ok : bool or column
        Whether it could be put together; all other numbers of such a row are
        nan. Always true for one layout, which is refused otherwise.
    """

    layout: Layout
    loops: tuple[Connector, ...]
    rest: Mapping[str, Number]
    ok: Truth

    def __repr__(self) -> str:
        lengths = [
            f"{loop.link.rod.name} {1e3 * loop.length:.1f} mm"
            for loop in self.loops
            if not is_column(loop.length)
        ]
        told = ", ".join(lengths)
        if is_column(self.ok):
            told = f"{int(self.ok.sum())} of {len(self.ok)} rows fit together"
        return f"<Assembly of {short(self.layout.title)!r}: {short(told, 90)}>"

    def loop(self, rod: str) -> Connector:
        """Return the connector of a rod by its name."""
        return next(p for p in self.loops if p.link.rod.name == rod)

    def error(self, i: int) -> LinkageError | None:
        """Return why a row cannot be put together, as alone; None where it can."""
        try:
            assemble(row(self.layout, i))
        except LinkageError as error:
            return error
        return None


def assemble(layout: Layout, like: Assembly | None = None) -> Assembly:
    """Put a layout together with the pedal up.

    A rod without a length is cut to fit: the driven shaft stays at its measured
    angle. A rod with a length turns the driven shaft until it fits, on the
    branch that the measured angles show.

    Parameters
    ----------
    layout : Layout
        What was measured; one, or many as rows.
    like : Assembly, optional
        Of a layout of which this one is a changed copy, to take over rods with
        which nothing has changed.

    Returns
    -------
    Assembly
        Rod lengths, branches and rest turns. Rows that cannot be put together
        are marked in `ok`.

    Raises
    ------
    ReachError
        If a rod of given length reaches no position of the driven arm.
    AssemblyError
        If an arm and its rod lie in line, so that the branch cannot be told.
    LayoutError
        If a throttle is on the pedal's own shaft.
    """
    _driven_by_rods(layout)
    many = any(map(is_column, _numbers(layout)))
    ok = layout.apart if many else True
    rest: dict[str, Number] = {layout.pedal.shaft: UP}
    loops: list[Connector] = []
    for link in layout.links:
        turn = rest[link.driver.shaft]
        way = _way(layout, link, loops, rest)
        loop = _known(like, layout, link, (turn, way))
        if loop is None:
            turn = turn if every(ok) else np.where(ok, turn, np.nan)
            loop = join(layout, link, turn, way)
        if not many and not loop.ok:
            raise cast("LinkageError", loop.refusal())
        ok = ok & loop.ok if many else True
        loops.append(loop)
        rest[link.driven.shaft] = loop.rest
    if many and not is_column(ok):
        ok = np.full((rows_of(layout), 1), ok)
    return Assembly(layout=layout, loops=tuple(loops), rest=rest, ok=ok)


def _way(
    layout: Layout,
    link: Link,
    loops: Sequence[Connector],
    rest: Mapping[str, Number],
) -> Number:
    """Return the sense in which pressing begins to turn a link's driver.

    1 anticlockwise for its viewer, -1 clockwise; of a rod that asks for it, 0 else.
    """
    if not (getattr(link.rod, "loose", False) or getattr(link.rod, "gives", False)):
        return 0
    way: Number = layout.pedal.presses
    by_driven = {loop.link.driven.shaft: loop for loop in loops}
    shaft = link.driver.shaft
    while shaft in by_driven:
        loop = by_driven[shaft]
        pairs = [
            (np.cos(rest[h.shaft]), np.sin(rest[h.shaft])) for h in loop.link.holes
        ]
        way = way * np.sign(loop.ratio(*pairs))
        shaft = loop.link.driver.shaft
    return way if is_column(way) else float(way)


def _known(
    like: Assembly | None, layout: Layout, link: Link, begins: tuple[Number, Number]
) -> Connector | None:
    """Return a rod as it was put together before, where it is the very same one.

    ``begins`` is the driver's turn at rest and the sense in which it begins to turn.
    """
    if like is None:
        return None
    turn, way = begins
    loop, shafts = like.loop(link.rod.name), like.layout.shafts
    same = all(shafts[h.shaft] is layout.shafts[h.shaft] for h in link.holes)
    same = same and np.array_equal(getattr(loop, "way", 0), way)
    if loop.spares is not None:  # it knows the stops of what it drives
        same = same and layout.throttles is like.layout.throttles
        same = same and layout.stops is like.layout.stops
    if same and loop.link.rod is link.rod and like.rest[link.driver.shaft] is turn:
        return loop
    return None


def _numbers(layout: Layout) -> Iterator[Number]:
    """Yield every number that motion hangs on."""
    for shaft in layout.shafts.values():
        axis = shaft.axis
        yield from (*shaft.pivot, *axis.u, *axis.v, *axis.n)
        for arm in shaft.arms.values():
            yield from (arm.length, arm.angle, arm.offset)
    for rod in layout.rods.values():
        yield from (getattr(rod, f.name) for f in fields(rod))
        if isinstance(rod, Cable):
            yield from (c for end in rod.ends for c in end.point)
    yield from (t.swing for t in layout.throttles.values())
    yield from (s.turn for s in layout.stops.values())
    yield from (layout.pedal.travel, layout.pedal.stop, layout.pedal.free_play)


def _driven_by_rods(layout: Layout) -> None:
    """Refuse a throttle on the pedal's own shaft, to which no rod leads."""
    for name, throttle in layout.throttles.items():
        if throttle.shaft == layout.pedal.shaft:
            msg = f"{name} is on the pedal's own shaft `{throttle.shaft}`"
            hint = "name the spindle of the carburettor, which a rod drives"
            key = (name,) if name == "throttle" else ("throttles", name)
            raise LayoutError(msg, hint=hint, key=(*key, "shaft"))
