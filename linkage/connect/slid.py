"""The rod that ends on a slide, at one end or at both.

It is a rod as any other, of fixed length between two joints; only where a pin on a slide
is, is told by its way along its guide. The place of a slide is kept as cosine and sine of
its way in metres (`model.slide`), so that all that holds of turns holds of ways: what is
told a radian is of a slide a metre.

Not here: rods between shafts (`connect.rod`), the formulas (`formulas.slide_kernels`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final, Self

import numpy as np

from linkage import formulas
from linkage.connect.rod import RodConnector, by_end
from linkage.connect.rod_refused import neither_way
from linkage.model.columns import plain, some_rows
from linkage.model.slide import MOST_WAY
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect.connector import Pair
    from linkage.errors import AssemblyError
    from linkage.model import Layout, Link
    from linkage.model.columns import Number, Positions

_NAMES: Final = {
    (False, True): "turn_slide",
    (True, False): "slide_turn",
    (True, True): "slide_slide",
}


def _place(pair: Pair, *, slides: bool) -> tuple[Positions, ...]:
    """Return the place of a part as its formulas take it: its way, or both of a turn."""
    return (np.arctan2(pair[1], pair[0]),) if slides else pair


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SlidRod(RodConnector):
    """A rod that ends on a slide; fields that tell no other are as of `RodConnector`.

    Parameters
    ----------
    link : Link
        The rod and its two pins.
    reduced : tuple of 9 floats or columns
        Coefficients of the closure.
    parameters : tuple of float or column
        In the order of `formulas.PARAMETER_NAMES`.
    branch : {1, -1} or column
        1 where pulling moves the driven part along, or anticlockwise round, its axis.
    rest : float or column
        Place of the driven part at rest. [rad, or m of a slide]
    ok, straight : bool or column
        Whether it could be put together, and whether it is on dead centre at rest.
    driver_rest : float or column
        Place of the driver at rest. [rad, or m of a slide]
    along : float or column
        Share of the gap at rest that runs along the driven axis; not used by it.
    slides : pair of bool
        Whether driver and driven part slide.
    leverage : pair of (float or column)
        How far the pin goes a radian of the driver and of the driven part: the arm's
        length [m]; a metre of a slide: 1.
    """

    slides: tuple[bool, bool]
    leverage: tuple[Number, Number]

    @staticmethod
    def _closed_by(
        layout: Layout, link: Link, parameters: tuple[Number, ...]
    ) -> dict[str, Any]:
        driver, driven = (layout.shafts[hole.shaft] for hole in link.holes)
        slides = driver.slides, driven.slides
        reduced = formulas.slide_coefficients(_NAMES[slides], *parameters)
        return {
            "reduced": tuple(plain(c) for c in reduced),
            "slides": slides,
            "leverage": (driver.lever(link.driver.arm), driven.lever(link.driven.arm)),
        }

    @property
    def _kind(self) -> str:
        return _NAMES[self.slides]

    def _places(
        self, one: Pair, two: Pair
    ) -> tuple[tuple[Positions, ...], tuple[Positions, ...]]:
        driver, driven = self.slides
        return _place(one, slides=driver), _place(two, slides=driven)

    def _in_line(self) -> AssemblyError:
        return neither_way(self.link)

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array; the link stays as it is."""
        taken = RodConnector.take(self, rows)
        if taken is self:
            return self
        one, two = (some_rows(way, rows) for way in self.leverage)
        return replace(taken, leverage=(one, two))

    def close(self, one: Pair) -> tuple[Any, Any, Any]:
        """Return cosine and sine of the driven turn or way, and the reach."""
        at = _place(one, slides=self.slides[0])
        two, reach = formulas.close_slide(
            self._kind, at, self.reduced, self.length, self.branch
        )
        if not self.slides[1]:
            return two[0], two[1], reach
        # A way so far would come back from its cosine and sine as another.
        near = np.abs(two[0]) <= MOST_WAY
        way = np.where(near, two[0], math.nan)
        far = np.where(np.abs(two[0]) > MOST_WAY, -1.0, reach)
        return np.cos(way)[()], np.sin(way)[()], far[()]

    def ratio(self, one: Pair, two: Pair) -> Positions:
        """Return the driven place by the driver's."""
        return self.rates(one, two)[0]

    def rates(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the driven place by the driver's, and its change."""
        return formulas.slide_rates(self._kind, *self._places(one, two), self.reduced)

    def apart(self, one: Pair, two: Pair) -> Positions:
        """Return how far apart the two pins are at any places. [m]."""
        miss = formulas.slide_miss(self._kind, *self._places(one, two), self.reduced)
        return np.sqrt(np.maximum(self.length**2 + miss, 0.0))

    def _moments(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        return formulas.slide_moments(self._kind, *self._places(one, two), self.reduced)

    def by_length(self, one: Pair, two: Pair) -> Positions:
        """Return the driven place that a metre more of length, or play, gives."""
        # The loop is the square of the gap less that of the length.
        return 2 * self.length / self._moments(one, two)[1]

    def by_ends(self, one: Pair, two: Pair) -> tuple[Mapping[str, Positions], ...]:
        """Return the driven place by a unit of what was measured of either end."""
        places = self._places(one, two)
        return by_end(formulas.slide_partials(self._kind, *places, self.parameters))

    def levers_at(
        self, one: Pair, two: Pair, apart: Positions
    ) -> tuple[Positions, Positions]:
        """Return how a pull moves both ends, with both pins so far apart."""
        # The square of the gap changes by twice the gap times what the pin goes along it.
        driver, driven = self._moments(one, two)
        ahead, behind = self.leverage
        return -driver / (2 * apart * ahead), -driven / (2 * apart * behind)

    def close_levers(self, one: Pair) -> tuple[Any, Any, Any, Any, Any]:
        """Return what `close` and `levers` do."""
        cosine, sine, reach = self.close(one)
        return cosine, sine, reach, *self.levers(one, (cosine, sine))

    def reach_range(self, turn: Number) -> tuple[Number, Number]:
        """Return the shortest and longest rod that reaches; inf where none is too long.

        Parameters
        ----------
        turn : float or column
            Of the driver: turn [rad] or way [m].
        """
        one = np.cos(turn), np.sin(turn)
        a, b = self._nearest(one)
        nearest = self.apart(one, (a, b))
        if self.slides[1]:
            return plain(nearest), plain(0 * nearest + math.inf)
        return plain(nearest), plain(self.apart(one, (-a, -b)))

    def _nearest(self, one: Pair) -> Pair:
        """Return the driven place at which its pin is nearest to the driver's."""
        at = _place(one, slides=self.slides[0])
        first, second = (at[0], at[0] ** 2) if self.slides[0] else at
        a0, a1, a2, b0, b1, b2, *_ = self.reduced
        a, b = a0 + a1 * first + a2 * second, b0 + b1 * first + b2 * second
        if self.slides[1]:
            return np.cos(b), np.sin(b)
        size = np.hypot(a, b)
        return a / size, b / size


def firm_rod(layout: Layout, link: Link) -> type[RodConnector]:
    """Return the connector of a rod that always drives, by what it ends on."""
    slides = any(layout.shafts[hole.shaft].slides for hole in link.holes)
    return SlidRod if slides else RodConnector
