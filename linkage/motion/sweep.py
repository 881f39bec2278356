"""Move the pedal through its travel and follow every shaft.

The branch of each rod stays as the rest position fixed it. Where a rod cannot
reach, that position and all beyond it are nan: a linkage cannot jump over a
place where it jams.

Not here: what the positions mean (`motion.working`, `rules`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import field, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import UsageError
from linkage.model.columns import is_column, rows_below, spread
from linkage.motion.chain import SAMPLES, Chain, Solved
from linkage.motion.events import SAME, flat
from linkage.motion.jam import jams
from linkage.records import dataclass, short
from linkage.tabular import Tabular, column_words, put

#: Furthest that a pedal is swept, and far more than any can turn. [rad]
MOST_SWEPT: Final = 20 * math.pi

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from linkage.connect import Pair
    from linkage.model.columns import Number, Positions
    from linkage.motion.assembly import Assembly
    from linkage.motion.frame import Frame

#: Less than this off the idle stop is rounding. [rad]
SHUT: Final = 1e-12
#: Turn of the pedal that the usual samples cover closely enough to find a jam. [rad]
COVERED: Final = 1.5


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Motion(Tabular):
    """Every shaft at every pad position; all arrays are read-only.

    Arrays have the shape of the positions: () for one, (n,) for n, (rows, n) for
    many layouts; what is alike in all rows may stay (n,).

    Parameters
    ----------
    assembly : Assembly
        What moved.
    pad_travel : ndarray, shape (), (n,) or (rows, n)
        Along the pad's arc, 0 with the pedal up, positive pressing. [m]
    turns : mapping of str to ndarray
        Turn of each shaft from its measured angle, anticlockwise positive for
        its viewer, without wrap-around up to 245° either way; nan where the
        linkage is jammed. Worked out when asked for. [rad]
    cosines, sines : mapping of str to ndarray
        Of the turns.
    reach : mapping of str to ndarray
        By rod: negative where it does not reach, 0 at the driven dead centre.
    frames : list of Frame
        Its frame, once that was asked for; see `linkage.motion.frame`.
    """

    assembly: Assembly
    pad_travel: Positions
    turns: Mapping[str, Positions]
    cosines: Mapping[str, Positions]
    sines: Mapping[str, Positions]
    reach: Mapping[str, Positions]
    frames: list[Frame] = field(default_factory=list, init=False, repr=False)

    def __repr__(self) -> str:
        shape = np.broadcast_shapes(*(np.shape(c) for c in self.cosines.values()))
        low, high = (1e3 * f(self.pad_travel, initial=0.0) for f in (np.min, np.max))
        rows = f"{shape[0]} rows of " if len(shape) > 1 else ""
        many = f"{rows}{shape[-1] if shape else 1} positions"
        title = short(self.assembly.layout.title)
        return f"<Motion of {title!r}: {many}, pad {low:.1f} to {high:.1f} mm>"

    def columns(self) -> dict[str, Any]:
        """Return the turn of every shaft and throttle, in shown units, each of shape (n,).

        Of many layouts all positions stand one below the other, with the row first.
        """
        told: dict[str, Any] = {}
        put(told, "pad travel", self.pad_travel)
        words = column_words(self.turns)
        for shaft, turn in self.turns.items():
            slides = self.assembly.layout.shafts[shaft].slides
            put(told, "slide way" if slides else "shaft turn", turn, words[shaft])
        words = column_words(self.assembly.layout.throttles)
        for name, word in words.items():
            angle = self.between_stops(name)
            put(told, "throttle angle", angle, word if len(words) > 1 else "")
        return rows_below(told)

    @property
    def ndim(self) -> int:
        """Axes of arrays over positions: 0, 1, or 2 where there are rows."""
        # Rows may differ in an anchor, in a lever that moves no rod, or in where a shaft
        # is carried: then places differ, though no turn does.
        layout = self.assembly.layout
        places: list[tuple[Number, ...]] = [
            s.anchor for s in layout.springs.values() if s.anchor
        ]
        arms = (a for s in layout.shafts.values() for a in s.arms.values())
        places += [(a.length, a.angle, a.offset) for a in arms]
        places += [s.bearings for s in layout.shafts.values() if s.bearings]
        if any(is_column(c) for place in places for c in place):
            return 2
        return max(np.ndim(c) for c in self.cosines.values())

    def opening(self, throttle: str) -> Positions:
        """Return a throttle's angle from its idle stop, positive opening. [rad]."""
        t = self.assembly.layout.throttles[throttle]
        return t.opens * self.turns[t.shaft]

    def between_stops(self, throttle: str) -> Positions:
        """Return a throttle's angle as its own stops hold it, 0 to its swing. [rad]."""
        asked = self.opening(throttle)
        swing = self.assembly.layout.throttles[throttle].swing
        return np.where(asked < SHUT, 0.0, np.minimum(asked, swing))

    def part(self, which: slice) -> Motion:
        """Return some of the positions as a motion; its arrays are views of these."""

        def cut(arrays: Mapping[str, Positions]) -> dict[str, Positions]:
            return {name: array[..., which] for name, array in arrays.items()}

        return replace(
            self,
            pad_travel=self.pad_travel[..., which],
            turns=_Part(self.turns, which),
            cosines=cut(self.cosines),
            sines=cut(self.sines),
            reach=cut(self.reach),
        )

    def pair(self, shaft: str) -> Pair:
        """Return cosine and sine of a shaft's turn."""
        return self.cosines[shaft], self.sines[shaft]


