"""The cable: a wire through a sheath, from one arm to another.

Both ends of the sheath are held, so what the wire goes in at the one end it comes out
at the other, whatever way the sheath takes and however an engine bends it. Free wire at
both ends together stays as long as it is: a turn of the driver gives its own run, and
so the run and the turn of the driven arm. Held so both ways it is a push-pull cable; one
that only pulls is this while it is taut (`connect.lost_motion`).

Not here: the run at one end (`connect.run`), the wire (`connect.wire`), what the sheath
takes of a pull (`forces.sheath`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Self

import numpy as np

from linkage.connect.cable_line import CableLine
from linkage.connect.connector import Drawn, Stiff
from linkage.connect.rod import cut_length
from linkage.connect.run import bare_run, drum_run
from linkage.connect.snail import snail_run
from linkage.connect.wire import wire_mass, wire_stretch
from linkage.errors import AssemblyError, LinkageError, ReachError
from linkage.model.columns import every, is_column, pick, plain, some, some_rows
from linkage.quantities import say
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect.connector import End, Pair
    from linkage.connect.run import Run
    from linkage.model import Cable, Hole, Layout, Link, Vector
    from linkage.model.columns import Number, Positions, Truth

#: Share of an arm that its run changes by with the turn, below which it is in line.
STRAIGHT = 1e-6
#: Least free wire at rest between a nipple and its sheath. [m]
FREE = 1e-3


def sheath_ends(link: Link) -> tuple[Vector, Vector]:
    """Return where the wire leaves its sheath, the driver's side first. [m]."""
    cable: Any = link.rod
    one, two = (end.point for end in cable.ends)
    return (one, two) if link.driver == cable.start else (two, one)


