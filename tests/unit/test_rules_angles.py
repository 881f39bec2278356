"""Rules of angles: arms to rods, dead centres, joints that lean, springs' lines."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.model import JOINT_TILT, Hole, Known, Spring, stack
from linkage.rules import examine, spring_lines
from tests.build import arm, rod, shaft, tree
from tests.unit.cured import cured, found, named
from tests.unit.edits import (
    JOINTS,
    PEDAL_ROD,
    STOP,
    TO,
    TRUCK,
    TWIN,
    edited,
    lever,
    limit,
)
from tests.unit.ruled import alone, changed, found_in, rule

HOOK = "arms.spring       = { length = 28, angle = 70, offset = -12 }"


def hook(angle: float, length: float = 28) -> tuple[str, str]:
    return HOOK, f"arms.spring = {{ length = {length}, angle = {angle}, offset = -12 }}"


# --- arm to rod ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("angle", "verdict", "word"),
    [
        (52, "fits", "in order"),
        (60, "look", "it gets heavy and sensitive there"),
        (66, "look", "look hard"),
        (75, "do not fit", "too near to dead centre"),
    ],
)
def test_arm_rod_angle_in_four_steps(angle, verdict, word):
    layout = edited(TRUCK, lever(angle=angle))
    fault = found(layout, "arm-rod-angle", "rod link at spindle.lever")
    assert fault.verdict == verdict
    assert word in fault.text
    line = examine(layout).lines["link"]
    folded = np.minimum(line.driven_angle, np.pi - line.driven_angle)
    assert fault.value == pytest.approx(folded.min())
    if verdict != "fits":
        cured(layout, "arm-rod-angle", "rod link at spindle.lever")


def test_arm_rod_angle_is_judged_at_the_driving_end_too():
    layout = edited(TRUCK, (PEDAL_ROD, "arms.rod = { length = 115, angle = 130 }"))
    fault = found(layout, "arm-rod-angle", "rod link at pedal.rod")
    assert fault.verdict != "fits"


def test_arm_rod_angle_against_the_textbook_angle():
    """Law of cosines in the plane, where the rod has no side offset."""
    layout = edited(TRUCK, lever(offset=-30))  # the plane of the pedal's rod
    x = examine(layout)
    pedal, spindle = layout.shafts["pedal"], layout.shafts["spindle"]
    ours = x.lines["link"].driven_angle
    length = x.assembly.loop("link").length
    for i in (0, 60, 120):
        pin = pedal.pin("rod", float(x.motion.turns["pedal"][i]))
        away = math.dist((pin[0], pin[2]), (spindle.pivot[0], spindle.pivot[2]))
        cosine = (0.032**2 + length**2 - away**2) / (2 * 0.032 * length)
        assert ours[i] == pytest.approx(math.acos(cosine), abs=1e-9)


# --- dead centres -------------------------------------------------------------------


def test_dead_centre_near_the_full_end_must_not_be_fitted():
    layout = edited(TRUCK, lever(angle=85))
    fault = found(layout, "dead-centre", "rod link at spindle.lever full")
    assert fault.verdict == "do not fit"
    assert fault.value < math.radians(15) == fault.limit
    assert "beyond the full end, stops removed" in fault.text
    cured(layout, "dead-centre", "rod link at spindle.lever full")


def test_dead_centre_near_the_idle_end_asks_for_a_look():
    layout = edited(TRUCK, lever(angle=10))
    fault = found(layout, "dead-centre", "rod link at spindle.lever idle")
    assert fault.verdict == "look"
    assert fault.value < math.radians(15)
    cured(layout, "dead-centre", "rod link at spindle.lever idle")


def test_dead_centre_margin_by_plane_geometry():
    """Lever and rod in one line: the pedal's pin is their sum from the spindle."""
    layout = edited(TRUCK, lever(angle=85, offset=-30))
    x = examine(layout)
    fault = found(layout, "dead-centre", "rod link at spindle.lever full")
    length = x.assembly.loop("link").length
    ground = math.dist((0, 0), (0.430, 0.082))
    far = length + 0.032
    # At the pedal, between its rod arm and the line to the spindle:
    cosine = (0.115**2 + ground**2 - far**2) / (2 * 0.115 * ground)
    pin_angle = math.atan2(0.082, 0.430) + math.acos(cosine)
    pin = (0.115 * math.cos(pin_angle), 0.115 * math.sin(pin_angle))
    # In one line, the lever points back at the pedal's pin.
    pointing = math.atan2(pin[1] - 0.082, pin[0] - 0.430)
    at_end = math.radians(85) + float(x.motion.turns["spindle"][-1])
    margin = abs(math.remainder(pointing - at_end, 2 * math.pi))
    assert fault.value == pytest.approx(margin, abs=1e-5)


