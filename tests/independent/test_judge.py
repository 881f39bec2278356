"""The small judge on layouts whose answer is plain: it finds what is wrong, and only that.

Not here: the program against the judge (`test_altered`).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.independent.altered import sound
from tests.independent.judge import WHOLE, _Case, judge
from tests.independent.judge_parts import losses
from tests.independent.judge_places import places_of


def test_what_is_shipped_as_sound_is_sound():
    found = {n: [str(f) for f in judge(layout).faults] for n, layout in sound()}
    assert found == {n: [] for n, _ in sound()}


def _truck():
    """One rod from pedal to spindle, two springs on the spindle."""
    layout = dict(sound())["hanging-pedal"]
    strong = {
        n: _fed(s, rate=450.0, initial_tension=8.0) for n, s in layout.springs.items()
    }
    return replace(layout, springs=strong, engine=replace(layout.engine, roll=0.0))


def _fed(spring, **known):
    return replace(spring, known=replace(spring.known, **known))


def _kinds(layout) -> set[str]:
    return {f.kind for f in judge(layout).faults}


def _parts(layout, kind: str) -> set[str]:
    return {f.part for f in judge(layout).of(kind)}


def test_two_strong_springs_apart_are_sound():
    assert judge(_truck()).faults == ()


def test_no_spring_is_unsprung():
    assert "nothing failed" in _parts(replace(_truck(), springs={}), "unsprung")


def test_one_spring_is_unsprung_without_it():
    layout = _truck()
    one = replace(layout, springs={"near": layout.springs["near"]})
    assert _parts(one, "unsprung") == {"spring near"}


@pytest.mark.parametrize(
    ("apart", "kinds"),
    [(1e-4, {"unsprung"}), (9e-3, {"unsprung"}), (15e-3, set())],
)
def test_two_anchors_are_one_part_or_two(apart, kinds):
    layout = _truck()
    near, far = layout.springs.values()
    x, y, z = near.anchor
    assert _kinds(layout.with_spring(replace(far, anchor=(x, y - apart, z)))) == kinds


def test_two_anchors_in_one_place_on_two_things_are_two():
    layout = _truck()
    near, far = layout.springs.values()
    both = layout.with_spring(replace(far, anchor=near.anchor, anchored_on="body"))
    assert "unsprung" not in _kinds(both)


def _on_lever(offset: float, *, length: float = 0.032, angle_deg: float = 52):
    """Both springs on arms beside the rod's own lever."""
    layout = _truck()
    spindle = layout.shafts["spindle"]
    base = spindle.arms["lever"]
    arms = dict(spindle.arms)
    for i, n in enumerate(("one", "two")):
        at = base.offset + offset * (1, -1)[i]
        arms[n] = replace(
            base, name=n, length=length, angle=math.radians(angle_deg), offset=at
        )
    layout = layout.with_shaft(replace(spindle, arms=arms))
    for n, s in zip(("one", "two"), list(layout.springs.values()), strict=True):
        layout = layout.with_spring(replace(s, arm=n))
    return layout


def test_names_on_one_pin_are_one_part():
    assert "pin at spindle.lever" in _parts(_on_lever(1e-3), "unsprung")
    assert _parts(_on_lever(30e-3), "unsprung") == set()


def test_holes_of_one_lever_are_one_part():
    low = _on_lever(1e-3, length=0.022)
    assert any(p.startswith("arm ") for p in _parts(low, "unsprung"))
    assert _parts(_on_lever(20e-3, length=0.022), "unsprung") == set()


def test_springs_beyond_a_rod_go_with_it():
    layout = _truck()
    pedal = layout.shafts["pedal"]
    arms = {
        n: replace(a, offset=0.02 * i) for i, (n, a) in enumerate(pedal.arms.items())
    }
    arms["low"] = replace(arms["rod"], name="low", length=0.06, angle=0.0, offset=0.1)
    arms["far"] = replace(arms["low"], name="far", offset=0.2)
    layout = layout.with_shaft(replace(pedal, arms=arms))
    for n, s in zip(("low", "far"), list(layout.springs.values()), strict=True):
        hook = layout.shafts["pedal"].pin(n)
        down = (hook[0], hook[1], hook[2] - 0.11 * layout.pedal.presses * -1)
        layout = layout.with_spring(replace(s, arm=n, shaft="pedal", anchor=down))
    assert "rod link" in _parts(layout, "unsprung")


def test_springs_at_a_hundredth_are_stuck():
    layout = _truck()
    weak = {
        n: _fed(s, rate=4.5, initial_tension=0.05) for n, s in layout.springs.items()
    }
    assert "nothing failed" in _parts(replace(layout, springs=weak), "stuck")


