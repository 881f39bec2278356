"""A cable from the hand lever: its bends, slack, wire and its sheath with the engine moved."""

from __future__ import annotations

import numpy as np
import pytest

from linkage import check, loads
from linkage.connect.wire import breaking_load
from linkage.report.unjudged import unjudged
from linkage.rules import examine, judge
from tests.bad.layouts import CONFIGS

WHOLE = (CONFIGS / "hand-and-foot.toml").read_text(encoding="utf-8")
CABLE = """[cables.hand]
from           = "hand.rod"
to             = "spindle.hand"
sheath_from    = [170, -90, 180]
sheath_through = [[230, -90, 170], [330, -90, 130]]
sheath_to      = [390, -90, 112]
wire           = 1.5
slack          = 1.5
"""
SHARP = "sheath_through = [[230, -90, 230], [250, -90, 170], [330, -90, 130]]"
GENTLE = "sheath_through = [[230, -90, 170], [330, -90, 130]]"


def text(*pairs):
    """Return the starter with a cable from its hand lever, some of it changed."""
    start, end = WHOLE.index("[rods.hand]"), WHOLE.index("# 5.")
    out = WHOLE[:start] + CABLE + "\n" + WHOLE[end:]
    for old, new in pairs:
        assert old in out
        out = out.replace(old, new)
    return out


def told(*pairs):
    """Return by code the finding about the hand's cable."""
    found = judge(examine(loads(text(*pairs)).layout)).findings()
    return {
        f.code: f for f in found if f.code.startswith("hand-") and about(f) == "hand"
    }


def about(finding):
    """Return the name of the rod or cable that a finding is about."""
    return finding.outcome.about.name if finding.outcome.about.kind == "rod" else ""


def test_what_was_not_judged_of_it_is():
    codes = {
        "hand-sheath-bend",
        "hand-cable-slack",
        "hand-wire-strength",
        "hand-sheath-loss",
    }
    assert codes <= set(told())
    not_judged = unjudged(check(loads(text()).layout, cures=False))
    assert not any("from the hand lever" in what for what in not_judged)


@pytest.mark.parametrize(
    ("pairs", "code", "verdict"),
    [
        ((), "hand-sheath-bend", "look"),
        (((GENTLE, SHARP),), "hand-sheath-bend", "do not fit"),
        ((), "hand-cable-slack", "fits"),
        ((("slack          = 1.5", "slack = 0"),), "hand-cable-slack", "look"),
        ((("slack          = 1.5", "slack = 6"),), "hand-cable-slack", "look"),
        ((), "hand-wire-strength", "fits"),
        # Pulled on past full the wire bears the hand, as nothing else does.
        ((("travel = 120", "travel = 140"),), "hand-wire-strength", "fits"),
        (
            (("travel = 120", "travel = 140"), ("wire           = 1.5", "wire = 0.8")),
            "hand-wire-strength",
            "do not fit",
        ),
        # A sheath to the engine, long enough, and pulled straight.
        (
            (
                ("sheath_to      = [390", 'sheath_to_on = "engine"\nsheath_to = [390'),
                (GENTLE, "bend = 60\nsheath_length = 245"),
            ),
            "hand-sheath-pulled",
            "fits",
        ),
        (
            (
                ("sheath_to      = [390", 'sheath_to_on = "engine"\nsheath_to = [390'),
                (GENTLE, "bend = 60\nsheath_length = 231"),
            ),
            "hand-sheath-pulled",
            "do not fit",
        ),
    ],
)
def test_each_is_judged_beside_its_sound_twin(pairs, code, verdict):
    found = told(*pairs)[code]
    assert found.verdict == verdict
    assert found.text.startswith("by hand: ")
    for word in ("pedal", "foot", "pad"):
        assert word not in found.text


def test_the_wire_bears_a_hand_and_not_a_foot():
    """The pull at the wire by the lever's arms alone, the throttle hard on its full stop."""
    pairs = (("travel = 120", "travel = 140"),)
    layout = loads(text(*pairs)).layout
    found = told(*pairs)["hand-wire-strength"]
    assert layout.limits.hand_load == 250.0
    # 250 N at 160 mm against the wire at no more than the arm of 66 mm.
    assert found.outcome.facts["pull"] >= 250.0 * 160 / 66 * 0.9
    assert found.value == pytest.approx(
        breaking_load(layout.rods["hand"]) / found.outcome.facts["pull"]
    )
    harder = loads(
        text(*pairs, ("[hand]", "[limits]\nhand_load = 500\n\n[hand]"))
    ).layout
    more = next(
        f for f in judge(examine(harder)).findings() if f.code == "hand-wire-strength"
    )
    assert np.isclose(
        more.outcome.facts["pull"], 2 * found.outcome.facts["pull"], rtol=0.1
    )


def test_a_thicker_wire_mends_it():
    layout = loads(
        text(("travel = 120", "travel = 140"), ("wire           = 1.5", "wire = 0.8"))
    )
    found = next(
        f for f in check(layout.layout).findings if f.code == "hand-wire-strength"
    )
    assert found.cure.proven
    assert found.cure.layout.rods["hand"].wire > 0.8e-3
