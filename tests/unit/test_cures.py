"""Cures: the least change first, proven by solving it again, else what it leaves."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from linkage.rules.adjust import Adjustment
from linkage.rules.cures import SOURCES, cure, with_cures

from linkage.config import load
from linkage.config.starters import starters
from linkage.model.refs import Ref
from linkage.rules import cures, examine
from linkage.rules.examine import stop_set_last
from linkage.rules.finding import Cure
from linkage.search import check
from tests.unit.cured import found, named
from tests.unit.edits import HAULER, PEDAL_ROD, STOP, TRUCK, TWIN, edited, lever
from tests.unit.ruled import found_in, made

FAULTS = [n for n in starters() if n.startswith("fault-")]


def faults_of(layout):
    x = examine(layout)
    found_here = found_in(x)
    return x, found_here, [f for f in found_here if f.verdict != "fits"]


@pytest.mark.parametrize("name", FAULTS)
def test_every_shipped_fault_has_a_cure_that_mends_it(name):
    layout = load(starters()[name].path).layout
    x, before, faults = faults_of(layout)
    assert faults
    bad = {f.place for f in before if f.verdict == "do not fit"}
    for fault in faults:
        mended = cure(x, fault, before)
        assert mended is not None
        assert mended.proven
        after = found_in(examine(mended.layout))
        assert fault.place not in {f.place for f in after if f.verdict != "fits"}
        assert {f.place for f in after if f.verdict == "do not fit"} <= bad
        assert "solved again" in mended.text


def test_the_least_change_comes_first():
    """Turned by one degree more or less, it would not be mended or not least."""
    layout = edited(TRUCK, lever(angle=85))
    x = examine(layout)
    before = found_in(x)
    fault = next(
        f for f in before if f.code == "dead-centre" and f.verdict == "do not fit"
    )
    mended = cure(x, fault, before)
    new = math.degrees(mended.layout.shafts["spindle"].arms["lever"].angle)
    assert new == pytest.approx(84)


def test_a_cure_names_the_rods_to_cut_and_where_the_stop_goes():
    layout = edited(TRUCK, lever(length=45))
    x, before, _ = faults_of(layout)
    text = cure(x, found(layout, "full-throttle"), before).text
    assert "make arm `spindle.lever`" in text or "make arm `pedal.rod`" in text
    assert "and cut rod `link` to" in text
    assert "set the pedal stop to" in text
    assert "throttle reaches" in text


def test_a_finding_that_is_only_told_has_no_cure():
    x, before, _ = faults_of(edited(TRUCK))
    for fact in before:
        if fact.code not in SOURCES:
            assert cure(x, fact, before) is None


def test_no_single_change_within_reach_gives_none():
    layout = edited(TRUCK, (PEDAL_ROD, "arms.rod = { length = 115, angle = 150 }"))
    x, before, _ = faults_of(layout)
    assert cure(x, found(layout, "full-throttle"), before) is None


def test_a_first_change_that_brings_another_fault_is_followed_by_a_second():
    """With the pedal's short arm the lever, turned back, no longer opens fully."""
    layout = load(starters()["fault-lever-clocked-late"].path).layout
    x, before, _ = faults_of(layout)
    mended = cure(x, found(layout, "arm-rod-angle"), before)
    assert mended.proven
    first, second = mended.text.split("; then ", maxsplit=1)
    assert first.startswith("turn arm `spindle.lever`")
    assert "make arm" in second or "turn arm" in second
    assert "arm-rod-angle" not in named(mended.layout)


def test_a_second_change_after_which_the_finding_asks_for_a_look_is_only_tried(
    monkeypatch,
):
    """No fault is left, but what was to be mended is not wholly so."""
    layout = load(starters()["fault-lever-clocked-late"].path).layout
    x, before, _ = faults_of(layout)
    fault = found(layout, "arm-rod-angle")
    monkeypatch.setattr(cures, "STARTS", 1)  # the least turn alone leaves no room
    tried = cure(x, fault, before)
    assert not tried.proven
    assert named(tried.layout)["arm-rod-angle"] == "look"
    assert "do not fit" not in named(tried.layout).values()
    assert "; then look at arm-rod-angle" in tried.text


@pytest.mark.parametrize("name", FAULTS)
def test_no_cure_makes_the_pedal_shut_the_throttle(name):
    layout = load(starters()[name].path).layout
    for fault in check(layout).findings:
        if fault.cure is not None and fault.cure.layout is not None:
            assert "opening-sense" not in named(fault.cure.layout)


def test_a_cure_that_is_there_already_is_kept():
    x, before, faults = faults_of(edited(TRUCK, lever(length=28), (STOP, "")))
    given = Cure(text="as found elsewhere")
    marked = [replace(f, cure=given) for f in faults]
    assert all(f.cure is given for f in with_cures(x, marked))
    assert all(f.cure is None for f in with_cures(x, before) if f.verdict == "fits")


def test_a_layout_that_cannot_be_assembled_is_passed_over():
    """Halfway to nought the rod of given length no longer reaches."""
    layout = edited(HAULER)
    broken = layout.with_rod("carb", 0.05)
    assert cures._judged(Adjustment(effort=0, text="", layout=broken), "tip-in") is None


