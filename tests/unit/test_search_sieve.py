"""What is looked at more shortly than it could be, and gives the same answers."""

from __future__ import annotations

import numpy as np
import pytest

import linkage
from linkage.config.starters import starter
from linkage.model import Hole
from linkage.motion import assemble, jam, sweep
from linkage.motion.sweep import sweep_up_to
from linkage.motion.working import working_travel
from linkage.report.findings import check_data
from linkage.rules import examine, judge, moved, states
from linkage.rules.examine import COARSE
from linkage.rules.order import AT_REST, BY_CODE
from linkage.rules.rule import BAD
from linkage.rules.states import looked_at, movements
from linkage.search import changes, engine
from linkage.search.engine import Budget, tries
from linkage.search.expansion import Expansion
from linkage.search.family import stacked
from linkage.search.sieve import in_steps
from linkage.slips import judging, suspected
from tests.bad.layouts import bad_text
from tests.unit.cured import node_of
from tests.unit.edits import TRUCK, edited

FAULTS = (
    "fault-lever-clocked-late",
    "fault-springs-too-weak",
    "fault-hand-fights-pedal",
    "fault-kickdown-first",
)
LEVER = Hole(shaft="spindle", arm="lever")
ENGINE = ('roll    = "2 deg"', 'roll = "2 deg"\nlift = "14 mm"')


def text_of(name):
    return bad_text(int(name)) if name.isdigit() else starter(name).path.read_text()


def loaded(name):
    return linkage.loads(text_of(name)).layout


def judged_by(monkeypatch, module):
    """Return of how many rows each call asked all rules, and of how many those at rest."""
    dear, cheap = [], []
    real = module.judge

    def judging_(x, needs, *, rules=None, **named):
        if "forces" in needs:
            (dear if rules is None else cheap).append(x.rows)
        return real(x, needs, rules=rules, **named)

    monkeypatch.setattr(module, "judge", judging_)
    return dear, cheap


@pytest.mark.parametrize("name", [*FAULTS, "17", "142"])
def test_cures_are_those_that_are_found_where_every_rule_is_asked_of_all(
    name, monkeypatch
):
    layout = loaded(name)
    assert in_steps(layout, ("forces",))
    short = check_data(linkage.check(layout))
    monkeypatch.setattr(engine, "in_steps", lambda *_: False)
    assert check_data(linkage.check(layout)) == short


@pytest.mark.parametrize("name", ["fault-wrong-sense", "fault-spring-over-spindle"])
def test_slips_are_those_that_are_found_where_every_rule_is_asked_of_all(
    name, monkeypatch
):
    layout = loaded(name)
    short = [s.record() for s in suspected(layout)]
    assert short
    monkeypatch.setattr(judging, "in_steps", lambda *_: False)
    assert [s.record() for s in suspected(layout)] == short


def test_of_rows_that_mend_nothing_the_moved_engine_is_not_asked(monkeypatch):
    layout = loaded("fault-lever-clocked-late")
    dear, cheap = judged_by(monkeypatch, engine)
    node = node_of(layout)
    places = [p for p in node.places() if p[0] in {r.code for r in AT_REST}]
    (family, *_) = changes.angles(layout, [LEVER])
    blocks = [*tries(node, stacked([family]), places, Budget(2.0))]
    assert blocks
    assert sum(cheap) > sum(dear) > 0


def test_rows_of_which_nothing_is_hoped_are_no_first_steps(monkeypatch):
    """Asked at rest alone, they would seem to leave less undone than what was asked all."""
    layout = loaded("fault-lever-clocked-late")
    node = node_of(layout)
    (family, *_) = changes.angles(layout, [LEVER])
    asked = []

    def judging_(x, needs, *, rules=None, **named):
        asked.append(rules)
        return judge(x, needs, rules=rules, **named)

    monkeypatch.setattr(engine, "judge", judging_)
    monkeypatch.setattr(
        engine, "promising", lambda tried, _: np.zeros(tried.count, dtype=bool)
    )
    found = Expansion()
    for upto, tried in tries(node, stacked([family]), node.places(), Budget(2.0)):
        assert upto > 0
        found.take(tried, node.places())
    assert AT_REST in asked
    assert not found.partly
    assert found.whole is None