def run_of(layout: Layout, hole: Hole, end: Vector) -> Run:
    """Return the free run from the end of a sheath to a hole."""
    shaft = layout.shafts[hole.shaft]
    arm = shaft.arms[hole.arm]
    if not arm.wound:
        return bare_run(shaft, arm, end)
    return (snail_run if arm.rim else drum_run)(shaft, arm, end)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class CableConnector(Stiff):
    """A cable between its two shafts, as if it both pulled and pushed.

    Parameters
    ----------
    link : Link
        The cable and its two holes.
    runs : pair of Run
        The free wire at the driver, and at the driven arm.
    length : float or column
        Of both together. [m]
    branch : {1, -1} or column
        1 where a pull turns the driven shaft anticlockwise at rest.
    rest : float or column
        Turn of the driven shaft at rest, from its measured angle. [rad]
    ok : bool or column
        Whether it could be put together.
    straight : bool or column
        Whether wire and driven arm lie in line at rest.
    driver_rest : float or column
        Turn of the driver at rest. [rad]
    """

    link: Link
    runs: tuple[Run, Run]
    length: Number
    branch: Number
    rest: Number
    ok: Truth
    straight: Truth
    driver_rest: Number

    @classmethod
    def join(
        cls,
        layout: Layout,
        link: Link,
        turn: Number,
        way: Number,  # noqa: ARG003
    ) -> Self:
        """Put it together; see `connect.Connector.join`."""
        whole, given = cls.at_length(layout, link, turn), link.rod.length
        return whole if given is None else whole.fitted(turn, given)

    @staticmethod
    def pull_turns(layout: Layout, link: Link, turn: Number) -> Number:
        """Return the sense in which a pull turns the driver at rest; 1 on dead centre."""
        run = run_of(layout, link.driver, sheath_ends(link)[0])
        rate, _ = run.rates((np.cos(turn), np.sin(turn)))
        return pick(plain(rate) <= 0, 1, -1)

    @classmethod
    def at_length(
        cls, layout: Layout, link: Link, turn: Number, more: Number = 0.0
    ) -> Self:
        """Return a cable with its driven shaft as measured.

        Parameters
        ----------
        layout, link, turn
            As for `connect.Connector.join`.
        more : float or column
            By how much one that is set is longer than taut at rest. [m]
        """
        ends = sheath_ends(link)
        one, two = (
            run_of(layout, hole, end)
            for hole, end in zip(link.holes, ends, strict=True)
        )
        still = (1.0, 0.0)
        rate, _ = two.rates(still)
        arm = layout.shafts[link.driven.shaft].arms[link.driven.arm]
        clear = abs(plain(rate)) >= STRAIGHT * arm.length
        near, far = one.length((np.cos(turn), np.sin(turn))), two.length(still)
        away = plain(near + far)
        ok = clear & one.ok & two.ok & (plain(near) >= FREE) & (plain(far) >= FREE)
        fits = pick(ok, cut_length(link.rod.length, away + more), math.nan)
        return cls(
            link=link,
            runs=(one, two),
            length=plain(fits),
            branch=pick(plain(rate) < 0, 1, -1),
            rest=0.0 if every(ok) else pick(ok, 0.0, math.nan),
            ok=ok if is_column(ok) else bool(ok),
            straight=~clear if is_column(clear) else not clear,
            driver_rest=turn,
        )

    def fitted(self, turn: Number, given: Number) -> Self:
        """Turn the driven shaft until a wire of given length is taut."""
        cos2, sin2, reach = self.close((np.cos(turn), np.sin(turn)))
        cut = np.isnan(given)
        rest = pick(cut, self.rest, plain(np.arctan2(sin2, cos2)))
        reaches = cut | ((reach >= 0) & ~np.isnan(rest))
        if not is_column(reaches):
            return replace(self, rest=rest, ok=bool(self.ok and reaches))
        ok = self.ok & reaches
        return replace(
            self, rest=rest, ok=ok, length=np.where(ok, self.length, math.nan)
        )

    def refusal(self) -> LinkageError | None:
        """Return why one layout cannot be put together; None where it can."""
        if self.ok:
            return None
        cable, driven = self.link.rod, self.link.driven
        turns = (self.driver_rest, 0.0)
        for run, hole, turn in zip(self.runs, self.link.holes, turns, strict=True):
            end = "sheath_from" if hole == cable.start else "sheath_to"
            if run.ok and run.length((np.cos(turn), np.sin(turn))) < FREE:
                msg = f"the sheath of {cable.called} ends at its nipple in `{hole}`"
                hint = (
                    "the wire runs free from there to the nipple, and goes back and forth "
                    "by as much as the hole moves; check that point"
                )
                return AssemblyError(msg, hint=hint, key=(*cable.key, end))
            if not run.ok:
                msg = f"the sheath of {cable.called} ends within drum `{hole}`"
                hint = (
                    "the wire leaves its sheath beside the drum; check that point, the "
                    "drum's radius and its pivot"
                )
                return AssemblyError(msg, hint=hint, key=(*cable.key, end))
        if self.straight:
            msg = f"the wire of {cable.called} and arm `{driven}` lie in line at rest"
            hint = (
                "nothing tells which way the arm would go; turn the arm on its shaft or "
                "move the end of the sheath, so that wire and arm make a clear angle"
            )
            key = ("shafts", driven.shaft, "arms", driven.arm)
            return AssemblyError(msg, hint=hint, key=key)
        return self.not_reached(self.short_by(self.driver_rest))

    def not_reached(self, miss: float) -> ReachError:
        """Return that its free wire misses by so much, too short where positive."""
        cable, driven = self.link.rod, self.link.driven
        word = "short" if miss > 0 else "long"
        msg = (
            f"{cable.called} leaves {say(self.length, 'length')} of wire free, "
            f"{say(abs(miss), 'length')} too {word} for `{driven}` at rest"
        )
        hint = (
            "measure wire and sheath again, and where the sheath ends; leave both "
            "lengths out to have the cable set by its adjuster"
        )
        return ReachError(msg, hint=hint, key=(*cable.key, "wire_length"))

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array; the link stays as it is."""
        names = ("length", "branch", "rest", "ok", "straight", "driver_rest")
        one, two = (run.take(rows) for run in self.runs)
        return replace(
            self,
            runs=(one, two),
            **{name: some_rows(getattr(self, name), rows) for name in names},
        )

    def close(self, one: Pair) -> tuple[Any, Any, Any]:
        """Return cosine and sine of the driven turn, and the reach."""
        return self.runs[1].at(self.length - self.runs[0].length(one))

    def apart(self, one: Pair, two: Pair) -> Positions:
        """Return how long both runs are at any turns. [m]."""
        return self.runs[0].length(one) + self.runs[1].length(two)

    def ratio(self, one: Pair, two: Pair) -> Positions:
        """Return the driven turn a turn of the driver."""
        with np.errstate(divide="ignore", invalid="ignore"):
            return -self.runs[0].rates(one)[0] / self.runs[1].rates(two)[0]

    def rates(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the driven turn a turn of the driver, and its change."""
        # Of a1 + a2 = const, differentiated once and twice by the driver's turn.
        (a, aa), (b, bb) = self.runs[0].rates(one), self.runs[1].rates(two)
        with np.errstate(divide="ignore", invalid="ignore"):
            first = -a / b
            return first, -(aa + bb * first**2) / b

    def by_length(self, one: Pair, two: Pair) -> Positions:  # noqa: ARG002
        """Return the driven turn that a metre more of free wire, or play, gives."""
        with np.errstate(divide="ignore"):
            return 1 / self.runs[1].rates(two)[0]

    def by_arms(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the driven turn that a metre more of either arm gives."""
        by = self.by_length(one, two)
        return -by * self.runs[0].by_radius(one), -by * self.runs[1].by_radius(two)

    def levers(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the shares of a pull that turn either arm; of a drum 1 or -1."""
        driver, driven = (
            -run.rates(turn)[0] / run.foot(turn).radius
            for run, turn in zip(self.runs, (one, two), strict=True)
        )
        return driver, driven

    def close_levers(self, one: Pair) -> tuple[Any, Any, Any, Any, Any]:
        """Return what `close` and `levers` do."""
        cosine, sine, reach = self.close(one)
        return cosine, sine, reach, *self.levers(one, (cosine, sine))

    def line(self, driver: End, driven: End) -> CableLine:
        """Return how it lies to its two arms."""
        return CableLine(self.link, self.runs, sheath_ends(self.link), (driver, driven))

    def short_by(self, turn: Number) -> Number:
        """Return by how much it fails to reach at a turn of the driver. [m].

        Positive too short, negative too long, 0 where it reaches.
        """
        left = self.length - self.runs[0].length((np.cos(turn), np.sin(turn)))
        least, most = self.runs[1].least, self.runs[1].most
        short = np.maximum(least - left, 0.0)
        return plain(np.where(left > most, most - left, short))

    @property
    def mass(self) -> Number:
        """Of its wire, given or estimated. [kg]."""
        cable = self._cable
        whole = wire_mass(cable, cable.sheathed + self.length)
        return pick(cable.mass > 0, cable.mass, whole)

    @property
    def push_limit(self) -> Number | None:
        """Push at which it gives way; None where that is not known. [N]."""
        limit = self._cable.push_limit
        return pick(limit > 0, limit, math.nan) if some(limit > 0) else None

    @property
    def stretch(self) -> Number:
        """How much longer its wire gets under a pull of 1 N. [m/N]."""
        return wire_stretch(self._cable, self._cable.sheathed + self.length)

    @property
    def _cable(self) -> Cable:
        cable: Any = self.link.rod
        return cable

    @property
    def drawn(self) -> Drawn:
        """A wire through a sheath."""
        return Drawn(path="cable", ball=(False, False))
