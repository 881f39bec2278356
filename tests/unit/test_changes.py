"""Changes a fitter can make: their steps, their words, and the rods cut again."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from linkage.model import JOINT_TILT, Hole
from linkage.model.refs import Ref
from linkage.model.rows import row
from linkage.rules.examine import examine, stop_at
from linkage.search import changes, wear
from linkage.search.family import BOTH, Step, stacked
from linkage.search.said import KINDS, new_parts, said
from linkage.search.said_of_rods import cut_said
from linkage.search.sources import SOURCES
from linkage.units import parse
from tests.unit.edits import HAULER, STOP, TO, TRUCK, TWIN, edited, rod_length
from tests.unit.offered import offers
from tests.unit.ruled import changed, made

TRUCK_LAYOUT = edited(TRUCK, rod_length("431 mm"))
LEVER = Hole(shaft="spindle", arm="lever")
INNER = Hole(shaft="cross shaft", arm="inner")


def test_holes_on_the_way_to_a_shaft_pedal_first():
    layout = edited(HAULER)
    assert [str(h) for h in changes.holes_to(layout, "bell crank")] == [
        "pedal.rod",
        "cross shaft.inner",
        "cross shaft.outer",
        "bell crank.in",
    ]
    assert changes.holes_to(layout, "pedal") == []


@pytest.mark.parametrize(
    "kind", [changes.lengths, changes.angles, changes.other_side, changes.offsets]
)
def test_every_rod_at_an_arm_is_cut_again(kind):
    (family,) = kind(TRUCK_LAYOUT, [LEVER])
    assert family.cut == ("link",)
    layout = stacked([family]).layout(np.arange(3))
    assert row(layout, 1).rods["link"].length is None
    twin = edited(TWIN)
    (family,) = kind(twin, [Hole(shaft="jack shaft", arm="front")])
    assert family.cut == ("front drop",)
    layout = stacked([family]).layout(np.arange(3))
    assert row(layout, 1).rods["rear drop"] == twin.rods["rear drop"]


def test_rods_to_be_cut_are_told_with_their_lengths():
    rods = edited(HAULER).rods
    assert cut_said(rods, {}) == ""
    assert (
        cut_said(rods, {"up": 0.4312, "down": 0.2})
        == " and cut rod `up` to 431.2 mm and rod `down` to 200.0 mm"
    )


def test_lengths_go_in_half_millimetres_from_half_to_half_as_much_again():
    found = offers(changes.lengths(TRUCK_LAYOUT, [LEVER]))
    new = [a.layout.shafts["spindle"].arms["lever"].length * 1e3 for a in found]
    assert new[0] == pytest.approx(16)
    assert new[-1] == pytest.approx(48)
    assert all(math.isclose(x * 2, round(x * 2)) for x in new)
    assert 32.0 not in [round(x, 6) for x in new]
    assert found[0].text == "make arm `spindle.lever` 16.0 mm instead of 32.0 mm"
    assert found[0].effort == pytest.approx(0.5)
    assert all(
        a.cut == ("link",) and a.layout.rods["link"].length is None for a in found
    )
    assert found[0].family.parts == 1


def test_a_tiny_arm_never_becomes_none_at_all():
    layout = TRUCK_LAYOUT.with_arm(LEVER, length=0.8e-3)
    found = [
        a.layout.shafts["spindle"].arms["lever"].length
        for a in offers(changes.lengths(layout, [LEVER]))
    ]
    assert min(found) == pytest.approx(0.5e-3)


def test_angles_go_in_degrees_either_way():
    found = offers(changes.angles(TRUCK_LAYOUT, [LEVER], most=math.radians(3)))
    new = [math.degrees(a.layout.shafts["spindle"].arms["lever"].angle) for a in found]
    assert new == pytest.approx([53, 51, 54, 50, 55, 49])
    assert found[0].text == "turn arm `spindle.lever` on its shaft from 52.0° to 53.0°"
    assert found[0].effort == pytest.approx(1 / 90)
    assert found[0].family.parts == 0  # an arm that is only turned is kept
    assert len(offers(changes.angles(TRUCK_LAYOUT, [LEVER]))) == 120


def test_other_side_is_half_a_turn_and_some_degrees_about_it():
    found = offers(changes.other_side(TRUCK_LAYOUT, [LEVER]))
    new = [math.degrees(a.layout.shafts["spindle"].arms["lever"].angle) for a in found]
    assert new == pytest.approx(
        [-178, -168, -158, -148, -138, -128, -118, -108, -98, -88, -78]
    )
    assert min(found, key=lambda a: a.effort).text.endswith(
        "at -128.0° instead of 52.0°"
    )
    assert all(a.effort >= 1 for a in found)


def test_offsets_slide_a_quarter_metre_either_way():
    found = offers(changes.offsets(TRUCK_LAYOUT, [LEVER]))
    new = [a.layout.shafts["spindle"].arms["lever"].offset * 1e3 for a in found]
    assert (min(new), max(new)) == (pytest.approx(-240), pytest.approx(260))
    assert (
        found[0].text
        == "slide arm `spindle.lever` along its shaft from 10.0 mm to 11.0 mm"
    )


def test_joints_that_lean_further_and_none_beyond_the_best():
    layout = edited(TRUCK)
    (found,) = offers(changes.joints(layout, "link"))  # a ball with clip is there
    assert found.layout.rods["link"].joints == ("ball", "ball")
    assert (
        found.text == "put a ball joint on both ends of rod `link`, which leans 18.0°"
    )
    assert found.family.parts == 2
    assert list(changes.joints(found.layout, "link")) == []
    clevis = replace(layout.rods["link"], joints=("ball", "clevis"))
    mixed = replace(layout, rods={"link": clevis})
    kinds = [
        a.layout.rods["link"].joints[0] for a in offers(changes.joints(mixed, "link"))
    ]
    assert set(kinds) == set(JOINT_TILT) - {"clevis"}


def test_rods_of_given_length_are_cut_to_fit_and_others_left():
    (found,) = offers(changes.rods_cut_to_fit(TRUCK_LAYOUT))
    assert found.layout.rods["link"].length is None
    assert found.cut == ("link",)
    assert found.effort == 0.0
    assert found.text == "set rod `link` to fit the lever on its idle stop"
    assert list(changes.rods_cut_to_fit(edited(TRUCK))) == []


def test_free_play_is_taken_up_to_two_millimetres():
    layout = edited(TRUCK, (STOP, STOP + "free_play = 8\n"))
    (found,) = offers(changes.less_free_play(layout))
    assert found.layout.pedal.free_play == 0.002
    assert "from 8.0 mm to 2.0 mm" in found.text
    little = edited(TRUCK, (STOP, STOP + "free_play = 2\n"))
    assert list(changes.less_free_play(little)) == []


def test_new_joints_for_each_worn_rod_and_then_for_all():
    assert list(wear.less_play(edited(TRUCK, (TO, TO + "\nplay = 0.2")))) == []
    ends = ('to       = "cross shaft.inner"', 'to       = "bell crank.in"', TO)
    layout = edited(HAULER, *((e, e + "\nplay = 1") for e in ends[:2]))
    one, two, both = offers(wear.less_play(layout))
    assert one.layout.rods["up"].play == wear.FRESH["rod"]
    assert one.layout.rods["down"].play == 1e-3
    assert two.layout.rods["down"].play == wear.FRESH["rod"]
    assert {r.play for r in both.layout.rods.values()} == {wear.FRESH["rod"], 0.0}
    assert both.effort > one.effort
    assert (one.family.parts, both.family.parts) == (2, 4)
    assert "rod `up` (1.0 mm of play now) and rod `down`" in both.text
    worn = edited(HAULER, (ends[0], ends[0] + "\nplay = 1"))
    (alone,) = offers(wear.less_play(worn))
    assert alone.layout.rods["up"].play == wear.FRESH["rod"]


def test_a_pedal_stop_is_the_number_that_a_file_with_that_size_gives():
    """One that is there already is then found to be right, to the last digit."""
    met = np.arange(0, 200, 0.5)[:, None] * 1e-3 + 1e-5
    given = [parse(f"{0.5 * i} mm", "length").value for i in range(1, 401)]
    x = SimpleNamespace(end=met)
    assert np.ravel(stop_at(x, 1.0)).tolist() == given
    assert [stop_at(SimpleNamespace(end=m), 1.0) for m in np.ravel(met)] == given


@pytest.mark.parametrize(
    ("met", "stop"),
    [
        (0.0602, 0.0605),
        (0.0605, 0.0605),
        (0.0605 + 1e-10, 0.0605),  # rounding is no half millimetre
        (0.0601, 0.0605),
        (0.0759, 0.0760),  # the floor
        (0.0760, 0.0760),
    ],
)
def test_pedal_stop_at_the_next_half_millimetre(met, stop):
    x = examine(edited(TRUCK))
    x = changed(x, working=replace(x.working, end=met))
    assert stop_at(x, x.layout.pedal.travel) == pytest.approx(stop)
    finding = made("left-over-travel", "do not fit", Ref("pedal"))
    (found,) = offers(SOURCES["pedal stop"](x, finding))
    assert found.layout.pedal.stop == pytest.approx(stop)
    assert not found.family.moves_stroke
    assert f"{stop * 1e3:.1f} mm of pad travel" in found.text


def test_a_stop_is_a_new_part_only_where_there_was_none():
    assert changes.pedal_stop(edited(TRUCK), 0.07).parts == 0
    assert changes.pedal_stop(edited(TRUCK, (STOP, "")), 0.07).parts == 1


def test_a_step_says_what_its_row_does():
    """Words and numbers are of the same row, wherever the batch puts it."""
    stack = stacked(
        [
            *changes.lengths(TRUCK_LAYOUT, [LEVER]),
            *changes.angles(TRUCK_LAYOUT, [LEVER], most=math.radians(5)),
        ]
    )
    for i in range(len(stack.effort)):
        step, arm = stack.step(i), stack.one(i).shafts["spindle"].arms["lever"]
        field = {"arm length": "length", "arm angle": "angle"}[step.kind]
        assert getattr(arm, field) == step.new
        shown = (
            f"{step.new * 1e3:.1f} mm"
            if field == "length"
            else f"{math.degrees(step.new):.1f}°"
        )
        assert shown in said(step)


@pytest.mark.parametrize(
    ("kind", "more", "parts"),
    [
        ("arm length", {}, 1), ("arm angle", {}, 0), ("arm side", {}, 0),
        ("arm offset", {}, 0), ("rod joints", {}, 2), ("rod cut", {}, 0),
        ("rod play", {"rods": {"up": ("rod", 1e-3), "carb": ("cable", 1e-3)}, "bushes": {"idler": 1e-3}}, 4), ("rod bar", {}, 1),
        ("free play", {}, 0), ("free play left", {}, 0), ("stop back", {}, 0), ("stop later", {}, 0),
        ("bracket", {"shafts": ("bell crank", "cross shaft")}, 2), ("steady", {}, 1),
        ("catch", {}, 1), ("spring strength", {}, 1), ("spring longer", {}, 1),
        ("spring shorter", {}, 1),
        ("spring anchor", {}, 0), ("spring hand", {}, 1),
        ("spring carried", {"springs": {"near": "engine", "far": "body"}}, 2), ("spring own arm", {}, 1), ("spring hooked", {}, 0),
        ("spring added", {"own": None}, 1), ("spring added", {"own": (1, 1, 1)}, 2),
        ("bearing", {"shafts": {"spindle": (0.1, None)}}, 1), ("pedal stop", {}, 1),
        ("slot longer", {}, 1), ("rod lost", {}, 0), ("rod way", {}, 1), ("over-travel load", {}, 1),
        ("over-travel way", {}, 1), ("drum wound", {}, 0), ("sheath end", {}, 0),
        ("sheath held", {"ends": [("main", "spindle.drum", "engine")]}, 1),
        ("sheath lined", {"cables": ["main", "second"]}, 2), ("sheath bends", {}, 0),
        ("sheath point", {}, 0), ("cable push", {}, 1), ("cable stroke", {}, 1),
        ("cable wire", {}, 1), ("cam longer", {}, 1), ("guide longer", {}, 1),
        ("rod turns", {}, 0), ("spring light", {}, 1),
    ],
)  # fmt: skip
def test_new_parts_by_kind_of_step(kind, more, parts):
    step = Step(kind=kind, about=Ref("arm", "spindle", "lever"), more=more)
    assert new_parts(step) == parts
    both = Step(kind=BOTH, about=step.about, more={"steps": (step, step)})
    assert new_parts(both) == 2 * parts


def test_every_kind_of_step_says_its_new_parts():
    told = {case for mark in test_new_parts_by_kind_of_step.pytestmark for case, *_ in mark.args[1]}  # fmt: skip
    assert told == set(KINDS) - {BOTH, "several"}


def test_a_pedal_stop_that_is_there_is_set_and_no_new_part():
    step = Step(kind="pedal stop", about=Ref("pedal stop"), old=0.07, new=0.075)
    assert new_parts(step) == 0
