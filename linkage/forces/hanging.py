"""What hangs together in a layout, and what lies beyond each rod.

Not here: what it carries (`balance`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from linkage.forces.failures import failures
from linkage.model.refs import Ref

if TYPE_CHECKING:
    from collections.abc import Container

    from linkage.forces.failures import Failure
    from linkage.model import Layout


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
        self._beyond: dict[tuple[str, str], frozenset[Ref]] = {}
        for link in layout.links:
            name, one, two = link.rod.name, link.driver.shaft, link.driven.shaft
            ref = Ref("rod", name)
            self.rods[one].append((name, two, ref))
            self.rods[two].append((name, one, ref))
            self._driver[name] = one
            self._ends[name] = frozenset({one, two})
        for name, spring in layout.springs.items():
            self.springs[spring.shaft].append(Ref("spring", name))

    @cached_property
    def failures(self) -> tuple[Failure, ...]:
        """Every single failure, worked out once."""
        return failures(self._layout)

    def way(self, rod: str, outer: str) -> int:
        """Return 1 where a rod leads from the driver to the driven shaft, else -1."""
        return 1 if outer == self._driver[rod] else -1

    def together(self, shaft: str, gone: Container[Ref] = ()) -> list[str]:
        """Return the shafts that still move with a shaft, that shaft first."""
        found = [shaft]
        for one in found:
            for _, other, ref in self.rods[one]:
                if other not in found and ref not in gone:
                    found.append(other)
        return found

    def inwards(self, root: str) -> list[tuple[str, str]]:
        """Return every rod with its shaft away from a root, ends first."""
        known, order, rest = {root}, [], dict(self._ends)
        while rest:
            rod = next(r for r, ends in rest.items() if known & ends)
            (outer,) = rest.pop(rod) - known
            known.add(outer)
            order.append((rod, outer))
        return order[::-1]

    def beyond(self, rod: str, outer: str) -> frozenset[Ref]:
        """Return the springs and rods beyond a rod, from its outer shaft on.

        Beyond no rod, written empty, lies all that hangs on the shaft.
        """
        found = self._beyond.get((rod, outer))
        if found is None:
            found = frozenset(self.springs[outer])
            for further, shaft, ref in self.rods[outer]:
                if further != rod:
                    found |= {ref} | self.beyond(further, shaft)
            self._beyond[rod, outer] = found
        return found