def test_dead_centre_inside_the_travel():
    """The driving arm comes into line: the plate stands still and turns back."""
    layout = edited(
        TRUCK, (PEDAL_ROD, "arms.rod = { length = 115, angle = -4 }"), (STOP, "")
    )
    inside = [d for d in examine(layout).dead_centres if d.side == "inside"]
    assert inside
    texts = [
        f.text
        for f in alone(examine(layout), "dead-centre")
        if f.verdict == "do not fit"
    ]
    assert any("within the travel" in t and "it can lock there" in t for t in texts)
    orders = [(o.part[1], float(np.ravel(o.order)[0])) for o in rule("dead-centre").judge(examine(layout)) if o.part]  # fmt: skip
    assert all((order < 0) == (side == "inside") for side, order in orders)


def folding(rod_mm=200.0, travel_mm=75.0):
    """Equal arms whose rod is as long as the ground, or nearly: all fold into line
    with the pad 52.36 mm down, 30 deg of pedal."""
    return tree(
        [
            shaft("pedal", (0, 0, 0), "upright", arm("pad", 100, 90), arm("rod", 50, 150)),
            shaft("spindle", (200, 0, 0), "upright", arm("lever", 50, 150)),
        ],
        [rod("link", "pedal.rod", "spindle.lever", rod_mm)],
        travel_mm=travel_mm,
    )  # fmt: skip


@pytest.mark.parametrize("rod_mm", [None, 200.0, 200.1])
def test_both_arms_in_line_at_once_may_go_either_way(rod_mm):
    """At 200.1 mm the lever is 4.1 deg from line where the pedal's arm is in it."""
    (fault,) = (f for f in found_in(folding(rod_mm)) if f.code == "dead-centre")
    assert fault.verdict == "do not fit"
    assert "`pedal.rod` and `spindle.lever`" in fault.text
    assert "may go either way" in fault.text
    assert "not certain" in fault.text
    assert fault.outcome.at == pytest.approx(0.05236, abs=2e-3)


def test_an_arm_in_line_alone_goes_one_way():
    """At 201 mm the lever is still 12.8 deg from line."""
    (fault,) = (f for f in found_in(folding(201.0)) if f.code == "dead-centre")
    assert fault.verdict == "do not fit"
    assert "`spindle.lever`" not in fault.text
    assert "either" not in fault.text


def test_both_arms_in_line_beyond_the_full_end_are_named_both():
    faults = [f for f in found_in(folding(travel_mm=40)) if f.code == "dead-centre"]
    assert {str(f.outcome.part[0]) for f in faults} == {"pedal.rod", "spindle.lever"}
    for fault in faults:
        assert fault.verdict == "do not fit"
        assert fault.value == pytest.approx(np.radians(30) - 0.4, abs=1e-6)
        assert "from where it may go either way" in fault.text


