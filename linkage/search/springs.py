"""Choose a spring: hook radius, anchor, rate, or one of those at hand.

Every combination is a row, judged by the same rules as `check`. Moving a spring
moves no rod: its motion is solved once for all rows.

Not here: how it is printed.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import product
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import LinkageError, UsageError, did_you_mean
from linkage.model import Hole, Known
from linkage.model.columns import column, first, last, most
from linkage.records import short
from linkage.rules.engine import judge
from linkage.rules.examine import examine
from linkage.rules.order import FORCE_CODES
from linkage.rules.rule import BAD, LOOK
from linkage.search.paths import applied, arm_path
from linkage.springs import law_in, rated
from linkage.tabular import Tabular

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout, Spring
    from linkage.model.axes import Vector
    from linkage.rules.examine import Examined
    from linkage.rules.judged import Judged

#: Most combinations in one search.
MOST_TRIES: Final = 5_000
#: Rules that a spring mends or breaks: those of force and that of its line.
ABOUT: Final = FORCE_CODES | {"spring-line"}
#: Rules among them that no spring is refused for.
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
        return f"<SpringRow {short(self.at_hand or self.spring.name)!r}: {pad}, {why}>"

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
    spots = list(product(radii or (now,), anchors or (old.anchor,)))
    kinds = list(_kinds(layout, old, at_hand, by_rate=bool(rates)))
    count = len(spots) * len(kinds) * max(len(rates), 1)
    if count > MOST_TRIES:
        msg = f"{count} combinations are more than {MOST_TRIES}"
        raise UsageError(msg, hint="take wider steps or narrower ranges")
    rows: list[SpringRow] = []
    for called, kind in kinds:
        rows += _rows(
            layout, kind, called, [(*s, r) for s in spots for r in rates or (None,)]
        )
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
    layout: Layout, old: Spring, at_hand: Sequence[AtHand], *, by_rate: bool
) -> Iterator[tuple[str, Spring]]:
    """Yield each kind of spring to try, with its name in the list."""
    if at_hand:
        for row in at_hand:
            yield row.name, replace(old, known=row.known, material=row.material)
    elif by_rate:
        yield "", rated(old, law_in(layout, old))
    else:
        yield "", old


def _rows(
    layout: Layout,
    kind: Spring,
    called: str,
    tries: Sequence[tuple[float, Vector | None, float | None]],
) -> Iterator[SpringRow]:
    """Yield what became of one kind of spring in every place and of every rate."""
    hole = Hole(shaft=kind.shaft, arm=kind.arm)
    springs = [_placed(kind, anchor, rate) for _, anchor, rate in tries]
    radii = [radius for radius, *_ in tries]
    try:
        law_in(layout, springs[0])
        whole = layout.with_spring(_together(kind, springs))
        x = examine(applied(whole, {arm_path(hole, "length"): column(radii)}))
        judged = judge(x)
        numbers = _numbers(x, kind.name, len(tries))
    except LinkageError as error:
        nothing = dict.fromkeys(("rate", "first", "last", "pad", "ratio"), float("nan"))
        for spring, radius in zip(springs, radii, strict=True):
            yield _row(layout, spring, called, radius, nothing, (error.message,))
        return
    reasons = _broken(judged)
    for k, (spring, radius) in enumerate(zip(springs, radii, strict=True)):
        mine = {n: float(v[k]) for n, v in numbers.items()}
        yield _row(layout, spring, called, radius, mine, reasons[k])


def _placed(kind: Spring, anchor: Vector | None, rate: float | None) -> Spring:
    known = kind.known if rate is None else replace(kind.known, rate=rate)
    return replace(kind, anchor=anchor, known=known)


def _together(kind: Spring, springs: Sequence[Spring]) -> Spring:
    """Return springs that differ in anchor and rate alone as one of columns."""
    anchors = np.array([s.anchor for s in springs], dtype=float)
    known = kind.known
    if known.rate is not None:
        known = replace(known, rate=column(float(s.known.rate or 0.0) for s in springs))
    x, y, z = (anchors[:, [i]] for i in range(3))
    return replace(kind, anchor=(x, y, z), known=known)


def _row(
    layout: Layout,
    spring: Spring,
    called: str,
    radius: float,
    numbers: Mapping[str, float],
    reasons: tuple[str, ...],
) -> SpringRow:
    hole = Hole(shaft=spring.shaft, arm=spring.arm)
    return SpringRow(
        spring=spring,
        at_hand=called,
        radius=radius,
        rate=numbers["rate"],
        first_load=numbers["first"],
        last_load=numbers["last"],
        pad_force=numbers["pad"],
        least_ratio=numbers["ratio"],
        reasons=reasons,
        layout=layout.with_arm(hole, length=radius).with_spring(spring),
    )


def _numbers(x: Examined, name: str, rows: int) -> dict[str, NDArray[np.float64]]:
    """Return what is told of every row, each of shape (rows,)."""
    load = np.abs(x.forces.statics.spring_load[name])
    ratios = [r.ratio for r in x.forces.intact]
    numbers = {
        "rate": law_in(x.layout, x.layout.springs[name]).rate,
        "first": first(load),
        "last": last(load),
        "pad": most(x.forces.statics.pad_force_pressing),
        "ratio": np.min([np.min(np.atleast_2d(r), axis=-1) for r in ratios], axis=0),
    }
    return {n: np.broadcast_to(np.ravel(v), rows) for n, v in numbers.items()}


def _broken(judged: Judged) -> list[tuple[str, ...]]:
    """Return every broken rule of every row, in words."""
    out: list[list[str]] = [[] for _ in range(judged.rows)]
    for place, ranks in judged.ranks.items():
        if place[0] not in ABOUT:
            continue
        least = BAD if place[0] in OTHERS else LOOK
        for k in np.flatnonzero(ranks >= least).tolist():
            out[k].append(judged.finding(place, k).text)
    return [tuple(texts) for texts in out]
