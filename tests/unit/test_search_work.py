"""A search ends where its work does, and says what it did not look at."""

from __future__ import annotations

from dataclasses import replace

import pytest

import linkage
from linkage.config.starters import starter
from linkage.model import Hole
from linkage.report.findings import check_data, check_lines
from linkage.report.screen import screen_lines
from linkage.report.slips import doubt_lines, slip_data
from linkage.report.todo import NOTHING
from linkage.rules import examine, judge, room
from linkage.rules.examine import COARSE, WHOLE
from linkage.rules.room import cost
from linkage.search import changes, plan
from linkage.search.cures import with_cures
from linkage.search.engine import Budget, tries
from linkage.search.family import stacked
from linkage.search.node import Node
from linkage.search.work import MOST, Work
from tests.benchmarks.branches import BRANCHED, chain

FAULTS = ("fault-springs-too-weak", "fault-hole-too-long", "fault-engine-rock")


def searched(layout, most=MOST):
    """Return what a search with so much work finds, and what is left of it."""
    x = examine(layout)
    root = Node(many=x, judged=judge(x), work=Work(most))
    return (*with_cures(root), root.work)


@pytest.mark.parametrize("name", FAULTS)
def test_a_usual_layout_takes_a_part_of_it(name):
    *_, left = searched(linkage.load(starter(name).path).layout)
    assert not left.cut
    assert 0.6 * MOST < left.left < MOST


def test_nothing_is_claimed_where_nothing_was_looked_at():
    layout = linkage.load(starter("fault-hole-too-long").path).layout
    findings, found, left = searched(layout, most=1e6)
    assert found is None
    assert left.cut
    assert left.left == left.most
    bad = [f for f in findings if f.verdict == "do not fit"]
    assert bad
    for finding in bad:
        assert finding.cure.barred
        assert not finding.cure.proven
        assert "cures not looked for: " in finding.cure.text
        assert "there are more than are tried" in finding.cure.text


def test_what_was_found_before_the_work_ended_is_told_and_the_rest_is_named():
    layout = BRANCHED["star"](14)
    findings, found, left = searched(layout)
    assert left.cut
    assert 0 <= left.left < left.most
    texts = [f.cure.text for f in findings if f.verdict != "fits" and f.cure]
    begun = "no cure among the changes looked at, others not looked for: 14 shafts"
    assert found is not None or any(begun in text for text in texts)
    assert all(f.cure for f in findings if f.verdict != "fits")


def test_the_same_is_found_again():
    layout, said = BRANCHED["star"](14), []
    for _ in range(2):
        findings, found, left = searched(layout, most=1.4e8)
        assert left.cut
        cures = [f.cure.text for f in findings if f.cure]
        said.append(
            (cures, found and found.text, left.spent, [str(f) for f in findings])
        )
    assert said[0] == said[1]
    assert any("among the changes looked at" in text for text in said[0][0])


def test_a_very_large_layout_is_checked_and_no_more_and_says_so():
    layout = BRANCHED["star"](44)
    check = linkage.check(layout)
    assert check.verdict == "do not fit"
    assert check.cut
    text = " ".join(" ".join(check_lines(check)).split())
    screen = " ".join(" ".join(screen_lines(check)).split())
    assert "no single change within reach" not in text
    assert NOTHING not in screen
    for told in (text, screen):
        assert "cures not looked for: 44 shafts" in told
    assert "Not checked: every change that may mend it, " in screen
    unjudged = " ".join(check_data(check)["not_checked"])
    assert "every change that may mend it: 44 shafts" in unjudged
    slips = linkage.suspected(layout, check=check)
    assert slips.cut is (len(slips) == 0 and bool(doubt_lines(slips, ())))
    assert slip_data(slips, ())["slips_cut_short"] == slips.cut


def test_slips_of_a_very_large_layout_are_not_all_looked_at_and_that_is_said():
    layout = BRANCHED["star"](44)
    arm = layout.shafts["cross 0"].arms["in"]
    hole = Hole(shaft="cross 0", arm="in")
    layout = layout.with_arm(hole, angle=arm.angle + 3.1)
    slips = linkage.suspected(layout)
    assert slips.cut
    (line,) = doubt_lines(slips, ())
    assert line == "Not every usual slip was looked at, as that would take too long."
    usual = linkage.suspected(linkage.load(starter("fault-wrong-sense").path).layout)
    assert not usual.cut


def test_the_cost_grows_with_rows_grain_shafts_and_plates():
    assert cost(chain(5), COARSE).of(2) > cost(chain(5), COARSE).of(1)
    assert cost(chain(5), WHOLE).of(1) > cost(chain(5), COARSE).of(1)
    assert cost(chain(60), COARSE).begun > 2.5 * cost(chain(30), COARSE).begun
    star, twigs = (BRANCHED[kind](20) for kind in ("star", "twigs"))
    assert cost(star, COARSE).of(5) > 1.5 * cost(twigs, COARSE).of(5)


def test_a_hand_lever_and_cables_cost_more_than_shafts_and_springs_alone(monkeypatch):
    by_hand = linkage.load(starter("hand-and-foot").path).layout
    assert (
        cost(by_hand, COARSE).each == 2 * cost(replace(by_hand, hand=None), COARSE).each
    )
    cabled = linkage.load(starter("push-pull-cable").path).layout
    dear = cost(cabled, COARSE).each
    monkeypatch.setattr(room, "CABLE", 0)
    assert dear > 1.2 * cost(cabled, COARSE).each


def test_every_step_of_judging_is_counted_and_what_is_left_out_is_not():
    """Of a fault at rest few rows are asked of the moved engine too."""
    layout = linkage.load(starter("fault-wrong-sense").path).layout
    node = Node(many=(x := examine(layout)), judged=judge(x), work=Work(1e12))
    (family, *_) = changes.angles(layout, [Hole(shaft="spindle", arm="lever")])
    stack = stacked([family])
    places = node.places()
    blocks = [*tries(node, stack, places, Budget(2.0))]
    assert blocks
    every = cost(layout, COARSE).of(family.size)
    assert 0 < node.work.spent < every


def test_changes_of_very_many_rows_are_tried_in_wider_steps(monkeypatch):
    layout = linkage.load(starter("fault-hole-too-long").path).layout
    usual, _, left = searched(layout)
    assert not left.cut
    monkeypatch.setattr(plan, "MOVED", 500)
    wider, _, left = searched(layout)
    assert left.cut
    assert [f.place for f in wider] == [f.place for f in usual]
