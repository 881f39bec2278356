"""Springs, bearings and random chains for tests of forces. All sizes invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from linkage.errors import LinkageError
from linkage.model import Known, Layout, Spring
from linkage.motion import Assembly, assemble, frame, sweep
from tests.build import arm, axis_of, hauler, random_basis, rod, shaft, tree


def line_spring(name: str, hook: str, anchor_mm: Any, **data: float) -> Spring:
    """Return an extension spring; data in SI."""
    at, _, arm_name = hook.partition(".")
    known = {"rate": 900.0, "free_length": 0.105, "initial_tension": 6.0}
    return Spring(
        name=name,
        kind="extension",
        shaft=at,
        arm=arm_name,
        anchor=tuple(float(c) / 1e3 for c in anchor_mm),
        known=Known(**{**known, **data}),
    )


def torsion_spring(name: str, at: str, shuts: int, rate: float, preload: float) -> Spring:  # fmt: skip
    return Spring(
        name=name,
        kind="torsion",
        shaft=at,
        known=Known(rate=rate, preload=preload, shuts=float(shuts)),
    )


def with_springs(layout: Layout, *springs: Spring) -> Layout:
    return replace(layout, springs={s.name: s for s in springs})


def with_bearings(
    layout: Layout, diameter_mm: float, friction: float = 0.15, drag: float = 0.0
) -> Layout:
    shafts = {
        n: replace(s, bearing=diameter_mm / 1e3, friction=friction, drag=drag)
        for n, s in layout.shafts.items()
    }
    return replace(layout, shafts=shafts)


#: Next to nothing, but given: a mass of 0 is estimated from sizes. [kg]
NO_MASS = 1e-12


def weightless(layout: Layout, mass: float = NO_MASS) -> Layout:
    """Return a layout whose levers, pad and rods weigh next to nothing."""
    shafts = {
        n: replace(s, arms={k: replace(a, mass=mass) for k, a in s.arms.items()})
        for n, s in layout.shafts.items()
    }
    rods = {n: replace(r, mass=mass) for n, r in layout.rods.items()}
    return replace(layout, shafts=shafts, rods=rods)


def smooth_joints(layout: Layout) -> Layout:
    """Return a layout whose balls and pins do not rub."""
    rods = {n: replace(r, joint_friction=0.0) for n, r in layout.rods.items()}
    return replace(layout, rods=rods)


def smooth(layout: Layout) -> Layout:
    """Return a layout in which nothing rubs: bearings, joints, the pressed spindle."""
    shafts = {n: replace(s, friction=0.0, drag=0.0) for n, s in layout.shafts.items()}
    return smooth_joints(replace(layout, shafts=shafts))


def bare(layout: Layout) -> Layout:
    """Return a layout in which nothing rubs or weighs: geometry and springs alone."""
    return smooth(weightless(layout))


def sprung_hauler(**more: Any) -> Layout:
    """The invented hauler with a spring on its spindle and one on its pedal."""
    layout = hauler(**more)
    return with_springs(
        layout,
        line_spring("main", "spindle.spring", (194, -100, 130)),
        torsion_spring("pedal", "pedal", -1, 2.0, 1.0),
    )


def random_chain(rng: np.random.Generator) -> Layout:
    """Return a planar or spatial tree of 2 to 4 shafts, weighed and sprung.

    It may not be assemblable; see `random_assembly`.
    """
    count = int(rng.integers(2, 5))
    planar = bool(rng.integers(2))
    bases = [random_basis(rng)] * count if planar else [random_basis(rng) for _ in range(count)]  # fmt: skip
    shafts, rods, springs = [], [], []
    for i in range(count):
        arms = [
            replace(
                arm(f"a{k}", rng.uniform(30, 120), rng.uniform(-180, 180), rng.uniform(-150, 150)),
                mass=float(rng.choice([0.0, rng.uniform(0.02, 0.2)])),
            )
            for k in range(4)
        ]  # fmt: skip
        pad = arm("pad", rng.uniform(120, 220), rng.uniform(-180, 180))
        shafts.append(shaft(f"s{i}", rng.uniform(-300, 300, 3), axis_of(bases[i]), *arms, pad))  # fmt: skip
        if i:
            before = int(rng.integers(i))  # a branch where it is not the last one
            rods.append(
                rod(f"r{i}", f"s{before}.a{i % 3}", f"s{i}.a0", mass=float(rng.choice([0.0, 0.05])))
            )  # fmt: skip
        springs.append(_random_spring(rng, f"k{i}", f"s{i}"))
    layout = tree(shafts, rods, travel_mm=30, presses=int(rng.choice([1, -1])))
    return with_springs(layout, *springs)


def _random_spring(rng: np.random.Generator, name: str, at: str) -> Spring:
    kind = rng.choice(["extension", "compression", "torsion"])
    if kind == "torsion":
        return torsion_spring(name, at, int(rng.choice([1, -1])), rng.uniform(0.1, 3), rng.uniform(0.5, 2))  # fmt: skip
    free = rng.uniform(0.05, 0.15) if kind == "extension" else rng.uniform(0.5, 0.9)
    spring = line_spring(name, f"{at}.a3", rng.uniform(-400, 400, 3), rate=rng.uniform(200, 2000), free_length=free)  # fmt: skip
    return replace(spring, kind=str(kind))


def random_assembly(rng: np.random.Generator, least: float = 0.1) -> Assembly:
    """Return the next random chain that can be assembled and is clear of dead centre.

    Parameters
    ----------
    rng : Generator
        Source of chance.
    least : float
        Least sine of the arm-rod angles over 20 mm of pad.
    """
    while True:
        try:
            assembly = assemble(random_chain(rng))
        except LinkageError:
            continue
        motion = sweep(assembly, np.linspace(0, 0.02, 5))
        if any(np.isnan(t).any() for t in motion.turns.values()):
            continue
        lines = [frame(motion).rod(p.link.rod.name) for p in assembly.loops]
        sides = [np.abs(s).min() for r in lines for s in (r.driver_side, r.driven_side)]
        if min(sides) > least:
            return assembly
