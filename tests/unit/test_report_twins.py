"""Plates beside each other in words, as a table and as plain data."""

from __future__ import annotations

import math

import pytest

from linkage.config import loads
from linkage.motion import assemble
from linkage.report.twins import beside_data, beside_text, twin_data, twin_lines
from linkage.search import check
from tests.cli.conftest import CONFIGS
from tests.unit.edits import TWIN, edited
from tests.unit.test_twins import REAR_ROD, SLOTTED, short_lever, twin_of

FAULT = loads((CONFIGS / "fault-unequal-twin-levers.toml").read_text()).layout


def told(layout) -> str:
    return " ".join(" ".join(twin_lines(check(layout, cures=False))).split())


def long_link(more_mm: float):
    right = assemble(edited(TWIN)).loop("rear drop").length * 1e3
    return edited(TWIN, (REAR_ROD, f'{REAR_ROD}\nlength = "{right + more_mm:.4f} mm"'))


def test_a_smaller_lever_on_one_carburettor_is_named_with_its_length():
    """One owner chased a high idle to a smaller throttle lever on one carburettor.

    Common practice, no source: link arms equal centre to centre, all plates start
    together and are full together.
    """
    said = told(FAULT)
    assert "both leave their idle stops together" in said
    assert "rear ahead of front by 11.8° at most, with the pad at 61.6 mm" in said
    assert "rear is full first, at pad 61.6 mm, front 10.3 mm of pad later" in said
    assert (
        "at full rear is then ahead of front by 11.8°, which is the arms' doing" in said
    )
    assert "arm `rear spindle.lever` 33.0 mm long instead of 28.5 mm" in said


def test_a_small_lever_whose_link_was_set_at_full_keeps_the_idle_high():
    """The same lever, its link set from the full end: at idle the other hangs on it."""
    full = check(FAULT, cures=False).examined.assembly
    drop = full.loop("rear drop").length
    held = {
        name: twin_of(FAULT.with_rod("rear drop", drop + more)).held
        for name, more in (("longer", 2e-3), ("shorter", -2e-3))
    }
    assert math.degrees(max(held["longer"].values())) > 3
    assert math.degrees(max(held["shorter"].values())) > 3


@pytest.mark.parametrize(("more", "held"), [(0.5, "front"), (-0.5, "rear")])
def test_one_that_hangs_on_its_link_at_idle_is_told(more, held):
    other = "rear" if held == "front" else "front"
    said = beside_text(twin_of(long_link(more)))
    assert said.startswith(
        f"at idle {held} is held 1.1° off its stop while {other} rests"
    )


def test_twins_that_are_sound_are_said_to_be_together():
    said = told(edited(TWIN))
    assert (
        "front and rear together all the way; both are full together, at pad 71.9 mm"
        in said
    )
    assert "both rest on their idle stops and are full together." in said
    assert "most" not in said


def test_a_setting_that_mends_says_what_is_left_on_the_way():
    """Drop links that lean otherwise: together at both ends, not between."""
    pivot = "pivot   = [250, 280, 130]"
    said = told(edited(TWIN, (pivot, pivot.replace("280", "284"))))
    assert (
        "Set with rods `front drop` 130.9 mm and `rear drop` 130.7 mm, both rest on their "
        "idle stops and are full together; on the way rear is ahead of front by 0.2°, at "
        "pad 37.1 mm."
    ) in said


def test_an_arm_that_is_a_hair_wrong_is_told_to_the_hundredth():
    pivot = "pivot   = [250, 280, 130]"
    said = told(edited(TWIN, (pivot, pivot.replace("280", "290"))))
    assert "at full rear is then ahead of front by 0.1°" in said
    assert "arm `rear spindle.lever` 33.02 mm long instead of 33.00 mm" in said


def test_one_that_starts_later_on_purpose_is_told_at_full_alone():
    said = told(edited(TWIN, SLOTTED))
    assert (
        "front leaves its idle stop at pad 0.0 mm, rear leaves its idle stop at pad"
        in said
    )
    assert "at most" not in said
    assert "Set with" not in said
    (data,) = twin_data(check(edited(TWIN, SLOTTED), cures=False))
    assert data["later_on_purpose"] is True
    assert data["setting"] is None


def test_plates_that_are_never_full_are_said_so():
    arm = "arms.rear     = { length = 76"
    never = twin_of(edited(TWIN, (arm, arm.replace("76", "20"))))
    assert beside_text(never).endswith("front is full at pad 71.9 mm, rear never")
    assert beside_data(never)["full_at_mm"]["rear"] is None
    neither = twin_of(
        edited(
            TWIN,
            (arm, arm.replace("76", "20")),
            ("arms.front    = { length = 76", "arms.front    = { length = 20"),
        )
    )
    assert beside_text(neither).endswith("neither is ever full")


def test_a_plate_that_never_starts_is_said_so():
    """Behind a slot longer than all the way to it."""
    layout = edited(TWIN, (REAR_ROD, f"{REAR_ROD}\nslot = 90\nlost = 80"))
    assert "rear never leaves its idle stop" in beside_text(twin_of(layout))


def test_one_plate_has_nothing_beside_it():
    result = check(edited("hanging-pedal"), cures=False)
    assert twin_lines(result) == []
    assert twin_data(result) == []


def test_data_are_the_numbers_in_the_units_of_their_keys():
    (data,) = twin_data(check(short_lever(30), cures=False))
    twins = twin_of(short_lever(30))
    assert data["ahead_at_full_deg"] == pytest.approx(
        math.degrees(twins.at_full), abs=1e-4
    )
    assert data["full_at_mm"]["rear"] == pytest.approx(
        twins.full["rear"] * 1e3, abs=1e-4
    )
    worst = data["effects"][0]
    assert (worst["part"], worst["kind"], worst["mm"]) == (
        "rear spindle.lever",
        "arm",
        1.0,
    )
    right = data["setting"]["arms"][0]
    assert right["right_mm"] == pytest.approx(33.0, abs=1e-3)
    assert right["rods_mm"]["rear drop"] == pytest.approx(130.8563, abs=1e-3)
