"""The whole equilibrium of planar linkages, by itself and beside the judge's estimate.

Not here: the program's forces against it (`test_joint_friction`).
"""

from __future__ import annotations

import numpy as np
import pytest

from linkage.motion import assemble, sweep
from tests.independent.judge_friction import left_at, walk
from tests.independent.judge_loads import loads_of
from tests.independent.judge_places import places_of
from tests.independent.planar import Equilibrium, pose
from tests.independent.random_planar import planar

TRAVEL = 0.012


def _layouts(seed: int, count: int, loops: int):
    rng = np.random.default_rng(seed)
    return [planar(rng, loops, TRAVEL) for _ in range(count)]


def test_the_own_positions_are_those_of_the_sweep():
    for layout in _layouts(83, 10, 3):
        motion = sweep(assemble(layout), np.array([TRAVEL]))
        for name, turn in pose(layout, TRAVEL).turns.items():
            assert motion.turns[name][0] == pytest.approx(turn, abs=1e-9)


def test_the_estimate_of_the_judge_is_near_the_whole_equilibrium():
    """What `judge_friction` leaves at the plate, as the foot lets the pad up."""
    apart = []
    for layout in _layouts(84, 30, 2):
        places, plate = places_of(layout), layout.main
        loads = loads_of(places)
        held = walk(layout, layout.pedal.shaft, set(layout.shafts), frozenset())
        every = loads.springs + loads.weights
        # The plate is to shut: presses opens it, or else the pad goes down meanwhile.
        with np.errstate(invalid="ignore"):
            way = plate.opens * layout.pedal.presses * places.rates[plate.shaft][0, 0]
        foot = Equilibrium(layout, 0.0, -1 if way > 0 else 1).solved()[0]
        free = Equilibrium(layout, 0.0, 0).solved()[0]
        radius = layout.pad_radius
        left = left_at(places, plate, every, held, 1.0)[0, 0]
        whole = left_at(places, plate, every, held, 0.0)[0, 0]
        lost = (whole - left) * abs(way) / radius
        air = (
            0.05 * abs(way) / radius if layout.shafts[plate.shaft].drag is None else 0.0
        )
        apart.append(abs(lost - air - abs(free - foot)) / abs(free - foot))
    assert np.median(apart) < 0.02
    assert np.max(apart) < 0.3
