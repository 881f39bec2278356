"""Changes as rows: a batch is its single layouts, in order; pairs and merged steps."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.model.rows import row, rows_of
from linkage.rules import examine, judge
from linkage.rules.examine import stop_set_last
from linkage.search import (
    added,
    anchors,
    bars_and_bearings,
    changes,
    engine_changes,
    spring_changes,
    wear,
)
from linkage.search.family import BOTH, Step, flat, merged, paired, stacked, stacks
from tests.sprung import sprung_hauler, with_bearings
from tests.unit.edits import HAULER, STOP, TO, TRUCK, TWIN, edited, rod_length
from tests.unit.ruled import found_in

LEVER = Hole(shaft="spindle", arm="lever")
PEDAL = Hole(shaft="pedal", arm="rod")


def everything(layout):
    """Return every change of a layout's arms, rods and springs, a few rows each."""
    motion = examine(layout).motion
    holes = changes.holes_to(layout, layout.main.shaft)
    yield from changes.lengths(layout, holes, least=0.95, most=1.05)
    yield from changes.angles(layout, holes, most=math.radians(3))
    yield from changes.other_side(layout, holes[-1:])
    yield from changes.offsets(layout, holes[:1])
    yield from changes.joints(layout, next(iter(layout.rods)))
    yield from changes.rods_cut_to_fit(layout)
    yield from changes.less_free_play(layout)
    yield from wear.less_play(layout)
    yield changes.pedal_stop(layout, 0.07)
    yield from engine_changes.steadied(layout)
    yield from spring_changes.all_scaled(layout, np.array([0.9, 1.2]))
    for name in layout.springs:
        yield from anchors.along(motion, name, range(1, 4))
        yield from spring_changes.longer(motion, name)
        yield from spring_changes.other_hand(motion, name)
    yield from added.added(motion, layout.main.name)
    yield from bars_and_bearings.freed(layout)


LAYOUTS = {
    "truck": edited(TRUCK, rod_length("431 mm"), (STOP, STOP + "free_play = 8\n")),
    "hauler": edited(HAULER, (TO, TO + "\nplay = 1")),
    "twin": edited(TWIN),
    "sprung": with_bearings(sprung_hauler(), 10, drag=0.02),
}


@pytest.mark.parametrize("name", LAYOUTS)
def test_a_row_of_a_stack_is_its_single_layout_in_order_of_effort(name):
    families = list(everything(LAYOUTS[name]))
    for stack in stacks(families):
        rows = np.arange(len(stack.effort))
        batch = stack.layout(rows)
        assert rows_of(batch) in {1, len(rows)}
        assert np.all(np.diff(stack.effort) >= 0)
        for i in rows[::5].tolist():
            one = stack.one(i)
            assert row(batch, i if rows_of(batch) > 1 else 0) == one
            family, index = stack.family(i), int(stack.index[i])
            assert stack.effort[i] == family.effort[index]
            for path, values in family.sets.items():
                part = one
                for key in path:
                    field = isinstance(key, str) and hasattr(part, key)
                    part = getattr(part, key) if field else part[key]
                assert part == values[index]
            assert all(one.rods[n].length is None for n in family.cut)


@pytest.mark.parametrize("name", LAYOUTS)
def test_a_row_changes_nothing_but_what_its_family_does(name):
    """Numbers of other families in the batch stand there as they were.

    But for friction: a shaft that has none of its own has that of all, written out.
    """

    def told(layout):
        shafts = {
            n: replace(
                s, friction=layout.friction if s.friction is None else s.friction
            )
            for n, s in layout.shafts.items()
        }
        return replace(layout, shafts=shafts)

    for stack in stacks(list(everything(LAYOUTS[name]))):
        for i in range(0, len(stack.effort), 13):
            (alone,) = stacks([stack.family(i)])
            k = int(np.flatnonzero(alone.index == stack.index[i])[0])
            assert told(stack.one(i)) == told(alone.one(k))


