"""Rules about gaps: what rubs is told, and beside it the sound twin is not."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.gaps import found as worked_out
from linkage.gaps.short import short_gaps
from linkage.model import Obstacle, axis_from_vector, row, stack
from linkage.model.refs import Ref
from linkage.motion import frame
from linkage.rules import examine, judge
from linkage.rules.states import states
from linkage.search import check
from tests.unit.compared import car
from tests.unit.edits import TRUCK, edited, lever
from tests.unit.ruled import alone, found_in

CODES = ("touched-at-rest", "gap", "own-gap", "engine-gap")


def near(layout, *obstacles):
    """Return a layout with some obstacles."""
    return replace(layout, obstacles={o.name: o for o in obstacles})


def ball(x, y, z, diameter, **more):
    point = ((x / 1e3, y / 1e3, z / 1e3),)
    return Obstacle(
        name="ball", shape="sphere", points=point, diameter=diameter / 1e3, **more
    )


def told(layout, *codes):
    wanted = codes or CODES
    return {
        f.code: f for f in found_in(layout) if f.code in wanted and f.verdict != "fits"
    }


def by_hand(x, point, radius):
    """Return the gap of the truck's rod to a sphere, position by position, densely."""
    rod = x.layout.rods["link"]
    one, two = (frame(x.motion).pin(hole).T for hole in (rod.start, rod.end))
    shares = np.linspace(0, 1, 4001)[:, None, None]
    away = one + shares * (two - one) - np.array(point)
    return np.sqrt((away**2).sum(axis=2)).min(axis=0) - radius - rod.diameter / 2


def test_the_gap_is_that_of_dense_looking_with_its_place():
    layout = near(edited(TRUCK), ball(250, -20, 150, 50))
    x = examine(layout)
    want = by_hand(x, (0.25, -0.02, 0.15), 0.025)
    (found,) = (f for f in alone(x, "gap") if f.about == Ref("rod", "link"))
    assert found.value == pytest.approx(want.min(), abs=1e-7)
    assert found.outcome.at == pytest.approx(x.motion.pad_travel[want.argmin()])
    assert found.verdict == "do not fit"  # 12 mm across from the body to the engine
    assert "as the engine rocks" in found.text
    wide = near(edited(TRUCK), ball(250, -20, 157, 50))
    assert not told(wide, "gap", "touched-at-rest")


@pytest.mark.parametrize(
    ("more", "limit", "why"),
    [
        ({"on": "engine"}, 0.012, "as the engine rocks"),  # the rod's other end is not
        ({"kind": "exhaust"}, 0.050, "for the heat"),
        ({"kind": "moving"}, 0.012, "as the engine rocks"),
        ({"gap": 0.03}, 0.03, "by the file"),
    ],
)
def test_the_limit_is_that_of_its_kind(more, limit, why):
    layout = near(edited(TRUCK), ball(250, -20, 130, 20, **more))
    (found,) = (f for f in alone(examine(layout), "gap") if f.about.kind == "rod")
    assert found.limit == limit
    assert why in found.text


def test_what_is_held_alike_is_asked_5_mm():
    layout = near(edited(TRUCK), ball(480, -18, 125, 20, on="engine"))
    (found,) = (f for f in alone(examine(layout), "gap") if f.about.name == "near")
    assert found.limit == 0.005


def test_what_is_touched_at_rest_is_told_and_nothing_else_of_it():
    layout = near(edited(TRUCK), ball(250, -20, 112, 20))
    found = told(layout)
    assert found["touched-at-rest"].about == Ref("rod", "link")
    assert "with the pedal up" in found["touched-at-rest"].text
    assert "gap" not in found
    assert found["touched-at-rest"].cure is not None


def test_what_is_met_on_the_way_is_told_from_where():
    layout = car("fault-rod-rubs")
    found = told(layout)
    assert {"gap", "engine-gap"} == set(found)
    assert found["gap"].value < 0 < found["gap"].outcome.at
    assert found["gap"].clause == "rod `link` runs into `ignition coil`"
    plan = check(layout).plan
    assert plan is not None
    assert not told(plan.layout)


def test_a_moved_engine_alone_may_bring_a_part_too_near():
    still = near(edited(TRUCK), ball(430, 14, 115, 20))
    tall = replace(still, engine=replace(still.engine, roll=math.radians(3)))
    assert "engine-gap" not in told(still)
    found = told(tall, "engine-gap")["engine-gap"]
    assert "rolled 3.0°" in found.text
    x = examine(tall)
    moved = states(x)
    least = {}
    for i, roll in enumerate(moved.roll[:, 0]):
        one = examine(row(moved.assembly.layout, i))
        gaps = [f.value for f in alone(one, "gap") if f.about == found.about]
        least[roll] = min(gaps)
    assert found.value == pytest.approx(min(least.values()), abs=2e-4)


