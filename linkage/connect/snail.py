"""The run to a snail: a drum or quadrant whose radius changes.

A taut wire lies on the hull of its rim, point by point: it leaves from one corner after
another as the snail turns, and between two of them the corner is a bare arm. Where the
edge between them is in line with the end of the sheath the one takes over from the
other, at the turn at which a round drum as far from the axis as the edge would be left
there.

Not here: the hull (`model.rim`), round drums and bare arms (`connect.run`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Self

import numpy as np

from linkage import formulas
from linkage.connect.picked import picked, side_by_side, some_of
from linkage.connect.run import BareRun, Foot, from_nipple, placed, shortest
from linkage.model.columns import plain, some_rows
from linkage.model.rim import taut
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect.connector import Pair
    from linkage.model import Arm, Shaft, Vector
    from linkage.model.columns import Number, Positions, Truth


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SnailRun:
    """The run to a drum whose radius changes: to one corner of its rim after another.

    Parameters
    ----------
    arms : tuple of 3 ndarrays
        K, P and Q of every corner in the plane of the rim, shape (corners,) or
        (rows, corners). [m²]
    laid : ndarray, shape (corners,) or (rows, corners)
        Wire on the rim from the nipple to each. [m]
    places : ndarray, shape (2, corners)
        Turn of each from the nipple in the sense of the winding [rad], and its radius
        over the nipple's.
    radius : float or column
        At the nipple. [m]
    sense : {1, -1}
        In which the wire lies round it.
    corner_turns : ndarray, shape (corners - 1,) or (rows, corners - 1)
        Turn of the arm at which each edge is in line with the sheath's end. [rad]
    corner_runs : ndarray
        The run there. [m]
    aside : float or column
        By how much the straight part is longer than in the plane of the rim, as at rest:
        there the groove holds the wire, as on a round drum. [m]
    aside_by_radius : float or column
        Its derivative by the radius.
    clear : bool or column
        Whether the sheath ends outside it.
    """

    arms: tuple[Any, Any, Any]
    laid: Any
    places: Any
    radius: Number
    sense: int
    corner_turns: Any
    corner_runs: Any
    aside: Number
    aside_by_radius: Number
    clear: Truth

    @property
    def ok(self) -> Truth:
        """Whether the sheath ends outside it."""
        return self.clear

    def _corner(self, turn: Pair) -> Any:  # noqa: ANN401
        """Return the corner that the wire leaves from."""
        at = self.sense * np.arctan2(turn[1], turn[0])
        return _over(self.sense * self.corner_turns, at)

    def _bare(self, corner: Any) -> BareRun:  # noqa: ANN401
        k, p, q = (picked(c, corner) for c in self.arms)
        return BareRun(
            arm=(k, p, q),
            radius=self.radius * self.places[1][corner],
            branch=self.sense,
        )

    def length(self, turn: Pair) -> Positions:
        """Return how long it is. [m]."""
        corner = self._corner(turn)
        return picked(self.laid, corner) + self._bare(corner).length(turn) + self.aside

    def rates(self, turn: Pair) -> tuple[Positions, Positions]:
        """Return its first and second derivative by the turn. [m]."""
        return self._bare(self._corner(turn)).rates(turn)

    def by_radius(self, turn: Pair) -> Positions:
        """Return its derivative by the radius at the nipple, the whole rim with it."""
        corner = self._corner(turn)
        bare, ratio = self._bare(corner), self.places[1][corner]
        laid = picked(self.laid, corner) / self.radius
        return ratio * bare.by_radius(turn) + laid + self.aside_by_radius

    def at(self, length: Positions) -> tuple[Positions, Positions, Positions]:
        """Return cosine and sine of the turn at which it is so long, and the reach."""
        flat = length - self.aside
        corner = _over(-self.corner_runs, -flat)
        cosine, sine, reach = self._bare(corner).at(flat - picked(self.laid, corner))
        return cosine, sine, reach

    def wound(self, turn: Pair) -> Positions:
        """Return the turn round the rim on which the wire lies. [rad]."""
        return self.places[0][self._corner(turn)]

    def foot(self, turn: Pair) -> Foot:
        """Return the corner that the wire leaves from."""
        corner = self._corner(turn)
        places = self.places
        return Foot(self.radius * places[1][corner], self.sense * places[0][corner])

    @property
    def most(self) -> Number:
        """The longest that it can be: all of the rim covered. [m]."""
        last = self.places.shape[1] - 1
        return picked(self.laid, last) + self._bare(last).most + self.aside

    @property
    def least(self) -> Number:
        """The shortest that it gets by half a turn. [m]."""
        return shortest(self, self.sense, self._bare(0).least + self.aside)

    def take(self, rows: Any) -> Self:  # noqa: ANN401
        """Return some rows, by an index array."""
        return type(self)(
            arms=tuple(some_of(c, rows) for c in self.arms),
            laid=some_of(self.laid, rows),
            places=self.places,
            radius=some_rows(self.radius, rows),
            sense=self.sense,
            corner_turns=some_of(self.corner_turns, rows),
            corner_runs=some_of(self.corner_runs, rows),
            aside=some_rows(self.aside, rows),
            aside_by_radius=some_rows(self.aside_by_radius, rows),
            clear=some_rows(self.clear, rows),
        )


def snail_run(shaft: Shaft, arm: Arm, end: Vector) -> SnailRun:
    """Return the run from the end of a sheath to a snail."""
    turns, ratios = np.array(taut(arm.rim)).T
    x, y = ratios * np.cos(turns), ratios * np.sin(turns)
    dx, dy = np.diff(x), np.diff(y)
    laid = np.concatenate(([0.0], np.cumsum(np.hypot(dx, dy))))
    # Of every edge: the direction square to it, outwards, and how far it is from the axis.
    outwards = np.unwrap(np.arctan2(-dx, dy))
    off = x[:-1] * np.cos(outwards) + y[:-1] * np.sin(outwards)

    def corner(ratio: float, turn: float) -> Arm:
        return replace(
            arm,
            length=arm.length * ratio,
            angle=arm.angle + arm.wound * turn,
            rim=(),
        )

    corners = [
        formulas.arm_coefficients(*placed(shaft, corner(ratio, turn), end))
        for ratio, turn in zip(ratios, turns, strict=True)
    ]
    edges = [
        formulas.drum_at_rest(
            *placed(shaft, replace(arm, length=arm.length * away, rim=()), end),
            arm.wound,
        )
        for away in off
    ]
    falling = [
        from_nipple(arm.wound * leaves) - angle
        for (_, leaves, _), angle in zip(edges, outwards, strict=True)
    ]
    # Each from the one before it: a whole turn is told of the first alone.
    turned = arm.wound * np.unwrap(side_by_side(falling), axis=-1)
    clear: Truth = True
    for _, _, square in edges:
        clear = clear & (square > 0)
    # Square of the way along the shaft: the rim's groove holds the wire in its plane, and
    # the run would have a step at every corner if it were counted at each anew.
    straight, _, square = edges[0]
    along = straight**2 - square
    flat = [(k - along, p, q) for k, p, q in corners]
    whole = SnailRun(
        arms=tuple(side_by_side(c) for c in zip(*flat, strict=True)),
        laid=side_by_side([arm.length * one for one in laid]),
        places=np.array((turns, ratios)),
        radius=arm.length,
        sense=arm.wound,
        corner_turns=turned,
        corner_runs=np.empty(0),
        aside=0.0,
        aside_by_radius=0.0,
        clear=clear,
    )
    before = np.arange(len(off))
    at = whole.corner_turns
    runs = picked(whole.laid, before) + whole._bare(before).length(  # noqa: SLF001
        (np.cos(at), np.sin(at))
    )
    still = (1.0, 0.0)
    leaves = whole._corner(still)  # noqa: SLF001
    rest = whole._bare(leaves)  # noqa: SLF001
    short = plain(rest.length(still))
    slant = np.sqrt(short**2 + along)
    by = plain(whole.places[1][leaves] * rest.by_radius(still))
    return replace(
        whole,
        corner_runs=runs,
        aside=slant - short,
        aside_by_radius=(short / slant - 1) * by,
    )


def _over(falling: Any, at: Positions) -> Any:  # noqa: ANN401
    """Return how many of numbers that fall are above each position."""
    if falling.ndim == 1:
        return np.searchsorted(-falling, -np.asarray(at), side="left")
    return (falling[:, None, :] > np.asarray(at)[..., None]).sum(axis=-1)
