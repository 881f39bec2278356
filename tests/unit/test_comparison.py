"""Comparing two layouts: what turned the sense round is named, and what mends it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.comparison import compare
from linkage.model import Hole
from linkage.model.refs import Ref
from linkage.report.compare import compare_lines
from linkage.rules import states
from linkage.search import check
from tests.unit.compared import (
    anchored,
    car,
    from_the_left,
    mirrored_front_for_back,
    named,
    other_carburettor,
    turned_arm,
)
from tests.unit.edits import TRUCK, edited

BEFORE = car("scenario-before")
CRANE = car("crank-right-hand")
LEVER = Ref("arm", "spindle", "lever")


def words(c) -> str:
    return " ".join(" ".join(compare_lines(c)).split())


def test_the_shipped_pair_is_sound_and_wrong():
    assert check(CRANE, cures=False).verdict == "fits"
    wrong = check(car("crank-wrong-hand"), cures=False)
    assert {f.code for f in wrong.reasons} == {"opening-sense", "spring-pedal"}


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


def test_what_is_set_back_is_judged_in_every_movement_of_the_engine(monkeypatch):
    """All of it is told, and nobody looks again at more than the few that mend."""
    old = edited(TRUCK, ('roll    = "2 deg"', 'roll    = "2 deg"\nlift    = 3'))
    seen = []
    real = states.looked_at

    def noted(layout, grain):
        seen.append(len(real(layout, grain)))
        return real(layout, grain)

    monkeypatch.setattr(states, "looked_at", noted)
    c = compare(old, turned_arm(old, "spindle.lever", 52 - 130))
    assert len(c.tried) > 0
    assert set(seen) == {8}


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
    c = compare(CRANE, named(new, table))
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


def test_a_place_in_a_mirror_image_is_set_back_to_where_the_mirror_shows_it():
    new = mirrored_front_for_back(CRANE)
    right = new.shafts["bell crank"]
    x, y, z = right.pivot
    c = compare(CRANE, new.with_shaft(replace(right, pivot=(x + 0.1, y, z))))
    assert c.turned.mirror == "front for back"
    assert c.new.check.verdict == "do not fit"
    (unit,) = c.trials[0].units
    assert (unit.kind, unit.about) == ("place", Ref("shaft", "bell crank"))
    back = unit.put(c.new.layout).shafts["bell crank"].pivot
    assert np.allclose(back, right.pivot, atol=1e-9)
    assert c.trials[0].left == ()
    assert "`bell crank` where it stood in the mirror image" in words(c)


def test_an_anchor_in_a_mirror_image_is_set_back_to_where_the_mirror_shows_it():
    new = mirrored_front_for_back(CRANE)
    right = new.springs["near"]
    x, y, z = right.anchor
    c = compare(CRANE, new.with_spring(replace(right, anchor=(x, y, z + 0.1))))
    assert c.turned.mirror == "front for back"
    (unit,) = c.trials[0].units
    assert (unit.kind, unit.about) == ("spring", Ref("spring", "near"))
    back = unit.put(c.new.layout).springs["near"].anchor
    assert np.allclose(back, right.anchor, atol=1e-9)
    assert "spring `near` as it was in the mirror image" in words(c)


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


def test_a_pivot_that_was_moved_past_its_rod():
    """The lever stands as it did; its shaft stands where the rod comes from behind."""
    spindle = replace(CRANE.shafts["spindle"], pivot=(0.7, -0.02, 0.139))
    c = compare(CRANE, CRANE.with_shaft(spindle))
    (turn,) = c.turned.turns
    assert turn.parts == (LEVER,)
    assert not turn.moved
    assert (
        "rod `carb` now goes past `spindle` on the other side, as `spindle` stands elsewhere"
        in words(c)
    )
    assert c.trials[0].units[0].kind == "place"


def test_a_little_turn_of_the_arm_is_not_what_did_it():
    spindle = replace(CRANE.shafts["spindle"], pivot=(0.7, -0.02, 0.139))
    new = turned_arm(CRANE.with_shaft(spindle), "spindle.lever", -36)
    (turn,) = compare(CRANE, new).turned.turns
    assert turn.parts == (LEVER,)
    assert not turn.moved


def test_what_was_wrong_before_is_not_said_to_fit():
    """Both have one spring alone; the sense is mended, and it is not to be fitted yet."""
    old = car("fault-one-spring-only")
    c = compare(old, other_carburettor(old))
    assert c.trials[0].left == ()
    assert c.trials[0].outcome.verdict == "do not fit"
    assert "left as in the old one:" in words(c)
    assert "it fits" not in words(c)


def test_what_turns_round_on_the_way_to_one_of_two_plates():
    twin = car("twin-side-draught")
    angle = math.degrees(twin.shafts["rear spindle"].arms["lever"].angle)
    c = compare(twin, turned_arm(twin, "rear spindle.lever", angle + 180))
    assert c.turned.turns == ()
    ((name, (turn,)),) = c.turned.branches.items()
    assert name == "rear"
    assert turn.parts == (Ref("arm", "rear spindle", "lever"),)
    told = words(c)
    assert "Nothing turned round on the way to `front`" in told
    assert "On the way to `rear`: `rear spindle` turned" in told
    assert c.trials[0].units[0].about == turn.parts[0]
