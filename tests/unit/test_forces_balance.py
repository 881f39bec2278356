"""The balance with friction: its root, near locking, and senses as columns."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage.forces import INTACT, force_lines, returns, statics
from linkage.forces.balance import NOTHING, STEPS, Balanced, balanced
from linkage.forces.friction import sizes
from linkage.model import stack
from linkage.model.columns import column
from linkage.model.refs import Ref
from linkage.motion import assemble, sweep
from linkage.rules import examine, judge
from tests.build import arm, rod, shaft, tree
from tests.sprung import (
    bare,
    random_assembly,
    sprung_hauler,
    torsion_spring,
    with_bearings,
    with_springs,
)


def square(friction=0.0, diameter=0.1, joint_friction=0.0, length=200, **joints):
    """Level rod on two upright arms of 50 mm, 1 N·m on the spindle."""
    layout = tree(
        [
            shaft("pedal", (0, 0, 0), "across", arm("pad", 200, 90), arm("rod", 50, 90)),
            shaft("spindle", (length, 0, 0), "across", arm("lever", 50, 90)),
        ],
        [rod("link", "pedal.rod", "spindle.lever")],
        travel_mm=40,
    )  # fmt: skip
    layout = bare(with_springs(layout, torsion_spring("k", "spindle", -1, 1e-9, 1.0)))
    one = replace(layout.shafts["spindle"], bearing=diameter, friction=friction)
    link = replace(layout.rods["link"], joint_friction=joint_friction, **joints)
    return replace(
        layout, shafts={**layout.shafts, "spindle": one}, rods={"link": link}
    )


def at(layout, *travel_mm):
    return sweep(assemble(layout), np.array(travel_mm or (0.0,)) / 1e3)


@pytest.mark.parametrize("short", [1e-1, 1e-3, 1e-6, 1e-9])
def test_just_before_its_circle_reaches_the_rod_a_bearing_lets_go(short):
    # μ r of 0.05·(1 - short) against the arm of 0.05: F·r = 1 + μr·F.
    s = statics(at(square(friction=1 - short)))
    assert s.rod_pressing["link"][0] == pytest.approx(1 / 0.05 / short, rel=1e-6)
    assert s.rod_releasing["link"][0] == pytest.approx(1 / 0.05 / (2 - short), rel=1e-9)


@pytest.mark.parametrize("over", [0.0, 1e-9, 0.5, 10.0])
def test_from_there_on_it_locks(over):
    s = statics(at(square(friction=1 + over)))
    for force in (s.pad_force_pressing, s.pad_force_releasing, s.rod_pressing["link"]):
        assert np.isnan(force[0])
    assert s.pad_force[0] == pytest.approx(5.0)
    (r,) = returns(s.lines.motion, cases=[(INTACT, "throttle")])
    assert np.isinf(r.friction_torque[0])
    assert r.ratio[0] == 0.0


def test_a_rod_shorter_than_both_circles_of_its_joints_locks():
    # Both joints of a parallelogram turn one way, so that its line leans by the sine
    # 2 ρ / L: it comes within ρ of the pivot where 50 cos = 10 sin, and ends at 1.
    for radius, locks in ((0.00980, False), (0.00981, True), (0.0101, True)):
        layout = square(joint_friction=1.0, joint_diameter=2 * radius, length=20)
        s = statics(at(layout))
        assert np.isnan(s.pad_force_pressing[0]) == locks


def test_joints_whose_circle_reaches_the_arm_lock():
    for radius, locks in ((0.040, False), (0.055, True)):
        layout = square(joint_friction=1.0, joint_diameter=2 * radius)
        s = statics(at(layout))
        assert np.isnan(s.pad_force_pressing[0]) == locks


def test_what_locks_is_refused_and_its_sound_twin_is_not():
    def ranks(friction):
        layout = with_bearings(sprung_hauler(), 12, friction)
        found = judge(examine(layout)).findings()
        return {f.code: f for f in found if f.verdict == "do not fit"}

    assert "pad-force" not in ranks(0.15)
    locked = ranks(9.0)
    assert "locks" in locked["pad-force"].text
    assert "closing-torque" in locked
    assert "friction locks it" in locked["closing-torque"].text


def _equation(solved, link, gone=NOTHING):
    """Return what is missing from the balance of a rod's outer shaft, by its force."""
    name, shaft_name = link.rod.name, link.driven.shaft
    torque, *places = solved._loaded(shaft_name, [gone], name)[:, 0]

    def miss(pull, i):
        arm_, carried = solved._end(name, shaft_name, np.asarray(np.sign(pull)))
        whole = np.array(places) + pull * carried[:, 0]
        friction = solved._circle(shaft_name) * np.sqrt(sizes(whole, whole)).sum(axis=0)
        return float((pull * arm_ + torque - friction)[i])

    return miss


