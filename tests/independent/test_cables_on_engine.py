"""An engine that rolls and lifts moves a cable's sheath and pulls nothing.

The sheath's end goes with what it is held on: so where it is on the engine beside the
spindle, free wire at both ends stays as it is, whatever the engine does. Its twin, whose
sheath ends on the body, is held to wires laid anew with spindle and points turned by
SciPy's rotations.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from linkage.model import Engine, SheathEnd
from linkage.model.columns import column
from linkage.motion import assemble, sweep
from linkage.motion.rock import rocked
from tests.build import axis_of
from tests.independent.random_wires import PAIRS, TRAVEL, case, push_pull
from tests.independent.wires import End, Wire

PADS = np.linspace(0, TRAVEL, 9)
ROLL, LIFT = 0.015, 0.006
ABOUT = np.array([0.1, -0.05, -0.15])
#: Of a wire that is laid anew, by drum or snail of the driven end. [rad]
NEAR = {"lever": 1e-9, "drum": 3e-5, "snail": 3e-4}


def held(layout, *on):
    """Return a layout with its spindle on the engine, the sheath's ends where told."""
    cable = layout.rods["wire"]
    ends = tuple(
        SheathEnd(point=end.point, on=where)
        for end, where in zip(cable.ends, on, strict=True)
    )
    roll_axis = axis_of(np.eye(3)[[1, 2, 0]])
    engine = Engine(carries=("spindle",), roll=ROLL, about=tuple(ABOUT), axis=roll_axis, lift=LIFT)  # fmt: skip
    return replace(layout, rods={"wire": replace(cable, ends=ends)}, engine=engine)


@pytest.mark.parametrize("kinds", PAIRS, ids="-".join)
def test_a_sheath_that_goes_with_the_engine_moves_nothing(kinds):
    levers = kinds == PAIRS[0]
    for make in (lambda c: c, push_pull) if levers else (lambda c: c,):
        layout = held(make(case(2, kinds)).layout, "body", "engine")
        rest = assemble(layout)
        still = sweep(rest, PADS).turns["spindle"]
        rolls = column(np.array([ROLL, -ROLL, 0.0, 0.0, ROLL]))
        lifts = column(np.array([0.0, 0.0, LIFT, -LIFT, LIFT]))
        moved = sweep(rocked(rest, roll=rolls, lift=lifts), PADS).turns["spindle"]
        assert moved.shape == (5, len(PADS))
        # To the rounding of the same points turned about another point.
        np.testing.assert_allclose(moved, np.broadcast_to(still, moved.shape), atol=1e-10)  # fmt: skip
        assert abs(still[-1]) > 0.2


def _turned(point):
    spin = Rotation.from_rotvec([ROLL, 0, 0])
    return ABOUT + spin.apply(np.array(point) - ABOUT) + [0, 0, LIFT]


@pytest.mark.parametrize("kinds", [PAIRS[0], PAIRS[1], PAIRS[4]], ids="-".join)
def test_a_sheath_that_stays_on_the_body_pulls_as_laid_anew(kinds):
    found = case(2, kinds)
    layout = held(found.layout, "body", "body")
    rest = assemble(layout)
    ours = sweep(rocked(rest, roll=ROLL, lift=LIFT), PADS).turns["spindle"]
    spindle = layout.shafts["spindle"]
    spin = Rotation.from_rotvec([ROLL, 0, 0])
    axis = axis_of(spin.apply([spindle.axis.u, spindle.axis.v, spindle.axis.n]))
    there = replace(spindle, axis=axis, pivot=tuple(_turned(spindle.pivot)))
    driven = found.wire.driven
    end = End(there, there.arms["wire"], driven.point, driven.ahead)
    if driven.arm.wound:
        # Where the sheath is seen from the drum has turned a little.
        before, after = (_bearing(e) for e in (driven, end))
        turn = np.remainder(after - before + np.pi, 2 * np.pi) - np.pi
        end.ahead += driven.arm.wound * turn
    moved = Wire(found.wire.driver, end, found.wire.pulls)
    moved.free = found.wire.free
    theirs = moved.through(found.pedal(PADS))
    np.testing.assert_allclose(ours, theirs, atol=NEAR[kinds[1]])
    still = sweep(rest, PADS).turns["spindle"]
    assert np.abs(ours - still).max() > 0.01


def _bearing(end):
    away = end.point - end.centre
    return np.arctan2(away @ end.v, away @ end.u)


def test_a_cable_that_is_all_on_the_engine_does_not_move_in_it():
    found = case(2, ("lever", "drum"))
    layout = held(found.layout, "engine", "engine")
    layout = replace(
        layout, engine=replace(layout.engine, carries=("spindle", "pedal"))
    )
    rest = assemble(layout)
    moved = sweep(rocked(rest, roll=ROLL, lift=-LIFT), PADS).turns["spindle"]
    np.testing.assert_allclose(moved, sweep(rest, PADS).turns["spindle"], atol=1e-10)
