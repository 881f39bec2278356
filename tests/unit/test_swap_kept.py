"""What is fixed a swap may move along, and neither it nor a cure makes it anew."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from linkage.config import load
from linkage.model import Hole, Known, Spring
from linkage.model.refs import Ref
from linkage.report.swap import swap_data, swap_lines
from linkage.rules.examine import examine
from linkage.search import check
from linkage.swap import solve, swap_sides
from linkage.swap.kept import fixed_parts
from linkage.swap.rehook import rehooked
from linkage.swap.slides import bearings_across

CONFIGS = Path(__file__).parents[2] / "configs"
BEFORE = load(CONFIGS / "scenario-before.toml").layout
LEVER = Hole(shaft="spindle", arm="lever")
OUTER = Hole(shaft="cross shaft", arm="outer")
OUT = Hole(shaft="bell crank", arm="out")


def marked(layout, *holes: Hole, **more):
    """Return a layout with arms marked."""
    for hole in holes:
        shaft = layout.shafts[hole.shaft]
        arm = replace(shaft.arms[hole.arm], **more)
        new = replace(shaft, arms={**shaft.arms, hole.arm: arm})
        layout = replace(layout, shafts={**layout.shafts, hole.shaft: new})
    return layout


def shaft_fixed(layout, name: str):
    shaft = replace(layout.shafts[name], fixed=True)
    return replace(layout, shafts={**layout.shafts, name: shaft})


def rod_fixed(layout, name: str):
    length = examine(layout).assembly.loop(name).length
    rod = replace(layout.rods[name], fixed=True, length=length)
    return replace(layout, rods={**layout.rods, name: rod})


def swapped(layout):
    return solve(swap_sides(layout, carburettor="replaced", opens=-1))


@cache
def free():
    return swapped(BEFORE)


def cure(solution, name: str):
    return next(c for c in solution.cures if c.name == name)


def sizes(layout, hole: Hole):
    arm = layout.shafts[hole.shaft].arms[hole.arm]
    return arm.length, arm.angle


def test_a_fixed_lever_is_neither_turned_over_nor_made_anew():
    solution = swapped(marked(BEFORE, LEVER, fixed=True))
    over = cure(solution, "lever-hanging")
    assert over.layout is None
    assert "arm `spindle.lever` is fixed" in over.reason
    assert cure(free(), "lever-hanging").fits
    was = sizes(solution.swap.after, LEVER)
    for one in solution.cures:
        if one.layout is not None:
            assert sizes(one.layout, LEVER) == was
            told = [step.about for step in (*one.changes.parts, *one.changes.work)]
            assert Ref("arm", "spindle", "lever") not in told
    assert any(sizes(c.layout, LEVER) != was for c in free().cures if c.layout)


def test_a_lever_that_may_not_be_clocked_may_be_longer():
    solution = swapped(marked(BEFORE, LEVER, clocking="fixed"))
    angle = sizes(solution.swap.after, LEVER)[1]
    assert all(sizes(c.layout, LEVER)[1] == angle for c in solution.cures if c.layout)
    assert "its clocking is fixed" in cure(solution, "lever-hanging").reason


def test_what_no_other_arm_can_do_is_told_with_its_reason():
    solution = swapped(marked(BEFORE, OUTER, LEVER, OUT, fixed=True))
    for name in (
        "arm-on-the-other-side",
        "lever-hanging",
        "crossed-pull-rod",
        "push-rod",
    ):
        assert "is fixed" in cure(solution, name).reason
        assert cure(solution, name).layout is None
    crank = cure(solution, "bell-crank-of-the-other-hand")
    assert "arm `bell crank.out` is fixed" in crank.reason


def test_a_fixed_bell_crank_goes_across_and_stays_as_it_is():
    solution = swapped(shaft_fixed(BEFORE, "bell crank"))
    there = solution.swap.after.shafts["bell crank"]
    assert there.pivot != BEFORE.shafts["bell crank"].pivot
    crank = cure(solution, "bell-crank-of-the-other-hand")
    assert "shaft `bell crank` is fixed" in crank.reason
    assert cure(free(), "bell-crank-of-the-other-hand").layout is not None
    for one in solution.cures:
        if one.layout is not None:
            assert one.layout.shafts["bell crank"] == there
    assert cure(solution, "lever-hanging").fits


def test_a_fixed_rod_keeps_its_length_and_is_not_parted():
    solution = swapped(rod_fixed(rod_fixed(BEFORE, "carb"), "down"))
    for one in solution.cures:
        if one.layout is not None:
            for name in ("carb", "down"):
                assert one.layout.rods[name] == solution.swap.after.rods[name]
                assert Ref("rod", name) not in [step.about for step in one.changes.work]
    lever = cure(solution, "reversing-lever")
    assert lever.layout is None
    assert "may not be parted" in lever.reason
    assert cure(free(), "reversing-lever").fits


def test_a_fixed_rod_that_goes_across_with_its_ends_still_fits():
    solution = solve(swap_sides(rod_fixed(BEFORE, "carb")))
    assert solution.fits_as_it_is
    assert solution.swap.recut == ()


def test_a_fixed_rod_whose_ends_part_is_not_cut_again():
    """Along the vehicle the carburettor goes further away from the shaft that stays."""
    one = solve(swap_sides(rod_fixed(BEFORE, "down"), beyond="bell crank")).swap
    assert one.after.rods["down"].length == one.before.rods["down"].length


def test_a_fixed_shaft_is_not_made_longer():
    kept = swap_sides(shaft_fixed(BEFORE, "cross shaft"))
    assert kept.slides == ()
    assert kept.after.shafts["cross shaft"].arms == BEFORE.shafts["cross shaft"].arms
    assert swap_sides(BEFORE).slides != ()
    solution = solve(kept)
    assert not solution.fits_as_it_is  # the rod leans across the car
    assert "joint-tilt" in {f.code for f in solution.share.brings}


def test_a_fixed_arm_may_slide_along_with_the_carburettor():
    slid = swap_sides(marked(BEFORE, OUTER, fixed=True))
    assert [str(s.hole) for s in slid.slides] == ["cross shaft.outer"]
    assert sizes(slid.after, OUTER) == sizes(BEFORE, OUTER)


def test_a_fixed_jack_shaft_is_not_taken_across_as_a_cure():
    lorry = load(CONFIGS / "twin-side-draught.toml").layout
    assert bearings_across(lorry, "jack shaft", 0.0) is not None
    assert bearings_across(shaft_fixed(lorry, "jack shaft"), "jack shaft", 0.0) is None


def spring_cases(*, fixed: bool):
    """Return what becomes of springs where the spindle opens the other way."""
    near, far = BEFORE.springs["near"], BEFORE.springs["far"]
    coil = Spring(
        name="coil",
        kind="torsion",
        shaft="spindle",
        known=Known(rate=0.1, preload=0.1, shuts=-1.0),
    )
    springs = {
        # On the lever itself, which the rod needs: its anchor would have to move.
        "near": replace(near, arm="lever", anchor=(0.451, 0.234, 0.228)),
        "far": far,
        "coil": coil,
    }
    springs = {n: replace(s, fixed=fixed) for n, s in springs.items()}
    before = replace(BEFORE, springs=springs)
    swap = swap_sides(before, carburettor="replaced", opens=-1)
    over = swap.after.with_arm(LEVER, angle=math.radians(-65)).with_rod("carb", None)
    over = replace(over, pedal=replace(over.pedal, stop=None))
    ((_, new),) = rehooked(examine(before), examine(over))
    return over, new


def test_fixed_springs_keep_anchor_and_hand_and_their_free_hooks_are_turned():
    over, new = spring_cases(fixed=True)
    assert new.springs == over.springs
    hook = "far spring"
    arms = [layout.shafts["spindle"].arms[hook].angle for layout in (over, new)]
    assert arms[0] != arms[1]


def test_free_springs_are_anchored_elsewhere_and_exchanged():
    over, new = spring_cases(fixed=False)
    assert new.springs["near"].anchor != over.springs["near"].anchor
    assert new.springs["coil"].known.shuts != over.springs["coil"].known.shuts


def test_what_is_fixed_is_told():
    layout = shaft_fixed(marked(BEFORE, LEVER, fixed=True), "bell crank")
    near = replace(layout.springs["near"], fixed=True)
    layout = rod_fixed(layout.with_spring(near), "up")
    named = ["bell crank", "spindle.lever", "rod up", "spring near"]
    assert list(map(str, fixed_parts(layout))) == named
    solution = solve(swap_sides(layout))
    assert swap_data(solution)["fixed"] == named
    said = " ".join(" ".join(swap_lines(solution)).split())
    told = "Fixed, neither the swap nor a cure makes it anew:"
    assert f"{told} `bell crank`, `spindle.lever`, rod `up`, spring `near`" in said
    assert "Fixed" not in " ".join(swap_lines(solve(swap_sides(BEFORE))))


@pytest.mark.parametrize("name", ["carb", "down"])
def test_every_cure_that_is_offered_is_what_its_check_says(name):
    for one in swapped(rod_fixed(BEFORE, name)).cures:
        if one.layout is not None:
            assert one.fits == (check(one.layout, cures=False).verdict != "do not fit")
