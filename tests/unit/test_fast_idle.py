"""Fast idle: the choke opens the throttle a few degrees, no more, and lets it fall back."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage import check, loads
from linkage.comparison import compare
from linkage.config import dump
from linkage.errors import LayoutError, UnitError
from linkage.model import Hand
from linkage.report.answers import answers
from linkage.report.compare import compare_lines
from linkage.report.unjudged import unjudged
from linkage.rules import examine, judge
from tests.bad.layouts import CONFIGS

TEXT = (CONFIGS / "choke-fast-idle.toml").read_text(encoding="utf-8")
LOST = "lost     = 3.5"


def altered(*pairs):
    text = TEXT
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return loads(text).layout


def told(layout):
    return {f.code: f for f in judge(examine(layout)).findings()}


def test_the_starter_fits_and_asks_for_its_fast_idle():
    layout = loads(TEXT).layout
    found = told(layout)
    assert {f.verdict for f in found.values()} == {"fits"}
    # It is meant to hold the throttle so far open: that is no thing to look at.
    assert {"hand-holds", "hand-opens"} & set(found) == set()
    fast = found["hand-fast-idle"]
    assert fast.limit == pytest.approx(math.radians(8))
    assert "stays so until the choke is pushed home" in fast.text
    asked = dict(answers(check(layout, cures=False)))
    assert asked["fast idle?"].startswith("yes, the choke full on opens the plate 8.3°")
    assert "neither moves the other" in asked["fast idle?"]
    assert "by hand?" not in asked


def test_its_opening_against_a_root_finder():
    """From the distance of both pins alone: what is lost, then the rod pulls."""
    layout = loads(TEXT).layout
    shafts = layout.shafts
    pulled = layout.hand.pulls * layout.hand.travel / 0.045

    def apart(choke, spindle):
        one = np.array(shafts["choke"].pin("fast", choke))
        return float(
            np.linalg.norm(one - np.array(shafts["spindle"].pin("fast", spindle)))
        )

    length = apart(0.0, 0.0) + 3.5e-3
    opening = brentq(lambda turn: apart(pulled, turn) - length, 0.0, 0.5, xtol=1e-12)
    assert told(layout)["hand-fast-idle"].value == pytest.approx(opening, abs=1e-6)


@pytest.mark.parametrize(
    ("lost", "verdict", "says"),
    [
        ("lost     = 0.5", "do not fit", "the engine races"),
        ("lost     = 2.2", "look", "the engine races"),
        ("lost     = 5", "look", "a cold engine stalls"),
        ("lost     = 20", "do not fit", "it does not open it"),
    ],
)
def test_too_far_too_little_and_nothing_at_all_are_named(lost, verdict, says):
    found = told(altered((LOST, lost)))["hand-fast-idle"]
    assert found.verdict == verdict
    assert says in found.text
    assert found.cure is not None  # what to do, before any is sought


def test_too_far_is_mended_by_setting_its_rod():
    result = check(altered((LOST, "lost     = 0.5")))
    assert result.verdict == "do not fit"
    assert result.plan is not None
    assert result.plan.steps[0].startswith("set rod `fast` so that it loses")
    after = check(result.plan.layout, cures=False)
    assert after.verdict == "fits"


def test_the_choke_on_leaves_the_pedal_its_whole_travel():
    """Whichever opens further has it; the pin has way left in the choke's slot then."""
    x = examine(loads(TEXT).layout)
    assert float(x.throttle_share) == pytest.approx(1.0)
    shafts = x.layout.shafts
    pulled = x.layout.hand.pulls * x.layout.hand.travel / 0.045
    length = x.assembly.loop("fast").length

    def spare(choke, spindle):
        one = np.array(shafts["choke"].pin("fast", choke))
        two = np.array(shafts["spindle"].pin("fast", spindle))
        return abs(float(np.linalg.norm(one - two)) - float(length))

    full = x.motion.turns["spindle"][-1]
    assert spare(pulled, full) < 0.053
    found = told(altered(("slot     = 53", "slot     = 40")))
    assert found["pedal-drags-hand"].verdict == "do not fit"


def test_a_pedal_without_a_slot_is_dragged_by_the_choke():
    found = told(altered(("slot     = 48\nlost     = 0.5\n", "")))
    assert found["hand-drags-pedal"].verdict == "do not fit"


def test_pushed_home_it_must_let_the_throttle_shut():
    """Springs too weak against friction keep the throttle up when the choke goes home."""
    weak = altered(('rate            = "0.45 N/mm"', 'rate            = "0.02 N/mm"'))
    found = told(weak)
    assert "do not fit" in {
        found[c].verdict for c in found if c.endswith("closing-torque")
    }


@pytest.mark.parametrize("wanted", ["0", "-3", "21", '"90 deg"'])
def test_what_is_no_fast_idle_is_refused_at_its_line(wanted):
    with pytest.raises(
        LayoutError, match="a fast idle opens the throttle by a few"
    ) as found:
        altered(("fast_idle = 8", f"fast_idle = {wanted}"))
    assert found.value.place.key == "hand.fast_idle"
    assert found.value.place.line


def test_a_fast_idle_in_another_unit_is_refused():
    with pytest.raises(UnitError):
        altered(("fast_idle = 8", 'fast_idle = "8 mm"'))


def test_it_is_written_as_it_was_read():
    layout = loads(TEXT).layout
    assert loads(dump(layout)).layout == layout
    assert "fast_idle" in dump(layout)


def test_rows_say_what_each_says_alone():
    layout = loads(TEXT).layout
    wanted = np.radians([[2.0], [8.0], [math.nan]])
    many = replace(layout, hand=replace(layout.hand, fast_idle=wanted))
    judged = judge(examine(many))
    (place,) = (p for p in judged.ranks if p[0] == "hand-fast-idle")
    assert np.ravel(judged.ranks[place])[:2].tolist() == [2, 0]
    assert judged.told[place].tolist() == [True, True, False]
    holds = next(p for p in judged.ranks if p[0] == "hand-holds")
    assert judged.told[holds].tolist() == [False, False, True]


def test_what_waits_is_named_by_what_is_asked():
    """Of a hand throttle nothing is said of a fast idle, and the other way round."""
    jammed = altered(("slot     = 48", "slot     = 20"))
    words = " ".join(unjudged(check(jammed, cures=False)))
    assert "a hand lever left pulled" not in words


def test_a_fast_idle_and_a_hand_throttle_are_compared():
    one = loads(TEXT).layout
    two = replace(one, hand=replace(one.hand, fast_idle=None))
    words = " ".join(" ".join(compare_lines(compare(one, two))).split())
    assert "opens as far as it may (was one that is to open 8.0°, a fast idle)" in words


def test_a_hand_of_given_numbers_is_one():
    hand = Hand(shaft="a", lever="b", travel=0.1, pulls=1, fast_idle=math.radians(6))
    assert hand.as_pedal.travel == 0.1
