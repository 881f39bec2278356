"""What rules of angles, springs and the engine say, from outcomes made up for it."""

from __future__ import annotations

import math

import pytest

from linkage.model.refs import Ref
from linkage.rules import Outcome
from linkage.rules.rule import BAD, FITS, LOOK
from tests.unit.ruled import rule
from tests.unit.test_rules_words import said

ARM = Ref("arm", "spindle", "lever")
OTHER = Ref("arm", "pedal", "rod")
DEG = math.radians(1)
MM = 1e-3


@pytest.mark.parametrize(
    ("rank", "strong", "word"),
    [
        (FITS, False, "; in order"),
        (LOOK, False, "; look: it gets heavy"),
        (LOOK, True, "; look hard: wear"),
        (BAD, True, "; it is too near to dead centre"),
    ],
)
def test_how_flat_an_arm_lies_to_its_rod(rank, strong, word):
    facts = {"start": 80 * DEG, "end": 30 * DEG, "strong": strong}
    facts["slack"] = (False, False)
    more = {"value": 25 * DEG, "limit": 45 * DEG, "kind": "angle", "part": (ARM,)}
    sentence, line = said("arm-rod-angle", rank=rank, facts=facts, **more)
    assert "`one` and arm `spindle.lever`: 80.0° at the start, 30.0° at the end" in sentence  # fmt: skip
    assert f"at its flattest 25.0°, at pad 50.0 mm{word}" in sentence
    assert line.startswith("only 25.0° between" if rank else "at its flattest 25.0°")
    assert line.endswith("| at pad 50.0 mm" + ", 45° is asked" * bool(rank))


def dead(side, rank=FITS, *, both=False):
    facts = {"pad": 12 * MM, "both": both, "other": OTHER}
    more = {"value": 9 * DEG, "limit": 15 * DEG, "kind": "angle", "part": (ARM, side)}
    return said("dead-centre", rank=rank, facts=facts, **more)


def test_how_near_dead_centre_is():
    sentence, line = dead("full")
    assert "9.0° of spindle or 12.0 mm of pad beyond the full end" in sentence
    assert "either way" not in sentence
    assert "dead centre is 12.0 mm of pad past full | arm" in line
    assert line.endswith("after 9.0° more")
    sentence, line = dead("full", BAD)
    assert line.startswith("dead centre is only 12.0 mm")
    assert line.endswith("after 9.0° more, 15° asked")
    sentence, line = dead("inside", BAD)
    assert "arm `spindle.lever` comes into line with rod `one` within the travel, at pad 50.0 mm" in sentence  # fmt: skip
    assert "it can lock at 50.0 mm of pad" in line
    for side in ("inside", "full"):
        sentence, _ = dead(side, BAD, both=True)
        assert "arms `spindle.lever` and `pedal.rod` come into line" in sentence
        assert "may go either way" in sentence
    sentence, line = said("dead-centre", about=Ref("all", "rods"))
    assert "no arm comes into line" in sentence
    assert line.startswith("no dead centre is near")


def pedal(**facts):
    rank = facts.pop("rank", FITS)
    usual = {
        "kind": "extension",
        "shaft": "spindle",
        "seen": "the right",
        "sense": -1.0,
    }
    usual |= {"against": True, "along": False, "plate": "throttle", "holds_open": False}
    usual |= {"shut": False, "pedal": False, "from": 90 * MM, "to": 120 * MM}
    about = Ref("spring", "near")
    return said("spring-pedal", about=about, rank=rank, facts={**usual, **facts})


def test_a_spring_against_the_pedal_tells_how_far_it_is_worked():
    sentence, line = pedal()
    assert "works against the pedal: pressing stretches it by 30.0 mm, from 90.0 mm to 120.0 mm" in sentence  # fmt: skip
    assert line == "spring `near` works against the pedal | pressing stretches it"
    # Where it goes the other way as a whole, no length is told.
    assert "mm" not in pedal(to=80 * MM)[0]
    assert (
        "by 30.0 mm"
        in pedal(kind="compression", **{"from": 120 * MM, "to": 90 * MM})[0]
    )
    assert "mm" not in pedal(kind="compression")[0]
    angle = {"kind": "torsion", "from": 0.0, "to": -20 * DEG}
    assert "by 20.0°" in pedal(**angle)[0]
    assert "°" not in pedal(kind="torsion", **{"from": 0.0, "to": 0.0})[0]


