"""Cures where one part takes several springs, or springs are too weak; solved again."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from math import dist

import pytest

from linkage.forces.common import one_lever
from linkage.model.refs import Ref
from linkage.quantities import say
from linkage.rules import examine
from linkage.search import added, apart
from linkage.search.cures import spoken
from linkage.search.family import Step
from tests.unit.cured import bad_places, node_of, searched
from tests.unit.edits import TRUCK, edited
from tests.unit.offered import offers
from tests.unit.test_rules_common_parts import FAR_ANCHOR, FAR_HOOK, REFUSED


def cures(layout, code):
    findings, plan = searched(layout)
    return [f.cure for f in findings if f.code == code and f.verdict != "fits"], plan


@pytest.mark.parametrize("case", REFUSED)
def test_springs_that_one_part_takes_are_put_apart(case):
    layout = edited(TRUCK, *REFUSED[case][0])
    (cure,), plan = cures(layout, "unsprung-if-parted")
    assert cure.proven
    assert plan is not None
    assert not bad_places(plan.layout)
    if "anchors" in case:
        assert cure.text.startswith("move the anchor of spring `")
        near, far = (s.anchor for s in cure.layout.springs.values())
        assert dist(near, far) >= 10e-3
    assert set(cure.layout.springs) == set(layout.springs)


def test_an_arm_of_its_own_is_a_lever_of_its_own_and_the_spring_keeps_its_line():
    layout = edited(TRUCK, (FAR_HOOK, 'hook            = "spindle.spring"'))
    for one in offers(apart.own_arms(layout, ["far"])):
        spindle, spring = one.layout.shafts["spindle"], one.layout.springs["far"]
        mine, shared = spindle.arms[spring.arm], spindle.arms["spring"]
        assert spring.arm != "spring"
        assert not one_lever(mine, shared, 5e-3)
        assert (mine.length, mine.angle) == (shared.length, shared.angle)
        way = mine.offset - shared.offset
        moved = [
            a - b
            for a, b in zip(spring.anchor, layout.springs["far"].anchor, strict=True)
        ]
        n = spindle.axis.n
        assert moved == pytest.approx([way * c for c in n])
        assert one.family.parts == 1
        assert (
            "hook spring `far` to arm `spindle.far`, made 28.0 mm long at 70.0°"
            in one.text
        )


def test_an_added_spring_shares_neither_lever_nor_anchor():
    layout = edited(TRUCK, (FAR_HOOK, 'hook            = "spindle.spring"'))
    anchors = [s.anchor for s in layout.springs.values()]
    seen = set()
    for one in offers(added.added(examine(layout).motion, "throttle")):
        spring = one.layout.springs["second"]
        assert min(dist(spring.anchor, a) for a in anchors) >= 10e-3
        arms = one.layout.shafts["spindle"].arms
        others = [
            a for n, a in arms.items() if n != spring.arm and n in {"spring", "lever"}
        ]
        assert not any(one_lever(arms[spring.arm], a, 5e-3) for a in others)
        assert (
            one.layout.springs["second"].known.greatest_length
            > one.layout.springs["second"].known.free_length
        )
        new = spring.arm not in layout.shafts["spindle"].arms
        assert one.family.parts == 1 + new
        seen.add(new)
    assert seen == {True, False}


def test_an_added_spring_goes_on_the_engine_with_its_spindle():
    layout = edited(TRUCK)
    assert "spindle" in layout.engine.carries
    ons = {
        o.layout.springs["second"].anchored_on
        for o in offers(added.added(examine(layout).motion, "throttle"))
    }
    assert ons == {"engine"}
    off = replace(layout, engine=replace(layout.engine, carries=()))
    ons = {
        o.layout.springs["second"].anchored_on
        for o in offers(added.added(examine(off).motion, "throttle"))
    }
    assert ons == {"body"}


def test_springs_that_are_each_too_weak_alone_are_both_made_stronger():
    """Neither alone shuts with 0.1 N·m, both together not with 0.25 N·m."""
    layout = edited(TRUCK)
    for spring in list(layout.springs.values()):
        known = replace(spring.known, rate=0.1 * spring.known.rate, initial_tension=0.4)
        layout = layout.with_spring(replace(spring, known=known))
    before = bad_places(layout)
    assert {p[0] for p in before} >= {"closing-torque", "closing-torque-one-off"}
    _, plan = cures(layout, "closing-torque")
    assert not bad_places(plan.layout)
    assert len(re.findall(r"fit spring `\w+` of \d", plan.text)) == 2
    rates = [s.known.rate for s in plan.layout.springs.values()]
    assert all(
        new > old.known.rate
        for new, old in zip(rates, layout.springs.values(), strict=True)
    )


def test_every_two_springs_are_made_stronger_together():
    layout = edited(TRUCK)
    third = replace(layout.springs["near"], name="third", anchor=(0.545, 0.06, 0.105))
    layout = layout.with_spring(third)
    from linkage.search import spring_changes

    groups = {
        tuple(s.about.name for s in f.step(0).more["steps"])
        for f in spring_changes.together(layout, spring_changes.STRONGER)
    }
    names = list(layout.springs)
    assert groups == {*combinations(names, 2), tuple(names)}


def test_anchors_go_aside_by_more_than_their_bracket():
    layout = edited(TRUCK, (FAR_ANCHOR, "anchor          = [545, -18.1, 105]"))
    moves = offers(apart.anchors_apart(layout, ["far"]))
    assert min(o.effort for o in moves) == pytest.approx(0.11, abs=0.002)
    assert all(o.family.parts == 0 for o in moves)


def test_a_carburettor_that_opens_the_other_way_is_turned_over_with_its_springs():
    layout = edited(TRUCK)
    main = layout.main
    other = replace(layout, throttles={main.name: replace(main, opens=-main.opens)})
    assert {p[0] for p in bad_places(other)} == {"opening-sense", "spring-pedal"}
    (cure,), plan = cures(other, "opening-sense")
    assert not bad_places(plan.layout)
    assert cure.text == plan.text
    assert "on the other side of its shaft" in plan.text
    for name in layout.springs:
        assert f"move the anchor of spring `{name}` by" in plan.text


def test_springs_that_shut_the_plate_as_it_is_are_left_where_a_lever_goes_over():
    """Only the lever is clamped the wrong way up."""
    layout = edited("fault-wrong-sense")
    _, plan = cures(layout, "opening-sense")
    assert "move the anchor" not in plan.text
    assert not bad_places(plan.layout)


def test_a_spring_that_hangs_slack_is_bought_shorter_where_no_anchor_will_do():
    """Moved until it is loaded it would be stretched past its greatest length."""
    layout = edited(TRUCK)
    near = layout.springs["near"]
    known = replace(near.known, free_length=0.15, greatest_length=0.16)
    (cure,), plan = cures(
        layout.with_spring(replace(near, known=known)), "spring-slack"
    )
    assert cure.proven
    assert cure.text.startswith("fit a shorter spring for `near`: ")
    assert not bad_places(plan.layout)
    new = plan.layout.springs["near"].known
    assert new.greatest_length == pytest.approx(2 * new.free_length)


def test_a_spring_that_two_steps_change_is_bought_once_and_told_whole():
    layout = edited(TRUCK)
    near = layout.springs["near"]
    about = Ref("spring", "near")
    steps = tuple(
        Step(kind=k, about=about, new=1.0, more={})
        for k in ("spring strength", "spring shorter")
    )
    node = replace(node_of(layout), steps=steps)
    assert node.parts == 1
    text = spoken(node_of(layout), node)
    assert text.startswith(
        f"fit another spring for `near`: {say(near.known.rate, 'rate')}, "
    )
    assert text.count("spring") == 1
