"""Choose a spring: hook radius, anchor, rate, or one of those at hand.

Every combination is a row, judged by the same rules as `check`, with all springs and
with this one alone. Moving a spring moves no rod: its motion is solved once for all
rows.

Not here: what became of each (`search.spring_rows`), how it is printed.
"""

from __future__ import annotations

from dataclasses import fields, replace
from itertools import product
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.errors import LinkageError, UsageError, did_you_mean
from linkage.model import Hole
from linkage.model.columns import column, first, last, least, most
from linkage.model.paths import applied, arm_path
from linkage.rules.engine import judge
from linkage.rules.examine import WHOLE, examine
from linkage.rules.order import RULES
from linkage.rules.room import room
from linkage.rules.rule import BAD, LOOK
from linkage.search.alone import Alone, alone, broken_alone
from linkage.search.spring_rows import AtHand, SpringRow, SpringRows
from linkage.springs import law_in, rated

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Layout, Spring
    from linkage.model.axes import Vector
    from linkage.rules.examine import Examined
    from linkage.rules.judged import Judged
    from linkage.rules.rule import Rule
    from linkage.springs import SpringLaw

#: Most combinations in one search.
MOST_TRIES: Final = 5_000
#: How many are worked out at once at most: with the engine moved too, more take more
#: memory than they save time.
BLOCK: Final = 32
#: Pad force at which a foot is at ease, pressing: Ergonomics 14(2), 1971, 279-292. [N]
PLEASANT: Final = (18.0, 36.0)
#: Rules of which only ``do not fit`` counts against a spring: a look of these is about
#: the rods, about friction, or about what has to be asked of the spring's maker.
LOOKED_OVER: Final = frozenset(
    {"stamp-load", "rod-push", "pull-changes", "spring-stretch"}
)
_SILENCING: Final = {
    s.by for rule in RULES for s in rule.silenced_by if rule.needs == "forces"
}


def _counts_from(rule: Rule) -> int | None:
    """Return the rank from which a rule speaks against a spring; None if it never does.

    Rules that springs mend, rules of force, and what leaves those nothing to say.
    """
    about_springs = any(kind.startswith("spring") for kind in rule.cures)
    if about_springs and rule.code not in LOOKED_OVER:
        return LOOK
    if about_springs or rule.needs == "forces" or rule.code in _SILENCING:
        return BAD
    return None


