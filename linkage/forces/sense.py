"""Pull and push under load, and whether every spring works the right way.

Not here: whether that is a reason not to fit (`rules`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Literal

import numpy as np

from linkage.forces.statics import Statics, shutting_sense
from linkage.model.columns import (
    all_of,
    any_of,
    at,
    every,
    first,
    greater,
    least,
    most,
    pick,
    some,
    where_least,
    where_most,
)
from linkage.records import dataclass, short

if TYPE_CHECKING:
    from linkage.model.columns import Number, Positions, Truth
    from linkage.springs import SpringLaw

#: Force below which a rod carries nothing. [N]
NOTHING = 1e-9


@dataclass(frozen=True, eq=False, kw_only=True)
class RodSense:
    """What a rod carries through the travel while the pedal goes down.

    Parameters
    ----------
    rod : str
        The rod.
    pad_travel, force : ndarray, shape (n,) or (rows, n)
        Positions, and pull positive, push negative. [m, N]
    """

    rod: str
    pad_travel: Positions
    force: Positions

    def __repr__(self) -> str:
        return f"<RodSense of {short(self.rod)}>"

    @cached_property
    def _way(self) -> Positions:
        """1 where it pulls, -1 where it pushes, 0 where it carries nothing."""
        with np.errstate(invalid="ignore"):
            return np.where(np.abs(self.force) > NOTHING, np.sign(self.force), 0.0)

    @cached_property
    def way(self) -> Number:
        """1 where it pulls at the start, -1 where it pushes, 0 carrying nothing."""
        return at(self._way, where_most(self._way != 0))

    @property
    def pressing(self) -> Literal["pull", "push", "nothing"]:
        """The same of one layout, in a word."""
        return "pull" if self.way > 0 else "push" if self.way < 0 else "nothing"

    @cached_property
    def turns_over(self) -> Truth:
        """Whether it turns between pull and push."""
        return any_of(self._way * self.way < 0)

    @cached_property
    def turns_at(self) -> Number:
        """Pad travel at which it first does so, by a line between positions. [m].

        nan where it does not.
        """
        over = self._way * self.way < 0
        after = where_most(over)
        index = np.arange(over.shape[-1])
        carries = (self._way != 0) & (index < after)
        before = where_most(np.where(carries, index, -1))
        p, v = at(self.pad_travel, before), at(self.force, before)
        with np.errstate(divide="ignore", invalid="ignore"):
            slope = (at(self.pad_travel, after) - p) / (at(self.force, after) - v)
        return pick(self.turns_over, p - v * slope, np.nan)

    @cached_property
    def most_pull(self) -> Number:
        """Greatest pull; 0 where there is none. [N]."""
        known = np.nan_to_num(self.force)
        return greater(at(known, where_most(known)), 0.0)

    @cached_property
    def _lowest(self) -> Number:
        return where_least(np.nan_to_num(self.force))

    @cached_property
    def most_push(self) -> Number:
        """Greatest push; 0 where there is none. [N]."""
        return greater(-at(np.nan_to_num(self.force), self._lowest), 0.0)

    @cached_property
    def most_push_at(self) -> Number:
        """Pad travel at which the greatest push is. [m]."""
        return at(self.pad_travel, self._lowest)


def rod_senses(s: Statics) -> tuple[RodSense, ...]:
    """Return what every rod carries while the pedal goes down."""
    return tuple(
        RodSense(rod=rod, pad_travel=s.pad_travel, force=force)
        for rod, force in s.rod_pressing.items()
    )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SpringSense:
    """How a spring works through the travel.

    Parameters
    ----------
    spring, shaft : str
        The spring and its shaft.
    known : bool or column
        Whether load, arm and length are numbers at every position; where not, it
        neither shuts nor opens and no length of it is told.
    shuts : bool or column
        Whether it shuts at every position.
    opens : bool or column
        Whether it shuts nowhere: a spring of the wrong hand. Neither where its
        line crosses the spindle.
    slack : float or column
        Length by which it hangs slack at the start; 0 where it does not, nan where
        that is not known. [m]
    slack_until : float or column
        Pad travel at which it first carries; nan where it never does. [m]
    over : float or column
        Length by which it is driven past its greatest length, or short of its
        solid length; 0 where it is not, nan where that is not known. [m]
    over_at : float or column
        Where that is worst. [m]
    shortest, longest : float or column
        Its lengths in the travel; nan about a shaft. [m]
    """

    spring: str
    shaft: str
    known: Truth
    shuts: Truth
    opens: Truth
    slack: Number
    slack_until: Number
    over: Number
    over_at: Number
    shortest: Number
    longest: Number

    @property
    def hand(self) -> Literal["right", "wrong", "crosses", "not known"]:
        """Whether it shuts at every position of all rows, nowhere, or in part."""
        if not every(self.known):
            return "not known"
        if every(self.shuts):
            return "right"
        return "wrong" if every(self.opens) else "crosses"

    @property
    def signs(self) -> tuple[str, ...]:
        """What betrays one layout's spring of the wrong hand, in words."""
        told = {
            "slack at idle": self.slack > 0,
            "driven past its greatest length": self.over > 0,
            "opens the plate": self.known & np.logical_not(self.shuts),
        }
        return tuple(word for word, true in told.items() if some(true))


def spring_senses(s: Statics) -> tuple[SpringSense, ...]:
    """Return how every acting spring works."""
    return tuple(_spring(s, name) for name in s.springs)


def _spring(s: Statics, name: str) -> SpringSense:
    line = s.lines.springs[name]
    if line.arm is None:
        # A spring about a shaft turns it one way only, wound or slack.
        way = s.lines.full(shutting_sense(s.lines, line.shaft) * line.law.sense)
    else:
        way = s.spring_arm[name]
    load, length = s.spring_load[name], s.spring_length.get(name)
    known = all_of(np.isfinite(way) & np.isfinite(load))
    slack, until = _slack(s, name, length)
    over, over_at = _over(s.pad_travel, line.law, length)
    length = np.array([np.nan]) if length is None else length
    return SpringSense(
        spring=name,
        shaft=line.shaft,
        known=known,
        shuts=known & all_of(way > 0),
        opens=known & all_of(way <= 0),
        slack=slack,
        slack_until=until,
        over=over,
        over_at=over_at,
        shortest=least(length),
        longest=most(length),
    )


def _slack(s: Statics, name: str, length: Positions | None) -> tuple[Number, Number]:
    load, law = s.spring_load[name], s.lines.laws[name]
    carries = load != 0
    until = pick(any_of(carries), at(s.pad_travel, where_most(carries)), np.nan)
    if length is None:
        return 0.0, until
    gap = law.free_length - first(length)
    gap = -gap if law.kind == "compression" else gap
    loaded = pick(np.isnan(first(load)), np.nan, 0.0)
    return pick(first(load) == 0, gap, loaded), until


def _over(
    place: Positions, law: SpringLaw, length: Positions | None
) -> tuple[Number, Number]:
    if length is None:
        return 0.0, first(place)
    pressed = law.kind == "compression"
    past = law.shortest - length if pressed else length - law.longest
    worst = where_most(past)  # nan comes first, and stays
    return np.maximum(at(past, worst), 0.0), at(place, worst)