def test_rows_tell_which_arms_line_up_at_once():
    lengths = (199.9, 200.0, 200.1, 201.0)
    x = examine(stack([folding(n) for n in lengths]))
    (driver,) = (
        d for d in x.dead_centres if (d.hole.shaft, d.side) == ("pedal", "inside")
    )
    (driven,) = (
        d for d in x.dead_centres if (d.hole.shaft, d.side) == ("spindle", "inside")
    )
    assert np.isfinite(driver.pad_travel[:, 0]).tolist() == [False, True, True, True]
    assert driver.both[:, 0].tolist() == [False, True, True, False]
    # The first jams there, in the second both have their dead centre.
    assert np.isfinite(driven.pad_travel[:, 0]).tolist() == [True, True, False, False]
    assert driven.both[:, 0].tolist() == [True, True, False, False]


def test_no_dead_centre_at_all_is_said():
    x = examine(edited(TRUCK))
    x.dead_centres = ()
    (fault,) = alone(x, "dead-centre")
    assert fault.verdict == "fits"
    assert "no arm comes into line" in fault.text


# --- joints ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("offset", "verdict"), [(10, "fits"), (70, "look"), (110, "do not fit")]
)
def test_joints_lean_with_the_side_offset(offset, verdict):
    """Between parallel shafts the lean is asin(offset / length), everywhere."""
    layout = edited(TRUCK, lever(offset=offset))
    fault = found(layout, "joint-tilt", "rod link at spindle.lever")
    assert fault.verdict == verdict
    length = examine(layout).assembly.loop("link").length
    side = (offset + 30) * 1e-3
    assert fault.value == pytest.approx(math.asin(side / length), rel=1e-9)
    if verdict != "fits":
        assert "along its shaft" in cured(layout, "joint-tilt").text  # of either arm


def test_a_clevis_leans_hardly_at_all_and_a_ball_joint_mends_it():
    layout = edited(
        TRUCK,
        (JOINTS, 'joints = "clevis"'),
        lever(offset=65),
        limit("dead_centre", "15 deg"),
    )
    fault = found(layout, "joint-tilt")
    assert fault.limit == JOINT_TILT["clevis"]
    assert fault.verdict == "do not fit"
    cured(layout, "joint-tilt")


def test_each_end_has_the_limit_of_its_own_joint():
    layout = edited(TRUCK, (JOINTS, 'joints = ["clevis", "ball"]'))
    assert (
        found(layout, "joint-tilt", "rod link at pedal.rod").limit
        == JOINT_TILT["clevis"]
    )
    assert (
        found(layout, "joint-tilt", "rod link at spindle.lever").limit
        == JOINT_TILT["ball"]
    )


def test_joints_lean_through_the_travel_between_skew_shafts():
    """A pedal across, a jack shaft along: the lean is no constant."""
    layout = edited(
        TWIN,
        (
            "arms.in       = { length = 52, angle = 197, offset = 131 }",
            "arms.in       = { length = 52, angle = 197, offset = 40 }",
        ),
    )
    x = examine(layout)
    tilt = x.lines["up"].driven_tilt
    assert tilt.max() - tilt.min() > math.radians(0.3)
    fault = found(layout, "joint-tilt", "rod up at jack shaft.in")
    assert fault.value == pytest.approx(tilt.max())
    assert fault.verdict == "do not fit"
    cured(layout, "joint-tilt", "rod up at jack shaft.in")


# --- springs' lines -----------------------------------------------------------------------


def test_torque_arm_of_a_spring_by_plane_geometry():
    layout = edited(TRUCK)
    x = examine(layout)
    ours = spring_lines.closing_arm(x, layout.springs["near"])
    pivot, anchor = np.array([0.430, 0.082]), np.array([0.545, 0.105])
    for i in (0, 120):
        at = math.radians(70) + float(x.motion.turns["spindle"][i])
        pin = pivot + 0.028 * np.array([math.cos(at), math.sin(at)])
        away = anchor - pin
        area = (pin - pivot)[0] * away[1] - (pin - pivot)[1] * away[0]
        sideways = -0.018 + 0.030 - 0.012  # hook and anchor lie in one plane
        expected = abs(area) / math.hypot(*away, sideways)
        assert ours[i] == pytest.approx(expected, rel=1e-9)