def test_nothing_that_is_asked_at_rest_is_silenced_by_what_is_not():
    codes = {rule.code for rule in AT_REST}
    assert not {s.by for rule in AT_REST for s in rule.silenced_by} - codes
    later = {code for code, rule in BY_CODE.items() if rule.needs == "rock"}
    assert not codes & later


def test_a_layout_without_engine_or_hand_lever_is_judged_at_once():
    assert not in_steps(edited(TRUCK, (ENGINE[0], 'roll = "0 deg"')), ("forces",))
    assert in_steps(edited(TRUCK, ENGINE), ("forces",))
    assert not in_steps(edited(TRUCK, ENGINE), ("motion", "dead centres"))


@pytest.mark.parametrize("name", ["fault-one-spring-only", "fault-springs-too-weak"])
def test_what_fails_more_is_asked_of_whole_mounts_alone_and_finds_the_same(
    name, monkeypatch
):
    """Of many rows the movements with whole mounts are solved once more for it."""
    layout = edited(name, ENGINE)
    said = []
    for many in (10**9, 0):
        monkeypatch.setattr(states, "MANY", many)
        x = examine(layout)
        found = judge(x).findings()
        assert (x.kept[0].rolled is x.kept[0]) == (many > 0)
        said.append([(f.code, f.verdict, str(f.value), f.text) for f in found])
    assert said[0] == said[1]


def test_with_a_mount_lost_no_part_more_is_taken_to_fail(monkeypatch):
    monkeypatch.setattr(states, "MANY", 0)
    x = examine(edited(TRUCK, ENGINE))
    judge(x)
    (engine_moved,) = x.kept
    assert len({r.failure for r in engine_moved.x.forces.returns}) == 1
    assert len({r.failure for r in engine_moved.rolled.x.forces.returns}) > 3
    lifted = moved._judged(engine_moved).ranks
    rolled = moved._judged(engine_moved.rolled).ranks
    assert "closing-torque-one-off" not in {place[0] for place in lifted}
    assert "closing-torque-one-off" in {place[0] for place in rolled}


def test_a_search_looks_at_corners_and_a_verdict_at_every_movement(monkeypatch):
    layout = edited(TRUCK, ENGINE)
    assert len(looked_at(layout, COARSE)) == 6
    assert len(movements(layout)) == 8
    near = loaded("under-a-bonnet")
    assert looked_at(near, COARSE) == movements(near)
    family = next(iter(changes.angles(layout, [LEVER])))
    many = stacked([family]).layout(np.arange(0, family.size, 3))

    def ranks():
        found = judge(examine(many, COARSE)).ranks
        return {p: r.tolist() for p, r in found.items() if (r == BAD).any()}

    few = ranks()
    monkeypatch.setattr(states, "looked_at", lambda one, _: movements(one))
    monkeypatch.setattr("linkage.rules.rock.looked_at", lambda one, _: movements(one))
    assert few == ranks()


def test_reach_that_stays_the_same_is_no_low_point():
    """In free play, however near to its end a rod is; there is no chain to ask here."""
    travel = np.linspace(0, 1, 9)[None]
    reach = np.full((1, 9), 0.5 * jam.LOW)
    assert np.isnan(jam._momentary(None, "rod", travel, reach, np.array([9]))).all()


def test_where_rods_reach_to_is_known_from_the_working_travel():
    layout = edited(TRUCK, ENGINE)
    family = next(iter(changes.angles(layout, [LEVER], most=3.1)))
    many = assemble(stacked([family]).layout(np.arange(0, family.size, 5)))
    working = working_travel(many)
    assert np.isfinite(working.jam_at).any()
    assert np.isnan(working.jam_at).any()
    travel = np.linspace(0.0, layout.pedal.travel, 17)
    one, two = sweep(many, travel), sweep_up_to(many, travel, working.jam_at)
    for name, turns in one.turns.items():
        both = np.broadcast_arrays(turns, two.turns[name], many.ok)
        known = both[2]
        assert np.array_equal(both[0][known], both[1][known], equal_nan=True)
    assert np.isnan(one.turns["spindle"]).any()
