"""The rod: straight, of fixed length, a joint at each end.

Not here: how it lies to its arms (`connect.line`), the bar that it is made of
(`connect.bar`), why it cannot be put together (`connect.rod_refused`), the formulas
(`formulas`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final, Self

import numpy as np

from linkage import formulas
from linkage.connect.bar import euler_load, rod_mass, stretch
from linkage.connect.connector import Drawn, Stiff
from linkage.connect.line import RodLine, pull_turns
from linkage.connect.rod_refused import in_line, out_of_reach
from linkage.model.axes import add, dot
from linkage.model.columns import every, is_column, pick, plain, some_rows
from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect.connector import End, Pair
    from linkage.errors import AssemblyError, LinkageError
    from linkage.model import Hole, Layout, Link
    from linkage.model.columns import Number, Positions, Truth

#: Sine of the arm-rod angle at rest below which the branch cannot be told.
STRAIGHT: Final = 1e-6
#: Share of a rod that runs along a shaft from which it is said to do so.
ALONG: Final = 0.9

_DRIVER_RADIUS = formulas.PARAMETER_NAMES.index("R")
_DRIVEN_RADIUS = formulas.PARAMETER_NAMES.index("r")
#: What was measured of an end, and where both ends begin in `formulas.MEASURED_NAMES`.
_MEASURED = ("length", "angle", "offset", "pivot 0", "pivot 1", "pivot 2")
_ENDS = (formulas.MEASURED_NAMES.index("R"), formulas.MEASURED_NAMES.index("r"))


def cut_length(given: Number | None, away: Number) -> Number:
    """Return the length of a rod: none, or nan in a row, stands for cut to fit."""
    if given is None:
        return away
    return np.where(np.isnan(given), away, given) if is_column(given) else given


def side_of(layout: Layout, hole: Hole) -> tuple[Number, ...]:
    """Return a hole's parameters, in the order of `formulas.PARAMETER_NAMES`."""
    shaft = layout.shafts[hole.shaft]
    arm = shaft.arms[hole.arm]
    axis = shaft.axis
    return (arm.length, arm.angle, arm.offset, *shaft.pivot, *axis.u, *axis.v, *axis.n)


