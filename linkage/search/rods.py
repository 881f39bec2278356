"""The arms of one rod tried at many lengths and angles at once, as rows.

A layout is a tree, so the rod is solved in a layout cut down to the shafts on the
way to it: those before it are solved once, and the rod alone for every row.

Not here: which arms are tried (`search.arms`), whether a layout fits (`rules`).
"""

from __future__ import annotations

import math
from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model import JOINT_TILT, WIRE_TILT
from linkage.model.columns import is_column
from linkage.model.parts import Engine
from linkage.model.paths import applied, arm_path
from linkage.model.rows import rows_of, take
from linkage.motion import assemble, frame, sweep_clear
from linkage.motion.tip_in import SHARE
from linkage.records import dataclass
from linkage.search.arm import BEST_FULL
from linkage.search.changes import rods_at

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from numpy.typing import NDArray

    from linkage.connect import Line
    from linkage.model import Hole, Layout, Link
    from linkage.model.columns import FloatArray, Number
    from linkage.model.paths import Path
    from linkage.motion import Motion

    #: By hole: length and angle, each a float or shape (rows,).
    Arms = Mapping[Hole, tuple[Number, Number]]

#: Positions over the pedal's travel at which rows are solved.
SAMPLES: Final = 33
#: Arm-rod angle aimed at: the look limit and a little in hand. [rad]
HAND: Final = math.radians(2.0)
#: Score of a wrong or impossible row.
NEVER: Final = 1e6
#: Entries a block: rows times positions that are solved together.
BLOCK: Final = 16_384


def chain(layout: Layout, shaft: str) -> Layout:
    """Return a layout cut down to the shafts on the way to one.

    Parameters
    ----------
    layout : Layout
        One or many.
    shaft : str
        Driven by a rod. A throttle stands on it where none is on the way; on the next
        shaft beyond it, if it is a slide, which has no throttle.

    Returns
    -------
    Layout
        Without springs, stops, engine, heat and hand lever.
    """
    path = layout.path_to(_turning(layout, shaft))
    shaft = path[-1].driven.shaft
    names = {layout.pedal.shaft, *(link.driven.shaft for link in path)}
    rods = {link.rod.name for link in path}
    throttles = {n: t for n, t in layout.throttles.items() if t.shaft in names}
    if not any(t.kind == "plate" for t in throttles.values()):
        throttles = {layout.main.name: replace(layout.main, shaft=shaft)}
    return replace(
        layout,
        shafts={n: s for n, s in layout.shafts.items() if n in names},
        rods={n: r for n, r in layout.rods.items() if n in rods},
        throttles=throttles,
        springs={},
        stops={},
        engine=Engine(),
        heat=None,
        hand=None,
    )


def _turning(layout: Layout, shaft: str) -> str:
    """Return the first shaft from a slide on that turns; itself, if it does."""
    while layout.shafts[shaft].slides:
        shaft = next(k.driven.shaft for k in layout.links if k.driver.shaft == shaft)
    return shaft


def with_arms(layout: Layout, arms: Arms) -> Layout:
    """Return a layout with arms set anew, and every rod at them cut to fit.

    Parameters
    ----------
    layout : Layout
        One or many.
    arms : mapping of Hole to pair
        Length [m] and angle [rad]; arrays of shape (rows,) make a batch.
    """
    sets: dict[Path, Any] = {}
    for hole, (length, angle) in arms.items():
        sets[arm_path(hole, "length")] = _column(length)
        sets[arm_path(hole, "angle")] = _column(angle)
        sets |= {("rods", name, "length"): None for name in rods_at(layout, hole)}
    return applied(layout, sets)


def _column(value: Number) -> Number:
    return value[:, None] if is_column(value) else value


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """What the driven shaft of a rod shall do.

    Parameters
    ----------
    sense : {1, -1}
        Sense in which it shall turn while the pedal goes down.
    turn : float
        How far: a throttle's swing, or what an intermediate shaft turned
        before. [rad]
    throttle : bool
        Whether it is the throttle, which must get there at 95-98 % of the
        travel; another shaft only about so far.
    look : float
        Arm-rod angle below which the check asks for a look. [rad]
    tip_in : float
        Most throttle a metre of pad over the first tenth. [rad/m]
    pull : bool, optional
        Whether the rod shall pull, or push; None takes either.
    """

    sense: float
    turn: float
    throttle: bool
    look: float
    tip_in: float
    pull: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outcome:
    """What became of rows, each of shape (rows,).

    Parameters
    ----------
    score : ndarray
        0 where nothing is short of its aim; `NEVER` where it is impossible or
        turns the wrong way.
    reached : ndarray
        Turn reached as a share of the aim's. [1]
    least : ndarray
        Least arm-rod angle from being in line. [rad]
    jams : ndarray of bool
        Whether it does not get through the whole travel.
    """

    score: FloatArray
    reached: FloatArray
    least: FloatArray
    jams: NDArray[np.bool_]

    def take(self, rows: NDArray[np.intp]) -> Outcome:
        """Return some rows."""
        return Outcome(**{f.name: getattr(self, f.name)[rows] for f in fields(self)})


