"""Lost motion: a rod with a slot at one end, or one that only pulls or only pushes.

The pin drives at one end of its slot. Short of it the rod is slack and the driven
shaft rests where it is, held there by its own stop and spring; past it the rod is
like any other, as long as from its other hole to the pin at that end. So the driven
turn is whichever is further on, rest or what the rod asks for. Where the pin meets
the slot's other end with the driven shaft at rest, the linkage goes no further.

A rod that only pulls, or only pushes, is one whose slot has no other end.

Not here: the rod where it drives (`connect.rod`), what rests against it (`forces`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final, Self

import numpy as np

from linkage.connect.cable import CableConnector
from linkage.connect.cable_line import CableLine
from linkage.connect.cam import CamConnector
from linkage.connect.line import RodLine, choose
from linkage.connect.on_rod import OnRod
from linkage.connect.slid import firm_rod
from linkage.errors import AssemblyError, LinkageError, ReachError
from linkage.model import Cable, Cam
from linkage.model.columns import is_column, pick, plain, some_rows
from linkage.quantities import say
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect.connector import Drawn, End, Line, Pair
    from linkage.connect.rod import RodConnector
    from linkage.model import Layout, Link
    from linkage.model.columns import Number, Positions, Truth

#: Slack that is but rounding. [m]
CLOSE: Final = 1e-10
#: What a rod is too short by at rest that is more than rounding. [m]
TIGHT: Final = 1e-6


def _firm(
    layout: Layout, link: Link
) -> type[RodConnector | CableConnector | CamConnector]:
    """Return the connector of a part where it drives."""
    if isinstance(link.rod, Cable):
        return CableConnector
    return CamConnector if isinstance(link.rod, Cam) else firm_rod(layout, link)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class LostMotion(OnRod):
    """A rod that is slack up to where it drives; see `connect.Connector`.

    Parameters
    ----------
    rod : RodConnector, CableConnector or CamConnector
        The same rod, cable or cam where it drives.
    carries : {1, -1} or column
        Whether it drives by pulling or by pushing.
    slot : float or column
        Way of the pin from end to end; inf where there is no other end. [m]
    way : {1, -1, 0} or column
        Sense in which pressing begins to turn the driver.
    side : {1, -1} or column
        Sense in which a pull turns the driver at rest.
    rest : float or column
        Turn of the driven shaft at rest, from its measured angle. [rad]
    ok : bool or column
        Whether it could be put together.
    """

    rod: RodConnector | CableConnector | CamConnector
    carries: Number
    slot: Number
    way: Number
    side: Number
    rest: Number
    ok: Truth

    @classmethod
    def join(cls, layout: Layout, link: Link, turn: Number, way: Number) -> Self:
        """Put it together; see `connect.Connector.join`.

        Which end of a slot drives is told by the motion: where pressing takes the pins
        apart the rod pulls. Without a length it is cut so that at rest as much motion
        is lost as the layout says, and the driven shaft stays at its measured angle.
        With one, the driven shaft stays there too, but where the rod drives it already.
        """
        part = link.rod
        firm = _firm(layout, link)
        side = firm.pull_turns(layout, link, turn)
        # A pull that turns the driver back as pressing turns it on comes from a rod
        # that the two pins, going apart, are to stretch.
        carries = pick(-way * side >= 0, 1, -1)
        if part.only:
            carries = 1 if part.only == "pull" else -1

        rod = firm.at_length(layout, link, turn, carries * part.lost)
        slot = math.inf if part.only else part.slot
        whole = cls(
            rod=rod,
            carries=carries,
            slot=slot,
            way=way,
            side=side,
            rest=rod.rest,
            ok=rod.ok,
        )
        one = np.cos(turn), np.sin(turn)
        cosine, sine, reach = whole.close(one)
        rest = pick(rod.ok, plain(np.arctan2(sine, cosine)), math.nan)
        # A drum turned more than half round is told as turned otherwise, and not by this.
        tight = carries * (rod.length - rod.apart(one, (cosine, sine))) < -TIGHT
        ok = rod.ok & (reach >= 0) & ~np.isnan(rest) & (rod.length > part.slot) & ~tight
        if not is_column(ok):
            return replace(whole, rest=rest, ok=bool(ok))
        return replace(whole, rest=np.where(ok, rest, math.nan), ok=ok)

    def refusal(self) -> LinkageError | None:
        """Return why one layout cannot be put together; None where it can."""
        if self.ok:
            return None
        if not self.rod.ok:
            return self.rod.refusal()
        part, driven = self.link.rod, self.link.driven
        if not self.length > part.slot:
            msg = (
                f"{part.called} would be {say(self.length, 'length')} long, and its "
                f"slot alone is {say(part.slot, 'length')}"
            )
            hint = "measure the slot again, and both holes that the rod joins"
            return AssemblyError(msg, hint=hint, key=(*part.key, "slot"))
        measured = replace(self, rest=self.rod.rest)
        miss = measured.short_by(self.rod.driver_rest)
        if isinstance(self.rod, CableConnector):
            return self.rod.not_reached(miss)
        key = (*part.key, "length")
        if measured._drives_at(self.rod.driver_rest):  # noqa: SLF001 - of this class
            word = "short" if miss > 0 else "long"
            msg = (
                f"{part.called} of {say(self.length, 'length')} is "
                f"{say(abs(miss), 'length')} too {word} to reach `{driven}`"
            )
            hint = (
                "leave `length` out to have it cut to fit, with `lost` for the way that "
                "it goes at rest before it drives"
            )
            return ReachError(msg, hint=hint, key=key)
        msg = (
            f"at rest the pin of {part.called} stands {say(abs(miss), 'length')} "
            "beyond the end of its slot that does not drive"
        )
        hint = (
            f"`length` is from the other hole to the pin where it drives, "
            f"{say(self.length, 'length')}; the slot of {say(self.slot, 'length')} goes "
            f"on from there to a {'shorter' if self.carries > 0 else 'longer'} one; "
            "leave `length` out to have it cut to fit"
        )
        return ReachError(msg, hint=hint, key=key)

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array."""
        names = ("carries", "slot", "way", "side", "rest", "ok")
        return replace(
            self,
            rod=self.rod.take(rows),
            **{name: some_rows(getattr(self, name), rows) for name in names},
        )

    def _still(self) -> Pair:
        return np.cos(self.rest), np.sin(self.rest)

    def slack(self, one: Pair, two: Pair) -> Positions:
        """Return how far it may go before it drives; 0 where it drives. [m]."""
        left = self.carries * (self.length - self.rod.apart(one, two))
        return choose(left > CLOSE, left, choose(np.isnan(left), left, 0.0))

    def close(self, one: Pair) -> tuple[Any, Any, Any]:
        """Return cosine and sine of the driven turn, and the reach.

        The reach of a slack rod is the way left to the slot's other end, as a share of
        the slot.
        """
        cosine, sine, reach = self.rod.close(one)
        still = self._still()
        left = self.carries * (self.length - self.rod.apart(one, still))
        drives = left < -CLOSE
        with np.errstate(invalid="ignore", divide="ignore"):
            ahead = np.where(np.isinf(self.slot), 1.0, 1.0 - left / self.slot)
        ahead = np.where(np.abs(self.slot - left) < CLOSE, 0.0, ahead)
        return (
            choose(drives, cosine, still[0]),
            choose(drives, sine, still[1]),
            choose(drives, reach, ahead),
        )

    def levers(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the sines between the rod and either arm; whole where it is slack.

        There it has no dead centre: it carries nothing.
        """
        driver, driven = self.rod.levers(one, two)
        slack = self.slack(one, two) > 0
        return (
            choose(slack, self.side, driver),
            choose(slack, self.rod.branch, driven),
        )

    def line(self, driver: End, driven: End) -> Line:
        """Return how it lies to its two arms."""
        line = self.rod.line(driver, driven)
        slack = self.carries * (self.length - line.apart) > CLOSE
        return (
            SlackRodLine.of(line, slack)
            if isinstance(line, RodLine)
            else SlackCableLine.of(line, slack)
        )

    def _drives_at(self, turn: Number) -> Truth:
        one = np.cos(turn), np.sin(turn)
        apart = self.rod.apart(one, self._still())
        return self.carries * (self.length - apart) < -CLOSE

    def short_by(self, turn: Number) -> Number:
        """Return by how much rod or slot fails to reach at a turn of the driver. [m].

        Positive too short, negative too long, 0 where it reaches.
        """
        one = np.cos(turn), np.sin(turn)
        left = self.carries * (self.length - self.rod.apart(one, self._still()))
        beyond = self.carries * np.minimum(self.slot - left, 0.0)
        return plain(np.where(left < -CLOSE, self.rod.short_by(turn), beyond))

    @property
    def drawn(self) -> Drawn:
        """A straight bar with a slot at one end, or a hook that lets go."""
        drawn = self.rod.drawn
        if drawn.path == "cable":
            return drawn
        return replace(drawn, path="slot" if not self.link.rod.only else "hook")


class Slack:
    """How one with lost motion lies to its arms.

    Where it is slack it makes no angle to them that counts: both are told as square.
    """

    slack: Positions

    @classmethod
    def of(cls, line: Any, slack: Positions) -> Self:  # noqa: ANN401
        """Return a line that is slack at some positions."""
        found = cls.__new__(cls)
        found.__dict__.update(line.__dict__)
        found.slack = slack
        return found

    @cached_property
    def driver_angle(self) -> Positions:
        """Angle at the driver, 0 to π; π/2 where slack. [rad]."""
        angle = super().driver_angle  # type: ignore[misc]
        return np.where(self.slack, math.pi / 2, angle)

    @cached_property
    def driven_angle(self) -> Positions:
        """The same at the driven arm. [rad]."""
        angle = super().driven_angle  # type: ignore[misc]
        return np.where(self.slack, math.pi / 2, angle)


class SlackRodLine(Slack, RodLine):
    """A rod that may be slack."""


class SlackCableLine(Slack, CableLine):
    """A cable that may be slack."""
