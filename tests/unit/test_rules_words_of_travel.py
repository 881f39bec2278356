"""What rules of travel, senses, sources and stress say, from outcomes made up for it."""

from __future__ import annotations

import math

import pytest

from linkage.forces import failed
from linkage.forces.failures import Failure
from linkage.model.refs import Ref
from linkage.rules.rule import BAD, FITS, LOOK
from tests.unit.test_rules_words import said

DEG = math.radians(1)
MM = 1e-3
PLATE = Ref("throttle", "throttle")
SPRING = Ref("spring", "near")


def idle(off, rank=FITS, start=0.0):
    facts = {"off": off, "radius": 0.03, "start": start}
    facts |= {"openings": {"throttle": off, "rear": 0.0}}
    return said("idle", about=PLATE, rank=rank, value=off, kind="angle", facts=facts)


def test_whether_a_lever_rests_and_what_holds_it_off():
    for words in idle(0.0):
        assert "rests on its idle stop with the pedal up" in words
    sentence, line = idle(2 * DEG, BAD)
    assert sentence.endswith(
        "held 2.0° off its idle stop with the pedal up, 1.05 mm at its lever"
    )
    assert line == "the plate stays 2.0° open with the pedal up | 1.05 mm at its lever"
    by = idle(2 * DEG, BAD, start=MM)[0]
    assert "rear is on its own idle stop first and holds the linkage there" in by


def full(value, reached, rank=FITS, loss=0.0):
    facts = {"reached": reached * DEG, "swing": 80 * DEG, "loss": loss, "radius": 0.03}
    facts |= {"stops": (Ref("floor"), Ref("pedal stop")), "stopped": 1}
    more = {"value": value, "limit": 0.98, "kind": "fraction"}
    return said("full-throttle", about=PLATE, rank=rank, facts=facts, **more)


def test_how_far_a_plate_opens_and_what_is_missing():
    sentence, line = full(1.0, 80)
    assert (
        "reaches 80.0° of 80.0° (100.0%), stopped by the pedal stop; at least 98.0%"
        in sentence
    )
    assert "missing" not in sentence + line
    assert line == "the plate opens 100.0% | 80.0° of 80.0°"
    assert "(100.0%) less 0.5° of play, stopped" in full(1.0, 80, loss=0.5 * DEG)[0]
    sentence, line = full(0.75, 60, BAD)
    assert sentence.endswith("; 20.0° or 10.5 mm at its lever are missing")
    assert (
        line
        == "the plate opens only 75.0% | 60.0° of 80.0°, 10.5 mm at its lever are missing"
    )


@pytest.mark.parametrize(
    ("miss", "word"),
    [(2e-3, "2.0 mm too short"), (-2e-3, "2.0 mm too long"), (0.0, "")],
)
def test_where_a_rod_jams_and_by_how_much_it_misses(miss, word):
    more = {
        "value": 50 * MM,
        "limit": 70 * MM,
        "kind": "length",
        "facts": {"miss": miss, "used": 0.0, "spring": False},
    }
    for words in said("reach", rank=BAD, **more):
        assert "jams" in words
        assert "20.0 mm before" in words
        assert word in words
        assert ("too" in words) == bool(word)
    for words in said("reach", **more):
        assert "every rod reaches" in words


@pytest.mark.parametrize(("rank", "way"), [(FITS, "anticlockwise"), (BAD, "clockwise")])
def test_which_way_pressing_turns_the_plate(rank, way):
    facts = {"opens": 1, "shaft": "spindle", "seen": "the right"}
    sentence, line = said("opening-sense", about=PLATE, rank=rank, facts=facts)
    assert f"pressing turns spindle {way} seen from the right" in sentence
    assert f"pressing turns `spindle` {way} seen from the right" in line
    assert ("which opens anticlockwise" in sentence) == (rank == BAD)
    assert line.startswith(
        "the pedal shuts the plate" if rank else "the pedal opens the plate"
    )


