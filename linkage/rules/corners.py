"""A layout with every measuring error the unkind way, for what is asked at worst.

Which way is unkind differs from question to question: each has a corner of its own,
found by solving the layout anew with every number off either way, and then solved
itself. As on the vehicle, rods are set anew until the plate rests on its stop, and the
pedal stop where full throttle is met; joints are worn.

Not here: the verdict (`rules.at_worst`), the errors (`model.measured`).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from linkage.model import Limits, take
from linkage.model import row as alone
from linkage.model.columns import every, is_column, lesser, pick
from linkage.model.measured import Measured, measured
from linkage.model.paths import applied, read
from linkage.motion import assemble
from linkage.rules.examine import COARSE, Examined, Grain, examine, stop_set_last

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from linkage.model import Hole, Layout
    from linkage.model.columns import Number, Truth

    FloatArray = NDArray[np.float64]

#: Play of a worn rod, both joints together, where less is given: common practice, no
#: source. [m]
WORN: Final = 0.2e-3
#: A question: ``full`` and a throttle, or ``dead`` with a rod and a hole.
Question = tuple[Any, ...]
#: The unkindest answer to each: a plate that stays shut, a dead centre within the travel.
UNKINDEST: Final = {"full": -1.0, "dead": 0.0}
#: By how much a coarse look at one error may differ from a close one at a corner.
ALIKE: Final = 2e-3


def moving(layout: Layout) -> tuple[Measured, ...]:
    """Return the measured numbers on which motion hangs."""
    held = {hole for link in layout.links for hole in link.holes}
    arms = {("shafts", h.shaft, "arms", h.arm) for h in held}
    arms.add(("shafts", layout.pedal.shaft, "arms", layout.pedal.pad))
    shafts = {h.shaft for h in held}

    def counts(path: tuple[Any, ...]) -> bool:
        if path[0] == "shafts":
            return path[:4] in arms if path[2] == "arms" else _pivot(path)
        return path[0] in {"rods", "throttles"} or path == ("pedal", "travel")

    def _pivot(path: tuple[Any, ...]) -> bool:
        return path[1] in shafts and path[2] == "pivot"

    return tuple(m for m in measured(layout) if counts(m.path))


def set_again(layout: Layout, was: Layout) -> Layout:
    """Return a layout of other numbers with its rods set as those of another are.

    Parameters
    ----------
    layout : Layout
        Rows.
    was : Layout
        What they were made of, a row each, or one.

    Returns
    -------
    Layout
        A rod that is cut to fit is cut again. One of given length is set longer or
        shorter by as much as one cut to fit would be, unless a `±` says how well it
        was set.
    """
    given = [
        name
        for name, rod in was.rods.items()
        if rod.length is not None and (*rod.key, "length") not in was.tolerances
    ]
    if not given:
        return layout

    def free(one: Layout) -> Mapping[str, Number]:
        rods = {n: replace(one.rods[n], length=None) for n in given}
        loops = assemble(replace(one, rods={**one.rods, **rods})).loops
        return {loop.link.rod.name: loop.length for loop in loops}

    now, before = free(layout), free(was)
    rods = {}
    for name in given:
        length = layout.rods[name].length + now[name] - before[name]
        rods[name] = replace(layout.rods[name], length=length)
    return replace(layout, rods={**layout.rods, **rods})


def worn(layout: Layout) -> Layout:
    """Return a layout whose joints are worn."""
    rods = {
        name: replace(rod, play=pick(rod.play < WORN, WORN, rod.play))
        for name, rod in layout.rods.items()
    }
    return replace(layout, rods=rods)


def off_by(layout: Layout, some: Sequence[Measured], shift: FloatArray) -> Layout:
    """Return a layout with measured numbers off, its rods set as on the vehicle.

    Parameters
    ----------
    layout : Layout
        As measured; one, or as many rows as there are shifts.
    some : sequence of Measured
        Which numbers.
    shift : ndarray, shape (rows, numbers)
        By how much each is off. [SI]
    """
    sets = {}
    for i, m in enumerate(some):
        if shift[:, i].any():
            value = read(layout, m.path)
            off = shift[:, i : i + 1]
            sets[m.path] = (value if is_column(value) else float(value)) + off
    # Set on the vehicle, a pin stands within its slot whatever that is.
    lost = {
        (*path[:2], "lost"): lesser(layout.rods[path[1]].lost, slot)
        for path, slot in sets.items()
        if path[-1] == "slot"
    }
    return set_again(applied(layout, {**sets, **lost}), layout)


def _stop_kept(layout: Layout, grain: Grain, met: Truth) -> Examined:
    """Solve rows with the pedal stop set where full is met, and else left where it is.

    That it is set back to reach full throttle is not asked of a dead centre; nor where
    full is not met as measured.
    """
    x = stop_set_last(layout, grain)
    full = met & x.working.is_stopped_by("full stop")
    if layout.pedal.stop is None or every(full):
        return x
    stop = layout.pedal.stop
    if x.layout.pedal.stop is not None:
        stop = pick(full, x.layout.pedal.stop, stop)
    return examine(replace(layout, pedal=replace(layout.pedal, stop=stop)), grain)


class AtWorst:
    """A layout, one or many, as measured and at its corners; see `at_worst`.

    Parameters
    ----------
    x : Examined
        As measured.
    rows : ndarray of int
        Which rows of it.
    questions : sequence of Question
        What is asked of it, all of one kind.
    """

    def __init__(
        self, x: Examined, rows: NDArray[np.intp], questions: Sequence[Question]
    ) -> None:
        self.questions = tuple(questions)
        self.count = len(rows)
        # What limits say makes no corner.
        asked = replace(x.layout, limits=Limits())
        if x.rows > 1:
            one = self.count == 1
            asked = alone(asked, int(rows[0])) if one else take(asked, rows)
        self.layout = worn(asked)
        self.measured = moving(self.layout)
        self.grain = x.grain
        met = x.working.is_stopped_by("full stop")
        #: Of which rows full is met as measured.
        self.full = np.broadcast_to(np.ravel(met), x.rows)[rows]

    @cached_property
    def _single(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Answers with one number more, or less, by its error, and with none off.

        The first two of shape (questions, measured, rows), the last (questions, 1, rows).
        """
        errors = np.diag([m.error for m in self.measured])
        shift = np.vstack([errors, -errors, np.zeros((1, len(errors)))])
        x = self._solved(np.repeat(shift, self.count, axis=0), len(shift))
        answers = self._answers(x).reshape(len(self.questions), -1, self.count)
        n = len(errors)
        more, less, still = answers[:, :n], answers[:, n:-1], answers[:, -1:]
        return more, less, np.nan_to_num(still, nan=np.pi)

    @cached_property
    def effects(self) -> FloatArray:
        """What each error does to each answer, either way the same by half.

        Shape (questions, measured, rows); positive where a larger number is kinder.
        """
        more, less, still = self._single
        halves = (more - less) / 2
        # Off one way nothing comes into line: the other way is held against none off.
        halves = np.where(np.isnan(more), still - less, halves)
        halves = np.where(np.isnan(less), more - still, halves)
        worst = UNKINDEST[self.questions[0][0]]
        both = (more == worst) & (less == worst)
        return np.asarray(np.nan_to_num(np.where(both, worst - still, halves)))

    @cached_property
    def _corners(self) -> tuple[FloatArray, Examined]:
        """By how much every number is off in each corner, and every corner solved.

        Where one error alone is less kind than all of them together, as where others
        mend it, that one stands alone.
        """
        errors = np.array([m.error for m in self.measured])[:, None]
        shift = -np.sign(self.effects) * errors
        x = self._solved_at(shift)
        more, less, _ = self._single
        more, less = (np.nan_to_num(v, nan=np.inf) for v in (more, less))
        least = np.minimum(more, less)
        own = np.arange(len(self.questions))
        answers = self._answers(x).reshape(len(own), -1, self.count)[own, own]
        kinder = ~(answers <= least.min(axis=1) + ALIKE)
        if kinder.any():
            one = np.arange(len(errors))[:, None] == least.argmin(axis=1)[:, None]
            alone = one * np.where(more <= less, errors, -errors)
            shift = np.where(kinder[:, None], alone, shift)
            x = self._solved_at(shift)
        return shift, x

    @property
    def corners(self) -> FloatArray:
        """By how much every number is off in each corner.

        Shape (questions, measured, rows). [SI]
        """
        return self._corners[0]

    @property
    def x(self) -> Examined:
        """Every corner solved: rows of the first question, then of the next."""
        return self._corners[1]

    def _solved_at(self, corners: FloatArray) -> Examined:
        shift = np.moveaxis(corners, 1, 2).reshape(-1, len(self.measured))
        return self._solved(shift, len(self.questions))

    @cached_property
    def margins(self) -> FloatArray:
        """How far beyond the full end each arm that is asked of comes into line there.

        Shape (questions, rows); half a turn where it does not any more, nan where the
        corner cannot be put together. [rad]
        """
        x, count = self.x, self.count
        ok = _flat(x.ok, x.rows) > 0
        out = []
        for i, (_, *arm) in enumerate(self.questions):
            own = np.s_[i * count : (i + 1) * count]
            found = margin(x, *arm)[own]
            none = np.where(ok[own], np.pi, np.nan)
            out.append(np.where(np.isnan(found), none, found))
        return np.array(out)

    def layout_of(self, question: int, row: int = 0) -> Layout:
        """Return one corner as a layout of its own."""
        return alone(self.x.layout, question * self.count + row)

    def _solved(self, shift: FloatArray, many: int) -> Examined:
        """Solve rows with every number off by so much, rods and pedal stop set again."""
        each = np.tile(np.arange(self.count), many)
        base = take(self.layout, each)  # a column of one row counts as many too
        grain = COARSE if many > len(self.questions) else self.grain
        made = off_by(base, self.measured, shift)
        if self.questions[0][0] == "full":
            return stop_set_last(made, grain)
        return _stop_kept(made, grain, np.tile(self.full, many)[:, None])

    def _answers(self, x: Examined) -> FloatArray:
        """Return an answer to each question in every row, more being kinder.

        What cannot be put together gives none, and nothing is less kind.
        """
        found = np.array([self._answer(x, *q) for q in self.questions])
        worst = UNKINDEST[self.questions[0][0]]
        return np.where(_flat(x.ok, x.rows) > 0, found, worst)

    def _answer(self, x: Examined, kind: str, *about: Any) -> FloatArray:  # noqa: ANN401
        """Return an answer in every row, more being kinder; nan where there is none."""
        if kind == "full":
            return spare(x, about[0])
        return margin(x, *about)


def _flat(value: Any, rows: int) -> FloatArray:  # noqa: ANN401
    return np.broadcast_to(np.ravel(value), rows).astype(float)


def spare(x: Examined, throttle: str) -> FloatArray:
    """Return by how much a throttle gets past full, shape (rows,).

    The share of the pad's travel that is left where it is full; less than zero, the
    share of its swing that is missing.
    """
    w, t = x.working, x.layout.throttles[throttle]
    share = _flat(w.opening_at_end[throttle] / t.swing, x.rows)
    left = _flat(1 - w.end / x.layout.pedal.travel, x.rows)
    met = _flat(w.is_stopped_by("full stop", throttle), x.rows)
    return np.asarray(met * left - (1 - share))


def margin(x: Examined, rod: str, hole: Hole) -> FloatArray:
    """Return how far beyond the full end an arm comes into line, shape (rows,). [rad].

    0 where it does within the travel, nan where it does not come into line.
    """
    out = np.full(x.rows, np.nan)
    for d in x.dead_centres:
        if (d.rod, d.hole) == (rod, hole) and d.side in {"full", "inside"}:
            here = _flat(d.margin, x.rows)
            out = np.fmin(out, np.where(d.side == "inside", here * 0.0, here))
    return out
