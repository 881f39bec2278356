"""Cables: what must be refused, beside its sound twin.

Sizes are invented; what is told is held against lengths written out anew.
"""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from linkage.connect.wire import BREAKING, GRADE
from linkage.model.columns import column
from linkage.motion import sweep
from linkage.rules import Finding, examine
from linkage.rules.rule import BAD, FITS, LOOK
from linkage.rules.wires import WIRE
from linkage.search import check
from tests.unit.edits import edited
from tests.unit.ruled import alone, found_in

DRUM, PUSH = "cable-drum", "push-pull-cable"
STARTS = "sheath_from     = [-60, 0, 112]"
HELD = 'sheath_to_on    = "engine"\n'


def changed(name: str, **more: object):
    """Return a shipped layout with its cable changed."""
    layout = edited(name)
    cable = replace(layout.rods["main"], **more)
    return replace(layout, rods={**layout.rods, "main": cable})


def told(layout, code: str):
    """Return what a rule tells, all rules asked."""
    return [f for f in found_in(layout) if f.code == code]


def ranks(layout, code: str) -> list[int]:
    return [f.outcome.rank for f in told(layout, code)]


def bad(layout) -> set[str]:
    return {f.code for f in found_in(layout) if f.verdict == "do not fit"}


# --- room for the nipples ------------------------------------------------------------


def nipple(near_mm: float):
    """Return the drum's cable with its sheath so near to the pedal's nipple."""
    x = math.cos(math.radians(78)) * 107
    z = math.sin(math.radians(78)) * 107
    return edited(DRUM, (STARTS, f"sheath_from = [{x - near_mm}, 0, {z}]"))


def test_a_nipple_that_comes_up_to_its_sheath_is_refused_and_at_ten_mm_it_fits():
    sound, fault = (told(nipple(mm), "nipple-room")[0] for mm in (10.01, 9.9))
    assert sound.verdict == "fits"
    assert sound.value == pytest.approx(0.01001, abs=1e-7)
    assert fault.verdict == "do not fit"
    assert "9.9 mm from the end of its sheath" in fault.text
    # At the pedal it is nearest with the pedal up: there it would keep the wire out.
    assert "holds the throttle open" in fault.text
    assert "hold the end of the sheath of cable `main` 1 mm further" in (
        fault.advised().cure.text
    )
    assert bad(nipple(10.01)) == set()


def test_at_the_throttle_a_nipple_is_nearest_with_the_pedal_down():
    """A bare lever in place of the drum, its sheath as near as its way and 5 mm."""

    def lever(gap_mm: float):
        layout = edited(DRUM)
        spindle = layout.shafts["spindle"]
        pulled = replace(spindle.arms["drum"], wound=0, angle=math.radians(130))
        layout = layout.with_shaft(
            replace(spindle, arms={**spindle.arms, "drum": pulled})
        )
        end = np.array(layout.shafts["spindle"].pin("drum", math.radians(-80)))
        point = tuple(end + np.array((gap_mm / 1e3, 0.0, 0.0)))
        cable = layout.rods["main"]
        ends = cable.ends[0], replace(cable.ends[1], point=point)
        return replace(layout, rods={"main": replace(cable, ends=ends)})

    sound, fault = (
        next(f for f in alone(examine(lever(mm)), "nipple-room") if "drum" in f.where)
        for mm in (12, 8)
    )
    assert (sound.outcome.rank, fault.outcome.rank) == (FITS, BAD)
    assert fault.value == pytest.approx(0.008, abs=2e-4)
    assert fault.outcome.at == pytest.approx(examine(lever(8)).working.end)
    assert "goes no further and takes the foot" in fault.text


# --- push-pull cables ----------------------------------------------------------------


