"""What a check did not judge stands under it by name."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linkage.report.findings import check_data, closing_lines
from linkage.report.unjudged import (
    HAND_CODES,
    NEVER,
    speaks_of,
    unjudged,
    unjudged_short,
)
from linkage.rules.order import BY_CODE, RULES
from linkage.rules.rule import JAM, SHUT
from linkage.rules.springs import STRESS
from linkage.search import check
from tests.docs.markdown import read
from tests.slides import slid_layout
from tests.unit.compared import car
from tests.unit.edits import TRUCK, edited, lever


def _said(layout, **how) -> list[str]:
    return unjudged(check(layout, cures=False, **how))


def _until(said: list[str], cause: str) -> set[str]:
    """Return the codes of what waits for a finding, named as in a sentence."""
    head = f"until what is wrong with {BY_CODE[cause].called} is mended: "
    (line,) = [w for w in said if w.startswith(head)]
    codes = {rule.called: rule.code for rule in RULES}
    return {codes[name] for name in line.removeprefix(head).split(", ")}


def test_of_a_sound_layout_only_what_no_rule_looks_at_and_what_is_not_given():
    said = _said(edited(TRUCK))
    assert "bending of rods, levers, pedal and bulkhead" in said
    assert any(
        "gaps to other parts and between its own: none" in words for words in said
    )
    assert (
        "stress in springs `near`, `far`: wire, coil, turns or material not given"
        in said
    )
    assert not any("until" in w or "rocking" in w or "return" in w for w in said)


def test_where_any_rule_of_force_speaks_stress_was_judged():
    """What is not said of a spring's stress then lies at its wire alone."""
    silenced = [set(r.silenced_by) for r in RULES if r.needs == "forces"]
    assert len(silenced) > 10
    assert all({SHUT, JAM} <= by for by in silenced)
    assert set(STRESS.silenced_by) == {SHUT, JAM}


def test_springs_whose_wire_is_given_are_not_named():
    layout = edited(TRUCK)
    near = layout.springs["near"]
    known = replace(near.known, wire=0.0016, coil=0.012, turns=20.0)
    wired = replace(near, known=known, material="EN 10270-1 SM")
    sprung = replace(layout, springs={**layout.springs, "near": wired})
    assert "stress in spring `far`: wire, coil, turns or material not given" in _said(
        sprung
    )


#: Rules that speak of a second plate, a kickdown lever, rods that let go or give.
OF_CABLES = {
    *("nipple-room", "sheath-bend", "sheath-loss", "sheath-pulled", "wire-strength"),
}
OF_SOME_CABLES = {"cable-slack", "cable-stroke", "drum-unwound", "drum-covered"}
OF_HEAT = ("heat-idle", "heat-clearance", "heat-full")
OTHERS = {
    *("cam-end", "cam-pressure"),
    *OF_CABLES,
    *OF_SOME_CABLES,
    *("guide-jam", "guide-room"),
    *("gap", "touched-at-rest", "own-gap", "engine-gap"),
    *OF_HEAT,
    *("kickdown", "throttle-spread", "over-travel-load"),
    *("slot-drives", "slot-lets-go", "slot-at-rest"),
    *HAND_CODES,
}


@pytest.mark.parametrize(
    ("name", "here"),
    [
        ("hanging-pedal", set()),
        ("fault-heat-holds-open", {*OF_HEAT}),
        ("under-a-bonnet", {"gap", "touched-at-rest", "own-gap", "engine-gap"}),
        (
            "kickdown-branch",
            {"kickdown", "slot-drives", "slot-lets-go", "slot-at-rest"},
        ),
        (
            "progressive-row",
            {"throttle-spread", "slot-drives", "slot-lets-go", "slot-at-rest"},
        ),
        ("diesel-pump-lever", {"over-travel-load"}),
        (
            "cam-roller",
            {
                *("cam-end", "cam-pressure"),
                *("slot-drives", "slot-lets-go", "slot-at-rest"),
            },
        ),
        (
            "cable-drum",
            {
                *OF_CABLES,
                *OF_SOME_CABLES - {"cable-stroke"},
                *("slot-drives", "slot-lets-go"),
            },
        ),
        ("push-pull-cable", {*OF_CABLES, "cable-stroke"}),
    ],
)
def test_rules_of_other_kinds_of_rods_are_named_where_there_is_one(name, here):
    layout = car(name)
    assert {code for code in OTHERS if speaks_of(code, layout)} == here
    assert speaks_of("reach", layout)


