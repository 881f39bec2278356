"""All measuring errors and wear at once, by samples: what comes of a layout, and how often.

Each sample is a vehicle that would have been measured as this one was. It is set as a
fitter sets it, rods and pedal stop anew, and judged by every rule.

Not here: one number at a time (`band.effects`), the worst of all (`rules.corners`), how
numbers are drawn (`band.draws`), what is found (`band.found`).
"""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.band.draws import Told, draws
from linkage.band.effects import Effects, effects
from linkage.band.found import Answer, Band, Chance, values
from linkage.errors import AssemblyError, UsageError
from linkage.model.measured import measured, refuse_unsure
from linkage.motion import sweep_clear
from linkage.quantities import say
from linkage.rules.corners import off_by
from linkage.rules.engine import judge
from linkage.rules.examine import SAMPLED, Examined, examine, stop_set_last
from linkage.rules.order import BY_CODE, UNCERTAIN
from linkage.rules.room import room
from linkage.rules.rule import BAD, LOOK

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from linkage.model import Layout
    from linkage.rules.judged import Judged, Place

    FloatArray = NDArray[np.float64]

#: Samples that are judged at most, and those of which whole curves are kept.
MOST: Final = 200_000
CURVES: Final = 5_000
#: Pad positions of the curve's band.
POINTS: Final = 51
#: Of a band: nine of ten lie within.
LOW, MIDDLE, HIGH = 5, 50, 95
#: Samples by which it is told how long very many would take.
PROBE: Final = 200


class _Heard:
    """What samples say, block by block."""

    def __init__(self, count: int) -> None:
        self.count = count
        self.values: dict[Place, FloatArray] = {}
        self.words: dict[Place, tuple[str, str]] = {}
        self.ranks: dict[Place, list[int]] = {}
        self.ends = np.full(count, np.nan)
        self.curves: list[FloatArray] = []
        self.bad = self.torn = self.at = 0

    def take(self, judged: Judged) -> None:
        """Take a block."""
        x, rows = judged.x, slice(self.at, self.at + judged.rows)
        ok = np.broadcast_to(np.ravel(x.ok), judged.rows)
        self.torn += int((~ok).sum())
        self.bad += int((judged.verdicts == BAD).sum())
        self.ends[rows] = np.ravel(x.working.end)
        for place, ranks in judged.ranks.items():
            here = self.ranks.setdefault(place, [0, 0])
            here[0] += int((ok & (ranks == LOOK)).sum())
            here[1] += int((ok & (ranks == BAD)).sum())
            kept = self.values.setdefault(place, np.full(self.count, np.nan))
            kept[rows] = values(judged, place)
            if place not in self.words and judged.told[place].any():
                some = judged.outcome(place).row(int(judged.told[place].argmax()))
                self.words[place] = BY_CODE[place[0]].who(some), some.kind
        self.at += judged.rows


def _off(layout: Layout, off: FloatArray, play: FloatArray) -> Layout:
    """Return a layout with its measured numbers off, and its rods worn."""
    made = off_by(layout, measured(layout), off)
    rods = {
        name: replace(rod, play=rod.play + play[:, i : i + 1])
        for i, (name, rod) in enumerate(made.rods.items())
    }
    return replace(made, rods=rods)


def _refuse_many(layout: Layout, count: int, seed: int) -> None:
    """Refuse more samples than anybody waits for, with the time they would take."""
    if count <= MOST:
        return
    begin = time.perf_counter()
    some = measured(layout)
    ((off, play),) = draws(some, len(layout.rods), PROBE, PROBE, seed=seed, even=False)
    judge(stop_set_last(_off(layout, off, play), SAMPLED), rules=UNCERTAIN)
    seconds = (time.perf_counter() - begin) * count / PROBE
    msg = f"{count} samples would take {_long(seconds)}, and {MOST} are the most"
    hint = "ten times the samples make a band three times as sure; 2000 serve well"
    raise UsageError(msg, hint=hint)


def _long(seconds: float) -> str:
    for unit, name in ((31557600, "years"), (86400, "days"), (3600, "hours")):
        if seconds >= unit:
            return f"some {seconds / unit:.0f} {name}"
    return f"some {seconds / 60:.0f} minutes"


