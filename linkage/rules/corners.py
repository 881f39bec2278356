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
    def effects(self) -> FloatArray:
        """What each error does to each answer, either way the same by half.

        Shape (questions, measured, rows); positive where a larger number is kinder.
        """
        errors = np.array([m.error for m in self.measured])
        many = 2 * len(errors)
        shift = np.zeros((many, len(errors)))
        shift[0::2] = np.diag(errors)
        shift[1::2] = -np.diag(errors)
        x = self._solved(np.repeat(shift, self.count, axis=0), many)
        answers = self._answers(x).reshape(len(self.questions), many, self.count)
        halves = (answers[:, 0::2] - answers[:, 1::2]) / 2
        return np.asarray(np.nan_to_num(halves))

    @cached_property
    def corners(self) -> FloatArray:
        """By how much every number is off in each corner.

        Shape (questions, measured, rows). [SI]
        """
        errors = np.array([m.error for m in self.measured])
        return -np.sign(self.effects) * errors[:, None]

    @cached_property
    def x(self) -> Examined:
        """Every corner solved: rows of the first question, then of the next."""
        shift = np.moveaxis(self.corners, 1, 2).reshape(-1, len(self.measured))
        return self._solved(shift, len(self.questions))

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
        """Return an answer to each question in every row, more being kinder."""
        return np.array([self._answer(x, *q) for q in self.questions])

    def _answer(self, x: Examined, kind: str, *about: Any) -> FloatArray:  # noqa: ANN401
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
