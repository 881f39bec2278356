"""Force balance against virtual work and against potential energy.

The statics balance rods one shaft after another. Here the same pad force comes
from elsewhere: the torque of every spring and weight, by vectors written out
again, times the derivatives of the motion (derived in symbols); and, coarser,
from differences of the potential energy, which knows no torque at all.

Masses that are not given are estimated here once more, from what the program says of
it (`forces.masses`): levers 20 x 5 mm, a pad of 0.3 kg, rods by their diameter. A weight
that sinks while the pedal goes down counts whole, one that rises half.
"""

from __future__ import annotations

import numpy as np

from linkage.forces import GRAVITY, statics
from linkage.model import Hole
from linkage.motion import frame, sweep
from tests.independent.weights import hung
from tests.sprung import random_assembly

CHAINS = 1000


def _along(shaft, force, lever):
    return np.cross(lever, force) @ np.array(shaft.axis.n)


def _torques(motion):
    """Torque of springs and weights on each shaft, from vectors alone."""
    layout = motion.assembly.layout
    total = {n: np.zeros(motion.pad_travel.size) for n in layout.shafts}
    for spring in layout.springs.values():
        shaft = layout.shafts[spring.shaft]
        d = spring.known
        if spring.kind == "torsion":
            wound = d.preload - d.shuts * d.rate * motion.turns[shaft.name]
            total[shaft.name] += d.shuts * np.maximum(wound, 0)
            continue
        pin = frame(motion).pin(Hole(shaft=shaft.name, arm=spring.arm)).T
        line = np.array(spring.anchor) - pin
        length = np.linalg.norm(line, axis=1)
        pull = np.where(length > d.free_length, d.initial_tension + d.rate * (length - d.free_length), 0.0)  # fmt: skip
        if spring.kind == "compression":
            pull = d.rate * np.minimum(length - d.free_length, 0)
        force = line * (pull / length)[:, None]
        total[shaft.name] += _along(shaft, force, pin - np.array(shaft.pivot))
    for shaft_name, arm_name, mass, share in hung(motion.assembly):
        shaft = layout.shafts[shaft_name]
        at = _centres(motion, shaft, arm_name, share)
        down = np.broadcast_to([0, 0, -GRAVITY * mass], at.shape)
        torque = _along(shaft, down, at - np.array(shaft.pivot))
        sinks = torque * frame(motion).first[shaft_name] > 0
        total[shaft_name] += torque * np.where(sinks, 1.0, 0.5)
    return total


def _centres(motion, shaft, arm_name, share):
    pin = frame(motion).pin(Hole(shaft=shaft.name, arm=arm_name)).T
    normal = np.array(shaft.axis.n)
    centre = np.array(shaft.pivot) + shaft.arms[arm_name].offset * normal
    return centre + share * (pin - centre)


def test_pad_force_is_virtual_work_on_1000_random_chains():
    rng = np.random.default_rng(571124)
    travel = np.linspace(0, 0.02, 5)
    worst = 0.0
    kinds = set()
    for _ in range(CHAINS):
        motion = sweep(random_assembly(rng), travel)
        layout = motion.assembly.layout
        s = statics(motion)
        first = frame(motion).first
        parts = {n: -t * first[n] for n, t in _torques(motion).items()}
        work = sum(parts.values())
        scale = sum(np.abs(p) for p in parts.values()) + 1e-3
        worst = max(worst, float(np.max(np.abs(s.pad_force - work) / scale)))
        parallel = len({sh.axis.n for sh in layout.shafts.values()}) == 1
        branched = len({k.driver.shaft for k in layout.links}) < len(layout.links)
        kinds.add((parallel, branched, len(layout.links)))
        # The split is the same virtual work, spring by spring.
        split = sum(s.split.values()) + s.weight_share
        assert np.allclose(split, work, rtol=1e-9, atol=1e-9 * scale.max())
    assert worst < 1e-9
    assert {(p, n) for p, _, n in kinds} == {(p, n) for p in (True, False) for n in (1, 2, 3)}  # fmt: skip
    assert {b for _, b, _ in kinds} == {True, False}


def _energy(motion):
    """Potential energy of springs; slack and stretched alike."""
    layout = motion.assembly.layout
    total = np.zeros(motion.pad_travel.size)
    for spring in layout.springs.values():
        d = spring.known
        if spring.kind == "torsion":
            wound = d.preload - d.shuts * d.rate * motion.turns[spring.shaft]
            total += np.maximum(wound, 0) ** 2 / (2 * d.rate)
            continue
        pin = frame(motion).pin(Hole(shaft=spring.shaft, arm=spring.arm)).T
        stretch = np.linalg.norm(np.array(spring.anchor) - pin, axis=1) - d.free_length
        if spring.kind == "compression":
            total += d.rate / 2 * np.minimum(stretch, 0) ** 2
        else:
            y = np.maximum(stretch, 0)
            total += d.rate / 2 * y**2 + d.initial_tension * y
    return total


def _sunk(low, high):
    """Work that lifting the weights from one motion to another takes, as it counts."""
    layout = low.assembly.layout
    total = np.zeros(low.pad_travel.size)
    for shaft_name, arm_name, mass, share in hung(low.assembly):
        shaft = layout.shafts[shaft_name]
        a, b = (_centres(m, shaft, arm_name, share)[:, 2] for m in (low, high))
        total += GRAVITY * mass * (b - a) * np.where(b < a, 1.0, 0.5)
    return total


def test_pad_force_is_the_slope_of_potential_energy():
    rng = np.random.default_rng(13906)
    step = 2e-6
    for _ in range(200):
        assembly = random_assembly(rng)
        at = np.array([0.004, 0.011])
        high, low = (sweep(assembly, at + e) for e in (step, -step))
        s = statics(sweep(assembly, at))
        around = [statics(sweep(assembly, at + e)).pad_force for e in (step, -step)]
        smooth = np.abs(around[0] - around[1]) < 0.1  # no spring goes slack here
        slope = (_energy(high) - _energy(low) + _sunk(low, high)) / (2 * step)
        assert np.allclose(slope[smooth], s.pad_force[smooth], rtol=1e-5, atol=1e-4)
