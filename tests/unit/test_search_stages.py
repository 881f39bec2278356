"""A plan in stages: where arms, rods and springs are wrong at once."""

from __future__ import annotations

import pytest

import linkage
from linkage.search.plan import _stage, _together_or_deep, expand
from linkage.search.stages import MOVES, staged
from tests.unit.cured import bad_places, node_of
from tests.unit.edits import edited

#: An orchard truck of our own, measured in inches: the lever starts too flat, the arms
#: open it by two thirds, and one spring alone does not shut it, dirty.
TRUCK = """
format = 1
title = "Orchard truck"
units = { length = "in", angle = "deg", force = "lbf" }

[shafts.pedal]
pivot = [0, 12, 0]
axis = "across"
bearing = "1/2 in"
arms.pad = { length = 7, angle = -95 }
arms.rod = { length = 2.5, angle = -15 }

[shafts."cross shaft"]
pivot = [1, 6, 13]
axis = "across"
bearing = "5/8 in"
arms.inner = { length = 2, angle = -15, offset = -6 }
arms.outer = { length = 2.5, angle = 165, offset = 4 }

[shafts.spindle]
pivot = [4, 1, 6]
axis = "across"
bearing = "5/16 in"
drag = "0.05 N·m"
arms.lever = { length = 1.5, angle = 150, offset = 0.4 }
arms.spring = { length = 1, angle = -20, offset = -0.6 }

[rods.up]
from = "pedal.rod"
to = "cross shaft.inner"
joints = "ball with clip"
diameter = "5/16 in"

[rods.carb]
from = "cross shaft.outer"
to = "spindle.lever"
joints = "ball with clip"
diameter = "1/4 in"

[pedal]
shaft = "pedal"
pad = "pad"
travel = 3

[throttle]
shaft = "spindle"
opens = "anticlockwise"
swing = 80
bore = 1.5

[springs.only]
hook = "spindle.spring"
anchor = [5, 1.6, 1.2]
rate = "1 lbf/in"
free_length = 3.5
"""


@pytest.fixture(scope="module")
def truck():
    return linkage.loads(TRUCK).layout


def test_a_motion_and_its_springs_are_mended_one_after_the_other(truck):
    told = linkage.check(truck)
    assert {f.code for f in told.reasons} == {
        *("arm-rod-angle", "full-throttle", "energy-sources", "closing-torque"),
        "closing-torque-one-off",
    }
    plan = told.plan
    assert plan is not None
    assert plan.proven
    kinds = [step.split()[0] for step in plan.steps]
    # Arms before springs, the rods that follow from the arms last.
    assert kinds == ["turn", "make", "fit", "add", "cut", "cut"]
    again = linkage.loads(linkage.dump(plan.layout)).layout
    assert not bad_places(again)


def test_three_changes_do_not_reach_what_two_stages_mend(truck):
    root = node_of(truck)
    assert _together_or_deep(root, expand(root, 4.0), None)[0] is None
    end = staged(root, _stage)
    assert end.bad == 0
    assert len(end.each) > 3
    assert not end.barred(root)
    assert end.needs == root.needs


def test_only_the_first_stage_is_told_where_springs_cannot_be_mended(truck):
    asked = []

    def motion_only(node):
        asked.append(node.needs)
        return _stage(node) if node.needs == MOVES else None

    root = node_of(truck)
    end = staged(root, motion_only)
    assert asked == [MOVES, root.needs]
    left = {place[0] for place in end.places()}
    assert left == {"energy-sources", "closing-torque", "closing-torque-one-off"}
    assert 0 < end.bad < root.bad


def test_a_sound_motion_has_no_first_stage():
    def never(_node):
        pytest.fail("there is nothing to mend in how it moves")

    assert staged(node_of(edited("fault-springs-too-weak")), never) is None


def test_a_motion_that_nothing_mends_has_no_second_stage(truck):
    assert staged(node_of(truck), lambda _: None) is None
