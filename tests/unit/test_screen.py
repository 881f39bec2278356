"""The coarse look: blocks change nothing, and what it sees is so."""

from __future__ import annotations

import numpy as np
import pytest

from linkage.model.rows import row
from linkage.motion import assemble, blocks, frame, sweep
from linkage.search.screen import POSITIONS, screened
from tests.benchmarks.chains import chain

ROWS = 60


@pytest.fixture(scope="module")
def many():
    return chain(ROWS, spread=0.5)


def test_size_of_a_block_changes_nothing(many, monkeypatch):
    whole = screened(many)
    monkeypatch.setattr(blocks, "ENTRIES", 3 * POSITIONS)
    parts = screened(many)
    assert whole.keys() == parts.keys()
    for code, broken in whole.items():
        assert broken.tolist() == parts[code].tolist()


def test_one_row_is_seen_as_among_many(many):
    seen = screened(many)
    for i in range(0, ROWS, 7):
        alone = screened(row(many, i))
        assert {c: b[i] for c, b in seen.items()} == {c: b[0] for c, b in alone.items()}


def test_what_is_seen_is_so(many):
    seen = screened(many)
    assert all(0 < seen[c].sum() < ROWS for c in ("reach", "arm-rod-angle"))
    travel = np.linspace(0.0, many.pedal.travel, 241)
    for i in range(ROWS):
        one = row(many, i)
        if seen["assembly"][i]:
            continue
        motion = sweep(assemble(one), travel)
        if seen["reach"][i]:
            assert any((~(reach >= 0)).any() for reach in motion.reach.values())
        if seen["arm-rod-angle"][i]:
            rods = frame(motion).rods.values()
            least = min(
                float(np.nanmin(np.abs(side)))
                for rod in rods
                for side in (rod.driver_side, rod.driven_side)
            )
            assert least < 1.02 * np.sin(one.limits.arm_rod_refuse)