def test_heat_is_named_as_not_judged_where_nothing_is_told_of_it():
    """And where it is, ice and wear are left, and what is not judged hot."""
    plain, warm = _said(edited("hanging-pedal")), _said(edited("fault-heat-holds-open"))
    assert "heat, ice and wear" in plain
    assert not any(words.startswith("heat and all else") for words in plain)
    assert "ice and wear" in warm
    assert any(words.startswith("heat and all else at once: springs") for words in warm)
    short = unjudged_short(check(edited("fault-heat-holds-open"), cures=False))
    assert "ice and wear" in short
    assert "heat, ice and wear" in unjudged_short(
        check(edited("hanging-pedal"), cures=False)
    )


def test_gaps_are_named_where_an_obstacle_is_and_nowhere_else():
    """Else it would be said that they were judged once the linkage is mended."""
    own = BY_CODE["own-gap"].called
    told = [w for w in _said(edited("fault-wrong-sense")) if w.startswith("until")]
    assert told
    assert not any(own in words for words in told)
    wall = car("under-a-bonnet").obstacles
    near = replace(edited("fault-wrong-sense"), obstacles=wall)
    assert any(own in words for words in _said(near))


def test_by_hand_what_is_of_other_layouts_is_not_named():
    layout = car("hand-and-foot")
    here = {code for code in HAND_CODES if speaks_of(code, layout)}
    assert {"hand-reach", "hand-opens", "hand-idle", "pedal-drags-hand"} <= here
    others = {"gap", "own-gap", "guide-jam", "guide-room", "drum-unwound"}
    assert not here & {f"hand-{code}" for code in others}
    near = replace(layout, obstacles=car("under-a-bonnet").obstacles)
    assert speaks_of("hand-gap", near)
    assert speaks_of("hand-own-gap", near)


def test_rules_of_guides_are_named_where_there_is_a_slide():
    layout = slid_layout()
    assert {c for c in OTHERS if speaks_of(c, layout)} == {"guide-jam", "guide-room"}
    said = _said(layout)
    assert any(words.startswith("slides: bars that come out") for words in said)
    within = _said(
        slid_layout(("pins.near = [210, 0, 95]", "pins.near = [260, 0, 95]"))
    )
    told = "whether pins that stand in their guides at rest run free there: `bar.near`"
    assert told in within
    assert told not in said


def test_what_a_fault_keeps_from_being_judged_is_named():
    wrong = check(edited("fault-wrong-sense"), cures=False)
    said = unjudged(wrong)
    assert "return springs' load, friction and failures" in said
    assert "the engine rocking on its mounts" in said
    left = _until(said, "opening-sense")
    assert {"full-throttle", "left-over-travel", "idle", "tip-in"} <= left
    assert not left & {f.code for f in wrong.findings}
    assert not left & OTHERS


def test_rules_of_force_left_out_by_one_wrong_spring_are_named():
    said = _said(edited("fault-spring-wrong-hand"))
    assert "closing-torque" in _until(said, "spring-hand")
    assert "return springs' load, friction and failures" not in said


def test_every_rule_is_told_named_or_has_nothing_to_judge():
    """Nothing is left out without a word of a layout that jams."""
    jams = check(edited(TRUCK, lever(angle=115)), cures=False)
    told = {f.code for f in jams.findings}
    left = _until(unjudged(jams), "reach")
    assert "full-throttle" not in told
    for rule in RULES:
        if rule.needs in {"motion", "dead centres"} and rule.code not in told | left:
            assert rule.code in OTHERS, rule.code


def test_geometry_alone_and_no_springs_are_each_said_once():
    bare = replace(edited(TRUCK), springs={})
    alone = "every spring, force, friction and failure: geometry alone was asked"
    none = "return springs: the layout names none"
    assert (alone in _said(bare), none in _said(bare)) == (False, True)
    said = _said(bare, geometry=True)
    assert (alone in said, none in said) == (True, False)
    assert alone in _said(edited(TRUCK), geometry=True)
    assert not any("stress" in w for w in said)


def test_all_of_it_is_in_the_text_and_in_the_data():
    found = check(edited("fault-wrong-sense"), cures=False)
    text = " ".join(" ".join(closing_lines(found)).split())
    assert check_data(found)["not_checked"] == unjudged(found)
    assert all(words in text for words in unjudged(found))


def test_what_the_moved_engine_asks_is_named_where_one_moves():
    moving = edited("fault-spring-wrong-hand")
    still = replace(moving, engine=replace(moving.engine, roll=0.0, lift=0.0))
    assert moving.engine.roll
    assert "engine-springs" in _until(_said(moving), "spring-hand")
    assert not any("engine-" in words for words in _said(still))


def test_the_page_of_cautions_tells_what_no_rule_looks_at():
    page = " ".join(read("docs/cautions.md").split())
    assert all(words in page for words in NEVER)