def test_a_second_step_is_not_sought_for_what_has_no_cure(monkeypatch):
    """Then the text says what is left."""
    layout = edited(TRUCK, lever(length=45))
    x, before, _ = faults_of(layout)
    fault = found(layout, "full-throttle")
    odd = made("shaft-sense", "do not fit", Ref("shaft", "pedal"))
    monkeypatch.setattr(cures, "all_findings", lambda _x: [odd])
    mended = cure(x, fault, before)
    assert not mended.proven
    assert mended.text.endswith("that mends full-throttle but leaves: shaft-sense")


def test_a_second_change_that_the_quick_rules_let_pass_is_judged_by_all(monkeypatch):
    layout = edited(TRUCK, lever(length=45))
    x, before, _ = faults_of(layout)
    fault = found(layout, "full-throttle")
    odd = made("tip-in", "do not fit")
    monkeypatch.setattr(cures, "all_findings", lambda _x: [odd])
    monkeypatch.setattr(cures, "STARTS", 1)
    monkeypatch.setattr(cures, "SECONDS", 30)
    assert cure(x, fault, before).text.endswith("but leaves: tip-in")


def test_changes_that_cannot_be_assembled_are_passed_over():
    """Level with the pedal's hole, a lever at 180° lies in line with its rod."""
    layout = edited(TRUCK, lever(angle=150, offset=0))
    height = layout.shafts["pedal"].pin("rod")[2]
    level = replace(layout.shafts["spindle"], pivot=(0.43, -0.03, height))
    layout = replace(layout, shafts={**layout.shafts, "spindle": level})
    x, before, faults = faults_of(layout)
    assert {f.code for f in faults} == {"reach"}
    turned = SOURCES["reach"](x, faults[0])
    assert any(
        "to 180.0°" in a.text and cures._judged(a, "reach") is None for a in turned
    )
    assert cure(x, faults[0], before).proven


def test_looks_that_a_cure_leaves_are_named():
    layout = edited(TRUCK, lever(angle=120), (STOP, ""))
    x, before, _ = faults_of(layout)
    mended = cure(x, found(layout, "reach"), before)
    assert mended.proven
    looks = set(mended.text.split("then look at ")[1].split(", "))
    assert looks == {c for c, v in named(mended.layout).items() if v == "look"}


# --- the pedal stop, set last ------------------------------------------------------


def test_stop_set_last_stands_at_the_half_millimetre_after_full():
    layout = edited(TRUCK, lever(length=30))
    new, x = stop_set_last(layout)
    assert x.layout is new
    free = examine(replace(layout, pedal=replace(layout.pedal, stop=None)))
    assert 0 <= new.pedal.stop - free.working.end < 0.5e-3
    assert math.isclose(new.pedal.stop * 2e3, round(new.pedal.stop * 2e3))


def test_stop_set_last_gives_no_stop_to_a_layout_without_one():
    layout = edited(TRUCK, (STOP, ""))
    new, _ = stop_set_last(layout)
    assert new is layout


def test_stop_set_last_takes_the_stop_out_where_the_floor_comes_first():
    new, x = stop_set_last(edited(TRUCK, lever(length=45)))
    assert new.pedal.stop is None
    assert str(x.working.stopped_by) == "floor"


def test_stop_set_last_never_goes_past_the_floor():
    layout = edited(TRUCK, ("travel = 76", "travel = 69"), (STOP, "stop = 60\n"))
    new, x = stop_set_last(layout)
    assert new.pedal.stop == pytest.approx(0.069)
    assert x.working.is_stopped_by("full stop")


def test_progress_counts_the_cures_looked_for():
    told = []
    layout = load(starters()["fault-hole-too-long"].path).layout
    done = check(layout, progress=lambda i, n: told.append((i, n)))
    wanted = sum(f.verdict != "fits" for f in done.findings)
    assert told == [(i, wanted) for i in range(wanted + 1)]


@pytest.mark.parametrize("word", ["link at rest", "rod", "link and link", "with link"])
def test_words_in_a_rods_name_do_not_lead_a_cure_astray(word):
    layout = edited(TRUCK, ("[rods.link]", f'[rods."{word}"]'), lever(angle=80))
    x, before, faults = faults_of(layout)
    (one, *_) = [f for f in faults if f.code == "arm-rod-angle"]
    mended = cure(x, one, before)
    assert mended is not None
    assert f"`{word}`" in mended.text


def test_words_in_a_throttles_name_do_not_lead_a_cure_astray():
    layout = edited(
        TWIN,
        ("[throttles.rear]", '[throttles."front and rear"]'),
        ("arms.rear     = { length = 76", "arms.rear     = { length = 60"),
    )
    x, before, faults = faults_of(layout)
    (apart,) = [f for f in faults if f.code == "throttle-spread"]
    assert "spindle" in cure(x, apart, before).text
    holes = cures._throttle_holes(x, apart)
    assert str(holes[-1]) == "rear spindle.lever"
