"""Changes of cables and drums: each mends what it is for, in words that are true of it.

Each fault is a line changed in a shipped layout; the cure is found by the whole check,
written out, read and checked anew.
"""

from __future__ import annotations

import math
import warnings
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import dump, loads
from linkage.connect.cable import run_of
from linkage.forces.sheath import bends
from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.motion import assemble, frame, sweep
from linkage.rules import examine
from linkage.search import cables, changes, check, drums, wear
from linkage.search.family import Step, joined
from linkage.search.lost_motion import other_ways
from linkage.search.said import new_parts, said
from linkage.search.said_of_rods import cut_said
from tests.unit.edits import edited
from tests.unit.offered import offers

DRUM, PUSH = "cable-drum", "push-pull-cable"
RADIUS = "length = 29, angle = 205"
WOUND = 'wound = "clockwise"'
RUBS = "sheath_friction = 0.12"
SLACK = "slack           = 1.5"
TO = "sheath_to       = [-780, 120, 169]"
ON = 'sheath_to_on    = "engine"\n'
LIMIT = "push_limit      = 450"
AT = Hole(shaft="spindle", arm="drum")


def drum(*edits):
    return edited(DRUM, *edits)


def mended(layout, code):
    """Return the plan for a layout that has one fault, proven by the file written."""
    found = check(layout)
    assert code in {f.code for f in found.findings if f.verdict != "fits"}
    cure = found.plan
    if cure is None:
        (finding,) = [f for f in found.findings if f.code == code]
        cure = finding.cure
    assert cure.proven, cure.text
    again = check(loads(dump(cure.layout)).layout, cures=False)
    assert again.verdict != "do not fit"
    assert code not in {f.code for f in again.findings if f.verdict != "fits"}
    words = " ".join((cure.text, *cure.steps))
    assert not any(word in words for word in ("rod", "joint", "cut", "bar"))
    return cure


def test_the_shipped_ones_need_no_cure():
    assert check(drum()).verdict == check(edited(PUSH)).verdict == "fits"


def test_a_drum_of_too_large_a_radius_is_made_smaller():
    cure = mended(drum((RADIUS, "length = 34, angle = 205")), "full-throttle")
    radius = cure.layout.shafts["spindle"].arms["drum"].length
    first, second = cure.steps[:2]
    assert first == (
        f"make drum `spindle.drum` of {1e3 * radius:.1f} mm radius instead of 34.0 mm"
    )
    assert second.startswith("take up the adjuster of cable `main` by ")
    assert second.endswith("so that 1.5 mm of wire hangs loose at rest")


def test_more_than_an_adjuster_has_is_told():
    cure = mended(drum((RADIUS, "length = 40, angle = 205")), "full-throttle")
    assert "by its adjuster and the length of its wire or sheath" in cure.steps[1]
    was, now = (
        assemble(layout).loop("main").length
        for layout in (drum((RADIUS, "length = 40, angle = 205")), cure.layout)
    )
    assert f"{1e3 * (was - now):.1f} mm less of free wire" in cure.steps[1]


def test_an_adjuster_is_turned_by_what_it_changes_of_the_free_wire():
    layout = drum((SLACK, "slack = 9"))
    cure = mended(layout, "full-throttle")
    was, now = (assemble(some).loop("main").length for some in (layout, cure.layout))
    assert was - now == pytest.approx(7.5e-3)
    assert cure.steps[0] == (
        "take up the adjuster of cable `main` by 7.5 mm, so that 1.5 mm of wire hangs "
        "loose at rest"
    )
    assert (
        "set cable `main` so that 1.5 mm of wire hangs loose at rest, where 9.0 mm hung "
        "loose" in cure.text
    )


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (3e-3, 0.0, "its wire is just taut at rest, where 3.0 mm hung loose"),
        (0.0, 2e-3, "2.0 mm of wire hangs loose at rest, where it was just taut"),
    ],
)
def test_slack_that_was_none_or_is_none_is_called_taut(old, new, told):
    step = Step(
        kind="rod lost",
        about=Ref("rod", "main"),
        old=old,
        new=new,
        more={"rod": "cable"},
    )
    assert said(step) == f"set cable `main` so that {told}"


