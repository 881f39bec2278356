"""The carburettor on the other side, of layouts that are seldom met."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linkage.model import Hole
from linkage.model.columns import column
from linkage.model.refs import Ref
from linkage.model.rows import row
from linkage.motion import assemble, frame, sweep
from linkage.rules.examine import examine
from linkage.swap import changes, last_body_shaft, recipes, reversing, swap_sides
from linkage.swap.branches import alongside, opened
from linkage.swap.ground import ground
from linkage.swap.judging import Candidates
from linkage.swap.recipes import lever_over
from linkage.swap.reversing import _unused
from linkage.swap.seats import seats
from linkage.swap.slides import _beside, bearings_across
from tests.sprung import torsion_spring
from tests.unit.compared import car, turned_arm
from tests.unit.test_swap_across import jack, lever_ground

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


# --- other throttles on the shafts that a cure changes -----------------------------------

TWIN = car("twin-side-draught")
SET = {"jack shaft.front": {"length": 0.08}, "front spindle.lever": {"angle": 1.0}}


def arms(layout) -> dict[str, tuple[float, float]]:
    return {
        f"{n}.{a}": (float(np.ravel(b.length)[0]), float(np.ravel(b.angle)[0]))
        for n, s in layout.shafts.items()
        for a, b in s.arms.items()
    }


def set_alike(before) -> dict[str, tuple[float, float]]:
    """Return the arms that are set with those of the main throttle's rod."""
    swap = swap_sides(
        before, beyond="jack shaft", carburettor="replaced", opens=before.main.opens
    )
    g = ground(swap, examine(before))
    layout = g.layout
    for hole, how in SET.items():
        layout = layout.with_arm(hole, **how)
    was, now = arms(layout), arms(alongside(g, layout))
    return {n: now[n] for n in now if now[n] != was[n]}


def held(layout, *names: str):
    """Return a layout with some arms, or whole shafts, that may not be touched."""
    shafts = {
        n: replace(
            s,
            fixed=n in names,
            arms={a: replace(b, fixed=f"{n}.{a}" in names) for a, b in s.arms.items()},
        )
        for n, s in layout.shafts.items()
    }
    return replace(layout, shafts=shafts)


def test_a_second_plate_on_the_same_shaft_is_set_alike():
    found = set_alike(TWIN)
    assert found == {
        "jack shaft.rear": pytest.approx((0.08, TWIN.shafts["jack shaft"].arms["rear"].angle)),
        "rear spindle.lever": pytest.approx((0.033, 1.0)),
    }  # fmt: skip


def test_what_is_fixed_or_shared_with_the_main_rod_is_not_set_again():
    lever = {"rear spindle.lever": pytest.approx((0.033, 1.0))}
    assert set_alike(held(TWIN, "jack shaft.rear")) == lever
    rear = replace(TWIN.rods["rear drop"], start=TWIN.rods["front drop"].start)
    shared = replace(TWIN, rods={**TWIN.rods, "rear drop": rear})
    assert set_alike(shared) == lever


def test_a_plate_that_hangs_on_the_other_plates_spindle_is_left_as_it_is():
    """One after the other: its rod is not of the shaft that drives the main one."""
    front = TWIN.shafts["front spindle"]
    on = replace(front.arms["lever"], name="on", offset=0.15)
    rear = replace(TWIN.shafts["rear spindle"], pivot=(0.25, 0.16, 0.13))
    rod = replace(TWIN.rods["rear drop"], start=Hole(shaft="front spindle", arm="on"))
    after = TWIN.with_shaft(replace(front, arms={**front.arms, "on": on}))
    after = replace(after.with_shaft(rear), rods={**TWIN.rods, "rear drop": rod})
    assert set_alike(after) == {}


def test_a_throttle_that_nothing_can_open_is_left_for_the_rules_to_tell():
    swap = swap_sides(
        TWIN, beyond="jack shaft", carburettor="replaced", opens=TWIN.main.opens
    )
    g = ground(swap, examine(TWIN))

    def kickdown(layout) -> float:
        x = examine(layout)
        return x.layout.throttles["kickdown"].opens * x.speeds.first["gearbox"][0]

    layout = replace(g.layout, pedal=replace(g.layout.pedal, stop=None))
    assert kickdown(layout) < 0
    free = examine(layout)
    assert kickdown(opened(g, free).with_rod("kickdown", None)) > 0
    fast = examine(held(layout, "jack shaft", "gearbox"))
    assert opened(g, fast) == fast.layout


# --- what is changed, and what cures are called --------------------------------------------


def test_a_second_arm_is_a_new_part():
    down = replace(BEFORE.rods["down"], start=Hole(shaft="cross shaft", arm="inner"))
    before = replace(BEFORE, rods={**BEFORE.rods, "down": down})
    after = swap_sides(before).after
    made = changes(before, after, clamped="cross shaft").parts
    (new,) = [s for s in made if s.about == Ref("arm", "cross shaft", "inner far")]
    assert new.kind == "arm"
    assert new.new == after.shafts["cross shaft"].arms["inner far"]


