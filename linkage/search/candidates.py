"""Candidates of the arm chooser: solved as rows of one batch, judged by every rule.

The cheap rules are asked first, the dear ones only of what keeps them.

Not here: which of them is best (`search.arm`).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model import take
from linkage.model.paths import applied, arm_path
from linkage.motion.as_made import made_length
from linkage.motion.giving import full_from, spares_main
from linkage.motion.tip_in import tip_in
from linkage.rules.angles import least_angle
from linkage.rules.engine import judge
from linkage.rules.examine import examine, stop_set_last
from linkage.rules.room import parts
from linkage.rules.rule import BAD, NEEDS
from linkage.search.changes import rods_at
from linkage.search.family import NONE
from linkage.search.fixed import may_cut
from linkage.search.sized import Row

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from linkage.model import Hole, Layout
    from linkage.model.paths import Path
    from linkage.rules.examine import Examined, Grain
    from linkage.rules.finding import Finding
    from linkage.rules.judged import Judged
    from linkage.search.sized import Choice

#: What is asked of rows, cheap before dear; what breaks a rule is asked no more.
STAGES: Final = (("motion",), ("motion", "dead centres"), NEEDS)
#: How many rules a row counts as breaking that cannot be put together.
IN_PIECES: Final = 1000


def cut_at(layout: Layout, holes: Sequence[Hole]) -> tuple[str, ...]:
    """Return the rods at some arms that are cut again to fit them; no fixed one."""
    names = dict.fromkeys(name for hole in holes for name in rods_at(layout, hole))
    return tuple(n for n in names if may_cut(layout, n))


def candidates(
    layout: Layout,
    choices: Sequence[Choice],
    values: np.ndarray[Any, Any],
    grain: Grain,
) -> Iterator[Row]:
    """Solve and judge candidates.

    Parameters
    ----------
    layout : Layout
        As it is.
    choices : sequence of Choice
        What is varied.
    values : ndarray, shape (rows, arms, 2)
        Length [m] and angle [rad] of every arm.
    grain : Grain
        How closely to look.

    Yields
    ------
    Row
        In their order.
    """
    holes = tuple(c.hole for c in choices)
    cut = cut_at(layout, holes)
    sets: dict[Path, Any] = {}
    for i, hole in enumerate(holes):
        for k, field in enumerate(("length", "angle")):
            sets[arm_path(hole, field)] = values[:, i, k][:, None]
    base = layout
    for name in cut:
        base = base.with_rod(name, None)
    x = _stop_set(applied(base, sets), grain)
    numbers = _numbers(x, len(values), cut)
    ok = numbers["ok"]
    broken, counts, stage = _judged(x, ok, grain)
    for k, chosen in enumerate(values.tolist()):
        full, stop = float(numbers["full"][k]), float(numbers["stop"][k])
        good = bool(ok[k])
        yield Row(
            base=layout,
            holes=holes,
            lengths=tuple(c[0] for c in chosen),
            angles=tuple(c[1] for c in chosen),
            rods={n: float(numbers[n][k]) for n in cut} if good else {},
            stop=None if stop == NONE["stop"] else stop,
            throttle_share=float(numbers["share"][k]) if good else 0.0,
            full_share=full if math.isfinite(full) else None,
            tip_in=float(numbers["tip in"][k]) if good else 0.0,
            least_angle=float(numbers["least"][k]) if good else 0.0,
            broken=broken[k] if good else _in_pieces(x, k),
            breaks=int(counts[k]) if good else IN_PIECES,
            stage=int(stage[k]),
        )


def _stop_set(layout: Layout, grain: Grain) -> Examined:
    """Set the pedal stop last; one that is there is never taken out.

    Where there is none a stop is set too, to go with the arms: what is full before
    the floor needs one. Where the floor comes first there is still none. Of a governor
    the rods are set last.
    """
    pedal = layout.pedal
    if layout.governed or pedal.stop is not None:
        return stop_set_last(layout, grain, kept=True)
    return stop_set_last(
        replace(layout, pedal=replace(pedal, stop=pedal.travel)), grain
    )


def _numbers(x: Examined, rows: int, cut: tuple[str, ...]) -> dict[Any, Any]:
    """Return what is told of every row, each of shape (rows,)."""
    main, working = x.layout.main, x.working
    full = working.is_stopped_by("full stop", main.name)
    place = working.end
    if spares_main(x.assembly):  # there the full stop stops no pedal
        place = full_from(x.assembly, working)
        full = np.isfinite(place)
    stop = x.layout.pedal.stop
    numbers = {
        "ok": x.ok,
        "share": np.maximum(x.throttle_share, 0.0),
        "full": np.where(full, place / x.layout.pedal.travel, np.nan),
        "tip in": tip_in(x.assembly, working).ratio,
        "least": least_angle(x),
        "stop": NONE["stop"] if stop is None else stop,
        **{name: made_length(x.assembly.loop(name)) for name in cut},
    }
    return {n: np.broadcast_to(np.ravel(v), rows) for n, v in numbers.items()}


def _judged(
    x: Examined, ok: np.ndarray[Any, Any], grain: Grain
) -> tuple[list[Finding | None], np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """Return of every row its first broken rule, how many it breaks, and where.

    The last is the stage after which no more was asked; past all of them where
    every rule was.
    """
    rows = len(ok)
    broken: list[Finding | None] = [None] * rows
    counts = np.zeros(rows, dtype=int)
    stage = np.zeros(rows, dtype=int)
    left, here = np.flatnonzero(ok), x
    for needs in STAGES:
        if not left.size:
            break
        dear = needs is NEEDS
        for some in parts(x.layout, left, grain) if dear else (left,):
            if some.size < here.rows:
                here = examine(take(x.layout, some), grain)
            found = judge(here, needs, refusing=True)
            counts[some] = found.count(BAD)
            for k, finding in zip(some.tolist(), _broken(found), strict=True):
                broken[k] = finding
            if dear:
                here.forget()
                here = x
        left = left[counts[left] == 0]
        stage[left] += 1
    return broken, counts, stage


def _broken(judged: Judged) -> list[Finding | None]:
    """Return the first broken rule of every row, in the order of the rules.

    Each with the numbers of its own row, so that many rows do not hold on to the
    whole block in which they were judged.
    """
    out: list[Finding | None] = [None] * judged.rows
    for place, ranks in judged.ranks.items():
        for k in np.flatnonzero(ranks == BAD).tolist():
            if out[k] is None:
                found = judged.finding(place, k)
                out[k] = replace(found, rows=found.outcome, row=0)
    return out


def _in_pieces(x: Examined, k: int) -> str:
    error = x.assembly.error(k)
    return error.message if error is not None else "it cannot be put together"
