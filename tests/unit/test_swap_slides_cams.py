"""Slides and cams on the other side: what goes across, what is told, and its cures."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from linkage import load
from linkage.model import Hole
from linkage.report.swap import swap_data, swap_lines
from linkage.search import check
from linkage.search.fixed import may_be_parted
from linkage.search.rods import chain
from linkage.search.spans import ANYWHERE, KEPT, Vary, sized
from linkage.swap import solve, swap_sides
from linkage.swap.kept import held
from linkage.swap.slides import bearings_across, lies_across

CONFIGS = Path(__file__).parents[2] / "configs"


@pytest.fixture(scope="module")
def tractor():
    return load(CONFIGS / "slide-to-pump.toml").layout


@pytest.fixture(scope="module")
def trolley():
    return load(CONFIGS / "cam-roller.toml").layout


@pytest.fixture(scope="module")
def along(trolley):
    """Return the trolley with cam and roller on shafts along it, seen from behind."""
    from linkage.model import NAMED

    axis = NAMED["along"]
    cross = replace(trolley.shafts["cross"], axis=axis, pivot=(-0.64, 0.18, 0.06))
    spindle = replace(trolley.shafts["spindle"], axis=axis, pivot=(-0.64, 0.12, 0.06))
    return trolley.with_shaft(cross).with_shaft(spindle)


def said(solution):
    return " ".join(" ".join(swap_lines(solution)).split())


def test_a_slide_goes_across_with_its_carburettor(tractor):
    """Its guide and pins are mirrored; the bar goes to the same end of it as before."""
    swap = swap_sides(tractor, plane=0.1)
    assert swap.moved == ("bar", "pump")
    one, two = (x.shafts["bar"] for x in (swap.before, swap.after))
    for here, there in zip(one.guide, two.guide, strict=True):
        assert there == pytest.approx((here[0], 0.2 - here[1], here[2]))
    assert swap.after.shafts["bar"].guide[0][1] == pytest.approx(0.2)
    # The pedal's arm slides along, so that its rod stays in plane.
    assert [(str(s.hole), s.by) for s in swap.slides] == [
        ("pedal.rod", pytest.approx(-0.2))
    ]
    solution = solve(swap)
    assert solution.fits_as_it_is
    assert solution.outcome.verdict == check(tractor, cures=False).verdict
    text = said(solution)
    assert (
        "bar goes from y = 0.0 mm to y = 200.0 mm: pedal down it goes toward the first "
        "end of its guide, as before"
    ) in text
    facts = {f["part"]: f for f in swap_data(solution)["facts"] if f["kind"] == "shaft"}
    assert facts["bar"]["after"] == "toward the first end of its guide"
    assert facts["pump"]["after"] == "anticlockwise"


def test_a_slide_that_stays_moves_no_pin_along_its_way(tractor):
    swap = swap_sides(tractor, beyond="bar", plane=0.1)
    assert swap.moved == ("pump",)
    assert swap.slides == ()
    assert swap.after.shafts["bar"] == tractor.shafts["bar"]
    text = said(solve(swap))
    assert (
        "bar stays as it is: pedal down it goes toward the first end of its guide, before"
    ) in text
    assert "leans 37.1°" in text


def test_a_slide_across_the_vehicle_is_no_shaft_across_it(tractor):
    """Along y as it may lie, its pins are not slid as arms of a shaft are; nor is it taken."""
    bar = tractor.shafts["bar"]
    assert not lies_across(bar)
    assert lies_across(tractor.shafts["pump"])
    assert bearings_across(tractor, "bar", 0.1) is None
    assert bearings_across(tractor, "pump", 0.1) is None


def test_a_turned_carburettor_behind_a_slide_has_its_cures(tractor):
    """Solved as whole layouts and fit; what no cure can do to a slide is said."""
    solution = solve(swap_sides(tractor, plane=0.1, carburettor="turned"))
    assert not solution.fits_as_it_is
    fitting = {c.name: c for c in solution.cures if c.fits}
    assert {"arm-on-the-other-side", "crossed-pull-rod", "lever-hanging"} <= set(
        fitting
    )
    for cure in fitting.values():
        assert check(cure.layout, cures=False).verdict != "do not fit"
        bar = cure.layout.shafts["bar"]
        assert bar.points == solution.swap.after.shafts["bar"].points
        assert bar.guide == solution.swap.after.shafts["bar"].guide
    failing = {c.name: c.reason for c in solution.cures if not c.fits}
    assert "slide `bar` is no bell crank" in failing["bell-crank-of-the-other-hand"]
    assert "may not be parted: fixed, or on a slide" in failing["reversing-lever"]


def test_no_lever_is_put_into_a_rod_on_a_slide(tractor, trolley):
    assert not may_be_parted(tractor, "front")
    assert not may_be_parted(trolley, "main")
    assert may_be_parted(trolley, "first")


def test_a_way_to_a_slide_is_solved_with_the_shaft_behind_it(tractor):
    """A slide has no throttle: it stands on the next shaft that turns."""
    cut = chain(tractor, "bar")
    assert list(cut.shafts) == ["pedal", "pump", "bar"]
    assert {t.shaft for t in cut.throttles.values()} == {"pump"}


def test_a_cam_seen_from_the_same_side_stays_as_it_is(trolley):
    """Across the vehicle a mirror changes no side view: the very same cam."""
    swap = swap_sides(trolley)
    assert swap.cams == ()
    assert swap.after.rods["main"] == trolley.rods["main"]
    solution = solve(swap)
    assert solution.outcome.verdict == "fits"
    assert "Cams of the other hand" not in said(solution)


def test_a_cam_along_the_vehicle_is_turned_over(along):
    swap = swap_sides(along)
    assert swap.cams == ("main",)
    assert swap.after.rods["main"].goes == -along.rods["main"].goes
    solution = solve(swap)
    assert solution.brings_nothing
    text = said(solution)
    assert (
        "the profile of cam `main` goes round clockwise, it was anticlockwise, seen from "
        "behind. A flat cam is the same plate turned over"
    ) in text
    assert swap_data(solution)["cams"] == ["main"]
    before, after = (check(x, cures=False).examined for x in (along, swap.after))
    np.testing.assert_allclose(
        after.motion.opening("throttle"), before.motion.opening("throttle"), atol=1e-9
    )


def test_a_cam_left_as_it_was_runs_off(along):
    """The twin: of the old hand its roller runs off its end, and the plate stands open."""
    swap = swap_sides(along)
    left = replace(swap.after, rods={**swap.after.rods, "main": along.rods["main"]})
    assert check(swap.after, cures=False).examined.throttle_share == pytest.approx(1.0)
    found = check(left, cures=False)
    assert {"reach", "idle"} <= {f.code for f in found.reasons}


def test_a_cure_makes_no_other_cam(trolley):
    """Arms of cam and roller are turned on their shafts, never made longer."""
    layout = trolley
    path = layout.path_to("spindle")
    more = Vary(driver=sized(ANYWHERE), driven=sized(ANYWHERE))
    first, cam = held(layout, path, (more, more))
    assert (first.driver, first.driven) == (sized(ANYWHERE), sized(ANYWHERE))
    assert cam.driver == cam.driven == ANYWHERE
    fixed = layout.with_arm("spindle.roller", angle=math.radians(119.5))
    shaft = fixed.shafts["spindle"]
    arm = replace(shaft.arms["roller"], fixed=True)
    fixed = fixed.with_shaft(shaft.with_arm(arm))
    assert held(fixed, fixed.path_to("spindle"), (more, more))[1].driven == KEPT
    solution = solve(swap_sides(layout, carburettor="turned"))
    for cure in solution.cures:
        if cure.layout is not None:
            for hole in (
                Hole(shaft="cross", arm="cam"),
                Hole(shaft="spindle", arm="roller"),
            ):
                now, was = (
                    x.shafts[hole.shaft].arms[hole.arm].length
                    for x in (cure.layout, layout)
                )
                assert now == pytest.approx(was, abs=1e-9)
