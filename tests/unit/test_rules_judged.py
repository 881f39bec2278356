"""What is told of rows, what another finding silences, and what could not be judged."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linkage.model import Stop
from linkage.rules import examine, judge
from linkage.rules.order import RULES
from linkage.rules.rule import BAD, FITS, LOOK
from tests.sprung import line_spring
from tests.unit.ruled import rule
from tests.unit.test_rules_forces import WRONG, layout, pair


def counts(judged):
    return [int(judged.count(rank)[0]) for rank in (FITS, LOOK, BAD)]


def test_of_a_sound_layout_every_rule_is_heard():
    judged = judge(examine(layout(*pair())))
    assert judged.mute == {}
    assert counts(judged)[1:] == [0, 0]
    assert counts(judged)[0] == len(judged.findings())
    assert all(rank == FITS for rank in judged.hidden.values())


def test_where_pressing_shuts_the_plate_what_rests_on_it_is_not_judged():
    judged = judge(examine(layout(*pair(), opens=-1)))
    assert {"full-throttle", "closing-torque", "time-to-idle"} <= judged.mute.keys()
    assert all(mute.all() for mute in judged.mute.values())
    assert "opening-sense" not in judged.mute
    assert not judged.hidden
    assert judged.verdicts[0] == BAD


def test_what_a_spring_of_the_wrong_hand_hides_is_kept():
    wrong = line_spring("far", "spindle.far", WRONG, rate=450.0, greatest_length=0.2)
    judged = judge(examine(layout(pair()[0], wrong)))
    assert counts(judged)[1:] == [0, 1]
    (told,) = (f for f in judged.findings() if f.verdict != "fits")
    assert told.code == "spring-hand"
    hidden = {
        (code, about.name): rank[0] for (code, about, *_), rank in judged.hidden.items()
    }
    assert hidden["spring-line", "far"] == BAD
    assert hidden["energy-sources", "throttle"] == BAD
    assert hidden["pull-changes", "last"] == LOOK
    assert ("spring-line", "near") not in hidden


def test_where_nothing_moves_what_rests_on_forces_is_not_judged():
    x = layout(*pair())
    held = replace(x, stops={"pin": Stop(name="pin", shaft="spindle", turn=0.0)})
    judged = judge(examine(held))
    assert not judged.x.moves
    needs = {rule.code: rule.needs for rule in RULES if rule.refuses}
    forces = {code for code, need in needs.items() if need in {"forces", "rock"}}
    assert judged.mute.keys() == forces


@pytest.mark.parametrize(
    ("less", "limit", "rank"), [(0.0, "look", LOOK), (1e-9, "least", BAD)]
)
def test_a_torque_at_its_floor_is_asked_to_be_more_and_below_it_to_reach_it(
    less, limit, rank
):
    x = examine(layout(*pair()))
    floor = next(o for o in rule("closing-torque").judge(x) if o.part == ("floor",))
    limits = replace(x.layout.limits)
    asked = {"look": 99.0, "least": floor.value + less}
    for name, value in asked.items():
        object.__setattr__(limits, f"closing_{name}", value)
    x.layout = replace(x.layout, limits=limits)
    found = next(o for o in rule("closing-torque").judge(x) if o.part == ("floor",))
    assert (found.rank, found.limit) == (rank, asked[limit])


@pytest.mark.parametrize(("rate", "rank"), [(1e-9, FITS), (0.0, BAD), (-1e-9, BAD)])
def test_a_pedal_that_moves_no_plate_does_not_open_it(monkeypatch, rate, rank):
    mine = rule("opening-sense")
    monkeypatch.setitem(mine.judge.__globals__, "opens", lambda *_: rate)
    (found,) = mine.judge(examine(layout(*pair())))
    assert found.rank == rank


def test_a_rule_that_is_broken_twice_is_named_once():
    """Both springs are slack, and each is told; the table of rows names the rule."""
    loose = [replace(s, known=replace(s.known, free_length=0.14)) for s in pair()]
    judged = judge(examine(layout(*loose)))
    slack = [p for p, ranks in judged.ranks.items() if p[0] == "spring-slack" and ranks[0] == BAD]  # fmt: skip
    assert len(slack) == 2
    (broken,) = judged.columns()["breaks"]
    assert broken.count("spring-slack") == 1
    assert set(broken) == {p[0] for p, ranks in judged.ranks.items() if ranks[0] == BAD}