def attempt(
    layout: Layout, link: Link, arms: Arms, aim: Aim, positions: int
) -> Outcome:
    """Solve and score rows of a rod's arms.

    Parameters
    ----------
    layout : Layout
        As cut down by `chain` to the driven shaft; one, or as many as rows.
    link : Link
        The rod; it is cut to fit every row.
    arms : mapping of Hole to pair of ndarray, shape (rows,)
        Of both its holes, lengths [m] and angles [rad].
    aim : Aim
        What the driven shaft shall do.
    positions : int
        Over the whole travel of the pad.

    Returns
    -------
    Outcome
        In the order of the rows.
    """
    parts = [
        _solved(some, link, aim, positions) for some in _blocks(layout, arms, positions)
    ]
    if len(parts) == 1:
        return parts[0]
    whole = {f.name: [getattr(p, f.name) for p in parts] for f in fields(Outcome)}
    return Outcome(**{name: np.concatenate(values) for name, values in whole.items()})


def turning_right(layout: Layout, link: Link, arms: Arms, aim: Aim) -> NDArray[np.intp]:
    """Return the rows that turn the right way at all, from two positions.

    Cheaper than `attempt`, which would score none of the others.

    Parameters
    ----------
    layout, link, arms, aim
        As for `attempt`.
    """
    travel = np.array([0.5, 1.0]) * layout.pedal.travel
    good = []
    for some in _blocks(layout, arms, len(travel)):
        opening = aim.sense * _turn(sweep_clear(assemble(some), travel), link)
        with np.errstate(invalid="ignore"):
            good.append((opening[:, 0] > 0) & (opening[:, 1] > opening[:, 0]))
    return np.flatnonzero(np.concatenate(good))


def _blocks(layout: Layout, arms: Arms, positions: int) -> Iterator[Layout]:
    """Yield the layout with arms set, some rows at a time that stay in the cache."""
    rows = max(np.size(v) for pair in arms.values() for v in pair)
    step = max(BLOCK // positions, 1)
    if rows <= step:
        yield with_arms(layout, arms)
        return
    many = rows_of(layout) > 1
    for begin in range(0, rows, step):
        some = slice(begin, begin + step)
        here = {hole: (a[some], b[some]) for hole, (a, b) in arms.items()}
        yield with_arms(take(layout, some) if many else layout, here)


def _turn(motion: Motion, link: Link) -> FloatArray:
    # Past half a turn none is of use: what turns so far need not be followed there.
    cosine, sine = motion.pair(link.driven.shaft)
    return np.arctan2(sine, cosine)


def _solved(layout: Layout, link: Link, aim: Aim, positions: int) -> Outcome:
    travel = np.linspace(0.0, layout.pedal.travel, positions)
    motion = sweep_clear(assemble(layout), travel)
    line = frame(motion).rod(link.rod.name)
    with np.errstate(invalid="ignore", divide="ignore"):
        return _scored(travel, aim, link, _turn(motion, link), line)


def _scored(
    travel: FloatArray, aim: Aim, link: Link, turn: FloatArray, line: Line
) -> Outcome:
    end, last = float(travel[-1]), len(travel) - 1
    sides = np.minimum(abs(line.driver_side), abs(line.driven_side))
    lean = np.maximum(line.driver_tilt, line.driven_tilt)
    moment = line.driven_side[:, 0]
    opening = aim.sense * turn
    known = np.nan_to_num(opening, nan=-100.0)  # a jam: far below any turn
    jams = np.asarray(np.isnan(opening).any(axis=1))
    full = known >= aim.turn
    met = full.any(axis=1)
    at = np.where(met, full.argmax(axis=1), last)
    used = np.arange(last + 1) <= at[:, None]
    rising = np.all((np.diff(known, axis=1) > -1e-9) | ~used[:, 1:], axis=1)
    folded = np.min(np.nan_to_num(sides, nan=0.0), axis=1, where=used, initial=1.0)
    least = np.arcsin(folded)
    tilt = np.max(np.nan_to_num(lean), axis=1, where=used, initial=0.0)
    most = np.max(known, axis=1, where=used, initial=-np.inf)
    reached = np.maximum(most, 0.0) / aim.turn
    score = np.degrees(np.maximum(aim.look + HAND - least, 0.0))
    tilts = {**JOINT_TILT, **WIRE_TILT}
    allowed = 0.75 * min(tilts[j] for j in link.rod.joints)
    score += np.degrees(np.maximum(tilt - allowed, 0.0))
    if aim.throttle:
        before, there = _at(known, np.maximum(at - 1, 0)), _at(known, at)
        part = np.where(met, np.nan_to_num((aim.turn - before) / (there - before)), 1.0)
        share = (np.maximum(at - 1, 0) + part) / last
        low, high = BEST_FULL
        away = np.maximum(np.maximum(low - share, share - high), 0.0)
        score += np.where(met, 100.0 * away, 130.0 - 100.0 * np.minimum(reached, 1))
        whole, rest = divmod(SHARE * last, 1.0)
        tenth = known[:, int(whole)] * (1 - rest) + known[:, int(whole) + 1] * rest
        touchy = tenth / (SHARE * end) - 0.97 * aim.tip_in
        score += np.degrees(np.maximum(touchy, 0.0)) * 0.03
    else:
        score += np.degrees(np.maximum(np.abs(most - aim.turn) - math.radians(4), 0.0))
        score += np.where(jams, 60.0, 0.0)
    wrong = ~(rising & (np.abs(moment) >= 1e-3) & (most > 0))
    if aim.pull is not None:
        wrong |= (np.sign(aim.sense) == np.sign(moment)) != aim.pull
    return Outcome(
        score=np.where(wrong, NEVER, score), reached=reached, least=least, jams=jams
    )


def _at(values: FloatArray, index: NDArray[np.intp]) -> FloatArray:
    return np.take_along_axis(values, index[:, None], axis=1)[:, 0]