def test_the_force_found_is_the_only_root_of_the_balance():
    """By bisection from far on either side, on chains that rub a good deal."""
    rng = np.random.default_rng(611)
    tried = 0
    for _ in range(30):
        layout = with_bearings(random_assembly(rng, 0.3).layout, 16, 0.5, drag=0.05)
        lines = force_lines(at(layout, 0, 10))
        for sense in (1, -1):
            solved = balanced(lines, sense)
            for link in layout.links:
                with np.errstate(invalid="ignore", divide="ignore"):
                    found = solved.pull(link.rod.name, link.driven.shaft)
                if np.isnan(found).any():
                    continue
                miss = _equation(solved, link)
                for i, pull in enumerate(found):
                    far = 1e3 * (1 + abs(pull))
                    root = brentq(miss, -far, far, args=(i,), xtol=1e-12, rtol=1e-14)
                    assert pull == pytest.approx(root, rel=1e-9, abs=1e-9)
                    grid = [miss(x, i) for x in np.linspace(-far, far, 41)]
                    assert np.all(np.diff(grid) > 0) or np.all(np.diff(grid) < 0)
                    tried += 1
    assert tried > 150


def test_newtons_steps_are_few_even_where_it_nearly_locks(monkeypatch):
    layout = with_bearings(sprung_hauler(), 16, 0.3)
    motion = at(layout, *range(0, 70, 5))
    most = statics(motion, lines=force_lines(motion)).pad_force_pressing
    assert np.isfinite(most).all()
    near = at(square(friction=1 - 1e-9))
    last = statics(near, lines=force_lines(near)).pad_force_pressing
    assert STEPS >= 20
    monkeypatch.setattr("linkage.forces.balance.STEPS", 12)
    fewer = statics(motion, lines=force_lines(motion)).pad_force_pressing
    assert np.allclose(fewer, most, rtol=1e-12)
    assert np.array_equal(
        statics(near, lines=force_lines(near)).pad_force_pressing, last
    )


def test_a_force_that_newtons_steps_do_not_settle_is_none(monkeypatch):
    motion = at(with_bearings(sprung_hauler(), 16, 0.3), *range(0, 70, 5))
    settled = statics(motion, lines=force_lines(motion)).pad_force_pressing
    monkeypatch.setattr("linkage.forces.balance.STEPS", 1)
    unsettled = statics(motion, lines=force_lines(motion)).pad_force_pressing
    assert np.isfinite(settled).all()
    assert np.isnan(unsettled).all()


def test_sets_of_parts_that_are_gone_are_balanced_together_as_each_alone(monkeypatch):
    """With and without friction, however many are gone through at once."""
    layout = with_bearings(sprung_hauler(), 12, 0.2)
    lines = force_lines(at(layout, 0, 30, 60))
    gones = [frozenset({Ref("spring", n)}) for n in layout.springs]
    gones = [NOTHING, *gones, frozenset().union(*gones)]
    for many in (1 << 17, 1):
        monkeypatch.setattr("linkage.forces.balance.MANY", many)
        for sense in (0, 1, -1):
            with np.errstate(invalid="ignore"):  # nothing acts on some shafts then
                together = list(Balanced(lines, sense, 1.0).helds("spindle", gones))
                alone = [Balanced(lines, sense, 1.0).held("spindle", g) for g in gones]
            assert len(together) == len(gones)
            assert np.allclose(together, alone, rtol=1e-12, atol=0)
            assert not np.allclose(together[0], together[-1])


