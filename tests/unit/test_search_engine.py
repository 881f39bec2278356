"""What counts as mended: gone, not silenced, and nothing that says ``do not fit``."""

from __future__ import annotations

import math

import numpy as np
import pytest

import linkage
from linkage.model import Hole
from linkage.rules import examine, judge
from linkage.rules.examine import COARSE, stop_set_last
from linkage.rules.rule import BAD, FITS, LOOK
from linkage.search import changes
from linkage.search.engine import BLOCKS, MOST, Budget, tries
from linkage.search.family import stacked
from linkage.search.node import made
from linkage.search.plan import ONE, expand
from linkage.search.standing import NEVER
from linkage.search.tried import Tried
from tests.bad.layouts import bad_text
from tests.bad.record import seeds
from tests.unit.cured import bad_places, node_of, searched
from tests.unit.edits import STOP, TRUCK, edited, lever
from tests.unit.ruled import found_in

LEVER = Hole(shaft="spindle", arm="lever")
#: Some of the bad layouts.
SEEDS = [int(seed) for seed in seeds()][3::20]


def turned_by(layout, *degrees: float) -> Tried:
    """Return the truck's lever turned, judged against the layout as it is."""
    (family,) = changes.angles(layout, [LEVER], most=math.pi)
    old = layout.shafts["spindle"].arms["lever"].angle
    (new,) = family.sets.values()
    stack = stacked([family])
    index = [int(np.argmin(np.abs(new - old - math.radians(d)))) for d in degrees]
    rows = np.array([int(np.flatnonzero(stack.index == i)[0]) for i in index])
    node = node_of(layout)
    return Tried(stack, rows, judge(examine(stack.layout(rows))), node.before)


def test_a_finding_that_is_only_silenced_is_not_mended():
    """Turned to where pressing shuts the plate, nothing is said of dead centres."""
    layout = edited(TRUCK, lever(angle=85))
    tried = turned_by(layout, -28, -150)
    place = next(p for p, r in tried.before.told.items() if p[0] == "dead-centre" and r)
    told = tried.judged.ranks.get(place, np.zeros(2))
    assert told.tolist() == [FITS, FITS]  # it says nothing in either
    codes = [{f.code for f in tried.judged.findings(k)} for k in range(2)]
    assert "opening-sense" in codes[1]
    assert "dead-centre" not in codes[1]
    assert tried.gone(place).tolist() == [True, False]


def test_what_is_in_pieces_mends_nothing():
    layout = edited(TRUCK, lever(angle=85))
    tried = turned_by(layout, -28)
    broken = tried.stack.layout(tried.rows)
    far = broken.with_rod("link", 0.05)
    gone = Tried(tried.stack, tried.rows, _judged_rows(far), tried.before)
    assert not gone.ok.any()
    assert gone.harmed.all()
    assert gone.never.all()
    assert all(not gone.gone(p).any() for p in tried.before.told)
    assert gone.failing.min() > max(tried.failing)


def _judged_rows(layout):
    """Judge two equal rows, which do not raise as one does."""
    return judge(examine(layout.with_arm(LEVER, length=np.full((1, 1), 0.032))))


def test_a_look_instead_of_a_fault_is_less_but_not_gone():
    layout = edited(TRUCK, lever(angle=85))
    place = next(
        p
        for p, r in turned_by(layout, 1).before.told.items()
        if p[0] == "arm-rod-angle" and r
    )
    tried = turned_by(layout, *range(-30, 0))
    found = tried.judged.ranks[place]
    assert set(found.tolist()) == {FITS, LOOK, BAD}
    assert tried.gone(place).tolist() == (found == FITS).tolist()
    assert tried.gone(place, LOOK).tolist() == (found <= LOOK).tolist()


def judged(node, stack):
    blocks = tries(node, stack, node.places(), Budget(99.0))
    return [tried for _, block in blocks for tried in block]


def test_the_pedal_stop_is_set_last():
    """A stamp load that a change brings is no harm: the stop takes it up."""
    layout = edited(TRUCK, lever(length=45))
    node = node_of(layout)
    (family,) = changes.lengths(layout, [LEVER])
    stack = stacked([family])
    for tried in judged(node, stack):
        stamps = {p for p in tried.judged.ranks if p[0] == "stamp-load"}
        for k in np.flatnonzero(~tried.worse):
            for place, rank in tried.judged.ranks.items():
                if place not in stamps:
                    assert rank[k] <= tried.before.told.get(place, FITS)


def test_rows_are_judged_once_least_effort_first_within_a_hope():
    layout = edited(TRUCK, lever(angle=85))
    node = node_of(layout)
    (family,) = changes.angles(layout, [LEVER])
    stack = stacked([family])
    blocks = [t.rows for t in judged(node, stack)]
    rows = np.concatenate(blocks)
    assert len(set(rows.tolist())) == len(rows) <= MOST
    assert all(np.all(np.diff(b) > 0) for b in blocks)
    assert all(len(b) <= BLOCKS[-1] for b in blocks)


def test_a_node_keeps_what_was_done_and_sets_the_stop():
    layout = edited(TRUCK, lever(angle=85))
    node = node_of(layout)
    found = expand(node, ONE)
    candidate = found.whole
    assert candidate is not None
    new = made(node, [candidate])[0]
    assert new.bad == 0
    assert new.effort == pytest.approx(candidate.effort)
    assert new.cut == ("link",)
    assert new.layout.pedal.stop is not None
    again = made(new, [found.whole])[0]
    assert again.effort == pytest.approx(2 * candidate.effort)
    assert again.cut == ("link",)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_proven_cure_mends_and_brings_no_fault(seed):
    """By the whole check of the cured layout, alone; `NEVER` least of all."""
    layout = linkage.loads(bad_text(seed)).layout
    before, mute = bad_places(layout), set(node_of(layout).mute)
    findings, plan = searched(layout)
    assert any(f.cure is not None for f in findings)
    for finding in findings:
        cure = finding.cure
        if cure is None or cure.layout is None:
            continue
        after = found_in(cure.layout)
        new = {f.place for f in after if f.verdict == "do not fit"} - before
        assert not {code for code, *_ in new} & NEVER
        assert node_of(cure.layout).x.throttle_share >= 0
        if cure.proven:
            assert {code for code, *_ in new} <= mute
            assert ("; not judged before, and do not fit then: " in cure.text) == (
                new != set()
            )
            assert mute.issuperset(node_of(cure.layout).mute)
            left = {f.place for f in after if f.verdict != "fits"}
            assert finding.place not in left, cure.text
        else:
            assert cure.text.startswith("nearest: ") or not bad_places(cure.layout)
    if plan is not None:
        assert plan.proven
        assert not bad_places(plan.layout)


def test_the_least_change_of_all_that_mend_is_offered():
    """Every smaller step of the same kind leaves the finding, or brings a fault."""
    layout = edited(TRUCK, lever(angle=85), (STOP, ""))
    node = node_of(layout)
    found = expand(node, ONE)
    for place, candidate in found.clean.items():
        stack = candidate.tried.stack
        before = [i for i in range(candidate.row) if stack.effort[i] < candidate.effort]
        if not before:
            continue
        rows = np.array(before[-60:])
        solve = stop_set_last if stack.families[0].moves_stroke else examine
        looked = solve(stack.layout(rows), COARSE)  # as the search looks
        all_ = Tried(stack, rows, judge(looked), node.before)
        assert not (all_.gone(place) & ~all_.worse).any()