@pytest.mark.parametrize(
    ("way", "words"),
    [(0.5, "turns 28.6° anticlockwise seen from behind"), (-0.5, "turns 28.6° clockwise seen from behind"), (0.0, "does not turn")],
)  # fmt: skip
def test_which_way_a_shaft_turns(way, words):
    facts = {"seen": "behind", "zero": ""}
    told = said(
        "shaft-sense", about=Ref("shaft", "bell"), value=way, kind="angle", facts=facts
    )
    assert told[0] == f"pedal down: bell {words}"
    assert told[1].startswith(told[0])
    facts = {"seen": "behind", "zero": "straight down"}
    told = said(
        "shaft-sense", about=Ref("shaft", "bell"), value=way, kind="angle", facts=facts
    )
    assert told[0].endswith("; its angles count from straight down")


def test_setting_at_full_first_in_numbers():
    facts = {"main": "throttle", "length": 0.2, "end": 70 * MM, "start": 2 * MM}
    more = {"limit": 0.3 * DEG, "kind": "angle", "facts": facts}
    sentence, line = said("full-then-idle", value=-DEG, **more)
    assert (
        "rod `one` at 200.0 mm centre to centre meets the full stop with the pad at 70.0 mm"
        in sentence
    )
    assert "rests on its idle stop at the first 2.0 mm of pad" in sentence
    assert line == "set at full first, it rests at idle too | rod `one` at 200.0 mm"
    sentence, line = said("full-then-idle", value=DEG, rank=LOOK, **more)
    assert "then holds throttle 1.0° off its idle stop" in sentence
    assert "the plate stays 1.0° open at idle | rod `one` at 200.0 mm moves" in line


def sources(rank, shuts, spindle=(), *, far=False, none=False):
    truths = dict.fromkeys(shuts, True) | {"slack": False}
    facts = {"none": none, "shuts": truths, "far": far, "lets go": {}}
    facts["spindle"] = dict.fromkeys(spindle, True)
    return said("energy-sources", about=PLATE, rank=rank, facts=facts)


def test_which_springs_shut_a_plate():
    sentence, line = sources(FITS, ("a", "b"), ("b",))
    assert "at every position: `a`, `b`; on the spindle: `b` (49 CFR" in sentence
    assert line == "springs `a`, `b` shut the plate | on the spindle `b`"
    sentence, line = sources(FITS, ("a", "b"))
    assert "at every position: `a`, `b` (49 CFR" in sentence
    assert line.endswith("on the spindle none")
    sentence, line = sources(LOOK, ("a", "b"), far=True)
    assert "; none of them acts on the spindle itself" in sentence
    assert line == "no spring of the plate acts on the spindle itself | only `a`, `b`"
    sentence, line = sources(BAD, ("a",))
    assert "`a`; 2 are asked, so that one may break" in sentence
    assert line.startswith("only spring `a` shuts the plate | 2 are asked")
    sentence, line = sources(BAD, ())
    assert "at every position: none; 2 are asked" in sentence
    assert line.startswith("no spring shuts the plate")
    for words in sources(BAD, (), none=True):
        assert "no spring is given" in words


def unsprung(*failures):
    bare = dict.fromkeys(failures, True) | {failed("rod", "spare"): False}
    return said(
        "unsprung-if-parted",
        about=PLATE,
        rank=BAD if failures else FITS,
        facts={"bare": bare},
    )


def test_which_part_leaves_a_plate_without_a_spring():
    pin = Failure("pin", Ref("arm", "spindle", "lever"), frozenset({Ref("rod", "a"), Ref("spring", "b")}),
                  named=(Ref("rod", "a"), Ref("spring", "b")))  # fmt: skip
    for words in unsprung():
        assert "keeps a spring" in words
    sentence, line = unsprung(pin)
    assert (
        "if the ball stud or pin at `spindle.lever` breaks, rod `a` and spring `b` go with it: no spring is left on throttle"
        in sentence
    )
    assert (
        line
        == "if the ball stud or pin at `spindle.lever` breaks no spring is left on the plate | "
    )
    # Of a rod that leaves nothing it is told before what takes the rod along.
    sentence, line = unsprung(pin, failed("rod", "a"))
    assert "spindle.lever" not in sentence + line
    assert "if rod `a` or a joint of it parts: no spring" in sentence
    assert unsprung(failed("rod", "a"), failed("rod", "b"))[1].endswith(
        "| and so with 1 other part"
    )
    three = unsprung(*(failed("rod", n) for n in "abc"))
    assert three[1].endswith("| and so with 2 other parts")
    assert three[0].count("; if ") == 2


