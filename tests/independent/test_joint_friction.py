"""Friction in two bearings and in ball joints, against other ways to the same number.

Planar: all equations of equilibrium at once, solved by SciPy (`planar`), with levers at
different stations, so that what cancels in the sum tips the shaft, and with the
friction of the joints tilting each rod's line. Spatial: the foot's work against what
bearings and joints take, exact but for terms of second order in friction.

Not here: the air on a plate (`test_air_load`).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linkage.forces import statics
from linkage.motion import assemble, sweep
from tests.independent.judge_friction import Held, _reactions, _Tree
from tests.independent.judge_loads import loads_of
from tests.independent.judge_places import dot, places_of
from tests.independent.planar import Equilibrium
from tests.independent.random_planar import LIGHT, planar
from tests.independent.test_virtual_work import _torques
from tests.sprung import random_assembly, with_bearings

TRAVEL = 0.012


def _layouts(seed: int, count: int, loops: int):
    rng = np.random.default_rng(seed)
    return [planar(rng, loops, TRAVEL) for _ in range(count)]


def _forces(layout, travel: float):
    s = statics(sweep(assemble(layout), np.array([travel])))
    return {
        1: s.pad_force_pressing[0],
        -1: s.pad_force_releasing[0],
        0: s.pad_force[0],
    }


@pytest.mark.parametrize("loops", [1, 2, 3])
def test_the_foot_feels_what_all_equations_of_equilibrium_say(loops):
    rubbed = []
    for layout in _layouts(8000 + loops, 15, loops):
        for travel in (0.0, TRAVEL):
            forces = _forces(layout, travel)
            found = {s: Equilibrium(layout, travel, s).solved()[0] for s in forces}
            scale = max(map(abs, found.values()))
            for sense, foot in found.items():
                assert forces[sense] == pytest.approx(foot, rel=1e-6, abs=1e-6 * scale)
            rubbed.append((found[1] - found[-1]) / scale)
    assert min(rubbed) > 0  # friction always costs the foot something
    assert np.median(rubbed) > 0.1  # and here it is no small part


def test_opposed_rods_do_not_cancel_in_two_bearings():
    """The same rods and springs; only the stations of the levers differ."""
    more = []
    for layout in _layouts(81, 20, 2):
        flat = layout
        for s in layout.shafts.values():
            arms = {n: replace(a, offset=0.0) for n, a in s.arms.items()}
            flat = flat.with_shaft(replace(s, arms=arms, bearings=(-0.01, 0.01)))
        for s in layout.springs.values():  # its anchor stays in the plane of its arm
            shaft = layout.shafts[s.shaft]
            off, n = shaft.arms[s.arm].offset, shaft.axis.n
            level = tuple(a - off * c for a, c in zip(s.anchor, n, strict=True))
            flat = flat.with_spring(replace(s, anchor=level))
        wide = [Equilibrium(x, 0.0, -1).solved()[0] for x in (layout, flat)]
        for x, foot in zip((layout, flat), wide, strict=True):
            assert _forces(x, 0.0)[-1] == pytest.approx(foot, rel=1e-6, abs=1e-6)
        more.append(abs(wide[0] - wide[1]))
    assert np.median(more) > 0.05


def test_each_part_of_friction_alone():
    """Bearings without joints, and joints without bearings."""
    for layout in _layouts(82, 8, 2):
        smooth = {n: replace(r, joint_friction=0.0) for n, r in layout.rods.items()}
        freed = layout
        for s in layout.shafts.values():
            freed = freed.with_shaft(replace(s, friction=0.0))
        for one in (replace(layout, rods=smooth), freed):
            for sense in (1, -1):
                foot = Equilibrium(one, TRAVEL, sense).solved()[0]
                found = _forces(one, TRAVEL)[sense]
                assert found == pytest.approx(foot, rel=1e-6, abs=1e-6)


def _rubbing(layout, mu: float):
    """The same layout with light parts, and one friction in bearings and joints."""
    layout = with_bearings(layout, 12, mu, drag=0.0)
    for s in layout.shafts.values():
        arms = {n: replace(a, mass=LIGHT) for n, a in s.arms.items()}
        layout = layout.with_shaft(replace(s, arms=arms))
    rods = {
        n: replace(r, mass=LIGHT, joint_friction=mu, joint_diameter=10e-3)
        for n, r in layout.rods.items()
    }
    return replace(layout, rods=rods)


def _work_missing(layout, j: int) -> tuple[float, float]:
    """Foot's work while pressing less that on springs, and what friction takes. [N]."""
    places = places_of(layout)
    motion = sweep(assemble(layout), places.pad[0, [j]])
    s = statics(motion)
    springs = -sum(t[0] * places.rates[n][0, j] for n, t in _torques(motion).items())
    by_pad = layout.pedal.presses / layout.pad_radius
    more = s.pad_force_pressing[0] - springs * by_pad
    return more, _lost(layout, places, j, s) * abs(by_pad)


def _lost(layout, places, j: int, s) -> float:
    """Work that friction takes by turn of the pedal, from the forces while pressing."""
    shape = places.pad.shape
    acting: dict = {n: [] for n in layout.shafts}
    for load in loads_of(places).springs:
        if load.force is not None:
            acting[load.shaft].append((load.at, load.force))
    tree = _Tree(places, Held(layout.pedal.shaft, []), places.rates, {}, {}, 1.0)
    lost = 0.0
    for k in layout.links:
        a, b, way, turning = tree.line(k.driver, k.driven)
        pull = s.rod_pressing[k.rod.name][0]
        acting[k.driver.shaft].append((a, pull * way))
        acting[k.driven.shaft].append((b, -pull * way))
        slip = tree.slip(k.driver, turning) + tree.slip(k.driven, turning)
        lost += tree.joint(k.rod) * abs(pull) * slip[0, j]
    p = layout.pedal
    at, f = places.pin(p.shaft, p.pad), places.frames[p.shaft]
    arm = at - places.centre(p.shaft, p.pad)
    square = p.presses * np.cross(np.broadcast_to(f.n, arm.shape), arm)
    square = square / np.sqrt(dot(arm, arm))[..., None]
    acting[p.shaft].append((at, s.pad_force_pressing[0] * square))
    for n in layout.shafts:
        load = _reactions(places, n, acting[n])
        assert load.shape == shape
        lost += tree.grip(n) * load[0, j] * abs(places.rates[n][0, j])
    return lost


def test_in_space_the_work_lost_is_that_of_bearings_and_joints():
    rng = np.random.default_rng(85)
    shares = []
    for _ in range(25):
        layout = random_assembly(rng, least=0.5).layout
        axes = {s.axis.n for s in layout.shafts.values()}
        apart = []
        for mu in (0.08, 0.02):
            more, lost = _work_missing(_rubbing(layout, mu), 5)
            assert more > 0
            apart.append(abs(more - lost) / lost)
        if len(axes) > 1:
            shares.append(apart)
    shares = np.array(shares)
    assert len(shares) > 5
    assert np.median(shares[:, 1]) < 0.02
    # A quarter of the friction: a quarter of the share that is of second order.
    assert np.median(shares[:, 1] / shares[:, 0]) < 0.35
