"""Slips and questions of layouts that are not like the shipped ones."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from linkage.model import Known
from linkage.model.refs import Ref
from linkage.slips.places import places
from linkage.slips.questions import questions
from linkage.slips.sizes import over_ends
from linkage.slips.slip import _shown
from linkage.slips.turned import place_slips
from linkage.slips.written import written
from tests.sprung import torsion_spring
from tests.unit.compared import car, turned_arm

BEFORE = car("scenario-before")
TWISTED = BEFORE.with_spring(torsion_spring("near", "spindle", -1, 0.5, 0.3))
NEAR = Ref("spring", "near")


def test_a_spring_about_a_shaft_has_no_place_and_no_length_to_slip():
    assert NEAR in {p.about for p in places(BEFORE)}
    assert NEAR not in {p.about for p in places(TWISTED)}
    assert NEAR in {w.about for w in written(BEFORE)}
    assert NEAR not in {w.about for w in written(TWISTED)}
    assert NEAR not in {q.about for q in questions(TWISTED)}


def test_a_spring_by_its_wire_is_asked_about_by_its_anchor_alone():
    wire = Known(wire=0.0016, coil=0.012, turns=20.0)
    far = (9.0, *BEFORE.springs["near"].anchor[1:])
    spring = replace(
        BEFORE.springs["near"], known=wire, anchor=far, material="EN 10270-1 SM"
    )
    asked = [q for q in questions(BEFORE.with_spring(spring)) if q.about == NEAR]
    assert [q.key[-2:] for q in asked] == [("anchor", "x")]


def test_a_rod_no_longer_than_its_balls_was_not_measured_over_them():
    long = BEFORE.with_rod("carb", 0.2401)
    assert [h.about for h in over_ends(long)] == [Ref("rod", "carb")]
    assert list(over_ends(BEFORE.with_rod("carb", 0.009))) == []


def test_an_angle_of_45_degrees_is_the_same_from_upright():
    """Read from upright, turned the one way round, it is what it was."""

    def level(degrees: float) -> list[float]:
        layout = turned_arm(BEFORE, "spindle.lever", degrees)
        lever = Ref("arm", "spindle", "lever")
        found = [h for h in place_slips(layout) if h.about == lever]
        return sorted(math.degrees(h.new) for h in found if "from upright" in h.clause)

    assert level(52) == pytest.approx([-142, -38, 38, 142])
    assert level(45) == pytest.approx([-135, -45, 135])


def test_sizes_of_a_place_are_shown_by_name():
    pin = {"length": 0.05, "offset": 0.012}
    assert _shown(pin, "length") == {"length": 50.0, "offset": 12.0}
    assert _shown((0.05, 0.012), "length") == [50.0, 12.0]
    assert _shown("clockwise", "") == "clockwise"
