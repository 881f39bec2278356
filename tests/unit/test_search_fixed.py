"""What is fixed may not be changed, and its twin that is not fixed may."""

from __future__ import annotations

from dataclasses import replace

from linkage.model import Hole
from linkage.search.fixed import may_cut, may_size, may_turn, why_not
from tests.unit.edits import LEVER, TRUCK, edited

HOLE = Hole(shaft="spindle", arm="lever")
LAYOUT = edited(TRUCK)


def marked(more: str):
    return edited(TRUCK, (LEVER, LEVER.replace(" }", f", {more} }}")))


def test_a_free_arm_may_be_sized_and_turned():
    assert may_size(LAYOUT, HOLE)
    assert may_turn(LAYOUT, HOLE)
    assert why_not(LAYOUT, HOLE, turned=True) == ""


def test_a_fixed_arm_may_neither():
    layout = marked("fixed = true")
    assert not may_size(layout, HOLE)
    assert not may_turn(layout, HOLE)
    assert "arm `spindle.lever` is fixed" in why_not(layout, HOLE)


def test_fixed_clocking_bars_turning_alone():
    layout = marked('clocking = "fixed"')
    assert may_size(layout, HOLE)
    assert not may_turn(layout, HOLE)
    assert why_not(layout, HOLE) == ""
    assert "clocking is fixed" in why_not(layout, HOLE, turned=True)


def test_a_fixed_shaft_fixes_its_arms():
    spindle = replace(LAYOUT.shafts["spindle"], fixed=True)
    layout = replace(LAYOUT, shafts={**LAYOUT.shafts, "spindle": spindle})
    assert not may_size(layout, HOLE)
    assert "shaft `spindle` is fixed" in why_not(layout, HOLE)
    assert may_size(layout, Hole(shaft="pedal", arm="rod"))


def test_a_fixed_rod_may_not_be_cut():
    assert may_cut(LAYOUT, "link")
    rod = replace(LAYOUT.rods["link"], length=0.43, fixed=True)
    assert not may_cut(replace(LAYOUT, rods={"link": rod}), "link")
