"""Plates beside each other: who is ahead, what arms and play do, how they are set."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import loads
from linkage.model import Hole, Throttle
from linkage.model.columns import column
from linkage.model.refs import Ref
from linkage.model.rows import row
from linkage.motion import assemble, sweep, sweep_clear, working_travel
from linkage.motion.twin_effects import PLAY, effects
from linkage.motion.twin_setting import set_together
from linkage.motion.twins import Twins, beside
from tests.build import arm, rod, shaft, tree
from tests.cli.conftest import CONFIGS
from tests.unit.edits import TWIN, edited

LEVER = "arms.lever  = { length = 33, angle = 218 }"
REAR_ROD = 'to       = "rear spindle.lever"'
SLOTTED = (REAR_ROD, f"{REAR_ROD}\nslot = 22\nlost = 8")


def short_lever(length: float):
    """Return the shipped twin with another lever at the rear carburettor."""
    head, front, rear = (CONFIGS / f"{TWIN}.toml").read_text().split(LEVER)
    other = LEVER.replace("33", f"{length}")
    return loads(head + LEVER + front + other + rear).layout


def cross_linked(rear: float = 34.0, length: float | None = None):
    """Return two plates in a row, the rear one driven from the front one's spindle."""
    layout = tree(
        [
            shaft("pedal", (0, 250, 0), "across", arm("pad", 180, -90), arm("rod", 70, -11)),
            shaft("front", (140, 0, 240), "across", arm("lever", 36, -60), arm("link", 34, 40)),
            shaft("rear", (-60, 0, 240), "across", arm("lever", rear, 40)),
        ],
        [
            rod("first", "pedal.rod", "front.lever", play=0.2e-3),
            rod("link", "front.link", "rear.lever", length, play=0.3e-3),
        ],
        travel_mm=75.0,
    )  # fmt: skip
    plates = {
        name: Throttle(
            name=name, shaft=name, opens=_opens(layout), swing=math.radians(60)
        )
        for name in ("front", "rear")
    }
    return replace(layout, throttles=plates)


def _opens(layout) -> int:
    turn = sweep(assemble(layout), np.array([0.0, 0.005])).turns["front"][1]
    return 1 if turn > 0 else -1


def twin_of(layout) -> Twins:
    assembly = assemble(layout)
    (found,) = beside(assembly, working_travel(assembly))
    return found


def difference(layout, travel) -> np.ndarray:
    """Return the difference as the sweep has it, without any stop of a plate."""
    one, other = layout.plates
    motion = sweep_clear(assemble(layout), np.asarray(travel))
    return motion.opening(other.name) - motion.opening(one.name)


# --- beside each other ---------------------------------------------------------------------


def test_a_single_plate_stands_beside_none():
    assembly = assemble(edited("hanging-pedal"))
    assert beside(assembly, working_travel(assembly)) == ()


def test_equal_levers_go_together_from_stop_to_stop():
    twins = twin_of(edited(TWIN))
    assert np.abs(twins.difference).max() < 1e-12
    assert twins.leaves["front"] == twins.leaves["rear"] < 1e-6
    assert twins.full_later == pytest.approx(0, abs=1e-9)
    assert not twins.later


@pytest.mark.parametrize(("length", "ahead"), [(30, 1), (36, -1)])
def test_a_short_lever_is_ahead_and_full_first(length, ahead):
    twins = twin_of(short_lever(length))
    assert twins.at_idle == pytest.approx(0, abs=1e-12)
    assert np.sign(twins.at_full) == ahead
    assert np.sign(twins.full_later) == -ahead
    assert abs(twins.greatest) == pytest.approx(np.abs(twins.difference).max())
    first = min(twins.full, key=twins.full.__getitem__)
    assert twins.full[first] == pytest.approx(twins.pad_travel[-1], abs=1e-8)
    layout = short_lever(length)
    for name, place in twins.full.items():
        opening = sweep_clear(assemble(layout), np.array([place])).opening(name)
        assert opening[0] == pytest.approx(math.radians(76), abs=1e-8)