def stress(value=5e8, rank=FITS, *, untabled=False):
    facts = {
        "places": ("coils", "hook bend"),
        "index": 1,
        "share": 0.75,
        "untabled": untabled,
    }
    more = {"value": value, "limit": 9e8, "kind": "stress", "facts": facts}
    return said("spring-stress", about=SPRING, rank=rank, **more)


def test_where_a_spring_is_stressed_and_what_is_allowed():
    sentence, line = stress()
    assert (
        sentence
        == "spring `near`: 500 MPa in its hook bend, 900 MPa allowed (75% of the tensile strength)"
    )
    assert line == "spring `near` has 500 MPa in its hook bend | 900 MPa allowed"
    sentence, line = stress(1e9, BAD)
    assert sentence.endswith(": it will stay longer or break")
    assert (
        line
        == "spring `near` will stay longer or break | 1000 MPa in its hook bend, 900 MPa allowed"
    )
    for words in stress(untabled=True, rank=LOOK):
        assert "no strength is tabled" in words
        assert "allowed" not in words
    for words in stress(math.nan, BAD):
        assert "could not be worked out" in words


def hand(
    rank, *, known=True, slack=0.0, over=0.0, long=(90 * MM, 120 * MM), what="pulls"
):
    facts = {
        "shaft": "spindle",
        "what": what,
        "known": known,
        "slack": slack,
        "over": over,
    }
    facts |= {"load": (-10.0, -20.0), "long": long}
    return said("spring-hand", about=SPRING, rank=rank, facts=facts)


def test_whether_a_spring_shuts_and_with_how_much():
    sentence, line = hand(FITS)
    assert sentence.endswith(
        "10.0 N at the start, 20.0 N at the end, 90.0 mm to 120.0 mm long"
    )
    assert line.endswith("| 10.0 N at first, 20.0 N at the end")
    sentence, line = hand(FITS, long=None)
    assert sentence.endswith("10.000 N·m at the start, 20.000 N·m at the end")
    assert line.endswith("| 10.000 N·m at first, 20.000 N·m at the end")
    sentence, line = hand(BAD)
    assert sentence.endswith(
        "it pulls spindle the opening way through the whole travel"
    )
    assert (
        line
        == "spring `near` is of the wrong hand | it pulls `spindle` open through the whole travel"
    )
    assert hand(BAD, slack=MM)[0].endswith("travel, slack at idle")
    assert hand(BAD, over=MM)[0].endswith("travel, driven past its greatest length")
    for words in hand(BAD, known=False):
        assert "could not be worked out" in words


@pytest.mark.parametrize(
    ("until", "words"),
    [(20 * MM, "carries from pad 20.0 mm on"), (math.nan, "never carries")],
)
def test_how_slack_a_spring_hangs(until, words):
    facts = {"installed": 90 * MM, "free": 100 * MM, "until": until}
    more = {"about": SPRING, "kind": "length", "facts": facts}
    sentence, line = said("spring-slack", rank=BAD, value=10 * MM, **more)
    assert (
        "hangs slack at idle by 10.0 mm: 90.0 mm installed, 100.0 mm free; it " + words
        in sentence
    )
    assert line.endswith("slack at idle by 10.0 mm | 90.0 mm installed, 100.0 mm free")
    sentence, line = said("spring-slack", value=0.0, **more)
    assert sentence.endswith("is loaded at idle: 90.0 mm installed, 100.0 mm free")
    assert line == "spring `near` is loaded at idle | 90.0 mm installed, 100.0 mm free"


