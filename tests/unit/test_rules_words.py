"""What a rule says of what it found, from outcomes made up for it."""

from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np
import pytest

from linkage.forces import INTACT, failed
from linkage.model.refs import Ref
from linkage.rules import Outcome, examine, judge
from linkage.rules.rule import BAD, FITS, LOOK
from tests.build import four_bar
from tests.sprung import line_spring, with_bearings, with_springs
from tests.unit.ruled import rule
from tests.unit.test_rules_forces import layout, pair


def said(code, **parts):
    """Return the sentence and the line of a rule on an outcome."""
    mine = rule(code)
    o = Outcome(**{"about": Ref("rod", "one"), "rank": FITS, "at": 0.05, **parts})
    line = mine.short(o)
    assert line[0]  # what is found; its number may be left out
    return mine.words(o), " | ".join(line)


@pytest.mark.parametrize(
    ("pulls", "one", "other"), [(True, "pull", "push"), (False, "push", "pull")]
)
def test_a_rod_turns_from_what_it_does_first(pulls, one, other):
    facts = {"pulls": pulls, "hole": Ref("arm", "spindle", "lever")}
    sentence, line = said("rod-sense", facts=facts)
    assert f"`one` {one}" in sentence
    assert f"`one` {one}" in line
    assert other not in sentence + line
    sentence, line = said("rod-sense", rank=BAD, facts=facts)
    assert f"`one` {one}" in sentence
    assert "turns over at pad 50.0 mm" in sentence
    assert f"turns from {one} to {other} at 50.0 mm of pad" in line


@pytest.mark.parametrize(
    ("way", "one", "other"), [(1, "pull", "push"), (-1, "push", "pull")]
)
def test_a_load_turns_from_what_it_is_first(way, one, other):
    facts = {"way": way, "pull": 20.0, "push": 7.0}
    most = {"pull": "20.0 N", "push": "7.0 N"}
    told = said("pull-changes", facts=facts)
    assert f"{one}, {most[one]} at most" in told[0]
    assert told[1].startswith(told[0])
    assert most[other] not in told[0]
    for words in said("pull-changes", rank=LOOK, facts=facts):
        assert f"turns from {one} to {other} at pad 50.0 mm" in words
    assert "carries nothing" in said("pull-changes", facts={**facts, "way": 0})[0]


def pushed(**facts):
    more = {"foot": False, "late": 0.0, "euler": 900.0, "share": 0.5}
    return said("rod-push", value=120.0, limit=450.0, facts={**more, **facts})


def test_a_push_is_told_beside_what_buckles_and_what_is_allowed():
    sentence, line = pushed()
    assert "is pushed with 120.0 N at pad 50.0 mm" in sentence
    assert "it buckles at 900 N (Euler" in sentence
    assert "and 50% of that is allowed" in sentence
    assert "`one` is pushed with 120 N | 450 N is allowed" in line
    assert "foot" not in sentence + line
    sentence, line = pushed(foot=True)
    assert "under a stamped foot at pad" in sentence
    assert "by a foot" in line
    assert "1.5 mm after the full stop" in pushed(foot=True, late=1.5e-3)[0]
    assert "full stop" not in pushed(foot=False, late=1.5e-3)[0]
    for words in pushed(euler=None):
        assert "not checked" in words
        assert "diameter" in words


def fallen(**facts):
    parts = {"index": 0, "failures": (INTACT, failed("spring", "far")), "whole": 0.123}
    more = {"stuck": math.nan, "why": "vehicle up to 4536 kg", "estimated": False}
    value = facts.pop("value", 0.456)
    return said(
        "time-to-idle",
        about=Ref("throttle", "throttle"),
        value=value,
        limit=1.0,
        facts={**parts, **more, **facts},
    )


def test_time_to_idle_is_told_to_the_hundredth_with_what_failed():
    sentence, line = fallen(index=1)
    assert "is at idle after 0.46 s with spring `far` off (0.12 s with nothing failed)" in sentence  # fmt: skip
    assert "up to 1.0 s is allowed, vehicle up to 4536 kg" in sentence
    assert "takes 0.46 s to idle with spring `far` off | up to 1.0 s is allowed" in line
    sentence, line = fallen()
    assert "after 0.46 s with nothing failed; up" in sentence
    assert "estimated" not in sentence
    assert fallen(estimated=True)[0].endswith("; inertia estimated from sizes")
    assert "(" not in fallen(index=1, whole=math.nan)[0].split(";")[0]
    sentence, line = fallen(value=math.inf, stuck=0.02)
    assert "comes to rest at pad 20.0 mm" in sentence
    assert "stops at 20.0 mm of pad" in line