@pytest.mark.parametrize(("by", "word"), [(-6, "let out"), (14, "take up")])
def test_so_is_one_whose_wire_and_sheath_were_measured(by, word):
    """Too short, it holds the plate open: let out by that and the slack asked for."""
    loop = assemble(drum()).loop("main")
    whole = loop.link.rod.sheathed + loop.length
    lengths = (
        f'sheath_length = "{1e3 * loop.link.rod.sheathed:.6f} mm"\n'
        f'wire_length = "{1e3 * whole - 1.5 + by:.6f} mm"\n'
    )
    layout = drum((SLACK, lengths))
    cure = mended(layout, "idle" if by < 0 else "full-throttle")
    hangs = 1e3 * (assemble(cure.layout).loop("main").length - loop.length) + 1.5
    (step,) = [s for s in cure.steps if "adjuster" in s]
    turned = abs(hangs - by)
    assert step.startswith(f"{word} the adjuster of cable `main` by {turned:.1f} mm")


def test_a_drum_wound_the_wrong_way_is_turned_over():
    cure = mended(drum((WOUND, 'wound = "anticlockwise"')), "opening-sense")
    assert cure.layout.shafts["spindle"].arms["drum"].wound == -1
    assert "clockwise from its nipple on, seen from the right" in cure.steps[0]
    assert new_parts(offers(drums.turned_over(drum(), [AT]))[0].step) == 0


def test_a_carburettor_that_opens_the_other_way_has_its_springs_put_over_too():
    opens = ('opens        = "clockwise"', 'opens        = "anticlockwise"')
    cure = mended(drum(opens), "opening-sense")
    assert cure.layout.shafts["spindle"].arms["drum"].wound == 1
    assert sum("move the anchor" in step for step in cure.steps) == 2


