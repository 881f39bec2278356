"""Layouts of many shafts: what a check costs, counted and not timed.

Whatever fails is tried on every plate, so that no less than the square can be asked.
"""

from __future__ import annotations

import sys

import pytest

import linkage
from linkage.forces import balance
from linkage.forces.hanging import Hanging
from linkage.model.refs import Ref
from tests.benchmarks.branches import BRANCHED, chain, comb

KINDS = {**BRANCHED, "chain": chain, "springs": lambda many: chain(5, springs=many)}


#: Shafts, and what twice as many may cost: a star of them has 8 and 18 plates, of whose
#: squares one is 5.1 times the other, of whose cubes 11.4 times.
FEW, MANY, MOST = 10, 20, 5.2


class Calls:
    """Counts the calls of whatever is done within it."""

    def __enter__(self):
        self.count = 0
        sys.setprofile(self._called)
        return self

    def _called(self, _frame, event, _arg):
        self.count += event in {"call", "c_call"}

    def __exit__(self, *_):
        sys.setprofile(None)


@pytest.mark.parametrize("kind", KINDS)
def test_a_check_grows_with_the_square_of_the_shafts_at_most(kind, monkeypatch):
    """In calls, and in the numbers for which friction is solved."""
    solved, sizes = balance.Balanced._solved, []
    calls = []

    def summed(self, rod, outer, acts):
        sizes[-1] += acts.size
        return solved(self, rod, outer, acts)

    monkeypatch.setattr(balance.Balanced, "_solved", summed)
    for many in (5, FEW, MANY):  # the first: what is worked out once for all
        layout = KINDS[kind](many)
        sizes.append(0)
        with Calls() as counted:
            found = linkage.check(layout, cures=False)
        calls.append(counted.count)
        assert {f.code for f in found.findings} >= {"closing-torque", "time-to-idle"}
    assert calls[1] < calls[2] < MOST * calls[1]
    assert 0 < sizes[1] <= sizes[2] < MOST * sizes[1]


@pytest.mark.parametrize("kind", KINDS)
def test_so_does_a_check_of_geometry_alone(kind):
    calls = []
    for many in (5, FEW, MANY):
        layout = KINDS[kind](many)
        with Calls() as counted:
            linkage.check(layout, cures=False, geometry=True)
        calls.append(counted.count)
    assert 0 < calls[2] < MOST * calls[1]


def test_what_lies_beyond_a_rod_is_found_by_walking_there():
    layout = comb(14)
    hanging = Hanging(layout)
    for rod, outer in hanging.inwards("cross 3"):
        found, open_shafts = set(), [(outer, rod)]
        while open_shafts:
            shaft, by = open_shafts.pop()
            found |= set(hanging.springs[shaft])
            for name, other, ref in hanging.rods[shaft]:
                if name != by:
                    found.add(ref)
                    open_shafts.append((other, name))
        assert hanging.beyond(rod, outer) == found
        leads = hanging.branches(outer)
        for name, other, ref in hanging.rods[outer]:
            assert leads[ref] == name
            for far in hanging.beyond(name, other):
                assert leads[far] == name
        assert all(leads[ref] == "" for ref in hanging.springs[outer])


def test_what_still_hangs_together_is_told_of_every_shaft():
    hanging = Hanging(comb(8))
    gone = {Ref("rod", "to cross 2")}
    before = hanging.together("pedal", gone)
    behind = hanging.together("spindle 2", gone)
    assert before == hanging.together("spindle 1", gone)
    assert before == ("pedal", "cross 0", "cross 1", "spindle 0", "spindle 1")
    assert behind == ("cross 2", "cross 3", "spindle 2")
    assert sorted(before + behind) == sorted(hanging.together("pedal"))
