"""Changes together: a plan for the whole, two or three deep, else the nearest."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from linkage.model import Hole
from linkage.rules import judge
from linkage.rules.examine import stop_set_last
from linkage.rules.rule import LOOK
from linkage.search import changes, cures, plan
from linkage.search.cures import spoken, with_cures
from linkage.search.family import stacked
from linkage.search.plan import Sought, _each_once, seek
from linkage.search.sources import families
from linkage.search.standing import NEVER, Standing
from linkage.search.tried import Candidate, Tried
from tests.bad.record import faults
from tests.sprung import line_spring, torsion_spring, with_bearings
from tests.unit.cured import bad_places, named, node_of, searched
from tests.unit.edits import STOP, TRUCK, edited, lever, rod_length
from tests.unit.ruled import found_in
from tests.unit.test_rules_forces import WRONG, layout, pair

if TYPE_CHECKING:
    from linkage.search.node import Node

LEVER = Hole(shaft="spindle", arm="lever")


def wrong_hand_and_long_lever():
    """Return the hauler with a far spring of the wrong hand and too long a lever."""
    good = layout(*pair())
    old = good.shafts["spindle"].arms["lever"].length
    wrong = line_spring("far", "spindle.far", WRONG, rate=450.0)
    bad = layout(pair()[0], wrong).with_arm(LEVER, length=old * 1.25)
    return replace(bad, pedal=replace(bad.pedal, stop=None))


def kinds(node: Node) -> list[str]:
    return [step.kind for step in node.steps]


def test_two_independent_faults_have_a_plan_of_two_changes():
    faulty = wrong_hand_and_long_lever()
    codes = {f.code for f in found_in(faulty) if f.verdict == "do not fit"}
    assert codes == {"spring-hand", "full-throttle"}
    findings, plan = searched(faulty)
    assert plan is not None
    assert plan.proven
    assert not bad_places(plan.layout)
    assert "spring `far`" in plan.text
    assert "make arm" in plan.text or "turn arm" in plan.text
    assert "; then " in plan.text
    # Each finding has a cure of its own, which leaves the other alone.
    each = {f.code: f.cure for f in findings if f.verdict == "do not fit"}
    for code, other in (
        ("spring-hand", "full-throttle"),
        ("full-throttle", "spring-hand"),
    ):
        assert each[code].proven
        assert "; then make" not in each[code].text
        left = named(each[code].layout)
        assert code not in left
        assert left[other] == "do not fit"


def test_no_step_of_a_plan_is_without_need():
    """Without either of its changes something says ``do not fit`` again."""
    faulty = wrong_hand_and_long_lever()
    plan = seek(node_of(faulty)).plan
    assert len(plan.steps) == 2
    assert plan.bad == 0
    back = replace(plan.layout, springs=faulty.springs)
    assert "spring-hand" in {
        f.code for f in found_in(back) if f.verdict == "do not fit"
    }
    shafts = {
        n: replace(s, arms=faulty.shafts[n].arms) for n, s in plan.layout.shafts.items()
    }
    rods = {n: replace(r, length=None) for n, r in plan.layout.rods.items()}
    back = replace(plan.layout, shafts=shafts, rods=rods)
    assert bad_places(back)


def test_one_change_that_mends_all_is_the_plan():
    root = node_of(edited(TRUCK, lever(angle=85)))
    assert root.bad > 1
    sought = seek(root)
    assert kinds(sought.plan) == ["arm angle"]
    assert sought.nearest is None


@pytest.mark.parametrize("name", [TRUCK])
def test_what_may_be_fitted_has_no_plan(name):
    sought = seek(node_of(edited(name)))
    assert (sought.plan, sought.nearest) == (None, None)


def test_a_look_gets_a_cure_but_no_plan():
    """Nothing says ``do not fit``: there is no whole to be mended."""
    layout_ = edited(TRUCK, (STOP, ""))
    root = node_of(layout_)
    assert root.bad == 0
    assert root.places(LOOK)
    findings, plan = searched(layout_)
    assert plan is None
    assert any(f.cure and f.cure.proven for f in findings if f.verdict == "look")


def test_a_cure_that_leaves_what_could_not_be_judged_before_says_so():
    """A pedal that goes an eighth of its way opens no throttle with any lever."""
    short = edited(
        "fault-wrong-sense", ("travel = 76", "travel = 10"), ("stop   = 71\n", "")
    )
    root = node_of(short)
    assert seek(root).plan is None
    assert "full-throttle" in root.mute
    findings, plan = searched(short)
    assert plan is None
    cure = next(f.cure for f in findings if f.code == "opening-sense")
    assert cure.proven
    told = "; not judged before, and do not fit then: full throttle (throttle 17.8%)"
    assert cure.text.endswith(told)
    assert named(cure.layout)["full-throttle"] == "do not fit"
    assert "opening-sense" not in named(cure.layout)
    assert not {code for code, *_ in bad_places(cure.layout)} & NEVER


def test_a_sense_that_is_turned_right_says_what_of_the_springs_it_leaves():
    """That bearings drag could not be judged while the pedal shut the throttle."""
    dragging = with_bearings(layout(*pair()), 10, drag=5.0)
    assert "closing-torque" in named(dragging)
    turned = dragging.shafts["spindle"].arms["lever"].angle + math.pi
    wrong = dragging.with_arm(LEVER, angle=turned)
    place = node_of(wrong).places()[0]
    assert place[0] == "opening-sense"
    node = seek(node_of(wrong)).alone[place]
    assert node.steps[0].kind == "arm side"
    (cure,) = [f.cure for f in searched(wrong)[0] if f.code == "opening-sense"]
    if cure.layout == node.layout:  # else a plan mends it whole
        left = cure.text.split("; not judged before, and do not fit then: ")[1]
        assert "closing torque (throttle" in left
    assert named(node.layout)["closing-torque"] == "do not fit"


def test_the_nearest_is_told_before_what_it_leaves(monkeypatch):
    faulty = wrong_hand_and_long_lever()
    root = node_of(faulty)
    full, hand = root.places()
    assert (full[0], hand[0]) == ("full-throttle", "spring-hand")
    (node,) = [seek(root).alone[full]]
    sought = Sought(alone={}, plan=None, nearest=node)
    monkeypatch.setattr(cures, "seek", lambda _: sought)
    findings, plan = with_cures(root)
    assert plan is None
    by_place = {f.place: f.cure for f in findings}
    assert by_place[hand] is None  # it is not mended, and nothing is said of it
    text = by_place[full].text
    assert not by_place[full].proven
    assert text.startswith("nearest: ")
    assert text.index("solved again") < text.index("; still do not fit then: ")
    assert "; still do not fit then: the hand of springs (spring far)" in text


def test_a_fault_that_nothing_at_all_mends_has_no_cure():
    short = edited(TRUCK, ("travel = 76", "travel = 16"), (STOP, ""))
    (finding,) = [f for f in searched(short)[0] if f.verdict == "do not fit"]
    assert finding.code == "full-throttle"
    assert finding.cure is None


def test_three_independent_faults_have_a_plan_of_three_changes():
    twist = torsion_spring("twist", "spindle", 1, 0.05, 0.1)
    faulty = wrong_hand_and_long_lever().with_spring(twist)
    root = node_of(faulty)
    assert [p[0] for p in root.places()].count("spring-hand") == 2
    assert len(root.places()) == 3
    plan = seek(root).plan
    assert plan.bad == 0
    assert len(plan.steps) == 3
    assert {s.about.name for s in plan.steps} >= {"far", "twist"}
    told = searched(faulty)[1]
    assert told.proven
    assert told.text.count("; then ") >= 2
    assert not bad_places(told.layout)


def test_steps_of_a_plan_add_up():
    root = node_of(wrong_hand_and_long_lever())
    plan = seek(root).plan
    single = {id(n): n for n in seek(root).alone.values()}.values()
    assert plan.effort == pytest.approx(sum(n.effort for n in single), rel=0.2)
    assert set(plan.cut) == {
        n
        for n, rod in root.layout.rods.items()
        if {rod.start, rod.end}
        & {
            Hole(shaft=s.about.name, arm=s.about.part)
            for s in plan.steps
            if s.about.kind == "arm"
        }
    }


def test_a_plan_is_judged_alone_by_the_whole_check():
    plan = seek(node_of(wrong_hand_and_long_lever())).plan
    again = {f.place: f.verdict for f in found_in(plan.layout)}
    assert again == {f.place: f.verdict for f in plan.judged.findings()}
    assert math.isfinite(plan.effort)


def test_changes_that_begin_alike_are_each_tried():
    """Of an engine that carries two shafts one alone may be bracketed, or both."""
    rocking = edited("fault-engine-rock")
    engine = replace(rocking.engine, carries=tuple(rocking.shafts)[1:], roll=0.05)
    root = node_of(replace(rocking, engine=engine))
    (rock,) = [p for p in root.places() if p[0] == "engine-rock"]
    offered = _each_once(root, [root.judged.finding(rock)])
    shafts = [f.step(0).more["shafts"] for f in offered if f.step(0).kind == "bracket"]
    assert len(shafts) > 1
    assert len(set(shafts)) == len(shafts)


def test_a_spring_is_added_at_more_than_one_arm():
    lonely = layout(pair()[0])
    root = node_of(lonely)
    (sole,) = [p for p in root.places() if p[0] == "energy-sources"]
    offered = _each_once(root, [root.judged.finding(sole)])
    arms = {f.step(0).more["arm"] for f in offered if f.step(0).kind == "spring added"}
    # Not where one hangs already, but on an arm of its own.
    assert arms == {"lever", "far", "second"}


def test_one_change_for_two_findings_is_tried_once():
    root = node_of(edited(TRUCK, lever(angle=85)))
    findings = [root.judged.finding(p) for p in root.places()]
    assert len(findings) > 1
    each = _each_once(root, findings)
    assert len(each) < sum(len(families(root.x, f)) for f in findings)
    assert len(each) == len(_each_once(root, [*findings, *findings]))


def test_what_is_silenced_or_in_the_wrong_sense_is_no_nearest():
    """A change that leaves the pedal shutting the throttle mends nothing."""
    root = node_of(edited("fault-wrong-sense"))
    place = root.places()[0]
    assert place[0] == "opening-sense"
    tried = Standing(root.judged, root.before)
    assert not tried.harmed.any()  # it is what it was
    assert tried.barred.all()  # and opens the throttle by less than nothing
    assert not root.mends(root, place)
    assert root.bad == len(root.places()) + len(root.mute)


def test_a_stop_that_comes_too_early_is_set_and_nothing_is_made():
    """It takes the foot before the longer lever is at its stop."""
    root = node_of(edited(TRUCK, lever(length=34)))
    assert [p[0] for p in root.places()] == ["full-throttle"]
    plan = seek(root).plan
    assert kinds(plan) == ["stop later"]
    assert (plan.parts, plan.cut) == (0, ())
    text = spoken(root, plan)
    assert text.startswith(
        "let the pedal down further, and set the pedal stop to 73.5 mm:"
    )


def test_a_plan_takes_the_fewest_new_parts_and_then_the_least_change():
    """Another single change that mends the whole takes more of them, or more work."""
    held = 0
    for name in faults():
        root = node_of(edited(name))
        sought = seek(root)
        for node in sought.alone.values():
            if root.bad and node.bad == 0:
                assert sought.plan.cost <= node.cost
                held += 1
    assert held > 2


@pytest.mark.parametrize(("given", "parts"), [(None, 0), ("420 mm", 0), ("380 mm", 1)])
def test_a_rod_of_given_length_is_set_within_its_threads_and_else_made_anew(
    given, parts
):
    """One that is cut to fit is not made yet."""
    layout_ = edited(TRUCK, lever(angle=85))
    if given is not None:
        layout_ = edited(TRUCK, lever(angle=85), rod_length(given))
    node = node_of(edited(TRUCK, lever(angle=85)))
    (family,) = changes.angles(layout_, [LEVER], most=math.radians(2))
    stack = stacked([family])
    rows = np.array([0])
    judged = judge(stop_set_last(stack.layout(rows)))
    candidate = Candidate(tried=Tried(stack, rows, judged, node.before), k=0)
    assert candidate.rods == candidate.parts == parts


def worn(play):
    """Return the truck with too long a lever, and so much play in its rod. [m]."""
    long = edited(TRUCK, lever(length=40))
    return replace(long, rods={n: replace(r, play=play) for n, r in long.rods.items()})


def test_two_changes_that_mend_only_together():
    """Neither a shorter lever alone nor new joints alone open a worn linkage fully."""
    root = node_of(worn(3e-3))
    assert {place[0] for place in root.places()} == {"full-throttle"}
    sought = seek(root)
    assert not any(place[0] == "full-throttle" for place in sought.alone)
    assert "rod play" in kinds(sought.plan)
    assert {"arm length", "arm angle"} & set(kinds(sought.plan))
    assert not bad_places(sought.plan.layout)


def test_its_twin_without_play_takes_one_change():
    (step,) = seek(node_of(worn(0.0))).plan.each
    assert step.kind == "arm length"


def test_nearer_counts_only_what_does_no_harm_and_comes_nearer_by_a_fifth():
    root = node_of(worn(3e-3))
    place = root.places()[0]
    was = root.before.short[place]
    for share, counts in ((0.5, True), (0.79, True), (0.81, False), (1.2, False)):
        before = replace(root.before, short={place: was / share})
        left = Standing(root.judged, before).nearer(place)
        assert np.isfinite(left).tolist() == [counts]
        assert not counts or left[0] == pytest.approx(share)
    unknown = replace(root.before, short={})
    assert np.isinf(Standing(root.judged, unknown).nearer(place)).all()


def test_what_brings_a_wrong_sense_is_no_nearest_of_three_changes(monkeypatch):
    """Fewer faults are left, but pressing shuts the plate then."""
    root = node_of(wrong_hand_and_long_lever())
    none = plan.Expansion()
    monkeypatch.setattr(plan, "by_family", lambda _: [[None]])
    monkeypatch.setattr(plan, "expand", lambda *_, **__: none)
    wrong = node_of(layout(pair()[0], opens=-1))
    assert wrong.barred(root)
    assert not root.barred(root)
    for node, nearest in ((root, root), (wrong, None)):
        monkeypatch.setattr(plan, "_made", lambda *_, node=node: [node])
        assert plan._third(root, none) == (None, nearest)
