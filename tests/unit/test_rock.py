"""The rocking engine: where it holds its parts, and what it does to the throttle."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import load
from linkage.config.starters import starter
from linkage.model import NAMED, Engine
from linkage.motion import assemble, frame
from linkage.motion.rock import rocked, turned
from linkage.motion.sweep import sweep
from linkage.rules import examine
from linkage.rules.order import ROCK_CODES
from linkage.rules.rock import moved
from linkage.search import check
from tests.unit.ruled import found_in


def rocking(x):
    return [f for f in found_in(x) if f.code in ROCK_CODES]


def car(name):
    return load(starter(name).path).layout


def one_rod(rod_angle_deg):
    """Return the truck with a lever of 34 mm square to a rod of 240 mm at some angle."""
    layout = car("hanging-pedal")
    angle = math.radians(rod_angle_deg)
    pedal = layout.shafts["pedal"]
    pin = pedal.pin("rod")
    lever_pin = (
        pin[0] + 0.24 * math.cos(angle),
        pin[1],
        pin[2] + 0.24 * math.sin(angle),
    )
    # The lever stands square to the rod, turned clockwise from it.
    lever = angle - math.pi / 2
    pivot = (
        lever_pin[0] - 0.034 * math.cos(lever),
        lever_pin[1],
        lever_pin[2] - 0.034 * math.sin(lever),
    )
    spindle = layout.shafts["spindle"]
    arms = {
        "lever": replace(spindle.arms["lever"], length=0.034, angle=lever, offset=0.0)
    }
    spindle = replace(spindle, pivot=pivot, arms=arms)
    shafts = {**layout.shafts, "spindle": spindle}
    return replace(
        layout, shafts=shafts, springs={}, engine=Engine(carries=("spindle",))
    )


def opening_after(layout, **rock):
    motion = sweep(rocked(assemble(layout), **rock), np.array([0.0]))
    return math.degrees(abs(float(motion.opening("throttle")[0])))


def test_movement_along_the_rod_counts_in_full():
    # Common practice, no source (calculated, planar): 10 mm of engine movement along
    # the rod into a 34 mm lever is 17° of throttle.
    assert opening_after(one_rod(90), lift=0.010) == pytest.approx(17, abs=0.5)


def test_movement_across_the_rod_hardly_counts():
    # Common practice, no source (calculated, planar): 10 mm across a 240 mm rod is
    # 0.2 mm, about 0.35° on a 34 mm lever.
    assert opening_after(one_rod(0), lift=0.010) == pytest.approx(0.35, abs=0.02)


def test_a_level_engine_moves_nothing():
    layout = car("swapped-crossed-pull")
    again = rocked(assemble(layout))
    assert again.rest == pytest.approx({**assemble(layout).rest}, abs=1e-12)


def test_a_roll_keeps_distances_in_the_engine_and_the_rods():
    layout = car("fault-engine-rock")
    level = assemble(layout)
    roll = math.radians(2)
    tipped = rocked(level, roll=roll)
    engine = layout.engine
    for name in engine.carries:
        old, new = layout.shafts[name], tipped.layout.shafts[name]
        way = np.array(old.pivot) - engine.about
        n = np.array(engine.axis.n)
        # Rodrigues written with matrices, as a second witness.
        skew = np.array([[0, -n[2], n[1]], [n[2], 0, -n[0]], [-n[1], n[0], 0]])
        turn = np.eye(3) + math.sin(roll) * skew + (1 - math.cos(roll)) * skew @ skew
        assert np.array(new.pivot) == pytest.approx(turn @ way + engine.about)
        assert np.array(new.axis.n) == pytest.approx(turn @ old.axis.n)
    motion = sweep(tipped, np.linspace(0, 0.05, 7))
    for link in tipped.layout.links:
        gap = frame(motion).pin(link.driven).T - frame(motion).pin(link.driver).T
        length = level.loop(link.rod.name).length
        assert np.linalg.norm(gap, axis=1) == pytest.approx(length, abs=1e-12)


def test_turned_about_its_own_axis_a_vector_stays():
    assert turned((0, 0, 2.0), (0, 0, 1.0), 1.0) == pytest.approx((0, 0, 2))


def test_an_upright_rod_far_from_the_roll_axis_works_the_throttle():
    x = examine(car("fault-engine-rock"))
    found = [f for f in check(x.layout).findings if f.verdict != "fits"]
    assert [f.code for f in found] == ["engine-rock"]
    change = np.abs(moved(x, x.layout.main))
    assert change.shape == (2, 1, 121)
    assert found[0].value == pytest.approx(change.max())
    assert found[0].value > math.radians(6)
    cure = found[0].cure
    assert cure.proven
    assert cure.text.startswith("bracket `bell crank` to the body")
    assert all(f.verdict == "fits" for f in found_in(examine(cure.layout)))


def test_an_engine_steady_where_no_bracket_helps():
    layout = car("up-pull-side-draught")
    engine = replace(layout.engine, about=(0.3, 0.25, -0.1))
    (finding,) = [
        f
        for f in check(replace(layout, engine=engine)).findings
        if f.code == "engine-rock"
    ]
    assert finding.verdict == "do not fit"
    assert "engine steady" in finding.cure.text
    assert finding.cure.layout.engine.roll < engine.roll


def test_a_lost_mount_and_a_chain():
    layout = car("down-pull-side-draught")
    engine = replace(layout.engine, roll=0.0, lift=0.012)
    done = check(replace(layout, engine=engine))
    (finding,) = [f for f in done.findings if f.code == "mount-gone"]
    assert finding.verdict == "do not fit"
    assert "opens throttle by" in finding.text
    assert "chain or strap" in finding.cure.text
    # A lost mount may sag too: then the up-pull carburettor is the one it opens.
    other = replace(car("up-pull-side-draught"), engine=engine)
    (finding,) = [f for f in check(other).findings if f.code == "mount-gone"]
    assert finding.verdict == "do not fit"
    assert "sunk 12.0 mm off a lost mount opens throttle by" in finding.text
    held = replace(other, engine=replace(engine, lift=0.001))
    (finding,) = [f for f in check(held).findings if f.code == "mount-gone"]
    assert finding.verdict == "fits"


def test_a_rod_that_tears_is_not_a_small_number():
    layout = car("twin-side-draught")
    engine = Engine(
        carries=("jack shaft", "front spindle", "rear spindle", "gearbox"),
        roll=math.radians(4),
        about=(0.3, 0.0, -0.1),
        axis=NAMED["along"],
        lift=0.2,
    )
    found = rocking(examine(replace(layout, engine=engine)))
    assert {f.about.name for f in found if f.about.kind == "throttle"} == {
        "front",
        "rear",
    }
    assert {f.code for f in found} == {"engine-rock", "mount-gone", "engine-senses"}
    assert all(f.verdict == "do not fit" for f in found)
    assert any("tears or jams" in f.text for f in found)
    assert all(f.record()["value"] is None for f in found if "tears" in f.text)


def test_silent_without_an_engine_or_without_movement():
    layout = car("hanging-pedal")
    assert rocking(examine(replace(layout, engine=Engine()))) == []
    still = replace(layout.engine, roll=0.0)
    assert rocking(examine(replace(layout, engine=still))) == []


def test_how_far_it_moves_a_throttle_is_not_asked_of_an_engine_that_does_not_move():
    x = examine(replace(car("hanging-pedal"), engine=Engine()))
    with pytest.raises(ValueError, match="the engine does not move"):
        moved(x, x.layout.main)
