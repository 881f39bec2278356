"""Air on a shut plate against its formula; a parted rod carries no weight over.

Force on a shut plate: pressure times the area of the bore; its spindle rubs with mu r
times that. 70 kPa, 38 mm bore, 8 mm spindle, mu 0.15 give about 0.05 N·m by hand:
70e3 x pi/4 x 0.038² = 79 N, x 0.15 x 0.004 m = 0.048 N·m.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.forces import returns
from linkage.model import Hole, Known, Rod, Spring
from linkage.motion import assemble, sweep
from tests.build import arm, rod, shaft, tree

SHUT_DEG = 10


def _layout(
    *,
    bore_mm=0.0,
    spindle_mm=0.0,
    drag=None,
    friction=None,
    pad_kg=0.0,
    rod_kg=0.0,
    lever_deg=90,
):
    """Pedal and spindle abreast, equal arms: the plate turns as the pedal does."""
    light = {"mass": 1e-12}
    pedal = shaft(
        "pedal", (0, 0, 0), "across",
        replace(arm("pad", 200, 0), mass=pad_kg or 1e-12),
        replace(arm("rod", 60, lever_deg), **light),
    )  # fmt: skip
    spindle = shaft(
        "spindle", (200, 0, 0), "across", replace(arm("lever", 60, lever_deg), **light)
    )
    pedal, spindle = (
        replace(pedal, drag=0.0),
        replace(spindle, drag=drag, friction=friction),
    )
    link = replace(
        rod("link", "pedal.rod", "spindle.lever"),
        mass=rod_kg or 1e-12,
        joint_friction=0.0,
    )
    layout = tree(
        [pedal, spindle], [link], travel_mm=150, presses=-1, opens=-1, swing_deg=80
    )
    layout = replace(layout, friction=0.0)  # so that nothing but the air rubs
    t = layout.throttles["throttle"]
    t = replace(t, bore=bore_mm / 1e3, spindle=spindle_mm / 1e3)
    coil = Spring(
        name="coil", kind="torsion", shaft="spindle",
        known=Known(rate=0.1, preload=0.5, shuts=1),
    )  # fmt: skip
    return replace(layout, throttles={"throttle": t}, springs={"coil": coil})


def _returned(layout, openings_deg, which: str = "none"):
    """Return closing torque and friction at some openings, whole or after a failure."""
    travel = np.radians(openings_deg) * 0.2
    found = returns(sweep(assemble(layout), travel))
    return next(r for r in found if r.failure.kind == which)


def _air(bore: float, spindle: float) -> float:
    return 0.15 * spindle / 2 * 70e3 * math.pi * bore**2 / 4


@pytest.mark.parametrize(("bore", "spindle"), [(38, 8), (28, 7), (50, 10)])
def test_a_shut_plate_rubs_with_the_pressure_on_it(bore, spindle):
    layout = _layout(bore_mm=bore, spindle_mm=spindle)
    r = _returned(layout, [0.0, SHUT_DEG - 0.5, SHUT_DEG + 0.5, 40.0, 75.0])
    air = _air(bore / 1e3, spindle / 1e3)
    whole = [air, air, air / 2, air / 2, air / 2]
    assert r.friction_torque == pytest.approx(whole, rel=1e-6)


def test_friction_given_of_the_spindle_counts_for_the_air_too():
    smooth, rough = (
        _layout(bore_mm=38, spindle_mm=8, friction=mu) for mu in (0.15, 0.3)
    )
    one, two = (_returned(x, [0.0], "rod").friction_torque[0] for x in (smooth, rough))
    assert two == pytest.approx(2 * one, rel=1e-6)


def test_the_usual_plate_by_hand():
    assert _air(0.038, 0.008) == pytest.approx(0.048, abs=5e-4)
    r = _returned(_layout(bore_mm=38, spindle_mm=8), [0.0])
    assert r.friction_torque[0] == pytest.approx(0.048, abs=5e-4)


def test_without_a_bore_a_usual_one_is_taken():
    r = _returned(_layout(), [0.0, 45.0])
    assert r.friction_torque == pytest.approx([0.05, 0.025], rel=1e-6)


def test_a_measured_drag_stands_for_the_air_too():
    r = _returned(_layout(bore_mm=38, spindle_mm=8, drag=0.011), [0.0, 45.0])
    assert r.friction_torque == pytest.approx([0.011, 0.011], rel=1e-6)


def test_a_plate_by_itself_rubs_too():
    """The rod has parted: the air on the plate is all that rubs, for dirt doubled or not."""
    r = _returned(_layout(bore_mm=38, spindle_mm=8), [0.0, 45.0], "rod")
    air = _air(0.038, 0.008)
    times = r.friction_torque / [air, air / 2]
    assert times[0] == pytest.approx(times[1], rel=1e-6)
    assert times[0] == pytest.approx(1.0, rel=1e-6)


def test_a_parted_rod_carries_no_weight_over():
    """A heavy pad moves the plate while it is joined, and not when the rod has parted."""
    at = [5.0, 30.0]
    light, heavy = (_returned(x, at) for x in (_layout(), _layout(pad_kg=4.0)))
    assert np.abs(light.closing_torque - heavy.closing_torque).min() > 0.05
    parted = _returned(_layout(pad_kg=4.0), at, "rod").closing_torque
    spring = [0.5 + 0.1 * math.radians(a) for a in at]
    assert parted == pytest.approx(spring, rel=1e-6)


def test_a_parted_rod_does_not_help_to_shut():
    """Joined, the rod's weight shuts the plate; parted, it may lie anywhere."""
    at = [5.0, 30.0]
    heavy = _layout(rod_kg=3.0, lever_deg=150)
    joined, parted = (_returned(heavy, at, k).closing_torque for k in ("none", "rod"))
    spring = np.array([0.5 + 0.1 * math.radians(a) for a in at])
    assert (joined > spring + 0.05).all()
    assert (parted <= spring + 1e-6).all()


def test_the_formula_needs_its_hole():
    """The layout of these tests turns its plate as its pedal, one to one."""
    layout = _layout()
    motion = sweep(assemble(layout), np.array([0.1]))
    assert motion.turns["spindle"][0] == pytest.approx(
        motion.turns["pedal"][0], abs=1e-9
    )
    assert isinstance(layout.rods["link"], Rod)
    assert layout.rods["link"].end == Hole(shaft="spindle", arm="lever")
