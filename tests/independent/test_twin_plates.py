"""Two carburettors against SciPy: pins laid out as vectors, rods by their lengths alone.

The other way knows no closed form, no derivative and no branch: a root finder turns each
lever until its rod is as long as it was at rest, in small steps from there.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage.motion import assemble, working_travel
from linkage.motion.twin_effects import effects
from linkage.motion.twin_setting import set_together
from linkage.motion.twins import beside
from tests.unit.test_twins import short_lever

#: Of the shipped twin, in mm and degrees, written out again: pivot, direction of u, v, n.
ACROSS = (np.array([1.0, 0, 0]), np.array([0, 0, 1.0]), np.array([0, -1.0, 0]))
ALONG = (np.array([0, -1.0, 0]), np.array([0, 0, 1.0]), np.array([-1.0, 0, 0]))
PEDAL = (np.array([0, 300.0, 0]), ACROSS)
JACK = (np.array([200, 240.0, 260]), ALONG)
FRONT = (np.array([400, 280.0, 130]), ALONG)
REAR = (np.array([250, 280.0, 130]), ALONG)
SWING = math.radians(76)


def pin(
    shaft, length: float, angle_deg: float, offset: float, turn: float
) -> np.ndarray:
    pivot, (u, v, n) = shaft
    at = math.radians(angle_deg) + turn
    return pivot + offset * n + length * (u * math.cos(at) + v * math.sin(at))


def followed(driver, driven, turns) -> np.ndarray:
    """Return the turns of a driven shaft whose rod is cut to fit at rest."""
    length = np.linalg.norm(driver(0.0) - driven(0.0))
    found, last = [], 0.0
    for turn in turns:
        here = driver(turn)

        def over(angle, here=here):
            return float(np.linalg.norm(here - driven(angle)) - length)

        last = brentq(over, last - 0.1, last + 0.1, xtol=1e-14)
        found.append(last)
    return np.array(found)


def openings(
    travel, rear: float = 33.0, arm: float = 76.0
) -> tuple[np.ndarray, np.ndarray]:
    """Return front and rear opening at pad travels in mm, rising from 0 in small steps."""
    jack = followed(
        lambda t: pin(PEDAL, 70, -11, 0, t),
        lambda t: pin(JACK, 52, 197, 131, t),
        np.asarray(travel) / 180,
    )
    front = followed(
        lambda t: pin(JACK, 76, 195, -200, t), lambda t: pin(FRONT, 33, 218, 0, t), jack
    )
    back = followed(
        lambda t: pin(JACK, arm, 195, -50, t),
        lambda t: pin(REAR, rear, 218, 0, t),
        jack,
    )
    return -front, -back  # both open clockwise


def test_axes_are_those_of_the_file():
    layout = short_lever(33)
    for name, (pivot, axes) in {
        "pedal": PEDAL,
        "jack shaft": JACK,
        "front spindle": FRONT,
        "rear spindle": REAR,
    }.items():
        shaft = layout.shafts[name]
        assert np.allclose(np.array(shaft.pivot) * 1e3, pivot)
        assert np.allclose([shaft.axis.u, shaft.axis.v, shaft.axis.n], axes)


@pytest.mark.parametrize("lever", [30.0, 33.0, 36.0])
def test_the_difference_is_what_a_root_finder_gives(lever):
    assembly = assemble(short_lever(lever))
    (twins,) = beside(assembly, working_travel(assembly))
    front, rear = openings(twins.pad_travel * 1e3, lever)
    assert (
        np.abs(twins.difference - (rear - front)).max() < 1e-8
    )  # of the stop that is met
    gap = np.abs(rear - front)
    assert abs(twins.greatest) == pytest.approx(gap.max(), abs=1e-8)


@pytest.mark.parametrize("lever", [30.0, 36.0])
def test_where_each_is_full_is_where_a_root_finder_has_it_full(lever):
    assembly = assemble(short_lever(lever))
    (twins,) = beside(assembly, working_travel(assembly))
    way = np.linspace(
        0, twins.full[max(twins.full, key=twins.full.get)] * 1e3 + 0.5, 400
    )
    both = openings(way, lever)
    for name, opening in zip(("front", "rear"), both, strict=True):
        i = int(np.argmax(opening >= SWING))
        low, high = way[i - 1], way[i]
        steps = np.linspace(0, low, 201)

        def over(place, steps=steps, name=name):
            return openings([*steps, place], lever)[name == "rear"][-1] - SWING

        assert twins.full[name] * 1e3 == pytest.approx(
            brentq(over, low, high), abs=1e-6
        )


def test_effects_are_central_differences_of_the_root_finder():
    assembly = assemble(short_lever(30))
    (twins,) = beside(assembly, working_travel(assembly))
    told = {str(e.about): e for e in effects(assembly, twins)}
    step = 1e-3  # mm
    for name, size in (("rear spindle.lever", "rear"), ("jack shaft.rear", "arm")):
        ends = []
        for sign in (-1, 1):
            sizes = {"rear": 30.0, "arm": 76.0}
            sizes[size] += sign * step
            front, rear = openings(twins.pad_travel * 1e3, **sizes)
            ends.append(rear[-1] - front[-1])
        slope = (ends[1] - ends[0]) / (2 * step)  # a millimetre
        assert told[name].at_full == pytest.approx(slope, rel=1e-6)


def test_the_arm_that_is_told_makes_the_root_finder_full_with_both():
    layout = short_lever(30)
    assembly = assemble(layout)
    (twins,) = beside(assembly, working_travel(assembly))
    setting = set_together(layout, twins)
    assert setting is not None
    arm = next(a for a in setting.arms if str(a.hole) == "jack shaft.rear")
    way = np.linspace(0, twins.full["front"] * 1e3, 241)
    front, rear = openings(way, 30.0, arm.right * 1e3)
    assert front[-1] == pytest.approx(SWING, abs=1e-7)
    assert rear[-1] == pytest.approx(SWING, abs=1e-6)