def test_turned_over_with_the_sheath_moved_the_wire_leaves_on_the_other_side():
    layout = drum()
    rows = offers(drums.turned_over(layout, [AT]))
    stays, across = rows[: len(rows) // 2], rows[len(rows) // 2 :]
    assert {r.layout.rods["main"].ends[1] for r in stays} == {
        layout.rods["main"].ends[1]
    }
    middle = across[len(across) // 2]
    old, new = (some.rods["main"].ends[1].point for some in (layout, middle.layout))
    assert "to the other side of it: the end of its sheath at" in middle.text
    # Two radii across, to the millimetre, and as far along the shaft.
    assert math.dist(old, new) == pytest.approx(2 * 0.029, abs=1e-3)
    assert old[1] == new[1]
    wound = [
        float(run_of(some, AT, some.rods["main"].ends[1].point).wound((1.0, 0.0)))
        for some in (layout, middle.layout)
    ]
    assert wound[0] == pytest.approx(wound[1], abs=math.radians(2))
    senses = []
    for some in (layout, middle.layout):
        turn = sweep(assemble(some), [0.0, 0.04]).turns["spindle"]
        senses.append(math.copysign(1, turn[1] - turn[0]))
    assert senses[0] == -senses[1]


def test_no_bare_arm_is_turned_over_and_no_drum_put_on_its_other_side():
    layout = drum()
    assert list(drums.turned_over(layout, [Hole(shaft="pedal", arm="cable")])) == []
    assert list(changes.other_side(layout, [AT])) == []
    assert list(changes.other_side(layout, [Hole(shaft="pedal", arm="cable")]))


def test_the_end_of_a_sheath_is_held_where_its_arm_is():
    cure = mended(drum((ON, "")), "mount-gone")
    assert cure.layout.rods["main"].ends[1].on == "engine"
    (step,) = cure.steps
    assert step == (
        "hold the end of the sheath of cable `main` at `spindle.drum` on the engine "
        "instead of the body"
    )
    both = drum((ON, 'sheath_from_on = "engine"\n'))
    one, two, whole = offers(cables.held(both))
    assert [new_parts(o.step) for o in (one, two, whole)] == [1, 1, 2]
    assert "on the body instead of the engine and the sheath" in whole.text
    assert [e.on for e in whole.layout.rods["main"].ends] == ["body", "engine"]


def test_friction_in_a_sheath_is_mended_there():
    layout = drum((RUBS, "sheath_friction = 0.6\nbend = 300"), (LED, ""))
    found = {c.code: c for c in check(layout).findings if c.verdict != "fits"}
    assert "closing-torque" in found
    cure = mended(layout, "closing-torque")
    assert any("lined sheath" in s or "larger bends" in s for s in cure.steps)


LED = "sheath_through  = [[-200, 0, 112], [-420, 40, 90], [-640, 110, 120]]\n"


def test_a_lined_sheath_rubs_less_than_what_is_there():
    layout = drum()
    each = offers(cables.lined(layout))
    assert [o.layout.rods["main"].sheath_friction for o in each] == [0.1, 0.08, 0.05]
    assert "friction 0.08 at most instead of 0.12" in each[1].text
    assert list(cables.lined(drum((RUBS, "sheath_friction = 0.05")))) == []
    # One that is not given is taken as the check takes it.
    assert "instead of 0.15" in offers(cables.lined(drum((RUBS + "\n", ""))))[0].text


def test_a_sheath_that_ends_where_it_begins_is_led_no_straighter():
    layout = drum()
    cable = layout.rods["main"]
    one, two = cable.ends
    ends = (one, replace(two, point=one.point))
    ring = replace(cable, ends=ends, sheath_length=None)
    bare = replace(ring, through=())
    motion = examine(replace(layout, rods={"main": bare})).motion
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert offers(cables.straighter(motion, ["main"])) == []


def test_a_sheath_is_led_no_straighter_than_from_end_to_end():
    layout = drum()
    motion = examine(layout).motion
    rows = offers(cables.straighter(motion, ["main"]))
    most = float(np.max(bends(frame(motion).rod("main"))))
    told = [o.layout.rods["main"].bend for o in rows]
    assert all(b < most for b in told)
    assert told == sorted(told, reverse=True)
    free = replace(layout.rods["main"], through=())
    straight = replace(layout, rods={"main": free})
    line = frame(examine(straight).motion).rod("main")
    legs = [leg.pull for leg in line.leaves]
    way = np.subtract(free.ends[1].point, free.ends[0].point)
    way = way / np.linalg.norm(way)
    least = sum(
        np.arccos(sign * np.reshape(leg, (3, -1)).T @ way)
        for sign, leg in zip((1, -1), legs, strict=True)
    )
    assert min(told) >= float(np.max(least)) - 1e-9
    assert min(told) < float(np.max(least)) + cables.BEND_STEP


def test_a_nipple_that_leans_has_the_end_of_its_sheath_moved_along_the_shaft():
    leans = (TO, "sheath_to       = [-780, 105, 169]")
    fixed = (RADIUS, "length = 29, angle = 205, fixed = true")
    cure = mended(drum(leans, fixed), "joint-tilt")
    assert "move the end of the sheath of cable `main` at `spindle.drum` by " in (
        cure.text
    )
    x, y, z = cure.layout.rods["main"].ends[1].point
    assert (x, z) == pytest.approx((-0.780, 0.169))
    assert 0.105 < y <= 0.120


def test_no_end_is_moved_further_than_its_sheath_is_long():
    length = drum().rods["main"].way
    given = f'{RUBS}\nsheath_length = "{1e3 * length + 8:.3f} mm"'
    motion = examine(drum((RUBS, given))).motion
    some = offers(cables.ends_moved(motion, ["main"]))
    assert some
    assert all(o.layout.rods["main"].way <= length + 8e-3 for o in some)
    free = offers(cables.ends_moved(examine(drum()).motion, ["main"]))
    assert len(some) < len(free)


def test_points_of_a_sheath_go_toward_the_line_between_their_neighbours():
    layout = drum()
    was = layout.rods["main"].way
    rows = offers(cables.points_moved(layout, ["main"]))
    assert {o.step.old for o in rows} == {*layout.rods["main"].through}
    assert all(o.layout.rods["main"].way < was + 1e-4 for o in rows)
    assert "lead the sheath of cable `main` through [" in rows[0].text


def test_a_push_pull_cable_is_renewed_or_taken_for_one_that_takes_more():
    weak = mended(edited(PUSH, (LIMIT, "push_limit      = 20")), "rod-push")
    push = weak.layout.rods["main"].push_limit
    assert weak.steps == (
        f"fit cable `main` that may be pushed with {push:.0f} N instead of 20 N",
    )
    worn = ("play            = 0.5", "play            = 3")
    cure = mended(edited(PUSH, worn), "full-throttle")
    assert cure.steps[0] == ("renew cable `main` (3.0 mm of play now), 1.0 mm of play")
    (alone,) = offers(wear.less_play(edited(PUSH, worn)))
    assert new_parts(alone.step) == 1


def test_a_cable_of_other_make_is_of_a_size_that_is_sold():
    layout = edited(PUSH)
    rows = offers(cables.of_make(layout, "main", "stroke", 0.08, cables.STROKES))
    assert [o.layout.rods["main"].stroke for o in rows] == [0.1, 0.125, 0.15]
    assert rows[0].text == "fit cable `main` of 100.0 mm stroke instead of 76.0 mm"
    thin = offers(cables.of_make(drum(), "main", "wire", 0.0, cables.WIRES))
    assert thin[0].text == "fit cable `main` of 1.8 mm wire instead of 1.5 mm"
    assert list(cables.of_make(layout, "link", "wire", 0.0, cables.WIRES)) == []


def test_a_cable_that_only_pulls_is_made_to_push_too_but_on_no_drum():
    assert list(other_ways(drum(), ["main"])) == []
    bare = (f"{RADIUS}, {WOUND}", "length = 29, angle = 330")
    (way,) = offers(other_ways(drum(bare), ["main"]))
    assert way.text == "fit a push-pull cable for `main`, which pushes too"
    assert way.layout.rods["main"].only == ""
    assert way.layout.rods["main"].lost == 0.0


def test_a_fixed_cable_is_left_as_it_is():
    layout = drum((SLACK, "slack = 9\nfixed = true"))
    for finding in check(layout).findings:
        if finding.cure is not None and finding.cure.layout is not None:
            assert finding.cure.layout.rods["main"] == layout.rods["main"]


def test_rods_and_cables_are_told_apart_where_both_are_set():
    rods = edited(PUSH).rods
    assert cut_said(rods, {"main": 0.2, "link": 0.3}) == (
        " and cut rod `link` to 300.0 mm and set cable `main` to 200.0 mm of free wire"
    )


def test_a_steady_is_tried_beside_a_sheath_from_the_body_to_the_engine():
    """As rows, in all of which it is known how far the sheath is pulled."""
    layout = drum((RUBS, "sheath_friction = 0.28"))
    found = check(layout)
    assert "engine-closing" in {f.code for f in found.reasons}
    assert found.plan.proven


def test_a_point_of_a_sheath_is_not_moved_that_another_change_takes_away():
    """Fewer bends leave no points: the two are no pair, whichever comes first."""
    layout = drum()
    motion = sweep(assemble(layout), np.array([0.0, 0.05]))
    (fewer,) = cables.straighter(motion, ["main"])
    moved = next(cables.points_moved(layout, ["main"]))
    every = np.arange(moved.size)
    assert joined(layout, moved, every, fewer) is None
    assert joined(layout, fewer, np.arange(fewer.size), moved) is None