def test_a_kickdown_lever_stops_the_plate_or_never_does():
    more = {"about": Ref("throttle", "kickdown"), "value": 0.9, "kind": "fraction"}
    for words in said("kickdown", facts={"main": "throttle"}, **more):
        assert "never stops the plate" in words
    sentence, line = said("kickdown", rank=BAD, facts={"main": "throttle"}, **more)
    assert "meets its end first, with throttle at 90.0%" in sentence
    assert line.startswith("the kickdown lever stops the plate at 90.0%")


@pytest.mark.parametrize(
    ("moves", "words"),
    [((True, False), "rolled either way too"), ((False, True), "risen and sunk off a lost mount too"), ((True, True), "rolled either way and risen and sunk")],
)  # fmt: skip
def test_what_holds_with_the_engine_moved(moves, words):
    for told in said("engine-senses", about=Ref("engine"), facts={"moves": moves}):
        assert f"with the engine {words}" in told
    facts = {"roll": 2 * DEG, "lift": 0.0, "seen": "behind", "used": {}}
    sentence, line = said("engine-senses", about=Ref("engine"), rank=BAD, facts=facts)
    assert (
        "2.0° anticlockwise seen from behind a rod does not reach any more" in sentence
    )
    assert line.startswith(sentence)


def foot(rank=FITS, late=0.0, stopped=1):
    stops = (Ref("full stop", "throttle"), Ref("pedal stop"), Ref("floor"))
    loads = {"rods": {"a": 300.0, "b": -400.0}, "torque": 8.0}
    loads["clamps"] = {Ref("arm", "x", "small"): 3.0, Ref("arm", "x", "big"): 12.0}
    facts = {"foot": 500.0, "stops": stops, "stopped": stopped, "late": late}
    facts |= {
        "may take": stops[:1],
        "stop": 460.0,
        "stiffness": 24e3,
        "passed on": 40.0,
        "spared": False,
        "floor": 76 * MM,
        "sprung": False,
    }
    facts |= {"without": loads, "until": loads | {"torque": 2.0}}
    return said(
        "stamp-load",
        about=Ref("pedal"),
        rank=rank,
        value=8.0,
        kind="torque",
        facts=facts,
    )


def test_what_takes_a_stamped_foot():
    sentence, line = foot()
    assert (
        "a foot of 500 N at pad 50.0 mm is taken by the pedal stop, 460 N on it; without it:"
        in sentence
    )
    assert "rod `a` pulled with 300 N, rod `b` pushed with 400 N" in sentence
    assert (
        "12.0 N·m on the clamp of `x.big`, 8.0 N·m on the full stop of throttle"
        in sentence
    )
    assert line == "the pedal stop takes a foot of 500 N | 460 N on it"
    assert "taken by the floor, 460 N" in foot(stopped=2)[0]
    sentence, _ = foot(late=MM, stopped=0)
    assert "comes 1.0 mm after the full stop of throttle, and until then" in sentence
    assert "24 N/mm stiff at the pad, takes 40 N: rod" in sentence
    assert "2.0 N·m on the full stop of throttle; without it:" in sentence
    # Of next to nothing no word is lost.
    assert "until then" not in foot(late=0.04 * MM, stopped=0)[0]
    assert "until then" in foot(late=0.05 * MM, stopped=0)[0]
    sentence, line = foot(LOOK, stopped=0)
    assert (
        "no pedal stop takes a foot of 500 N at pad 50.0 mm; the full stop of throttle does"
        in sentence
    )
    assert line == "no pedal stop takes a foot of 500 N | it loads a rod with 400 N"
    sentence, line = foot(LOOK, late=3 * MM, stopped=0)
    assert (
        "comes 3.0 mm after the full stop of throttle, too late for a foot of 500 N"
        in sentence
    )
    assert line.startswith("the pedal stop comes 3.0 mm too late | a foot of 500 N")
