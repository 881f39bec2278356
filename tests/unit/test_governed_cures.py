"""What mends a governed engine, judged by the governor's own rules, and parts that fail."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from linkage import check, loads
from linkage.rules.examine import COARSE, examine, stop_set_last
from linkage.rules.one_turn import FAR, NEAR, a_turn_off
from linkage.search.governors import turned
from linkage.slips import suspected

STARTER = Path(__file__).parents[2] / "configs" / "governed-engine.toml"
TEXT = STARTER.read_text(encoding="utf-8")
LENGTH = "length   = 259.8\n"
LIGHT = "[springs.light]"
#: An extension spring at the spindle that opens.
SECOND = """
[springs.second]
hook            = "spindle.spring"
anchor          = [180, 12, 60]
rate            = "0.1 N/mm"
free_length     = 60
greatest_length = 150
"""
#: What it may come near to.
BALL = """
[obstacles.ball]
shape    = "sphere"
centre   = [{}]
diameter = {}
"""


def altered(*pairs, light=True, more=""):
    """Return the starter with some of its text changed."""
    text = TEXT if light else TEXT.partition(LIGHT)[0]
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return loads(text + more).layout


CASES = {
    "one turn short": (altered((LENGTH, "")), "governor-rest", "rod turns"),
    "turns too long": (altered((LENGTH, "length = 264\n")), "governor-rest", "rod turns"),
    "lever too long": (
        altered(("length = 38,", "length = 48,"), (LENGTH, "")),
        "governor-shuts",
        "arm length",
    ),
    "worn": (altered(("diameter = 5", "diameter = 5\nplay = 2.5")), "governor-play", "rod play"),
    "of the wrong hand": (
        altered(('shuts   = "clockwise"', 'shuts   = "anticlockwise"')),
        "governor-parted",
        "spring hand",
    ),
    "anchored to open": (altered(light=False, more=SECOND), "governor-parted", "spring anchor"),
    "nothing shuts": (altered(light=False), "governor-parted", "spring light"),
    "light one too strong": (
        altered(('preload = "0.08 N·m"', 'preload = "0.7 N·m"')),
        "governor-spring",
        "spring strength",
    ),
    "stiff spindle": (
        altered(('drag    = "0.02 N·m"', 'drag    = "0.25 N·m"')),
        "governor-spring",
        "bearing",
    ),
    "rod through a pipe": (altered(more=BALL.format("100, 0, 62", 16)),
                           "governor-touched-at-rest", "arm offset"),
    "spring in a ball": (altered(more=BALL.format("-60, 12, 40", 16)),
                         "governor-touched-at-rest", "spring anchor"),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_a_cure_is_found_and_mends_by_the_governors_own_rules(name):
    layout, code, _ = CASES[name]
    result = check(layout)
    (worst,) = {f.code for f in result.findings if f.verdict != "fits"} & {code}
    assert worst == code
    cures = [f.cure for f in result.findings if f.code == code and f.verdict != "fits"]
    assert cures
    assert all(c.proven for c in cures)
    after = check(cures[0].layout, cures=False)
    assert code not in {f.code for f in after.findings if f.verdict != "fits"}
    assert after.verdict != "do not fit"


def test_where_a_gap_alone_is_wrong_the_obstacle_was_measured_wrongly():
    result = check(altered(more=BALL.format("30, 17, 40", 14)), cures=False)
    assert {f.code for f in result.reasons} == {"governor-gap"}
    slips = suspected(result.examined.layout, check=result)
    assert slips
    assert {slip.about.kind for slip in slips} == {"obstacle"}


def test_one_turn_longer_is_said_as_the_trade_says_it():
    result = check(CASES["one turn short"][0])
    (found,) = (f for f in result.findings if f.verdict != "fits")
    (step,) = found.cure.steps
    assert step.startswith(
        "set rod `link` one turn longer, 259.9 mm instead of 258.9 mm"
    )
    assert "a thread of 1.0 mm a turn" in step


def test_a_rod_that_is_cut_is_set_a_turn_off_with_it():
    """The whole swing shuts the throttle, and the lever stands off its full stop."""
    result = check(CASES["lever too long"][0])
    assert result.plan is not None
    assert "one turn that shuts" in result.plan.steps[-1]
    after = check(result.plan.layout, cures=False)
    assert after.verdict == "fits"
    rest = next(f for f in after.findings if f.code == "governor-rest")
    assert NEAR <= rest.value <= FAR
    assert not any(
        "the pedal" in step or "idle stop" in step for step in result.plan.steps
    )


def test_the_governors_own_spring_is_never_made_stronger():
    for name in ("stiff spindle", "light one too strong"):
        plan = check(CASES[name][0]).plan
        assert (
            plan.layout.springs["governor"].known
            == CASES[name][0].springs["governor"].known
        )


def test_rods_cut_to_fit_are_a_turn_off_row_by_row():
    layout = CASES["one turn short"][0]
    lengths = np.array([[30.0], [38.0], [44.0]]) * 1e-3
    spindle = layout.shafts["spindle"]
    many = layout.with_shaft(
        spindle.with_arm(replace(spindle.arms["lever"], length=lengths))
    )
    x = stop_set_last(many, COARSE)
    away = x.working.opening_at_start["throttle"] * lengths
    assert ((away > NEAR) & (away < FAR)).all()
    for k, length in enumerate(lengths[:, 0]):
        alone = layout.with_shaft(
            spindle.with_arm(replace(spindle.arms["lever"], length=float(length)))
        )
        set_off = a_turn_off(alone).rods["link"].length
        assert set_off == pytest.approx(
            float(x.assembly.layout.rods["link"].length[k, 0])
        )


def test_a_rod_of_given_length_is_left_at_it():
    layout = CASES["turns too long"][0]
    assert a_turn_off(layout) is layout


def test_turns_are_whole_turns_of_the_thread():
    layout = CASES["turns too long"][0]
    (family,) = turned(examine(layout), "throttle")
    new = np.asarray(family.sets["rods", "link", "length"])
    turns = (new - layout.rods["link"].length) / 1e-3
    assert np.allclose(turns, np.round(turns))
    assert not (np.round(turns) == 0).any()


def said(layout):
    """Return by failure what is said of it, and its verdict."""
    found = [
        f for f in check(layout, cures=False).findings if f.code == "governor-parted"
    ]
    return {f.outcome.part[0].brief: (f.verdict, f.text) for f in found}


def test_the_governors_spring_off_is_said_plainly():
    told = said(loads(TEXT).layout)
    verdict, text = told["spring `governor` off"]
    assert verdict == "fits"
    assert text.startswith("with spring `governor` off nothing opens throttle any more")
    assert told["spring `light` off"][0] == "fits"
    assert told["rod `link` parted"] == (
        "fits",
        "with rod `link` parted a spring shuts throttle",
    )


def test_a_pin_that_takes_the_light_spring_with_the_rod_leaves_nothing():
    """On one stud rod and light spring are lost together; a torsion spring is not."""
    hooked = SECOND.replace("spindle.spring", "spindle.lever").replace(
        "180, 12, 60", "400, 0, 60"
    )
    layout = altered(light=False, more=hooked)
    told = said(layout)
    assert told["rod `link` parted"][0] == "fits"
    verdict, text = told["the pin at `spindle.lever` broken"]
    assert verdict == "look"
    assert "rod `link` and spring `second` with it" in text
    assert "nothing shuts throttle" in text
    plan = [f.cure for f in check(layout).findings if f.verdict == "look"]
    assert any("light torsion spring" in c.text for c in plan)
    assert "the pin at `spindle.lever` broken" not in said(loads(TEXT).layout)


def test_a_shaft_between_off_its_pivot_counts_as_a_parted_rod():
    text = (
        TEXT.replace('from     = "governor.arm"', 'from     = "mid.out"')
        + """
