"""Slips that were judged: what a layout would break if one had been made."""

from __future__ import annotations

import pytest

from linkage.rules.engine import judge
from linkage.rules.examine import examine
from linkage.rules.order import FORCE_CODES
from linkage.slips.judging import _one
from tests.unit.edits import TRUCK, edited


@pytest.mark.parametrize(
    ("name", "needs", "bad"),
    [
        (TRUCK, ("motion",), ()),
        (TRUCK, ("forces",), ()),
        ("fault-wrong-sense", ("motion",), ("opening-sense", "spring-pedal")),
        ("fault-spring-wrong-hand", ("forces",), ("spring-hand",)),
    ],
)
def test_a_slip_is_told_by_the_rules_that_it_breaks(name, needs, bad):
    assert _one(None, judge(examine(edited(name)), needs), 0).bad == bad


def test_where_nothing_can_be_judged_that_is_what_is_wrong():
    """Pressing shuts the plate, so that no rule of forces has anything to say."""
    judged = judge(examine(edited("fault-wrong-sense")), ("forces",))
    assert not judged.ranks
    bad = _one(None, judged, 0).bad
    assert {"closing-torque", "energy-sources", "spring-hand"} <= set(bad)
    assert set(bad) <= {code for code, rows in judged.mute.items() if rows[0]}
    assert set(bad) & FORCE_CODES
