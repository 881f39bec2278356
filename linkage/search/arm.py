"""Choose a crank arm length (or a hole, or an angle) for full throttle.

Every candidate is a row of one batch, its rods cut again to fit and its pedal
stop set last, judged by the same rules as `check`. Those that break a hard rule
of motion fail with the reason. Of the others the best has full throttle at 95-98 %
of the pad's travel, then the gentlest start, then the largest least arm-rod
angle; it is offered where the whole check finds nothing that was not there before.

Not here: how it is printed or drawn.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import product
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.errors import LinkageError, UsageError, did_you_mean
from linkage.model import Hole, take
from linkage.motion.tip_in import tip_in
from linkage.rules.angles import least_angle
from linkage.rules.engine import judge
from linkage.rules.examine import COARSE, WHOLE, examine, stop_set_last
from linkage.rules.rule import BAD
from linkage.search.changes import rods_at
from linkage.search.family import NONE
from linkage.search.paths import applied, arm_path
from linkage.search.sized import Choice, Row, Sizing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from linkage.model import Layout
    from linkage.rules.engine import Judged
    from linkage.rules.examine import Examined, Grain
    from linkage.rules.finding import Finding
    from linkage.search.paths import Path

#: Share of the pad's travel at which full throttle is best: common practice, no
#: source. Below it the stop is stamped on; above it wear eats full throttle.
BEST_FULL: Final = (0.95, 0.98)
#: Most combinations in one search, and rows that are solved at once.
MOST_TRIES: Final = 100_000
BLOCK: Final = 1024
#: Up to so many rows all are looked at closely; of more, only what is offered.
CLOSELY: Final = 256
#: Rows that are judged whole at most before the search gives up.
JUDGED: Final = 12
#: What has to be judged of every row, by the rules that may refuse it.
MOTION: Final = ("motion", "dead centres")


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


def _solved(
    layout: Layout,
    choices: Sequence[Choice],
    values: np.ndarray[Any, Any],
    grain: Grain,
) -> Iterator[Row]:
    """Solve and judge candidates, as rows of one batch.

    ``values`` has shape (rows, arms, 2): length and angle of every arm.
    """
    holes = tuple(c.hole for c in choices)
    cut = dict.fromkeys(name for hole in holes for name in rods_at(layout, hole))
    sets: dict[Path, Any] = {}
    for i, hole in enumerate(holes):
        for k, field in enumerate(("length", "angle")):
            sets[arm_path(hole, field)] = values[:, i, k][:, None]
    for name in cut:
        layout = layout.with_rod(name, None)
    x = stop_set_last(applied(layout, sets), grain)
    numbers = _numbers(x, len(values), tuple(cut))
    broken = _broken(judge(x, ("motion",), refusing=True))
    left = np.flatnonzero([b is None for b in broken] & numbers["ok"])
    if left.size:  # dead centres take the longest
        rest = x if left.size == len(values) else examine(take(x.layout, left), grain)
        for k, found in zip(
            left.tolist(), _broken(judge(rest, MOTION, refusing=True)), strict=True
        ):
            broken[k] = found
    for k, chosen in enumerate(values.tolist()):
        ok = bool(numbers["ok"][k])
        full = float(numbers["full"][k])
        stop = float(numbers["stop"][k])
        yield Row(
            base=layout,
            holes=holes,
            lengths=tuple(c[0] for c in chosen),
            angles=tuple(c[1] for c in chosen),
            rods={n: float(numbers[n][k]) for n in cut} if ok else {},
            stop=None if stop == NONE["stop"] else stop,
            throttle_share=float(numbers["share"][k]) if ok else 0.0,
            full_share=full if math.isfinite(full) else None,
            tip_in=float(numbers["tip in"][k]) if ok else 0.0,
            least_angle=float(numbers["least"][k]) if ok else 0.0,
            broken=broken[k] if ok else _in_pieces(x, k),
        )


def _numbers(x: Examined, rows: int, cut: tuple[str, ...]) -> dict[Any, Any]:
    """Return what is told of every row, each of shape (rows,)."""
    main, working = x.layout.main, x.working
    full = working.is_stopped_by("full stop", main.name)
    stop = x.layout.pedal.stop
    numbers = {
        "ok": x.ok,
        "share": np.maximum(x.throttle_share, 0.0),
        "full": np.where(full, working.end / x.layout.pedal.travel, np.nan),
        "tip in": tip_in(x.assembly, working).ratio,
        "least": least_angle(x),
        "stop": NONE["stop"] if stop is None else stop,
        **{name: x.assembly.loop(name).length for name in cut},
    }
    return {n: np.broadcast_to(np.ravel(v), rows) for n, v in numbers.items()}


def _broken(judged: Judged) -> list[Finding | None]:
    """Return the first broken rule of every row, in the order of the rules."""
    out: list[Finding | None] = [None] * judged.rows
    for place, ranks in judged.ranks.items():
        for k in np.flatnonzero(ranks == BAD).tolist():
            if out[k] is None:
                out[k] = judged.finding(place, k)
    return out


def _in_pieces(x: Examined, k: int) -> str:
    error = x.assembly.error(k)
    return error.message if error is not None else "it cannot be put together"


def _whole(row: Row, before: frozenset[Any]) -> bool:
    """Tell whether the whole check finds nothing bad that was not there before."""
    try:
        found = judge(stop_set_last(row.layout))
    except LinkageError:
        return False
    return all(p in before for p, ranks in found.ranks.items() if ranks[0] == BAD)


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
        Every row, and the best.

    Raises
    ------
    UsageError
        If there are no candidates, or more than 100 000, or no such arm.
    """
    if isinstance(choices, Mapping):
        choices = [_lengths(layout, *item) for item in choices.items()]
    grids = [list(product(c.lengths, c.angles)) for c in choices]
    total = math.prod(len(g) for g in grids) if grids else 0
    if not 0 < total <= MOST_TRIES:
        msg = f"{total} combinations cannot be searched"
        hint = f"between 1 and {MOST_TRIES}; take wider steps or narrower ranges"
        raise UsageError(msg, hint=hint)
    values = np.array(list(product(*grids)))
    grain = WHOLE if total <= CLOSELY else COARSE
    rows: list[Row] = []
    for begin in range(0, total, BLOCK):
        rows += _solved(layout, choices, values[begin : begin + BLOCK], grain)
        if progress is not None:
            progress(len(rows), total)
    return Sizing(
        choices=tuple(choices), rows=tuple(rows), chosen=_chosen(layout, rows)
    )


def _chosen(layout: Layout, rows: Sequence[Row]) -> int | None:
    """Return the best row that the whole check has nothing new to say against."""
    fitting = sorted(
        (i for i, r in enumerate(rows) if r.fits), key=lambda i: merit(rows[i])
    )
    if not fitting:
        return None
    before = _bad_now(layout)
    return next((i for i in fitting[:JUDGED] if _whole(rows[i], before)), None)


def _bad_now(layout: Layout) -> frozenset[Any]:
    """Return what the layout as it is breaks already."""
    try:
        found = judge(stop_set_last(layout))
    except LinkageError:
        return frozenset()
    return frozenset(p for p, ranks in found.ranks.items() if ranks[0] == BAD)
