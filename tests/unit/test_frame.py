"""The frame: pins, tangents, torque arms and rates, by plane geometry and by rows."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from linkage.model import Hole
from linkage.model.columns import column
from linkage.motion import assemble, frame, sweep
from linkage.motion.frame import Frame, as_vector, dot
from tests.build import arm, axis_of, four_bar, hauler, hole, random_basis, shaft

TRAVEL = np.linspace(0, 0.075, 31)


def test_the_frame_of_a_motion_is_made_once():
    motion = sweep(assemble(hauler()), TRAVEL)
    assert frame(motion) is frame(motion)
    assert frame(motion).rod("last") is frame(motion).rods["last"]
    assert frame(motion).pin(hole("pedal.pad")) is frame(motion).pin(hole("pedal.pad"))


def test_pins_follow_their_shafts():
    layout = hauler()
    motion = sweep(assemble(layout), TRAVEL)
    pin = frame(motion).pin(hole("cross shaft.outer"))
    assert pin.shape == (3, 31)
    for i in (0, 13, 30):
        turn = float(motion.turns["cross shaft"][i])
        expected = layout.shafts["cross shaft"].pin("outer", turn)
        assert pin[:, i] == pytest.approx(np.array(expected), abs=1e-14)


def test_tangent_is_the_way_a_pin_moves_anticlockwise():
    """By central differences, on an axis in any direction."""
    basis = random_basis(np.random.default_rng(3))
    one = shaft("s", (10, 20, 30), axis_of(basis), arm("a", 40, 25, 7))

    def at(turn):
        turn = np.asarray(turn)
        motion = SimpleNamespace(
            assembly=SimpleNamespace(layout=SimpleNamespace(shafts={"s": one})),
            pair=lambda _: (np.cos(turn), np.sin(turn)),
            ndim=turn.ndim,
        )
        return Frame(motion)

    turn, h = np.linspace(-3, 3, 7), 1e-6
    a = Hole(shaft="s", arm="a")
    way = (at(turn + h).pin(a) - at(turn - h).pin(a)) / (2 * h)
    assert at(turn).tangent(a) * 0.04 == pytest.approx(way, abs=1e-9)
    assert dot(at(turn).tangent(a), at(turn).tangent(a)) == pytest.approx(1.0)
    assert at(0.5).pin(a).shape == (3,)
    columns = at(column([0.5, 0.7])).pin(a)
    assert columns.shape == (3, 2, 1)
    assert columns[:, 1, 0] == pytest.approx(at(0.7).pin(a), abs=1e-16)


def test_torque_arms_are_what_a_pull_does():
    """Torque as the cross product of the place about the centre line with the force."""
    motion = sweep(assemble(hauler()), TRAVEL)
    here = frame(motion)
    for line in here.rods.values():
        for h, pull in (
            (line.link.driver, line.along),
            (line.link.driven, -line.along),
        ):
            one = here.layout.shafts[h.shaft]
            away = here.pin(h) - here.vector(one.pivot)
            torque = np.cross(away.T, pull.T) @ np.array(one.axis.n, float)
            assert line.arms[h.shaft] == pytest.approx(torque, abs=1e-15)


def test_ratios_are_torque_arms_against_each_other():
    """Virtual work: the rod moves both pins alike along itself."""
    here = frame(sweep(assemble(hauler()), TRAVEL))
    for name, line in here.rods.items():
        one, two = (line.arms[h.shaft] for h in line.link.holes)
        assert here.ratios[name] == pytest.approx(-one / two, rel=1e-10)


def test_second_is_the_change_of_first():
    assembly = assemble(hauler())
    h = 1e-6
    way = (
        frame(sweep(assembly, TRAVEL + h)).first["spindle"]
        - frame(sweep(assembly, TRAVEL - h)).first["spindle"]
    ) / (2 * h)
    second = frame(sweep(assembly, TRAVEL)).second
    assert second["spindle"] == pytest.approx(way, rel=1e-5)
    assert not second["pedal"].any()


def test_a_jam_leaves_nan_and_no_warning():
    motion = sweep(assemble(four_bar(90, 60, 50, 70, 40)), np.radians([0.0, 60.0]))
    line = frame(motion).rod("rod")
    for values in (line.driver_angle, line.driven_tilt, frame(motion).second["lever"]):
        assert np.isnan(values).tolist() == [False, True]


def test_as_vector_goes_with_any_arrays():
    assert as_vector((1, 2, 3), 0).shape == (3,)
    assert as_vector((1, 2, 3), 2).shape == (3, 1, 1)
    mixed = as_vector((1, column([2, 5]), 3), 2)
    assert mixed[:, :, 0].tolist() == [[1, 1], [2, 5], [3, 3]]
