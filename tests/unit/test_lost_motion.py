"""Rods with a slot, and rods that only pull or push: slack, driving, out of slot.

Sizes are invented. Turns are held against the distance of both pins, written out
here anew and solved by SciPy.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage.config import dump, loads
from linkage.errors import AssemblyError, LayoutError, ReachError
from linkage.model.rows import row, same_make_up, stack
from linkage.motion import assemble, dead_centres, frame, sweep, working_travel
from linkage.motion.curve import travel_curve
from linkage.motion.tip_in import tip_in
from tests.build import arm, rod, shaft, tree

TRAVEL = np.linspace(0, 0.056, 15)


def one_rod(**more):
    """Return a pedal and a spindle with one rod, that pulls."""
    return tree(
        [
            shaft(
                "pedal", (0, 0, 0), "across", arm("pad", 200, -90), arm("rod", 115, 80)
            ),
            shaft("spindle", (430, 0, 82), "across", arm("lever", 32, 52)),
        ],
        [rod("link", "pedal.rod", "spindle.lever", **more)],
        travel_mm=76,
        swing_deg=76,
    )


def apart(travel, turn):
    """Return the distance of both pins, by the layout's own numbers alone. [m]."""
    one = math.radians(80) + travel / 0.2
    two = math.radians(52) + turn
    x = 0.43 + 0.032 * math.cos(two) - 0.115 * math.cos(one)
    z = 0.082 + 0.032 * math.sin(two) - 0.115 * math.sin(one)
    return math.hypot(x, z)


@pytest.mark.parametrize("lost", [0.0, 0.004, 0.012])
def test_what_is_driven_rests_until_the_pin_is_at_the_end_of_the_slot(lost):
    motion = sweep(assemble(one_rod(slot=0.03, lost=lost)), TRAVEL)
    length = apart(0, 0) + lost
    for travel, turn in zip(TRAVEL, motion.turns["spindle"], strict=True):
        if apart(travel, 0) <= length:
            assert turn == 0
        else:
            assert turn > 0
            assert apart(travel, turn) == pytest.approx(length, abs=1e-12)
    slack = frame(motion).slack["link"]
    assert slack.tolist() == [apart(s, 0) < length - 1e-9 for s in TRAVEL]


def test_how_far_the_pins_are_apart_at_any_turns():
    loop = assemble(one_rod(slot=0.03)).loops[0].rod
    rng = np.random.default_rng(3)
    for one, two in rng.uniform(-3, 3, (50, 2)):
        pairs = (math.cos(one), math.sin(one)), (math.cos(two), math.sin(two))
        assert loop.apart(*pairs) == pytest.approx(apart(0.2 * one, two), abs=1e-12)


def test_a_rod_that_drives_at_once_moves_as_one_without_a_slot():
    plain, slotted = (
        sweep(assemble(one_rod(**more)), TRAVEL) for more in ({}, {"slot": 0.03})
    )
    np.testing.assert_allclose(
        slotted.turns["spindle"], plain.turns["spindle"], atol=1e-12
    )
    assert assemble(one_rod(only="pull")).loops[0].carries == 1


def test_a_pedal_that_is_lifted_leaves_the_lever_on_its_stop():
    back = np.linspace(0, -0.02, 9)
    plain, slotted = (
        sweep(assemble(one_rod(**more)), back).opening("throttle")
        for more in ({}, {"slot": 0.03})
    )
    assert plain[-1] < -0.1
    assert (slotted == 0).all()


def test_the_other_end_of_the_slot_stops_it_and_is_no_dead_centre():
    assembly = assemble(one_rod(slot=0.01))
    back = np.linspace(0, -0.04, 400)
    reached = ~np.isnan(sweep(assembly, back).opening("throttle"))
    free = [apart(0, 0) - apart(s, 0) <= 0.01 for s in back]
    assert reached.tolist() == free
    idle = [
        d for d in dead_centres(assembly, working_travel(assembly)) if d.side == "idle"
    ]
    assert idle == []


def test_a_rod_that_can_only_push_never_drives_what_is_pulled():
    assembly = assemble(one_rod(only="push"))
    motion = sweep(assembly, TRAVEL)
    assert (motion.opening("throttle") == 0).all()
    working = working_travel(assembly)
    assert working.picked_up == working.end == pytest.approx(0.076)