def test_a_spring_with_the_pedal_or_that_holds_the_plate_open():
    with_it = {"against": False, "along": True, "rank": BAD}
    sentence, line = pedal(**with_it, to=60 * MM)
    assert (
        "works with the pedal: it pulls spindle clockwise seen from the right"
        in sentence
    )
    assert "it shuts throttle, as pressing does too" in sentence
    assert "by 30.0 mm, from 90.0 mm to 60.0 mm" in sentence
    assert line == "spring `near` pulls the pedal down | it turns `spindle` clockwise seen from the right, as pressing does"  # fmt: skip
    for silent in ({"plate": ""}, {"holds_open": True}):
        assert "it shuts" not in pedal(**with_it, **silent)[0]
    sentence, line = pedal(rank=BAD, holds_open=True, sense=1.0)
    assert "but it holds throttle open: it pulls spindle anticlockwise" in sentence
    assert line.startswith(
        "spring `near` holds the plate open | it turns `spindle` anti"
    )


def test_a_spring_that_works_no_way_or_an_unknown_one():
    for words in pedal(rank=LOOK, against=False):
        assert "neither against the pedal nor with it" in words
    sentence, line = pedal(rank=BAD, sense=math.nan, kind="torsion")
    assert "is not known; `shuts` says so" in sentence
    assert line.startswith("which way spring `near` turns `spindle` is not known |")


def stretched(**facts):
    rank, value = facts.pop("rank", LOOK), facts.pop("value", 1.5)
    usual = {
        "length": 150 * MM,
        "free": 100 * MM,
        "worked": 50 * MM,
        "measured": math.inf,
    }
    usual |= {"beyond": False, "asked": 2.0, "pressed": False}
    more = {"value": value, "limit": 2.0, "kind": "ratio", "digits": 2}
    about = Ref("spring", "near")
    return said(
        "spring-stretch", about=about, rank=rank, facts={**usual, **facts}, **more
    )


def test_how_far_a_spring_of_unknown_length_is_taken():
    sentence, line = stretched()
    assert (
        "it is 150.0 mm long, 1.50 times its free length of 100.0 mm; whether"
        in sentence
    )
    assert line.endswith("is not known | 1.50 times its free length at pad 50.0 mm")
    sentence, line = stretched(rank=BAD, value=2.5)
    assert "beyond 2.0 times it is not to be fitted" in sentence
    assert line.endswith(", more than 2.0")
    sentence, line = stretched(rank=BAD, beyond=True, measured=20 * MM)
    assert "and stretched 50.0 mm where it was measured over 20.0 mm only" in sentence
    assert line.endswith("| stretched 50.0 mm, measured over 20.0 mm only")
    sentence, line = stretched(pressed=True, length=60 * MM, worked=40 * MM)
    assert (
        "pressed together by 40.0 mm of the 100.0 mm it is long when free" in sentence
    )
    assert "solid length" in sentence
    assert line.endswith("| 40.0 mm of 100.0 mm")
    assert "by 0.0 mm" in stretched(pressed=True, worked=-5 * MM)[0]
    for words in stretched(value=math.nan):
        assert "could not be worked out" in words


def driven(over, rank, *, pressed=False):
    more = {"value": 150 * MM, "limit": 140 * MM, "kind": "length"}
    facts = {"over": over, "pressed": pressed}
    return said("spring-overstretched", about=Ref("spring", "near"), rank=rank, facts=facts, **more)  # fmt: skip


def test_how_far_a_spring_is_driven_past_its_length():
    sentence, line = driven(0.0, FITS)
    assert sentence.endswith(
        "is 150.0 mm long at pad 50.0 mm; its greatest length is 140.0 mm"
    )
    assert "stays within its greatest length" in line
    sentence, line = driven(10 * MM, BAD)
    assert "driven 10.0 mm past it and stays longer" in sentence
    assert "is stretched 10.0 mm too far" in line
    sentence, line = driven(10 * MM, BAD, pressed=True)
    assert "the plate cannot move 10.0 mm of it" in sentence
    assert "its solid length" in sentence
    assert "goes solid" in line
    for words in driven(math.nan, BAD):
        assert "could not be worked out" in words


