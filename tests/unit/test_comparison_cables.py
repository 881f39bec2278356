"""Two linkages with cables side by side: what is told, set back, and named as the cause."""

from __future__ import annotations

from functools import cache

import pytest

from linkage.comparison import compare
from linkage.comparison.cables import wound_here
from linkage.model.refs import Ref
from linkage.report.compare import compare_lines
from linkage.report.compare_data import compare_data
from linkage.report.compare_words import change_text, kinds_of
from linkage.swap import swap_sides
from tests.unit.edits import TRUCK, edited
from tests.unit.test_search_cables import DRUM, ON, PUSH, RADIUS, RUBS, SLACK, TO, WOUND

HOLE = Ref("arm", "spindle", "drum")


@cache
def against(*edits, name=DRUM):
    return compare(edited(name), edited(name, *edits))


def told(*edits, name=DRUM):
    """Return the changes in words."""
    return [change_text(c) for c in against(*edits, name=name).changes]


def screen(comparison):
    return " ".join(" ".join(compare_lines(comparison)).split())


def test_a_drum_wound_the_other_way_is_named_as_what_turns_the_sense_round():
    found = against((WOUND, 'wound = "anticlockwise"'))
    assert [c.kind for c in found.changes] == ["drum wound"]
    assert found.turned.first.parts == (HOLE,)
    text = screen(found)
    assert "the wire lies round drum `spindle.drum` the other way" in text
    assert "wound anticlockwise (was wound clockwise)" in text
    (trial,) = found.trials
    assert trial.outcome.verdict == "fits"
    assert trial.layout.shafts["spindle"].arms["drum"].wound == -1


def test_a_larger_drum_is_set_back():
    found = against((RADIUS, "length = 40, angle = 205"))
    (trial,) = found.trials
    assert not trial.left
    assert trial.layout.shafts["spindle"].arms["drum"].length == 0.029


def test_the_end_of_a_sheath_on_another_carrier_is_told_and_set_back():
    roll = ('roll    = "3 deg"', 'roll    = "6 deg"')
    old = edited(DRUM, roll)
    found = compare(old, edited(DRUM, roll, (ON, "")))
    assert [change_text(c) for c in found.changes] == [
        "rod `main` sheath ends beside spindle.drum on the body (was on the engine)"
    ]
    (trial,) = found.trials
    assert [u.kind for u in trial.units] == ["sheath"]
    assert trial.layout.rods["main"].ends[1].on == "engine"
    assert "sheath where it was" in screen(found)


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        ((TO, "sheath_to       = [-780, 120, 150]"), "(was at [-780, 120, 169] mm)"),
        ((RUBS, "sheath_friction = 0.2"), "friction in its sheath 0.200 (was 0.120)"),
        (("[-420, 40, 90]", "[-420, 40, 60]"), "is led another way"),
        (("wire            = 1.5", "wire            = 2"), "wire 2.0 mm (was 1.5 mm)"),
        ((RUBS, f"{RUBS}\nsheath_length = 900"), "sheath 900.0 mm (was not given)"),
        ((f"{RADIUS}, {WOUND}", "length = 29, angle = 330"), "a bare arm now"),
        (
            (
                f"{RADIUS}, {WOUND}",
                f"length = 33, angle = 205, {WOUND}, rim = [[0, 33], [220, 27]]",
            ),
            "a snail now (was a drum)",
        ),
    ],
)
def test_what_differs_is_told(edit, words):
    assert any(words in text for text in told(edit)), told(edit)


def test_a_push_pull_cable_of_other_make_is_told():
    assert "stroke 90.0 mm (was 76.0 mm)" in " ".join(
        told(("stroke          = 76", "stroke          = 90"), name=PUSH)
    )
    weak = told(("push_limit      = 450", "push_limit      = 300"), name=PUSH)
    assert any("push that it takes 300.0 N (was 450.0 N)" in t for t in weak)


def test_nothing_is_told_of_one_that_is_as_it_was():
    assert against().changes == ()


def test_a_cable_written_from_its_other_end_is_the_same():
    turned = [
        ('from            = "pedal.cable"', 'from            = "spindle.drum"'),
        ('to              = "spindle.drum"', 'to              = "pedal.cable"'),
        ("sheath_from     = [-60, 0, 112]", "sheath_from     = [-780, 120, 169]"),
        (TO, "sheath_to       = [-60, 0, 112]"),
        (ON, 'sheath_from_on    = "engine"\n'),
        (
            "[[-200, 0, 112], [-420, 40, 90], [-640, 110, 120]]",
            "[[-640, 110, 120], [-420, 40, 90], [-200, 0, 112]]",
        ),
    ]
    assert told(*turned) == []


def test_a_mirror_image_turns_nothing_round():
    """A drum across is wound as before for its viewer, an end is where the mirror has it."""
    old = edited(DRUM)
    new = swap_sides(old).after
    assert wound_here(old, new, HOLE) == new.shafts["spindle"].arms["drum"].wound
    turned = swap_sides(old, carburettor="turned").after
    assert wound_here(old, turned, HOLE, "front for back") == (
        turned.shafts["spindle"].arms["drum"].wound
    )
    assert not compare(old, new).turned.turns


def test_a_rod_in_place_of_a_cable_is_told_and_never_laid_on_a_drum():
    wrong = edited(DRUM, (WOUND, 'wound = "anticlockwise"'))
    found = compare(edited(TRUCK), wrong)
    assert any("a cable (was a rod)" in change_text(c) for c in found.changes)
    assert found.tried
    assert all(t.layout.rods["main"].kind == "cable" for t in found.tried)
    assert compare_data(found)["tried"]
    back = compare(edited(DRUM), edited(TRUCK))
    texts = [change_text(c, kinds_of(back)) for c in back.changes]
    assert any(t.startswith("rod `") and "a rod (was a cable)" in t for t in texts)
    assert screen(back)


def test_slack_is_set_back():
    found = against((SLACK, "slack = 9"))
    (trial,) = found.trials
    assert trial.layout.rods["main"].lost == 0.0015
