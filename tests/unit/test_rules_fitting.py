"""The whole check: verdict, reasons, records, and what is left out."""

from __future__ import annotations

import math
import sys
from dataclasses import replace

import pytest

from linkage.errors import AssemblyError
from linkage.model.refs import Ref
from linkage.rules import Cure, examine, judge, worst
from linkage.rules.examine import WHOLE
from linkage.rules.rule import GEOMETRY
from linkage.search import Check, check
from tests.unit.edits import TRUCK, edited, lever
from tests.unit.ruled import made


def finding(verdict="fits", **more):
    return made(verdict=verdict, **more)


@pytest.mark.parametrize(
    ("verdicts", "expected"),
    [
        ([], "fits"),
        (["fits", "fits"], "fits"),
        (["fits", "look"], "look"),
        (["look", "do not fit", "fits"], "do not fit"),
    ],
)
def test_the_worst_verdict_counts(verdicts, expected):
    assert worst(finding(v) for v in verdicts) == expected


def test_reasons_are_what_must_not_be_fitted():
    bad, look = finding("do not fit"), finding("look")
    made = Check(examined=examine(edited(TRUCK)), findings=(finding(), look, bad))
    assert made.verdict == "do not fit"
    assert made.reasons == (bad,)


def test_record_is_in_shown_units_and_has_no_infinities():
    one = finding(
        value=0.0123456789, limit=math.inf, kind="length", cure=Cure(text="cut it")
    )
    assert one.record() == {
        "code": "idle", "verdict": "fits", "where": "throttle, at pad 0.0 mm",
        "value": 12.345679, "limit": None, "unit": "mm", "text": "t", "short": "t", "cure": "cut it",
    }  # fmt: skip
    bare = finding().record()
    assert (bare["value"], bare["limit"], bare["unit"], bare["cure"]) == (
        None,
        None,
        "",
        None,
    )


def test_place_is_rule_and_part():
    assert finding().place == ("idle", Ref("throttle", "throttle"), ())


def test_check_without_cures_is_the_same_but_for_them():
    layout = edited(TRUCK, lever(length=45))
    quick, whole = check(layout, cures=False), check(layout)
    assert [f.place for f in quick.findings] == [f.place for f in whole.findings]
    assert all(f.cure is None for f in quick.findings if f.rule.advice is None)
    assert quick.verdict == whole.verdict == "do not fit"


def test_geometry_alone_is_said_wherever_the_check_shows_itself():
    layout = replace(edited(TRUCK), springs={})
    alone, whole = (check(layout, cures=False, geometry=on) for on in (True, False))
    assert (alone.verdict, whole.verdict) == ("fits", "do not fit")
    assert repr(alone).endswith("fits, geometry alone>")
    assert "forces and springs were NOT judged" in alone._repr_html_()
    assert "geometry" not in repr(whole)
    assert "NOT judged" not in whole._repr_html_()
    assert {f.rule.needs for f in alone.findings} <= set(GEOMETRY)


def test_geometry_alone_cures_geometry_alone():
    found = check(edited(TRUCK, lever(length=45)), geometry=True)
    assert [f.code for f in found.reasons] == ["full-throttle"]
    assert {f.rule.needs for f in found.findings} <= set(GEOMETRY)
    assert found.plan is not None
    assert not check(found.plan.layout, cures=False, geometry=True).reasons


def test_a_layout_that_cannot_be_assembled_is_an_error():
    with pytest.raises(AssemblyError):
        check(edited(TRUCK).with_rod("link", 0.1))


def test_examine_looks_at_the_working_travel():
    x = examine(edited(TRUCK))
    assert len(x.motion.pad_travel) == WHOLE.positions
    assert x.motion.pad_travel[0] == x.working.start
    assert x.motion.pad_travel[-1] == x.working.end
    assert set(x.lines) == set(x.layout.rods)


def test_dead_centres_are_looked_for_once(monkeypatch):
    x = examine(edited(TRUCK))
    first = x.dead_centres
    module = sys.modules["linkage.rules.examine"]  # its function has its name
    monkeypatch.setattr(module, "dead_centres", None)
    assert x.dead_centres is first


def test_quick_leaves_out_the_dead_centres_alone():
    x = examine(edited(TRUCK))
    codes = {f.code for f in judge(x, ["motion", "dead centres"]).findings()}
    quick = {f.code for f in judge(x, ["motion"]).findings()}
    assert codes - quick == {"dead-centre"}


def test_a_jam_leaves_other_arms_judged():
    """Only the arm that jams is in line by definition."""
    x = examine(edited(TRUCK, lever(angle=115)))
    codes = {(f.code, f.where.split(",")[0]) for f in judge(x).findings()}
    assert ("arm-rod-angle", "rod link at pedal.rod") in codes
    assert ("arm-rod-angle", "rod link at spindle.lever") not in codes
    assert not {"full-throttle", "tip-in"} & {c for c, _ in codes}


def test_no_change_of_the_order_of_arms_changes_the_findings():
    layout = edited(TRUCK)
    turned = replace(layout, shafts=dict(reversed(layout.shafts.items())))
    ours = {f.place: f.value for f in check(layout, cures=False).findings}
    theirs = {f.place: f.value for f in check(turned, cures=False).findings}
    assert ours == theirs
