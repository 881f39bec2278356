"""The pedal and all that hangs on it, solved at pad positions.

A chain is what of an assembly is needed to solve it; `take` gives some of its
rows. Shafts are solved when they are asked for, and no further than asked.

Not here: jams that end the travel (`motion.sweep`), stops (`motion.working`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model.columns import is_column, some, some_rows, spread

if TYPE_CHECKING:
    from collections.abc import Mapping

    from linkage.connect import Connector, Pair
    from linkage.model.columns import Number, Positions
    from linkage.motion.assembly import Assembly

#: Positions over the pedal's travel in which events are looked for.
SAMPLES: Final = 241
#: Turn above which the seam at half a turn may be near. [rad]
NEAR_SEAM: Final = 2.0
#: Greatest step of the pedal in which a shaft is followed past the seam. [rad]
SEAM_STEP: Final = 0.005
#: A whole turn. [rad]
WHOLE: Final = 2 * np.pi


class Chain:
    """What of an assembly is needed to solve it.

    Parameters
    ----------
    root : str
        The pedal's shaft.
    pedal : tuple of 3 numbers
        Sense times one, radius of the pad and free play. [1], [m], [m]
    loops : tuple of Connector
        In driving order.
    rest : mapping of str to float or column
        Turn of every shaft at rest. [rad]
    samples : int
        Positions over a span in which events are looked for (`motion.events`).
    many : bool
        Whether any number is a column.
    """

    def __init__(
        self,
        root: str,
        pedal: tuple[Number, Number, Number],
        loops: tuple[Connector, ...],
        rest: Mapping[str, Number],
        samples: int,
        *,
        many: bool,
    ) -> None:
        self.many = many
        self.root = root
        self.pedal = pedal
        self.loops = loops
        self.rest = rest
        self.samples = samples
        self.by_driven = {loop.link.driven.shaft: loop for loop in loops}
        self.by_rod = {loop.link.rod.name: loop for loop in loops}

    @classmethod
    def of(cls, assembly: Assembly, samples: int = SAMPLES) -> Chain:
        """Return the chain of an assembly."""
        layout = assembly.layout
        p = layout.pedal
        pedal = (p.presses, layout.pad_radius, p.free_play)
        many = is_column(assembly.ok)
        loops, rest = assembly.loops, assembly.rest
        return cls(p.shaft, pedal, loops, rest, samples, many=many)

    def take(self, rows: Any) -> Chain:  # noqa: ANN401
        """Return some rows, in any order and any number of times each."""
        if not self.many:
            return self
        presses, radius, play = self.pedal
        return Chain(
            self.root,
            (presses, some_rows(radius, rows), some_rows(play, rows)),
            tuple(loop.take(rows) for loop in self.loops),
            {name: some_rows(turn, rows) for name, turn in self.rest.items()},
            self.samples,
            many=True,
        )

    def pedal_turn(self, travel: Positions) -> Positions:
        """Return the turn of the pedal's shaft that moves the linkage. [rad].

        Free play is travel of the pad in which the linkage stays where it is.
        """
        presses, radius, play = self.pedal
        used = travel
        if some(play):
            used = np.where(travel > 0, np.maximum(travel - play, 0), travel)
        return presses * used / radius

    def solve(self, travel: Positions, *, levers: bool = False) -> Solved:
        """Return the shafts at pad positions, of shape (n,) or (rows, n). [m].

        Ask for ``levers`` where those of most rods will be wanted.
        """
        return Solved(self, travel, levers=levers)

    def solve_like(self, other: Solved) -> Solved:
        """Return the shafts at the positions of a chain of which this is a changed copy."""
        out = Solved(self, other.travel)
        out.take_over(other)
        return out


class Solved:
    """Every shaft at pad positions, jams or not; see `Chain.solve`.

    Parameters
    ----------
    chain : Chain
        What is solved.
    travel : ndarray, shape (), (n,) or (rows, n)
        Pad positions. [m]
    levers : bool
        Work out every rod's levers with it.
    """

    def __init__(
        self, chain: Chain, travel: Positions, *, levers: bool = False
    ) -> None:
        self.chain = chain
        self.travel = travel
        self._with_levers = levers
        self._levers: dict[str, tuple[Positions, Positions]] = {}
        self._reach: dict[str, Positions] = {}
        self._turns = {chain.root: chain.pedal_turn(travel)}
        first = self._turns[chain.root]
        self._pairs: dict[str, Pair] = {chain.root: (np.cos(first), np.sin(first))}

    def take_over(self, other: Solved) -> None:
        """Take from another chain, at the same positions, what is the same there."""
        same = {self.chain.root}
        for loop in self.chain.loops:
            driver, driven = (hole.shaft for hole in loop.link.holes)
            rod = loop.link.rod.name
            if driver in same and other.chain.by_rod[rod] is loop:
                same.add(driven)
                self._pairs[driven] = other.pair(driven)
                self._reach[rod] = other.reach(rod)

    def pair(self, shaft: str) -> Pair:
        """Return cosine and sine of a shaft's turn; nan where a rod does not reach."""
        found = self._pairs.get(shaft)
        if found is None:
            loop = self.chain.by_driven[shaft]
            rod, driver = loop.link.rod.name, self.pair(loop.link.driver.shaft)
            if self._with_levers:
                cosine, sine, reach, *levers = loop.close_levers(driver)
                self._levers[rod] = (levers[0], levers[1])
            else:
                cosine, sine, reach = loop.close(driver)
            self._reach[rod] = reach
            found = self._pairs[shaft] = (cosine, sine)
        return found

    def reach(self, rod: str) -> Positions:
        """Return a rod's reach: negative where it does not reach."""
        self.pair(self.chain.by_rod[rod].link.driven.shaft)
        return self._reach[rod]

    def lever(self, rod: str) -> Positions:
        """Return the signed share of a pull in a rod that turns its driver."""
        return self.levers(rod)[0]

    def levers(self, rod: str) -> tuple[Positions, Positions]:
        """Return the signed shares of a pull in a rod that turn driver and driven."""
        loop = self.chain.by_rod[rod]
        driver, driven = (self.pair(hole.shaft) for hole in loop.link.holes)
        found = self._levers.get(rod)
        if found is None:
            found = self._levers[rod] = loop.levers(driver, driven)
        return found

    def turn(self, shaft: str) -> Positions:
        """Return a shaft's turn without the jump of a whole turn at half a turn. [rad].

        Few positions cannot tell on which side of the seam they lie; so a shaft
        that comes near it is followed there from rest in small steps.
        """
        found = self._turns.get(shaft)
        if found is None:
            cosine, sine = self.pair(shaft)
            raw = np.arctan2(sine, cosine)
            near = np.abs(raw) > NEAR_SEAM
            found = self._unseamed(shaft, raw, near) if near.any() else raw
            self._turns[shaft] = found
        return found

    def _unseamed(self, shaft: str, raw: Positions, near: Positions) -> Positions:
        flat = np.atleast_2d(raw)
        rows = np.flatnonzero(np.atleast_2d(near).any(axis=-1))
        travel = np.broadcast_to(self.travel, flat.shape)[rows]
        guide, at = _guide(self.chain.take(rows), shaft, travel)
        off = np.take_along_axis(guide, at, axis=-1) - flat[rows]
        out = flat.copy()
        out[rows] += WHOLE * np.round(off / WHOLE)
        return out.reshape(np.shape(raw))


