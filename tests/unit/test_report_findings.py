"""A check as text and as plain data."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from linkage.report import cautions, findings, verdict
from linkage.report.tables import table, wrapped
from linkage.rules import Cure, Finding, examine
from linkage.search import Check, check
from tests.unit.edits import STOP, TRUCK, edited, lever, limit, rod_length
from tests.unit.ruled import changed
from tests.unit.ruled import made as made_up

GOOD = check(edited(TRUCK), cures=False)


def made(*found: Finding) -> Check:
    return Check(examined=GOOD.examined, findings=found)


def one(verdict="look", cure=None, code="idle") -> Finding:
    return made_up(code, verdict, text=f"{code} in words", cure=cure)


@pytest.mark.parametrize(
    ("verdicts", "expected"),
    [
        (["fits"], "FITS"),
        (["look"], "FITS, with one thing to look at"),
        (["look", "fits", "look"], "FITS, with 2 things to look at"),
        (["do not fit", "look"], "DO NOT FIT: idle in words"),
    ],
)
def test_headline(verdicts, expected):
    assert verdict.headline(made(*map(one, verdicts))) == expected


def test_headline_names_the_worst_and_counts_each_other_rule_once():
    bad = [one("do not fit", code=c) for c in ("idle", "reach", "idle")]
    head = "DO NOT FIT: reach in words, and one more fault"
    assert verdict.headline(made(*bad)) == head
    bad.append(one("do not fit", code="pad-force"))
    assert verdict.headline(made(*bad)).endswith(", and 2 more faults")


def test_a_proven_cure_is_called_so_and_another_a_try():
    lines = "\n".join(
        findings.finding_lines(one(cure=Cure(text="turn it", proven=True)))
    )
    assert "cure: turn it" in lines
    lines = "\n".join(findings.finding_lines(one(cure=Cure(text="turn it"))))
    assert "try: turn it" in lines
    assert "cure:" not in lines


def test_no_cure_is_said_where_one_is_wanted():
    assert "no single change within reach mends this" in "\n".join(
        findings.finding_lines(one())
    )
    assert "mends" not in "\n".join(findings.finding_lines(one("fits")))


def test_the_worst_stands_first_and_the_rest_in_their_order():
    lines = findings.check_lines(check(edited(TRUCK, lever(angle=85)), cures=False))
    marks = [
        m
        for line in lines
        for m in re.findall(r"^(fits|look|DO NOT FIT) +[a-z`]", line)
    ]
    assert marks == sorted(marks, key=["DO NOT FIT", "look", "fits"].index)
    assert lines[0].startswith("DO NOT FIT: ")
    assert lines[1].startswith("Yard truck")


def test_which_way_pressing_turns_is_told():
    assert any(
        "Pressing turns pedal anticlockwise seen from the right" in x
        for x in findings.check_lines(GOOD)
    )
    pedal = replace(GOOD.examined.layout.pedal, presses=-1)
    x = GOOD.examined
    layout = replace(x.layout, pedal=pedal)
    turned = changed(x, assembly=replace(x.assembly, layout=layout))
    lines = findings.check_lines(Check(examined=turned, findings=()))
    assert any("Pressing turns pedal clockwise" in x for x in lines)


def test_rods_say_how_their_length_came_about():
    assert "cut to fit" in findings.rods_lines(GOOD)[1]
    given = check(edited(TRUCK, rod_length("17 in")), cures=False)
    assert (
        "link: 431.8 mm (as given), from pedal.rod to spindle.lever"
        in findings.rods_lines(given)[1]
    )


def test_echo_and_changed_limits():
    changed = check(edited(TRUCK, limit("tip_in", "2 deg/mm")), cures=False)
    lines = findings.check_lines(changed, echo=[("pedal.travel", "76", "76 mm")])
    assert "  pedal.travel = 76: 76 mm" in lines
    assert "  loosened: tip_in: 2.00 °/mm instead of 1.60 °/mm" in lines
    assert findings.changed_lines(GOOD) == []


def test_data_is_plain_and_whole():
    data = findings.check_data(GOOD)
    assert data["verdict"] == GOOD.verdict != "do not fit"
    assert len(data["findings"]) == len(GOOD.findings)
    assert data["rods"]["link"]["cut_to_fit"] is True
    assert data["rods"]["link"]["length_mm"] == pytest.approx(431.6, abs=0.1)
    assert data["stopped_by"] == "full stop of throttle"
    assert data["limits_changed"] == []
    assert data["cautions"] == list(cautions.CAUTIONS)


def test_no_ok_and_every_caution_with_every_result():
    for layout in (edited(TRUCK), edited(TRUCK, lever(length=45))):
        text = "\n".join(findings.check_lines(check(layout, cures=False)))
        assert "OK" not in text
        flat = " ".join(text.split())
        assert all(" ".join(c.split()) in flat for c in cautions.CAUTIONS)


def test_without_any_spring_it_is_not_to_be_fitted_yet():
    x = examine(replace(edited(TRUCK), springs={}))
    none = one("do not fit", code="energy-sources")
    yet = Check(examined=x, findings=(none, one()))
    assert verdict.headline(yet) == (
        "DO NOT FIT YET: no spring is given, so whether it shuts was not checked"
    )
    assert verdict.reason(yet) == verdict.NO_SPRING
    more = Check(examined=x, findings=(none, one("do not fit")))
    assert (
        verdict.headline(more)
        == "DO NOT FIT: energy-sources in words, and one more fault"
    )
    sprung = Check(examined=GOOD.examined, findings=(none,))
    assert verdict.headline(sprung) == "DO NOT FIT: energy-sources in words"


def test_geometry_alone_is_said_with_every_verdict():
    def alone(*found: Finding) -> Check:
        return replace(made(*found), geometry=True)

    assert verdict.headline(alone(one("fits"))) == (
        "Geometry alone: FITS; forces and springs were NOT judged"
    )
    assert verdict.headline(alone(one(), one())) == (
        "Geometry alone: FITS, with 2 things to look at; forces and springs were NOT judged"
    )
    assert verdict.headline(alone(one("do not fit"))) == (
        "DO NOT FIT: idle in words (geometry alone: forces and springs were NOT judged)"
    )
    assert findings.check_data(alone(one()))["geometry_alone"] is True
    assert findings.check_data(made(one()))["geometry_alone"] is False
    assert not any("geometry" in x for x in findings.check_lines(GOOD))


def test_a_layout_without_springs_says_so():
    layout = edited(TRUCK)
    bare = check(replace(layout, springs={}), cures=False)
    closing = " ".join(" ".join(findings.closing_lines(bare)).split())
    assert "return springs: the layout names none" in closing
    assert (
        "return springs: the layout names none"
        in findings.check_data(bare)["not_checked"]
    )


def test_table_headings_of_two_lines_sit_on_their_rule():
    lines = table(["a", "wide\nmm"], [["1", "22.0"], ["three", "4"]], left=1)
    assert lines == [
        "       wide",
        "a        mm",
        "-----  ----",
        "1      22.0",
        "three     4",
    ]


def test_wrapped_never_breaks_a_word():
    assert wrapped("x" * 120, "  ", first="- ") == ["- " + "x" * 120]
    assert all(len(line) <= 40 for line in wrapped("word " * 30, "    ", width=40))


def test_examined_stop_is_the_one_that_is_printed():
    x = examine(edited(TRUCK, (STOP, "")))
    text = "\n".join(findings.check_lines(Check(examined=x, findings=())))
    assert "76.0 mm of pad travel" in text
