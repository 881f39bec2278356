"""Arms of a rod tried as rows: each row is what its layout alone would be."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from linkage.config import load
from linkage.model.rows import row, rows_of
from linkage.motion import assemble, sweep
from linkage.search import rods
from linkage.search.arms import arms_set, search
from linkage.search.rods import NEVER, Aim, attempt, chain, turning_right, with_arms
from linkage.search.spans import ANYWHERE, CLOCKED, OTHER_SIDE, Vary, sized

CONFIGS = Path(__file__).parents[2] / "configs"
NAMES = ("scenario-before", "twin-side-draught", "hanging-pedal")


def car(name: str):
    return load(CONFIGS / f"{name}.toml").layout


def tries(layout):
    """Return the last rod, 60 rows of its arms, and what it shall do."""
    link = layout.path_to(layout.main.shaft)[-1]
    random = np.random.default_rng(7)
    one, two = (layout.shafts[h.shaft].arms[h.arm] for h in link.holes)
    arms = {
        hole: (
            arm.length * random.uniform(0.7, 1.4, 60),
            arm.angle + random.uniform(-1.5, 1.5, 60),
        )
        for hole, arm in zip(link.holes, (one, two), strict=True)
    }
    main = layout.main
    aim = Aim(
        sense=main.opens,
        turn=main.swing,
        throttle=True,
        look=layout.limits.arm_rod_look,
        tip_in=layout.limits.tip_in,
    )
    return link, arms, aim


@pytest.mark.parametrize("name", NAMES)
def test_a_layout_cut_down_turns_as_the_whole(name):
    layout = car(name)
    travel = np.linspace(0.0, layout.pedal.travel, 17)
    whole = sweep(assemble(layout), travel)
    for link in layout.links:
        part = chain(layout, link.driven.shaft)
        path = layout.path_to(link.driven.shaft)
        assert len(part.rods) == len(path)
        turns = sweep(assemble(part), travel).turns[link.driven.shaft]
        np.testing.assert_array_equal(turns, whole.turns[link.driven.shaft])


@pytest.mark.parametrize("name", NAMES)
def test_rows_are_what_each_is_alone_whatever_the_blocks(name, monkeypatch):
    layout = car(name)
    link, arms, aim = tries(layout)
    base = chain(layout, link.driven.shaft)
    many = attempt(base, link, arms, aim, 17)
    assert 0 < np.count_nonzero(many.score < NEVER) < 60
    monkeypatch.setattr(rods, "BLOCK", 17 * 7)
    parts = attempt(base, link, arms, aim, 17)
    np.testing.assert_array_equal(many.score, parts.score)
    for i in range(0, 60, 5):
        here = {h: (a[i : i + 1], b[i : i + 1]) for h, (a, b) in arms.items()}
        alone = attempt(base, link, here, aim, 17)
        for field in ("score", "reached", "least", "jams"):
            assert getattr(alone, field)[0] == getattr(many, field)[i]


@pytest.mark.parametrize("name", NAMES)
def test_what_turns_the_wrong_way_is_left_out_and_nothing_else(name):
    layout = car(name)
    link, arms, aim = tries(layout)
    base = chain(layout, link.driven.shaft)
    right = turning_right(base, link, arms, aim)
    whole = attempt(base, link, arms, aim, 33)
    left_out = np.setdiff1d(np.arange(60), right)
    assert right.size
    assert left_out.size
    # Of those left out none gets to the end of the pad's travel the opening way.
    fine = (whole.score < NEVER) & ~whole.jams
    assert not fine[left_out].any()


def test_what_is_reached_is_what_the_layout_opens():
    layout = car("scenario-before")
    link, arms, aim = tries(layout)
    found = attempt(chain(layout, link.driven.shaft), link, arms, aim, 33)
    whole = with_arms(layout, arms)
    assert rows_of(whole) == 60
    travel = np.linspace(0.0, layout.pedal.travel, 33)
    for i in np.flatnonzero((found.score < NEVER) & ~found.jams)[:8]:
        one = row(whole, int(i))
        opening = sweep(assemble(one), travel).opening(layout.main.name)
        full = np.flatnonzero(opening >= layout.main.swing)
        most = opening[full[0]] if full.size else opening.max()
        assert found.reached[i] == pytest.approx(most / layout.main.swing, rel=1e-12)


def test_arms_that_stay_keep_their_very_numbers():
    layout = car("scenario-before")
    hole = layout.links[0].driver
    arm = layout.shafts[hole.shaft].arms[hole.arm]
    lengths = np.array([arm.length + 1e-12, 0.05])
    angles = np.array([arm.angle + 2 * math.pi, 4.0])
    both = arms_set(layout, {hole: (lengths, angles)})
    first, second = (row(both, i).shafts[hole.shaft].arms[hole.arm] for i in (0, 1))
    assert (first.length, first.angle) == (arm.length, arm.angle)
    assert second.length == 0.05
    assert second.angle == pytest.approx(4.0 - 2 * math.pi, abs=1e-9)


def test_spans_go_in_whole_steps_and_wider_ones_in_fewer():
    layout = car("scenario-before")
    arm = layout.shafts["spindle"].arms["lever"]
    for span in (CLOCKED, ANYWHERE, OTHER_SIDE):
        angles = np.degrees(span.angles(arm))
        assert angles == pytest.approx(np.round(angles))
        assert len(span.angles(arm, 2)) < len(angles)
    assert len(ANYWHERE.angles(arm)) == 60  # a full turn, no angle twice
    lengths = sized(CLOCKED).lengths(arm)
    assert arm.length in lengths
    assert (lengths.min(), lengths.max()) == pytest.approx((0.02, 0.052))
    assert len(sized(CLOCKED).angles(arm)) == len(CLOCKED.angles(arm))


def test_a_way_on_which_nothing_opens_gives_no_rows():
    layout = car("hanging-pedal")
    link, _, aim = tries(layout)
    wrong = Aim(
        sense=aim.sense, turn=3.0, throttle=True, look=aim.look, tip_in=aim.tip_in
    )
    found = search(layout, [link], [Vary(driven=CLOCKED)], [wrong])
    assert not any(found.reached >= 1)
    against = Aim(sense=-aim.sense, turn=1.0, throttle=True, look=1.0, tip_in=1.0)
    assert len(search(layout, [link], [Vary()], [against])) == 0


def test_two_rods_on_one_arm_move_it_together():
    """An arm that one rod drives and the next is driven by is set once."""
    layout = car("scenario-before")
    down, carb = layout.path_to("spindle")[-2:]
    shared = replace(carb.rod, start=down.driven)
    # Above the crank, so that the rod to it crosses the crank's arm squarely.
    spindle = replace(layout.shafts["spindle"], pivot=(0.12, 0.22, 0.42))
    layout = replace(layout, rods={**layout.rods, "carb": shared}).with_shaft(spindle)
    path = layout.path_to("spindle")[-2:]
    part = chain(layout, down.driven.shaft)
    turn = sweep(assemble(part), layout.pedal.travel).turns[down.driven.shaft]
    look, tip = layout.limits.arm_rod_look, layout.limits.tip_in
    down_aim, up_aim = (
        Aim(sense=sense, turn=abs(by), throttle=False, look=look, tip_in=tip)
        for sense, by in ((math.copysign(1, turn), turn), (-1.0, 1.0))
    )
    free, anywhere = (
        Vary(driver=CLOCKED, driven=CLOCKED),
        Vary(driver=CLOCKED, driven=ANYWHERE),
    )
    found = search(layout, path, [free, anywhere], [down_aim, up_aim])
    assert len(found)
    whole = found.layout(layout)
    for i in range(len(found)):
        one = row(whole, i) if rows_of(whole) > 1 else whole
        turns = sweep(assemble(one), np.linspace(0, one.pedal.travel, 33)).turns[
            "spindle"
        ]
        opening = up_aim.sense * turns
        full = np.flatnonzero(opening >= up_aim.turn)
        most = opening[full[0]] if full.size else opening.max()
        assert most == pytest.approx(found.reached[i], abs=1e-9)
