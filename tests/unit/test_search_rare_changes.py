"""Changes for layouts that are seldom met: what is left out, and why."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from linkage.errors import LinkageError, UsageError
from linkage.model.refs import Ref
from linkage.rules import examine
from linkage.rules.order import BY_CODE
from linkage.search import arm as arms
from linkage.search.anchors import across, carried
from linkage.search.apart import anchors_apart, aside, own_arms, room
from linkage.search.cures import left
from linkage.search.family import Family, Step, always
from linkage.search.kept import barred
from linkage.search.said import spring_said
from linkage.search.springs import choose_spring
from tests.sprung import torsion_spring
from tests.unit.compared import car
from tests.unit.edits import TRUCK, edited
from tests.unit.test_sizing import sized

BEFORE = car("scenario-before")
TWISTED = BEFORE.with_spring(torsion_spring("near", "spindle", -1, 0.5, 0.3))


def test_only_anchors_that_do_not_move_with_their_hook_are_carried():
    """Both springs of the carburettor are on the engine, as the spindle is."""
    assert list(carried(BEFORE)) == []
    on_body = replace(BEFORE.springs["far"], anchored_on="body")
    (family,) = carried(BEFORE.with_spring(on_body))
    assert family.base.springs["far"].anchored_on == "engine"
    both = BEFORE.with_spring(on_body).with_spring(
        replace(BEFORE.springs["near"], anchored_on="body")
    )
    assert len(list(carried(both))) == 3  # each, and the two together


def test_a_spring_about_a_shaft_has_no_anchor_to_move_and_no_arm_to_have():
    x = examine(TWISTED)
    assert across(x.motion, "near") is None
    assert across(x.motion, "far") is not None
    for changes in (anchors_apart, own_arms):
        assert list(changes(TWISTED, ["near"])) == []
        assert list(changes(TWISTED, ["near", "far"]))


def test_an_arm_goes_beside_others_as_far_as_there_is_room():
    spindle = BEFORE.shafts["spindle"]
    lever = spindle.arms["lever"]
    free = room(BEFORE, "spindle", lever)
    limit = BEFORE.limits.pin_apart
    assert abs(free.offset - lever.offset) >= limit
    # With an arm at every place that is tried the last is taken.
    ways = aside(float(limit)).tolist()
    more = {
        f"more {i}": replace(lever, name=f"more {i}", offset=lever.offset + way)
        for i, way in enumerate(ways)
    }
    full = BEFORE.with_shaft(replace(spindle, arms={**spindle.arms, **more}))
    assert room(full, "spindle", lever).offset == pytest.approx(lever.offset + ways[-1])


def test_what_is_left_is_only_what_cannot_be_judged():
    node = SimpleNamespace(places=lambda _rank: (), mute=("pad-force",), layout=BEFORE)
    assert left(node) == f"cannot be judged then: {BY_CODE['pad-force'].called}"
    assert left(SimpleNamespace(places=lambda _rank: (), mute=())) == ""


def test_a_fixed_arm_is_kept_where_a_change_starts_from_another():
    spindle = BEFORE.shafts["spindle"]
    fast = replace(spindle.arms["lever"], fixed=True)
    layout = BEFORE.with_shaft(replace(spindle, arms={**spindle.arms, "lever": fast}))

    def kept(base) -> frozenset[Ref]:
        step = always(Step(kind="arm length", about=Ref("arm", "spindle", "lever")))
        family = Family(base=base, sets={}, effort=np.array([1.0]), step=step)
        return barred(layout, family)

    assert kept(layout) == frozenset()
    longer = layout.with_arm("spindle.lever", length=0.04)
    assert kept(longer) == {Ref("arm", "spindle", "lever")}


def test_a_spring_is_told_with_the_length_it_may_be_stretched_to_if_known():
    near = BEFORE.springs["near"]
    assert "that may be stretched to 160.0 mm" in spring_said(near)
    known = replace(near.known, greatest_length=None)
    assert "stretched" not in spring_said(replace(near, known=known))


def test_what_is_written_and_does_not_hold_is_not_chosen(monkeypatch):
    """The best row fails as it is written: the next best is taken instead."""
    lengths = (31.0, 32.0, 33.0)
    best = sized(edited(TRUCK), *lengths)
    assert best.chosen is not None
    first, refused = best.best.lengths, []

    def once(layout, *more):
        if not refused:
            refused.append(layout)
            msg = "it jams as it is written"
            raise LinkageError(msg)
        return examine(layout, *more)

    monkeypatch.setattr(arms, "examine", once)
    then = sized(edited(TRUCK), *lengths)
    assert then.chosen is not None
    assert then.best.lengths != first
    assert any(r.short == "it jams as it is written" for r in then.rows)


def test_where_the_only_row_does_not_hold_none_is_chosen(monkeypatch):
    """It is written and checked once, though it is asked for again as the nearest."""
    asked = []

    def refused(layout, *_more):
        asked.append(layout)
        msg = "it jams as it is written"
        raise LinkageError(msg)

    monkeypatch.setattr(arms, "examine", refused)
    then = sized(edited(TRUCK), 32.0)
    assert (then.chosen, then.best) == (None, None)
    assert [r.short for r in then.rows] == ["it jams as it is written"]
    assert len(asked) == 1


def test_nothing_is_as_before_of_what_could_not_be_put_together():
    assert arms._bad_now(edited(TRUCK)) == frozenset()
    assert arms._bad_now(edited(TRUCK).with_rod("link", 0.05)) == frozenset()
    assert arms._bad_now(edited("fault-wrong-sense"))


def test_a_spring_without_a_line_is_not_chosen():
    with pytest.raises(UsageError):
        choose_spring(TWISTED, "near")
