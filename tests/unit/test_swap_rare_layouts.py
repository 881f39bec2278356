"""The carburettor on the other side, of layouts that are seldom met."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linkage.swap import last_body_shaft
from linkage.swap.reversing import _unused
from linkage.swap.slides import _beside, bearings_across
from tests.sprung import torsion_spring
from tests.unit.compared import car
from tests.unit.test_swap_across import jack

BEFORE = car("scenario-before")


def test_a_plate_on_the_pedals_own_shaft_has_no_shaft_before_it():
    main = replace(BEFORE.main, shaft="pedal")
    alone = replace(BEFORE, throttles={main.name: main})
    assert last_body_shaft(alone) == "pedal"


def test_a_new_lever_has_a_name_that_no_other_has():
    assert _unused("reverser", {"pedal"}) == "reverser"
    assert _unused("reverser", {"reverser", "reverser too"}) == "reverser too too"


def test_a_spring_about_a_shaft_is_taken_along_with_it():
    wound = torsion_spring("near", "spindle", -1, 0.5, 0.3)
    assert _beside(wound, (0.0, 0.1, 0.0)) == wound
    far = BEFORE.springs["far"]
    y = far.anchor[1] + 0.1
    assert _beside(far, (0.0, 0.1, 0.0)).anchor == pytest.approx(
        (far.anchor[0], y, far.anchor[2])
    )


def test_bearings_stay_where_the_shaft_before_may_not_be_touched():
    free = jack()
    assert bearings_across(free, "jack shaft", 0.0) is not None
    pedal = replace(free.shafts["pedal"], fixed=True)
    assert bearings_across(free.with_shaft(pedal), "jack shaft", 0.0) is None
