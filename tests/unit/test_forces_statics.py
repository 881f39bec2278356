"""Statics on layouts small enough to work out by hand. Sizes invented."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.forces import (
    GRAVITY,
    Hanging,
    rod_senses,
    spring_senses,
    statics,
)
from linkage.forces.balance import NOTHING
from linkage.forces.sense import RodSense
from linkage.model import Known, Throttle, stack
from linkage.model.columns import column
from linkage.model.refs import Ref
from linkage.motion import assemble, sweep
from tests.build import arm, hauler, rod, shaft, tree
from tests.sprung import (
    bare,
    line_spring,
    sprung_hauler,
    torsion_spring,
    weightless,
    with_bearings,
    with_springs,
)


def square(**more):
    """Pedal and spindle with level rod square to two upright arms of 50 mm."""
    return tree(
        [
            shaft("pedal", (0, 0, 0), "across", arm("pad", 200, 90), arm("rod", 50, 90)),
            shaft("spindle", (200, 0, 0), "across", arm("lever", 50, 90), arm("spring", 25, -90)),
        ],
        [rod("link", "pedal.rod", "spindle.lever", **more)],
        travel_mm=40,
        presses=1,
        opens=1,
    )  # fmt: skip


def at(layout, *travel_mm):
    return sweep(assemble(layout), np.array(travel_mm or (0.0,)) / 1e3)


def test_torque_of_a_torsion_spring_through_a_square_linkage():
    s = statics(at(bare(with_springs(square(), torsion_spring("k", "spindle", -1, 0.0001, 1.0)))))  # fmt: skip
    for force in (s.pad_force, s.pad_force_pressing, s.pad_force_releasing):
        assert force[0] == pytest.approx(1.0 / 0.2)
    # Pressing turns both anticlockwise, tops to the rear: the pedal pulls.
    assert s.rod_pressing["link"][0] == pytest.approx(1.0 / 0.05)
    assert s.closing_torque["throttle"][0] == pytest.approx(1.0)
    assert s.split["k"][0] == pytest.approx(5.0)


def one_spindle(**parts):
    """The square linkage with 1 N·m on its spindle, where alone something rubs."""
    layout = bare(with_springs(square(), torsion_spring("k", "spindle", -1, 1e-6, 1.0)))
    spindle = replace(layout.shafts["spindle"], **parts)
    return replace(layout, shafts={**layout.shafts, "spindle": spindle})


def test_friction_in_a_bush_in_the_plane_of_the_rod_by_hand():
    # The spindle's only force is the rod's, and both ends of the bush share it.
    s = statics(at(one_spindle(bearing=0.020, friction=0.25)))
    mu_r = 0.25 * 0.010
    # F·r = 1 ± μr·F, so F = 1 / (r ∓ μr).
    assert s.rod_pressing["link"][0] == pytest.approx(1 / (0.05 - mu_r))
    assert s.rod_releasing["link"][0] == pytest.approx(1 / (0.05 + mu_r))
    assert s.pad_force_pressing[0] == pytest.approx(0.25 / (0.05 - mu_r))


def test_drag_that_no_load_changes_by_hand():
    s = statics(at(one_spindle(drag=0.2)))
    assert s.pad_force_pressing[0] == pytest.approx(1.2 / 0.2)
    assert s.pad_force_releasing[0] == pytest.approx(0.8 / 0.2)
    assert s.friction_torque["throttle"][0] == pytest.approx(0.2)


def test_whether_no_drag_was_measured():
    layout = square()
    spindle = replace(layout.shafts["spindle"], drag=0.2)
    known = replace(layout, shafts={**layout.shafts, "spindle": spindle})
    assert statics(at(layout)).unmeasured
    assert not statics(at(known)).unmeasured
    assert statics(at(stack([known, layout]))).unmeasured.tolist() == [[False], [True]]


def test_friction_circle_that_reaches_the_rod_locks():
    s = statics(at(one_spindle(bearing=0.2, friction=0.6)))
    assert np.isnan(s.pad_force_pressing[0])
    assert s.pad_force[0] == pytest.approx(5.0)


def test_weight_of_arm_and_rod_by_hand():
    layout = weightless(square())
    level = replace(layout.shafts["spindle"].arms["spring"], angle=0.0, mass=0.3)
    arms = {**layout.shafts["spindle"].arms, "spring": level}
    spindle = replace(layout.shafts["spindle"], arms=arms)
    rods = {"link": replace(layout.rods["link"], mass=0.4)}
    layout = replace(layout, shafts={**layout.shafts, "spindle": spindle}, rods=rods)
    s = statics(at(layout))
    # The level arm points forward and falls clockwise, which shuts here, so that half
    # of it counts; the rod hangs on upright arms and has no torque at rest.
    half = 0.3 * GRAVITY * 0.0125 / 2
    assert s.closing_torque["throttle"][0] == pytest.approx(half)
    assert s.weight_share[0] == pytest.approx(half / 0.2)
    # The bearings carry it whole, in equal parts, with half of the rod.
    places = s.lines.carries("spindle", NOTHING)
    each = -GRAVITY * (0.3 + 0.2) / 2
    assert np.allclose(places[:, 0], [0, each, 0, each, 0], atol=1e-9)


def test_slack_spring_gives_nothing_until_it_is_tight():
    layout = with_springs(hauler(), line_spring("main", "spindle.spring", (194, -100, 130), free_length=0.13))  # fmt: skip
    s = statics(at(bare(layout), 0, 10, 40, 70))
    assert s.spring_load["main"][0] == 0
    assert s.pad_force[0] == pytest.approx(0, abs=1e-9)
    assert s.spring_load["main"][-1] > 0
    assert s.spring_length["main"][0] < 0.13 < s.spring_length["main"][-1]


def test_parted_rod_leaves_only_what_hangs_on_the_pedal():
    layout = weightless(sprung_hauler())
    motion = at(layout, 0, 30)
    s = statics(motion, gone=frozenset({Ref("rod", "last")}))
    assert set(s.rod_pressing) == {"first"}
    assert np.all(s.split["main"] == 0)
    assert np.allclose(s.pad_force, s.split["pedal"])
    # The plate keeps its own spring alone.
    own = s.lines.springs["main"].torque
    assert np.allclose(s.closing_torque["throttle"], -own)
    hanging = Hanging(layout)
    assert hanging.together("spindle", {Ref("rod", "last")}) == ("spindle",)
    assert hanging.together("spindle", {Ref("rod", "first")}) == (
        "cross shaft",
        "spindle",
    )
    assert hanging.beyond("last", "spindle") == {Ref("spring", "main")}
    assert hanging.beyond("last", "cross shaft") == {
        Ref("spring", "pedal"),
        Ref("rod", "first"),
    }


def test_chosen_springs_only_and_cold_friction():
    motion = at(with_bearings(weightless(sprung_hauler()), 12), 0, 30)
    whole, one = statics(motion), statics(motion, springs=("main",))
    assert np.allclose(one.pad_force, whole.split["main"])
    cold = statics(motion, cold_factor=2.0)
    lost, more = (s.pad_force_pressing - s.pad_force_releasing for s in (whole, cold))
    assert np.all(more > 1.9 * lost)
    assert np.allclose(cold.pad_force, whole.pad_force)


def test_branch_to_a_second_carburettor_is_carried_by_the_pedal():
    base = hauler()
    second = shaft("second", (64, -300, 120), "across", arm("lever", 34, -38))
    layout = replace(
        base,
        shafts={**base.shafts, "second": second},
        rods={**base.rods, "branch": rod("branch", "cross shaft.outer", "second.lever")},
        throttles={
            **base.throttles,
            "other": Throttle(name="other", shaft="second", opens=1, swing=math.radians(76)),
        },
    )  # fmt: skip
    layout = with_springs(
        layout,
        torsion_spring("a", "spindle", -1, 0.2, 0.4),
        torsion_spring("b", "second", -1, 0.2, 0.4),
    )
    s = statics(at(weightless(layout), 0, 20, 50))
    assert np.allclose(s.split["a"] + s.split["b"], s.pad_force)
    assert np.all(s.split["b"] > 0)
    assert set(s.closing_torque) == {"throttle", "other"}


def test_results_are_read_only_and_owned():
    motion = at(sprung_hauler(), 0, 30)
    s = statics(motion)
    for array in (s.pad_force, s.split["main"], s.rod_pressing["last"], s.spring_arm["main"]):  # fmt: skip
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1.0
    with pytest.raises(TypeError):
        s.split["main"] = s.pad_force  # type: ignore[index]


def test_beyond_a_jam_forces_are_nan():
    layout = with_springs(hauler(travel_mm=400), torsion_spring("k", "spindle", -1, 0.2, 0.4))  # fmt: skip
    s = statics(at(layout, 0, 30, 390))
    assert np.isnan(s.pad_force[-1])
    assert not np.isnan(s.pad_force[:2]).any()


def test_rod_senses_name_pull_push_and_where_it_changes():
    s = statics(at(bare(sprung_hauler()), *range(0, 71, 5)))
    found = {r.rod: r for r in rod_senses(s)}
    assert found["last"].pressing == "pull"
    assert found["first"].pressing == "push"
    assert found["first"].most_push > 0 == found["first"].most_pull
    assert not found["last"].turns_over
    assert math.isnan(found["last"].turns_at)
    # A spring that opens over the second half turns the rod's load round.
    both = with_springs(
        hauler(),
        torsion_spring("shuts", "spindle", -1, 1e-9, 1.0),
        torsion_spring("opens", "spindle", 1, -0.0, 0.0),
    )
    opens = replace(
        both.springs["opens"], known=Known(rate=2.0, preload=2.5, shuts=1.0)
    )
    mixed = with_springs(hauler(), both.springs["shuts"], opens)
    mixed = bare(mixed)
    turned = next(
        r for r in rod_senses(statics(at(mixed, *range(0, 71, 5)))) if r.rod == "last"
    )
    assert turned.pressing == "push"
    assert turned.turns_over
    where = turned.turns_at
    near = statics(at(mixed, 1e3 * where))
    assert abs(near.rod_pressing["last"][0]) < 0.5
    empty = rod_senses(statics(at(bare(hauler()), 0, 30)))
    assert {r.pressing for r in empty} == {"nothing"}


def test_a_rod_turns_over_where_it_does_past_nan_and_zero():
    force = np.array([1.0, np.nan, 3.0, 0.0, -1.0, -2.0])
    sense = RodSense(rod="one", pad_travel=np.arange(6.0), force=force)
    assert sense.turns_over
    assert sense.turns_at == pytest.approx(3.5)
    # By a straight line from where it last carried anything.
    force = np.array([2.0, 0.0, 0.0, -1.0])
    sense = RodSense(rod="one", pad_travel=np.arange(4.0), force=force)
    assert sense.turns_at == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("anchor", "hand"),
    [((194, -100, 130), "right"), ((-66, -100, 130), "wrong"), ((49, -100, 10), "crosses")],
)  # fmt: skip
def test_hand_of_a_spring(anchor, hand):
    layout = with_springs(hauler(), line_spring("main", "spindle.spring", anchor))
    sense = spring_senses(statics(at(layout, *range(0, 71, 2))))[0]
    assert sense.hand == hand
    assert (bool(sense.shuts), bool(sense.opens)) == (hand == "right", hand == "wrong")
    assert ("opens the plate" in sense.signs) == (hand != "right")
    unknown = replace(sense, known=False, shuts=False, opens=False)
    assert unknown.hand == "not known"
    some = column([True, False])
    assert replace(sense, known=some, shuts=some, opens=some).hand == "not known"


def test_spring_senses_slack_over_and_torsion():
    layout = with_springs(
        hauler(),
        line_spring("slack", "spindle.spring", (194, -100, 130), free_length=0.13),
        line_spring("long", "spindle.spring", (194, -100, 130), greatest_length=0.14),
        replace(
            line_spring("solid", "spindle.spring", (-66, -100, 130)),
            kind="compression",
            known=Known(rate=100.0, free_length=0.3, solid_length=0.14),
        ),
        torsion_spring("twist", "spindle", 1, 0.2, 0.4),
    )
    found = {s.spring: s for s in spring_senses(statics(at(layout, *range(0, 71, 2))))}
    assert found["slack"].slack == pytest.approx(0.13 - found["slack"].shortest)
    assert found["slack"].signs == ("slack at idle",)
    assert 0 < found["slack"].slack_until < 0.07
    assert found["long"].over == pytest.approx(found["long"].longest - 0.14)
    assert found["slack"].over == 0.0
    # One that is loaded hangs slack by nothing, however long it is drawn.
    assert [found[n].slack for n in ("long", "solid", "twist")] == [0.0, 0.0, 0.0]
    assert found["long"].signs == ("driven past its greatest length",)
    assert found["solid"].hand == "right"
    assert found["solid"].over == pytest.approx(0.14 - found["solid"].shortest)
    assert found["twist"].hand == "wrong"
    assert math.isnan(found["twist"].longest)


def test_a_spring_about_a_shaft_is_never_driven_past_a_length():
    layout = with_springs(hauler(), torsion_spring("twist", "spindle", -1, 0.2, 0.4))
    (twist,) = spring_senses(statics(at(layout, 20, 30)))
    assert (twist.over, twist.over_at) == (0.0, 0.02)