@pytest.mark.parametrize(
    ("senses", "factors"),
    [((1, -1, 0), (1.0, 1.0, 1.0)), ((1, 1, -1), (1.0, 2.0, 1.5))],
)
def test_a_sense_and_a_factor_for_each_row(senses, factors):
    layouts = [with_bearings(sprung_hauler(), d, 0.2, 0.02) for d in (8, 12, 16)]
    lines = force_lines(at(stack(layouts), 0, 20, 40))
    with np.errstate(invalid="ignore", divide="ignore"):
        solved = balanced(lines, column(senses), column(factors))
        mixed, held = solved.pressed(), solved.held("spindle")
        assert mixed.shape == (3, 3)
        assert np.isfinite(mixed).all()
        for i, layout in enumerate(layouts):
            lines = force_lines(at(layout, 0, 20, 40))
            alone = balanced(lines, senses[i], factors[i])
            assert np.allclose(mixed[i], alone.pressed(), rtol=1e-9)
            assert np.allclose(held[i], alone.held("spindle"), rtol=1e-9)


def test_where_pressing_shuts_in_some_rows_each_is_closed_its_own_way():
    """Plates of one make-up that pressing opens in one row and shuts in the other."""

    def one(rod_deg, lever_deg):
        layout = tree(
            [
                shaft("pedal", (0, 0, 0), "across", arm("pad", 200, 90), arm("rod", 50, rod_deg)),
                shaft("spindle", (200, 0, 0), "across", arm("lever", 50, lever_deg)),
            ],
            [rod("link", "pedal.rod", "spindle.lever")],
            travel_mm=40,
        )  # fmt: skip
        layout = with_springs(layout, torsion_spring("k", "spindle", -1, 1e-9, 1.0))
        return with_bearings(layout, 12, 0.2, 0.01)

    layouts = [one(90, 90), one(90, -90)]
    cases = [(INTACT, "throttle")]
    motion = at(stack(layouts), 0, 10)
    assert force_lines(motion).turning["spindle"].tolist() == [[1.0] * 2, [-1.0] * 2]
    (many,) = returns(motion, cases=cases)
    for i, layout in enumerate(layouts):
        (alone,) = returns(at(layout, 0, 10), cases=cases)
        for name in ("closing_torque", "friction_torque", "ratio"):
            assert np.allclose(getattr(many, name)[i], getattr(alone, name), rtol=1e-9)
        assert np.all(alone.friction_torque > 0)
        assert np.all(alone.closing_torque > 0)


def test_what_was_asked_of_one_shaft_is_not_told_of_its_neighbour():
    """Four shafts in a row: of the two between, each is reached over the other."""
    shafts = [
        shaft("pedal", (0, 0, 0), "across", arm("pad", 180, 90), arm("out", 60, 90))
    ]
    shafts += [
        shaft(name, (x, z, 0), "across", arm("in", 50, 80), arm("out", 70, 100))
        for name, x, z in (("one", 200, 10), ("two", 400, -10), ("spindle", 600, 0))
    ]
    names = [s.name for s in shafts]
    rods = [rod(f"to {b}", f"{a}.out", f"{b}.in") for a, b in pairwise(names)]
    layout = with_springs(
        tree(shafts, rods, travel_mm=30),
        torsion_spring("near", "spindle", -1, 0.3, 0.4),
        torsion_spring("far", "pedal", -1, 0.3, 0.4),
    )
    lines = force_lines(sweep(assemble(layout), np.linspace(0, 0.02, 3)))
    kept = Balanced(lines, 1, 1.0)
    for name in [*names, *reversed(names)]:
        fresh = Balanced(lines, 1, 1.0).held(name)
        assert np.array_equal(kept.held(name), fresh)
        assert np.isfinite(fresh).all()
