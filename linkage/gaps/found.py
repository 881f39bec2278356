"""All gaps of a motion, worked out once: to obstacles and among the parts themselves.

Not here: closest points (`gaps.distance`), the verdict (`rules.gaps`).
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.gaps.among import gaps_among, near_pairs
from linkage.gaps.nearest import gaps_to, stacked
from linkage.gaps.parts import moving_parts, shaft_bars
from linkage.model.columns import least, pick
from linkage.records import dataclass, short

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from linkage.gaps.among import Pair
    from linkage.gaps.parts import Part
    from linkage.model import Layout, Obstacle
    from linkage.model.columns import Number, Positions
    from linkage.motion import Motion


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """What gap is asked between a part and an obstacle, and why.

    Parameters
    ----------
    gap : float or column
        At least. [m]
    why : {"fixed", "moving", "exhaust", "across", "file"}
        The limit that sets it, or the file for this obstacle alone.
    """

    gap: Number
    why: str


def asked_of(
    layout: Layout, part: Part, obstacle: Obstacle, *, moved: bool = False
) -> Asked:
    """Return the gap that is asked between a part and an obstacle.

    Parameters
    ----------
    layout : Layout
        One, or many as rows.
    part : Part
        Of it.
    obstacle : Obstacle
        Of it.
    moved : bool
        Whether the engine is where it moves to: then what is asked for its moving is
        no more asked.

    Returns
    -------
    Asked
        That of the file for this obstacle, else the greater of that of its kind and, of
        what stands on the other of body and engine, that across.
    """
    limits = layout.limits
    by_kind: dict[str, Any] = {
        "fixed": limits.gap_fixed,
        "moving": limits.gap_moving,
        "exhaust": limits.gap_exhaust,
    }
    found = Asked(by_kind[obstacle.kind], obstacle.kind)
    if not moved and part.held - {obstacle.on}:
        across: Any = limits.gap_across
        if np.all(across > found.gap):
            found = Asked(across, "across")
    if obstacle.gap is None:
        return found
    own: Any = obstacle.gap
    return Asked(pick(own == own, own, found.gap), "file")  # noqa: PLR0124  (nan: not given)


class Gaps:
    """All gaps of a motion; see `gaps_of`.

    Parameters
    ----------
    motion : Motion
        Of one layout, or of many as rows.
    rows : int
        How many layouts these are.
    """

    def __init__(self, motion: Motion, rows: int) -> None:
        self.motion = motion
        self.rows = rows
        self.layout = motion.assembly.layout
        self._looked_at: dict[tuple[int, int], Positions] = {}

    def __repr__(self) -> str:
        return f"<Gaps of {short(repr(self.layout), 120)}>"

    @cached_property
    def all_parts(self) -> Sequence[Part]:
        """Every part that may rub, and the bars of shafts.

        None of a layout that names no obstacle: nobody measured it in space.
        """
        if not self.layout.obstacles:
            return []
        moving = moving_parts(self.motion, self.rows)
        return [*moving, *shaft_bars(self.motion, self.rows)]

    @cached_property
    def parts(self) -> Sequence[Part]:
        """Every part but the bars of shafts."""
        return [part for part in self.all_parts if part.what != "shaft"]

    @cached_property
    def to(self) -> Mapping[str, Positions]:
        """By obstacle: the gap of every part, shape (parts, n) or (parts, rows, n). [m]."""
        if not self.parts:
            return {}
        whole = stacked(self.parts)
        return {n: gaps_to(whole, one) for n, one in self.layout.obstacles.items()}

    @cached_property
    def pairs(self) -> Sequence[Pair]:
        """Pairs of `all_parts` that are not joined, those that may come nearest first."""
        return near_pairs(self.all_parts, self.layout)

    def among(self, far: float) -> list[tuple[Pair, Positions]]:
        """Return pairs whose boxes come as near as a gap, and theirs at every position.

        Parameters
        ----------
        far : float
            Pairs that come so near in any row are looked at. [m]
        """
        near = [pair for pair in self.pairs if pair.least.min() <= far]
        fresh = [pair for pair in near if pair.places not in self._looked_at]
        found = gaps_among(self.all_parts, fresh)
        for pair, gap in zip(fresh, found, strict=True):
            self._looked_at[pair.places] = gap
        return [(pair, self._looked_at[pair.places]) for pair in near]

    def nearest_pair(self, far: float) -> Number:
        """Return how near any two parts come, by rows; inf where there are none. [m].

        Parameters
        ----------
        far : float
            Of pairs whose boxes in a row are farther apart that alone is told, so that
            it does not matter what other rows there are. [m]
        """
        out = np.full(self.rows, np.inf)
        for pair, gap in self.among(far):
            exact = np.ravel(least(gap))
            out = np.minimum(out, np.where(pair.least <= far, exact, pair.least))
        for pair in self.pairs:
            if pair.least.min() > far:
                out = np.minimum(out, pair.least)
        return out[:, None] if self.rows > 1 else float(out[0])

    def both(self, pair: Pair) -> tuple[Part, Part]:
        """Return the two parts of a pair, a shaft last."""
        one, two = self.all_parts[pair.one], self.all_parts[pair.two]
        return (two, one) if one.what == "shaft" else (one, two)


def gaps_of(motion: Motion, rows: int = 1) -> Gaps:
    """Return all gaps of a motion, worked out as they are asked for.

    Parameters
    ----------
    motion : Motion
        Of one layout, or of many as rows.
    rows : int
        How many layouts these are.
    """
    return Gaps(motion, rows)