def test_a_push_pull_cable_has_as_much_stroke_as_its_pedal_takes():
    layout = edited(PUSH)
    x = examine(layout)
    pin = layout.shafts["pedal"].pin
    end = np.array(layout.rods["main"].ends[0].point)
    turns = sweep(x.assembly, np.array([0.0, x.working.end])).turns["pedal"]
    way = abs(np.diff([np.linalg.norm(end - pin("cable", t)) for t in turns])[0])
    (sound,) = told(layout, "cable-stroke")
    assert sound.value == pytest.approx(way, abs=1e-9)
    assert ranks(changed(PUSH, stroke=way + 1e-6), "cable-stroke") == [FITS]
    (fault,) = told(changed(PUSH, stroke=way - 1e-3), "cable-stroke")
    assert fault.verdict == "do not fit"
    assert "at its end 1.0 mm before the pedal is" in fault.text
    assert told(changed(PUSH, stroke=0.0), "cable-stroke") == []
    assert told(edited(DRUM), "cable-stroke") == []


def test_what_a_push_pull_cable_bears_is_told_without_eulers_words():
    (sound,) = told(edited(PUSH), "rod-push")
    assert "gives way at 450 N, and 50% of that is allowed" in sound.text
    (fault,) = told(changed(PUSH, push_limit=200.0), "rod-push")
    assert fault.verdict == "do not fit"
    assert fault.short.startswith("cable `main` may give way")
    (unknown,) = told(changed(PUSH, push_limit=0.0), "rod-push")
    assert unknown.verdict == "look"
    assert "`push_limit` is not given" in unknown.text
    assert "give its `push_limit`" in unknown.short
    for finding in (sound, fault, unknown):
        assert "buckl" not in finding.text
        assert "rod" not in finding.text


# --- slack ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("slack_mm", "rank"),
    [(0, LOOK), (0.4, LOOK), (0.51, FITS), (1.5, FITS), (2.99, FITS), (3.2, LOOK)],
)
def test_slack_at_rest_is_one_to_two_mm(slack_mm, rank):
    (finding,) = told(changed(DRUM, lost=slack_mm / 1e3), "cable-slack")
    assert finding.outcome.rank == rank
    assert finding.value == pytest.approx(slack_mm / 1e3, abs=1e-9)
    words = {0: "off its stop", 1.5: "1 to 2 mm is usual", 3.2: "off its drum"}
    assert words.get(slack_mm, "slack") in finding.text


def test_a_push_pull_cable_has_no_slack_and_a_slot_is_not_asked_of_a_cable():
    assert told(edited(PUSH), "cable-slack") == []
    assert told(edited(DRUM), "slot-at-rest") == []


def test_slack_is_set_by_the_adjuster():
    tight = check(changed(DRUM, lost=0.0))
    (finding,) = (f for f in tight.findings if f.code == "cable-slack")
    assert finding.cure.proven
    assert finding.cure.layout.rods["main"].lost >= 0.5e-3


def test_where_it_drives_reads_as_of_a_cable():
    (finding,) = told(edited(DRUM), "slot-drives")
    assert finding.text.startswith("cable `main` can only pull and pulls from pad")
    wrong = edited(DRUM)
    pedal = replace(wrong.pedal, presses=-wrong.pedal.presses)
    finding = next(iter(alone(examine(replace(wrong, pedal=pedal)), "slot-drives")))
    assert "pressing slackens its wire: it never drives `spindle.drum`" in finding.text


# --- the wire ------------------------------------------------------------------------


def test_a_wire_that_a_foot_breaks_is_refused():
    """Without its pedal stop the foot goes to the wire by the pedal's arms."""
    layout = edited(DRUM)
    bare = replace(layout, pedal=replace(layout.pedal, stop=None))
    (at_stop,), (finding,) = (told(x, "wire-strength") for x in (layout, bare))
    breaks = BREAKING * 0.0015**2 * GRADE
    assert finding.outcome.facts["breaks"] == pytest.approx(breaks)
    x = examine(bare)
    lever = abs(x.lines["main"].arms["pedal"][-1])
    # Springs are pulled by it too: they take of the foot, and add nothing to the wire.
    assert finding.outcome.facts["pull"] == pytest.approx(500 * 0.2 / lever, rel=0.03)
    assert finding.verdict == "look"
    (cured,) = (f for f in check(bare).findings if f.code == "wire-strength")
    assert cured.cure.proven
    assert "pedal stop" in cured.cure.text
    assert at_stop.verdict == "fits"
    assert at_stop.outcome.facts["without"] == pytest.approx(
        finding.outcome.facts["pull"]
    )
    assert "without the pedal stop it is 1025 N, 1.8 times" in at_stop.text
    thin = replace(bare, rods={"main": replace(bare.rods["main"], wire=0.001)})
    (fault,) = told(thin, "wire-strength")
    assert fault.verdict == "do not fit"
    thick = replace(bare, rods={"main": replace(bare.rods["main"], wire=0.002)})
    assert ranks(thick, "wire-strength") == [FITS]


