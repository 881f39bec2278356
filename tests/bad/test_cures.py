"""Cures of the bad layouts and the shipped faults, written out, read and checked again.

A sample of the bad layouts; with ``--every`` all 300 of them.
"""

from __future__ import annotations

import pytest

import linkage
from tests.bad.compare import cures_of, harmful, whole
from tests.bad.record import faults, recorded, seeds, text_of
from tests.benchmarks.checks import MENDED
from tests.unit.cured import node_of

#: Every how manyth of the 300 is checked where ``--every`` is not given.
EVERY = 15
#: What is offered where nothing else was found: it says what it leaves.
LEAVES = ("still do not fit then: ", "cannot be judged then: ", "then look at ")


@pytest.fixture(scope="module")
def records(request):
    step = 1 if request.config.getoption("--every") else EVERY
    keys = [*faults(), *list(seeds())[::step]]
    return {key: recorded(text_of(key), timed=False) for key in keys}


def test_nothing_that_is_offered_brings_a_new_reason_not_to_fit(records):
    assert harmful(records) == []


def test_every_plan_leaves_nothing_wrong(records):
    plans = [row["plan"] for row in records.values() if "plan" in row]
    assert plans
    assert all(plan["proven"] and whole(plan) for plan in plans)


def test_every_shipped_fault_has_a_plan(records):
    bad = [n for n in faults() if records[n]["verdict"] == "do not fit"]
    assert [n for n in bad if "plan" not in records[n]] == []


def test_as_many_as_are_told_are_mended_whole(records):
    rows = [row for key, row in records.items() if key.isdigit()]
    mended = sum("plan" in row for row in rows)
    assert mended >= MENDED * len(rows) - 0.5 * len(rows) ** 0.5


def test_what_is_not_proven_says_what_it_leaves(records):
    for row in records.values():
        for cure in cures_of(row):
            if not cure["proven"] and "verdict" in cure:
                assert cure["text"].startswith("nearest: ") or whole(cure)
                assert any(word in cure["text"] for word in LEAVES), cure["text"]


def test_no_cure_leaves_a_rule_that_cannot_be_judged_any_more(records):
    """By the rules themselves, which know what they were kept from."""
    for key, row in list(records.items())[::3]:
        layout = linkage.loads(text_of(key)).layout
        before = set(node_of(layout).mute)
        cures = [f.cure for f in linkage.check(layout).findings]
        written = {linkage.dump(c.layout) for c in cures if c is not None and c.proven}
        for text in sorted(written):
            after = set(node_of(linkage.loads(text).layout).mute)
            assert after <= before, (key, row["verdict"], text)