def test_a_torque_below_the_floor_is_stuck_though_nothing_rubs():
    layout = replace(_truck(), friction=0.0)
    for s in list(layout.shafts.values()):
        layout = layout.with_shaft(replace(s, drag=0.0))
    rods = {n: replace(r, joint_friction=0.0) for n, r in layout.rods.items()}
    coil = type(layout.springs["near"].known)(rate=0.0, preload=0.12, shuts=-1)
    both = {
        n: replace(s, kind="torsion", arm="", anchor=None, known=coil)
        for n, s in layout.springs.items()
    }
    layout = replace(layout, rods=rods, springs=both)
    assert "nothing failed" in _parts(layout, "stuck")
    more = {n: _fed(s, preload=0.2) for n, s in both.items()}
    assert "nothing failed" not in _parts(replace(layout, springs=more), "stuck")


def test_springs_that_pull_the_wrong_way_are_stuck():
    layout = _truck()
    spindle = np.array(layout.shafts["spindle"].pivot)
    for s in list(layout.springs.values()):
        away = 2 * spindle - np.array(s.anchor)
        back = (float(away[0]), s.anchor[1], s.anchor[2])
        layout = layout.with_spring(replace(s, anchor=back))
    assert "nothing failed" in _parts(layout, "stuck")


def test_a_dry_wide_bearing_is_stuck():
    layout = _truck()
    spindle = layout.shafts["spindle"]
    assert judge(layout.with_shaft(replace(spindle, friction=0.05))).faults == ()
    seized = replace(spindle, friction=1.0, bearing=0.05)
    assert "stuck" in _kinds(layout.with_shaft(seized))


def test_a_spring_on_the_body_goes_slack_where_the_engine_lifts():
    layout = _truck()
    lifting = replace(layout, engine=replace(layout.engine, lift=0.03))
    assert "slack" not in _kinds(lifting)
    for s in list(lifting.springs.values()):
        hook = np.array(lifting.shafts["spindle"].pin(s.arm))
        over = tuple(float(c) for c in hook + np.array([0.0, 0.0, 0.085]))
        lifting = lifting.with_spring(replace(s, anchor=over, anchored_on="body"))
    faults = judge(lifting).of("slack")
    assert {f.who for f in faults} == {"near", "far"}
    assert all("lifted +30 mm" in f.state for f in faults)


def test_a_spring_pulled_beyond_its_greatest_length_is_told():
    layout = _truck()
    near = layout.springs["near"]
    assert "overstretched" not in _kinds(layout)
    assert _kinds(layout.with_spring(_fed(near, greatest_length=0.12))) == {
        "overstretched"
    }


def test_a_plate_by_itself_rubs_as_by_hand():
    """The rod has parted: one spring's force on two bearings, and the air."""
    layout = _truck()
    near = layout.springs["near"]
    hook = layout.shafts["spindle"].pin(near.arm)
    flat = replace(near, anchor=(near.anchor[0], hook[1], near.anchor[2]))
    layout = replace(layout, springs={"near": flat})
    spindle = layout.shafts["spindle"]
    light = {n: replace(a, mass=1e-12) for n, a in spindle.arms.items()}
    layout = layout.with_shaft(replace(spindle, arms=light))
    for places, times in (
        ((-0.012, 0.036), 1.0),
        ((-0.01, 0.01), 1.2),
        ((0.0, 0.02), 2.2),
    ):
        # The spring hangs at -12 mm: by the lever 1 and 0, 1.1 and 0.1, 1.6 and 0.6.
        spindle = replace(layout.shafts["spindle"], bearings=places, drag=None)
        case = _Case(layout.with_shaft(spindle))
        plate = layout.main
        _, _, friction = case.torques(plate, frozenset({("rod", "link")}), 1.0)
        pull = np.linalg.norm(case.loads.springs[0].force, axis=-1)
        air = 0.15 * 0.004 * 70e3 * math.pi / 4 * 0.038**2
        shut = np.degrees(plate.opens * case.places.turns["spindle"]) <= 10
        by_hand = 0.2 * 0.004 * times * pull + np.where(shut, air, air / 2)
        assert friction == pytest.approx(by_hand, rel=1e-9)


def test_rods_keep_their_length_and_rates_are_slopes():
    for name, layout in sound():
        engine = replace(layout.engine, lift=0.003, roll=layout.engine.roll / 2)
        places = places_of(replace(layout, engine=engine))
        for k in layout.links:
            ends = [places.pin(h.shaft, h.arm) for h in k.holes]
            away = np.linalg.norm(ends[1] - ends[0], axis=-1)[places.valid]
            assert np.ptp(away) < 1e-12, name
        pedal = places.turns[layout.pedal.shaft]
        for s in layout.shafts:
            with np.errstate(invalid="ignore"):  # where a rod does not reach
                slope = np.gradient(places.turns[s], axis=1) / np.gradient(
                    pedal, axis=1
                )
            inner = places.valid[:, 1:-1]
            off = np.abs(slope - places.rates[s])[:, 1:-1][inner]
            assert np.max(off) < 0.05, (name, s)


def test_every_part_of_a_layout_is_among_what_can_fail():
    layout = dict(sound())["bulkhead-cross-shaft"]
    told = {x.part for x in losses(layout)}
    assert {
        "spring near",
        "rod up",
        "pin at spindle.lever",
        "arm spindle.lever",
    } <= told
    assert {"anchor of far", "shaft bell crank off its pivot"} <= told
    assert WHOLE.part not in told
