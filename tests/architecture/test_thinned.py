"""Of like cases some run each time and all with ``--every``; none is lost."""

from __future__ import annotations

from tests.bad.layouts import CONFIGS
from tests.thinned import STEP, kinds, left_to_every, thinned

NAMES = sorted(p.stem for p in CONFIGS.glob("*.toml"))


def taken(cases):
    """Return those that run each time."""
    return [
        c if isinstance(c, str) else c.values
        for c in cases
        if isinstance(c, str) or not c.marks
    ]


def test_every_so_manyth_is_taken_and_the_others_are_marked():
    cases = thinned(["a", "b", ("c", 1), "d", "e"], 3, first=2)
    assert [c.values for c in cases] == [("a",), ("b",), ("c", 1), ("d",), ("e",)]
    assert taken(cases) == [("c", 1)]
    assert {mark.name for c in cases for mark in c.marks} == {"every"}


def test_layouts_of_a_kind_of_their_own_always_run_and_the_others_in_turn():
    each = [taken(kinds(NAMES, first)) for first in range(STEP)]
    sound = [n for n in NAMES if not n.startswith(("fault-", "scenario-", "swapped-"))]
    assert len(sound) > 12
    assert all(set(sound) <= set(some) for some in each)
    of_turns = [one for some in each for one in some if isinstance(one, tuple)]
    assert sorted(n for (n,) in of_turns) == sorted(set(NAMES) - set(sound))
    assert len(kinds(NAMES)) == len(NAMES)
    now = {c if isinstance(c, str) else c[0] for c in each[1]}
    assert left_to_every(kinds(NAMES, 1)) == set(NAMES) - now