def by_end(by: Positions) -> tuple[Mapping[str, Positions], ...]:
    """Return the partials of `formulas.MEASURED_NAMES` as `Connector.by_ends` has them."""
    return tuple(dict(zip(_MEASURED, by[at:], strict=False)) for at in _ENDS)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class RodConnector(Stiff):
    """A rod between its two shafts, ready to be solved; see `connect.Connector`.

    Parameters
    ----------
    link : Link
        The rod and its two holes.
    reduced : tuple of 9 floats or columns
        Coefficients of the closure.
    parameters : tuple of float or column
        In the order of `formulas.PARAMETER_NAMES`; the last is the length,
        centre to centre, as given or as cut to fit. [m]
    branch : {1, -1} or column
        Assembly branch, fixed by the rest position: 1 where the rod leaves the
        driven pin so that pulling turns the shaft anticlockwise for its viewer.
    rest : float or column
        Turn of the driven shaft at rest, from its measured angle; 0 where the
        rod is cut to fit. [rad]
    ok : bool or column
        Whether it could be put together; lengths and turns are nan where not.
    straight : bool or column
        Whether rod and driven arm lie in line at rest.
    driver_rest : float or column
        Turn of the driver at rest. [rad]
    along : float or column
        Share of the gap between both holes at rest that runs along the driven shaft.
    """

    link: Link
    reduced: tuple[Number, ...]
    parameters: tuple[Number, ...]
    branch: Number
    rest: Number
    ok: Truth
    straight: Truth
    driver_rest: Number
    along: Number = 0.0

    @classmethod
    def join(
        cls,
        layout: Layout,
        link: Link,
        turn: Number,
        way: Number,  # noqa: ARG003
    ) -> Self:
        """Put a rod together; see `connect.Connector.join`.

        A rod without a length is cut to fit: the driven shaft stays at its
        measured angle. A rod with a length turns the driven shaft until it fits,
        on the branch that the measured angles show.
        """
        whole, given = cls.at_length(layout, link, turn), link.rod.length
        return whole if given is None else whole.fitted(turn, given)

    @staticmethod
    def pull_turns(layout: Layout, link: Link, turn: Number) -> Number:
        """Return the sense in which a pull turns the driver at rest; 1 on dead centre."""
        return pull_turns(layout, link, turn)

    @classmethod
    def at_length(
        cls, layout: Layout, link: Link, turn: Number, more: Number = 0.0
    ) -> Self:
        """Return a rod with its driven shaft as measured, on the branch that this shows.

        Parameters
        ----------
        layout, link, turn
            As for `connect.Connector.join`.
        more : float or column
            By how much one that is cut is longer than both holes are apart at rest. [m]
        """
        driver, driven = (layout.shafts[hole.shaft] for hole in link.holes)
        gap = add(driver.pin(link.driver.arm, turn), driven.pin(link.driven.arm), -1)
        away = np.sqrt(dot(gap, gap))
        # How a pull moves the driven part: its sign is the branch, its share of the
        # lengths the sine of arm and gap.
        pull = dot(driven.ahead(link.driven.arm), gap)
        clear = abs(pull) >= STRAIGHT * driven.lever(link.driven.arm) * away
        fits = pick(clear, plain(cut_length(link.rod.length, away + more)), math.nan)
        parameters = (
            *side_of(layout, link.driver),
            *side_of(layout, link.driven),
            fits,
        )
        return cls(
            link=link,
            parameters=parameters,
            branch=pick(pull > 0, 1, -1),
            rest=0.0 if every(clear) else pick(clear, 0.0, math.nan),
            ok=clear if is_column(clear) else bool(clear),
            straight=~clear if is_column(clear) else not clear,
            driver_rest=turn,
            along=plain(abs(dot(gap, driven.axis.n)) / pick(away > 0, away, 1.0)),
            **cls._closed_by(layout, link, parameters),
        )

    @staticmethod
    def _closed_by(
        layout: Layout,  # noqa: ARG004
        link: Link,  # noqa: ARG004
        parameters: tuple[Number, ...],
    ) -> dict[str, Any]:
        """Return the coefficients of its closure, and what else that needs."""
        return {"reduced": tuple(plain(c) for c in formulas.coefficients(*parameters))}

    @property
    def length(self) -> Number:
        """Centre to centre. [m]."""
        return self.parameters[-1]

    def fitted(self, turn: Number, given: Number) -> Self:
        """Turn the driven shaft until a rod of given length fits."""
        cos2, sin2, reach = self.close((np.cos(turn), np.sin(turn)))
        cut = np.isnan(given)
        rest = pick(cut, self.rest, plain(np.arctan2(sin2, cos2)))
        reaches = cut | ((reach >= 0) & ~np.isnan(rest))
        if not is_column(reaches):
            return replace(self, rest=rest, ok=bool(self.ok and reaches))
        ok = self.ok & reaches
        # A length that is nan makes all that is solved with it nan.
        lost = (np.where(ok, c, math.nan) for c in self.reduced[6:])
        parameters = (*self.parameters[:-1], np.where(ok, self.length, math.nan))
        return replace(
            self,
            rest=rest,
            ok=ok,
            reduced=(*self.reduced[:6], *lost),
            parameters=parameters,
        )

    def refusal(self) -> LinkageError | None:
        """Return why one layout cannot be put together; None where it can."""
        if self.ok:
            return None
        if self.straight:
            return self._in_line()
        miss = self.short_by(self.driver_rest)
        return out_of_reach(
            self.link, self.length, miss, self.reach_range(self.driver_rest)
        )

    def _in_line(self) -> AssemblyError:
        return in_line(self.link, along=self.along > ALONG)

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array; the link stays as it is."""
        if not any(map(is_column, self.parameters)):
            return self

        return replace(
            self,
            reduced=tuple(some_rows(c, rows) for c in self.reduced),
            parameters=tuple(some_rows(p, rows) for p in self.parameters),
            branch=some_rows(self.branch, rows),
            rest=some_rows(self.rest, rows),
            ok=some_rows(self.ok, rows),
            straight=some_rows(self.straight, rows),
            driver_rest=some_rows(self.driver_rest, rows),
            along=some_rows(self.along, rows),
        )

    def close(self, one: Pair) -> tuple[Any, Any, Any]:
        """Return cosine and sine of the driven turn, and the reach."""
        return formulas.close(*one, self.reduced, self.branch)

    def ratio(self, one: Pair, two: Pair) -> Positions:
        """Return the driven turn a turn of the driver."""
        return formulas.ratio(one, two, self.reduced)

    def rates(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the driven turn a turn of the driver, and its change."""
        return formulas.rates(one, two, self.reduced)

    def apart(self, one: Pair, two: Pair) -> Positions:
        """Return how far apart the two pins are at any turns. [m]."""
        # The loop over -2r is what is left of the length's square over 2r.
        miss = formulas.miss(one, two, self.reduced)
        square = self.length**2 - 2 * self.parameters[_DRIVEN_RADIUS] * miss
        return np.sqrt(np.maximum(square, 0.0))

    def by_length(self, one: Pair, two: Pair) -> Positions:
        """Return the driven turn that a metre more of length, or play, gives."""
        # The loop over -2r, differentiated by the length, is L / r.
        _, driven = formulas.moments(one, two, self.reduced)
        return -self.length / (self.parameters[_DRIVEN_RADIUS] * driven)

    def by_arms(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the driven turn that a metre more of either arm gives."""
        driver, driven = self.by_ends(one, two)
        return driver["length"], driven["length"]

    def by_ends(self, one: Pair, two: Pair) -> tuple[Mapping[str, Positions], ...]:
        """Return the driven turn by a unit of what was measured of either end."""
        return by_end(formulas.partials(one, two, self.parameters))

    def levers(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the sines between the rod and either arm."""
        return self.levers_at(one, two, self.length)

    def levers_at(
        self, one: Pair, two: Pair, apart: Positions
    ) -> tuple[Positions, Positions]:
        """Return the same with both pins so far apart, whatever the rod's length."""
        # The loop over -2r, differentiated by the driver's turn, is the gap times
        # the way of the driver's pin over r.
        driver, driven = formulas.moments(one, two, self.reduced)
        return driver * self._share / apart, driven / apart

    def close_levers(self, one: Pair) -> tuple[Any, Any, Any, Any, Any]:
        """Return what `close` and `levers` do, sooner than the two."""
        found = formulas.close_moments(*one, self.reduced, self.branch)
        cosine, sine, reach, driver, driven = found
        length = self.length
        return cosine, sine, reach, driver * self._share / length, driven / length

    @property
    def _share(self) -> Number:
        """What makes a sine of the loop's moment at the driver, and a length."""
        return self.parameters[_DRIVEN_RADIUS] / self.parameters[_DRIVER_RADIUS]

    def line(self, driver: End, driven: End) -> RodLine:
        """Return how it lies to its two arms."""
        return RodLine(self.link, driver, driven)

    def reach_range(self, turn: Number) -> tuple[Number, Number]:
        """Return the shortest and longest rod that reaches the driven arm.

        Parameters
        ----------
        turn : float or column
            Of the driver, from its measured angle. [rad]

        Returns
        -------
        tuple of 2 floats or columns
            Least and greatest distance from the driver's pin to the driven arm's
            circle. [m]
        """
        a0, a1, a2, b0, b1, b2, k0, k1, k2 = self.reduced
        cos1, sin1 = np.cos(turn), np.sin(turn)
        radius = self.parameters[_DRIVEN_RADIUS]
        across = np.hypot(a0 + a1 * cos1 + a2 * sin1, b0 + b1 * cos1 + b2 * sin1)
        # k = (d² + r² - L²) / 2r, so d² + r² follows from k and the length.
        total = 2 * radius * (k0 + k1 * cos1 + k2 * sin1) + self.parameters[-1] ** 2
        least = np.sqrt(np.maximum(total - 2 * radius * across, 0.0))
        return plain(least), plain(np.sqrt(total + 2 * radius * across))

    def short_by(self, turn: Number) -> Number:
        """Return by how much it fails to reach at a turn of the driver. [m].

        Positive too short, negative too long, 0 where it reaches.
        """
        least, most = self.reach_range(turn)
        length = self.parameters[-1]
        short = np.maximum(least - length, 0.0)
        return plain(np.where(length > most, most - length, short))

    @property
    def mass(self) -> Number:
        """Given, or estimated from its sizes. [kg]."""
        return rod_mass(self.link.rod, self.length)

    @property
    def push_limit(self) -> Number | None:
        """Push at which it buckles; None where its diameter is not given. [N]."""
        return euler_load(self.link.rod, self.length)

    @property
    def stretch(self) -> Number:
        """How much longer it gets under a pull of 1 N, L/(E A). [m/N]."""
        return stretch(self.link.rod, self.length)

    @property
    def drawn(self) -> Drawn:
        """A straight bar; a clevis shows no ball."""
        one, two = (joint != "clevis" for joint in self.link.rod.joints)
        return Drawn(path="bar", ball=(one, two))
