"""Choose a crank arm length (or a hole, or an angle) for full throttle.

Every candidate is solved as a whole layout, its rods cut again to fit, and
judged by the same rules as `check`. Those that break a hard rule fail with the
reason. Of the others the best has full throttle at 95-98 % of the pad's travel,
then the gentlest start, then the largest least arm-rod angle.

Not here: how it is printed or drawn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import LinkageError, UsageError, did_you_mean
from linkage.model import Hole
from linkage.motion.tip_in import tip_in
from linkage.rules.adjust import recut
from linkage.rules.angles import least_angle
from linkage.rules.engine import judge
from linkage.rules.examine import Examined, stop_set_last
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from linkage.model import Layout
    from linkage.rules.finding import Finding

#: Share of the pad's travel at which full throttle is best: common practice, no
#: source. Below it the stop is stamped on; above it wear eats full throttle.
BEST_FULL: Final = (0.95, 0.98)
#: Most combinations in one search.
MOST_TRIES: Final = 20_000


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
    lengths, angles : tuple of float
        Of each varied arm, in the order of the choices. [m], [rad]
    rods : mapping of str to float
        Length to which each rod at a varied arm is cut. [m]
    throttle_share : float
        Share of the swing reached. [1]
    full_share : float, optional
        Share of the pad's travel to the floor at which full is met; None where
        it is not. [1]
    tip_in : float
        Throttle a metre of pad over the first tenth. [rad/m]
    least_angle : float
        Least arm-rod angle from being in line, all rods. [rad]
    reason : str
        The first broken hard rule in words; empty where none is.
    layout : Layout
        The candidate itself; a pedal stop is moved to where full is met.
    """

    lengths: tuple[float, ...]
    angles: tuple[float, ...]
    rods: Mapping[str, float]
    throttle_share: float
    full_share: float | None
    tip_in: float
    least_angle: float
    reason: str
    layout: Layout

    def __repr__(self) -> str:
        arms = " and ".join(f"{1e3 * length:.2f} mm" for length in self.lengths)
        why = "fits" if self.fits else self.reason.split(":", maxsplit=1)[0]
        return f"<Row of {arms}: {100 * self.throttle_share:.0f} % of swing, {why}>"

    @property
    def fits(self) -> bool:
        """Whether every hard rule is kept."""
        return not self.reason


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
    """

    choices: tuple[Choice, ...]
    rows: tuple[Row, ...]
    chosen: int | None

    def __repr__(self) -> str:
        arms = ", ".join(str(c.hole) for c in self.choices)
        best = (
            "none fits" if self.chosen is None else f"best {self.rows[self.chosen]!r}"
        )
        return f"<Sizing of {arms}: {len(self.rows)} tried, {best}>"

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


def find_hole(layout: Layout, text: str) -> Hole:
    """Return the arm that ``shaft.arm`` names.

    Raises
    ------
    UsageError
        If there is no such arm, or no rod is joined to it.
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
    return holes[text]


def _measured(x: Examined) -> tuple[float, float | None, float, float]:
    """Return throttle share, pad share of full, tip-in and least angle."""
    main = x.layout.main
    end = x.layout.pedal.travel
    reached = max(x.throttle_share, 0.0)
    full = (
        x.working.end / end if x.working.is_stopped_by("full stop", main.name) else None
    )
    return reached, full, tip_in(x.assembly, x.working).ratio, least_angle(x)


def _broken(findings: Sequence[Finding]) -> str:
    bad = [f for f in findings if f.verdict == "do not fit"]
    return f"{bad[0].code}: {bad[0].text}" if bad else ""


def _candidate(
    layout: Layout,
    choices: Sequence[Choice],
    values: Sequence[tuple[float, float]],
) -> Row:
    cut: list[str] = []
    for choice, (length, angle) in zip(choices, values, strict=True):
        layout = layout.with_arm(choice.hole, length=length, angle=angle)
        layout, names = recut(layout, choice.hole)
        cut += [n for n in names if n not in cut]
    lengths = tuple(length for length, _ in values)
    angles = tuple(angle for _, angle in values)
    try:
        layout, x = stop_set_last(layout)
    except LinkageError as error:
        return Row(
            lengths=lengths,
            angles=angles,
            rods={},
            throttle_share=0.0,
            full_share=None,
            tip_in=0.0,
            least_angle=0.0,
            reason=f"assembly: {error.message}",
            layout=layout,
        )
    reason = _broken(judge(x, ["motion"]).findings())
    reason = reason or _broken(judge(x, ["motion", "dead centres"]).findings())
    reached, full, tip, least = _measured(x)
    return Row(
        lengths=lengths,
        angles=angles,
        rods={n: x.assembly.loop(n).length for n in cut},
        throttle_share=reached,
        full_share=full,
        tip_in=tip,
        least_angle=least,
        reason=reason,
        layout=layout,
    )


def merit(row: Row) -> tuple[float, float, float]:
    """Return the order of preference of a row that fits; less is better.

    Distance of full throttle from 95-98 % of the pad's travel, up to the next
    whole per cent, then tip-in to a twentieth of a degree a millimetre, then the least
    angle: nearer values are not told apart, so that a hair's gain in one does
    not outweigh the next.
    """
    low, high = BEST_FULL
    full = 1.0 if row.full_share is None else row.full_share
    away = max(low - full, full - high, 0.0)
    tip_deg_mm = np.degrees(row.tip_in) * 1e-3
    return (
        math.ceil(round(away, 4) * 100) / 100,
        round(tip_deg_mm / 0.05) * 0.05,
        -row.least_angle,
    )


def size_arms(
    layout: Layout,
    choices: Sequence[Choice],
    *,
    progress: Callable[[int, int], None] | None = None,
) -> Sizing:
    """Try every combination of lengths and angles.

    Parameters
    ----------
    layout : Layout
        The layout as it is.
    choices : sequence of Choice
        One or two arms.
    progress : callable, optional
        Called with the number done and the total.

    Returns
    -------
    Sizing
        Every row, and the best.

    Raises
    ------
    UsageError
        If there are no candidates, or more than 20 000.
    """
    grids = [list(product(c.lengths, c.angles)) for c in choices]
    total = int(np.prod([len(g) for g in grids])) if grids else 0
    if not 0 < total <= MOST_TRIES:
        msg = f"{total} combinations cannot be searched"
        raise UsageError(
            msg, hint=f"between 1 and {MOST_TRIES}; take wider steps or narrower ranges"
        )
    rows = []
    for done, values in enumerate(product(*grids), start=1):
        rows.append(_candidate(layout, choices, values))
        if progress is not None:
            progress(done, total)
    fitting = [i for i, row in enumerate(rows) if row.fits]
    chosen = min(fitting, key=lambda i: merit(rows[i]), default=None)
    return Sizing(choices=tuple(choices), rows=tuple(rows), chosen=chosen)
