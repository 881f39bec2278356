"""Usual sizes: what is outside is asked about, what is inside is not."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage import config
from linkage.model import Hole, Rod
from linkage.model.paths import applied
from linkage.model.usual import USUAL
from linkage.slips import questions
from linkage.slips.questions import sag
from tests.slips.cases import sound
from tests.unit.edits import edited

#: A number of each size: where it is, and a value far outside.
ARM = ("shafts", "spindle", "arms", "lever")
PLACES = {
    "arm": ((*ARM, "length"), 0.4),
    "pad travel": (("pedal", "travel"), 0.2),
    "pedal turn": (("shafts", "pedal", "arms", "pad", "length"), 0.05),
    "rod": (("rods", "carb", "length"), 1.6),
    "swing": (("throttles", "throttle", "swing"), math.radians(50)),
    "closed angle": (("throttles", "throttle", "closed_angle"), math.radians(25)),
    "bore": (("throttles", "throttle", "bore"), 0.38),
    "spindle": (("throttles", "throttle", "spindle"), 0.016),
    "bearing": (("shafts", "spindle", "bearing"), 0.08),
    "slot": (("rods", "carb", "slot"), 0.08),
    "lost": (("rods", "carb", "lost"), 0.08),
    "slack": (("rods", "main", "lost"), 0.03),
    "wire length": (("rods", "main", "length"), 7.0),
    "wire": (("rods", "main", "wire"), 0.015),
    "backlash": (("rods", "main", "play"), 0.02),
    "over-travel": (("rods", "carb", "over_travel"), 0.12),
    "over-travel load": (("rods", "carb", "over_travel_load"), 600.0),
    "rod diameter": (("rods", "carb", "diameter"), 0.06),
    "offset": ((*ARM, "offset"), -1.6),
    "place": (("shafts", "spindle", "pivot", 1), -5.0),
    "play": (("rods", "carb", "play"), 0.006),
    "bush": (("shafts", "spindle", "play"), 0.005),
    "free play": (("pedal", "free_play"), 0.03),
    "free length": (("springs", "near", "known", "free_length"), 0.82),
    "spring rate": (("springs", "near", "known", "rate"), 45e3),
    "roll": (("engine", "roll"), math.radians(15)),
    "lift": (("engine", "lift"), 0.2),
}


@pytest.fixture
def layout():
    return config.loads(sound("orchard")).layout


def able(layout, size):
    """Return a layout that can have a size: only a one-way rod loses a way so long."""
    one_way = {("rods", "carb", "only"): "pull"}
    gives = {("over_travel", 0.012), ("over_travel_load", 60.0)}
    sprung = {("rods", "carb", key): value for key, value in gives}
    sprung["rods", "carb", "over_travel_rate"] = 2e3
    if size.startswith("over-travel"):
        return applied(layout, sprung)
    if size in {"slack", "wire"}:
        return edited("cable-drum")
    if size == "wire length":
        cable = edited("cable-drum").rods["main"]
        bare = replace(cable, lost=0.0, sheath_length=0.0, length=0.2)
        return replace(edited("cable-drum"), rods={"main": bare})
    if size == "backlash":
        return edited("push-pull-cable")
    return applied(layout, one_way) if size == "lost" else layout


def test_every_size_is_asked_of_some_number():
    assert set(PLACES) == set(USUAL)


@pytest.mark.parametrize("size", USUAL)
def test_a_size_outside_is_asked_about(layout, size):
    path, far = PLACES[size]
    layout = able(layout, size)
    (asked,) = questions(applied(layout, {path: far}))
    assert asked.row is USUAL[size]
    assert asked.text.startswith("is that right? ")
    assert USUAL[size].range in asked.text


@pytest.mark.parametrize("size", USUAL)
def test_a_size_at_the_end_of_its_range_is_not(layout, size):
    path, _ = PLACES[size]
    layout = able(layout, size)
    if size == "pedal turn":
        pad = layout.pedal.end / USUAL[size].high
        at, over = applied(layout, {path: pad}), applied(layout, {path: 0.99 * pad})
    else:
        high = USUAL[size].high
        at, over = applied(layout, {path: high}), applied(layout, {path: 1.001 * high})
    assert questions(at) == ()
    assert [q.row for q in questions(over)] == [USUAL[size]]


def test_a_question_changes_no_verdict(layout):
    from linkage.search import check

    thick = applied(layout, {("shafts", "spindle", "bearing"): 0.05})
    assert questions(thick)
    assert check(thick, cures=False).verdict != "do not fit"


def test_a_long_rod_is_told_with_its_sag(layout):
    asked = questions(layout, {"carb": 1.6})[0]
    assert "sags" in asked.text
    assert asked.value == 1.6


def test_sag_against_the_beam_equation_solved_by_differences():
    """E I y'''' = w with y = y'' = 0 at both ends, a tube of 10 mm and 7 mm."""
    hole = Hole(shaft="pedal", arm="rod")
    rod = Rod(name="carb", start=hole, end=hole, diameter=10e-3, bore=7e-3)
    length, n = 1.7, 400
    area = math.pi / 4 * (10e-3**2 - 7e-3**2)
    moment = math.pi / 64 * (10e-3**4 - 7e-3**4)
    step = length / n
    second = np.diag(np.full(n - 1, -2.0))
    second += np.diag(np.ones(n - 2), 1) + np.diag(np.ones(n - 2), -1)
    second /= step**2
    load = np.full(n - 1, 7850 * 9.80665 * area)
    bent = np.linalg.solve(second, np.linalg.solve(second, load)) / (210e9 * moment)
    assert sag(rod, length) == pytest.approx(bent.max(), rel=1e-4)


def test_a_thin_rod_sags_more(layout):
    rod = layout.rods["carb"]
    assert sag(replace(rod, diameter=5e-3), 1.0) > sag(replace(rod, diameter=8e-3), 1.0)
