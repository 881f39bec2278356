"""Comparing two layouts: what turned the sense round is named, and what mends it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.comparison import compare, match
from linkage.comparison.renamed import renamed
from linkage.errors import AssemblyError
from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.report.compare import compare_lines, verdict_text
from linkage.search import check
from tests.unit.compared import (
    anchored,
    car,
    from_the_left,
    mirrored_front_for_back,
    other_carburettor,
    turned_arm,
)

BEFORE = car("scenario-before")
CRANE = car("crank-right-hand")
LEVER = Ref("arm", "spindle", "lever")


def words(c) -> str:
    return " ".join(" ".join(compare_lines(c)).split())


def test_the_shipped_pair_is_sound_and_wrong():
    assert check(CRANE, cures=False).verdict == "fits"
    wrong = check(car("crank-wrong-hand"), cures=False)
    assert {f.code for f in wrong.reasons} == {"opening-sense", "spring-pedal"}


def test_a_layout_and_itself():
    c = compare(BEFORE, BEFORE)
    assert c.turned.turns == ()
    assert c.changes == c.trials == c.tried == ()
    assert c.fits
    assert not any(w.turned for w in (*c.shafts, *c.rods, *c.springs, *c.throttles))
    assert "Nothing turned round" in words(c)


def test_an_arm_on_the_other_side_of_its_shaft():
    new = turned_arm(BEFORE, "spindle.lever", 52 - 130)
    c = compare(BEFORE, new)
    (turn,) = c.turned.turns
    assert turn.parts == (LEVER,)
    assert turn.moved
    assert not turn.hand
    assert not c.new.opens
    assert c.trials[0].units[0].about == LEVER
    assert c.trials[0].left == ()
    assert (
        "arm `spindle.lever` stands on the other side of its shaft (at -78°" in words(c)
    )
    assert "with the old `spindle.lever` (32.0 mm at 52°): opens again, 100%" in words(
        c
    )


@pytest.mark.parametrize(("arm", "degrees"), [("out", -112), ("in", 164)])
def test_a_bell_crank_of_the_other_hand(arm, degrees):
    """Its one arm, mirrored about the other: the crank or the next shaft turns round."""
    c = compare(BEFORE, turned_arm(BEFORE, f"bell crank.{arm}", degrees))
    (turn,) = c.turned.turns
    assert turn.parts == (Ref("arm", "bell crank", arm),)
    assert turn.hand
    assert c.trials[0].units[0].about == turn.parts[0]
    assert c.trials[0].opens
    assert c.trials[0].left == ()
    told = words(c)
    assert "`bell crank` is of the other hand" in told
    turned = {w.about.name for w in c.shafts if w.turned}
    assert turned == ({"spindle"} if arm == "out" else {"bell crank", "spindle"})
    if arm == "in":
        assert (
            "`bell crank` turned anticlockwise, now clockwise, both seen from the right"
            in told
        )
    else:
        assert "though `bell crank` turns as before" in told


def test_both_arms_of_a_crank_are_set_back_together():
    new = turned_arm(turned_arm(BEFORE, "bell crank.out", -112), "bell crank.in", -30)
    c = compare(BEFORE, new)
    assert c.turned.first.parts == (Ref("arm", "bell crank", "out"),)
    kinds = {(u.kind, str(u.about)) for t in c.tried for u in t.units}
    assert ("crank", "bell crank") in kinds
    whole = next(t for t in c.tried if [u.kind for u in t.units] == ["crank"])
    assert whole.left == frozenset()


def test_a_carburettor_that_opens_the_other_way():
    c = compare(BEFORE, other_carburettor(BEFORE))
    (turn,) = c.turned.turns
    assert turn.parts == (Ref("throttle", "throttle"),)
    assert c.trials[0].units[0].kind == "opens"
    assert c.trials[0].left == ()
    assert "opened anticlockwise, now clockwise, both seen from the right" in words(c)
    assert "its springs then work the right way" in words(c)
    assert [(w.old, w.new, w.shuts) for w in c.springs] == [(1, 1, (1, -1))] * 2


def test_what_turns_round_and_turns_back():
    c = compare(BEFORE, car("scenario-cured"))
    assert [t.parts for t in c.turned.turns] == [
        (LEVER,),
        (Ref("throttle", "throttle"),),
    ]
    assert c.fits
    assert c.new.opens
    assert c.tried == ()
    assert "It turns back here: `throttle` opened" in words(c)


def test_measured_from_the_other_side_turns_nothing_round():
    """The same metal, its spindle measured from the left: other words, no other turn."""
    new = from_the_left(BEFORE, "spindle")
    assert check(new, cures=False).verdict == "fits"
    c = compare(BEFORE, new)
    assert c.turned.turns == ()
    assert c.changes == ()
    spindle = next(w for w in c.shafts if w.about.name == "spindle")
    assert spindle.turned is False
    assert spindle.measured == "the right"
    assert spindle.old == spindle.new == -1
    assert "Nothing turned round. `spindle` is measured from" in words(c)
    assert "only the words for it change" in words(c)


def test_an_axis_written_the_other_way_is_the_carburettor_turned():
    """`opens` and the angles stand as they were, and mean the opposite."""
    new = from_the_left(BEFORE, "spindle", measured=False)
    c = compare(BEFORE, new)
    assert c.turned.turns
    assert {r.name for t in c.turned.turns for r in t.parts} <= {"spindle", "throttle"}
    assert "though the old file measures from the right" in words(c)


def test_an_angle_read_from_the_other_side():
    """52° looked at from the left is 128° from the right: the lever leans back."""
    new = turned_arm(BEFORE, "spindle.lever", -128)
    c = compare(BEFORE, new)
    assert c.turned.first.parts == (LEVER,)


def test_a_spring_anchored_on_the_other_side():
    """The senses of shafts and rods stay; the spring pulls the pedal down."""
    new = anchored(BEFORE, "near", (200.0, 234.0, 140.0))
    c = compare(BEFORE, new)
    assert c.turned.turns == ()
    near, far = c.springs
    assert (near.old, near.new, near.turned) == (1, -1, True)
    assert near.shuts == (1, -1)
    assert not far.turned
    assert c.trials[0].units[0].about == Ref("spring", "near")
    assert c.trials[0].left == ()
    assert "Nothing turned round." in words(c)
    assert "with spring `near` as it was" in words(c)


def test_the_pair_whose_crank_is_of_the_wrong_hand():
    c = compare(CRANE, car("crank-wrong-hand"))
    assert [t.parts for t in c.turned.turns] == [(Ref("throttle", "throttle"),)]
    assert [t.units[0].kind for t in c.trials] == ["carburettor", "hand"]
    hand = c.trials[1]
    assert hand.left == ()
    assert not hand.back
    assert hand.outcome.verdict == "fits"
    arm = hand.layout.shafts["bell crank"].arms["out"]
    assert math.degrees(arm.angle) == pytest.approx(162)
    told = words(c)
    assert "`bell crank` is of the wrong hand for it" in told
    assert (
        "with `bell crank` of the other hand (arm `out` at 162° instead of -18°)"
        in told
    )
    pulls = {w.about.name: (w.old, w.new) for w in c.rods}
    assert pulls == {"up": (-1, -1), "across": (1, 1), "carb": (1, -1)}


def test_two_changes_that_only_a_pair_mends():
    new = turned_arm(BEFORE, "spindle.lever", -78)
    new = anchored(new, "near", (200.0, 234.0, 140.0))
    c = compare(BEFORE, new)
    pair = next(t for t in c.trials if len(t.units) == 2)
    assert {str(u.about) for u in pair.units} == {"spindle.lever", "spring near"}
    assert pair.left == ()
    one = next(t for t in c.trials if len(t.units) == 1)
    assert one.opens
    assert one.left


def test_a_change_that_turns_nothing_round_is_named_too():
    """Too long a hole: nothing turns round, the plate opens by part alone."""
    c = compare(car("bulkhead-cross-shaft"), car("fault-hole-too-long"))
    assert c.turned.turns == ()
    assert c.trials[0].units[0].about == LEVER
    assert "Pressing opens `throttle`, but to 71% only" in words(c)


def test_the_mirror_image_renamed_turns_nothing_round():
    new = mirrored_front_for_back(CRANE)
    assert check(new, cures=False).verdict == "fits"
    table = {"bell crank": "rocker", "spindle": "throttle shaft"}
    c = compare(CRANE, _named(new, table))
    assert c.turned.turns == ()
    assert c.turned.mirror == "front for back"
    assert "mirror image of the old one, front for back: nothing turned round" in words(
        c
    )
    assert all(w.old == -w.new for w in c.shafts)
    assert not any(w.turned for w in (*c.shafts, *c.rods, *c.springs, *c.throttles))
    assert {p.new.name for p in c.matching.by_place} == {"rocker", "throttle shaft"}


def test_a_mirror_image_with_one_arm_wrong_names_the_arm():
    new = turned_arm(mirrored_front_for_back(CRANE), "bell crank.out", 18)
    c = compare(CRANE, new)
    assert c.turned.mirror == "front for back"
    (turn,) = c.turned.turns
    assert turn.parts == (Ref("arm", "bell crank", "out"),)
    assert turn.hand
    assert c.trials[0].units[0].about == turn.parts[0]
    assert c.trials[0].left == ()


def _named(layout, table):
    """Return a layout with other names of shafts, as a file of another hand has them."""
    from linkage.comparison.match import Matching, Pair

    pairs = [
        Pair(old=Ref("shaft", a), new=Ref("shaft", b), by="place")
        for a, b in table.items()
    ]
    return renamed(layout, Matching(pairs=tuple(pairs), only_old=(), only_new=()))


def test_other_names_are_matched_by_place_and_told():
    new = _named(BEFORE, {"cross shaft": "relay", "spindle": "throttle shaft"})
    found = match(BEFORE, new)
    assert found.names("shaft")["cross shaft"] == "relay"
    assert found.arms()[Hole(shaft="spindle", arm="lever")] == Hole(
        shaft="throttle shaft", arm="lever"
    )
    assert found.only_old == found.only_new == ()
    told = words(compare(BEFORE, new))
    assert "Matched by place: `cross shaft` is now `relay`" in told
    assert "Nothing turned round" in told


def test_names_that_changed_places_are_told_by_place():
    """A name that another part of the new layout has is no reason to mix them up."""
    new = _named(BEFORE, {"pedal": "treadle"})
    assert match(BEFORE, new).names("shaft")["pedal"] == "treadle"
    assert renamed(BEFORE, match(BEFORE, new)).pedal.shaft == "treadle"


def test_parts_that_only_one_has_are_told():
    c = compare(car("hanging-pedal"), car("bulkhead-cross-shaft"))
    assert {r.name for r in c.matching.only_new} >= {"cross shaft", "bell crank", "up"}
    told = words(c)
    assert "Only in the new linkage: `cross shaft`, `bell crank`, rod `up`" in told
    assert "`link` is now rod `carb`" in told
    back = words(compare(car("bulkhead-cross-shaft"), car("hanging-pedal")))
    assert "Only in the old linkage: `cross shaft`, `bell crank`" in back


def test_a_new_shaft_between_that_turns_the_sense_round():
    """What lies between two matched shafts is named together, the new one by name."""
    new = other_carburettor(car("bulkhead-cross-shaft"))
    c = compare(car("hanging-pedal"), new)
    assert c.turned.first.parts == (Ref("throttle", "throttle"),)
    new = turned_arm(car("bulkhead-cross-shaft"), "bell crank.out", -112)
    c = compare(car("hanging-pedal"), new)
    parts = c.turned.first.parts
    assert Ref("arm", "bell crank", "out") in parts
    assert "where `cross shaft` and `bell crank` are new" in verdict_text(c)


def test_a_spindle_that_lies_another_way_cannot_be_told_by_its_turn():
    c = compare(car("hanging-pedal"), car("twin-side-draught"))
    way = next(w for w in c.shafts if w.about.name == "front spindle")
    assert way.turned is None
    assert way.seen == ("the right", "behind")
    assert c.turned.turns == ()


def test_what_cannot_be_put_together_is_refused():
    short = BEFORE.with_rod("carb", 0.05)
    for pair in ((BEFORE, short), (short, BEFORE)):
        with pytest.raises(AssemblyError):
            compare(*pair)


def test_nothing_is_said_of_a_fault_that_was_so_before():
    bad = car("fault-one-spring-only")
    c = compare(bad, bad)
    assert not c.fits
    assert c.tried == ()


def test_free_play_hides_no_turning_round():
    """With the pedal up nothing moves yet; the senses are those of the first move."""
    slack = replace(BEFORE, pedal=replace(BEFORE.pedal, free_play=4e-3))
    assert compare(slack, slack).turned.turns == ()
    c = compare(slack, other_carburettor(slack))
    assert [t.parts for t in c.turned.turns] == [(Ref("throttle", "throttle"),)]
    c = compare(BEFORE, turned_arm(slack, "bell crank.out", -112))
    assert c.turned.first.parts == (Ref("arm", "bell crank", "out"),)


def test_a_pedal_pressed_the_other_way():
    new = replace(BEFORE, pedal=replace(BEFORE.pedal, presses=-1))
    c = compare(BEFORE, new)
    assert c.turned.first.parts == (Ref("pedal", "pedal"),)
    assert not c.new.opens
    assert c.trials[0].units[0].kind == "pedal"
    assert "the pedal is pressed the other way" in words(c)


def test_a_rod_in_another_arm_is_set_back():
    """An arm that was for a spring takes the rod by mistake."""
    wrong = BEFORE.with_arm(
        "spindle.far spring", angle=math.radians(-110), offset=0.012
    )
    rod = replace(wrong.rods["carb"], end=Hole(shaft="spindle", arm="far spring"))
    new = replace(wrong, rods={**wrong.rods, "carb": rod})
    c = compare(BEFORE, new)
    assert c.turned.first.parts == (Ref("arm", "spindle", "far spring"),)
    kinds = {u.kind for t in c.trials for u in t.units}
    assert "rod" in kinds
    assert "joins bell crank.out and spindle.far spring" in " ".join(
        " ".join(compare_lines(c, everything=True)).split()
    )


def test_the_old_carburettor_is_tried_in_the_new_place():
    """It sat on the other side: set back there its rod would lean too far."""
    c = compare(BEFORE, car("fault-wrong-sense"))
    (trial,) = c.trials
    assert trial.units[0].kind == "carburettor here"
    assert trial.left == ()
    was = next(t for t in c.tried if t.units[0].kind == "carburettor")
    assert was.left == {"joint-tilt"}
    new = car("fault-wrong-sense").shafts["spindle"]
    assert trial.layout.shafts["spindle"].pivot == new.pivot
    assert "in the new place: opens again" in words(c)


def test_numbers_side_by_side():
    c = compare(BEFORE, car("scenario-cured"))
    for side in (c.old, c.new):
        low, high = side.pad_force
        assert 10 < low < high < 60
        assert side.curve.full_at == pytest.approx(side.examined.working.end, abs=3e-3)
        assert np.degrees(side.least_angle) > 45
        assert side.dead_centre[0] > math.radians(15)
    assert compare(BEFORE, other_carburettor(BEFORE)).new.pad_force is None
    bare = replace(BEFORE, springs={})
    assert compare(bare, bare).new.pad_force is None


def test_said_of_each_in_one_line():
    c = compare(CRANE, car("crank-wrong-hand"))
    things = (
        c,
        c.old,
        c.matching,
        c.turned,
        *c.trials,
        *c.tried,
        *c.shafts,
        *c.changes,
    )
    for thing in things:
        assert len(repr(thing)) <= 200
        assert "\n" not in repr(thing)