def test_where_the_plate_begins_is_where_the_slot_is_taken_up():
    layout = one_rod(slot=0.03, lost=0.012)
    assembly = assemble(layout)
    working = working_travel(assembly)
    length = apart(0, 0) + 0.012
    begins = brentq(lambda s: apart(s, 0) - length, 0, 0.05)
    assert working.picked_up == pytest.approx(begins, abs=1e-7)
    start = tip_in(assembly, working)
    assert start.start == working.picked_up
    assert start.ratio > 0
    curve = travel_curve(assembly, working, points=77)
    still = curve.pad_travel < begins
    assert (curve.main.local_ratio[still] == 0).all()
    assert (curve.main.local_ratio[~still] > 0).all()


def test_a_length_is_that_at_which_it_drives():
    lost = one_rod(slot=0.03, lost=0.012)
    length = assemble(lost).loops[0].length
    given = one_rod(slot=0.03, length_mm=1e3 * length)
    ask = (sweep(assemble(x), TRAVEL).turns["spindle"] for x in (lost, given))
    np.testing.assert_allclose(*ask, atol=1e-12)


def test_a_rod_that_drives_at_rest_already_holds_the_lever_open():
    length = 1e3 * apart(0, 0) - 3
    opened = assemble(one_rod(slot=0.03, length_mm=length)).rest["spindle"]
    assert opened == pytest.approx(brentq(lambda t: apart(0, t) - length / 1e3, 0, 1))
    assert opened > 0.05


def test_a_pin_beyond_its_slot_at_rest_is_refused():
    length = 1e3 * apart(0, 0) + 12
    with pytest.raises(ReachError, match=r"2\.0 mm beyond the end of its slot"):
        assemble(one_rod(slot=0.01, length_mm=length))


def test_rows_move_as_each_alone():
    layouts = [
        one_rod(slot=slot, lost=lost)
        for slot in (0.02, 0.03)
        for lost in (0.0, 0.004, 0.01)
    ]
    layouts.append(one_rod(slot=0.03, length_mm=1e3 * apart(0, 0) + 5))
    layouts.append(one_rod(slot=0.01, length_mm=1e3 * apart(0, 0) + 15))
    many = assemble(stack(layouts))
    assert many.ok[:, 0].tolist() == [True] * 7 + [False]
    motion = sweep(many, TRAVEL)
    working = working_travel(many)
    for i in range(7):
        alone = assemble(row(stack(layouts), i))
        np.testing.assert_allclose(
            motion.turns["spindle"][i],
            sweep(alone, TRAVEL).turns["spindle"],
            atol=1e-12,
        )
        one = working_travel(alone)
        for name in ("start", "end", "picked_up"):
            assert getattr(working, name)[i, 0] == pytest.approx(getattr(one, name))


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"slot": 0.01, "only": "pull"}, "has a slot and can only pull"),
        ({"lost": 0.01}, "loses no motion"),
        ({"slot": 0.01, "lost": 0.02}, "more than its slot"),
        ({"slot": 0.4, "length_mm": 350}, "as long as the rod"),
        ({"slot": math.nan}, "`slot` of rod `link` is not a number from 0 up"),
        ({"slot": -0.01}, "`slot` of rod `link` is not a number from 0 up"),
        ({"only": "pull", "lost": math.inf}, "`lost` of rod `link` is not a number"),
        ({"over_travel": math.nan}, "`over_travel` of rod `link` is not a number"),
    ],
)
def test_what_cannot_be_is_refused(more, says):
    with pytest.raises(LayoutError, match=says):
        one_rod(**more)


FILE = """
format = 1
title = "t"
units = { length = "mm", angle = "deg", force = "N", rate = "N/mm" }
[shafts.pedal]
pivot = [0, 0, 0]
axis = "across"
arms.pad = { length = 200, angle = -90 }
arms.rod = { length = 115, angle = 80 }
[shafts.spindle]
pivot = [430, 0, 82]
axis = "across"
arms.lever = { length = 32, angle = 52 }
[rods.link]
from = "pedal.rod"
to = "spindle.lever"
ROD
[pedal]
shaft = "pedal"
pad = "pad"
travel = 76
[throttle]
shaft = "spindle"
opens = "anticlockwise"
swing = 76
"""


@pytest.mark.parametrize(
    "keys",
    [
        'slot = 30\nlost = 4\nslot_at = "from"',
        "slot = 30\nlength = 330",
        'only = "pull"',
        'only = "push"\nlost = "1/4 in"',
    ],
)
def test_the_file_says_it_and_is_written_again_the_same(keys):
    layout = loads(FILE.replace("ROD", keys)).layout
    again = loads(dump(layout)).layout
    assert (
        replace(again.rods["link"], length=layout.rods["link"].length)
        == layout.rods["link"]
    )
    assert layout.rods["link"].loose


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("slot = 30\nlength = 330\nlost = 2", "a length and the motion that is lost"),
        ('slot_at = "from"', "says where its slot is"),
        ("slot = -3", "slot"),
        ("slot = 0", "slot"),
        ('only = "twist"', "pull"),
        ('slot = 20\nonly = "pull"', "has a slot and can only pull"),
    ],
)
def test_the_file_is_told_what_is_wrong(keys, says):
    with pytest.raises(LayoutError, match=says) as caught:
        loads(FILE.replace("ROD", keys))
    assert caught.value.place is not None


