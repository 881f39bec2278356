"""What is moved, made or bought comes in steps of the rule by which the file is measured."""

from __future__ import annotations

import math

import numpy as np
import pytest

from linkage.motion import assemble, sweep
from linkage.quantities import speak_in
from linkage.search import added, anchors, apart, bars_and_bearings, spring_changes
from linkage.swap.seats import Plane, seats
from tests.sprung import sprung_hauler

IN = 0.0254
#: What is spoken, the step of anchors, of a lever's pivot and of its arms. [m]
RULES = [({}, 1e-3, 20e-3, 0.5e-3), ({"length": "in"}, IN / 32, 0.75 * IN, IN / 64)]


def in_steps(values, step):
    return np.allclose(np.round(np.asarray(values) / step) * step, values, atol=1e-9)


@pytest.mark.parametrize(("words", "step", "_seat", "_arm"), RULES)
def test_anchors_and_springs_move_in_steps_of_the_files_rule(words, step, _seat, _arm):
    layout = sprung_hauler()
    motion = sweep(assemble(layout), np.linspace(0, 0.07, 15))
    speak_in(words)
    families = [
        *anchors.turned(motion, "main"),
        *anchors.along(motion, "main", range(1, 9)),
        *apart.anchors_apart(layout, ["main"]),
    ]
    assert len(families) == 3
    for family in families:
        places = [v for path, v in family.sets.items() if "anchor" in path]
        assert len(places) == 3
        assert in_steps(places, step)
        assert not in_steps(places, RULES[step == 1e-3][1])
    assert in_steps(anchors.across(motion, "main").new, step)
    assert in_steps(apart.aside(0.01), step)
    for family in added.added(motion, "throttle"):
        assert in_steps(family.base.springs["second"].anchor, step)
    for family in spring_changes.shorter(motion, "main"):
        assert in_steps(family.sets["springs", "main", "known", "free_length"], step)


@pytest.mark.parametrize(("words", "_step", "seat", "arm"), RULES)
def test_a_reversing_lever_is_seated_in_steps_of_the_files_rule(
    words, _step, seat, arm
):
    speak_in(words)
    found = seats(
        Plane(
            driver_pivot=np.array([0.0, 0.3]),
            pivot=np.array([0.3, 0.1]),
            pin=np.array([0.06, 0.31]),
            pin_way=np.array([0.01, -0.04]),
            lever=np.array([0.33, 0.12]),
            lever_way=np.array([0.02, -0.03]),
            half_swing=math.radians(38),
            driver_radius=0.06,
            radius=0.034,
        )
    )
    assert len(found) > 100
    assert in_steps(found.place, seat)
    assert in_steps(found.lengths, arm)


def test_rods_are_of_bars_that_are_sold_by_the_inch():
    layout = sprung_hauler()
    said = []
    for words in ({}, {"length": "in"}):
        speak_in(words)
        (family,) = bars_and_bearings.thicker(layout, "last", 0.3, 300.0)
        said.append(family.sets["rods", "last", "diameter"])
    metric, inches = said
    assert in_steps(metric, 1e-3)
    assert in_steps(inches, IN / 16)
    assert len(inches) > 1
