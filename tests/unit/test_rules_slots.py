"""Rods that lose motion: what must be refused, beside its sound twin.

Sizes are invented; what is told is held against distances of pins written out anew.
"""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage.config import loads
from linkage.model import Engine
from linkage.model.rows import row, stack
from linkage.motion import sweep
from linkage.report.findings import check_data, rods_lines
from linkage.report.lost_motion import starts
from linkage.rules import examine, judge
from linkage.rules.slack import branches, drives_from, needed
from linkage.search import check
from tests.build import arm, rod, shaft, tree
from tests.cli.conftest import CONFIGS
from tests.unit.cured import cured
from tests.unit.edits import TWIN, edited
from tests.unit.ruled import alone, found_in

KICK = "slot     = 36\n"
REAR = 'to       = "rear spindle.lever"\n'


def one_rod(pedal_rod=80, travel_mm=76, swing_deg=76, **more):
    """Return a pedal and a spindle with one rod, which pulls from 80°."""
    return tree(
        [
            shaft("pedal", (0, 0, 0), "across", arm("pad", 200, -90), arm("rod", 115, pedal_rod)),
            shaft("spindle", (430, 0, 82), "across", arm("lever", 32, 52)),
        ],
        [rod("link", "pedal.rod", "spindle.lever", **more)],
        travel_mm=travel_mm,
        swing_deg=swing_deg,
    )  # fmt: skip


def rocking(layout):
    """Return an engine that rolls about an axis across, far below the spindle."""
    return Engine(
        carries=("spindle",),
        roll=math.radians(2),
        about=(0.43, 0.0, -0.22),
        axis=layout.shafts["spindle"].axis,
    )


def apart(turn, driven=0.0, start=80):
    """Return the distance of both pins at turns of pedal and spindle. [m]."""
    one, two = math.radians(start) + turn, math.radians(52) + driven
    x = 0.43 + 0.032 * math.cos(two) - 0.115 * math.cos(one)
    z = 0.082 + 0.032 * math.sin(two) - 0.115 * math.sin(one)
    return math.hypot(x, z)


def twin(*edits):
    """Return the shipped pair with a kickdown lever, changed."""
    return edited(TWIN, *edits)


def kick(slot_mm):
    """Return it with another slot, or none."""
    return twin((KICK, f"slot     = {slot_mm}\n" if slot_mm else ""))


def only(layout, code):
    """Return what one rule finds by itself, where it is about one thing."""
    (finding,) = (f for f in alone(examine(layout), code) if f.rows.told is not False)
    return finding


def verdicts(layout):
    """Return the codes that are not in order, with their verdicts."""
    return {f.code: f.verdict for f in found_in(layout) if f.verdict != "fits"}


# --- it drives ---------------------------------------------------------------------


def test_where_a_rod_begins_to_drive_is_told():
    finding = only(one_rod(slot=0.03, lost=0.012), "slot-drives")
    begins = 0.2 * brentq(lambda t: apart(t) - apart(0) - 0.012, 0, 0.3)
    assert finding.outcome.at == pytest.approx(begins, abs=1e-7)
    assert finding.verdict == "fits"
    assert finding.text == (
        "rod `link` has a slot of 30.0 mm at `spindle.lever` and pulls from pad "
        f"{begins * 1e3:.1f} mm on, 12.0 mm lost"
    )


@pytest.mark.parametrize(
    ("sound", "bad", "says"),
    [
        (
            {"only": "pull"},
            {"only": "push"},
            "can only push, and pressing takes its two holes apart: it never drives",
        ),
        (
            {"slot": 0.08, "lost": 0.012},
            {"slot": 0.08, "lost": 0.05},
            "to go to the end of its slot",
        ),
        (
            {"only": "pull", "lost": 0.012},
            {"only": "pull", "lost": 0.05},
            "to go before it is tight",
        ),
    ],
)
def test_a_rod_that_never_drives_is_named_with_the_reason(sound, bad, says):
    good = only(one_rod(**sound), "slot-drives")
    assert good.verdict == "fits"
    fault = only(one_rod(**bad), "slot-drives")
    assert fault.verdict == "do not fit"
    assert "never drives `spindle.lever`" in fault.text
    assert says in fault.text
    assert "slot-drives" not in verdicts(one_rod(**sound))
    named = verdicts(one_rod(**bad))
    assert named["slot-drives"] == "do not fit"
    # That the plate does not open is then no news.
    assert "full-throttle" not in named


