"""Plates that are to open together: each beside the first, through the travel.

Not here: what an arm or a joint does to them (`motion.twin_effects`), how they are set
(`motion.twin_setting`), whether that is in order (`rules`).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.model.columns import at, first, is_column, last, spread, where_most
from linkage.motion.chain import Chain
from linkage.motion.events import flat
from linkage.motion.jam import jams
from linkage.motion.stops import first_met, opens_by
from linkage.motion.sweep import sweep_clear
from linkage.motion.working import BEGINS
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from linkage.model import Hole, Layout, Link, Throttle
    from linkage.model.columns import Number, Positions
    from linkage.motion.assembly import Assembly
    from linkage.motion.working import Working

#: Openings nearer than this are together. [rad]
TOGETHER: Final = math.radians(0.05)
#: How much further than to the floor it is looked for where a plate would be full. [1]
FURTHER: Final = 1.5
#: Positions at which the two are laid beside each other.
POSITIONS: Final = 121


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Twins:
    """One plate beside the first; numbers are floats or columns.

    Parameters
    ----------
    first, other : str
        The plates.
    ways : pair of tuple of Link
        The rods on the way to either that are not on the way to both.
    later : bool
        Whether one is behind motion lost on purpose that the other is not behind: they
        are to be together at full alone.
    pad_travel : ndarray, shape (n,) or (rows, n)
        From where the last leaves its idle stop to where the pedal stops. [m]
    difference : ndarray, shape (n,) or (rows, n)
        Opening of the other less that of the first: positive where it is ahead. [rad]
    leaves : mapping of str to float or column
        Pad travel at which each leaves its idle stop; nan where it never does. [m]
    held : mapping of str to float or column
        How far each is open where the pedal rests, as the other is on its stop. [rad]
    full : mapping of str to float or column
        Pad travel at which each would meet its full stop if nothing stopped the pedal;
        nan where it never would. [m]
    """

    first: str
    other: str
    ways: tuple[tuple[Link, ...], tuple[Link, ...]]
    later: bool
    pad_travel: Positions
    difference: Positions
    leaves: Mapping[str, Number]
    held: Mapping[str, Number]
    full: Mapping[str, Number]

    @property
    def at_idle(self) -> Number:
        """Difference where the pedal rests. [rad]."""
        return first(self.difference)

    @property
    def at_full(self) -> Number:
        """Difference where the pedal stops. [rad]."""
        return last(self.difference)

    @property
    def greatest_at(self) -> Number:
        """Pad travel at which they differ most. [m]."""
        return at(self.pad_travel, where_most(np.abs(self.difference)))

    @property
    def greatest(self) -> Number:
        """Difference there, positive where the other is ahead. [rad]."""
        return at(self.difference, where_most(np.abs(self.difference)))

    @property
    def full_later(self) -> Number:
        """Pad travel by which the other is full after the first; nan if one never. [m]."""
        return self.full[self.other] - self.full[self.first]


def beside(assembly: Assembly, working: Working) -> tuple[Twins, ...]:
    """Lay every further plate beside the first.

    Parameters
    ----------
    assembly : Assembly
        One layout, or many as rows.
    working : Working
        Its working travel.

    Returns
    -------
    tuple of Twins
        In the layout's order; none where there is but one plate.
    """
    layout = assembly.layout
    one, *others = layout.plates
    if not others:
        return ()
    travel = spread(working.start, working.end, POSITIONS)
    motion = sweep_clear(assembly, travel)
    opening = {t.name: motion.between_stops(t.name) for t in layout.plates}
    leaves, full = _events(assembly, working)
    out = []
    for other in others:
        ways = own_ways(layout, one, other)
        both = (one.name, other.name)
        out.append(
            Twins(
                first=one.name,
                other=other.name,
                ways=ways,
                later=later_on_purpose(layout, one, other),
                pad_travel=travel,
                difference=opening[other.name] - opening[one.name],
                leaves={name: leaves[name] for name in both},
                held={name: first(opening[name]) for name in both},
                full={name: full[name] for name in both},
            )
        )
    return tuple(out)


def own_ways(
    layout: Layout, one: Throttle, other: Throttle
) -> tuple[tuple[Link, ...], tuple[Link, ...]]:
    """Return the rods on the way to either of two plates that are not on both ways."""
    ways = layout.path_to(one.shaft), layout.path_to(other.shaft)
    names = [{link.rod.name for link in way} for way in ways]
    return (
        tuple(link for link in ways[0] if link.rod.name not in names[1]),
        tuple(link for link in ways[1] if link.rod.name not in names[0]),
    )


def own_arms(ways: tuple[tuple[Link, ...], tuple[Link, ...]]) -> tuple[Hole, ...]:
    """Return the arms on either of two ways, the first's first, but those on both."""
    one, other = ([h for link in way for h in link.holes] for way in ways)
    both = set(one) & set(other)
    return tuple(h for h in dict.fromkeys(one + other) if h not in both)


def paired_arms(
    ways: tuple[tuple[Link, ...], tuple[Link, ...]],
) -> Iterator[tuple[Hole, Hole]]:
    """Yield arms that stand in one place on either way, told from the plates back."""
    for one, other in zip(*(way[::-1] for way in ways), strict=False):
        yield from zip(one.holes[::-1], other.holes[::-1], strict=True)


def later_on_purpose(layout: Layout, one: Throttle, other: Throttle) -> bool:
    """Tell whether one of two plates is behind lost motion that the other is not behind."""
    return any(link.rod.loose for way in own_ways(layout, one, other) for link in way)


def _events(
    assembly: Assembly, working: Working
) -> tuple[dict[str, Number], dict[str, Number]]:
    """Return where each plate leaves its idle stop, and where it would be full."""
    layout, chain = assembly.layout, Chain.of(assembly)
    rows = len(assembly.ok) if is_column(assembly.ok) else 1
    far = flat(FURTHER * layout.pedal.travel, rows)
    line = spread(np.zeros((rows, 1)), far[:, None], chain.samples)
    _, gone = jams(chain, line, chain.solve(line))
    far = np.where(np.isnan(gone), far, gone)
    leaves, full = {}, {}
    for t in layout.plates:
        begins, ends = (opens_by(layout, t.name, a) for a in (BEGINS, t.swing))
        leaves[t.name] = first_met(assembly, begins, working.end)
        full[t.name] = first_met(assembly, ends, far)
    return leaves, full