def test_a_long_drop_link_holds_its_plate_off_its_stop():
    """As where an idle will not come down: one lever hangs on the link."""
    right = assemble(edited(TWIN)).loop("rear drop").length * 1e3
    for more in (0.5, -0.5):
        layout = edited(
            TWIN, (REAR_ROD, f'{REAR_ROD}\nlength = "{right + more:.4f} mm"')
        )
        twins = twin_of(layout)
        held, other = ("front", "rear") if twins.at_idle < 0 else ("rear", "front")
        assert twins.held[held] == pytest.approx(abs(twins.at_idle))
        assert math.degrees(twins.held[held]) > 0.5
        assert twins.held[other] == pytest.approx(0, abs=1e-8)
        assert twins.leaves[held] < twins.leaves[other]


def test_one_behind_a_slot_is_later_on_purpose():
    layout = edited(TWIN, SLOTTED)
    twins = twin_of(layout)
    assert twins.later
    assert twins.leaves["front"] < 1e-6
    assert twins.leaves["rear"] > 0.005
    assert set_together(layout, twins) is None


def test_a_plate_that_is_never_full_has_no_place_for_it():
    twins = twin_of(
        edited(TWIN, ("arms.rear     = { length = 76", "arms.rear     = { length = 20"))
    )
    assert math.isnan(twins.full["rear"])
    assert math.isnan(twins.full_later)


@pytest.mark.parametrize("make", [short_lever, cross_linked])
def test_many_layouts_say_what_each_says_alone(make):
    hole = "rear spindle.lever" if make is short_lever else "rear.lever"
    one = make(33)
    lengths = np.array([30.0, 33.0, 34.5]) / 1e3
    rows = one.with_arm(hole, length=column(lengths))
    many = twin_of(rows)
    some = effects(assemble(rows), many)
    for i in range(3):
        alone = twin_of(row(rows, i))
        for name in ("at_idle", "at_full", "greatest", "greatest_at", "full_later"):
            assert getattr(many, name)[i, 0] == pytest.approx(
                getattr(alone, name), abs=1e-12
            )
        told = {e.about: e for e in effects(assemble(row(rows, i)), alone)}
        for effect in some:
            mine = told[effect.about]
            for name in ("at_idle", "at_greatest", "at_full"):
                value = np.broadcast_to(getattr(effect, name), (3, 1))[i, 0]
                assert value == pytest.approx(getattr(mine, name), abs=1e-12)


# --- what arms and play do -----------------------------------------------------------------

LAYOUTS = {
    "drop links": lambda: short_lever(30),
    "equal": lambda: edited(TWIN),
    "given lengths": lambda: edited(
        TWIN, (REAR_ROD, f'{REAR_ROD}\nlength = "131.2 mm"')
    ),
    "slotted": lambda: edited(TWIN, SLOTTED),
    "cross link": lambda: cross_linked(31),
    "cross link of given length": lambda: cross_linked(33, 200.4),
}  # fmt: skip


@pytest.mark.parametrize("name", LAYOUTS)
def test_effects_of_arms_are_central_differences(name):
    layout = LAYOUTS[name]()
    twins = twin_of(layout)
    travel = [twins.pad_travel[0], twins.greatest_at, twins.pad_travel[-1]]
    step = 1e-6
    arms = [e for e in effects(assemble(layout), twins) if e.about.kind == "arm"]
    assert arms
    for effect in arms:
        hole = Hole(shaft=effect.about.name, arm=effect.about.part)
        old = layout.shafts[hole.shaft].arms[hole.arm].length
        less, more = (
            difference(layout.with_arm(hole, length=old + d), travel)
            for d in (-step, step)
        )
        slope = (more - less) / (2 * step) * effect.amount
        told = (effect.at_idle, effect.at_greatest, effect.at_full)
        assert told == pytest.approx(slope, rel=1e-6, abs=1e-9), effect.about
        assert effect.amount == 1e-3


def test_effects_of_play_are_those_of_a_longer_rod():
    layout = cross_linked(33, 200.4)
    twins = twin_of(layout)
    travel = [twins.pad_travel[0], twins.greatest_at, twins.pad_travel[-1]]
    (effect,) = (e for e in effects(assemble(layout), twins) if e.about.kind == "rod")
    assert effect.about == Ref("rod", "link")  # the first rod serves both
    step = 1e-7
    less, more = (
        difference(layout.with_rod("link", 0.2004 + d), travel) for d in (-step, step)
    )
    slope = np.abs(more - less) / (2 * step) * 0.3e-3
    assert (effect.at_idle, effect.at_greatest, effect.at_full) == pytest.approx(
        slope, rel=1e-6
    )
    assert effect.amount == 0.3e-3


