"""Forces on a slide: by virtual work without friction, by hand equilibrium with it.

The equilibrium is written out once more here: the bar on two knife edges at the ends of
its guide, each rubbing with μ N against its way, solved by a root finder.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage.forces.statics import statics
from linkage.model import Hole
from linkage.motion import assemble, frame, sweep
from linkage.search import check
from tests.slides import skew, slid_layout

TRAVEL = np.linspace(0.002, 0.072, 15)
#: A spring on the slide itself, beside those on the spindle.
SPRING = """
[springs.own]
hook = "bar.far"
anchor = [500, 30, 120]
rate = "0.3 N/mm"
free_length = 60
greatest_length = 150
"""


def slippery(layout, mu):
    """Return a layout in which the guide alone rubs, and nothing weighs anything."""
    shafts = {}
    for name, s in layout.shafts.items():
        arms = {n: replace(a, mass=1e-12) for n, a in s.arms.items()}
        drag = None if s.slides else 0.0
        shafts[name] = replace(
            s, arms=arms, friction=mu if s.slides else 0.0, drag=drag
        )
    rods = {
        n: replace(r, mass=1e-12, joint_friction=0.0) for n, r in layout.rods.items()
    }
    return replace(layout, shafts=shafts, rods=rods)


@pytest.mark.parametrize("made", [slid_layout, skew])
def test_pad_force_without_friction_is_the_work_of_the_springs(made):
    layout = slippery(made(more=SPRING), 0.15)
    assembly, step = assemble(layout), 1e-6
    found = statics(sweep(assembly, TRAVEL))
    near, far = (statics(sweep(assembly, TRAVEL + k * step)) for k in (-1, 1))
    work = sum(
        found.spring_load[n] * (far.spring_length[n] - near.spring_length[n]) / 2 / step
        for n in layout.springs
    )
    np.testing.assert_allclose(found.pad_force, work, rtol=1e-6)
    np.testing.assert_allclose(sum(found.split.values()), work, rtol=1e-6)


def test_in_space_a_bar_is_held_by_what_acts_on_it():
    """Every component of force and moment on either bar, with what its edges put on it."""
    layout = slippery(skew(more=SPRING), 0.2)
    motion = sweep(assemble(layout), TRAVEL)
    found, at = statics(motion), frame(motion)
    for name in ("bar", "rack"):
        slide = layout.shafts[name]
        n = np.array(slide.axis.n)[:, None]
        ends = [np.array(e)[:, None] for e in slide.guide]
        forces = []
        for link in layout.links:
            for k, hole in enumerate(link.holes):
                if hole.shaft == name:
                    pull = at.rod(link.rod.name).pulls[k]
                    forces.append(
                        (at.pin(hole), found.rod_pressing[link.rod.name] * pull)
                    )
        for spring in layout.springs.values():
            if spring.shaft == name:
                hook = at.pin(Hole(shaft=name, arm=spring.arm))
                line = np.array(spring.anchor)[:, None] - hook
                unit = line / np.sqrt((line**2).sum(axis=0))
                forces.append((hook, found.spring_load[spring.name] * unit))
        total = sum(f for _, f in forces)
        moment = sum(np.cross(p - ends[0], f, axis=0) for p, f in forces)
        far = np.cross(np.broadcast_to(n, moment.shape), moment, axis=0) / float(
            slide.guided
        )
        near = (total * n).sum(axis=0) * n - total - far
        rubs = 0.2 * (np.linalg.norm(far, axis=0) + np.linalg.norm(near, axis=0))
        goes = np.sign(motion.turns[name][-1] - motion.turns[name][0])
        np.testing.assert_allclose((total * n).sum(axis=0), goes * rubs, rtol=1e-6)


def by_hand(layout, motion, i, sense, mu):
    """Return the pull in rod `one` at a position, from that in rod `two` on the other pin.

    Springs at the spindle give the second; the bar is held at both ends of its guide.
    """
    at = frame(motion)
    lever = at.pin(Hole(shaft="spindle", arm="lever"))[:, i]
    pins = {n: at.pin(Hole(shaft="bar", arm=n))[:, i] for n in ("near", "far")}
    crank = at.pin(Hole(shaft="pedal", arm="rod"))[:, i]
    pivot, axis = np.array([0.620, 0, 0.068]), np.array([0, -1.0, 0])

    def torque(place, force):
        return float(np.dot(np.cross(place - pivot, force), axis))

    # What the springs at the spindle ask of rod `two`.
    loads, own = 0.0, np.zeros(3)
    for spring in layout.springs.values():
        hook = at.pin(Hole(shaft=spring.shaft, arm=spring.arm))[:, i]
        line = np.array(spring.anchor) - hook
        length = np.linalg.norm(line)
        known = spring.known
        pull = (known.initial_tension or 0.0) + known.rate * (
            length - known.free_length
        )
        if spring.shaft == "spindle":
            loads += torque(hook, pull * line / length)
        else:
            own = pull * line / length
    to_slide = (pins["far"] - lever) / np.linalg.norm(pins["far"] - lever)
    second = -loads / torque(lever, to_slide)
    ends = np.array([[0.250, 0, 0.095], [0.330, 0, 0.095]])
    bar = np.array([1.0, 0, 0])
    to_crank = (crank - pins["near"]) / np.linalg.norm(crank - pins["near"])
    goes = np.sign(motion.turns["bar"][1] - motion.turns["bar"][0]) * sense

    def left(first):
        forces = [
            (pins["near"], first * to_crank),
            (pins["far"], -second * to_slide),
            (pins["far"], own),
        ]
        total = sum(f for _, f in forces)
        # Moments about the first end are taken by what the second puts on the bar.
        moment = sum(np.cross(p - ends[0], f) for p, f in forces)
        far = np.cross(bar, moment) / 0.080
        near = np.dot(total, bar) * bar - total - far
        rubs = mu * (np.linalg.norm(far) + np.linalg.norm(near))
        return np.dot(total, bar) - goes * rubs

    return brentq(left, -1e4, 1e4, xtol=1e-10), second


@pytest.mark.parametrize("mu", [0.0, 0.15, 0.3])
@pytest.mark.parametrize("sense", [1, -1])
@pytest.mark.parametrize("more", ["", SPRING])
def test_friction_in_the_guide_is_that_of_the_bar_on_two_edges(mu, sense, more):
    layout = slippery(
        slid_layout(
            ("pins.near = [210, 0, 95]", "pins.near = [200, 6, 103]"), more=more
        ),
        mu,
    )
    motion = sweep(assemble(layout), TRAVEL)
    found = statics(motion)
    rods = found.rod_pressing if sense > 0 else found.rod_releasing
    for i in (0, 7, 14):
        first, second = by_hand(layout, motion, i, sense, mu)
        assert rods["two"][i] == pytest.approx(second, rel=1e-6)
        assert rods["one"][i] == pytest.approx(first, rel=1e-6)


def test_what_the_foot_loses_in_a_closed_loop_is_what_the_guide_rubs():
    """Pressing less releasing, over the travel, is all that friction takes both ways."""
    layout = slippery(slid_layout(), 0.2)
    travel = np.linspace(0.0, 0.074, 801)
    motion = sweep(assemble(layout), travel)
    found = statics(motion)
    lost = np.trapezoid(found.pad_force_pressing - found.pad_force_releasing, travel)
    way, rubbed = motion.turns["bar"], 0.0
    for rods in (found.rod_pressing, found.rod_releasing):
        push, pull = (found.lines.push(n, "bar") for n in ("one", "two"))
        places = push.places * rods["one"] + pull.places * rods["two"]
        edges = np.hypot(places[0], places[1]) + np.hypot(places[2], places[3])
        rubbed += np.trapezoid(0.2 * edges, np.abs(way - way[0]))
    assert lost == pytest.approx(rubbed, rel=1e-5)
    assert lost > 0


def jammed(long_mm, *, mu=0.3):
    """Return a layout whose rod leans at the slide, in a guide of some length."""
    return slid_layout(
        ("[[250, 0, 95], [330, 0, 95]]", f"[[{330 - long_mm}, 0, 45], [330, 0, 45]]"),
        ("pins.near = [210, 0, 95]", "pins.near = [150, 0, 45]"),
        ("pins.far = [390, 0, 95]", "pins.far = [390, 0, 45]"),
        ("friction = 0.15", f"friction = {mu}"),
    )


def share_by_hand(lean, out, long, mu):
    """Return what a guide takes of a push that leans, its pin standing out of it."""
    side = math.tan(lean)
    return mu * side * ((out + long) / long + out / long)


@pytest.mark.parametrize("long_mm", [20, 40, 80, 150])
def test_the_share_that_a_guide_takes_is_that_of_a_lever(long_mm):
    found = check(jammed(long_mm), cures=False)
    told = next(
        f for f in found.findings if f.code == "guide-jam" and f.part[0].part == "near"
    )
    o = told.outcome
    by = share_by_hand(o.facts["lean"], o.facts["out"], long_mm / 1e3, 0.3)
    assert o.value == pytest.approx(by, rel=1e-9)
    assert o.facts["out"] > 0


def test_a_guide_too_short_jams_and_a_long_one_does_not():
    """The law of the drawer: it jams where the guide is too short for what stands out."""
    short = jammed(12)
    found = check(short)
    told = next(f for f in found.findings if f.code == "guide-jam" and f.verdict == "do not fit")  # fmt: skip
    assert told.outcome.value > 1
    assert "jams in its guide however hard rod `one` pulls or pushes" in told.text
    assert "hold slide `bar` in a guide" in told.cure.text
    # Forces agree: no pull, however great, moves it at the very position.
    motion = sweep(assemble(slippery(short, 0.3)), np.array([told.outcome.at]))
    assert np.isnan(statics(motion).rod_pressing["one"]).all()
    twin = jammed(150, mu=0.1)
    found = check(twin, cures=False)
    assert all(f.verdict == "fits" for f in found.findings if f.code == "guide-jam")
    assert np.isfinite(statics(sweep(assemble(twin), TRAVEL)).rod_pressing["one"]).all()