def test_a_spring_about_a_shaft_is_another_only_where_it_has_another_hand():
    one, two = (
        BEFORE.with_spring(torsion_spring("near", "spindle", shuts, 0.5, 0.3))
        for shuts in (-1, 1)
    )
    assert changes(one, one, clamped="cross shaft").work == ()
    (step,) = changes(one, two, clamped="cross shaft").work
    assert (step.kind, step.about) == ("spring hand", Ref("spring", "near"))


@pytest.mark.parametrize(
    ("angle", "name"),
    [
        (52, "lever-hanging"),
        (-52, "lever-standing"),
        (0, "lever-on-the-other-side"),
        (180, "lever-on-the-other-side"),
    ],
)
def test_a_lever_turned_over_is_called_by_how_it_stands_then(angle, name):
    g = ground(swap_sides(BEFORE, carburettor="turned"), examine(BEFORE))
    g = replace(g, layout=turned_arm(g.layout, "spindle.lever", angle))
    recipe = lever_over(g)
    assert recipe.name == name
    if name == "lever-on-the-other-side":
        assert recipe.title == "lever `spindle.lever` on the other side of its spindle"


def test_a_crank_that_is_not_of_the_other_hand_is_none_of_its_cures(monkeypatch):
    g = ground(swap_sides(BEFORE, carburettor="replaced", opens=-1), examine(BEFORE))
    arm = g.layout.shafts["bell crank"].arms["out"]
    near = g.layout.shafts["bell crank"].arms["in"].angle
    other = 2 * near - arm.angle

    def crank(*angles: float) -> Candidates:
        layout = g.layout.with_arm("bell crank.out", angle=column(angles))
        rank = np.arange(float(len(angles)))
        return Candidates(layout=layout, rank=rank, reached=1.0 - 0.1 * rank)

    groups = [crank(arm.angle, arm.angle + 0.1), crank(arm.angle, other, other + 0.1)]
    monkeypatch.setattr(recipes, "_searched", lambda *_: groups)
    (kept,) = recipes._other_hand((), g)
    assert kept.rank.tolist() == [1.0, 2.0]
    angles = np.ravel(kept.layout.shafts["bell crank"].arms["out"].angle)
    assert angles.tolist() == [other, other + 0.1]
    # One whose arms lie in one line has no hand, so that nothing is left out.
    flat = replace(g, layout=g.layout.with_arm("bell crank.out", angle=near + np.pi))
    assert recipes._other_hand((), flat) == groups


# --- places of a reversing lever ---------------------------------------------------------


def seated(g, index: int):
    """Return all places of a lever in a rod, and how the rod's ends move."""
    travel = g.layout.pedal.travel
    base = reversing.chain(g.layout, g.path[index].driver.shaft)
    ends = sweep(assemble(base), [0.0, travel / 2, travel])
    plane = reversing._plane(g, index, frame(ends))
    return plane, seats(plane)


def alone(g, found, i: int) -> bool:
    """Tell whether a lever in one place opens the plate, solved by itself."""
    layout, *_ = reversing.with_lever(g.layout, g.path[1], found.take(np.array([i])))
    pedal = replace(layout.pedal, stop=None)
    x = examine(replace(row(layout, 0), pedal=pedal))
    return bool(x.throttle_share > 0.98)


def test_places_from_which_the_plate_is_not_opened_are_left_out():
    g = lever_ground("scenario-before")
    plane, found = seated(g, 1)
    opens, jams = 0, 18
    assert alone(g, found, opens)
    assert not alone(g, found, jams)
    one, two = (found.take(np.array([i])) for i in (opens, jams))
    assert reversing._solved(g, 1, one)
    assert reversing._solved(g, 1, two) == []
    # With its near arm along the rod that is to turn it nothing does.
    toward = plane.pin[:, None] - one.place
    along = np.array([np.arctan2(toward[1], toward[0]), one.angles[1]])
    assert reversing._solved(g, 1, replace(one, angles=along)) == []


@pytest.mark.parametrize("sense", [1, -1])
def test_levers_that_all_turn_one_way_are_places_too(sense):
    g = lever_ground("scenario-before")
    _, found = seated(g, 1)
    rows = np.flatnonzero(found.sense == sense)[:20]
    (best,) = reversing._solved(g, 1, found.take(rows))
    assert np.isfinite(best.rank).all()
    assert (np.diff(best.rank) >= 0).all()
    assert best.reached.max() > 0.98


def test_where_the_arms_onward_may_not_be_set_there_is_no_place():
    g = lever_ground("scenario-before")
    assert reversing.search_lever(g, 0)
    fast = replace(g, layout=held(g.layout, "bell crank", "spindle"))
    assert reversing.search_lever(fast, 0) == []


def test_there_is_no_place_where_the_rods_before_jam_on_the_way_to_the_floor():
    """Of which the ends are not known then, to lay a lever between them."""

    def places(length: float) -> list[Candidates]:
        before = BEFORE.with_arm("cross shaft.inner", length=length)
        swap = swap_sides(before, carburettor="replaced", opens=-1)
        return reversing.search_lever(ground(swap, examine(before)), 1)

    assert places(0.025)
    assert places(0.020) == []