def test_one_layouts_number_is_a_number():
    from linkage.rules.states import States

    one, two = (SimpleNamespace(rows=n) for n in (1, 2))
    values = np.array([2.0, 3.0])
    assert isinstance(States.number(one, values[:1]), float)
    assert States.number(two, values).shape == (2, 1)


def shutting(name="throttle", code="closing-torque", part=(), **facts):
    parts = {"torque": 0.5, "lost": 0.2, "idle": (21.0, 9.0), "full": (33.0, -1.0)}
    value = facts.pop("value", 2.5)
    return said(
        code,
        about=Ref("throttle", name),
        part=part,
        rank=facts.pop("rank", FITS),
        value=value,
        limit=2.0,
        kind=facts.pop("kind", "ratio"),
        facts={**parts, "radius": 0.03, "dirt": 2.0, **facts},
    )


def test_closing_torque_is_told_against_friction_and_as_a_pull():
    sentence, line = shutting()
    assert "throttle: closing torque is 2.5 times the friction, 0.500 N·m against 0.200 N·m" in sentence  # fmt: skip
    assert "at least 2.0 times is asked" in sentence
    assert (
        "30.0 mm from the spindle: at idle 21.0 N opening, 9.0 N letting go" in sentence
    )
    assert "at full 33.0 N opening, 0.0 N letting go" in sentence
    assert line == "closing torque is 2.5 times the friction | 2.0 is asked"
    assert "closing torque of plate `rear` is 2.5 times" in shutting("rear")[1]
    assert "is only 1.5 times" in shutting(value=1.5, rank=BAD)[1]
    locked = shutting(full=(math.inf, -math.inf))[0]
    assert "at full it moves neither way" in locked


@pytest.mark.parametrize(
    ("torque", "lost", "value", "sentence", "line"),
    [
        (0.5, 0.0, math.inf, "0.500 N·m of closing torque and no friction", "there is no friction"),
        (0.5, math.inf, 0.0, "friction locks it", "friction locks the plate"),
        (-0.1, 0.2, -0.5, "which does not shut it against 0.200 N·m", "no spring shuts the plate at pad 50.0 mm"),
        (0.0, 0.2, 0.0, "which does not shut it against 0.200 N·m", "no spring shuts the plate at pad 50.0 mm"),
    ],
)  # fmt: skip
def test_where_there_is_no_ratio_that_is_said(torque, lost, value, sentence, line):
    facts = {"torque": torque, "lost": lost, "value": value}
    for code, part in (
        ("closing-torque", ()),
        ("closing-torque-one-off", (failed("rod", "a"),)),
    ):
        words = shutting(code=code, part=part, **facts)
        assert sentence in words[0]
        assert line in words[1]
        assert ("with rod `a` parted" in words[0]) == bool(part)
        assert words[1].startswith("with rod `a` parted ") == bool(part)


@pytest.mark.parametrize(("rank", "word"), [(LOOK, ": weak,"), (BAD, ": too weak,")])
def test_a_low_torque_is_weak_or_too_weak(rank, word):
    for code, part in (
        ("closing-torque", ()),
        ("closing-torque-one-off", (failed("rod", "a"),)),
    ):
        words = shutting(
            code=code, part=(*part, "floor"), rank=rank, value=0.2, kind="torque"
        )
        assert word in words[0]
        assert (
            "only 0.200 N·m of closing torque at the spindle at pad 50.0 mm" in words[0]
        )
        assert (
            "only 0.200 N·m shuts the plate | at pad 50.0 mm, 2.000 N·m is asked"
            in words[1]
        )
        assert ("with rod `a` parted" in words[0]) == bool(part)


def test_of_which_shafts_the_drag_was_measured():
    facts = {"measured": {"spindle": True, "pedal": False}, "throttle": "spindle"}
    about = Ref("all", "shafts")
    sentence, line = said("drag-unmeasured", about=about, facts=facts)
    assert sentence == "drag was measured at `spindle`"
    assert line.startswith(sentence)
    for words in said("drag-unmeasured", about=about, rank=LOOK, facts=facts):
        assert words.startswith("the drag of no shaft was measured")


def test_weight_is_told_of_the_pads_force_where_there_is_any():
    """About upright shafts nothing is lifted."""
    x = four_bar(60, 200, 60, 200, 60, travel_mm=500, swing_deg=20)
    spring = line_spring("a", "lever.pin", (300, -100, 0))
    upright = with_springs(with_bearings(x, 10), spring)
    across = layout(*pair())
    told = {}
    for name, one in (("upright", upright), ("across", across)):
        (found,) = [f for f in judge(examine(one)).findings() if f.code == "pad-force"]
        told[name] = found.text
    assert "(`a` 3.0 N, friction 0.7 N), 2.3 N releasing there" in told["upright"]
    assert ", weight " in told["across"]