[shafts.mid]
pivot   = [-80, 0, 0]
axis    = "across"
bearing = 7
drag    = "0.01 N·m"
arms.in  = { length = 70, angle = 108, offset = 8 }
arms.out = { length = 70, angle = 108, offset = 0 }

[rods.up]
from     = "governor.arm"
to       = "mid.in"
joints   = "ball with clip"
diameter = 5
"""
    )
    text = text.replace(LENGTH, "")
    told = said(a_turn_off(loads(text).layout))
    assert any("shaft `mid` off its pivot" in brief for brief in told), told


def test_a_plate_is_never_shut_by_a_rod_that_takes_full_power_away():
    """Turns enough of the rod would shut it, and leave it half open at rest."""
    layout = altered(("length = 38,", "length = 75,"), (LENGTH, ""))
    result = check(layout)
    (shuts,) = (f for f in result.findings if f.code == "governor-shuts")
    steps = [*shuts.cure.steps, *(result.plan.steps if result.plan else ())]
    assert not any(" turns " in step for step in steps)


def test_so_short_a_travel_that_no_hole_makes_up_for_it_is_measured_again():
    layout = altered(("travel = 46", "travel = 4.6"))
    (shuts,) = (f for f in check(layout).findings if f.code == "governor-shuts")
    assert "measure the governor's travel and the levers again" in shuts.cure.text