def test_play_that_is_not_given_is_taken_as_a_tenth_of_a_millimetre():
    layout = short_lever(30)
    rods = [
        e for e in effects(assemble(layout), twin_of(layout)) if e.about.kind == "rod"
    ]
    assert {e.about.name for e in rods} == {"front drop", "rear drop"}
    assert {e.amount for e in rods} == {PLAY}


def test_effects_come_worst_first_and_leave_common_arms_out():
    layout = short_lever(30)
    found = effects(assemble(layout), twin_of(layout))
    assert [e.worst for e in found] == sorted((e.worst for e in found), reverse=True)
    told = {str(e.about) for e in found}
    assert {"rear spindle.lever", "front spindle.lever", "jack shaft.rear"} <= told
    assert "jack shaft.in" not in told
    shared = edited(
        TWIN, ('from     = "jack shaft.rear"', 'from     = "jack shaft.front"')
    )
    told = {str(e.about) for e in effects(assemble(shared), twin_of(shared))}
    assert "jack shaft.front" not in told


def test_an_arm_that_is_the_pads_own_is_counted_with_the_pedals_ratio():
    layout = cross_linked(33)
    rods = {
        "front": rod("front", "pedal.rod", "front.lever"),
        "rear": rod("rear", "pedal.pad", "rear.lever"),
    }
    layout = replace(layout, rods=rods)
    twins = twin_of(layout)
    travel = [twins.pad_travel[0], twins.greatest_at, twins.pad_travel[-1]]
    effect = next(
        e
        for e in effects(assemble(layout), twins)
        if e.about == Ref("arm", "pedal", "pad")
    )
    less, more = (
        difference(layout.with_arm("pedal.pad", length=0.18 + d), travel)
        for d in (-1e-6, 1e-6)
    )
    told = (effect.at_idle, effect.at_greatest, effect.at_full)
    assert told == pytest.approx((more - less) / 2e-6 * 1e-3, rel=1e-6, abs=1e-9)


# --- the setting ---------------------------------------------------------------------------


def test_a_wrong_link_is_set_and_both_rest_and_are_full_together():
    right = assemble(edited(TWIN)).loop("rear drop").length
    layout = edited(
        TWIN, (REAR_ROD, f'{REAR_ROD}\nlength = "{right * 1e3 + 0.6:.4f} mm"')
    )
    setting = set_together(layout, twin_of(layout))
    assert setting is not None
    assert setting.together
    assert setting.rods["rear drop"] == pytest.approx(right, abs=1e-9)
    assert setting.arms == ()
    for name, length in setting.rods.items():
        layout = layout.with_rod(name, length)
    twins = twin_of(layout)
    assert twins.at_idle == pytest.approx(0, abs=1e-9)
    assert twins.at_full == pytest.approx(0, abs=1e-9)


def test_unequal_levers_cannot_be_set_and_the_short_one_is_told_its_length():
    layout = short_lever(30)
    setting = set_together(layout, twin_of(layout))
    assert setting is not None
    assert not setting.together
    assert setting.left > math.radians(5)
    first = setting.arms[0]
    assert first.hole == Hole(shaft="rear spindle", arm="lever")
    assert first.right == pytest.approx(0.033, abs=1e-6)
    assert {str(a.hole) for a in setting.arms[:2]} == {
        "rear spindle.lever",
        "front spindle.lever",
    }
    assert len(setting.arms) == 4


@pytest.mark.parametrize("make", [lambda: short_lever(30), lambda: cross_linked(31)])
def test_each_arm_so_long_makes_both_full_together(make):
    layout = make()
    setting = set_together(layout, twin_of(layout))
    assert setting is not None
    assert setting.arms
    for found in setting.arms:
        changed = layout.with_arm(found.hole, length=found.right)
        for name, length in found.rods.items():
            changed = changed.with_rod(name, length)
        twins = twin_of(changed)
        assert twins.at_idle == pytest.approx(0, abs=1e-9)
        assert twins.at_full == pytest.approx(0, abs=1e-7)


def test_a_cross_link_alone_is_set_where_the_first_plates_rod_is_common():
    setting = set_together(cross_linked(34), twin_of(cross_linked(34)))
    assert setting is not None
    assert setting.together
    assert setting.rods == {"link": pytest.approx(0.2)}