@pytest.mark.parametrize("name", LAYOUTS)
def test_rows_are_judged_as_each_layout_is_alone(name):
    for stack in stacks(list(everything(LAYOUTS[name]))):
        rows = np.arange(0, len(stack.effort), 29)
        solve = stop_set_last if stack.families[0].moves_stroke else examine
        judged = judge(solve(stack.layout(rows)))
        for n, i in enumerate(rows.tolist()):
            k = n if judged.rows > 1 else 0
            try:
                single = solve(stack.one(i))
            except ValueError:
                assert not np.ravel(judged.x.ok)[k]
                continue
            mine = {f.place: f.verdict for f in judged.findings(k)}
            assert mine == {f.place: f.verdict for f in found_in(single)}


def test_families_of_another_base_or_of_the_pedal_alone_are_other_stacks():
    layout = LAYOUTS["hauler"]
    turned = list(changes.angles(layout, [LEVER]))
    stopped = [changes.pedal_stop(layout, 0.07)]
    jointed = list(changes.joints(layout, "carb"))
    found = stacks([*turned, *stopped, *jointed])
    assert len(found) == 2 + len(jointed)
    assert all(len({f.moves_stroke for f in s.families}) == 1 for s in found)


def test_a_family_without_rows_is_left_out():
    (family,) = changes.angles(LAYOUTS["truck"], [LEVER])
    empty = replace(family, sets={}, effort=np.zeros(0))
    assert stacks([empty]) == []


def test_every_pair_of_two_families():
    layout = edited(TRUCK)
    (turned,) = changes.angles(layout, [LEVER], most=math.radians(3))
    (made,) = changes.lengths(layout, [PEDAL], least=0.99, most=1.01)
    rows = np.array([1, 4])
    pair = paired(turned, rows, made)
    assert pair.size == 2 * made.size
    assert pair.cut == ("link",)
    assert pair.moves_stroke
    assert pair.parts == turned.parts + made.parts
    stack = stacked([pair])
    seen = set()
    for i in range(pair.size):
        one, step = stack.one(i), stack.step(i)
        assert step.kind == BOTH
        first, second = flat(step)
        assert one.shafts["spindle"].arms["lever"].angle == first.new
        assert one.shafts["pedal"].arms["rod"].length == second.new
        a, b = (turned.sets, made.sets)
        efforts = [
            turned.effort[list(*a.values()).index(first.new)],
            made.effort[list(*b.values()).index(second.new)],
        ]
        assert stack.effort[i] == pytest.approx(sum(efforts))
        seen.add((first.new, second.new))
    (angles,), (lengths,) = a.values(), b.values()
    assert seen == set(product(angles[rows].tolist(), lengths.tolist()))


def test_two_families_of_one_number_are_no_pair():
    layout = edited(TRUCK)
    (turned,) = changes.angles(layout, [LEVER])
    (across,) = changes.other_side(layout, [LEVER])
    assert paired(turned, np.arange(3), across) is None


def test_a_pair_with_a_part_that_is_added_has_both():
    layout = sprung_hauler()
    motion = examine(layout).motion
    (turned,) = changes.angles(layout, [LEVER], most=math.radians(2))
    one_more = next(iter(added.added(motion, "throttle")))
    pair = paired(turned, np.arange(2), one_more)
    stack = stacked([pair])
    one = stack.one(0)
    assert "second" in one.springs
    assert one.shafts["spindle"].arms["lever"].angle == flat(stack.step(0))[0].new


def turn(old: float, new: float, about: str = "lever", kind: str = "arm angle") -> Step:
    return Step(kind=kind, about=Ref("arm", "spindle", about), old=old, new=new)


def test_steps_of_one_number_after_another_are_one():
    assert merged([turn(1, 2), turn(2, 5)]) == (turn(1, 5),)
    between = turn(0.03, 0.04, kind="arm length")
    assert merged([turn(1, 2), between, turn(2, 5)]) == (turn(1, 5), between)


@pytest.mark.parametrize(
    "other", [turn(2, 5, "other"), turn(2, 5, kind="arm length"), turn(3, 5)]
)
def test_steps_of_other_numbers_stay_apart(other):
    assert merged([turn(1, 2), other]) == (turn(1, 2), other)


def test_a_step_that_is_one_is_itself():
    assert flat(turn(1, 2)) == (turn(1, 2),)
