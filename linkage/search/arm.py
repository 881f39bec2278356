"""Choose a crank arm length (or a hole, or an angle) for full throttle.

Every candidate is a row of one batch, its rods cut again to fit and its pedal
stop set last, judged by every rule of `check`. Those that break one fail with the
reason. Of the others, those that reach the full stop come first; then full throttle
at 90-98 % of the pad's travel, then the gentlest start, then the largest least
arm-rod angle, then the longer arms. The best, and those listed about it, are looked
at closely; it is offered where the whole check has nothing to say against it.

Not here: solving and judging candidates (`search.candidates`), how it is printed or
drawn.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import LinkageError, UsageError, did_you_mean
from linkage.model import Hole
from linkage.rules.engine import judge
from linkage.rules.examine import SAMPLED, WHOLE, examine
from linkage.rules.room import room
from linkage.rules.rule import BAD
from linkage.search.at_rest import lost_known
from linkage.search.candidates import IN_PIECES, STAGES, candidates
from linkage.search.fixed import why_not
from linkage.search.sized import Choice, Row, Sizing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from linkage.model import Layout
    from linkage.rules.finding import Finding

#: Share of the pad's travel at which full throttle is well met: common practice, no
#: source. Below it the lever is hasty; above it wear or a short measure eats it.
WELL: Final = (0.90, 0.98)
#: The share that a search for arms aims at, in the middle of that.
BEST_FULL: Final = (0.95, 0.98)
#: Steps within which values are not told apart: tip-in [°/mm], angle [°].
TIP_IN_STEP: Final = 0.05
ANGLE_STEP: Final = 1.0
#: Most combinations in one search, and rows that are solved at once.
MOST_TRIES: Final = 100_000
BLOCK: Final = 512
#: How many times as many rows are moved as are judged by every rule: it takes less.
MOVED: Final = 4
#: Up to so many rows all are looked at closely; of more, only what is listed.
CLOSELY: Final = 256


def find_hole(layout: Layout, text: str, *, fixed: bool = False) -> Hole:
    """Return the arm that ``shaft.arm`` names; ``fixed``, also one not to be changed.

    Raises
    ------
    UsageError
        If there is no such arm, or no rod is joined to it, or it is fixed.
    """
    holes = {
        str(Hole(shaft=s.name, arm=a)): Hole(shaft=s.name, arm=a)
        for s in layout.shafts.values()
        for a in s.arms
    }
    joined = {str(h) for link in layout.links for h in link.holes}
    if text not in holes:
        msg = f"there is no arm `{text}`"
        raise UsageError(msg, hint=did_you_mean(text, sorted(joined)))
    if text not in joined:
        msg = f"no rod is joined to arm `{text}`, so its length changes no throttle"
        raise UsageError(msg, hint="arms with rods: " + ", ".join(sorted(joined)))
    if not fixed:
        _refuse_fixed(layout, holes[text])
    return holes[text]


def _refuse_fixed(layout: Layout, hole: Hole, *, turned: bool = False) -> None:
    """Refuse to change what is fixed.

    Raises
    ------
    UsageError
        If the arm or its shaft is fixed, or it is to be turned and its clocking is.
    """
    why = why_not(layout, hole, turned=turned)
    if not why:
        return
    free = {
        str(h) for link in layout.links for h in link.holes if not why_not(layout, h)
    }
    named = ", ".join(sorted(free - {str(hole)})) or "none"
    if layout.shafts[hole.shaft].slides:
        raise UsageError(why, hint=f"arms with rods: {named}")
    hint = (
        "choose its length alone, or take `clocking` out of the file"
        if turned and not why_not(layout, hole)
        else f"take `fixed` out of the file if it may be changed; free arms: {named}"
    )
    raise UsageError(why, hint=hint)


def _refuse_cam(layout: Layout, choice: Choice) -> None:
    """Refuse lengths of the arm at which a cam begins: its profile begins there."""
    now = layout.shafts[choice.hole.shaft].arms[choice.hole.arm].length
    cams = [rod for rod in layout.rods.values() if rod.kind == "cam"]
    if any(c.start == choice.hole for c in cams) and any(
        length != now for length in choice.lengths
    ):
        msg = f"arm `{choice.hole}` carries a cam's profile, so its length is not free"
        hint = "its angle can be chosen; another profile is another cam, in the file"
        raise UsageError(msg, hint=hint)


def merit(row: Row) -> tuple[float, ...]:
    """Return the order of preference of a row that fits; less is better.

    Reaching the full stop comes first; then full throttle at 90-98 % of the pad's
    travel before above it, before below it; then tip-in, then the least angle, then
    longer arms, on which a millimetre matters less. Tip-ins within a twentieth of a
    degree a millimetre and angles within a degree are not told apart.
    """
    low, high = WELL
    full = row.full_share
    band = 0.0
    if full is not None:
        band = 1.0 if full > high + 1e-9 else 2.0 if full < low - 1e-9 else 0.0
    tip_deg_mm = np.degrees(row.tip_in) * 1e-3
    return (
        float(full is None),
        band,
        -round(row.throttle_share, 2) if full is None else 0.0,
        round(tip_deg_mm / TIP_IN_STEP) * TIP_IN_STEP,
        -float(round(math.degrees(row.least_angle) / ANGLE_STEP)),
        -round(sum(row.lengths), 9),
    )


def nearness(row: Row) -> tuple[float, ...]:
    """Return the order of rows none of which fits; less is nearer to fitting.

    What keeps the rules of motion comes first, then what breaks fewest rules; of
    those alike what opens the throttle furthest, then as for those that fit.
    """
    return (
        -float(row.stage >= len(STAGES) - 1),
        float(row.breaks),
        -round(row.throttle_share, 3),
        *merit(row),
    )


def _lengths(layout: Layout, name: str, lengths: Iterable[float]) -> Choice:
    hole = find_hole(layout, name)
    now = layout.shafts[hole.shaft].arms[hole.arm].angle
    return Choice(hole=hole, lengths=tuple(map(float, lengths)), angles=(now,))


def size_arms(
    layout: Layout,
    choices: Sequence[Choice] | Mapping[str, Iterable[float]],
    *,
    progress: Callable[[int, int], None] | None = None,
) -> Sizing:
    """Try every combination of lengths and angles.

    Parameters
    ----------
    layout : Layout
        The layout as it is.
    choices : sequence of Choice, or mapping of str to iterable of float
        One arm, or two or three; by name the lengths to try alone. [m]
    progress : callable, optional
        Called with the number done and the total.

    Returns
    -------
    Sizing
        Every row, and the best; where none fits, the nearest and what it leaves.

    Raises
    ------
    UsageError
        If there are no candidates, or more than 100 000, or no such arm, or it is
        fixed.
    """
    layout = lost_known(layout)
    if isinstance(choices, Mapping):
        choices = [_lengths(layout, *item) for item in choices.items()]
    for c in choices:
        now = layout.shafts[c.hole.shaft].arms[c.hole.arm].angle
        _refuse_fixed(layout, c.hole, turned=any(a != now for a in c.angles))
        _refuse_cam(layout, c)
    grids = [list(product(c.lengths, c.angles)) for c in choices]
    total = math.prod(len(g) for g in grids) if grids else 0
    if not 0 < total <= MOST_TRIES:
        msg = f"{total} combinations cannot be searched"
        hint = f"between 1 and {MOST_TRIES}; take wider steps or narrower ranges"
        raise UsageError(msg, hint=hint)
    values = np.array(list(product(*grids)))
    grain = WHOLE if total <= CLOSELY else SAMPLED
    rows: list[Row] = []
    step = min(BLOCK, MOVED * room(layout, grain))
    for begin in range(0, total, step):
        rows += candidates(layout, choices, values[begin : begin + step], grain)
        if progress is not None:
            progress(len(rows), total)
    return _Closely(layout, choices, values, rows).sizing()


class _Closely:
    """Rows of which the best, and those about it, are looked at closely.

    Parameters
    ----------
    layout : Layout
        As it is.
    choices : sequence of Choice
        What is varied.
    values : ndarray, shape (rows, arms, 2)
        Length [m] and angle [rad] of every arm.
    rows : list of Row
        What became of them, at a coarse look if they are many.
    """

    def __init__(
        self,
        layout: Layout,
        choices: Sequence[Choice],
        values: np.ndarray[Any, Any],
        rows: list[Row],
    ) -> None:
        self.layout = layout
        self.choices = tuple(choices)
        self.values = values
        self.rows = rows
        self.seen = set(range(len(rows))) if len(rows) <= CLOSELY else set[int]()
        self._against: dict[int, tuple[Finding, ...] | str] = {}

    def sizing(self) -> Sizing:
        """Return all rows with the best of them, once nothing more is to be looked at."""
        while True:
            fitting = [i for i, r in enumerate(self.rows) if r.fits]
            if fitting:
                best = min(fitting, key=lambda i: merit(self.rows[i]))
            else:
                best = min(range(len(self.rows)), key=lambda i: nearness(self.rows[i]))
            sizing = Sizing(choices=self.choices, rows=tuple(self.rows), chosen=None)
            new = sorted({best, *sizing.listed(best)} - self.seen)
            if new:
                self._look(new)
                continue
            against = self._said_against(best)
            if fitting and against == ():
                return replace(sizing, chosen=best)
            if not fitting:
                break
            self._fails(best, against)  # what is written is not what was solved
        if isinstance(against, str):
            return sizing
        before = _bad_now(self.layout)
        return replace(sizing, nearest=best, leaves=against, before=before)

    def _fails(self, i: int, against: tuple[Finding, ...] | str) -> None:
        """Note what the whole check says against a row that seemed to fit."""
        self.rows[i] = replace(
            self.rows[i],
            broken=against if isinstance(against, str) else against[0],
            breaks=IN_PIECES if isinstance(against, str) else len(against),
        )

    def _look(self, which: list[int]) -> None:
        """Look at some rows closely."""
        again = candidates(self.layout, self.choices, self.values[which], WHOLE)
        for i, row in zip(which, again, strict=True):
            self.rows[i] = row
        self.seen.update(which)

    def _said_against(self, i: int) -> tuple[Finding, ...] | str:
        """Return what the whole check says against a row as it is written.

        In words where it cannot be put together.
        """
        if i not in self._against:
            try:
                found = judge(examine(self.rows[i].written)).findings()
                bad = tuple(f for f in found if f.verdict == "do not fit")
                self._against[i] = bad
            except LinkageError as error:
                self._against[i] = error.message
        return self._against[i]


def _bad_now(layout: Layout) -> frozenset[Any]:
    """Return what the layout as it is breaks already."""
    try:
        found = judge(examine(layout))
    except LinkageError:
        return frozenset()
    return frozenset(p for p, ranks in found.ranks.items() if ranks[0] == BAD)
