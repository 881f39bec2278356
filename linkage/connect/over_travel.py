"""Over-travel: a rod with a spring in it that gives once its lever is on its stop.

Up to there it is like any other rod. Past it the driven shaft stays on its stop, the
driver goes on, and the rod gets longer, or shorter where it pushes, against its spring,
as far as that gives; then the linkage goes no further.

The spring holds the rod stiff with the load that it is put in with. Whether that is
enough to move the lever up to its stop is for `rules` to say: motion takes it so.

Not here: the rod while it is stiff (`connect.rod`), what the foot feels (`forces`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final, Self

import numpy as np

from linkage.connect.line import choose, pull_turns
from linkage.connect.on_rod import OnRod
from linkage.connect.slid import firm_rod
from linkage.model.columns import pick, plain, some_rows
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect.connector import Drawn, End, Pair
    from linkage.connect.line import RodLine
    from linkage.connect.rod import RodConnector
    from linkage.errors import LinkageError
    from linkage.model import Layout, Link
    from linkage.model.columns import Number, Positions, Truth

#: Give that is but rounding. [m]
CLOSE: Final = 1e-10


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class OverTravel(OnRod):
    """A rod with an over-travel spring; see `connect.Connector`.

    Parameters
    ----------
    rod : RodConnector
        The same rod while it is stiff.
    pulls : {1, -1} or column
        Whether pressing has it pull or push, so that it gives by getting longer or
        shorter.
    way : {1, -1, 0} or column
        Sense in which pressing begins to turn the driver.
    stop : float or column
        Turn of the driven shaft, from its measured angle, at which it is on its stop.
        inf either way where it has none that pressing leads to: then it is stiff all
        the way. [rad]
    most : float or column
        How far it can give. [m]
    """

    rod: RodConnector
    pulls: Number
    way: Number
    stop: Number
    most: Number

    @classmethod
    def join(cls, layout: Layout, link: Link, turn: Number, way: Number) -> Self:
        """Put it together; see `connect.Connector.join`.

        The stop is the driven shaft's own, the nearest that pressing leads to: the full
        stop of a throttle on it, or one of the layout's `stops`.
        """
        rod = firm_rod(layout, link).join(layout, link, turn, way)
        pulls = pick(-way * pull_turns(layout, link, turn) >= 0, 1, -1)
        goes = rod.branch * pulls
        shaft, stop = link.driven.shaft, goes * math.inf
        turns = [
            t.opens * t.swing for t in layout.throttles.values() if t.shaft == shaft
        ]
        turns += [s.turn for s in layout.stops.values() if s.shaft == shaft]
        for met in turns:
            nearer = (goes * met > 0) & (goes * met < goes * stop)
            stop = pick(nearer, met, stop)
        most = link.rod.over_travel
        return cls(rod=rod, pulls=pulls, way=way, stop=stop, most=most)

    @property
    def rest(self) -> Number:
        """Turn of the driven shaft at rest, from its measured angle. [rad]."""
        return self.rod.rest

    @property
    def ok(self) -> Truth:
        """Whether it could be put together."""
        return self.rod.ok

    def refusal(self) -> LinkageError | None:
        """Return why one layout cannot be put together; None where it can."""
        return self.rod.refusal()

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array."""
        names = ("pulls", "way", "stop", "most")
        return replace(
            self,
            rod=self.rod.take(rows),
            **{name: some_rows(getattr(self, name), rows) for name in names},
        )

    def _stopped(self) -> Pair:
        with np.errstate(invalid="ignore"):  # no stop, and nowhere past it
            return np.cos(self.stop), np.sin(self.stop)

    def _past(self, one: Pair, two: Pair) -> Positions:
        """Return how far the pins are past the rod's length, less where short of it."""
        return self.pulls * (self.rod.apart(one, two) - self.length)

    def given(self, one: Pair, two: Pair) -> Positions:
        """Return how far it has given, what it drives on its stop; 0 where not. [m]."""
        past = self._past(one, two)
        return choose(past > CLOSE, past, choose(np.isnan(past), past, 0.0))

    def close(self, one: Pair) -> tuple[Any, Any, Any]:
        """Return cosine and sine of the driven turn, and the reach.

        The reach where it gives is the way left to its spring, as a share of that.
        """
        cosine, sine, reach = self.rod.close(one)
        stopped = self._stopped()
        past = self._past(one, stopped)
        gives = past > CLOSE
        ahead = 1.0 - past / self.most
        return (
            choose(gives, stopped[0], cosine),
            choose(gives, stopped[1], sine),
            choose(gives, ahead, reach),
        )

    def levers(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the sines between the rod and either arm."""
        return self.rod.levers_at(one, two, self.rod.apart(one, two))

    def line(self, driver: End, driven: End) -> RodLine:
        """Return how it lies to its two arms."""
        return self.rod.line(driver, driven)

    def short_by(self, turn: Number) -> Number:
        """Return by how much rod or spring fails to reach at a turn of the driver. [m].

        Positive too short, negative too long, 0 where it reaches.
        """
        past = self._past((np.cos(turn), np.sin(turn)), self._stopped())
        left = self.pulls * np.maximum(past - self.most, 0.0)
        short = np.where(past > CLOSE, left, self.rod.short_by(turn))
        return plain(short)

    @property
    def gives_by(self) -> Number:
        """1 where it gets longer as it gives, -1 where shorter."""
        return self.pulls

    @property
    def spares(self) -> Number:
        """Turn of the driven shaft at which it begins to give. [rad]."""
        return self.stop

    @property
    def drawn(self) -> Drawn:
        """A straight bar with a spring in it."""
        return replace(self.rod.drawn, path="sprung")