def test_a_wire_too_thin_behind_a_pedal_stop_has_its_size_told():
    """One of a quarter of a millimetre bears its springs alone by little."""
    (fault,) = told(changed(DRUM, wire=0.00025), "wire-strength")
    assert fault.verdict == "look"
    pulled = told(changed(DRUM, wire=0.00025), "pull-changes")[0].value
    assert fault.value == pytest.approx(BREAKING * 0.00025**2 * GRADE / pulled)
    advice = fault.advised().cure.text
    assert advice == "fit cable `main` with a wire of 0.5 mm"
    assert told(changed(DRUM, wire=0.0005), "wire-strength")[0].verdict == "fits"


def test_an_assumed_wire_is_told_as_one():
    (finding,) = told(changed(DRUM, wire=0.0), "wire-strength")
    assert "(1.5 mm, as assumed)" in finding.text


# --- rows ----------------------------------------------------------------------------

CODES = (
    *("nipple-room", "cable-slack", "wire-strength", "sheath-bend", "sheath-loss"),
    *("drum-unwound", "drum-covered", "sheath-pulled"),
)


@pytest.mark.parametrize("code", CODES)
def test_rows_say_what_each_says_alone(code):
    radii = (0.020, 0.029, 0.04)
    layout = edited(DRUM)
    rows = [layout.with_arm("spindle.drum", length=r) for r in radii]
    many = layout.with_arm("spindle.drum", length=column(radii))
    together = alone(examine(many), code)
    for i, single in enumerate(rows):
        each = alone(examine(single), code)
        assert len(each) == len(together)
        for one, all_rows in zip(each, together, strict=True):
            row = all_rows.rows.row(i)
            assert row.rank == one.outcome.rank
            assert row.value == pytest.approx(one.value, rel=1e-6, abs=1e-9)
            assert one.rule.words(row) == one.rule.words(one.outcome)


@pytest.mark.parametrize("pull", [math.nan, 100.0])
def test_a_pull_that_is_not_known_never_leaves_a_wire_strong_enough(pull):
    x = examine(edited(DRUM))
    rods = [SimpleNamespace(rod="main", most_pull=pull)]
    forces = SimpleNamespace(stamp=x.forces.stamp, rods=rods)
    some = SimpleNamespace(layout=x.layout, forces=forces)
    (o,) = WIRE.judge(some)
    assert o.applies
    assert o.rank == (BAD if math.isnan(pull) else FITS)


@pytest.mark.parametrize(
    "code",
    ["nipple-room", "drum-unwound", "drum-covered", "sheath-pulled", "wire-strength"],
)
def test_no_advice_is_made_of_a_number_that_is_not_known(code):
    """Rounded up to a size that can be had it would be a crash."""
    every = alone(examine(edited(DRUM)), code)
    assert every
    for found in every:
        o = found.outcome
        facts = {k: math.nan if isinstance(v, float) else v for k, v in o.facts.items()}
        unknown = replace(o, rank=BAD, value=math.nan, facts=facts)
        told = Finding(rule=found.rule, rows=unknown).advised()
        assert told.cure is None
        assert told.verdict == "do not fit"
        assert told.text
        known = replace(o, rank=BAD)
        assert Finding(rule=found.rule, rows=known).advised().cure is not None
