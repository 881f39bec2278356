"""How much work a change is, and what is told of two records, on made-up ones."""

from __future__ import annotations

import math

import pytest

from tests.bad.change import changes, effort
from tests.bad.compare import compared, harmful, ratios, told

BEFORE = """\
format = 1
title = "before"

[shafts.pedal]
pivot = [0, 0, 0]
bearing = 10
arms.pad = { length = 180, angle = -90 }
arms.rod = { length = 50, angle = 350, offset = 10 }

[rods.up]
length = 300
play = 1.5

[pedal]
stop = 70

[springs.near]
hook = "pedal.rod"
anchor = [100, 0, "30 mm"]
rate = "0.4 N/mm"
initial_tension = 5

[engine]
carries = ["spindle", "bell crank"]
roll = "2 deg"
"""
ADDED = """
[springs.far]
hook = "pedal.rod"
anchor = [0, 0, 0]
rate = "9 N/mm"
"""


@pytest.mark.parametrize(
    ("old", "new", "counted"),
    [
        ("length = 50,", "length = 60,", 0.2),
        ("length = 50,", 'length = "0.06 m",', 0.2),
        ("angle = 350", "angle = 10", 20 / 90),
        ("angle = 350", 'angle = "0.17453292519943295 rad"', 20 / 90),
        ("angle = 350", "angle = -10", 0.0),
        ("offset = 10", "offset = -15", 0.25),
        (', "30 mm"]', ', "30.05 mm"]', 0.0005),
        ("[100, 0, ", "[100, 40, ", 0.4),
        ('"0.4 N/mm"', '"0.8 N/mm"', math.log(2)),
        (
            '"0.4 N/mm"\ninitial_tension = 5',
            '"800 N/m"\ninitial_tension = 8',
            math.log(2),
        ),
        ("bearing = 10", "bearing = 5", 1 + math.log(2)),
        ("bearing = 10", "bearing = 10\nfriction = 0.15", 0.0),
        ("bearing = 10", "bearing = 10\nfriction = 0.05", 1 + math.log(3)),
        ("length = 300\n", "", 0.0),
        ("play = 1.5", "play = 0.2", 0.05),
        ("stop = 70", "stop = 75.5", 0.0),
        (', "bell crank"', "", 0.5),
        ('"2 deg"', '"0.5 deg"', 2.0),
        ("[engine]", ADDED + "[engine]", 1.0),
        (BEFORE[BEFORE.index("[springs") : BEFORE.index("[engine")], "", 1.0),
    ],
)
def test_effort_of_one_change(old, new, counted):
    assert BEFORE.count(old) == 1
    differ = changes(BEFORE, BEFORE.replace(old, new))
    assert effort(differ) == pytest.approx(counted, abs=1e-9)
    back = changes(BEFORE.replace(old, new), BEFORE)
    assert {path: both[::-1] for path, both in back.items()} == differ


def test_two_changes_count_together():
    text = BEFORE.replace("length = 50,", "length = 40,").replace("= 350", "= 305")
    assert effort(changes(BEFORE, text)) == pytest.approx(0.2 + 0.5)


def cure(length, *, verdict="fits", bad=(), proven=True):
    differ = {"shafts/pedal/arms/rod/length": [50, length]}
    return {"proven": proven, "verdict": verdict, "bad": list(bad), "changes": differ}


def row(*cures, where="throttle, at pad 3 mm", cpu=1.0, mended=False):
    found = [
        {"code": "full-throttle", "verdict": "do not fit", "where": where}
        | ({} if c is None else {"cure": c})
        for c in cures
    ]
    return {
        "text": "t", "verdict": "do not fit", "cpu_s": cpu, "whole_s": 0.1,
        "mended": mended, "findings": found,
    }  # fmt: skip


BAD = {"verdict": "do not fit"}


@pytest.mark.parametrize(
    ("old", "new", "lost", "larger"),
    [
        (cure(60), cure(60), False, False),
        (cure(60), cure(61), False, True),
        (cure(60), cure(59), False, False),
        (cure(60), None, True, False),
        (cure(60), cure(60, proven=False), True, False),
        (cure(60), cure(55, **BAD), False, False),
        (cure(60, **BAD), cure(90), False, False),
        (cure(60, proven=False, **BAD), None, False, False),
        (None, cure(60), False, False),
    ],
)
def test_what_became_of_a_cure(old, new, lost, larger):
    (pair,) = compared(
        {"1": row(old)}, {"1": row(new, where="throttle, at pad 4 mm")}
    ).pairs
    assert (pair.lost, pair.larger) == (lost, larger)
    assert pair.found


@pytest.mark.parametrize(
    ("plan", "unmended", "harder"),
    [(None, True, False), (cure(55), False, False), (cure(61), False, True)],
)
def test_what_mends_the_whole(plan, unmended, harder):
    now = row(cure(55, **BAD), mended=plan is not None)
    if plan is not None:
        now["plan"] = plan
    outcome = compared({"9": row(cure(60), mended=True)}, {"9": now})
    assert bool(outcome.unmended()) == unmended
    assert bool(outcome.harder()) == harder


def test_findings_of_one_place_are_told_apart_by_their_order():
    made = compared({"1": row(cure(60), cure(70))}, {"1": row(cure(60), None)}).pairs
    assert [p.lost for p in made] == [False, True]


def test_layouts_that_changed_are_not_compared():
    other = row(cure(60)) | {"text": "u"}
    with pytest.raises(ValueError, match="not the same layouts any more: 7"):
        compared({"7": row(cure(60))}, {"7": other})


def test_a_cure_that_brings_a_new_reason_is_told():
    rows = {"5": row(cure(60, bad=["idle", "full-throttle"]))}
    assert [line.split() for line in harmful(rows)] == [["5:", "idle", "by:"]]
    assert harmful({"5": row(cure(60, bad=["full-throttle"]))}) == []


def test_what_is_told():
    old = {"1": row(cure(60), cpu=2.0, mended=True), "2": row(None), "3": row(None)}
    new = {"1": row(None), "2": row(cure(55), mended=True)}
    outcome = compared(old, new)
    assert outcome.mended() == (0.5, 0.5)
    assert ratios(outcome.old) == pytest.approx([20.0, 10.0])
    lines = list(told(outcome))
    assert "2 bad layouts; mended whole: 50.0%, now 50.0%" in lines
    assert "cures lost: 1" in lines
    assert "of a finding more work now: 0" in lines
    assert "mended whole before, not now: 1" in lines


def test_what_could_not_be_judged_before_is_no_harm_but_for_a_jam():
    left = row(cure(60, bad=["closing-torque"])) | {"unjudged": ["closing-torque"]}
    assert harmful({"5": left}) == []
    jams = row(cure(60, bad=["reach"])) | {"unjudged": ["reach"]}
    assert len(harmful({"5": jams})) == 1
    tried = row(cure(60, bad=["dead-centre"], proven=False))
    assert len(harmful({"5": tried})) == 1