def test_by_how_much_it_fails_to_drive():
    fault = only(one_rod(slot=0.08, lost=0.05), "slot-drives")
    end = examine(one_rod(slot=0.08, lost=0.05)).working.end
    left = apart(0) + 0.05 - apart(end / 0.2)
    assert fault.value == pytest.approx(left)
    mended = one_rod(slot=0.08, lost=0.05 - left - 0.001)
    assert only(mended, "slot-drives").verdict == "fits"


def test_a_push_rod_in_a_cup_that_presses_is_sound():
    """The lever hangs, so that the same pedal pushes it open."""
    layout = one_rod(only="push", pedal_rod=-80)
    assert only(layout, "slot-drives").verdict == "fits"
    fault = only(one_rod(only="pull", pedal_rod=-80), "slot-drives")
    assert "pressing takes its two holes together" in fault.text


# --- the slot runs out -------------------------------------------------------------


def test_a_slot_that_is_used_up_is_named_with_what_it_lacks():
    # Away from the spindle a pin hardly goes further, and then comes back.
    def late(slot):
        return one_rod(pedal_rod=191, slot=slot, lost=0.005)

    layout = late(0.008)
    fault = only(layout, "reach")
    assert fault.verdict == "do not fit"
    lengths = [apart(t, start=191) for t in np.linspace(0, 0.38, 2001)]
    more = apart(0, start=191) + 0.005 - min(lengths) - 0.008
    assert fault.outcome.facts["used"] == pytest.approx(more, abs=1e-6)
    assert fault.text.startswith("the slot of rod `link` is used up with the pad at ")
    assert fault.text.endswith(f"the slot must be {more * 1e3:.1f} mm longer")
    assert "too short" not in fault.short
    assert "too long" not in fault.short
    assert only(late(0.008 + more + 1e-4), "reach").verdict == "fits"
    assert only(late(0.008 + more - 1e-4), "reach").verdict == "do not fit"


def test_a_rod_with_a_slot_that_jams_where_it_drives_jams_as_any_other():
    layout = one_rod(slot=0.03, lost=0.001, travel_mm=250, swing_deg=170)
    fault = only(layout, "reach")
    assert fault.outcome.facts["used"] == 0
    assert "jams" in fault.text


def test_with_the_engine_moved_too():
    def on_engine(slot):
        layout = one_rod(slot=slot, lost=0.004)
        return replace(layout, engine=rocking(layout))

    (fault,) = (
        f
        for f in alone(examine(on_engine(0.008)), "engine-senses")
        if f.part == ("torn",)
    )
    assert "and the pedal up the slot of rod `link` is used up" in fault.text
    ((_, more),) = fault.outcome.facts["used"].items()
    sound = alone(examine(on_engine(0.008 + more + 1e-4)), "engine-senses")
    assert ("torn",) not in [f.part for f in sound]
    assert ("torn",) in [
        f.part for f in alone(examine(on_engine(0.008 + more - 1e-4)), "engine-senses")
    ]


# --- a lever that sticks -------------------------------------------------------------


def test_the_shipped_pair_lets_its_plates_shut():
    finding = only(twin(), "slot-lets-go")
    assert finding.verdict == "fits"
    assert finding.limit == pytest.approx(0.036)
    assert verdicts(twin()) == {}


def test_a_slot_too_short_holds_the_plates_open():
    need = only(twin(), "slot-lets-go").value
    for slot, verdict in (
        (1e3 * need + 0.01, "fits"),
        (1e3 * need - 0.01, "do not fit"),
    ):
        assert only(kick(round(slot, 4)), "slot-lets-go").verdict == verdict
    fault = only(kick(20), "slot-lets-go")
    assert fault.text == (
        "if lever `gearbox` sticks at its full end, rod `kickdown` holds front open, at "
        f"{math.degrees(fault.outcome.facts['held']):.1f}°: its pin needs "
        f"{need * 1e3:.1f} mm of slot to let every plate shut, and has 20.0 mm"
    )
    mended = cured(kick(20), "slot-lets-go")
    assert mended.text.startswith("make the slot of rod `kickdown` 33.0 mm long")
    assert mended.layout.rods["kickdown"].slot == pytest.approx(0.033)


def test_what_a_slot_needs_is_the_way_between_the_pins():
    layout = twin()
    x = examine(layout)
    loop = x.assembly.loop("kickdown")
    jack, gearbox = (layout.shafts[n] for n in ("jack shaft", "gearbox"))
    one = np.array(jack.pin("kickdown", 0.0))
    stuck = -layout.throttles["kickdown"].swing
    two = np.array(gearbox.pin("lever", stuck))
    need = loop.length - np.linalg.norm(one - two)
    assert only(layout, "slot-lets-go").value == pytest.approx(need, abs=1e-9)


