"""Laws of forces that hold for every linkage, on random chains."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from linkage.forces import INTACT, failures, returns, statics
from linkage.model.refs import Ref
from linkage.motion import assemble, sweep, working_travel
from tests.build import arm, rod, shaft, tree
from tests.properties.chains import chains, well_inside
from tests.sprung import (
    bare,
    line_spring,
    torsion_spring,
    weightless,
    with_bearings,
    with_springs,
)

if TYPE_CHECKING:
    from linkage.model import Spring

TRAVEL = np.linspace(0.0, 0.03, 9)


@st.composite
def sprung(draw: st.DrawFn):
    """A chain with two springs, as its positions well inside its reach."""
    layout = draw(chains())
    layout = with_springs(
        layout,
        line_spring(
            "line",
            "spindle.hole 1",
            [draw(st.floats(-400, 400)) for _ in "xyz"],
            rate=draw(st.floats(100, 3000)),
            free_length=draw(st.floats(0.02, 0.2)),
        ),
        torsion_spring("twist", "pedal", draw(st.sampled_from([1, -1])), draw(st.floats(0.1, 5)), draw(st.floats(0.1, 3))),
    )  # fmt: skip
    motion = sweep(assemble(layout), TRAVEL)
    return layout, motion, well_inside(motion)


def _swept(layout):
    return sweep(assemble(layout), TRAVEL)


@settings(max_examples=60)
@given(sprung())
def test_no_spring_and_no_weight_gives_no_force(case):
    layout, _, good = case
    # However much friction that nearly locks makes of it.
    bare_one = with_bearings(weightless(replace(layout, springs={}), 1e-30), 12)
    s = statics(_swept(bare_one))
    # Next to nothing weighs next to nothing, and nothing is left where that locks.
    assert np.all(np.abs(s.pad_force[good]) < 1e-9)
    for force in (
        s.pad_force_pressing,
        s.pad_force_releasing,
        *s.rod_pressing.values(),
    ):
        free = good & ~np.isnan(force)
        assert np.all(np.abs(force[free]) < 1e-9)


def _stronger(spring: Spring, factor: float) -> Spring:
    strong = {"rate", "initial_tension", "preload"}
    known = {k: v * factor for k, v in spring.known.numbers() if k in strong}
    return replace(spring, known=replace(spring.known, **known))


@settings(max_examples=60)
@given(sprung())
def test_springs_twice_as_strong_double_every_force(case):
    layout, _, good = case
    # Bearings and joints rub with what they carry; nothing drags.
    layout = with_bearings(weightless(layout), 12)
    one = statics(_swept(layout))
    springs = {n: _stronger(s, 2) for n, s in layout.springs.items()}
    two = statics(_swept(replace(layout, springs=springs)))
    assert np.allclose(two.pad_force[good], 2 * one.pad_force[good], rtol=1e-12, atol=1e-9)  # fmt: skip
    for rod_name, force in one.rod_pressing.items():
        twice = two.rod_pressing[rod_name]
        assert np.array_equal(np.isnan(twice[good]), np.isnan(force[good]))
        free = good & ~np.isnan(force)
        assert np.allclose(twice[free], 2 * force[free], rtol=1e-9, atol=1e-8)


@settings(max_examples=60)
@given(sprung(), st.floats(1, 20), st.floats(0, 0.5))
def test_pressing_is_never_lighter_than_releasing(case, bearing, friction):
    layout, _, good = case
    s = statics(_swept(with_bearings(layout, bearing, friction)))
    lost = s.pad_force_pressing - s.pad_force_releasing
    free = good & ~np.isnan(lost)
    scale = 1e-9 * (1 + np.abs(s.pad_force[free]))
    assert np.all(lost[free] >= -scale)
    assert np.all(s.pad_force_pressing[free] >= s.pad_force[free] - scale)
    assert np.all(s.pad_force[free] >= s.pad_force_releasing[free] - scale)


def _after(motion, failure):
    return returns(motion, cases=[(failure, "throttle")])[0]


@settings(max_examples=60)
@given(sprung())
def test_taking_a_shutting_spring_off_never_raises_the_closing_torque(case):
    layout, _, good = case
    layout = weightless(layout)
    motion = _swept(layout)
    whole = _after(motion, INTACT)
    with np.errstate(invalid="ignore"):
        for failure in failures(motion.assembly.layout):
            if failure.kind != "spring":
                continue
            # Share of this spring alone; where it opens, taking it off helps.
            others = {n: k for n, k in layout.springs.items() if n != failure.ref.name}
            alone = frozenset(Ref("spring", n) for n in others)
            own = _after(motion, replace(INTACT, gone=alone))
            left = _after(motion, failure)
            shuts = good & (own.closing_torque >= 0)
            assert np.all(
                left.closing_torque[shuts] <= whole.closing_torque[shuts] + 1e-12
            )
            same = _after(_swept(replace(layout, springs=others)), INTACT)
            assert np.array_equal(left.closing_torque, same.closing_torque, equal_nan=True)  # fmt: skip


@settings(max_examples=60)
@given(sprung())
def test_forces_follow_the_geometry_when_everything_is_scaled(case):
    """Twice the size with the same spring forces: the same pad force."""
    layout, _, good = case
    layout = bare(layout)
    big = replace(
        layout,
        shafts={
            n: replace(
                s,
                pivot=tuple(2 * c for c in s.pivot),
                arms={
                    k: replace(a, length=2 * a.length, offset=2 * a.offset)
                    for k, a in s.arms.items()
                },
            )
            for n, s in layout.shafts.items()
        },
        springs={n: _doubled(s) for n, s in layout.springs.items()},
    )
    one = statics(_swept(layout)).pad_force
    two = statics(sweep(assemble(big), 2 * TRAVEL)).pad_force
    assert np.allclose(two[good], one[good], rtol=1e-8, atol=1e-9)


def _doubled(spring: Spring) -> Spring:
    d = spring.known
    if spring.kind == "torsion":
        return replace(spring, known=replace(d, rate=2 * d.rate, preload=2 * d.preload))
    anchor = tuple(2 * c for c in spring.anchor)
    return replace(spring, anchor=anchor, known=replace(d, rate=d.rate / 2, free_length=2 * d.free_length))  # fmt: skip


def test_near_dead_centre_the_rod_force_grows_without_bound_and_the_check_refuses():
    from linkage.search import check

    def layout(swing_deg):
        shafts = [
            shaft("pedal", (0, 0, 0), "across", arm("pad", 200, -90), arm("rod", 60, 90)),
            shaft("spindle", (300, 0, 60), "across", arm("lever", 30, 95), arm("spring", 30, 95)),
        ]  # fmt: skip
        built = tree(
            shafts,
            [rod("link", "pedal.rod", "spindle.lever")],
            travel_mm=140,
            swing_deg=swing_deg,
            presses=1,
            opens=1,
        )
        return with_springs(
            built,
            line_spring("main", "spindle.spring", (420, 0, 80), free_length=0.08),
            line_spring("second", "spindle.spring", (420, 10, 80), free_length=0.08),
        )

    most = []
    for swing in (60, 75, 82, 84):
        case = layout(swing)
        assembly = assemble(case)
        working = working_travel(assembly)
        assert str(working.stopped_by) == "full stop of throttle"
        smooth_one = assemble(bare(case))
        s = statics(sweep(smooth_one, np.linspace(working.start, working.end, 101)))
        # Force that a given torque at the spindle takes grows as 1 / sine.
        per_torque = np.abs(s.rod_pressing["link"] / s.closing_torque["throttle"])
        most.append(per_torque[-1])
        assert per_torque[-1] > per_torque[0]
    assert most == sorted(most)
    assert most[-1] > 3 * most[0]
    codes = {f.code for f in check(layout(84), cures=False).reasons}
    assert {"arm-rod-angle"} <= codes
