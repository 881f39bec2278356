"""Friction in closed form against all equations of equilibrium, solved at once.

Six equations a shaft, force and moment in space, with the bearing's three forces
and two tipping moments as unknowns, beside every rod force and the pad force;
friction is part of the moment about the shaft. SciPy finds the root of the whole
system with no knowledge of the tree.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import root

from linkage.forces import GRAVITY, statics
from linkage.model import Hole
from linkage.motion import assemble, frame, sweep
from tests.sprung import random_assembly, sprung_hauler, with_bearings


def _loads(motion, shaft):
    """Forces with their points, and torques, on one shaft beside rods and pad."""
    layout = motion.assembly.layout
    s = layout.shafts[shaft]
    n = np.array(s.axis.n)
    forces, torque = [], 0.0
    for spring in layout.springs.values():
        if spring.shaft != shaft:
            continue
        d = spring.known
        if spring.kind == "torsion":
            wound = d.preload - d.shuts * d.rate * motion.turns[shaft][0]
            torque += d.shuts * max(wound, 0.0)
            continue
        pin = frame(motion).pin(Hole(shaft=shaft, arm=spring.arm)).T[0]
        line = np.array(spring.anchor) - pin
        length = np.linalg.norm(line)
        if spring.kind == "compression":
            pull = d.rate * min(length - d.free_length, 0.0)
        else:
            over = length - d.free_length
            pull = d.initial_tension + d.rate * over if over > 0 else 0.0
        forces.append((pin, pull * line / length))
    hung = [(a.name, a.mass, 0.5) for a in s.arms.values()]
    for r in layout.rods.values():
        hung += [(h.arm, r.mass / 2, 1.0) for h in (r.start, r.end) if h.shaft == shaft]
    for name, mass, share in hung:
        pin = frame(motion).pin(Hole(shaft=shaft, arm=name)).T[0]
        centre = np.array(s.pivot) + s.arms[name].offset * n
        forces.append(
            (centre + share * (pin - centre), np.array([0, 0, -GRAVITY * mass]))
        )
    return forces, torque * n


def _solve(motion, sense):
    """Return pad force and rod forces by one root of everything, reactions too."""
    layout = motion.assembly.layout
    first = frame(motion).first
    shafts, rods = list(layout.shafts), list(layout.links)
    pedal = layout.pedal
    pad = frame(motion).pin(Hole(shaft=pedal.shaft, arm=pedal.pad)).T[0]
    ps = layout.shafts[pedal.shaft]
    pad_centre = np.array(ps.pivot) + ps.arms[pedal.pad].offset * np.array(ps.axis.n)
    push = pedal.presses * np.cross(ps.axis.n, pad - pad_centre)
    push /= np.linalg.norm(push)
    ends = {}
    for k in rods:
        a, b = frame(motion).pin(k.driver).T[0], frame(motion).pin(k.driven).T[0]
        ends[k.rod.name] = (a, b, (b - a) / np.linalg.norm(b - a))
    fixed = {s: _loads(motion, s) for s in shafts}

    def residual(x):
        pad_force, pulls, rest = x[0], x[1 : 1 + len(rods)], x[1 + len(rods) :]
        out = []
        for i, name in enumerate(shafts):
            s = layout.shafts[name]
            n = np.array(s.axis.n)
            bearing = rest[5 * i : 5 * i + 3]
            tip = rest[5 * i + 3] * np.array(s.axis.u) + rest[5 * i + 4] * np.array(s.axis.v)  # fmt: skip
            forces, moment = list(fixed[name][0]), np.array(fixed[name][1]) + tip
            for pull, k in zip(pulls, rods, strict=True):
                a, b, along = ends[k.rod.name]
                if k.driver.shaft == name:
                    forces.append((a, pull * along))
                if k.driven.shaft == name:
                    forces.append((b, -pull * along))
            if name == pedal.shaft:
                forces.append((pad, pad_force * push))
            grip = s.friction * s.bearing / 2
            rub = grip * np.linalg.norm(bearing) + s.drag
            moment = moment - sense * np.sign(first[name][0]) * rub * n
            out += list(sum(f for _, f in forces) + bearing)
            pivot = np.array(s.pivot)
            out += list(10 * (sum(np.cross(p - pivot, f) for p, f in forces) + moment))
        return np.array(out)

    start = np.full(1 + len(rods) + 5 * len(shafts), 1.0)
    found = root(residual, start, method="hybr", options={"xtol": 1e-13})
    assert np.abs(residual(found.x)).max() < 1e-7
    pulls = dict(
        zip((k.rod.name for k in rods), found.x[1 : 1 + len(rods)], strict=True)
    )
    return found.x[0], pulls


def _compare(motion):
    s = statics(motion)
    for sense, pad, rods in (
        (1, s.pad_force_pressing, s.rod_pressing),
        (-1, s.pad_force_releasing, s.rod_releasing),
    ):
        force, pulls = _solve(motion, sense)
        scale = max(1.0, *(abs(p) for p in pulls.values()))
        assert pad[0] == pytest.approx(force, abs=1e-7 * scale)
        for name, pull in pulls.items():
            assert rods[name][0] == pytest.approx(pull, abs=1e-7 * scale)


@pytest.mark.parametrize("travel", [0.0, 0.02, 0.045, 0.07])
def test_hauler_with_friction(travel):
    layout = with_bearings(sprung_hauler(), 14, 0.2, drag=0.05)
    _compare(sweep(assemble(layout), np.array([travel])))


def test_random_chains_with_friction():
    rng = np.random.default_rng(3952)
    for _ in range(40):
        assembly = random_assembly(rng, least=0.3)
        layout = with_bearings(
            assembly.layout,
            rng.uniform(4, 16),
            rng.uniform(0.05, 0.3),
            drag=float(rng.choice([0.0, rng.uniform(0.01, 0.2)])),
        )
        _compare(sweep(assemble(layout), np.array([0.01])))
