"""What hangs on one part: pins, levers, anchors, shafts; alone and in rows."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.forces import failures, force_lines, returns
from linkage.model import row, rows_of, stack
from linkage.model.refs import Ref
from linkage.motion import assemble, sweep
from linkage.rules import examine, judge
from tests.build import arm, hauler, rod
from tests.sprung import line_spring, torsion_spring, with_springs

NEAR, FAR = (Ref("spring", n) for n in ("near", "far"))


def sprung(
    length: float = 30,
    angle: float = 60,
    offset: float = 36,
    anchor: tuple[float, float, float] = (194, -136, 130),
    **far,
):
    """The hauler with two springs, the hole and anchor of one where a test wants it."""
    base = hauler()
    spindle = base.shafts["spindle"]
    arms = {**spindle.arms, "far": arm("far", length, angle, offset)}
    base = replace(base, shafts={**base.shafts, "spindle": replace(spindle, arms=arms)})
    far_one = replace(line_spring("far", "spindle.far", anchor), **far)
    return with_springs(
        base, line_spring("near", "spindle.spring", (194, -100, 130)), far_one
    )


def common(layout, kind):
    return [f for f in failures(layout) if f.kind == kind]


def told(layout):
    """What several parts go with, by kind and in words."""
    known = {"spring", "rod", "shaft"}
    return {f.kind: f.text for f in failures(layout) if f.kind not in known}


def test_parts_that_stand_apart_fail_one_by_one():
    assert told(sprung()) == {}


@pytest.mark.parametrize(
    ("hole", "one"),
    [
        ((30, 60, 4.9), True),
        ((30, 60, 5.1), False),
        ((34.9, 60, 0), True),
        # The same by angle and by all three, straight from hole to hole.
        ((30, 60 + math.degrees(4.9 / 30), 0), True),
        ((33, 63, 3), True),
        ((33, 67, 3), False),
    ],
)
def test_holes_that_are_near_are_on_one_pin(hole, one):
    found = common(sprung(*hole), "pin")
    assert [f.gone for f in found] == [frozenset({NEAR, FAR})] * one
    for f in found:
        assert f.ref == Ref("arm", "spindle", "spring")
        assert f.text == "the pin at `spindle.spring` broken (spring `near` and spring `far` with it)"  # fmt: skip


@pytest.mark.parametrize(
    ("hole", "one"),
    [
        ((60, 60, 0), True),
        ((60, 69.9, 0), True),
        ((60, 70.1, 0), False),
        ((60, 60 - 360 + 9, 4.9), True),  # whole turns do not count
        ((60, 60, 5.1), False),
        ((60, 240, 0), False),
    ],
)
def test_holes_in_one_line_are_on_one_lever(hole, one):
    found = common(sprung(*hole), "arm")
    assert [f.gone for f in found] == [frozenset({NEAR, FAR})] * one
    for f in found:
        assert f.text.startswith(
            "lever `spindle.spring` off or slipping (spring `near`"
        )


def test_angles_either_side_of_half_a_turn_are_near():
    layout = sprung(60, -176, 0)
    arms = {**layout.shafts["spindle"].arms, "spring": arm("spring", 30, 178)}
    shafts = {**layout.shafts, "spindle": replace(layout.shafts["spindle"], arms=arms)}
    assert common(replace(layout, shafts=shafts), "arm")


@pytest.mark.parametrize(
    ("anchor", "on", "one"),
    [
        ((194, -109.9, 130), "body", True),
        ((194, -110.1, 130), "body", False),
        ((200, -106, 135), "body", True),
        ((194, -100, 130), "engine", False),
    ],
)
def test_anchors_that_are_near_on_one_thing_are_one(anchor, on, one):
    found = common(sprung(anchor=anchor, anchored_on=on), "anchor")
    assert [f.gone for f in found] == [frozenset({NEAR, FAR})] * one
    for f in found:
        assert f.text == "the anchor of spring near gone (spring `near` and spring `far` with it)"  # fmt: skip


def test_a_spring_about_its_shaft_has_neither_pin_nor_anchor():
    layout = sprung(offset=0)
    twist = torsion_spring("far", "spindle", -1, 0.2, 0.4)
    assert told(layout) != {}
    assert told(replace(layout, springs={**layout.springs, "far": twist})) == {}


def test_what_takes_the_same_as_a_part_before_it_is_told_once():
    # On one pin, so on one lever too, and at one anchor: all take both springs.
    layout = sprung(offset=0, anchor=(194, -100, 130))
    assert [*told(layout)] == ["pin"]
    # A rod that hangs there too goes with pin and lever, but not with the anchor.
    layout = replace(
        layout,
        rods={**layout.rods, "last": rod("last", "cross shaft.outer", "spindle.far")},
    )
    gone = {f.kind: f.gone for f in failures(layout) if len(f.gone) > 1}
    last = Ref("rod", "last")
    assert gone["pin"] == frozenset({NEAR, FAR, last})
    assert gone["anchor"] == frozenset({NEAR, FAR})
    assert "arm" not in gone


def test_three_holes_in_a_row_of_which_only_neighbours_are_near():
    layout = sprung(30, 60, 4)
    spindle = layout.shafts["spindle"]
    arms = {**spindle.arms, "third": arm("third", 30, 60, 8)}
    layout = replace(
        layout, shafts={**layout.shafts, "spindle": replace(spindle, arms=arms)}
    )
    third = line_spring("third", "spindle.third", (194, -200, 130))
    layout = replace(layout, springs={**layout.springs, "third": third})
    found = [{r.name for r in f.gone} for f in common(layout, "pin")]
    # Around each hole what is near to it: the pin that breaks is the middle one's too.
    assert found == [{"near", "far"}, {"near", "far", "third"}, {"far", "third"}]


def test_limits_tell_how_near_is_near():
    wide = replace(sprung().limits, pin_apart=0.037, anchor_apart=0.037)
    assert [*told(replace(sprung(), limits=wide))] == ["pin"]
    wide = replace(sprung().limits, anchor_apart=0.037)
    assert [*told(replace(sprung(), limits=wide))] == ["anchor"]


# Rows.


def test_what_is_near_in_some_rows_applies_in_those():
    batch = stack([sprung(offset=o) for o in (4, 6, 3, 40)])
    (pin,) = common(batch, "pin")
    assert pin.applies.tolist() == [[True], [False], [True], [False]]
    batch = stack([sprung(offset=4), sprung(60, 60, 0), sprung(60, 80, 0)])
    (pin,), (lever,) = common(batch, "pin"), common(batch, "arm")
    assert pin.applies.tolist() == [[True], [False], [False]]
    # Where the pin takes the same already it is not told again.
    assert lever.applies.tolist() == [[False], [True], [False]]
    assert pin.gone == lever.gone


def _chance(rng):
    """Holes and anchors that are near, or just not."""
    near = [float(rng.choice([3, 4, 6, 9, 12, 40])) for _ in range(2)]
    length, angle = float(rng.choice([30, 33, 50])), float(rng.choice([60, 66, 75]))
    anchor = (194.0, -100.0 - near[1], 130.0)
    layout = sprung(length, angle, near[0] - 3, anchor)
    spindle = layout.shafts["spindle"]
    at = float(rng.choice([0, 4, 20]))
    arms = {
        **spindle.arms,
        "beside": arm("beside", 30, float(rng.choice([60, 63])), at),
    }
    layout = replace(
        layout, shafts={**layout.shafts, "spindle": replace(spindle, arms=arms)}
    )
    beside = line_spring("beside", "spindle.beside", (194, -120, 130))
    return replace(layout, springs={**layout.springs, "beside": beside})


def _in_row(failure, i):
    applies = np.ravel(failure.applies)
    return bool(applies[i if applies.size > 1 else 0])


def test_failures_in_rows_are_those_of_each_layout_alone():
    rng = np.random.default_rng(26262)
    batch = stack([_chance(rng) for _ in range(60)])
    whole, sets = failures(batch), set()
    for i in range(60):
        alone = failures(row(batch, i))
        assert [f for f in whole if _in_row(f, i)] == list(alone)
        assert all(f.applies for f in alone)
        sets.add(frozenset(f.gone for f in alone))
    assert len(sets) > 8


def test_forces_and_verdicts_after_failures_in_rows_are_those_of_each_alone():
    rng = np.random.default_rng(9)
    batch = stack([_chance(rng) for _ in range(8)])
    assert rows_of(batch) == 8
    many = _returns(batch)
    verdicts = judge(examine(batch))
    for i in range(8):
        one = row(batch, i)
        for failure, alone in _returns(one).items():
            assert _in_row(failure, i)
            for name in ("closing_torque", "friction_torque"):
                mine = getattr(many[failure], name)[i]
                assert np.allclose(mine, getattr(alone, name), rtol=1e-9)
        single = judge(examine(one))
        mine, alone = (
            [(f.verdict, f.text) for f in x]
            for x in (verdicts.findings(i), single.findings())
        )
        assert mine == alone


def _returns(layout):
    motion = sweep(assemble(layout), np.linspace(0.0, 0.06, 5))
    lines = force_lines(motion)
    return {r.failure: r for r in returns(motion, lines=lines)}
