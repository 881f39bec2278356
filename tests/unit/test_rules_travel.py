"""Rules of travel: each shows its finding, its number and a cure that mends it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.config import loads
from linkage.motion import assemble, sweep
from linkage.rules import examine
from linkage.rules.play import play_loss
from tests.cli.conftest import CONFIGS
from tests.unit.cured import cured, found, named
from tests.unit.edits import (
    HAULER,
    LEVER,
    STOP,
    TO,
    TRUCK,
    TWIN,
    edited,
    lever,
    limit,
    rod_length,
)
from tests.unit.ruled import alone, changed

NOMINAL = assemble(edited(TRUCK)).loop("link").length
KICK = ("swing = 45.5", "swing = 40")
REAR = ("arms.rear     = { length = 76", "arms.rear     = { length = 70")


def opening(layout, pad: float, name: str = "throttle") -> float:
    return float(sweep(assemble(layout), np.array([0.0, pad])).opening(name)[1])


@pytest.mark.parametrize("name", [TRUCK, HAULER, TWIN])
def test_shipped_layouts_have_nothing_to_name(name):
    assert named(edited(name)) == {}


# --- reach -------------------------------------------------------------------


def test_a_rod_that_jams_is_named_alone_with_its_place():
    layout = edited(TRUCK, lever(angle=115))
    assert named(layout) == {"reach": "do not fit"}
    fault = found(layout, "reach")
    assert fault.where == f"rod link, at pad {fault.value * 1e3:.1f} mm"
    assert "too short" in fault.text
    end = layout.pedal.end
    motion = sweep(assemble(layout), np.array([0.0, fault.value, fault.value + 1e-4]))
    assert np.isfinite(motion.opening("throttle")[1])
    assert np.isnan(motion.opening("throttle")[2])
    assert fault.limit == end
    assert cured(layout, "reach").text.startswith("turn arm `spindle.lever`")


def test_a_rod_that_grazes_its_reach_does_not_claim_a_miss_at_the_end():
    x = examine(edited(TRUCK, lever(angle=115)))
    assert x.working.jammed
    (fault,) = alone(changed(x, working=replace(x.working, miss=0.0)), "reach")
    assert "too short" not in fault.text
    assert "too long" not in fault.text
    (fault,) = alone(changed(x, working=replace(x.working, miss=-0.002)), "reach")
    assert "it is 2.0 mm too long" in fault.text


# --- full throttle ---------------------------------------------------------------


def test_not_full_says_what_is_missing_in_degrees_and_at_the_lever():
    layout = edited(TRUCK, lever(length=45))
    assert named(layout)["full-throttle"] == "do not fit"
    fault = found(layout, "full-throttle")
    swing = layout.main.swing
    reached = opening(layout, layout.pedal.end)
    assert fault.value == pytest.approx(reached / swing, abs=1e-9)
    missing = math.degrees(swing - reached)
    assert (
        f"{missing:.1f}° or {math.radians(missing) * 45:.1f} mm at its lever"
        in fault.text
    )
    assert "stopped by the pedal stop" in fault.text
    cured(layout, "full-throttle")


def test_a_stop_of_another_shaft_is_named():
    stop = '\n[stops.bracket]\nshaft = "pedal"\nturn = "anticlockwise"\nafter = 15\n\n[engine]'
    fault = found(edited(TRUCK, ("\n[engine]", stop)), "full-throttle")
    assert "stopped by the stop bracket" in fault.text


def test_play_of_every_rod_is_taken_off():
    """Against the change that a rod longer or shorter by its play makes."""
    edits = [(old, f"{old}\nplay = {mm}") for old, mm in (
        ('to       = "cross shaft.inner"', 0.3), ('to       = "spindle.lever"', 0.2))]  # fmt: skip
    layout = edited(HAULER, *edits)
    x = examine(layout)
    cut = layout
    for loop in x.assembly.loops:  # else a later rod is cut to fit the change
        cut = cut.with_rod(loop.link.rod.name, loop.length)
    expected = 0.0
    for name, play in (("up", 0.3e-3), ("carb", 0.2e-3)):
        length = x.assembly.loop(name).length
        two = [
            opening(cut.with_rod(name, length + e), x.working.end)
            for e in (1e-6, -1e-6)
        ]
        expected += abs(two[0] - two[1]) / 2e-6 * play
    assert play_loss(x, layout.main) == pytest.approx(expected, rel=1e-4)


def test_worn_joints_lose_full_throttle_and_new_ones_give_it_back():
    layout = edited(TRUCK, (TO, f"{TO}\nplay = 2"))
    fault = found(layout, "full-throttle")
    assert fault.verdict == "do not fit"
    assert "of play" in fault.text
    assert cured(layout, "full-throttle").text.startswith(
        "put new joints on rod `link` (2.0 mm of play now)"
    )


def test_play_beyond_the_stop_costs_nothing():
    """The pedal would drive past the full stop; that is there to take up play."""
    layout = edited(TRUCK, (TO, f"{TO}\nplay = 0.3"), (STOP, ""))
    assert found(layout, "full-throttle").value == pytest.approx(1.0)


def test_a_rod_that_would_jam_beyond_the_stop_still_gives_full_throttle():
    layout = edited(TRUCK, lever(angle=97), (STOP, ""))
    x = examine(layout)
    assert str(x.working.stopped_by) == "full stop of throttle"
    assert np.isnan(opening(layout, layout.pedal.end))
    assert alone(x, "full-throttle")[0].value == pytest.approx(1.0)


# --- left over, idle, lost travel ----------------------------------------------------


def test_left_over_travel_asks_for_a_pedal_stop():
    layout = edited(TRUCK, lever(length=28), (STOP, ""))
    fault = found(layout, "left-over-travel")
    assert fault.verdict == "look"
    end = examine(layout).working.end
    assert fault.value == pytest.approx(layout.pedal.travel - end)
    stop = cured(layout, "left-over-travel").layout.pedal.stop
    assert end <= stop < end + 0.5e-3 + 1e-9


def test_left_over_travel_is_not_asked_where_the_full_stop_is_not_met():
    assert alone(examine(edited(TRUCK, lever(length=45))), "left-over-travel") == []


def test_a_short_rod_holds_the_lever_off_its_stop():
    layout = edited(TRUCK, rod_length("428 mm"))
    fault = found(layout, "idle")
    assert fault.verdict == "do not fit"
    held = examine(layout).assembly.rest["spindle"]
    assert fault.value == pytest.approx(held)
    assert f"{held * 32e0:.2f} mm at its lever" in fault.text
    mended = cured(layout, "idle")
    assert mended.layout.rods["link"].length is None
    assert f"cut rod `link` to {NOMINAL * 1e3:.1f} mm" in mended.text


def test_a_long_rod_lets_the_lever_rest_and_loses_travel():
    layout = edited(TRUCK, rod_length("434.5 mm"))
    assert found(layout, "idle").verdict == "fits"
    fault = found(layout, "lost-travel")
    assert fault.verdict == "look"
    before = opening(layout, fault.value - 1e-4)
    after = opening(layout, fault.value + 1e-4)
    assert before < 0 < after
    cured(layout, "lost-travel")


def test_free_play_is_lost_travel_and_is_taken_up():
    layout = edited(TRUCK, (STOP, STOP + "free_play = 8\n"))
    assert found(layout, "lost-travel").value == pytest.approx(0.008)
    mended = cured(layout, "lost-travel")
    assert mended.layout.pedal.free_play == 0.002


# --- full, then idle ------------------------------------------------------------------


def test_full_then_idle_holds_the_lever_where_the_stroke_is_too_short():
    layout = edited(TRUCK, (STOP, "stop = 68\n"))
    fault = found(layout, "full-then-idle")
    assert fault.verdict == "look"
    length = float(fault.text.split(" at ")[1].split(" mm")[0]) * 1e-3
    set_so = layout.with_rod("link", length)
    assert opening(set_so, layout.pedal.end) == pytest.approx(
        layout.main.swing, abs=0.002
    )
    assert assemble(set_so).rest["spindle"] == pytest.approx(fault.value, abs=0.002)
    cured(layout, "full-then-idle")


def test_full_then_idle_is_proven_where_the_stroke_is_enough():
    fault = found(edited(TRUCK), "full-then-idle")
    assert fault.verdict == "fits"
    assert "so idle is proven" in fault.text


def test_setting_is_left_out_where_full_is_a_finding_of_its_own():
    assert alone(examine(edited(TRUCK, lever(length=45))), "full-then-idle") == []


# --- gaps, tip-in --------------------------------------------------------------------------


def test_gaps_at_both_stops_are_told():
    fault = found(edited(TRUCK, lever(length=45)), "stop-gap")
    assert fault.verdict == "fits"
    x = examine(edited(TRUCK, lever(length=45)))
    short = x.layout.main.swing - x.working.opening_at_end["throttle"]
    assert fault.value == pytest.approx(short * 0.045)
    assert "0.00 mm at the idle stop" in fault.text


def test_touchy_tip_in():
    layout = edited(TRUCK, lever(length=20))
    fault = found(layout, "tip-in")
    assert fault.verdict == "look"
    end = examine(layout).working.end
    assert fault.value == pytest.approx(
        opening(layout, end / 10) / (end / 10), rel=1e-9
    )
    cured(layout, "tip-in")


def test_no_travel_has_no_first_tenth():
    x = examine(edited(TRUCK))
    none = replace(x.working, end=x.working.start)
    assert alone(changed(x, working=none), "tip-in") == []


# --- several -------------------------------------------------------------------------------


def test_twins_that_differ():
    layout = edited(TWIN, REAR)
    fault = found(layout, "throttle-spread")
    assert fault.verdict == "look"
    x = examine(layout)
    apart = np.abs(x.motion.opening("front") - x.motion.opening("rear"))
    assert fault.value == pytest.approx(apart.max())
    cured(layout, "throttle-spread")


def test_a_kickdown_lever_that_stops_the_plate():
    layout = edited(TWIN, KICK)
    fault = found(layout, "kickdown")
    assert fault.verdict == "do not fit"
    assert "it keeps the plate from opening" in fault.text
    # Its rod has a slot: set to lose more, it pulls later.
    assert "set rod `kickdown` so that it loses" in cured(layout, "kickdown").text


def test_a_kickdown_lever_that_ends_with_the_plate_is_in_order():
    fault = found(edited(TWIN), "kickdown")
    assert fault.verdict == "fits"
    assert "never stops the plate" in fault.text


# --- limits --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("full_throttle", "100 %", "full-throttle"),
        ("left_over_travel", "0.5 mm", "left-over-travel"),
        ("tip_in", "1 deg/mm", "tip-in"),
        ("arm_rod_look", "60 deg", "arm-rod-angle"),
        ("dead_centre", "60 deg", "dead-centre"),
        ("spring_line", "30 mm", "spring-line"),
    ],
)
def test_every_limit_of_the_file_is_the_one_in_force(key, value, code):
    edits = [limit(key, value)]
    if key == "full_throttle":
        edits.append((STOP, "stop = 68.5\n"))
        assert named(edited(TRUCK, edits[1])).get(code) is None
    assert code in named(edited(TRUCK, *edits))


def test_idle_gap_and_lost_travel_limits():
    off = rod_length(f"{NOMINAL * 1e3 - 0.05:.3f} mm")
    assert "idle" not in named(edited(TRUCK, off))
    assert "idle" in named(edited(TRUCK, off, limit("idle_gap", "0.05 deg")))
    play = (STOP, STOP + "free_play = 2\n")
    layout = edited(TRUCK, play, limit("lost_travel", "1 mm"))
    assert found(layout, "lost-travel").verdict == "look"


def test_edits_stand_in_the_files():
    """The lever of the edits is the lever of the starter."""
    text = (CONFIGS / f"{TRUCK}.toml").read_text()
    assert (
        loads(text.replace(*lever())).layout.shafts["spindle"].arms["lever"]
        == (loads(text).layout.shafts["spindle"].arms["lever"])
    )
    assert LEVER in text


@pytest.mark.parametrize("lever_to", ["rear spindle.lever", "gearbox.lever"])
def test_a_lever_on_its_stop_too_early_holds_the_other_plate_open(lever_to):
    # One lever cannot pass its idle stop, so the rest of the linkage stays off its own.
    base = edited(TWIN)
    name = next(n for n, r in base.rods.items() if str(r.end) == lever_to)
    length = assemble(base).loop(name).length + 0.5e-3
    # A slot would take up what is too much.
    solid = replace(base.rods[name], slot=0.0, length=length)
    layout = replace(base, rods=base.rods | {name: solid})
    x = examine(layout)
    late = next(n for n, t in layout.throttles.items() if lever_to.startswith(t.shaft))
    assert opening(layout, 0.0, late) < 0
    assert opening(layout, x.working.start, late) == pytest.approx(0, abs=1e-8)
    finding = found(layout, "idle", "front")
    assert finding.verdict == "do not fit"
    assert finding.value == pytest.approx(opening(layout, x.working.start, "front"))
    assert finding.value > math.radians(0.3)
    assert f"{late} is on its own idle stop first" in finding.text
    mended = cured(layout, "idle", "front")
    assert mended.layout.rods[name].length is None


def test_free_play_and_a_late_lever_are_not_counted_twice():
    late = edited(TRUCK).with_rod("link", NOMINAL + 0.001)
    pad = examine(late).working.start
    assert pad > 0
    layout = replace(late, pedal=replace(late.pedal, free_play=0.002))
    (finding,) = alone(examine(layout), "lost-travel")
    assert finding.value == pytest.approx(pad + 0.002, abs=1e-6)
    before = opening(layout, finding.value - 1e-5)
    after = opening(layout, finding.value + 1e-5)
    assert before < 0 < after


def test_twins_that_differ_are_told_who_is_ahead_and_who_is_full_first():
    fault = found(edited(TWIN, REAR), "throttle-spread")
    assert fault.text.startswith(
        "front is ahead of rear by 6.7° at most, with the pad at"
    )
    assert (
        "both start together, front is full first, rear then lacks 6.7°" in fault.text
    )
    assert fault.short.startswith("plate `front` is ahead of `rear` by 6.7°")
    right = assemble(edited(TWIN)).loop("rear drop").length * 1e3
    rod = 'to       = "rear spindle.lever"'
    longer = edited(TWIN, (rod, f'{rod}\nlength = "{right - 1.2:.4f} mm"'))
    fault = found(longer, "throttle-spread")
    assert "at idle rear is ahead of front by" in fault.text
    assert "rear is full first, front" in fault.text
    assert "go together, 0.0° apart" in found(edited(TWIN), "throttle-spread").text


def test_a_lever_shorter_than_its_twin_is_made_as_long_and_its_link_set():
    layout = edited("fault-unequal-twin-levers")
    for code in ("throttle-spread", "full-throttle"):
        mended = cured(layout, code)
        assert "make arm `rear spindle.lever` 33.0 mm instead of 28.5 mm" in mended.text
        assert "cut rod `rear drop` to 130.9 mm" in mended.text
        assert mended.layout is not None
        assert named(mended.layout) == {}
