"""Statics on layouts small enough to work out by hand. Sizes invented."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.forces import (
    GRAVITY,
    Hanging,
    force_lines,
    rod_senses,
    spring_senses,
    statics,
)
from linkage.forces.balance import NOTHING, balanced
from linkage.forces.sense import RodSense
from linkage.model import Known, Throttle
from linkage.model.refs import Ref
from linkage.motion import assemble, sweep
from tests.build import arm, hauler, rod, shaft, tree
from tests.sprung import (
    line_spring,
    sprung_hauler,
    torsion_spring,
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
    s = statics(at(with_springs(square(), torsion_spring("k", "spindle", -1, 0.0001, 1.0))))  # fmt: skip
    assert s.pad_force[0] == pytest.approx(1.0 / 0.2)
    # Pressing turns both anticlockwise, tops to the rear: the pedal pulls.
    assert s.rod_pressing["link"][0] == pytest.approx(1.0 / 0.05)
    assert s.closing_torque["throttle"][0] == pytest.approx(1.0)
    assert s.split["k"][0] == pytest.approx(5.0)
    assert s.frictionless == ("pedal", "spindle")


def test_friction_on_a_single_bearing_by_hand():
    # Torsion spring of 1 N·m; the spindle's only force is the rod's.
    layout = with_springs(square(), torsion_spring("k", "spindle", -1, 1e-6, 1.0))
    spindle = replace(layout.shafts["spindle"], bearing=0.020, friction=0.25)
    layout = replace(layout, shafts={**layout.shafts, "spindle": spindle})
    s = statics(at(layout))
    mu_r = 0.25 * 0.010
    # F·r = 1 ± μr·F, so F = 1 / (r ∓ μr).
    assert s.rod_pressing["link"][0] == pytest.approx(1 / (0.05 - mu_r))
    assert s.rod_releasing["link"][0] == pytest.approx(1 / (0.05 + mu_r))
    assert s.pad_force_pressing[0] == pytest.approx(0.25 / (0.05 - mu_r))
    assert s.frictionless == ("pedal",)


def test_drag_that_no_load_changes_by_hand():
    layout = with_springs(square(), torsion_spring("k", "spindle", -1, 1e-6, 1.0))
    spindle = replace(layout.shafts["spindle"], drag=0.2)
    s = statics(at(replace(layout, shafts={**layout.shafts, "spindle": spindle})))
    assert s.pad_force_pressing[0] == pytest.approx(1.2 / 0.2)
    assert s.pad_force_releasing[0] == pytest.approx(0.8 / 0.2)
    assert s.friction_torque["throttle"][0] == pytest.approx(0.2)
    assert s.frictionless == ("pedal",)


def test_closed_form_of_friction_is_the_fixed_point_of_iterating():
    layout = with_bearings(sprung_hauler(), 16, 0.3)
    motion = at(layout, 0, 20, 40, 60)
    lines = force_lines(motion)
    on = {s: (lines.torque(s, NOTHING), lines.force(s, NOTHING)) for s in layout.shafts}
    solved = balanced(lines, 1)
    # The same by plain iteration: friction torque from the last reaction.
    sizes = {s: np.zeros(4) for s in layout.shafts}
    for _ in range(60):
        torque = {
            s: on[s][0] - np.sign(lines.first[s]) * solved.circle[s] * sizes[s]
            for s in layout.shafts
        }
        force = {s: on[s][1] + np.zeros((3, 4)) for s in layout.shafts}
        pulls = {}
        for link in reversed(layout.links):
            r = lines.rods[link.rod.name]
            outer, inner = link.driven.shaft, link.driver.shaft
            pulls[link.rod.name] = pull = -torque[outer] / r.arms[outer]
            torque[inner] = torque[inner] + pull * r.arms[inner]
            force[outer] -= pull * r.along
            force[inner] += pull * r.along
        pad = -torque["pedal"] / lines.push_arm
        force["pedal"] += pad * lines.toward("", "pedal")[0]
        sizes = {s: np.linalg.norm(f, axis=0) for s, f in force.items()}
    assert np.allclose(solved.pressed(), pad, rtol=1e-12)
    for link in layout.links:
        name, pull = link.rod.name, pulls[link.rod.name]
        assert np.allclose(solved.pull(name, link.driven.shaft), pull, rtol=1e-12)


def test_friction_circle_that_reaches_the_rod_locks():
    layout = with_springs(square(), torsion_spring("k", "spindle", -1, 1e-6, 1.0))
    spindle = replace(layout.shafts["spindle"], bearing=0.2, friction=0.6)
    layout = replace(layout, shafts={**layout.shafts, "spindle": spindle})
    s = statics(at(layout))
    assert np.isnan(s.pad_force_pressing[0])
    assert s.pad_force[0] == pytest.approx(5.0)


def test_weight_of_arm_and_rod_by_hand():
    layout = square(mass=0.4)
    level = replace(layout.shafts["spindle"].arms["spring"], angle=0.0, mass=0.3)
    layout = layout.with_arm(layout.links[0].driven, mass=0.0)
    arms = {**layout.shafts["spindle"].arms, "spring": level}
    spindle = replace(layout.shafts["spindle"], arms=arms)
    layout = replace(layout, shafts={**layout.shafts, "spindle": spindle})
    s = statics(at(layout))
    # The level arm points forward and falls clockwise, which shuts here; the
    # rod hangs on upright arms and has no torque at rest.
    assert s.closing_torque["throttle"][0] == pytest.approx(0.3 * GRAVITY * 0.0125)
    assert s.weight_share[0] == pytest.approx(0.3 * GRAVITY * 0.0125 / 0.2)
    down = s.lines.force("spindle", NOTHING)[2, 0]
    assert down == pytest.approx(-GRAVITY * (0.3 + 0.2))


def test_slack_spring_gives_nothing_until_it_is_tight():
    layout = with_springs(hauler(), line_spring("main", "spindle.spring", (194, -100, 130), free_length=0.13))  # fmt: skip
    s = statics(at(layout, 0, 10, 40, 70))
    assert s.spring_load["main"][0] == 0
    assert s.pad_force[0] == 0
    assert s.spring_load["main"][-1] > 0
    assert s.spring_length["main"][0] < 0.13 < s.spring_length["main"][-1]


def test_parted_rod_leaves_only_what_hangs_on_the_pedal():
    layout = sprung_hauler()
    motion = at(layout, 0, 30)
    s = statics(motion, gone=frozenset({Ref("rod", "last")}))
    assert set(s.rod_pressing) == {"first"}
    assert np.all(s.split["main"] == 0)
    assert np.allclose(s.pad_force, s.split["pedal"])
    # The plate keeps its own spring alone.
    own = s.lines.springs["main"].torque
    assert np.allclose(s.closing_torque["throttle"], -own)
    hanging = Hanging(layout)
    assert hanging.together("spindle", {Ref("rod", "last")}) == ["spindle"]
    assert hanging.together("spindle", {Ref("rod", "first")}) == [
        "spindle",
        "cross shaft",
    ]
    assert hanging.beyond("last", "spindle") == {Ref("spring", "main")}
    assert hanging.beyond("last", "cross shaft") == {
        Ref("spring", "pedal"),
        Ref("rod", "first"),
    }


def test_chosen_springs_only_and_cold_friction():
    motion = at(with_bearings(sprung_hauler(), 12), 0, 30)
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
    s = statics(at(layout, 0, 20, 50))
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
    s = statics(at(sprung_hauler(), *range(0, 71, 5)))
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
    turned = next(
        r for r in rod_senses(statics(at(mixed, *range(0, 71, 5)))) if r.rod == "last"
    )
    assert turned.pressing == "push"
    assert turned.turns_over
    where = turned.turns_at
    near = statics(at(mixed, 1e3 * where))
    assert abs(near.rod_pressing["last"][0]) < 0.5
    empty = rod_senses(statics(at(hauler(), 0, 30)))
    assert {r.pressing for r in empty} == {"nothing"}


def test_a_rod_turns_over_where_it_does_past_nan_and_zero():
    force = np.array([1.0, np.nan, 3.0, 0.0, -1.0, -2.0])
    sense = RodSense(rod="one", pad_travel=np.arange(6.0), force=force)
    assert sense.turns_over
    assert sense.turns_at == pytest.approx(3.5)


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
    assert found["long"].signs == ("driven past its greatest length",)
    assert found["solid"].hand == "right"
    assert found["solid"].over == pytest.approx(0.14 - found["solid"].shortest)
    assert found["twist"].hand == "wrong"
    assert math.isnan(found["twist"].longest)
