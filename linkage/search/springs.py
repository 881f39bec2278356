"""Choose a spring: hook radius, anchor, rate, or one of those at hand.

Every combination is judged by the same rules as `check`. Moving a spring moves
no rod, so the layout is solved once and only its forces are worked out again.

Not here: how it is printed.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import product
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import LinkageError, UsageError, did_you_mean
from linkage.forces import cold_factor, statics
from linkage.model import Hole, Known
from linkage.rules.engine import judge
from linkage.rules.examine import Examined, examine
from linkage.rules.order import FORCE_CODES
from linkage.springs import law_in
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from linkage.model import Layout, Spring
    from linkage.model.axes import Vector
    from linkage.rules.finding import Finding

#: Most combinations in one search.
MOST_TRIES: Final = 5_000
#: Rules that a spring cannot mend or break.
OTHERS: Final = frozenset({"stamp-load", "rod-push", "pull-changes"})


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHand:
    """A spring at hand, by what is known of it.

    Parameters
    ----------
    name : str
        As the user calls it.
    known : Known
        Its numbers, in SI.
    material : str
        Wire, by its standard; empty where it plays no part.
    """

    name: str
    known: Known = field(default_factory=Known)
    material: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpringRow:
    """One candidate and what became of it.

    Parameters
    ----------
    spring : Spring
        The candidate.
    at_hand : str
        Its name in the list; empty where rates were tried.
    radius : float
        Of its hook from the shaft. [m]
    rate : float
        [N/m]
    first_load, last_load : float
        At start and end of the travel. [N]
    pad_force : float
        Greatest, pressing; nan where it could not be worked out. [N]
    least_ratio : float
        Least closing torque over friction with all springs; inf without
        friction, nan where it could not be worked out.
    reasons : tuple of str
        Every broken rule in words; empty where all are kept.
    layout : Layout
        With the candidate in it.
    """

    spring: Spring
    at_hand: str
    radius: float
    rate: float
    first_load: float
    last_load: float
    pad_force: float
    least_ratio: float
    reasons: tuple[str, ...]
    layout: Layout

    def __repr__(self) -> str:
        why = "fits" if self.fits else f"breaks {len(self.reasons)} rules"
        pad = f"pad {self.pad_force:.1f} N"
        return f"<SpringRow {self.at_hand or self.spring.name!r}: {pad}, {why}>"

    @property
    def fits(self) -> bool:
        """Whether every rule is kept."""
        return not self.reasons


class SpringRows(tuple[SpringRow, ...], Tabular):
    """All springs tried, a tuple of `SpringRow`: the best first."""

    __slots__ = ()

    def __repr__(self) -> str:
        fitting = sum(row.fits for row in self)
        best = f", best {self[0]!r}" if fitting else ""
        return f"<SpringRows: {len(self)} tried, {fitting} fit{best}>"

    def columns(self) -> dict[str, Any]:
        """Return what became of every spring, by name with unit, in shown units."""
        mm = [tuple(1e3 * float(c) for c in row.spring.anchor or ()) for row in self]
        return {
            "spring": [r.at_hand or r.spring.name for r in self],
            "hook_radius_mm": 1e3 * np.array([r.radius for r in self]),
            "rate_N_per_mm": 1e-3 * np.array([r.rate for r in self]),
            "anchor_mm": mm,
            "load_idle_N": np.array([r.first_load for r in self]),
            "load_end_N": np.array([r.last_load for r in self]),
            "pad_force_N": np.array([r.pad_force for r in self]),
            "closing_over_friction": np.array([r.least_ratio for r in self]),
            "fits": np.array([r.fits for r in self]),
            "reasons": [r.reasons for r in self],
        }


def choose_spring(
    layout: Layout,
    name: str,
    *,
    radii: Sequence[float] = (),
    anchors: Sequence[Vector] = (),
    rates: Sequence[float] = (),
    at_hand: Sequence[AtHand] = (),
) -> SpringRows:
    """Try every combination for one spring along a line.

    Parameters
    ----------
    layout : Layout
        With the spring in it.
    name : str
        The spring.
    radii : sequence of float
        Radii of its hook; the present one where empty. [m]
    anchors : sequence of point
        The present one where empty. [m]
    rates : sequence of float
        With its present free length and initial tension; the present rate
        where empty. [N/m]
    at_hand : sequence of AtHand
        Springs to try, instead of rates.

    Returns
    -------
    SpringRows
        Those that keep every rule first, lightest pad first; then the others,
        fewest broken rules first.

    Raises
    ------
    UsageError
        If the spring is not there, has no line, shares its hook with a rod
        whose arm would change, or there are too many combinations.
    """
    old = _line_spring(layout, name)
    hole = Hole(shaft=old.shaft, arm=old.arm)
    now = layout.shafts[old.shaft].arms[old.arm].length
    _may_move(layout, hole, radii)
    if rates and at_hand:
        msg = "rates and springs at hand exclude each other"
        raise UsageError(msg, hint="give one of the two")
    kinds = list(_kinds(layout, old, rates, at_hand))
    spots = list(product(radii or (now,), anchors or (old.anchor,), kinds))
    if len(spots) > MOST_TRIES:
        msg = f"{len(spots)} combinations are more than {MOST_TRIES}"
        raise UsageError(msg, hint="take wider steps or narrower ranges")
    x = examine(layout)
    rows = [
        _row(x, replace(kind, anchor=anchor), called, radius)
        for radius, anchor, (called, kind) in spots
    ]
    return SpringRows(sorted(rows, key=_order))


def _order(row: SpringRow) -> tuple[int, float]:
    return len(row.reasons), float(np.nan_to_num(row.pad_force, nan=np.inf))


def _line_spring(layout: Layout, name: str) -> Spring:
    if name not in layout.springs:
        msg = f"there is no spring `{name}`"
        raise UsageError(msg, hint=did_you_mean(name, layout.springs))
    spring = layout.springs[name]
    if spring.kind not in {"extension", "compression"}:
        msg = f"spring `{name}` has no hook and anchor to choose"
        raise UsageError(msg, hint="name an extension or compression spring")
    return spring


def _may_move(layout: Layout, hole: Hole, radii: Sequence[float]) -> None:
    rods = [n for n, r in layout.rods.items() if hole in {r.start, r.end}]
    if radii and rods:
        msg = f"arm `{hole}` carries rod `{rods[0]}` too, so its radius is not free"
        raise UsageError(msg, hint="give the spring an arm of its own in the layout")
    if any(not np.isfinite(r) or r <= 0 for r in radii):
        msg = "a hook's radius must be more than zero"
        raise UsageError(msg, hint="give radii from the shaft's centre line")


def _kinds(
    layout: Layout, old: Spring, rates: Sequence[float], at_hand: Sequence[AtHand]
) -> Iterator[tuple[str, Spring]]:
    """Yield each force law to try, with its name in the list."""
    if at_hand:
        for row in at_hand:
            yield row.name, replace(old, known=row.known, material=row.material)
        return
    if not rates:
        yield "", old
        return
    law = law_in(layout, old)
    for rate in rates:
        known = Known(
            rate=rate,
            free_length=law.free_length,
            initial_tension=law.initial if old.kind == "extension" else None,
            greatest_length=old.known.greatest_length,
            solid_length=old.known.solid_length,
        )
        yield "", replace(old, known=known, material="")


def _row(x: Examined, spring: Spring, called: str, radius: float) -> SpringRow:
    hole = Hole(shaft=spring.shaft, arm=spring.arm)
    layout = x.layout.with_arm(hole, length=radius)
    layout = layout.with_spring(spring)
    assembly = replace(x.assembly, layout=layout)
    motion = replace(x.motion, assembly=assembly)
    y = Examined(assembly, x.working, motion)
    rate = first = last = pad = ratio = float("nan")
    try:
        found = judge(y, ["motion", "forces"]).findings()
        forces = [f for f in found if f.code in FORCE_CODES]
        lines = [f for f in found if f.code == "spring-line"]
        reasons = tuple(_broken([*lines, *forces]))
        rate = law_in(layout, spring).rate
        s = statics(motion, cold_factor=cold_factor(layout))
        first, last = (abs(float(s.spring_load[spring.name][i])) for i in (0, -1))
        pad = float(np.max(s.pad_force_pressing))
        ratio = _ratio(forces)
    except LinkageError as error:
        reasons = (error.message,)
    return SpringRow(
        spring=spring,
        at_hand=called,
        radius=radius,
        rate=rate,
        first_load=first,
        last_load=last,
        pad_force=pad,
        least_ratio=ratio,
        reasons=reasons,
        layout=layout,
    )


def _broken(findings: Sequence[Finding]) -> Iterator[str]:
    for f in findings:
        if f.verdict == "do not fit" or (f.verdict == "look" and f.code not in OTHERS):
            yield f.text


def _ratio(findings: Sequence[Finding]) -> float:
    values = [
        f.value for f in findings if f.code == "closing-torque" and f.value is not None
    ]
    return min(values, default=float("nan"))
