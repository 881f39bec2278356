"""What is quiet is not good: what is taken for mended, and what may be offered."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from linkage.model import Hole
from linkage.rules import examine, judge
from linkage.rules.examine import stop_set_last
from linkage.rules.governor_words import GOVERNED
from linkage.rules.order import RULES
from linkage.rules.rule import BAD, FITS, LOOK
from linkage.search import anchors
from linkage.search.family import stacked
from linkage.search.plan import expand
from linkage.search.standing import AT_TIMES, NEVER, QUIET, SET_LAST, WRONG, Standing
from tests.sprung import line_spring
from tests.unit.cured import node_of
from tests.unit.edits import STOP, TRUCK, edited, lever
from tests.unit.test_rules_forces import WRONG as WRONG_SIDE
from tests.unit.test_rules_forces import layout, pair

LEVER = Hole(shaft="spindle", arm="lever")


def against(before, after) -> Standing:
    """Return how one layout stands against another."""
    return Standing(judge(examine(after)), node_of(before).before)


def place_of(of, code: str):
    (place,) = [p for p in node_of(of).places() if p[0] == code]
    return place


def test_every_code_named_is_a_rule():
    codes = {rule.code for rule in (*RULES, *GOVERNED)}
    assert NEVER | WRONG | QUIET | SET_LAST | {code for code, _ in AT_TIMES} <= codes


def test_a_finding_that_vanishes_because_a_rod_jams_is_not_mended():
    """Nothing is said of full throttle where a rod goes no further."""
    short = edited(TRUCK, lever(length=45), (STOP, ""))
    place = place_of(short, "full-throttle")
    jammed = short.with_arm(LEVER, angle=math.radians(120))
    now = against(short, jammed)
    codes = {p[0] for p in node_of(jammed).places()}
    assert "reach" in codes
    assert place[0] not in codes
    assert now.judged.mute["full-throttle"].all()
    assert not now.gone(place).any()
    assert now.harmed.all()
    assert now.barred.all()
    assert now.failing > node_of(short).bad
    sound = against(short, edited(TRUCK))
    assert sound.gone(place).all()
    assert not sound.harmed.any()
    assert not sound.barred.any()
    assert sound.failing == 0


def test_what_another_finding_names_is_not_gone():
    """A spring of the wrong hand moved to where its line crosses the spindle.

    It is of the wrong hand no longer all through: another rule names it.
    """
    wrong = line_spring("far", "spindle.far", WRONG_SIDE, rate=450.0)
    before = layout(pair()[0], wrong)
    place = place_of(before, "spring-hand")
    (family,) = anchors.turned(node_of(before).x.motion, "far")
    stack = stacked([family])
    judged = judge(examine(stack.layout(np.arange(family.size))))
    now = Standing(judged, node_of(before).before)
    crossing = now.told(place_of_line(place)) & ~now.told(place)
    assert crossing.any()
    assert not now.gone(place)[crossing].any()
    assert np.all(judged.ranks[place][crossing] == FITS)  # for it is not told


def place_of_line(place):
    return ("spring-line", *place[1:])


def test_where_nothing_moves_forces_are_not_in_order():
    weak = layout(pair()[0])
    place = place_of(weak, "energy-sources")
    x = examine(weak)
    x.working = replace(x.working, end=x.working.start)
    now = Standing(judge(x), node_of(weak).before)
    assert place not in now.judged.told
    assert not now.gone(place).any()
    assert now.harmed.all()
    assert now.failing > 1


@pytest.mark.parametrize("name", ["fault-wrong-sense", "scenario-wrongly-swapped"])
def test_a_pedal_that_opens_by_less_than_nothing_is_not_offered(name):
    root = node_of(edited(name))
    for k, node in enumerate([root]):
        now = Standing(node.judged, root.before)
        assert node.x.throttle_share < 0
        assert now.barred[k]
        assert not now.harmed[k]  # it is what it was


def test_a_share_that_is_no_number_is_not_offered():
    good = node_of(edited(TRUCK))
    x = examine(edited(TRUCK))
    x.working.opening_at_end[x.layout.main.name] = math.nan
    assert Standing(judge(x), good.before).barred.all()
    assert not Standing(good.judged, good.before).barred.any()


def test_what_could_not_be_judged_before_counts_as_failing_before():
    wrong = edited("fault-wrong-sense")
    before = node_of(wrong).before
    assert "closing-torque" in before.mute
    assert "spring-hand" in before.mute | {p[0] for p in before.told}
    assert before.rank(("closing-torque", None, ())) == BAD
    assert node_of(edited(TRUCK)).before.rank(("closing-torque", None, ())) == FITS


def test_a_rule_that_can_be_judged_no_more_is_harm():
    good, jammed = edited(TRUCK), edited(TRUCK, lever(angle=120), (STOP, ""))
    now = against(good, jammed)
    new = set(now.judged.mute) - node_of(good).before.mute
    assert {"full-throttle", "closing-torque"} <= new
    assert now.harmed.all()


def test_no_row_that_mends_is_barred_or_harmed():
    root = node_of(edited(TRUCK, lever(length=45)))
    found = expand(root, 4.0)
    assert found.fair
    for place, c in {**found.fair, **found.clean}.items():
        solved = stop_set_last(c.tried.stack.one(c.row))
        now = Standing(judge(solved), root.before)
        assert now.gone(place, LOOK)[0]
        assert not now.barred[0]
        assert not now.harmed[0]


def test_what_does_not_fit_anyhow_may_not_be_made_much_worse():
    """A lever too long by half more is no cure of anything, nor a hair longer harm."""
    short = edited(TRUCK, lever(length=40), (STOP, ""))
    much = against(short, edited(TRUCK, lever(length=60), (STOP, "")))
    assert much.harmed.all()
    hair = against(short, edited(TRUCK, lever(length=40.5), (STOP, "")))
    assert not hair.harmed.any()
