"""What joins two shafts: the one way in which motion, forces and drawing ask it.

A connector is made for one link of a layout, the driver's turn at rest known,
and then answers for every position and every row. Turns are pairs of cosine and
sine; everything broadcasts (`model.columns`).

Not here: any kind of connector (one file each), chains of them (`motion`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal, Protocol, Self, TypeAlias

from linkage.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.errors import LinkageError
    from linkage.model import Layout, Link
    from linkage.model.columns import Number, Positions, Truth

#: Cosine and sine of a turn.
Pair: TypeAlias = tuple[Any, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """How a connector is drawn.

    Parameters
    ----------
    path : {"bar", "slot", "hook", "sprung", "cable", "cam"}
        A straight bar from the driver's hole to the driven one; with a slot at one
        end, a hook that lets go one way, or a spring in it; a wire through a sheath; or a
        profile and a roller.
    ball : pair of bool
        Whether a ball or an eye shows at either end, in the order of the
        layout file.
    """

    path: Literal["bar", "slot", "hook", "sprung", "cable", "cam"]
    ball: tuple[bool, bool]


class End(Protocol):
    """A hole through the motion; vectors have their component first.

    A pin of a slide goes along its guide where a hole goes round its shaft.
    """

    @property
    def length(self) -> Number:
        """Radius of the hole [m]; of a slide's pin 1, its way a metre of the slide's."""

    @property
    def turn(self) -> Pair:
        """Cosine and sine of its shaft's turn."""

    @property
    def pin(self) -> Positions:
        """Where it is. [m]."""

    @property
    def radial(self) -> Positions:
        """Unit vector from the centre line to it; none of a slide's pin."""

    @property
    def tangent(self) -> Positions:
        """Unit vector in which it moves when its shaft turns anticlockwise."""

    @property
    def normal(self) -> Positions:
        """Unit vector along the shaft, toward its viewer; of a slide, along its pins."""


class Line(Protocol):
    """How a connector lies to its two arms at every position."""

    @property
    def link(self) -> Link:
        """The link that it is of."""

    @property
    def pulls(self) -> tuple[Positions, Positions]:
        """Unit vectors of a pull on the driver's hole and on the driven one."""

    @property
    def apart(self) -> Positions:
        """How long it lies. [m]."""

    @property
    def arms(self) -> Mapping[str, Positions]:
        """By shaft: torque that a pull of 1 N puts on it, anticlockwise positive. [m]."""

    @property
    def driver_side(self) -> Positions:
        """Signed share of the pull that turns the driver."""

    @property
    def driven_side(self) -> Positions:
        """The same at the driven arm."""

    @property
    def driver_angle(self) -> Positions:
        """Arm-rod angle at the driver, 0 to π: 0 and π are dead centres. [rad]."""

    @property
    def driven_angle(self) -> Positions:
        """The same at the driven arm. [rad]."""

    @property
    def driver_lean(self) -> Positions:
        """Sine of the tilt at the driver."""

    @property
    def driven_lean(self) -> Positions:
        """The same at the driven arm."""

    @property
    def driver_tilt(self) -> Positions:
        """Lean out of the plane in which the driver's arm turns. [rad]."""

    @property
    def driven_tilt(self) -> Positions:
        """The same at the driven arm. [rad]."""


