"""Friction in closed form against all equations of equilibrium, solved at once.

Six equations a shaft, force and moment in space, with two radial forces at each of
two bearings and one thrust as unknowns, beside every rod force and the pad force;
friction is part of the moment about the shaft. SciPy finds the root of the whole
system with no knowledge of the tree. Joints do not rub here.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import root

from linkage.forces import GRAVITY, statics
from linkage.model import Hole
from linkage.motion import assemble, frame, sweep
from tests.independent.weights import hung
from tests.sprung import random_assembly, smooth_joints, sprung_hauler, with_bearings


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
    first = frame(motion).first[shaft][0]
    for at, name, mass, share in hung(motion.assembly):
        if at != shaft:
            continue
        pin = frame(motion).pin(Hole(shaft=shaft, arm=name)).T[0]
        centre = np.array(s.pivot) + s.arms[name].offset * n
        place, down = centre + share * (pin - centre), np.array([0, 0, -GRAVITY * mass])
        forces.append((place, down))
        # The bearings carry all of it; where it shuts, half is not counted on.
        own = np.cross(place - np.array(s.pivot), down) @ n
        torque -= 0.5 * own if own * first < 0 else 0.0
    return forces, torque * n


def _places(s):
    """Return where a shaft is carried: as given, else at its outermost arms, else 20 mm."""
    if s.bearings is not None:
        return s.bearings
    at = [a.offset for a in s.arms.values()]
    wide = max(at) - min(at)
    middle = (max(at) + min(at)) / 2 if wide else 0.0
    half = max(wide, 0.020) / 2
    return middle - half, middle + half


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
            one, other, thrust = rest[5 * i : 5 * i + 2], rest[5 * i + 2 : 5 * i + 4], rest[5 * i + 4] * n  # fmt: skip
            pair = [x * np.array(s.axis.u) + y * np.array(s.axis.v) for x, y in (one, other)]  # fmt: skip
            pivot = np.array(s.pivot)
            held = [(pivot + at * n, f) for at, f in zip(_places(s), pair, strict=True)]
            held.append((pivot, thrust))
            forces, moment = list(fixed[name][0]), np.array(fixed[name][1])
            for pull, k in zip(pulls, rods, strict=True):
                a, b, along = ends[k.rod.name]
                if k.driver.shaft == name:
                    forces.append((a, pull * along))
                if k.driven.shaft == name:
                    forces.append((b, -pull * along))
            if name == pedal.shaft:
                forces.append((pad, pad_force * push))
            grip = s.friction * s.bearing / 2
            rub = grip * sum(np.linalg.norm(f) for _, f in held) + s.drag
            moment = moment - sense * np.sign(first[name][0]) * rub * n
            forces += held
            out += list(sum(f for _, f in forces))
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
    """Compare both senses; return in how many friction does not lock."""
    s = statics(motion)
    free = 0
    for sense, pad, rods in (
        (1, s.pad_force_pressing, s.rod_pressing),
        (-1, s.pad_force_releasing, s.rod_releasing),
    ):
        if np.isnan(pad[0]):
            continue
        free += 1
        force, pulls = _solve(motion, sense)
        scale = max(1.0, *(abs(p) for p in pulls.values()))
        assert pad[0] == pytest.approx(force, abs=1e-7 * scale)
        for name, pull in pulls.items():
            assert rods[name][0] == pytest.approx(pull, abs=1e-7 * scale)
    return free


@pytest.mark.parametrize("travel", [0.0, 0.02, 0.045, 0.07])
def test_hauler_with_friction(travel):
    layout = with_bearings(smooth_joints(sprung_hauler()), 14, 0.2, drag=0.05)
    assert _compare(sweep(assemble(layout), np.array([travel]))) == 2


def _carried(rng, layout):
    """Give some of the shafts two bearings, wherever they come to stand."""
    shafts = {
        n: replace(s, bearings=tuple(sorted(rng.uniform(-0.2, 0.2, 2))))
        if rng.integers(2)
        else s
        for n, s in layout.shafts.items()
    }
    return replace(layout, shafts=shafts)


def test_random_chains_with_friction():
    rng = np.random.default_rng(3952)
    compared = 0
    for _ in range(40):
        assembly = random_assembly(rng, least=0.3)
        layout = with_bearings(
            smooth_joints(assembly.layout),
            rng.uniform(4, 16),
            rng.uniform(0.05, 0.3),
            drag=float(rng.choice([0.0, rng.uniform(0.01, 0.2)])),
        )
        compared += _compare(sweep(assemble(_carried(rng, layout)), np.array([0.01])))
    assert compared > 70