def _guide(chain: Chain, shaft: str, travel: Positions) -> tuple[Positions, Positions]:
    """Return a shaft's turn followed from rest, and the place of positions in it.

    Both ways from rest in steps of the pedal of at most `SEAM_STEP`; where the
    linkage is jammed the last turn before stays.
    """
    sides, places, turns = [], [], []
    for sign in (-1.0, 1.0):
        end = np.max(sign * travel, axis=-1, keepdims=True, initial=0.0)
        swept = np.max(np.abs(end / chain.pedal[1]))
        count = int(swept / SEAM_STEP) + 2
        sides.append(spread(0.0, sign * end, count))
        step = np.where(end > 0, end, 1.0) / (count - 1)
        places.append(np.clip(np.rint(sign * travel / step), 0, count - 1))
    back, ahead = sides
    solved = chain.solve(np.concatenate((back, ahead), axis=-1))
    cosine, sine = solved.pair(shaft)
    raw = np.arctan2(sine, cosine)
    middle = back.shape[-1]
    for part in (raw[:, :middle], raw[:, middle:]):
        way = np.diff(part, axis=-1)
        way = np.nan_to_num(way - WHOLE * np.round(way / WHOLE))
        turns.append(np.cumsum(np.pad(way, ((0, 0), (1, 0))), axis=-1))
    guide = chain.rest[shaft] + np.concatenate(turns, axis=-1)
    at = np.where(travel < 0, places[0], places[1] + middle)
    return guide, at.astype(np.intp)
