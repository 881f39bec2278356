"""Answers, steps and what was not judged, where findings are missing or odd."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linkage.report.answers import LATER, answers
from linkage.report.findings import plan_lines
from linkage.report.screen import packed, screen_lines
from linkage.report.todo import todo_lines
from linkage.report.unjudged import MEASURED, unjudged, unjudged_short
from linkage.report.why import why_lines
from linkage.rules import Cure, Finding
from linkage.rules.order import RULES
from linkage.search import Check, check
from tests.unit.compared import car
from tests.unit.edits import TRUCK, edited, lever
from tests.unit.ruled import made, rule
from tests.unit.test_rules_in_short import PEDAL, PRESSED, SPRING, outcome

GOOD = check(edited(TRUCK), cures=False)
#: Its lever so far round that its rod jams on the way.
JAMMED = check(edited(TRUCK, lever(angle=115)), cures=False)


def without(*codes: str) -> Check:
    kept = tuple(f for f in GOOD.findings if f.code not in codes)
    return replace(GOOD, findings=kept)


def of(code: str, o, cure: Cure | None = None) -> Check:
    return replace(GOOD, findings=(Finding(rule=rule(code), rows=o, cure=cure),))


def test_what_another_fault_left_nothing_to_judge_is_not_answered():
    assert dict(answers(replace(GOOD, findings=()))) == dict.fromkeys(
        ("opens?", "fully?", "shuts?", "locks?", "heavy?"), LATER
    )


def test_whether_it_shuts_is_answered_without_single_failures_too():
    both = dict(answers(GOOD))["shuts?"]
    alone = dict(answers(without("closing-torque-one-off")))["shuts?"]
    assert both.startswith(alone + ", ")
    assert alone.endswith(" times the friction")


def test_a_lever_that_holds_the_plate_open_when_it_sticks_is_no_shutting():
    told = dict(answers(check(car("fault-slot-too-short"), cures=False)))
    assert told["shuts?"] == "NO, a stuck lever `gearbox` holds the plate open"
    assert dict(answers(check(car("kickdown-branch"), cures=False)))[
        "shuts?"
    ].startswith("yes")


def test_friction_that_locks_is_the_answer_to_how_heavy():
    locked = of("pad-force", outcome(PEDAL, 2, part=("locked",), at=0.02))
    assert dict(answers(locked))["heavy?"].startswith("LOCKED: friction locks")


def test_a_plan_that_is_no_cure_of_one_finding_is_told_once():
    plan = Cure(text="a new bracket for the whole", proven=True)
    told = plan_lines(replace(JAMMED, plan=plan))
    assert told == ["To mend the whole: a new bracket for the whole", ""]
    cured = made(verdict="do not fit", cure=plan)
    assert plan_lines(replace(JAMMED, plan=plan, findings=(cured,))) == []


def test_a_cure_without_steps_is_told_in_its_own_words():
    cure = Cure(text="ask the maker of the spring")
    bad = replace(GOOD, findings=(made(verdict="do not fit", cure=cure),))
    assert " ".join(" ".join(todo_lines(bad)).split()) == (
        "WHAT TO DO FIRST: 1. Ask the maker of the spring."
    )


def test_what_may_be_done_about_a_look():
    """Its cure, or its task in few words; nothing where fixed parts bar it."""
    look = outcome(SPRING, 1, value=0.6, at=0.07, facts=PRESSED)
    told = " ".join(todo_lines(of("spring-stretch", look, Cure(text="long advice"))))
    assert "Press spring `main` solid in a vice" in told
    assert "long advice" not in told
    barred = Cure(text="the lever is fixed", barred=True)
    assert todo_lines(of("spring-stretch", look, barred)) == []


def test_more_reasons_than_a_screen_has_room_for_are_counted():
    codes = ["idle", "stop-gap", "kickdown", "tip-in", "rod-push", "spring-stress"]
    bad = tuple(made(c, "do not fit", text=f"{c} is wrong") for c in codes)
    told = screen_lines(replace(GOOD, findings=bad))
    named = sum(f"{c} is wrong [{c}]" in " ".join(told) for c in codes)
    assert 0 < named < len(codes)
    assert f"  and {len(codes) - named} more: --all" in told


def test_one_item_too_long_for_a_line_is_wrapped():
    item = "a very long item " * 6
    told = packed("Not checked:", [item.strip(), "wear"])
    assert len(told) > 1
    assert " ".join(" ".join(told).split()).endswith("item, 1 more: --all")
    assert packed("Not checked:", []) == []


def test_an_engine_that_only_springs_are_anchored_on_needs_no_roll():
    """It moves their anchors, and no plate that a lost mount could open."""
    layout = car("scenario-before")
    engine = replace(layout.engine, roll=0.0, lift=0.01)
    carries = check(replace(layout, engine=engine), cures=False)
    assert "the engine's roll: not given, or nothing" in unjudged(carries)
    assert "the engine's roll" in unjudged_short(carries)
    alone = check(replace(layout, engine=replace(engine, carries=())), cures=False)
    for told in (unjudged(alone), unjudged_short(alone)):
        own = [t for t in told if t != MEASURED and "[obstacles.NAME]" not in t]
        assert not any("engine" in t for t in own)


def test_stress_is_not_missed_of_springs_that_a_jam_left_unjudged():
    assert "reach" in {f.code for f in JAMMED.reasons}
    assert not any("stress" in t for t in unjudged(JAMMED))
    assert any("stress" in t for t in unjudged(GOOD))


@pytest.mark.parametrize("code", [r.code for r in RULES])
def test_every_rule_can_be_explained(code):
    told = " ".join(" ".join(why_lines(GOOD, code)).split())
    mine = rule(code)
    assert f"{code}: {mine.called}" in told
    assert ("What mends it:" in told) == bool(mine.cure)
    assert ("Nothing silences it." in told) == (not mine.silenced_by)
    assert ("Limits, set under [limits]:" in told) == bool(mine.limits)


def test_a_limit_that_the_file_changed_is_explained_with_what_it_was():
    mine = rule("closing-torque")
    limits = replace(GOOD.examined.layout.limits, closing_ratio=3.0)
    layout = replace(GOOD.examined.layout, limits=limits)
    told = " ".join(" ".join(why_lines(check(layout, cures=False), mine.code)).split())
    assert "closing_ratio 3.000:" in told
    assert "changed in the file from 2.000" in told