class _Turns(Mapping[str, "Positions"]):
    """Turns of all shafts, each worked out when it is first asked for."""

    def __init__(self, solved: Solved, blocked: Positions | None) -> None:
        self._solved = solved
        self._blocked = blocked
        self._known: dict[str, Positions] = {}

    def __getitem__(self, shaft: str) -> Positions:
        found = self._known.get(shaft)
        if found is None:
            turn = self._solved.turn(shaft)
            if self._blocked is not None and shaft != self._solved.chain.root:
                turn = np.where(self._blocked, np.nan, turn)
            found = self._known[shaft] = _fixed(turn)
        return found

    def __iter__(self) -> Iterator[str]:
        return iter((self._solved.chain.root, *self._solved.chain.by_driven))

    def __len__(self) -> int:
        return 1 + len(self._solved.chain.loops)


class _Part(Mapping[str, "Positions"]):
    """Turns of all shafts at some of the positions."""

    def __init__(self, turns: Mapping[str, Positions], which: slice) -> None:
        self._turns = turns
        self._which = which

    def __getitem__(self, shaft: str) -> Positions:
        return self._turns[shaft][..., self._which]

    def __iter__(self) -> Iterator[str]:
        return iter(self._turns)

    def __len__(self) -> int:
        return len(self._turns)


def _fixed(values: Positions) -> Positions:
    """Return an array that cannot be written to."""
    array = np.asarray(values)
    array.flags.writeable = False
    return array


def sweep(assembly: Assembly, pad_travel: ArrayLike) -> Motion:
    """Follow every shaft through pad positions.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`; one layout, or many as rows.
    pad_travel : float, or array_like of shape (n,) or (rows, n)
        In any order, beyond the stops too if wished. [m]

    Returns
    -------
    Motion
        With nan where a rod does not reach, and beyond, seen from rest: a jam
        between two positions is found however few are asked for.

    Raises
    ------
    UsageError
        If a position lies more than ten turns of the pedal away.

    Examples
    --------
    >>> from linkage.config import load
    >>> from linkage.config.starters import starter
    >>> from linkage.motion import assemble
    >>> assembly = assemble(load(starter("hanging-pedal").path).layout)
    >>> sweep(assembly, 0.02).opening("throttle").shape
    ()
    """
    travel = np.array(pad_travel, dtype=float)
    furthest = MOST_SWEPT * float(np.max(assembly.layout.pad_radius))
    if np.any(np.abs(travel) > furthest):
        msg = "the pad cannot be swept more than ten turns round its pivot"
        hint = (
            f"ask for positions from rest to {furthest:.3g} m of pad travel, either way"
        )
        raise UsageError(msg, hint=hint)
    solved = Chain.of(assembly).solve(travel)
    return moved(assembly, solved, _on_the_way(assembly, travel))


def sweep_clear(assembly: Assembly, pad_travel: ArrayLike) -> Motion:
    """Do what `sweep` does, sooner, where no jam can lie on the way.

    That is known of the working travel. A jam elsewhere is seen only at the
    positions asked for.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`; one layout, or many as rows.
    pad_travel : float, or array_like of shape (n,) or (rows, n)
        In any order. [m]
    """
    return moved(assembly, Chain.of(assembly).solve(np.array(pad_travel, dtype=float)))