def test_how_far_open_a_plate_is_held_is_where_the_slot_is_used_up():
    layout = kick(20)
    x = examine(layout)
    held = only(layout, "slot-lets-go").outcome.facts["held"]
    (branch,) = branches(layout)

    def over(pad):
        there = examine(replace(layout, pedal=replace(layout.pedal, stop=pad)))
        return needed(there, branch.link, 1)[-1] - 0.02

    pad = brentq(over, 0.005, x.working.end)
    opening = sweep(x.assembly, np.array([pad])).opening("front")[0]
    assert held == pytest.approx(opening, abs=math.radians(0.02))


def test_without_any_slot_it_is_told_and_how_long_one_would_be():
    need = only(twin(), "slot-lets-go").value
    told = only(kick(0), "slot-lets-go")
    assert told.verdict == "look"
    assert told.limit == 0
    assert told.value == pytest.approx(need)
    assert "a slot of 32.4 mm or more in the rod lets every plate shut" in told.text
    assert (
        told.advised().cure.text == "give rod `kickdown` a slot of 33.0 mm at its lever"
    )


def test_a_rod_that_only_pulls_there_holds_nothing_back():
    layout = twin((KICK, 'only     = "pull"\n'))
    finding = only(layout, "slot-lets-go")
    assert finding.verdict == "fits"
    assert finding.limit is None
    assert "it can hold nothing back" in finding.text
    assert finding.record()["limit"] is None


def test_layouts_without_such_a_lever_are_not_asked():
    assert alone(examine(edited("hanging-pedal")), "slot-lets-go") == []


# --- one after the other -----------------------------------------------------------


def later(rear_mm=104.5, lost=8):
    """Return the pair with its rear plate starting later and catching up."""
    return twin(
        (REAR, f"{REAR}slot     = 30\nlost     = {lost}\n"),
        ("arms.rear     = { length = 76", f"arms.rear     = {{ length = {rear_mm}"),
    )


def test_plates_that_start_later_are_held_together_at_full_alone():
    layout = later()
    finding = only(layout, "throttle-spread")
    x = examine(layout)
    gap = abs(x.working.opening_at_end["front"] - x.working.opening_at_end["rear"])
    assert finding.value == pytest.approx(gap)
    assert finding.outcome.at == x.working.end
    place = drives_from(x, x.assembly.loop("rear drop"))
    front = math.degrees(sweep(x.assembly, np.array([place])).opening("front")[0])
    assert (
        f"front starts at once; rear starts at pad {place * 1e3:.1f} mm, with front at "
        f"{front:.1f}°"
    ) in finding.text
    # In between they are far apart, and that is meant.
    assert np.abs(x.motion.opening("front") - x.motion.opening("rear")).max() > 0.15


def test_a_later_plate_that_never_catches_up_is_told():
    finding = only(later(rear_mm=76), "throttle-spread")
    assert finding.verdict == "look"
    assert "at full alone, where they differ by" in finding.text
    assert finding.short.startswith("plates `front` and `rear` differ by")


def test_twins_are_held_together_everywhere():
    finding = only(twin(("arms.rear     = { length = 76", "arms.rear     = { length = 70")),
                   "throttle-spread")  # fmt: skip
    assert finding.verdict == "look"
    assert finding.outcome.facts["starts"] == ()
    assert "at most, with the pad at" in finding.text


# --- idle ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lost", "verdict"), [(0.0, "look"), (0.05e-3, "look"), (0.2e-3, "fits")]
)
def test_a_pin_at_the_end_of_its_slot_at_idle_is_told(lost, verdict):
    finding = only(one_rod(slot=0.03, lost=lost), "slot-at-rest")
    assert finding.verdict == verdict
    assert finding.value == pytest.approx(lost, abs=1e-9)
    assert ("heat or wear would open throttle" in finding.text) == (verdict == "look")


def test_a_kickdown_rod_may_drive_at_once():
    assert alone(examine(twin()), "slot-at-rest") == []


def test_a_lever_that_rests_on_the_slot_is_held_off_its_stop():
    length = apart(0) - 0.003
    named = verdicts(one_rod(slot=0.03, length_mm=1e3 * length))
    assert named["idle"] == "do not fit"
    assert "slot-at-rest" not in named
    assert "idle" not in verdicts(
        one_rod(slot=0.03, length_mm=1e3 * (apart(0) + 0.001))
    )


