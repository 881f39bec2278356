"""Which arms each cure may change, and the search through them.

A cure sets some arms anew: each rod on the way has a range of lengths and
angles for its two arms. The rods are searched one after the other from the
shaft that stays; a few good outcomes of one are carried on to the next.

Not here: scoring (`swap.search`), judging and ranking (`swap.cures`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from linkage.rules.adjust import ANGLE_STEP, LENGTH_STEP
from linkage.swap.search import NEVER, Driven, Tries, attempt, grid

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from linkage.model import Arm, Hole, Layout
    from linkage.swap.ground import Ground
    from linkage.swap.search import Outcome

    FloatArray = NDArray[np.float64]

#: Coarse steps; the best are then tried again about themselves in fine ones.
COARSE_ANGLE: Final = math.radians(6)
COARSE_LENGTH: Final = 4e-3
#: Outcomes of one rod that are carried on to the next.
CARRIED: Final = 3
#: Layouts of one recipe that go on to be judged.
JUDGED: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Values that an arm may take about a middle.

    Parameters
    ----------
    turn : float
        How far its middle lies from where the arm stands now. [rad]
    either : float
        How far from the middle it may be turned, either way. [rad]
    shortest, longest : float
        Length as a share of what it is now; both 1 leave it. [1]
    """

    turn: float = 0.0
    either: float = 0.0
    shortest: float = 1.0
    longest: float = 1.0

    def angles(self, arm: Arm) -> FloatArray:
        """Return the angles to try, in whole degrees; the present one where fixed."""
        if self.either == 0.0 and self.turn == 0.0:
            return np.array([arm.angle])
        middle = round((arm.angle + self.turn) / ANGLE_STEP)
        count = math.floor(self.either / COARSE_ANGLE + 1e-9)
        step = round(COARSE_ANGLE / ANGLE_STEP)
        if self.either >= math.pi - 1e-9:
            steps = np.arange(-count, count)
        else:
            steps = np.arange(-count, count + 1)
        return np.asarray((middle + step * steps) * ANGLE_STEP, dtype=float)

    def lengths(self, arm: Arm) -> FloatArray:
        """Return the lengths to try, in half millimetres; the present where fixed."""
        if self.shortest == self.longest == 1.0:
            return np.array([arm.length])
        step = round(COARSE_LENGTH / LENGTH_STEP)
        first = math.ceil(self.shortest * arm.length / COARSE_LENGTH)
        last = math.floor(self.longest * arm.length / COARSE_LENGTH)
        out = np.arange(first, last + 1) * step * LENGTH_STEP
        return np.append(out, arm.length)


KEPT: Final = Span()
CLOCKED: Final = Span(either=math.radians(60))
ANYWHERE: Final = Span(either=math.pi)
OTHER_SIDE: Final = Span(turn=math.pi, either=math.radians(84))


def sized(span: Span, shortest: float = 0.55, longest: float = 1.7) -> Span:
    """Return a span whose length may change too."""
    return replace(span, shortest=shortest, longest=longest)


@dataclass(frozen=True, slots=True, kw_only=True)
class Vary:
    """What may change at one rod.

    Parameters
    ----------
    driver, driven : Span
        Of its two arms.
    flipped : bool
        Whether its driven shaft, if an intermediate one, turns the other way.
    pull : bool, optional
        Whether it shall pull or push; None takes either.
    calm : float
        Weight of a large least angle against little change. [1]
    """

    driver: Span
    driven: Span
    flipped: bool = False
    pull: bool | None = None
    calm: float = 0.01


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """Arms found for the rods on the way.

    Parameters
    ----------
    layout : Layout
        The swapped layout with these arms, its rods cut to fit.
    rank : float
        Score and effort together; less is better.
    score : float
        How far it is short of its aims; 0 where nothing is.
    reached : float
        Share of the swing. [1]
    """

    layout: Layout
    rank: float
    score: float
    reached: float


def _effort(tries: Tries, arms: tuple[Arm, Arm], vary: Vary, outcome: Outcome) -> FloatArray:  # fmt: skip
    """Return a small rank for much change, so that less change comes first."""
    one, two = arms
    turned = np.abs(tries.driver_angle - one.angle - vary.driver.turn)
    turned = turned + np.abs(tries.driven_angle - two.angle - vary.driven.turn)
    grown = np.abs(tries.driver_length - one.length)
    grown = grown + np.abs(tries.driven_length - two.length)
    changed = (grown > 1e-9).astype(float)
    calm = np.degrees(np.pi / 2 - outcome.least)
    return np.asarray(0.002 * np.degrees(turned) + 0.01 * grown * 1e3 + 0.2 * changed + vary.calm * calm)  # fmt: skip


def _fine(values: FloatArray, best: float, step: float, either: int) -> FloatArray:
    """Return values about the best, where there was a choice at all."""
    if len(values) == 1:
        return values
    return np.asarray(best + step * np.arange(-either, either + 1), dtype=float)


def _best(ranks: FloatArray, tries: Tries, count: int) -> list[int]:
    """Return the best candidates that are not all but the same."""
    chosen: list[int] = []
    for i in np.argsort(ranks, kind="stable")[: 40 * count]:
        if ranks[i] >= NEVER / 2:
            break
        near = any(
            abs(tries.driver_angle[i] - tries.driver_angle[j]) < math.radians(10)
            and abs(tries.driven_angle[i] - tries.driven_angle[j]) < math.radians(10)
            and abs(tries.driver_length[i] - tries.driver_length[j]) < 6e-3
            for j in chosen
        )
        if not near:
            chosen.append(int(i))
        if len(chosen) == count:
            break
    return chosen