def test_a_rod_with_a_slot_and_one_without_are_no_rows_of_one_batch():
    with_one, without = one_rod(slot=0.03), one_rod()
    assert same_make_up(with_one, one_rod(slot=0.02, lost=0.004))
    assert not same_make_up(with_one, without)
    with pytest.raises(LayoutError, match=r"differ in rods\.link"):
        stack([with_one, without])


def test_a_pin_may_stand_at_the_very_end_that_does_not_drive():
    at_end = assemble(one_rod(slot=0.012, lost=0.012))
    assert at_end.ok
    beyond = np.linspace(0, -0.01, 3)
    opening = sweep(at_end, beyond).opening("throttle")
    assert opening[0] == 0
    assert np.isnan(opening[1:]).all()


def test_at_one_position_all_is_plain_numbers():
    """An array without axes would be taken for a column of rows."""
    for more in (
        {"slot": 0.03, "lost": 0.004},
        {"only": "push"},
        {"slot": 0.03, "length_mm": 1e3 * apart(0, 0) + 2},
    ):
        (loop,) = assemble(one_rod(**more)).loops
        told = (loop.rest, loop.length, loop.short_by(0.0), *loop.close((1.0, 0.0)))
        told += loop.levers((1.0, 0.0), (1.0, 0.0))
        told += (loop.slack((1.0, 0.0), (1.0, 0.0)),)
        assert not any(isinstance(number, np.ndarray) for number in told)
    many = stack([one_rod(slot=0.03), one_rod(slot=0.03)]).with_arm(
        "pedal.pad", length=[0.2, 0.19]
    )
    assert isinstance(assemble(many).rest["spindle"], float)
    assert working_travel(assemble(many)).end.shape == (2, 1)


def test_why_one_cannot_be_put_together():
    assert assemble(one_rod(slot=0.03)).loops[0].refusal() is None
    with pytest.raises(ReachError, match=r"mm too short to reach `spindle\.lever`"):
        assemble(one_rod(slot=0.03, length_mm=300))
    pushed = replace(one_rod(slot=0.43, lost=0.43).pedal, presses=-1)
    layout = replace(one_rod(slot=0.43, lost=0.43), pedal=pushed)
    with pytest.raises(AssemblyError, match=r"and its slot alone is 430\.0 mm"):
        assemble(layout)
    shaft = layout.shafts["spindle"]
    away = np.subtract(shaft.pivot, layout.shafts["pedal"].pin("rod"))
    line = math.atan2(away[2], away[0])
    with pytest.raises(AssemblyError, match="lie in line at rest"):
        assemble(one_rod(slot=0.03).with_arm("spindle.lever", angle=line))


def test_by_how_much_rod_or_slot_fails_to_reach():
    (loop,) = assemble(one_rod(slot=0.01)).loops
    assert loop.short_by(0.0) == 0
    back = -0.15  # the pins come nearer: the rod would push
    near = apart(0.2 * back, 0)
    assert loop.short_by(back) == pytest.approx(near - (apart(0, 0) - 0.01))
    far = 1.2  # past the dead centre of the lever
    assert loop.short_by(far) == loop.rod.short_by(far) > 0


def test_a_slack_rod_makes_no_angle_that_counts():
    motion = sweep(assemble(one_rod(slot=0.03, lost=0.012)), TRAVEL)
    line = frame(motion).rod("link")
    slack = frame(motion).slack["link"]
    for angle in (line.driver_angle, line.driven_angle):
        assert (angle[slack] == math.pi / 2).all()
        assert (angle[~slack] != math.pi / 2).all()
    loop = motion.assembly.loops[0]
    pairs = motion.pair("pedal"), motion.pair("spindle")
    ratio, change = loop.rates(*pairs)
    np.testing.assert_allclose(ratio, loop.ratio(*pairs))
    assert np.isfinite(change).all()
    assert (loop.mass, loop.stretch) == (loop.rod.mass, loop.rod.stretch)
    assert loop.push_limit is None
    assert loop.drawn.path == "slot"
    assert assemble(one_rod(only="pull")).loops[0].drawn.path == "hook"
