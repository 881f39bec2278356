"""Connectors: the rod's own measures, and a new kind made in this test alone."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, ClassVar

import numpy as np
import pytest

from linkage import connect
from linkage.connect import CamConnector, Drawn
from linkage.connect.line import dot
from linkage.model import Hole, Rod
from linkage.model.columns import column, is_column
from linkage.model.refs import Ref
from linkage.model.rows import row
from linkage.motion import assemble, dead_centres, frame, sweep, working_travel
from tests.build import hauler, hole
from tests.cabled import drum
from tests.unit.edits import edited

TRAVEL = np.linspace(0, 0.06, 13)


@dataclass(frozen=True, slots=True, kw_only=True)
class RigidLink:
    """Two shafts that turn together in a given ratio, as by gears."""

    name: str
    start: Hole
    end: Hole
    ratio: Any
    kind: ClassVar[str] = "link"
    key = ("links", "gears")
    called = "link `gears`"


class RigidLine:
    """How it lies: what it takes from the one shaft it gives to the other."""

    def __init__(self, link, driver, driven, ratio):
        self.link, self._ends, self._ratio = link, (driver, driven), ratio

    @cached_property
    def pulls(self):
        gap = self._ends[1].pin - self._ends[0].pin
        along = gap / np.sqrt(dot(gap, gap))
        return along, -along

    @cached_property
    def arms(self):
        one = self._ends[0].length + 0 * self.pulls[0][0]
        return {self.link.driver.shaft: one, self.link.driven.shaft: -one / self._ratio}


class RigidConnector:
    """The whole of a new connector: no other file of the package knows of it."""

    length = mass = stretch = 0.0
    push_limit = None
    carries = gives_by = 0
    spares = None
    ok = True
    drawn = Drawn(path="bar", ball=(False, False))

    def __init__(self, link, given, rest):
        self.link, self.given, self.rest = link, given, rest

    @classmethod
    def join(cls, _layout, link, turn, _way):
        return cls(link, link.rod.ratio, link.rod.ratio * turn)

    def refusal(self):
        return None

    def take(self, rows):
        some = (v[rows] if is_column(v) else v for v in (self.given, self.rest))
        return RigidConnector(self.link, *some)

    def close(self, one):
        turn = self.given * np.arctan2(one[1], one[0])
        return np.cos(turn), np.sin(turn), np.ones(np.shape(turn))

    def slack(self, _one, _two):
        return None

    def given(self, _one, _two):
        return None

    def ratio(self, one, _two):
        return self.given + 0 * one[0]

    def rates(self, one, two):
        return self.ratio(one, two), 0 * one[0]

    def by_arms(self, one, _two):
        return 0 * one[0], 0 * one[0]

    def by_length(self, one, _two):
        return 0 * one[0]

    def levers(self, one, _two):
        square = np.ones(np.shape(one[0]))
        return square, square

    def close_levers(self, one):
        return (*self.close(one), *self.levers(one, None))

    def line(self, driver, driven):
        return RigidLine(self.link, driver, driven, self.given)

    def short_by(self, turn):
        return 0.0 * turn


@pytest.fixture(autouse=True)
def known(monkeypatch):
    """Make the new kind known, as one line of `connect.KINDS` does."""
    monkeypatch.setitem(connect.KINDS, RigidLink, lambda _: RigidConnector)


def geared(ratio):
    """Return the hauler with a link of given ratio for its first rod."""
    layout = hauler()
    first = layout.rods["first"]
    link = RigidLink(name="first", start=first.start, end=first.end, ratio=ratio)
    return replace(layout, rods={**layout.rods, "first": link})


def test_a_new_connector_moves_through_assembly_and_sweep():
    layout = geared(-0.8)
    motion = sweep(assemble(layout), TRAVEL[:10])
    pedal = motion.pad_travel / layout.pad_radius
    assert motion.turns["cross shaft"] == pytest.approx(-0.8 * pedal, abs=1e-15)
    here = frame(motion)
    assert np.all(here.ratios["first"] == -0.8)
    assert here.first["cross shaft"] == pytest.approx(-0.8 / layout.pad_radius)
    assert not here.second["cross shaft"].any()
    assert np.abs(motion.turns["spindle"][-1]) > 0.3  # the rod goes on from there
    line = here.rod("first")
    one, two = (line.arms[h.shaft] for h in line.link.holes)
    assert here.ratios["first"] == pytest.approx(-one / two)


def test_a_new_connector_has_stops_and_no_dead_centre():
    layout = geared(-0.8)
    assembly = assemble(layout)
    working = working_travel(assembly)
    assert 0 < working.end <= layout.pedal.end
    found = dead_centres(assembly, working)
    assert found  # the rod that follows has its own
    assert {d.rod for d in found} == {"last"}


def test_rows_of_a_new_connector_are_those_of_single_layouts():
    many = geared(column([-0.6, -0.8, 0.7]))
    working = working_travel(assemble(many))
    for i in range(3):
        one = working_travel(assemble(row(many, i)))
        assert working.end[i, 0] == one.end
        assert working.stops[working.stopped[i, 0]] == one.stopped_by


def test_a_rod_weighs_and_buckles_by_its_own_length():
    end = hole("pedal.rod")
    bar = Rod(name="r", start=end, end=end, diameter=0.008, length=0.2)
    layout = hauler()
    bar = replace(bar, name="last", start=layout.rods["last"].start, end=layout.rods["last"].end)  # fmt: skip
    loop = assemble(replace(layout, rods={**layout.rods, "last": bar})).loop("last")
    assert loop.length == 0.2
    area, moment = math.pi / 4 * 0.008**2, math.pi / 64 * 0.008**4
    assert loop.mass == pytest.approx(7850 * area * 0.2)
    assert loop.push_limit == pytest.approx(math.pi**2 * 210e9 * moment / 0.2**2)
    assert assemble(layout).loop("last").push_limit is None


def test_a_rod_tells_how_it_is_drawn():
    layout = hauler()
    bar = replace(layout.rods["last"], joints=("clevis", "ball"))
    loop = assemble(replace(layout, rods={**layout.rods, "last": bar})).loop("last")
    assert loop.drawn == Drawn(path="bar", ball=(False, True))


def test_levers_are_the_sines_between_the_rod_and_its_arms():
    assembly = assemble(hauler())
    motion = sweep(assembly, TRAVEL)
    for loop in assembly.loops:
        one, two = (motion.pair(h.shaft) for h in loop.link.holes)
        line = frame(motion).rod(loop.link.rod.name)
        driver, driven = loop.levers(one, two)
        assert driver == pytest.approx(line.driver_side, abs=1e-13)
        assert driven == pytest.approx(line.driven_side, abs=1e-13)
        at_once = loop.close_levers(one)
        apart = (*loop.close(one), driver, driven)
        for ours, theirs in zip(at_once, apart, strict=True):
            assert ours == pytest.approx(theirs, abs=1e-13)


def test_by_length_is_what_a_longer_rod_gives():
    layout = hauler()
    cut = assemble(layout).loop("last").length
    turns = [
        sweep(assemble(layout.with_rod("last", cut + h)), TRAVEL).turns["spindle"]
        for h in (-1e-6, 1e-6)
    ]
    motion = sweep(assemble(layout.with_rod("last", cut)), TRAVEL)
    loop = motion.assembly.loop("last")
    by_length = loop.by_length(motion.pair("cross shaft"), motion.pair("spindle"))
    assert by_length == pytest.approx((turns[1] - turns[0]) / 2e-6, rel=1e-6)


def test_the_jam_of_a_rod_is_told_with_its_miss():
    layout = hauler(travel_mm=560, swing_deg=170)
    working = working_travel(assemble(layout))
    assert working.stopped_by == Ref("jam", working.jam.rod)
    assert working.jam.pad_travel == working.end


def test_no_connector_is_put_together_whose_driver_stands_nowhere():
    for layout in (hauler(), edited("cam-roller"), drum(), edited("slide-to-pump")):
        for link in layout.links:
            assert connect.join(layout, link, 0.0, 1).ok, link.rod.name
            assert not connect.join(layout, link, math.nan, 1).ok, link.rod.name


def test_no_cam_is_put_together_whose_shaft_stands_nowhere():
    layout = edited("cam-roller")
    (link,) = (link for link in layout.links if link.rod.kind == "cam")
    assert CamConnector.at_length(layout, link, 0.0).ok
    lost = CamConnector.at_length(layout, link, math.nan)
    assert not lost.ok
    assert math.isnan(lost.length)
    assert math.isnan(lost.rest)
