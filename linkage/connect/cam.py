"""The cam: a profile of circular arcs that pushes a roller on an arm.

On an arc of radius R about a centre that turns with the cam, the centre of a roller of
radius r is R + r away from that: so there cam and roller move as a bar of that length
from the arc's centre to the roller's pin, and the one closure of rods serves. Which arc it
is, is told by where the bar lies: within the normals at which its arc begins and ends. Where
one arc goes over into the next both bars are one.

As if the roller were held to the cam both ways; that it only pushes, and is left standing
where the cam falls away, is `connect.push`.

References
----------
J. E. Shigley, J. J. Uicker, Theory of Machines and Mechanisms, equivalent linkages of
cams with circular arcs (from memory).

Not here: the profile (`model.profile`), how it lies to its arms (`connect.cam_line`), the
formulas (`formulas`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import reduce
from operator import or_
from typing import TYPE_CHECKING, Any, Final, Self

import numpy as np

from linkage import formulas
from linkage.connect.cam_line import CamLine
from linkage.connect.cam_refused import BESIDE, why_refused
from linkage.connect.connector import Drawn, Stiff
from linkage.connect.facing import Facing, facing
from linkage.connect.line import choose
from linkage.connect.picked import ahead, beside, one_of, picked, side_by_side, some_of
from linkage.connect.rod import STRAIGHT, RodConnector, side_of
from linkage.model.axes import add, dot
from linkage.model.columns import every, is_column, negated, pick, plain, some_rows
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect.connector import End, Pair
    from linkage.errors import LinkageError
    from linkage.model import Layout, Link
    from linkage.model.columns import Number, Positions, Truth

#: Cosine between two shafts from which on they are parallel, less than 1 by so much.
PARALLEL: Final = 1e-9
_R = formulas.PARAMETER_NAMES.index("R")
_DRIVEN = formulas.PARAMETER_NAMES.index("r")
_BY_DRIVER = formulas.MEASURED_NAMES.index("R")
_BY_DRIVEN = formulas.MEASURED_NAMES.index("r")
_BY_LENGTH = formulas.MEASURED_NAMES.index("L")


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class CamConnector(Stiff):
    """A cam and its roller, as if each held the other; see `connect.Connector`.

    Parameters
    ----------
    link : Link
        The cam and its two holes.
    face : Facing
        The profile, and where the roller is.
    reduced : tuple of 9 ndarray
        Coefficients of the closure of every arc's bar.
    parameters : tuple of 27 numbers
        In the order of `formulas.PARAMETER_NAMES`, of the cam's arm.
    roller : float or column
        Its radius. [m]
    length : float or column
        Of the bar at rest. [m]
    branch : {1, -1} or column
        1 where a pull would turn the roller's arm anticlockwise at rest.
    side : {1, -1} or column
        The same of the cam.
    ok : bool or column
        Whether it could be put together.
    why : tuple of 5 (bool or column)
        Why not, in the order of `connect.cam_refused`.
    driver_rest : float or column
        Turn of the cam at rest. [rad]
    """

    link: Link
    face: Facing
    reduced: tuple[Any, ...]
    parameters: tuple[Number, ...]
    roller: Number
    length: Number
    branch: Number
    side: Number
    ok: Truth
    why: tuple[Truth, ...]
    driver_rest: Number

    @property
    def rest(self) -> Number:
        """Turn of the driven shaft at rest, from its measured angle. [rad]."""
        return 0.0 if every(self.ok) else pick(self.ok, 0.0, math.nan)

    @staticmethod
    def pull_turns(layout: Layout, link: Link, turn: Number) -> Number:
        """Return the sense in which a pull turns the driver at rest; 1 where neither."""
        return CamConnector.at_length(layout, link, turn).side

    @classmethod
    def at_length(
        cls,
        layout: Layout,
        link: Link,
        turn: Number,
        more: Number = 0.0,  # noqa: ARG003 - a cam is as it is
    ) -> Self:
        """Return a cam and its roller where they were measured.

        Parameters
        ----------
        layout, link, turn
            As for `connect.Connector.join`.
        more : float or column
            Not used: neither is cut to fit.
        """
        cam: Any = link.rod
        one, two = (layout.shafts[hole.shaft] for hole in link.holes)
        arm, other = one.arms[link.driver.arm], two.arms[link.driven.arm]
        away = add(two.centre(link.driven.arm), one.centre(link.driver.arm), -1)
        beside = dot(away, one.axis.n)
        # In the roller's plane, though it stand a little beside the cam.
        station = side_of(layout, link.driver)
        both = (*station[:2], station[2] + beside, *station[3:])
        both += side_of(layout, link.driven)
        face = facing(cam, (one, two), (arm, other), away)
        reduced = []
        for i in range(len(face.middle)):
            x, y, length = (one_of(c, i) for c in (face.x, face.y, face.length))
            bar = (*_out(face, arm.angle, x, y), *both[2:], length)
            reduced.append(tuple(plain(c) for c in formulas.coefficients(*bar)))
        whole = cls(
            link=link,
            face=face,
            reduced=tuple(side_by_side(c) for c in zip(*reduced, strict=True)),
            parameters=(*both, 0.0),
            roller=cam.roller,
            length=0.0,
            branch=1,
            side=1,
            ok=True,
            why=(),
            driver_rest=turn,
        )
        carried = [shaft.name in layout.engine.carries for shaft in (one, two)]
        bad = (
            carried[0] is not carried[1],
            abs(abs(dot(one.axis.n, two.axis.n)) - 1) > PARALLEL,
            abs(beside) > BESIDE,
        )
        return whole._at_rest(bad)

    def _at_rest(self, bad: tuple[Truth, ...]) -> Self:
        """Tell the bar and its sides at rest, and whether it could be put together."""
        one = np.cos(self.driver_rest), np.sin(self.driver_rest)
        still: Any = (1.0, 0.0)
        arc = self.face.arc(one, still)
        length = plain(picked(self.face.length, arc))
        at = self._bar(arc, length)
        driver, driven = (plain(m) for m in formulas.moments(one, still, at.reduced))
        apart = plain(at.apart(one, still))
        # Deep within it faces what lies on the cam's other side.
        off = negated(plain(self.faces(one, still)) >= 0)
        off = off | negated(length - apart <= self.roller)
        line = negated(abs(driven) >= STRAIGHT * apart)
        why = (*bad, off, line)
        none = reduce(or_, why)
        ok = ~none if is_column(none) else not none
        return replace(
            self,
            length=pick(ok, length, math.nan),
            branch=pick(driven > 0, 1, -1),
            side=pick(driver >= 0, 1, -1),
            ok=ok,
            why=why,
        )

    def refusal(self) -> LinkageError | None:
        """Return why one layout cannot be put together; None where it can."""
        return None if self.ok else why_refused(self.link, self.why)

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array; the link stays as it is."""
        names = ("roller", "length", "branch", "side", "ok", "driver_rest")
        return replace(
            self,
            face=self.face.take(rows),
            reduced=tuple(some_of(c, rows) for c in self.reduced),
            parameters=tuple(some_rows(c, rows) for c in self.parameters),
            why=tuple(some_rows(w, rows) for w in self.why),
            **{name: some_rows(getattr(self, name), rows) for name in names},
        )

    def faces(self, one: Pair, two: Pair) -> Positions:
        """Return how far the roller stands within the profile; see `Facing.left`. [rad]."""
        normals = self.face.normals(ahead(one), ahead(two))
        return self.face.left(normals, self.face.nearest(normals))

    def _bar(self, arc: Any, length: Positions) -> RodConnector:  # noqa: ANN401
        """Return the bar of an arc at every position."""
        x, y = (picked(c, arc) for c in (self.face.x, self.face.y))
        return RodConnector(
            link=self.link,
            reduced=tuple(picked(c, arc) for c in self.reduced),
            parameters=(
                *_out(self.face, self.parameters[_R + 1], x, y),
                *self.parameters[2:-1],
                length,
            ),
            branch=self.branch,
            rest=0.0,
            ok=self.ok,
            straight=False,
            driver_rest=self.driver_rest,
        )

    def bar(self, one: Pair, two: Pair) -> RodConnector:
        """Return the bar as which cam and roller move, at every position."""
        arc = self.face.arc(one, two)
        return self._bar(arc, picked(self.face.length, arc))

    def close(self, one: Pair) -> tuple[Any, Any, Any]:
        """Return cosine and sine of the driven turn, and the reach.

        The reach is no more than the turn that is left to either end of the profile.
        """
        face, wide = self.face, ahead(one)
        reduced = [beside(c) for c in self.reduced]
        branch = self.branch[..., None] if is_column(self.branch) else self.branch
        cosine, sine, reach = formulas.close(*wide, reduced, branch)
        normals = face.normals(wide, (cosine, sine))
        arc = face.nearest(normals)
        at = np.asarray(arc)[..., None]
        cosine, sine, reach = (
            np.take_along_axis(c, at, axis=-1)[..., 0] for c in (cosine, sine, reach)
        )
        left = np.fmin(reach, face.left(normals, arc))
        return tuple(choose(self.ok, c, math.nan) for c in (cosine, sine, left))

    def apart(self, one: Pair, two: Pair) -> Positions:
        """Return how long the bar at rest would have to be, at any turns. [m].

        More than it is by as much as the roller is clear of the cam.
        """
        return self.length + self.face.clear(one, two)

    def ratio(self, one: Pair, two: Pair) -> Positions:
        """Return the driven turn a turn of the driver."""
        return self.bar(one, two).ratio(one, two)

    def rates(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the driven turn a turn of the driver, and its change."""
        return self.bar(one, two).rates(one, two)

    def by_length(self, one: Pair, two: Pair) -> Positions:
        """Return the driven turn that a metre more of all radii, or of the roller, gives."""
        return self.bar(one, two).by_length(one, two)

    def by_arms(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the driven turn that a metre more of either arm gives.

        The cam's arm has the whole cam larger.
        """
        bar = self.bar(one, two)
        by = formulas.partials(one, two, bar.parameters)
        grows = by[_BY_DRIVER] * bar.parameters[_R]
        grows = grows + by[_BY_LENGTH] * (bar.length - self.roller)
        return grows / self.parameters[_R], by[_BY_DRIVEN]

    def levers(self, one: Pair, two: Pair) -> tuple[Positions, Positions]:
        """Return the shares of a pull that turn either arm.

        Of the cam its share of the way from the shaft to where it touches: nothing where
        the profile is round about the shaft, and past its highest place the other way.
        """
        bar = self.bar(one, two)
        driver, driven = formulas.moments(one, two, bar.reduced)
        apart = bar.apart(one, two)
        x, y = self.face.roller(one, two)
        arc = self.face.arc(one, two)
        ax, ay = (picked(c, arc) for c in (self.face.x, self.face.y))
        share = self.roller / apart
        touch = np.hypot(x - share * (x - ax), y - share * (y - ay))
        arm = driver * self.parameters[_DRIVEN] / apart
        return arm / touch, driven / apart

    def close_levers(self, one: Pair) -> tuple[Any, Any, Any, Any, Any]:
        """Return what `close` and `levers` do."""
        cosine, sine, reach = self.close(one)
        return cosine, sine, reach, *self.levers(one, (cosine, sine))

    def line(self, driver: End, driven: End) -> CamLine:
        """Return how it lies to its two arms."""
        face = self.face
        arc = face.arc(driver.turn, driven.turn)
        x, y, length = (picked(c, arc) for c in (face.x, face.y, face.length))
        return CamLine(
            self.link,
            (driver, driven),
            (x, face.goes * y),
            (length, self.length),
            self.roller,
        )

    def short_by(self, turn: Number) -> Number:
        """Return 0: by how much a roller runs off its profile is no length. [m]."""
        return plain(0.0 * turn)

    @property
    def mass(self) -> Number:
        """Of the roller, where it is given. [kg]."""
        return self.link.rod.mass

    @property
    def push_limit(self) -> Number | None:
        """None: it does not buckle. [N]."""
        return None

    @property
    def stretch(self) -> Number:
        """0: it does not give. [m/N]."""
        return 0.0

    @property
    def drawn(self) -> Drawn:
        """A profile and a roller."""
        return Drawn(path="cam", ball=(False, False))


def _out(
    face: Facing, angle: Number, x: Positions, y: Positions
) -> tuple[Positions, Positions]:
    """Return an arc's centre as an arm: its length, and its angle at rest. [m, rad]."""
    return np.hypot(x, y), angle + face.goes * np.arctan2(y, x)