def sweep_up_to(assembly: Assembly, pad_travel: ArrayLike, jam_at: Number) -> Motion:
    """Do what `sweep` does, sooner, where it is known how far every rod reaches.

    Parameters
    ----------
    assembly : Assembly
        From `assemble`; one layout, or many as rows.
    pad_travel : float, or array_like of shape (n,) or (rows, n)
        From rest on, none less than 0. [m]
    jam_at : float or column
        Pad travel past which a rod does not reach, as a `Working` has it; nan where
        all do. [m]
    """
    travel = np.array(pad_travel, dtype=float)
    beyond = travel > jam_at + SAME  # nan is beyond nothing
    return moved(assembly, Chain.of(assembly).solve(travel), beyond)


def _on_the_way(assembly: Assembly, travel: Positions) -> Positions:
    """Return which positions lie beyond a jam on the way there from rest."""
    many = is_column(assembly.ok)
    at = np.atleast_2d(travel)
    rows = max(len(at), len(assembly.ok) if many else 1)
    beyond = np.zeros((rows, at.shape[-1]), dtype=bool)
    for way in (1.0, -1.0):
        far = np.max(np.fmax(way * at, 0.0), axis=-1, initial=0.0)
        if not far.any():
            continue
        turn = min(np.max(far) / np.min(assembly.layout.pad_radius), MOST_SWEPT)
        spans = max(math.ceil(turn / COVERED), 1)
        chain = Chain.of(assembly, spans * (SAMPLES - 1) + 1)
        end = way * flat(far, rows)[:, None]
        line = spread(np.zeros((rows, 1)), end, chain.samples)
        _, places = jams(chain, line, chain.solve(line))
        limit = np.where(np.isnan(places), np.inf, np.abs(places) + SAME)
        beyond |= way * at > limit[:, None]
    return beyond if many else beyond.reshape(travel.shape)


def moved(
    assembly: Assembly, solved: Solved, beyond: Positions | None = None
) -> Motion:
    """Return a chain's positions as a motion; those known to lie beyond a jam are nan."""
    chain = solved.chain
    pairs = {name: solved.pair(name) for name in (chain.root, *chain.by_driven)}
    reach = {name: _fixed(solved.reach(name)) for name in chain.by_rod}
    jammed = False
    for left in reach.values():
        jammed = jammed | ~(left >= 0)
    blocked = _beyond(solved.travel, jammed) if np.any(jammed) else None
    if beyond is not None and np.any(beyond):
        blocked = beyond if blocked is None else beyond | blocked
    if blocked is not None:
        for name in chain.by_driven:
            cosine, sine = pairs[name]
            pairs[name] = (
                np.where(blocked, np.nan, cosine),
                np.where(blocked, np.nan, sine),
            )
    return Motion(
        assembly=assembly,
        pad_travel=_fixed(solved.travel),
        turns=_Turns(solved, blocked),
        cosines={name: _fixed(cosine) for name, (cosine, _) in pairs.items()},
        sines={name: _fixed(sine) for name, (_, sine) in pairs.items()},
        reach=reach,
    )


def _beyond(travel: Positions, jammed: Positions) -> Positions:
    """Return which positions lie at or past the jam nearest to rest, either way."""
    if not np.ndim(jammed):
        return jammed
    above = np.where(jammed & (travel >= 0), travel, np.inf)
    below = np.where(jammed & (travel <= 0), travel, -np.inf)
    upper = np.min(above, axis=-1, keepdims=True)
    lower = np.max(below, axis=-1, keepdims=True)
    return (travel >= upper) | (travel <= lower)


def pads(*places: Number) -> Positions:
    """Return pad positions, floats or columns, side by side for `sweep`.

    >>> pads(0.0, np.array([[1.0], [2.0]])).tolist()
    [[0.0, 1.0], [0.0, 2.0]]
    """
    if not any(map(is_column, places)):
        return np.array(places, dtype=float)
    rows = np.broadcast_shapes(*(np.shape(p) for p in places))
    return np.concatenate([np.broadcast_to(p, rows) for p in places], axis=-1)
