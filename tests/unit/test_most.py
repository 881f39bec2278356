"""What a layout may hold at most, and how far its pedal may turn, file or not."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.errors import LayoutError, UsageError
from linkage.model.most import MOST_PARTS
from linkage.motion import assemble, sweep
from tests.build import arm, rod, shaft, tree


def _car(radius_mm: float = 180.0, travel_mm: float = 80.0):
    return tree(
        [
            shaft(
                "pedal", (0, 0, 0), "across", arm("pad", radius_mm, -90), arm("rod", 60, 80)
            ),
            shaft("spindle", (400, 0, 0), "across", arm("lever", 60, 80)),
        ],
        [rod("one", "pedal.rod", "spindle.lever")],
        travel_mm=travel_mm,
        swing_deg=30.0,
    )  # fmt: skip


def test_a_pad_that_turns_half_way_round_is_let_be_and_no_further():
    radius = 80 / math.pi
    assert _car(radius * 1.001).apart
    with pytest.raises(LayoutError, match="more than half a turn") as caught:
        _car(radius * 0.999)
    assert caught.value.key == ("pedal", "travel")


def test_a_pad_of_a_thousandth_of_a_millimetre_is_refused_at_once():
    with pytest.raises(LayoutError, match="more than half a turn"):
        _car(0.001)


def test_rows_that_turn_further_are_told_and_the_others_go_on():
    many = _car().with_arm("pedal.pad", length=[0.18, 1e-6, 0.2])
    assert many.apart.ravel().tolist() == [True, False, True]
    assembly = assemble(many)
    assert np.ravel(assembly.ok).tolist() == [True, False, True]
    moved = sweep(assembly, [0.0, 0.04, 0.08])
    assert np.isfinite(moved.opening("throttle")[[0, 2]]).all()


def test_a_sweep_of_more_than_ten_turns_is_refused():
    assembly = assemble(_car())
    assert np.isfinite(sweep(assembly, [0.0, 0.08]).opening("throttle")).all()
    with pytest.raises(UsageError, match="more than ten turns"):
        sweep(assembly, [0.0, 1e9])


@pytest.mark.parametrize(
    "name", ["", "a\nb", "a\x1b[2J", "a\u202eb", "a\u200b", "a\ufffe", "a" * 81]
)
def test_names_that_cannot_be_shown_are_refused_in_python_too(name):
    layout = _car()
    with pytest.raises(LayoutError, match="empty, too long or holds control"):
        layout.with_shaft(replace(layout.shafts["spindle"], name=name))
    two = {
        **layout.shafts["spindle"].arms,
        name: layout.shafts["spindle"].arms["lever"],
    }
    with pytest.raises(LayoutError, match="empty, too long or holds control"):
        layout.with_shaft(replace(layout.shafts["spindle"], arms=two))


def test_names_with_odd_signs_that_can_be_seen_stay():
    layout = _car()
    arms = layout.shafts["spindle"].arms
    for name in ("$x^{2}$", "Käfig, links", "中", 'a"b', "=1+1", "a" * 80):
        shaft = replace(
            layout.shafts["spindle"],
            arms={**arms, name: replace(arms["lever"], name=name)},
        )
        assert name in layout.with_shaft(shaft).shafts["spindle"].arms


def test_no_more_parts_than_a_vehicle_could_have():
    layout = _car()
    spindle = layout.shafts["spindle"]
    arms = {
        f"a{i}": replace(spindle.arms["lever"], name=f"a{i}")
        for i in range(MOST_PARTS - 1)
    }
    full = layout.with_shaft(replace(spindle, arms={**spindle.arms, **arms}))
    assert len(full.shafts["spindle"].arms) == MOST_PARTS
    with pytest.raises(LayoutError, match="`arms` has 65 parts, more than 64"):
        full.with_shaft(
            replace(
                spindle,
                arms={**full.shafts["spindle"].arms, "one": spindle.arms["lever"]},
            )
        )