def test_an_engine_that_takes_up_the_lost_motion_opens_the_plate():
    def on_engine(lost):
        layout = one_rod(slot=0.06, lost=lost)
        return replace(layout, engine=rocking(layout))

    opened = only(on_engine(0.001), "engine-rock").outcome
    assert max(opened.facts["idle"]) > math.radians(6)
    assert only(on_engine(0.001), "engine-rock").verdict == "do not fit"
    shut = only(on_engine(0.02), "engine-rock").outcome
    assert max(map(abs, shut.facts["idle"])) < 1e-9


# --- springs before a slot -------------------------------------------------------------


def test_springs_before_a_slot_are_named_as_what_shuts_nothing():
    (rear,) = (
        f for f in alone(examine(later()), "energy-sources") if f.about.name == "rear"
    )
    assert rear.verdict == "do not fit"
    assert (
        "`front` pulls before rod `rear drop`, which lets plate `rear` go" in rear.text
    )
    assert "lets plate `rear` go" in rear.short
    for finding in alone(examine(twin()), "energy-sources"):
        assert finding.verdict == "fits"
        assert "go" not in finding.text.split("(")[0]


# --- rows, words, data ----------------------------------------------------------------


def test_rows_say_what_each_alone_says():
    layouts = [kick(mm) for mm in (20, 32, 33, 36)]
    many = stack(layouts)
    judged = judge(examine(many))
    for i in range(len(layouts)):
        each = judge(examine(row(many, i)))
        told = [(f.place, f.verdict, f.where, f.text) for f in judged.findings(i)]
        assert told == [(f.place, f.verdict, f.where, f.text) for f in each.findings()]


def test_rows_with_more_or_less_lost_say_what_each_alone_says():
    layouts = [one_rod(slot=0.08, lost=lost) for lost in (0.0, 0.3e-3, 0.012, 0.05)]
    layouts += [one_rod(pedal_rod=191, slot=slot, lost=0.005) for slot in (0.008, 0.02)]
    many = stack(layouts)
    judged = judge(examine(many))
    seen = set()
    for i in range(len(layouts)):
        each = judge(examine(row(many, i)))
        told = [(f.place, f.verdict, f.where, f.text) for f in judged.findings(i)]
        assert told == [(f.place, f.verdict, f.where, f.text) for f in each.findings()]
        seen |= {f.code for f in judged.findings(i) if f.verdict != "fits"}
    assert {"slot-drives", "slot-at-rest", "reach"} <= seen


def test_angles_of_a_slack_rod_are_not_told():
    told = alone(examine(later()), "arm-rod-angle")
    of_rear = [f.text for f in told if f.about.name == "rear drop"]
    assert all(": slack at the start, " in text for text in of_rear)
    assert len(of_rear) == 2


def test_the_list_of_rods_tells_slot_and_where_it_drives():
    done = check(later())
    text = " ".join(" ".join(rods_lines(done)).split())
    place = 1e3 * drives_from(done.examined, done.examined.assembly.loop("rear drop"))
    assert (
        f"slot 30.0 mm at `rear spindle.lever`, drives from pad {place:.1f} mm on"
        in text
    )
    assert "slot 36.0 mm at `gearbox.lever`, drives at once" in text
    assert starts(done) == f"`rear` from pad {place:.1f} mm on"
    rods = json.loads(json.dumps(check_data(done)))["rods"]
    assert rods["rear drop"]["slot_mm"] == 30
    assert rods["rear drop"]["lost_at_rest_mm"] == pytest.approx(8)
    assert rods["rear drop"]["drives_from_pad_mm"] == pytest.approx(place, abs=1e-4)
    assert set(rods["up"]) == {"length_mm", "kind", "cut_to_fit"}


def test_what_one_plate_alone_starts_at_is_told_on_the_screen():
    done = check(one_rod(only="pull", lost=0.012))
    assert starts(done).startswith("from pad ")
    assert "can only pull, drives from pad " in " ".join(
        " ".join(rods_lines(done)).split()
    )
    never = check(one_rod(only="push"))
    assert starts(never) == "never"
    assert check_data(never)["rods"]["link"]["drives_from_pad_mm"] is None


def test_a_lever_of_no_kind_that_sticks_is_asked_too():
    """A dashpot's lever, say, behind a slot; without one nothing is known of it."""
    text = (CONFIGS / f"{TWIN}.toml").read_text(encoding="utf-8")
    at, end = text.index("# Sheet: Z"), text.index("# 8. Return springs")
    layout = loads(text[:at] + text[end:]).layout
    assert only(layout, "slot-lets-go").verdict == "fits"
    rods = {n: replace(r, slot=0.0) for n, r in layout.rods.items()}
    assert alone(examine(replace(layout, rods=rods)), "slot-lets-go") == []