def test_an_obstacle_on_the_engine_goes_with_it():
    layout = near(edited(TRUCK), ball(430, -30, 200, 100, on="engine"))
    moved = states(examine(layout))
    points = moved.assembly.layout.obstacles["ball"].points[0]
    middle = np.hstack([np.broadcast_to(c, (2, 1)) for c in points])
    about = np.array(layout.engine.about)
    was = np.array([0.43, -0.03, 0.2]) - about
    assert np.linalg.norm(middle - about, axis=1) == pytest.approx(np.linalg.norm(was))
    assert np.abs(middle - about - was).max() > 0.005


def test_a_rod_through_a_hole_and_through_the_sheet():
    plane = Obstacle(
        name="wall",
        shape="plane",
        points=((0.1, 0.0, 0.0),),
        axis=axis_from_vector((1, 0, 0)),
        holes=(((0.1, -0.008, 0.109), 0.06),),
    )
    assert not told(near(edited(TRUCK), plane), "gap", "touched-at-rest")
    solid = replace(plane, holes=())
    found = told(near(edited(TRUCK), solid))
    assert found["touched-at-rest"].about == Ref("rod", "link")
    small = replace(plane, holes=(((0.1, -0.008, 0.109), 0.02),))
    assert "gap" in told(near(edited(TRUCK), small))


def test_a_box_with_a_rolled_engine_is_rolled():
    corners = ((0.4, -0.1, 0.15), (0.5, 0.05, 0.25))
    box = Obstacle(name="box", shape="box", on="engine", points=corners)
    moved = states(examine(near(edited(TRUCK), box))).assembly.layout.obstacles["box"]
    for size, want in zip(moved.half, (0.05, 0.075, 0.05), strict=True):
        assert np.ravel(size) == pytest.approx(want)


def test_its_own_parts_that_cross_are_told_and_their_twin_apart_is_not():
    crossed = edited(
        TRUCK, ("anchor          = [545, -66, 105]", "anchor = [545, -8, 105]")
    )
    crossed = crossed.with_arm("spindle.spring", offset=-0.012)
    assert not told(crossed, "own-gap", "touched-at-rest")  # no obstacle is named
    assert not short_gaps(examine(crossed).motion)  # nor is it marked on a picture
    far = ball(-900, 0, -900, 20)
    assert short_gaps(examine(near(crossed, far)).motion)
    found = told(near(crossed, far), "own-gap", "touched-at-rest")
    assert found
    (one,) = found.values()
    assert {one.about.name, one.part[0].name} == {"near", "far"}
    assert not told(near(edited(TRUCK), far), "own-gap", "touched-at-rest")
    look = edited(TRUCK).with_arm("spindle.spring", offset=0.0)
    assert told(near(look, far), "own-gap")["own-gap"].verdict == "look"


def test_no_gap_is_worked_out_where_no_obstacle_is_named(monkeypatch):
    asked = []
    for name in ("moving_parts", "shaft_bars"):
        real = getattr(worked_out, name)
        monkeypatch.setattr(
            worked_out, name, lambda *a, real=real: (asked.append(1), real(*a))[1]
        )
    check(edited(TRUCK), cures=False)
    assert not asked
    check(near(edited(TRUCK), ball(-900, 0, -900, 20)), cures=False)
    assert asked


def test_what_is_joined_is_not_told_as_rubbing():
    for name in ("hanging-pedal", "twin-side-draught", "push-pull-cable", "cable-drum"):
        assert not told(car(name)), name


def test_rows_are_judged_as_each_alone():
    some = [
        near(edited(TRUCK, lever(offset=offset)), ball(250, -20, z, 50))
        for offset, z in ((10, 150), (12, 160), (2, 112))
    ]
    judged = judge(examine(stack(some)))
    for i, layout in enumerate(some):
        alone_ = judge(examine(layout))
        mine = [(f.place, f.text) for f in judged.findings(i) if f.code in CODES]
        assert mine == [(f.place, f.text) for f in alone_.findings() if f.code in CODES]


def test_marks_stand_where_the_gap_is_least():
    layout = near(edited(TRUCK), ball(250, -20, 150, 50))
    x = examine(layout)
    (mark,) = (m for m in short_gaps(x.motion) if m.part == Ref("rod", "link"))
    apart = np.linalg.norm(mark.mark.there - mark.mark.here)
    assert apart == pytest.approx(mark.mark.gap, abs=1e-9)
    centre = np.array([0.25, -0.02, 0.15])
    assert np.linalg.norm(mark.mark.there - centre) == pytest.approx(0.025, abs=1e-9)


def test_a_place_that_is_no_number_never_fits():
    layout = near(edited(TRUCK), ball(250, -20, 300, 50))
    x = examine(layout)
    gap = x.gaps.to["ball"]
    gap[:] = math.nan
    assert all(
        f.verdict == "do not fit" for f in judge(x).findings() if f.code == "gap"
    )
