"""Arms that were tried, and which is best.

Not here: trying them (`search.arm`), how it is printed or drawn.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.records import dataclass, short
from linkage.search.changes import rods_at
from linkage.search.fixed import may_cut
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from linkage.model import Hole, Layout
    from linkage.rules.finding import Finding
    from linkage.rules.judged import Place

#: Rows listed on either side of the best.
NEIGHBOURS: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What is varied of one arm.

    Parameters
    ----------
    hole : Hole
        The arm.
    lengths : tuple of float
        Radii to try; the present one alone where only the angle is varied. [m]
    angles : tuple of float
        Angles at rest to try; the present one alone where only the length is. [rad]
    """

    hole: Hole
    lengths: tuple[float, ...]
    angles: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Row:
    """One candidate and what became of it.

    Parameters
    ----------
    base : Layout
        The layout as it was.
    holes : tuple of Hole
        The varied arms.
    lengths, angles : tuple of float
        Of each of them. [m], [rad]
    rods : mapping of str to float
        Length to which each rod at a varied arm is cut. [m]
    stop : float, optional
        Pad travel of the pedal stop that goes with it: where full is met, or the
        floor where that comes first; None where there is none then. [m]
    throttle_share : float
        Share of the swing reached, of a governor shut. [1]
    full_share : float, optional
        Share of the pad's travel to the floor at which full is met, of a governor's
        arm at which it is shut; None where it is not. [1]
    tip_in : float
        Throttle a metre of pad over the first tenth. [rad/m]
    least_angle : float
        Least arm-rod angle from being in line, all rods. [rad]
    broken : Finding or str, optional
        The first broken rule, or why it cannot be put together; None where it keeps
        every rule of the whole check.
    breaks : int
        How many rules it breaks, of those that were asked.
    stage : int
        How many stages of rules it went through, cheap before dear: what breaks a
        rule is asked no more.
    """

    base: Layout
    holes: tuple[Hole, ...]
    lengths: tuple[float, ...]
    angles: tuple[float, ...]
    rods: Mapping[str, float]
    stop: float | None
    throttle_share: float
    full_share: float | None
    tip_in: float
    least_angle: float
    broken: Finding | str | None
    breaks: int = 0
    stage: int = 0

    def __repr__(self) -> str:
        arms = " and ".join(f"{1e3 * length:.2f} mm" for length in self.lengths)
        why = self.code or "fits"
        return f"<Row of {arms}: {100 * self.throttle_share:.0f} % of swing, {why}>"

    @property
    def fits(self) -> bool:
        """Whether every rule is kept."""
        return self.broken is None

    @property
    def code(self) -> str:
        """The first broken rule; empty where none is."""
        if self.broken is None:
            return ""
        return "assembly" if isinstance(self.broken, str) else self.broken.code

    @property
    def reason(self) -> str:
        """The same in words."""
        if self.broken is None:
            return ""
        told = self.broken if isinstance(self.broken, str) else self.broken.text
        return f"{self.code}: {told}"

    @property
    def short(self) -> str:
        """The same for one line of a screen."""
        if self.broken is None or isinstance(self.broken, str):
            return self.broken or ""
        return self.broken.short

    @property
    def layout(self) -> Layout:
        """The candidate itself."""
        layout = self.base
        for hole, length, angle in zip(
            self.holes, self.lengths, self.angles, strict=True
        ):
            layout = layout.with_arm(hole, length=length, angle=angle)
            for name in rods_at(layout, hole):
                if may_cut(layout, name):  # a governor's is set a turn off, not to fit
                    cut = self.rods.get(name) if layout.governed else None
                    layout = layout.with_rod(name, cut)
        return replace(layout, pedal=replace(layout.pedal, stop=self.stop))

    @property
    def written(self) -> Layout:
        """The candidate as a file holds it: rods that had a length have the new one.

        Lengths to a tenth of a micron, angles to a ten-thousandth of a degree.
        """
        layout = self.layout
        for hole, length, angle in zip(
            self.holes, self.lengths, self.angles, strict=True
        ):
            degrees = round(math.degrees(angle), 4)
            layout = layout.with_arm(
                hole, length=round(length, 7), angle=math.radians(degrees)
            )
        for name, cut in self.rods.items():
            if layout.governed or self.base.rods[name].length is not None:
                layout = layout.with_rod(name, round(cut, 7))
        return layout


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sizing(Tabular):
    """All candidates, and the best.

    Parameters
    ----------
    choices : tuple of Choice
        What was varied.
    rows : tuple of Row
        In the order tried: first arm slowest.
    chosen : int, optional
        Index of the best row; None where every candidate fails.
    nearest : int, optional
        Index of the row that comes nearest where none fits; None where one does, or
        none can be put together.
    leaves : tuple of Finding
        What the whole check says against the nearest.
    before : frozenset
        Places, by rule and part, at which the layout as it was said ``do not fit``.
    """

    choices: tuple[Choice, ...]
    rows: tuple[Row, ...]
    chosen: int | None
    nearest: int | None = None
    leaves: tuple[Finding, ...] = ()
    before: frozenset[Place] = frozenset()

    def __repr__(self) -> str:
        arms = ", ".join(str(c.hole) for c in self.choices)
        best = (
            "none fits" if self.chosen is None else f"best {self.rows[self.chosen]!r}"
        )
        return f"<Sizing of {short(arms)}: {len(self.rows)} tried, {best}>"

    @property
    def best(self) -> Row | None:
        """The chosen row, or the one that comes nearest."""
        index = self.nearest if self.chosen is None else self.chosen
        return None if index is None else self.rows[index]

    @property
    def only_as_before(self) -> bool:
        """Whether the arms do their part: no candidate leaves what is not older.

        What the nearest leaves was so before, and is not of motion, which the arms
        are chosen for.
        """
        return self.nearest is not None and all(
            f.place in self.before and f.rule.needs not in {"motion", "dead centres"}
            for f in self.leaves
        )

    def listed(self, about: int | None = None) -> list[int]:
        """Return the rows that are worth showing: the best and those around it.

        Parameters
        ----------
        about : int, optional
            Another row than the best.
        """
        n, most = len(self.rows), 2 * NEIGHBOURS + 1
        best = self.nearest if self.chosen is None else self.chosen
        about = best if about is None else about
        if n <= most or about is None:
            return list(range(min(n, most)))
        if len(self.choices) == 1:
            first = min(max(about - NEIGHBOURS, 0), n - most)
            return list(range(first, first + most))
        here = np.array(self.rows[about].lengths)
        apart = np.array([r.lengths for r in self.rows]) - here
        near = np.argsort(np.abs(apart).sum(axis=1), kind="stable")
        return sorted(near[:most].tolist())

    def columns(self) -> dict[str, Any]:
        """Return what became of every row, by name with unit, in shown units."""
        rows = self.rows

        def of(values: Iterable[float | None], factor: float) -> np.ndarray[Any, Any]:
            return np.array(list(values), dtype=float) * factor

        out: dict[str, Any] = {
            "throttle_share_pct": of((r.throttle_share for r in rows), 100),
            "full_at_pad_travel_share_pct": of((r.full_share for r in rows), 100),
            "tip_in_deg_per_mm": of((r.tip_in for r in rows), math.degrees(1e-3)),
            "least_arm_rod_angle_deg": of(
                (r.least_angle for r in rows), math.degrees(1)
            ),
            "pedal_stop_mm": of((r.stop for r in rows), 1e3),
            "fits": np.array([r.fits for r in rows]),
            "reason": [r.reason for r in rows],
        }
        for i, choice in enumerate(self.choices):
            out[f"{choice.hole} length_mm"] = of((r.lengths[i] for r in rows), 1e3)
            out[f"{choice.hole} angle_deg"] = of(
                (r.angles[i] for r in rows), math.degrees(1)
            )
        for rod in dict.fromkeys(n for r in rows for n in r.rods):
            out[f"rod {rod} length_mm"] = of((r.rods.get(rod) for r in rows), 1e3)
        return out