def test_how_far_a_moved_engine_moves_the_plate():
    more = {"about": Ref("throttle", "throttle"), "kind": "angle", "limit": 6 * DEG}
    facts = {"roll": 3 * DEG, "idle": (1 * DEG, -2 * DEG), "full": (4 * DEG, -5 * DEG)}
    facts |= {"look": 6 * DEG, "refuse": 12 * DEG}
    sentence, line = said("engine-rock", value=5 * DEG, facts=facts, **more)
    assert (
        "rolled 3.0° either way moves throttle by 5.0° at most, at pad 50.0 mm"
        in sentence
    )
    assert (
        "by 1.0° and -2.0° with the pedal up, by 4.0° and -5.0° with it down"
        in sentence
    )
    assert "over 6.0° asks for a look, over 12.0° is bad" in sentence
    assert line.endswith("by 5.0° | rolled 3.0° either way; up to 6.0° is in order")
    facts = {"roll": 3 * DEG, "lift": 10 * MM, "seen": "behind", "refuse": 12 * DEG}
    sentence, line = said("mount-gone", value=5 * DEG, facts=facts, **more)
    assert "opens throttle by 5.0° at pad 50.0 mm; over 12.0° is bad" in sentence
    assert "off a lost mount opens the plate by 5.0°" in line
    for words in said("mount-gone", value=0.0, facts=facts, **more):
        assert "does not open" in words
    for code, value in (("engine-rock", math.nan), ("mount-gone", math.nan)):
        more_facts = facts | {"idle": (), "full": (), "look": 0.0}
        for words in said(code, value=value, facts=more_facts, **more):
            assert words.startswith("with the engine rolled 3.0°")
            assert "tears or jams" in words


@pytest.mark.parametrize(
    ("start", "end", "value", "rank", "sentence", "line"),
    [
        (12, 15, 10, FITS, "keeps 10.0 mm of torque arm about spindle, least at pad 50.0 mm", "keeps 10.0 mm of arm about `spindle` | "),
        (12, 15, 5, LOOK, "keeps 5.0 mm of torque arm", "keeps only 5.0 mm of arm about `spindle` | at least 8.0 mm"),
        (12, -3, -3, BAD, "crosses spindle at pad 20.0 mm and holds it open", "crosses `spindle` and holds it open | from pad 20.0 mm on"),
        (-12, -3, -12, BAD, "it is on the wrong side; at least", "works the opening way from the start"),
        (-12, 3, -12, BAD, "wrong side and shuts only from pad 30.0 mm on", "works the opening way from the start"),
        (0, -3, -3, BAD, "passes through spindle at the start; at least", "works the opening way from the start"),
        (0, 3, 0, BAD, "passes through spindle at the start and shuts only from pad 30.0 mm", "works the opening way"),
    ],
)  # fmt: skip
def test_on_which_side_a_springs_line_runs(start, end, value, rank, sentence, line):
    facts = {"shaft": "spindle", "start": start * MM, "end": end * MM}
    facts |= {"opens": 20 * MM, "shuts": 30 * MM}
    more = {"value": value * MM, "limit": 8 * MM, "kind": "length", "rank": rank}
    words = said("spring-line", about=Ref("spring", "near"), facts=facts, **more)
    assert sentence in words[0]
    assert line in words[1]
    assert "at least 8.0 mm is asked" in words[0]


@pytest.mark.parametrize(
    ("facts", "rank", "told"),
    [
        ({"plate": ""}, BAD, True),
        ({"plate": ""}, FITS, False),
        ({"plate": "", "shut": False}, BAD, False),
        ({"plate": "throttle"}, BAD, False),
        ({"plate": "", "pedal": True}, BAD, False),
    ],
)
def test_a_spring_between_is_looked_at_again_once_pressing_opens_the_plate(
    facts, rank, told
):
    usual = {"shaft": "cross shaft", "shut": True, "pedal": False}
    o = Outcome(
        about=Ref("spring", "near"), rank=rank, at=0.0, facts={**usual, **facts}
    )
    assert bool(rule("spring-pedal").advice(o)) == told
