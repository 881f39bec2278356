"""What differs between two layouts, part by part, and what each change is called."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from linkage.comparison import compare, match
from linkage.comparison.back import carburettor_here
from linkage.comparison.changes import changes
from linkage.comparison.compared import pad_force, side
from linkage.comparison.match import Matching, Pair
from linkage.comparison.renamed import renamed
from linkage.comparison.trials import Tried, trials, try_all
from linkage.comparison.turned import Turn, arm_moved, turned
from linkage.comparison.units import Unit, hands, units
from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.report.compare import compare_lines
from linkage.report.compare_pictures import both_picture
from linkage.report.compare_words import (
    _both_seen,
    _throttle,
    _turned_shaft,
    _unclear,
    change_text,
    changes_text,
)
from linkage.rules import examine
from tests.sprung import torsion_spring
from tests.unit.compared import car, named, other_carburettor, turned_arm

if TYPE_CHECKING:
    from linkage.comparison.change import Change
    from linkage.model import Layout

BEFORE = car("scenario-before")
NEAR = Ref("spring", "near")


def words(c, **how) -> str:
    return " ".join(" ".join(compare_lines(c, **how)).split())


def one(old: Layout, new: Layout) -> Change:
    """Return the only change."""
    (change,) = changes(old, new)
    return change


def spring_with(layout: Layout, name: str, **parts) -> Layout:
    return layout.with_spring(replace(layout.springs[name], **parts))


def test_a_rod_that_was_cut_to_fit_and_now_has_a_length():
    change = one(BEFORE, BEFORE.with_rod("carb", 0.2401))
    assert (change.kind, change.old, change.new) == ("rod length", None, 0.2401)
    assert change_text(change) == "rod `carb` 240.1 mm (was cut to fit)"


def test_a_spring_hooked_to_another_arm():
    new = spring_with(BEFORE, "near", arm="far spring")
    change = one(BEFORE, new)
    assert change.about == NEAR
    assert change_text(change) == (
        "spring `near` hooked to spindle.far spring (was spindle.spring)"
    )


def test_a_spring_about_its_shaft_in_place_of_one_that_pulls():
    wound = torsion_spring("near", "spindle", -1, 0.5, 0.3)
    new = BEFORE.with_spring(wound)
    found = {c.kind: c for c in changes(BEFORE, new)}
    assert {"spring hook", "spring anchor"} <= set(found)
    assert change_text(found["spring anchor"]) == "spring `near` anchored another way"
    assert change_text(found["spring hook"]) == (
        "spring `near` hooked to spindle (was spindle.spring)"
    )
    # And none of both that is about its shaft in both.
    assert changes(new, new) == ()


def test_another_swing_and_other_limits():
    main = replace(BEFORE.main, swing=BEFORE.main.swing - math.radians(4))
    limits = replace(BEFORE.limits, stamp_load=711.0)
    new = replace(BEFORE, throttles={main.name: main}, limits=limits)
    swing, limit = changes(BEFORE, new)
    assert change_text(swing) == "`throttle` swing 72.0° (was 76.0°)"
    assert limit.about == Ref("all", "limits")
    assert change_text(limit) == "the file's limits differ"
    # Limits are no part that moved, so the list of parts leaves them out.
    assert changes_text((swing, limit)) == ["`throttle` swing 72.0° (was 76.0°)"]


def test_what_is_said_where_nothing_that_moved_is_one_part():
    limits = replace(BEFORE.limits, stamp_load=711.0)
    told = words(compare(BEFORE, replace(BEFORE, limits=limits)))
    assert "Nothing turned round" in told
    assert "Changed:" not in told


def test_shafts_are_matched_from_the_driven_end_too():
    """From the pedal on no shaft is matched: only the old one carries a plate."""
    second = replace(BEFORE.main, name="second", shaft="cross shaft")
    old = replace(BEFORE, throttles={**BEFORE.throttles, "second": second})
    new = named(BEFORE, {"bell crank": "relay", "cross shaft": "tube"})
    found = match(old, new).names("shaft")
    assert found["bell crank"] == "relay"
    # The tube still drives the relay, whatever sits on it.
    assert found["cross shaft"] == "tube"


def test_springs_about_a_shaft_match_no_arms():
    old = BEFORE.with_spring(torsion_spring("near", "spindle", -1, 0.5, 0.3))
    arms = match(old, BEFORE).arms()
    assert {h.arm for h in arms if h.shaft == "spindle"} >= {"lever", "far spring"}


def test_two_old_parts_never_get_one_name():
    """What has no partner keeps its name, unless the other layout uses that name."""
    pairs = (Pair(old=Ref("shaft", "pedal"), new=Ref("shaft", "spindle"), by="place"),)
    new = renamed(BEFORE, Matching(pairs=pairs, only_old=(), only_new=()))
    assert len(new.shafts) == len(BEFORE.shafts)
    assert new.pedal.shaft == "spindle"
    assert new.main.shaft not in {"spindle", "pedal"}


def test_an_arm_that_is_new_points_elsewhere():
    spindle = BEFORE.shafts["spindle"]
    more = {**spindle.arms, "new": replace(spindle.arms["lever"], name="new")}
    new = BEFORE.with_shaft(replace(spindle, arms=more))
    assert not arm_moved(BEFORE, new, "spindle", "lever", "")
    assert arm_moved(BEFORE, new, "spindle", "new", "")
    assert arm_moved(BEFORE, new, "no such shaft", "lever", "")


@pytest.mark.parametrize(
    ("shaft", "arm", "angle", "rod"),
    [("spindle", "lever", -128.0, "carb"), ("bell crank", "in", 164.0, "down")],
)
def test_a_new_arm_that_turns_the_sense_round_is_the_arm_and_of_no_hand(
    shaft, arm, angle, rod
):
    """What was not there before can neither stand as it did nor have changed its hand."""
    assert BEFORE.rods[rod].end == Hole(shaft=shaft, arm=arm)
    wrong = turned_arm(BEFORE, f"{shaft}.{arm}", angle)
    (turn,) = turned(examine(BEFORE), examine(wrong)).turns
    assert (turn.moved, turn.hand) == (True, shaft == "bell crank")
    there = wrong.shafts[shaft]
    new = replace(there.arms[arm], name="new")
    wrong = wrong.with_shaft(replace(there, arms={**there.arms, "new": new}))
    ended = replace(wrong.rods[rod], end=Hole(shaft=shaft, arm="new"))
    wrong = replace(wrong, rods={**wrong.rods, rod: ended})
    (turn,) = turned(examine(BEFORE), examine(wrong)).turns
    assert turn.parts == (Ref("arm", shaft, "new"),)
    assert (turn.moved, turn.hand) == (True, False)


def test_nothing_is_said_to_turn_of_a_throttle_that_the_old_one_had_not():
    other = replace(BEFORE.main, name="rear")
    old = replace(BEFORE, throttles={"rear": other})
    assert turned(examine(old), examine(BEFORE)).turns == ()


def test_no_pad_force_where_friction_locks():
    """Told by its own rule; a number that is not finite is no force to compare."""
    x = examine(BEFORE)
    low, high = pad_force(x)
    assert 0 < low <= high < math.inf
    shafts = {
        n: replace(s, bearing=0.06, friction=2.0) for n, s in BEFORE.shafts.items()
    }
    locked = examine(replace(BEFORE, shafts=shafts))
    assert pad_force(locked) is None


def test_the_old_carburettor_brings_a_spring_about_its_spindle_as_it_is():
    wound = torsion_spring("near", "spindle", -1, 0.5, 0.3)
    old = BEFORE.with_spring(wound)
    spindle = replace(BEFORE.shafts["spindle"], pivot=(0.34, 0.22, 0.158))
    here = carburettor_here(old, "throttle")(BEFORE.with_shaft(spindle))
    assert here.springs["near"] == wound
    assert here.shafts["spindle"].pivot == spindle.pivot


def test_what_shut_before_and_opens_now():
    shut = other_carburettor(BEFORE)
    assert "Pressing shut `throttle`; now it opens it." in words(compare(shut, BEFORE))
    assert "Pressing SHUTS `throttle`, as it did." in words(compare(shut, shut))


def test_where_each_of_two_begins_to_open():
    late = replace(BEFORE, pedal=replace(BEFORE.pedal, free_play=8e-3))
    told = words(compare(BEFORE, late))
    assert "opens from pad 0.0 mm 8.0 mm" in told.replace("│", "").replace("  ", " ")


def test_both_plates_are_marked_where_their_branches_turn_round():
    from linkage.report.compare_pictures import marked

    twin = car("twin-side-draught")
    angle = math.degrees(twin.shafts["rear spindle"].arms["lever"].angle)
    c = compare(twin, turned_arm(twin, "rear spindle.lever", angle + 180))
    assert marked(c) == [(Ref("arm", "rear spindle", "lever"), "turns round here")]


def test_where_nothing_that_was_set_back_mends_it():
    c = compare(BEFORE, other_carburettor(BEFORE))
    none = replace(c, trials=())
    assert "Set back alone and in pairs, no changed part mends it." in words(none)
    svg = both_picture(none, suffix="svg").decode()
    assert "Set back and solved" not in svg


def test_what_was_tried_and_cannot_be_put_together_is_listed_as_that():
    c = compare(BEFORE, other_carburettor(BEFORE))
    apart = tuple(replace(t, assembles=False) for t in c.tried)
    told = words(replace(c, tried=apart), everything=True)
    assert "cannot be put together" in told


def test_a_crank_of_the_other_hand_alone_is_no_part_set_back():
    c = compare(car("crank-right-hand"), car("crank-wrong-hand"))
    hands = tuple(t for t in c.trials if not t.back)
    assert hands
    told = words(replace(c, trials=hands))
    assert "No changed part mends it, set back alone or in pairs. But" in told


def test_a_trial_that_does_not_open_says_so():
    c = compare(BEFORE, other_carburettor(BEFORE))
    shut = replace(c.trials[0], outcome=c.new.check)
    assert "still does not open" in words(replace(c, trials=(shut,)))


def test_no_dead_centre_within_reach():
    c = compare(BEFORE, BEFORE)
    far = replace(c.new, dead_centre=None)
    assert "none within reach" in words(replace(c, new=far))


def test_a_dead_centre_on_the_idle_side_is_none_within_reach():
    """One lies before the travel; none is met beyond it, pedal right down and further."""

    def lever(degrees: float) -> Layout:
        long = car("hanging-pedal").with_arm("spindle.lever", length=0.12)
        return turned_arm(turned_arm(long, "spindle.lever", degrees), "pedal.rod", degrees)  # fmt: skip

    assert [d.side for d in examine(lever(80)).dead_centres] == ["idle"]
    assert side(lever(80), "").dead_centre is None
    margin, hole = side(lever(120), "").dead_centre
    assert str(hole) == "pedal.rod"
    assert 0 < margin < math.radians(75)


def test_what_cannot_be_put_together_alone_is_not_tried():
    def unit(name: str, length: float) -> Unit:
        rod = Ref("rod", name)
        return Unit(kind="rod length", about=rod, put=lambda a: a.with_rod(name, length), holds=frozenset({rod}))  # fmt: skip

    length = float(examine(BEFORE).assembly.loops[-1].length)
    (one,) = try_all(BEFORE, [unit("carb", length)], [])
    assert one.assembles
    assert one.opens
    assert try_all(BEFORE, [unit("carb", 0.05)], []) == ()


def test_what_its_own_check_refuses_mends_nothing():
    """As rows it was judged; alone a spring cannot be anchored on its hook."""
    near = BEFORE.springs["near"]
    pin = BEFORE.shafts[near.shaft].pin(near.arm)
    wrong = BEFORE.with_spring(replace(near, anchor=pin))
    unit = Unit(kind="spring", about=NEAR, put=lambda a: a, holds=frozenset({NEAR}))
    sound, wrong = (
        Tried(units=(unit,), layout=one, assembles=True, opens=True)
        for one in (BEFORE, wrong)
    )
    (told,) = trials([sound], [], ["opening-sense"])
    assert told.outcome.verdict == "fits"
    assert told.left == ()
    assert trials([wrong], [], ["opening-sense"]) == ()


def test_ways_of_shafts_that_stayed_or_are_not_in_both():
    c = compare(BEFORE, BEFORE)
    assert _turned_shaft(c, "no shaft of both") == "`no shaft of both`"
    assert _turned_shaft(c, "spindle") == (
        "`spindle` turns anticlockwise seen from the right, as before"
    )
    assert _throttle(c, "throttle") == (
        "`throttle` opens anticlockwise as before, but `spindle` lies another way"
    )
    parts = (Ref("arm", "pedal", "rod"), Ref("arm", "spindle", "lever"))
    between = Turn(parts=parts, shaft="spindle", hand=False, moved=False)
    assert _unclear(c, between) == (
        "between `pedal.rod` and `spindle.lever`, where a shaft lies another way"
    )
    way = next(w for w in c.shafts if w.about.name == "spindle")
    apart = replace(way, seen=("the right", "behind"))
    assert _both_seen(apart) == "the old seen from the right, the new from behind"


def test_a_place_that_is_set_back_leaves_offsets_of_a_mirror_image():
    """In a mirror image offsets are those of the other side, and none is set back."""
    spindle = BEFORE.shafts["spindle"]
    slid = replace(spindle.arms["lever"], offset=0.02)
    new = BEFORE.with_shaft(replace(spindle, arms={**spindle.arms, "lever": slid}))
    found = changes(BEFORE, new)
    assert [u.kind for u in units(BEFORE, new, found)] == ["offset"]
    assert units(BEFORE, new, found, "left for right") == []


def test_a_spring_about_its_shaft_has_no_anchor_that_a_mirror_shows():
    old = BEFORE.with_spring(torsion_spring("near", "spindle", -1, 0.5, 0.3))
    new = BEFORE.with_spring(torsion_spring("near", "spindle", -1, 0.8, 0.3))
    found = changes(old, new)
    assert [u.kind for u in units(old, new, found)] == ["spring"]
    assert units(old, new, found, "front for back") == []


def test_every_crank_between_pedal_and_plate_is_tried_of_the_other_hand():
    """Its far arm about the near one, or across where the two lie in one line."""
    between = [u.about for u in hands(BEFORE)]
    path = BEFORE.path_to("spindle")
    assert between == [
        Ref("arm", link.driver.shaft, link.driver.arm) for link in path[1:]
    ]
    assert len(between) == 2
    for unit in hands(BEFORE):
        assert not unit.back
        into = next(i.driven for i in path if i.driven.shaft == unit.about.name)
        was = BEFORE.shafts[into.shaft].arms
        now = unit.put(BEFORE).shafts[into.shaft].arms
        assert now[into.arm] == was[into.arm]
        apart = [a[unit.about.part].angle - a[into.arm].angle for a in (was, now)]
        flat = abs(math.sin(apart[0])) < math.sin(math.radians(10))
        turned = apart[0] + math.pi if flat else -apart[0]
        assert math.isclose(math.remainder(apart[1] - turned, 2 * math.pi), 0, abs_tol=1e-12)  # fmt: skip


def test_a_throttle_moved_to_another_shaft_is_no_carburettor_to_set_back():
    main = BEFORE.main
    moved = replace(main, shaft="bell crank", swing=main.swing / 2)
    new = replace(BEFORE, throttles={main.name: moved})
    kinds = {u.kind for u in units(BEFORE, new, changes(BEFORE, new))}
    assert "carburettor" not in kinds
