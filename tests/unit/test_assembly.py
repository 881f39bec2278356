"""Putting a layout together: rods cut or given, branches, and what cannot be."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from linkage.errors import AssemblyError, LayoutError, ReachError
from linkage.motion import assemble, frame, sweep
from tests.build import arm, four_bar, hauler, hole, rod, shaft, tree


def two_shafts(lever_deg: float, length_mm: float | None = None, lever_mm: float = 40):
    """Pins at (0, 100) and about (200, 0), both seen from above."""
    return tree(
        [
            shaft("pedal", (0, 0, 0), "upright", arm("pad", 200, 90), arm("rod", 100, 90)),
            shaft("spindle", (200, 0, 0), "upright", arm("lever", lever_mm, lever_deg)),
        ],
        [rod("link", "pedal.rod", "spindle.lever", length_mm)],
        travel_mm=50,
    )  # fmt: skip


def test_cut_rod_is_the_distance_at_rest():
    assembly = assemble(two_shafts(90))
    loop = assembly.loop("link")
    assert loop.length == pytest.approx(math.hypot(0.2, 0.06))
    assert assembly.rest == {"pedal": 0.0, "spindle": 0.0}


@pytest.mark.parametrize(("lever_deg", "branch"), [(90, 1), (-90, -1)])
def test_branch_is_the_side_a_pull_turns_the_arm_to(lever_deg, branch):
    """The pin stands at (0, 100), left of the lever: pulling a lever that stands
    up turns it anticlockwise seen from above, one that hangs clockwise."""
    assembly = assemble(two_shafts(lever_deg))
    assert assembly.loops[0].branch == branch
    side = (
        frame(sweep(assembly, [0.0]))
        .rod(assembly.loops[0].link.rod.name)
        .driven_side[0]
    )
    assert np.sign(side) == branch


@pytest.mark.parametrize("lever_deg", [60, -120])
def test_given_rod_turns_the_driven_shaft_to_fit(lever_deg):
    layout = two_shafts(lever_deg, 210)
    assembly = assemble(layout)
    motion = sweep(assembly, [0.0])
    link = assembly.loops[0].link
    gap = frame(motion).pin(link.driver).T[0] - frame(motion).pin(link.driven).T[0]
    assert np.linalg.norm(gap) == pytest.approx(0.21, rel=1e-14)
    assert assembly.rest["spindle"] != 0
    assert motion.turns["spindle"][0] == pytest.approx(
        assembly.rest["spindle"], rel=1e-15
    )


@pytest.mark.parametrize(("length", "word"), [(150.0, "short"), (290.0, "long")])
def test_rod_that_reaches_nothing_says_by_how_much_and_what_would(length, word):
    with pytest.raises(ReachError) as caught:
        assemble(two_shafts(90, length))
    error = caught.value
    away = math.hypot(200, 100)
    least, most = away - 40, away + 40
    miss = least - length if word == "short" else length - most
    assert f"rod `link` of {length:.1f} mm is {miss:.1f} mm too {word}" in error.message
    assert error.key == ("rods", "link", "length")
    assert error.exit_code == 4
    numbers = [float(x) for x in re.findall(r"(\d+\.\d) mm", error.hint)]
    assert numbers == [round(least, 1), round(most, 1)]
    for cure in (numbers[0] + 0.1, numbers[1] - 0.1, sum(numbers) / 2):
        assert assemble(two_shafts(90, cure)).loops[0].length == cure / 1e3


def test_leaving_the_length_out_is_the_other_cure():
    with pytest.raises(ReachError, match="too short") as caught:
        assemble(two_shafts(90, 10))
    assert "leave `length` out" in caught.value.hint
    assemble(two_shafts(90))


@pytest.mark.parametrize("turn_deg", [0, 180])
def test_arm_in_line_with_its_rod_at_rest(turn_deg):
    toward = math.degrees(math.atan2(100, -200))
    with pytest.raises(AssemblyError, match="in line at rest") as caught:
        assemble(two_shafts(toward + turn_deg))
    error = caught.value
    assert not isinstance(error, ReachError)
    assert error.key == ("shafts", "spindle", "arms", "lever")
    assert "turn the arm" in error.hint
    assemble(two_shafts(toward + turn_deg + 5))


def test_reach_range_is_what_a_compass_gives():
    loop = assemble(two_shafts(90)).loops[0]
    least, most = loop.reach_range(0.0)
    away = math.hypot(0.2, 0.1)
    assert (least, most) == pytest.approx((away - 0.04, away + 0.04))
    # With an arm longer than the distance, still a positive least length.
    loop = assemble(two_shafts(90, lever_mm=300)).loops[0]
    assert loop.reach_range(0.0) == pytest.approx((0.3 - away, 0.3 + away))


def test_reach_range_with_a_side_offset_adds_it_square():
    layout = two_shafts(90).with_arm(hole("spindle.lever"), offset=0.05)
    least, most = assemble(layout).loops[0].reach_range(0.0)
    away = math.hypot(0.2, 0.1)
    assert least == pytest.approx(math.hypot(away - 0.04, 0.05))
    assert most == pytest.approx(math.hypot(away + 0.04, 0.05))


def test_short_by_has_the_sign_of_the_cure():
    loop = assemble(two_shafts(90)).loops[0]
    assert loop.short_by(0.0) == 0.0
    # The pin turned to (-100, 0) lies 300 mm away; the rod reaches 209 + 40 mm.
    turn = math.pi / 2
    assert loop.short_by(turn) == pytest.approx(0.3 - 0.04 - loop.length)
    # Turned to (100, 0) it is only 100 mm away: too long.
    assert loop.short_by(-turn) == pytest.approx(0.1 + 0.04 - loop.length)


def test_given_rod_early_in_a_chain_moves_all_that_follows():
    layout = hauler()
    cut = assemble(layout)
    longer = layout.with_rod("first", cut.loop("first").length + 0.002)
    assembly = assemble(longer)
    assert assembly.rest["cross shaft"] != 0
    # The last rod is cut to fit there, so the spindle stays as measured.
    assert assembly.rest["spindle"] == 0.0
    assert assembly.loop("last").length != cut.loop("last").length
    motion = sweep(assembly, [0.0])
    assert motion.turns["spindle"][0] == pytest.approx(0, abs=1e-12)


def test_an_arm_turns_about_a_point_of_the_centre_line():
    centre = hauler().shafts["cross shaft"].centre("inner")
    # Across: n = -y, so an offset of -150 lies at y = 100 + 150.
    assert centre == pytest.approx((0.020, 0.250, 0.330))


def test_four_bar_helper_gives_both_assemblies():
    turns = [
        sweep(assemble(four_bar(40, 120, 80, 100, 40, b)), [0.0]).turns["lever"][0]
        for b in (1, -1)
    ]
    assert turns[0] != pytest.approx(turns[1])


def test_a_throttle_on_the_pedals_own_shaft_is_refused():
    layout = hauler()
    main = {"throttle": replace(layout.main, shaft="pedal")}
    with pytest.raises(LayoutError, match="pedal's own shaft `pedal`") as caught:
        assemble(replace(layout, throttles=main))
    assert caught.value.key == ("throttle", "shaft")
    assert "spindle" in caught.value.hint
