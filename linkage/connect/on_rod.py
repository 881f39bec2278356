"""What a connector leaves to the plain rod that it is while it drives.

Not here: the rod itself (`connect.rod`), what a slot or a spring in it changes
(`connect.lost_motion`, `connect.over_travel`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.connect.connector import Stiff

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect.cable import CableConnector
    from linkage.connect.cam import CamConnector
    from linkage.connect.connector import Pair
    from linkage.connect.rod import RodConnector
    from linkage.model import Link
    from linkage.model.columns import Number, Positions


class OnRod(Stiff):
    """A rod that does otherwise somewhere; the names and senses are `Connector`'s.

    Its field ``rod`` is the same rod where it drives.
    """

    __slots__ = ()
    rod: RodConnector | CableConnector | CamConnector

    @property
    def link(self) -> Link:
        """The rod and its two holes."""
        return self.rod.link

    @property
    def length(self) -> Number:
        """Centre to centre where it drives. [m]."""
        return self.rod.length

    def close(self, one: Pair) -> tuple[Any, Any, Any]:
        """Return cosine and sine of the driven turn, and the reach."""
        return self.rod.close(one)

    def levers(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the sines between the rod and either arm."""
        return self.rod.levers(one, two)

    def close_levers(self, one: Pair) -> tuple[Any, Any, Any, Any, Any]:
        """Return what `close` and `levers` do."""
        cosine, sine, reach = self.close(one)
        return cosine, sine, reach, *self.levers(one, (cosine, sine))

    def ratio(self, one: Pair, two: Pair) -> Positions:
        """Return the driven turn a turn of the driver, as if it drove."""
        return self.rod.ratio(one, two)

    def rates(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the same, and its change."""
        return self.rod.rates(one, two)

    def by_length(self, one: Pair, two: Pair) -> Positions:
        """Return the driven turn that a metre more of length, or play, gives."""
        return self.rod.by_length(one, two)

    def by_arms(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the driven turn that a metre more of either arm gives."""
        return self.rod.by_arms(one, two)

    def by_ends(
        self, one: Pair, two: Pair
    ) -> tuple[Mapping[str, Positions], ...] | None:
        """Return the driven turn by a unit of what was measured of either end."""
        return self.rod.by_ends(one, two)

    @property
    def mass(self) -> Number:
        """Given, or estimated from its sizes. [kg]."""
        return self.rod.mass

    @property
    def push_limit(self) -> Number | None:
        """Push at which it buckles; None where its diameter is not given. [N]."""
        return self.rod.push_limit

    @property
    def stretch(self) -> Number:
        """How much longer it gets under a pull of 1 N while it drives. [m/N]."""
        return self.rod.stretch
