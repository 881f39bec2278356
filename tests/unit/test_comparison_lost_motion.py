"""Two linkages compared of which rods lose motion: what became slack, what lets go.

Sizes are invented; the layout is that of the swap's tests.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import jsonschema
import pytest

from linkage.comparison import compare
from linkage.comparison.slack import drives_from
from linkage.motion import frame, sweep
from linkage.report.compare import compare_lines
from linkage.report.compare_data import compare_data
from linkage.rules.examine import examine
from tests.unit.test_swap_lost_motion import across

SCHEMA = Path(__file__).parents[2] / "docs" / "compare.schema.json"
#: Both go both ways; one loses a millimetre, the other twelve of a shorter slot.
LITTLE, MUCH = "slot = 30\nlost = 1", "slot = 20\nlost = 12"


@cache
def compared(old, new):
    return compare(across(old), across(new))


def told(c):
    return " ".join(" ".join(compare_lines(c)).split())


@pytest.mark.parametrize("keys", [LITTLE, MUCH, 'only = "pull"\nlost = 5'])
def test_where_a_rod_drives_is_where_it_is_no_longer_slack(keys):
    x = examine(across(keys))
    at = drives_from(x, "link")
    slack = frame(sweep(x.assembly, [at - 1e-5, at + 1e-5])).slack["link"]
    assert slack.tolist() == [True, False]
    assert at == pytest.approx(x.working.picked_up, abs=1e-5)


def test_a_rod_that_drives_later_is_told_and_set_back():
    c = compared(LITTLE, MUCH)
    assert [(k.kind, round(k.new, 6)) for k in c.changes] == [
        ("rod slot", 0.02),
        ("rod lost", 0.012),
    ]
    text = told(c)
    assert "rod link drives from pad 1.8 mm 21.0 mm" in text
    assert (
        "rod `link` slot 20.0 mm (was 30.0 mm), loses 12.0 mm at rest (was 1.0" in text
    )
    assert "with rod `link` as it was made (slot 30.0 mm): opens 100%" in text
    (trial,) = c.trials
    assert trial.outcome.verdict != "do not fit"
    assert trial.outcome.examined.layout.rods["link"] == across(LITTLE).rods["link"]


def test_a_rod_that_cannot_do_what_it_must_never_drives():
    c = compared(LITTLE, 'only = "push"')
    (way,) = c.rods
    assert (way.old, way.new) == (1, 0)
    assert not c.new.opens
    text = told(c)
    assert "now a rod lets go, and it does NOT MOVE" in text
    assert "rod link pulls LETS GO" in text
    assert "rod link drives from pad 1.8 mm NEVER" in text
    assert "can only push (was one that can pull and push), has no slot (had" in text
    assert "opens again, 100%" in text
    back = told(compared('only = "push"', LITTLE))
    assert "Pressing did not move `throttle`; now it opens it." in back
    assert "has a slot of 30.0 mm (had none)" in back


def test_a_rod_of_given_length_is_told_with_what_it_then_loses():
    c = compared(LITTLE, "slot = 30\nlength = 437")
    kinds = {k.kind: k for k in c.changes}
    assert set(kinds) == {"rod length", "rod lost"}
    assert kinds["rod lost"].new == pytest.approx(0.0072, abs=1e-4)
    (trial,) = c.trials
    assert "of its old length" in told(c)
    assert trial.outcome.examined.layout.rods["link"].lost == pytest.approx(0.001)
    # Of one length in both it follows from what else is changed, and sets nothing back.
    same = "slot = 30\nlength = 432"
    old, new = across(same), across(same)
    moved = new.with_arm(new.links[0].driven, length=0.034)
    c = compare(old, moved)
    assert {k.kind for k in c.changes} >= {"arm length"}
    assert not any(u.about.kind == "rod" for t in c.tried for u in t.units)


def test_what_has_no_slot_in_either_has_no_row_of_it():
    c = compared("", "play = 0.2")
    assert c.slack == ()
    assert "drives" not in told(c)
    assert "rod link drives from pad 1.8 mm at once" in told(compared(LITTLE, ""))
    assert "rod lost" not in {k.kind for k in compared(LITTLE, "").changes}


@pytest.mark.parametrize("new", [MUCH, 'only = "push"', ""])
def test_the_plain_data_keep_to_their_schema(new):
    data = compare_data(compared(LITTLE, new))
    jsonschema.validate(json.loads(json.dumps(data)), json.loads(SCHEMA.read_text()))
    (rod,) = data["rods"]
    wanted = {MUCH: 20.99, 'only = "push"': None, "": 0.0}[new]
    assert rod["old_drives_from_mm"] == pytest.approx(1.78, abs=0.05)
    assert rod["new_drives_from_mm"] == (wanted and pytest.approx(wanted, abs=0.05))


def test_a_slot_taken_out_and_an_arm_made_longer_are_each_set_back_alone():
    """Rows with a slot and rows without one are solved apart."""
    old = across("slot = 30\nlost = 1")
    new = across("").with_arm(old.links[0].driven, length=0.040)
    c = compare(old, new)
    assert "full-throttle" in {f.code for f in c.new.check.reasons}
    kinds = {tuple(u.kind for u in t.units): t for t in c.tried}
    assert kinds["rod make",].assembles
    assert kinds["rod make",].left
    assert not kinds["arm",].left
