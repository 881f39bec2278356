"""Comparing two layouts: which part is which, numbers side by side, refusals."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.comparison import compare, match
from linkage.comparison.renamed import renamed
from linkage.errors import AssemblyError, LayoutError
from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.report.compare import compare_lines, verdict_text
from tests.unit.compared import (
    car,
    named,
    other_carburettor,
    turned_arm,
)

BEFORE = car("scenario-before")
CRANE = car("crank-right-hand")
LEVER = Ref("arm", "spindle", "lever")


def words(c) -> str:
    return " ".join(" ".join(compare_lines(c)).split())


def test_a_layout_and_itself():
    c = compare(BEFORE, BEFORE)
    assert c.turned.turns == ()
    assert c.changes == c.trials == c.tried == ()
    assert c.fits
    assert not any(w.turned for w in (*c.shafts, *c.rods, *c.springs, *c.throttles))
    assert "Nothing turned round" in words(c)


def test_other_names_are_matched_by_place_and_told():
    new = named(BEFORE, {"cross shaft": "relay", "spindle": "throttle shaft"})
    found = match(BEFORE, new)
    assert found.names("shaft")["cross shaft"] == "relay"
    assert found.arms()[Hole(shaft="spindle", arm="lever")] == Hole(
        shaft="throttle shaft", arm="lever"
    )
    assert found.only_old == found.only_new == ()
    told = words(compare(BEFORE, new))
    assert "Matched by place: `cross shaft` is now `relay`" in told
    assert "Nothing turned round" in told


def test_names_that_changed_places_are_told_by_place():
    """A name that another part of the new layout has is no reason to mix them up."""
    new = named(BEFORE, {"pedal": "treadle"})
    assert match(BEFORE, new).names("shaft")["pedal"] == "treadle"
    assert renamed(BEFORE, match(BEFORE, new)).pedal.shaft == "treadle"


def test_parts_that_only_one_has_are_told():
    c = compare(car("hanging-pedal"), car("bulkhead-cross-shaft"))
    assert {r.name for r in c.matching.only_new} >= {"cross shaft", "bell crank", "up"}
    told = words(c)
    assert "Only in the new linkage: `cross shaft`, `bell crank`, rod `up`" in told
    assert "`link` is now rod `carb`" in told
    back = words(compare(car("bulkhead-cross-shaft"), car("hanging-pedal")))
    assert "Only in the old linkage: `cross shaft`, `bell crank`" in back


def test_a_new_shaft_between_that_turns_the_sense_round():
    """What lies between two matched shafts is named together, the new one by name."""
    new = other_carburettor(car("bulkhead-cross-shaft"))
    c = compare(car("hanging-pedal"), new)
    assert c.turned.first.parts == (Ref("throttle", "throttle"),)
    new = turned_arm(car("bulkhead-cross-shaft"), "bell crank.out", -112)
    c = compare(car("hanging-pedal"), new)
    parts = c.turned.first.parts
    assert Ref("arm", "bell crank", "out") in parts
    assert "where `cross shaft` and `bell crank` are new" in verdict_text(c)
    c = compare(car("twin-side-draught"), car("fault-wrong-sense"))
    assert "where `bell crank` is new" in verdict_text(c)


def test_a_spindle_that_lies_another_way_cannot_be_told_by_its_turn():
    c = compare(car("hanging-pedal"), car("twin-side-draught"))
    way = next(w for w in c.shafts if w.about.name == "front spindle")
    assert way.turned is None
    assert way.seen == ("the right", "behind")
    assert c.turned.turns == ()


def test_what_cannot_be_put_together_is_refused():
    short = BEFORE.with_rod("carb", 0.05)
    for pair in ((BEFORE, short), (short, BEFORE)):
        with pytest.raises(AssemblyError):
            compare(*pair)


def test_nothing_is_said_of_a_fault_that_was_so_before():
    bad = car("fault-one-spring-only")
    c = compare(bad, bad)
    assert not c.fits
    assert c.tried == ()


def test_rows_of_many_are_refused():
    rows = BEFORE.with_arm("spindle.lever", length=[0.03, 0.032])
    for pair in ((BEFORE, rows), (rows, BEFORE)):
        with pytest.raises(LayoutError, match="one layout with one"):
            compare(*pair)


def test_numbers_side_by_side():
    c = compare(BEFORE, car("scenario-cured"))
    for side in (c.old, c.new):
        low, high = side.pad_force
        assert 10 < low < high < 60
        assert side.curve.full_at == pytest.approx(side.examined.working.end, abs=3e-3)
        assert np.degrees(side.least_angle) > 45
        assert side.dead_centre[0] > math.radians(15)
    assert compare(BEFORE, other_carburettor(BEFORE)).new.pad_force is None
    bare = replace(BEFORE, springs={})
    assert compare(bare, bare).new.pad_force is None


def test_said_of_each_in_one_line():
    c = compare(CRANE, car("crank-wrong-hand"))
    things = (
        c,
        c.old,
        c.matching,
        c.turned,
        *c.trials,
        *c.tried,
        *c.shafts,
        *c.changes,
    )
    for thing in things:
        assert len(repr(thing)) <= 200
        assert "\n" not in repr(thing)