def search_rod(
    ground: Ground, index: int, driver: Driven, vary: Vary
) -> list[tuple[Tries, float, float, float, FloatArray]]:
    """Return the best arms of one rod.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    index : int
        Of the rod on the way.
    driver : Driven
        Turns of its driver.
    vary : Vary
        What may change.

    Returns
    -------
    list of tuple
        One candidate each: the arms, rank, score, share reached, and turns of
        the driven shaft, shape (n,).
    """
    link = ground.path[index]
    one, two = (ground.layout.shafts[h.shaft] for h in link.holes)
    arms = one.arms[link.driver.arm], two.arms[link.driven.arm]
    aim = ground.aim(index, flipped=vary.flipped, pull=vary.pull)
    lengths = vary.driver.lengths(arms[0]), vary.driven.lengths(arms[1])
    angles = vary.driver.angles(arms[0]), vary.driven.angles(arms[1])

    def ranked(tries: Tries, turns: Driven) -> tuple[FloatArray, Outcome]:
        outcome = attempt((one, two), link, turns, tries, aim)
        return outcome.score + _effort(tries, arms, vary, outcome), outcome

    tries = grid(lengths, angles)
    ranks, _ = ranked(tries, driver.thinned())
    out = []
    for i in _best(ranks, tries, CARRIED):
        near = grid(
            (
                _fine(lengths[0], tries.driver_length[i], LENGTH_STEP, 4),
                _fine(lengths[1], tries.driven_length[i], LENGTH_STEP, 4),
            ),
            (
                _fine(angles[0], tries.driver_angle[i], ANGLE_STEP, 5),
                _fine(angles[1], tries.driven_angle[i], ANGLE_STEP, 5),
            ),
        )
        fine, outcome = ranked(near, driver)
        j = int(np.argmin(fine))
        if fine[j] < NEVER / 2:
            out.append((near.take(np.array([j])), float(fine[j]), float(outcome.score[j]), float(outcome.reached[j]), outcome.turn[j]))  # fmt: skip
    return out


def search(ground: Ground, varies: Sequence[Vary]) -> list[Candidate]:
    """Search all rods on the way, each after the one that drives it.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    varies : sequence of Vary
        One for each rod on the way.

    Returns
    -------
    list of Candidate
        Best first; empty where no combination turns the throttle open.
    """
    beam = [(ground.layout, ground.driver, 0.0, 0.0, 0.0)]
    for index, vary in enumerate(varies):
        grown = []
        for layout, driver, rank, score, _ in beam:
            for tries, more, short, reached, turn in search_rod(ground, index, driver, vary):  # fmt: skip
                if index < ground.last and not np.isfinite(turn).all():
                    continue
                placed = _placed(layout, ground, index, tries)
                on = Driven(pad_travel=driver.pad_travel, turn=turn - turn[0])
                grown.append((placed, on, rank + more, score + short, reached))
        beam = sorted(grown, key=lambda b: b[2])[: JUDGED if index == ground.last else CARRIED]  # fmt: skip
    return [
        Candidate(layout=layout, rank=rank, score=score, reached=reached)
        for layout, _, rank, score, reached in beam
    ]


def _placed(layout: Layout, ground: Ground, index: int, tries: Tries) -> Layout:
    link = ground.path[index]
    for hole, length, angle in (
        (link.driver, tries.driver_length[0], tries.driver_angle[0]),
        (link.driven, tries.driven_length[0], tries.driven_angle[0]),
    ):
        layout = set_arm(layout, hole, float(length), float(angle))
    return layout.with_rod(link.rod.name, None)


def set_arm(layout: Layout, hole: Hole, length: float, angle: float) -> Layout:
    """Return the layout with an arm set anew; one that stays is left untouched."""
    arm = layout.shafts[hole.shaft].arms[hole.arm]
    turned = math.remainder(angle, 2 * math.pi)
    turned = math.radians(round(math.degrees(turned), 9))
    if abs(math.remainder(angle - arm.angle, 2 * math.pi)) < 1e-9:
        turned = arm.angle
    size = arm.length if abs(length - arm.length) < 1e-9 else round(length, 9)
    return layout.with_arm(hole, length=size, angle=turned)


def alongside(ground: Ground, layout: Layout) -> Layout:
    """Return the layout with other carburettors on the same shaft set alike.

    Two carburettors on one shaft have equal drop links; what is done to the
    arms of the main one's rod is done to those of the others.

    Parameters
    ----------
    ground : Ground
        What the search stands on.
    layout : Layout
        With the arms of the main throttle's rod set.
    """
    main = ground.path[-1]
    if layout.path_to(main.driven.shaft)[-1].driver != main.driver:
        return layout  # a reversing lever in between, for one rod alone
    for throttle in layout.plates:
        path = layout.path_to(throttle.shaft)
        if not path or throttle.shaft == main.driven.shaft:
            continue
        link = path[-1]
        if link.driver.shaft != main.driver.shaft:
            continue
        pairs = ((main.driver, link.driver), (main.driven, link.driven))
        for model, hole in pairs:
            if hole == model:
                continue
            old = ground.layout.shafts[model.shaft].arms[model.arm]
            new = layout.shafts[model.shaft].arms[model.arm]
            arm = layout.shafts[hole.shaft].arms[hole.arm]
            length = arm.length * new.length / old.length
            angle = arm.angle + new.angle - old.angle
            layout = set_arm(layout, hole, length, angle)
        layout = layout.with_rod(link.rod.name, None)
    return layout
