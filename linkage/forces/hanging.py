"""What hangs together in a layout, and what lies beyond each rod.

Rods form a tree. Its shafts are numbered from the pedal outwards, whatever hangs on
a shaft right behind it, so that all that a rod drives is one span of numbers.

Not here: what it carries (`balance`).
"""

from __future__ import annotations

from bisect import bisect_right
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from linkage.forces.failures import failures
from linkage.model.refs import Ref

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from linkage.forces.failures import Failure
    from linkage.model import Layout


class Driven(NamedTuple):
    """What a shaft drives: its own number, the first beyond it, and the way there.

    The numbers of the shafts that it drives itself, rising, and their rods.
    """

    first: int
    end: int
    starts: list[int]
    rods: list[str]


class Hanging:
    """Rods and springs by the shafts on which they act.

    Parameters
    ----------
    layout : Layout
        One or many.

    Attributes
    ----------
    rods : dict of str to list of (str, str, Ref)
        By shaft: every rod on it, the shaft at its other end, and the rod as
        what may be gone; in driving order.
    springs : dict of str to list of Ref
        By shaft, in the layout's order.
    """

    def __init__(self, layout: Layout) -> None:
        self._layout = layout
        self.rods: dict[str, list[tuple[str, str, Ref]]] = {
            s: [] for s in layout.shafts
        }
        self.springs: dict[str, list[Ref]] = {s: [] for s in layout.shafts}
        self._driver: dict[str, str] = {}
        self._ends: dict[str, frozenset[str]] = {}
        self._by: dict[str, Ref] = {}
        self._ahead: dict[str, list[tuple[str, str]]] = {s: [] for s in layout.shafts}
        self._beyond: dict[tuple[str, str], frozenset[Ref]] = {}
        self._branches: dict[str, dict[Ref, str]] = {}
        self._together: dict[frozenset[Ref], dict[str, tuple[str, ...]]] = {}
        for link in layout.links:
            name, one, two = link.rod.name, link.driver.shaft, link.driven.shaft
            ref = Ref("rod", name)
            self.rods[one].append((name, two, ref))
            self.rods[two].append((name, one, ref))
            self._driver[name] = one
            self._ends[name] = frozenset({one, two})
            self._by[two] = ref
            self._ahead[one].append((name, two))
        for name, spring in layout.springs.items():
            self.springs[spring.shaft].append(Ref("spring", name))

    @cached_property
    def failures(self) -> tuple[Failure, ...]:
        """Every single failure, worked out once."""
        return failures(self._layout)

    @cached_property
    def _driven(self) -> dict[str, Driven]:
        """By shaft: what it drives."""
        out: dict[str, Driven] = {}
        open_shafts = [self._layout.pedal.shaft]
        while open_shafts:
            shaft = open_shafts[-1]
            if shaft not in out:
                out[shaft] = Driven(len(out), 0, [], [])
            found = out[shaft]
            ahead = self._ahead[shaft][len(found.rods) :]
            if ahead:
                rod, other = ahead[0]
                found.starts.append(len(out))
                found.rods.append(rod)
                open_shafts.append(other)
            else:
                out[shaft] = found._replace(end=len(out))
                open_shafts.pop()
        return out

    @cached_property
    def _number(self) -> dict[Ref, int]:
        """By spring and rod: the number of the shaft it acts on, or drives."""
        out = {
            ref: self._driven[s].first for s in self.springs for ref in self.springs[s]
        }
        return out | {ref: self._driven[s].first for s, ref in self._by.items()}

    @cached_property
    def all_rods(self) -> frozenset[Ref]:
        """Every rod."""
        return frozenset(self._by.values())

    def way(self, rod: str, outer: str) -> int:
        """Return 1 where a rod leads from the driver to the driven shaft, else -1."""
        return 1 if outer == self._driver[rod] else -1

    def together(
        self, shaft: str, gone: Collection[Ref] = frozenset()
    ) -> tuple[str, ...]:
        """Return the shafts that still move with a shaft; for each of them the same."""
        gone = frozenset(gone)
        found = self._together.get(gone)
        if found is None:
            found = self._together[gone] = self._apart(gone)
        return found[shaft]

    def _apart(self, gone: frozenset[Ref]) -> dict[str, tuple[str, ...]]:
        """Return by shaft those that still move with it, in driving order."""
        parts: dict[str, list[str]] = {}
        pedal = self._layout.pedal.shaft
        for shaft in (pedal, *self._by):  # a driver comes before what it drives
            by = self._by.get(shaft)
            if by is None or by in gone:
                parts[shaft] = [shaft]
            else:
                part = parts[shaft] = parts[self._driver[by.name]]
                part.append(shaft)
        told = {id(part): tuple(part) for part in parts.values()}
        return {shaft: told[id(part)] for shaft, part in parts.items()}

    def inwards(self, root: str) -> list[tuple[str, str]]:
        """Return every rod with its shaft away from a root, ends first."""
        known, order, rest = {root}, [], dict(self._ends)
        while rest:
            rod = next(r for r, ends in rest.items() if known & ends)
            (outer,) = rest.pop(rod) - known
            known.add(outer)
            order.append((rod, outer))
        return order[::-1]

    def branches(self, shaft: str) -> Mapping[Ref, str]:
        """Return by spring and rod the rod on a shaft that leads to it, or is it.

        Empty for springs on the shaft itself.
        """
        found = self._branches.get(shaft)
        if found is None:
            driven, by = self._driven[shaft], self._by.get(shaft)
            found = self._branches[shaft] = {}
            for ref, at in self._number.items():
                if by is not None and (
                    ref == by or not driven.first <= at < driven.end
                ):
                    found[ref] = by.name
                elif at == driven.first:
                    found[ref] = ""
                else:
                    found[ref] = driven.rods[bisect_right(driven.starts, at) - 1]
        return found

    def on(self, shaft: str) -> frozenset[Ref]:
        """Return the springs and rods on a shaft itself."""
        return frozenset(self.springs[shaft]).union(r for *_, r in self.rods[shaft])

    def beyond(self, rod: str, outer: str) -> frozenset[Ref]:
        """Return the springs and rods beyond a rod, from its outer shaft on.

        Beyond no rod, written empty, lies all that hangs on the shaft.
        """
        found = self._beyond.get((rod, outer))
        if found is None:
            every = self._number
            if rod:
                drives = self._driver[rod] != outer
                first, end, *_ = self._driven[self._far(rod)]
                found = frozenset(
                    ref for ref, n in every.items() if (first <= n < end) == drives
                ) - {Ref("rod", rod)}
            else:
                found = frozenset(every)
            self._beyond[rod, outer] = found
        return found

    def _far(self, rod: str) -> str:
        """Return the shaft that a rod drives."""
        (far,) = self._ends[rod] - {self._driver[rod]}
        return far
