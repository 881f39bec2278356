"""The coarse look leaves out nothing that the whole check calls mended."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest

import linkage
from linkage.model import Hole
from linkage.rules import judge
from linkage.rules.examine import stop_set_last
from linkage.search import changes
from linkage.search.engine import MENDABLE
from linkage.search.family import stacked, stacks
from linkage.search.screen import Hope, Screen
from linkage.search.sources import families
from linkage.search.standing import NEVER, NOTHING
from linkage.search.tried import Tried
from tests.bad.layouts import bad_text
from tests.bad.record import seeds
from tests.unit.cured import node_of
from tests.unit.edits import TRUCK, edited, lever

if TYPE_CHECKING:
    from linkage.search.node import Node

#: Of the bad layouts, those whose arms and strokes are wrong among so many.
SEEDS = [int(seed) for seed in seeds()][::12]
#: Rows of a stack that are judged whole, at random.
ROWS = 60


def moving(node: Node):
    """Yield the stacks of changes of the stroke that may mend what is wrong."""
    found = [
        f
        for p in node.places()
        for f in families(node.x, node.judged.finding(p))
        if f.moves_stroke and f.size
    ]
    for stack in stacks(found):
        if len(stack.effort) > 1:
            yield stack


@pytest.mark.parametrize("seed", SEEDS)
def test_what_the_whole_check_calls_mended_is_never_left_out(seed):
    node = node_of(linkage.loads(bad_text(seed)).layout)
    before = node.before
    rng = np.random.default_rng(seed)
    for stack in moving(node):
        count = len(stack.effort)
        rows = np.sort(rng.choice(count, min(count, ROWS), replace=False))
        screen = Screen(stack.layout(rows))
        tried = Tried(stack, rows, judge(stop_set_last(stack.layout(rows))), before)
        for place in node.places():
            hopes = screen.hopes(before, [place], MENDABLE)
            clean = tried.mends(place, wholly=True)
            fair = tried.mends(place)
            alike = [p for p in node.places() if p[0] == place[0]]
            least = Hope.CLEAN if len(alike) == 1 else Hope.FAIR
            assert np.all(hopes[clean] <= least), (place, rows[clean])
            assert np.all(hopes[fair] <= Hope.FAIR), (place, rows[fair])
        whole = screen.hopes(NOTHING, node.places(), frozenset())
        assert np.all(whole[tried.failing == 0] <= Hope.FAIR)


def test_it_leaves_out_most_that_cannot_do():
    """Of levers of every angle few open the throttle at all."""
    layout = edited(TRUCK, lever(angle=120))
    (family,) = changes.angles(
        layout, [Hole(shaft="spindle", arm="lever")], most=math.pi
    )
    node = node_of(layout)
    before = node.before
    stack = stacked([family])
    hopes = Screen(stack.layout(np.arange(family.size))).hopes(
        before, node.places(), MENDABLE
    )
    assert 0 < np.count_nonzero(hopes == Hope.CLEAN) < family.size / 4
    assert np.count_nonzero(hopes == Hope.NONE) > family.size / 3


def test_a_fault_that_no_change_may_bring_is_no_first_step():
    layout = edited(TRUCK, lever(angle=85))
    (family,) = changes.other_side(layout, [Hole(shaft="spindle", arm="lever")])
    stack = stacked([family])
    rows = np.arange(family.size)
    node = node_of(layout)
    before = node.before
    tried = Tried(stack, rows, judge(stop_set_last(stack.layout(rows))), before)
    assert tried.never.all()
    assert {p[0] for p, r in tried.judged.ranks.items() if (r == 2).any()} & NEVER
    hopes = Screen(stack.layout(rows)).hopes(before, node.places(), MENDABLE)
    assert np.all(hopes == Hope.NONE)