def test_a_line_near_its_spindle_asks_for_a_look():
    layout = edited(TRUCK, limit("spring_line", "25 mm"))
    fault = found(layout, "spring-line", "spring near")
    assert fault.verdict == "look"
    assert "of torque arm about spindle" in fault.text
    x = examine(layout)
    assert fault.value == pytest.approx(
        spring_lines.closing_arm(x, layout.springs["near"]).min()
    )


def test_a_line_on_the_wrong_side_from_the_start():
    layout = edited(TRUCK, hook(-10))
    fault = found(layout, "spring-line", "spring near")
    assert fault.verdict == "do not fit"
    assert "from the start: it is on the wrong side" in fault.text
    cured(layout, "spring-line", "spring near")


def test_a_line_that_crosses_its_spindle_on_the_way():
    layout = edited("fault-spring-over-spindle")
    fault = found(layout, "spring-line")
    assert fault.verdict == "do not fit"
    place = float(fault.text.split("at pad ")[1].split(" mm")[0])
    assert (
        f"crosses spindle at pad {place:.1f} mm and holds it open from there"
        in fault.text
    )
    x = examine(layout)
    name = fault.about.name
    arm = spring_lines.closing_arm(x, layout.springs[name])
    first = int(np.argmax(arm <= 0))
    assert x.motion.pad_travel[first] * 1e3 == pytest.approx(place, abs=0.051)
    assert (arm[:first] > 0).all()
    cured(layout, "spring-line")


def test_springs_without_a_line_are_left_out():
    x = examine(edited(TRUCK))
    torsion = Spring(
        name="t", kind="torsion", shaft="spindle", known=Known(rate=0.2, preload=0.2)
    )
    layout = replace(x.layout, springs={"t": torsion})
    assert (
        alone(changed(x, assembly=replace(x.assembly, layout=layout)), "spring-line")
        == []
    )


def test_a_compression_spring_pushes_and_another_shaft_closes_against_its_turn():
    x = examine(edited(TRUCK))
    near = x.layout.springs["near"]
    pushed = replace(near, kind="compression")
    assert spring_lines.closing_arm(x, pushed) == pytest.approx(
        -spring_lines.closing_arm(x, near)
    )
    at_pedal = replace(near, shaft="pedal", arm="rod", anchor=(0.3, -0.03, 0.1))
    assert (spring_lines.closing_arm(x, at_pedal) > 0).all()
    assert x.speeds.first["pedal"][0] > 0
    assert Hole(shaft="pedal", arm="rod") in {p.driver for p in x.layout.links}


def test_a_spring_of_the_wrong_hand_is_named_once():
    assert named(edited(TRUCK, hook(-70))) == {"spring-hand": "do not fit"}


def test_nothing_stands_twice_for_one_fault():
    """A jam is its arm in line: neither angle nor dead centre say it again."""
    layout = edited(TRUCK, lever(angle=115), (TO, f"{TO}\nplay = 0.2"))
    assert named(layout) == {"reach": "do not fit"}


def test_a_spring_through_the_spindle_at_idle_says_where_it_begins_to_shut():
    layout = edited(TRUCK)
    spring = layout.springs["near"]
    shaft = layout.shafts["spindle"]
    pin = np.array(shaft.pin("spring"))
    centre = np.array(shaft.pivot) + shaft.arms["spring"].offset * np.array(
        shaft.axis.n
    )
    # Beyond its hook, in line with the arm: no torque arm at idle.
    anchor = tuple(float(c) for c in centre + 4 * (pin - centre))
    moved = replace(spring, anchor=anchor)
    layout = replace(layout, springs={**layout.springs, "near": moved})
    fault = found(layout, "spring-line")
    assert fault.verdict == "do not fit"
    assert "passes through spindle at the start and shuts only from pad" in fault.text