def band(
    layout: Layout,
    *,
    samples: int = 2000,
    seed: int = 1,
    even: bool = False,
    told: Told | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Band:
    """Judge samples of a layout with all its measuring errors and wear at once.

    Parameters
    ----------
    layout : Layout
        As measured; one with a pedal.
    samples : int
        How many, at least 2.
    seed : int
        Of the draws; one seed gives one answer.
    even : bool
        Whether samples are spread evenly, by a scrambled Sobol sequence.
    told : Told, optional
        What readings on the vehicle tell of its numbers, instead of their own errors.
    progress : callable, optional
        Called with the samples judged so far and of how many.

    Raises
    ------
    AssemblyError
        If the parts cannot be put together at rest, as measured or in any sample.
    UsageError
        If there are fewer than 2 or more than `MOST` samples, or the layout is that of
        a governed engine or has a cam or a slide.
    """
    refuse_unsure(layout, "band")
    if samples < 2:
        msg = f"a band takes at least 2 samples, not {samples}"
        raise UsageError(msg, hint="2000 serve well; leave the number out")
    x = examine(layout)
    _refuse_many(layout, samples, seed)
    some = measured(layout)
    nominal = judge(stop_set_last(layout, SAMPLED), rules=UNCERTAIN)
    travel = np.linspace(0.0, float(layout.pedal.travel), POINTS)
    heard = _Heard(samples)
    block = min(room(layout, SAMPLED), 512)
    for off, play in draws(
        some, len(layout.rods), samples, block, seed=seed, even=even, told=told
    ):
        made = stop_set_last(_off(layout, off, play), SAMPLED)
        judged = judge(made, rules=UNCERTAIN)
        if heard.at < CURVES:
            heard.curves.append(_openings(made, travel))
        heard.take(judged)
        made.forget()
        if progress is not None:
            progress(heard.at, samples)
    return _told(x, nominal, effects(x), heard, travel, seed=seed, even=even)


def _openings(made: Examined, travel: FloatArray) -> FloatArray:
    """Return the main throttle's opening of every sample, the pedal held by its stops.

    Shape (rows, n). [rad]
    """
    ends = np.broadcast_to(np.ravel(made.working.end), made.rows)[:, None]
    motion = sweep_clear(made.assembly, np.minimum(travel, ends))
    openings = motion.between_stops(made.layout.main.name)
    return np.broadcast_to(openings, (made.rows, len(travel)))


def _told(  # noqa: PLR0913 - all that was found
    x: Examined,
    nominal: Judged,
    single: Effects,
    heard: _Heard,
    travel: FloatArray,
    *,
    seed: int,
    even: bool,
) -> Band:
    count = heard.count
    answers, chances = [], []
    for place, (who, kind) in heard.words.items():
        some = heard.values[place]
        looks, bad = heard.ranks[place]
        known = place in nominal.ranks and bool(nominal.told[place][0])
        was = int(nominal.ranks[place][0]) if known else 0
        chances.append(
            Chance(place=place, who=who, looks=looks / count, bad=bad / count, was=was)
        )
        here = some[np.isfinite(some)]
        if len(here) < count / 2:
            continue
        low, middle, high = np.percentile(here, (LOW, MIDDLE, HIGH)).tolist()
        by = [e.found.get(place, np.nan) for e in single.each]
        answers.append(
            Answer(
                place=place,
                who=who,
                kind=kind,
                nominal=float(values(nominal, place)[0]) if known else np.nan,
                low=low,
                middle=middle,
                high=high,
                spread=float(np.std(here)),
                first_order=single.spread(by),
                samples=len(here),
            )
        )
    ends = heard.ends[np.isfinite(heard.ends)]
    full = (
        np.percentile(ends, (LOW, MIDDLE, HIGH)).tolist() if len(ends) else [np.nan] * 3
    )
    curves = np.concatenate(heard.curves)
    curves = curves[np.isfinite(curves).any(axis=-1)]
    if not len(curves):
        msg = "no sample can be put together, so that there is no band"
        one = single.each[0].measured
        hint = (
            f"measure the {one.called} again first, known to {say(one.error, one.kind)}"
        )
        raise AssemblyError(msg, hint=hint)
    return Band(
        examined=x,
        judged=nominal,
        effects=single,
        count=count,
        seed=seed,
        even=even,
        fits=1 - heard.bad / count,
        torn=heard.torn / count,
        answers=tuple(answers),
        chances=tuple(chances),
        full_at=tuple(full),
        pad_travel=travel,
        curve=np.nanpercentile(curves, (LOW, MIDDLE, HIGH), axis=0),
    )