COUNTS: Final = {rule.code: _counts_from(rule) for rule in RULES}


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
        Those that keep every rule first, with this spring alone too; of them those
        that need 18 to 36 N at the pad, then those that come nearest to that; of
        equal ones that which alone leaves most closing torque over friction. Then
        the others, fewest broken rules first.

    Raises
    ------
    UsageError
        If the spring is not there, has no line, is fixed, shares its hook with a rod
        whose arm would change, or there are too many combinations.
    """
    radii, anchors, rates = tuple(radii), tuple(anchors), tuple(rates)  # or arrays
    old = _line_spring(layout, name)
    hole = Hole(shaft=old.shaft, arm=old.arm)
    now = layout.shafts[old.shaft].arms[old.arm].length
    if old.fixed and any((radii, anchors, rates, at_hand)):
        msg = f"spring `{name}` is fixed, so no other is tried in its place"
        raise UsageError(msg, hint="take `fixed` out of its table, or name another")
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
        tries = [(*s, r) for s in spots for r in rates or (None,)]
        step = min(BLOCK, room(layout, WHOLE))
        for i in range(0, len(tries), step):
            rows += _rows(layout, kind, called, tries[i : i + step])
    return SpringRows(sorted(rows, key=_order))


def _order(row: SpringRow) -> tuple[int, float, float]:
    low, high = PLEASANT
    force = float(np.nan_to_num(row.pad_force, nan=np.inf))
    outside = max(low - force, force - high, 0.0)
    return len(row.reasons), outside, -float(np.nan_to_num(row.alone.left, nan=-np.inf))


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
    arm, shaft = layout.shafts[hole.shaft].arms[hole.arm], layout.shafts[hole.shaft]
    if radii and shaft.slides:
        msg = f"`{hole}` is a pin of a slide, which has no radius"
        raise UsageError(msg, hint="leave radii out; rates and anchors may be tried")
    if radii and (arm.fixed or shaft.fixed):
        msg = f"arm `{hole}` is fixed, so its radius is not free"
        raise UsageError(msg, hint="take `fixed` out of its table, or leave radii out")
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
        if springs[0].anchor is None:
            law_in(layout, springs[0])  # which is refused
        whole = layout.with_spring(_together(kind, springs))
        x = examine(applied(whole, {arm_path(hole, "length"): column(radii)}))
        judged = judge(x)
        numbers = _numbers(x, kind.name, len(tries))
    except LinkageError as error:
        for spring, radius in zip(springs, radii, strict=True):
            yield _row(layout, spring, called, radius, {}, (error.message,))
        return
    reasons = _broken(judged, kind.name)
    x.forget()
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
    changed = layout.with_arm(hole, length=radius).with_spring(spring)

    law: SpringLaw | None = None
    if numbers:
        try:
            law = law_in(changed, spring)
        except LinkageError as error:  # one of many that cannot be
            numbers, reasons = {}, (error.message,)

    def of(name: str) -> float:
        return numbers.get(name, np.nan)

    return SpringRow(
        spring=spring,
        at_hand=called,
        law=law,
        radius=radius,
        **{name: of(name) for name in _WORKED},
        alone=Alone(**{f.name: of(f"alone {f.name}") for f in fields(Alone)}),
        reasons=reasons,
        layout=changed,
    )


#: What is told of a candidate, as `SpringRow` has it.
_WORKED: Final = (
    "first_load",
    "last_load",
    "first_length",
    "last_length",
    "shortest",
    "longest",
    "pad_force",
    "least_ratio",
)


def _numbers(x: Examined, name: str, rows: int) -> dict[str, NDArray[np.float64]]:
    """Return what is told of every row, each of shape (rows,)."""
    s = x.forces.statics
    load, length = np.abs(s.spring_load[name]), s.spring_length[name]
    ratios = [r.ratio for r in x.forces.intact]
    one = alone(x, name)
    shortest, longest = _worked(x, name)
    numbers = {
        "first_load": first(load),
        "last_load": last(load),
        "first_length": first(length),
        "last_length": last(length),
        "shortest": shortest,
        "longest": longest,
        "pad_force": most(s.pad_force_pressing),
        "least_ratio": np.min([np.min(np.atleast_2d(r), axis=-1) for r in ratios], 0),
        **{f"alone {f.name}": getattr(one, f.name) for f in fields(one)},
    }
    return {n: np.broadcast_to(np.ravel(v), rows) for n, v in numbers.items()}


def _worked(x: Examined, name: str) -> tuple[NDArray[np.float64], ...]:
    """Return least and greatest length of a spring, the engine moved too, if it does.

    Each of shape (rows,). [m]
    """
    length = x.forces.statics.spring_length[name]
    low, high = (
        np.broadcast_to(np.ravel(f(length)), x.rows).astype(float)
        for f in (least, most)
    )
    for moved in x.kept:
        for judged in moved.judged:
            there = judged.x.forces.statics.spring_length[name]
            low = np.fmin(low, np.fmin.reduce(moved.over(least(there))))
            high = np.fmax(high, np.fmax.reduce(moved.over(most(there))))
    return low, high


def _broken(judged: Judged, name: str) -> list[tuple[str, ...]]:
    """Return every broken rule of every row, in words, and of the spring alone."""
    out: list[list[str]] = [[] for _ in range(judged.rows)]
    for place, ranks in judged.ranks.items():
        lowest = COUNTS[place[0]]
        if lowest is None:
            continue
        for k in np.flatnonzero(ranks >= lowest).tolist():
            out[k].append(judged.finding(place, k).text)
    if len(judged.x.layout.springs) > 2:  # of two, the other off is a failure already
        for k, text in broken_alone(judged.x, name):
            out[k].append(text)
    return [tuple(texts) for texts in out]
