"""Moving parts to the other side: geometry worked out by hand, and refusals."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from linkage.config import load
from linkage.errors import UsageError
from linkage.model import Hole, Known, Spring, Stop, axis_from_vector
from linkage.motion import assemble
from linkage.rules.examine import examine
from linkage.search import check
from linkage.swap import beyond_shaft, last_body_shaft, plane_to, swap_sides
from linkage.swap.moves import at_radial, half_turn, mirror, moved_shaft, radial
from tests.build import arm, hauler, shaft

CONFIGS = Path(__file__).parents[2] / "configs"


def car(name: str):
    return load(CONFIGS / f"{name}.toml").layout


def degrees(layout, hole: str) -> float:
    name, _, of = hole.partition(".")
    return math.degrees(layout.shafts[name].arms[of].angle)


# By hand, from the views of ISO 8855 axes: seen from the right a mirror in a
# plane along the car changes nothing; seen from behind left and right change;
# seen from above too. Half a turn about upright changes forward and rearward
# seen from the right, left and right seen from behind, both seen from above.
@pytest.mark.parametrize(
    ("axis", "move", "angle", "sense", "offset"),
    [
        ("across", mirror(0.0), 30.0, 1, -20.0),
        ("along", mirror(0.0), 150.0, -1, 20.0),
        ("upright", mirror(0.0), -30.0, -1, 20.0),
        ("across", half_turn((0, 0, 0), (0, 0, 0)), 150.0, -1, -20.0),
        ("along", half_turn((0, 0, 0), (0, 0, 0)), 150.0, -1, -20.0),
        ("upright", half_turn((0, 0, 0), (0, 0, 0)), -150.0, 1, 20.0),
    ],
)
def test_what_the_viewer_sees_after_a_move(axis, move, angle, sense, offset):
    old = shaft("s", (10, 20, 30), axis, arm("a", 40, 30, 20))
    new, found = moved_shaft(old, move)
    assert new.axis == old.axis
    assert found == sense
    assert math.degrees(new.arms["a"].angle) == pytest.approx(angle, abs=1e-9)
    assert new.arms["a"].offset == pytest.approx(offset / 1e3, abs=1e-15)


def test_a_skew_shaft_keeps_the_nearer_viewer():
    old = shaft(
        "s", (10, 20, 30), axis_from_vector((-1, -0.5, 0.2)), arm("a", 40, 30, 20)
    )
    new, sense = moved_shaft(old, mirror(0.0))
    assert new.axis.vector == (-1, 0.5, 0.2)
    assert sense == -1


def test_the_last_shaft_on_the_body_stays():
    assert last_body_shaft(car("bulkhead-cross-shaft")) == "cross shaft"
    assert last_body_shaft(car("hanging-pedal")) == "pedal"
    # No engine named: the shaft that drives the spindle.
    assert last_body_shaft(hauler()) == "cross shaft"
    three = replace(car("bulkhead-cross-shaft"), engine=hauler().engine)
    assert last_body_shaft(three) == "bell crank"


def test_a_cross_shaft_becomes_longer_and_its_rod_stays_in_plane():
    before = car("scenario-before")
    swap = swap_sides(before)
    assert swap.beyond == "cross shaft"
    assert swap.moved == ("bell crank", "spindle")
    (slide,) = swap.slides
    assert str(slide.hole) == "cross shaft.outer"
    assert slide.by == pytest.approx(0.440, abs=1e-12)  # from y = 220 to y = -220 mm
    assert (
        swap.after.shafts["cross shaft"].arms["inner"]
        == before.shafts["cross shaft"].arms["inner"]
    )
    x = examine(swap.after)
    assert (
        max(x.lines["down"].driver_tilt.max(), x.lines["down"].driven_tilt.max()) < 1e-9
    )


def test_a_bell_crank_may_stay_too():
    swap = swap_sides(car("bulkhead-cross-shaft"), beyond="bell crank")
    assert swap.moved == ("spindle",)
    assert [str(s.hole) for s in swap.slides] == ["bell crank.out"]
    assert check(swap.after, cures=False).verdict != "do not fit"


def test_to_a_measured_place():
    before = car("bulkhead-cross-shaft")
    swap = swap_sides(before, plane=plane_to(before, -0.24))
    assert swap.after.shafts["spindle"].pivot == (0.33, -0.24, 0.158)
    assert swap.plane == pytest.approx(-0.13)


def test_anchors_go_along():
    before = car("bulkhead-cross-shaft")
    after = swap_sides(before).after
    assert after.springs["near"].anchor == (0.445, 0.006, 0.18)
    turned = swap_sides(before, carburettor="turned").after
    # 115 mm before the spindle on the engine: now 115 mm behind it.
    assert turned.springs["near"].anchor == pytest.approx((0.215, 0.006, 0.18))
    # The spindle's arms are 14 mm to the right of it and so the left now.
    assert turned.shafts["spindle"].pivot == (0.33, 0.02, 0.158)


def test_an_anchor_on_the_body_is_mirrored_when_the_carburettor_is_turned():
    before = car("bulkhead-cross-shaft")
    body = {n: replace(s, anchored_on="body") for n, s in before.springs.items()}
    after = swap_sides(replace(before, springs=body), carburettor="turned").after
    assert after.springs["near"].anchor == pytest.approx((0.445, 0.006, 0.18))


def test_a_spring_on_the_arm_that_slides_keeps_its_line():
    before = car("scenario-before")
    extra = Spring(
        name="pedal return",
        kind="extension",
        shaft="cross shaft",
        arm="outer",
        anchor=(0.2, 0.22, 0.3),
        known=Known(rate=500.0, free_length=0.05),
    )
    before = replace(before, springs={**before.springs, "pedal return": extra})
    after = swap_sides(before).after
    assert after.springs["pedal return"].anchor == pytest.approx((0.2, -0.22, 0.3))
    inner = replace(extra, arm="inner")
    before = replace(before, springs={**before.springs, "pedal return": inner})
    assert swap_sides(before).after.springs["pedal return"].anchor == (0.2, 0.22, 0.3)


def test_an_arm_that_carries_two_rods_stays_and_a_second_is_added():
    before = car("scenario-before")
    rod = before.rods["down"]
    shared = Hole(shaft="cross shaft", arm="inner")
    before = replace(before, rods={**before.rods, "down": replace(rod, start=shared)})
    swap = swap_sides(before)
    (slide,) = swap.slides
    assert slide.added_to == "inner"
    arms = swap.after.shafts["cross shaft"].arms
    assert arms["inner"] == before.shafts["cross shaft"].arms["inner"]
    assert arms["inner far"].length == arms["inner"].length
    assert swap.after.rods["up"].end == shared
    assert swap.after.rods["down"].start == Hole(shaft="cross shaft", arm="inner far")


def test_the_pads_own_arm_stays_under_the_foot():
    before = car("hanging-pedal")
    rod = replace(before.rods["link"], start=Hole(shaft="pedal", arm="pad"))
    before = replace(before, rods={"link": rod})
    swap = swap_sides(before, plane=0.05)
    assert swap.after.shafts["pedal"].arms["pad"] == before.shafts["pedal"].arms["pad"]
    assert swap.slides[0].added_to == "pad"


def test_a_given_rod_length_is_kept_only_between_the_same_places():
    before = car("bulkhead-cross-shaft")
    for loop in assemble(before).loops:
        before = before.with_rod(loop.link.rod.name, loop.length)
    mirrored = swap_sides(before)
    assert mirrored.recut == ()
    assert mirrored.after.rods["carb"].length == before.rods["carb"].length
    turned = swap_sides(before, carburettor="turned")
    assert turned.recut == ("carb",)
    assert turned.after.rods["carb"].length is None


def test_another_carburettor_opens_as_stated_and_hooks_stay():
    before = car("scenario-before")
    before = replace(
        before, stops={"full": Stop(name="full", shaft="spindle", turn=1.3)}
    )
    after = swap_sides(
        before, carburettor="replaced", opens=-1, lever_angle=math.radians(100)
    ).after
    assert after.main.opens == -1
    assert degrees(after, "spindle.lever") == pytest.approx(100, abs=1e-12)
    assert degrees(after, "spindle.spring") == pytest.approx(70, abs=1e-9)
    assert after.stops["full"].turn == -1.3
    as_it_was = swap_sides(before, carburettor="replaced", opens=1).after
    assert degrees(as_it_was, "spindle.lever") == pytest.approx(52, abs=1e-9)
    assert as_it_was.stops["full"].turn == 1.3


def test_a_spring_about_its_shaft_is_of_the_other_hand_when_turned():
    before = car("scenario-before")
    coil = Spring(
        name="coil",
        kind="torsion",
        shaft="spindle",
        known=Known(rate=0.2, preload=0.2, shuts=-1.0),
    )
    before = replace(before, springs={**before.springs, "coil": coil})
    assert swap_sides(before).after.springs["coil"].known.shuts == -1.0
    assert (
        swap_sides(before, carburettor="turned").after.springs["coil"].known.shuts
        == 1.0
    )


def test_twin_carburettors_are_replaced_as_a_pair():
    before = car("twin-side-draught")
    other = -before.main.opens
    swap = swap_sides(before, carburettor="replaced", opens=other)
    plates = [t for t in swap.after.throttles.values() if t.kind == "plate"]
    assert {t.opens for t in plates} == {other}


def test_the_lever_of_a_pair_stands_as_stated_and_its_twin_turns_as_far():
    twin = car("twin-side-draught")
    was = twin.shafts["rear spindle"].arms["lever"].angle
    before = twin.with_arm("rear spindle.lever", angle=was + math.radians(3))
    how = {"carburettor": "replaced", "opens": twin.main.opens}
    plain = swap_sides(before, **how).after
    after = swap_sides(before, **how, lever_angle=math.radians(40)).after
    assert degrees(after, "front spindle.lever") == pytest.approx(40, abs=1e-12)
    apart = [
        degrees(x, "rear spindle.lever") - degrees(x, "front spindle.lever")
        for x in (plain, after)
    ]
    assert math.remainder(apart[1] - apart[0], 360) == pytest.approx(0, abs=1e-9)
    assert abs(math.remainder(apart[1], 360)) == pytest.approx(3, abs=1e-9)


def test_two_rods_of_one_arm_slide_with_it_together():
    """They lie in one plane, so that the arm slides once and no second is made."""
    one = hauler()
    spindle, last = one.shafts["spindle"], one.rods["last"]
    second = replace(spindle, name="second", pivot=(0.164, -0.1, 0.12))
    before = replace(
        one,
        shafts={**one.shafts, "second": second},
        rods={**one.rods, "twin": replace(last, name="twin", end=Hole(shaft="second", arm="lever"))},
    )  # fmt: skip
    swap = swap_sides(before)
    outer = Hole(shaft="cross shaft", arm="outer")
    (slide,) = swap.slides
    assert (slide.hole, slide.added_to) == (outer, "")
    assert {swap.after.rods[n].start for n in ("last", "twin")} == {outer}
    assert slide.by == pytest.approx(-0.2)
    arms = swap.after.shafts["cross shaft"].arms
    assert arms["outer"].offset == pytest.approx(0.2 + slide.by)
    assert set(arms) == {"inner", "outer"}


def test_points_turn_about_a_shaft():
    one = shaft("s", (0, 0, 0), "across", arm("a", 40, 0))
    assert radial(one, (0.03, 0.01, 0.04)) == pytest.approx((0.05, math.atan2(4, 3)))
    assert at_radial(one, (0.03, 0.01, 0.04), 0.0) == pytest.approx((0.05, 0.01, 0.0))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"beyond": "cross shft"}, "there is no shaft `cross shft`"),
        ({"beyond": "spindle"}, "nothing would move"),
        ({"plane": -0.02}, "leaves nothing to move"),
        ({"carburettor": "replaced"}, "needs the way it opens"),
        ({"opens": 1}, "cannot be told how"),
        ({"carburettor": "turned", "lever_angle": 1.0}, "cannot be told how"),
        ({"carburettor": "bent"}, "cannot be `bent`"),
    ],
)
def test_refusals(change, words):
    with pytest.raises(UsageError) as error:
        swap_sides(car("bulkhead-cross-shaft"), **change)
    assert words in error.value.message
    assert error.value.hint


def test_a_shaft_with_no_carburettor_beyond_it_is_refused():
    # The cross shaft leads on; a kickdown's own lever is the end of a branch.
    before = car("twin-side-draught")
    leads = {link.driver.shaft for link in before.path_to(before.main.shaft)}
    ends = [n for n in before.shafts if n not in leads]
    with pytest.raises(UsageError, match="no carburettor is driven beyond"):
        beyond_shaft(before, ends[-1])


def test_second_arms_of_a_shaft_have_names_of_their_own():
    """Two rods from one arm that a third drives: each gets an arm, none twice named."""
    before = car("scenario-before")
    cross = before.shafts["cross shaft"]
    taken = replace(cross.arms["inner"], name="inner far", angle=1.0)
    cross = replace(cross, arms={**cross.arms, "inner far": taken})
    shared = Hole(shaft="cross shaft", arm="inner")
    rod = before.rods["down"]
    # The file may name a rod's holes in either order.
    turned = replace(rod, start=rod.end, end=shared)
    before = replace(
        before,
        shafts={**before.shafts, "cross shaft": cross},
        rods={**before.rods, "down": turned},
    )
    swap = swap_sides(before)
    (slide,) = swap.slides
    assert (slide.added_to, slide.hole.arm) == ("inner", "inner far too")
    after = swap.after
    assert after.rods["down"].end == slide.hole
    assert after.rods["down"].start == turned.start
    assert after.shafts["cross shaft"].arms["inner far"] == taken
    # In plane as before: the rod leans along the shaft as it leaned, mirrored.
    was, now = (
        np.subtract(
            layout.shafts["cross shaft"].pin(layout.rods["down"].end.arm),
            layout.shafts[rod.end.shaft].pin(rod.end.arm),
        )
        for layout in (before, after)
    )
    assert now[1] == pytest.approx(-was[1], abs=1e-9)