class Connector(Protocol):
    """What joins two shafts, put together at rest."""

    @classmethod
    def join(cls, layout: Layout, link: Link, turn: Number, way: Number) -> Self:
        """Put it together, cut to fit where the layout gives no size.

        Parameters
        ----------
        layout : Layout
            One or many.
        link : Link
            Which of its links.
        turn : float or column
            Of the driver at rest, from its measured angle. [rad]
        way : {1, -1, 0} or column
            Sense in which the driver begins to turn when the pedal is pressed.
        """

    @property
    def link(self) -> Link:
        """The part and its two holes."""

    @property
    def length(self) -> Number:
        """Centre to centre, as given or as cut to fit. [m]."""

    @property
    def rest(self) -> Number:
        """Turn of the driven shaft at rest, from its measured angle. [rad]."""

    @property
    def ok(self) -> Truth:
        """Whether it could be put together; all its numbers are nan where not."""

    def refusal(self) -> LinkageError | None:
        """Return why one layout cannot be put together; None where it can."""

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array; itself where all rows are alike."""

    def close(self, one: Pair) -> tuple[Any, Any, Any]:
        """Return cosine and sine of the driven turn, and the reach.

        The reach is negative where it does not reach, 0 at the driven arm's dead
        centre.
        """

    def slack(self, one: Pair, two: Pair) -> Positions | None:
        """Return how far it may go before it drives; 0 where it drives. [m].

        None where it always drives. Where it is slack the driven shaft rests where it
        is and nothing is carried.
        """

    def given(self, one: Pair, two: Pair) -> Positions | None:
        """Return how far it has given, what it drives on its stop; 0 where not. [m].

        None where it gives nowhere.
        """

    def ratio(self, one: Pair, two: Pair) -> Positions:
        """Return the driven turn a turn of the driver, as if it drove where slack."""

    def rates(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the driven turn a turn of the driver, and its change."""

    def by_length(self, one: Pair, two: Pair) -> Positions:
        """Return the driven turn that a metre more of length, or play, gives."""

    def by_arms(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the driven turn that a metre more of either arm gives, its driver's first.

        With the length kept. [rad/m]
        """

    def by_ends(
        self, one: Pair, two: Pair
    ) -> tuple[Mapping[str, Positions], ...] | None:
        """Return the driven turn by a unit of what was measured of either end.

        With the length kept; by ``length``, ``angle`` and ``offset`` of the arm and
        ``pivot 0`` to ``pivot 2`` of its shaft, the driver's end first. None where no
        such derivative is derived. [rad/m, rad/rad]
        """

    def levers(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the signed shares of a pull that turn driver and driven, -1 to 1.

        Each is zero at its own dead centre, and not where it is slack.
        """

    def close_levers(self, one: Pair) -> tuple[Any, Any, Any, Any, Any]:
        """Return what `close` returns, then what `levers` returns there."""

    def line(self, driver: End, driven: End) -> Line:
        """Return how it lies to its two arms."""

    def short_by(self, turn: Number) -> Number:
        """Return by how much it fails to reach at a turn of the driver. [m].

        Positive too short, negative too long, 0 where it reaches.
        """

    @property
    def mass(self) -> Number:
        """Given, or estimated from its sizes. [kg]."""

    @property
    def push_limit(self) -> Number | None:
        """Push at which it buckles; None where that is not known. [N]."""

    @property
    def carries(self) -> Number:
        """1 where it can only pull, -1 where only push, 0 where both."""

    @property
    def gives_by(self) -> Number:
        """1 where it gets longer as it gives, -1 where shorter, 0 where it does not."""

    @property
    def spares(self) -> Number | None:
        """Turn of the driven shaft from which on it gives, so that a stop there is spared.

        None where it gives nowhere. [rad]
        """

    @property
    def stretch(self) -> Number:
        """How much longer it gets under a pull of 1 N. [m/N]."""

    @property
    def drawn(self) -> Drawn:
        """How it is drawn."""


class Stiff:
    """What a connector answers that always drives, both ways, and never gives.

    One that does otherwise answers for itself.
    """

    __slots__ = ()

    def slack(self, one: Pair, two: Pair) -> Positions | None:  # noqa: ARG002
        """Return None: it is never slack."""
        return None

    def given(self, one: Pair, two: Pair) -> Positions | None:  # noqa: ARG002
        """Return None: it never gives."""
        return None

    def by_ends(
        self,
        one: Pair,  # noqa: ARG002
        two: Pair,  # noqa: ARG002
    ) -> tuple[Mapping[str, Positions], ...] | None:
        """Return None: none is derived."""
        return None

    @property
    def carries(self) -> Number:
        """0: it pulls and pushes."""
        return 0

    @property
    def gives_by(self) -> Number:
        """0: it gives nowhere."""
        return 0

    @property
    def spares(self) -> Number | None:
        """None: it gives nowhere."""
        return None
