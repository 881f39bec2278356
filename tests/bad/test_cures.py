"""Hardly a cure that was found before is lost, and none does harm.

A sample of the bad layouts, and the shipped faults; with ``--slow`` all of them.
"""

from __future__ import annotations

import pytest

from tests.bad.compare import before, compared, harmful
from tests.bad.record import faults, recorded, seeds, text_of

#: Every how manyth of the 300 is checked where ``--slow`` is not given.
EVERY = 7
#: Cures that were found before and are not now. 144: a stiffer steady is offered, that
#: asks for a look still. 176: a look at an angle, where a rod cannot reach: of what
#: cannot be put together no cure is proven but one of the reach.
LOST = {("144", "engine-rock"), ("176", "arm-rod-angle")}
#: Most of the cures that may take more work than before: they are looked for from
#: all over first, and not always down to the last step.
MORE = 0.12


@pytest.fixture(scope="module")
def outcome(request):
    step = 1 if request.config.getoption("--slow") else EVERY
    taken = [*faults(), *list(seeds())[::step]]
    now = {key: recorded(text_of(key), told=False) for key in taken}
    return compared({key: before()[key] for key in taken}, now)


def test_no_other_cure_is_lost(outcome):
    lost = [p for p in outcome.pairs if p.lost]
    assert [str(p) for p in lost if (p.key, p.code) not in LOST] == []


def test_what_was_mended_whole_still_is(outcome):
    assert outcome.unmended() == []
    was, now = outcome.mended()
    assert now >= was


def test_few_cures_are_more_work(outcome):
    mended = [p for p in outcome.pairs if not p.lost]
    assert sum(p.larger for p in mended) <= MORE * len(mended)


def test_no_proven_cure_brings_a_new_reason_not_to_fit(outcome):
    assert harmful(outcome.new) == []
