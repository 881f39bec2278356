"""The driver itself: what it changes, what it leaves alone, and that it comes to act."""

from __future__ import annotations

import ast
import importlib.util
import sys

import pytest

from tests.mutants import live
from tests.mutants.changes import changes
from tests.mutants.traces import ROOT, Named

TEXT = '''\
"""Nothing of this is changed, nor `1 < 2`."""
LIMIT = 3.0
TINY = 1e-9


def inside(x: int = 7, *, most=9) -> bool:
    """Return x < 1."""
    if x < 0:
        raise ValueError("x < 0" * 2)
    return x <= LIMIT and not x == -2


class Thing:
    def __repr__(self):
        return "a" * 2

    def last(self, values):
        out = max(values[-1], 0.0)
        out += 1
        return out


TABLE = {"words": lambda o: f"{o * 2} < 3"}
'''


def made(tmp_path, key=None):
    """Return the module, with one change made."""
    path = tmp_path / "changed_here.py"
    path.write_text(TEXT, encoding="utf-8")
    spec = importlib.util.spec_from_file_location("changed_here", path)
    module = importlib.util.module_from_spec(spec)
    sys.modules["changed_here"] = module
    spec.loader.exec_module(module)
    try:
        if key:
            functions = live.made_from({str(path)})[str(path)]
            live.put(path, key, "m.py", functions)
    finally:
        del sys.modules["changed_here"]
    return module


def test_what_is_changed_and_what_is_not():
    found = [c.key.removeprefix("m.py ") for c in changes("m.py", ast.parse(TEXT))]
    assert found == [
        "module: 3.0 -> 3.0300000000000002",
        "inside: x < 0 -> x <= 0",
        "inside: x < 0 -> x > 0",
        "inside: 0 -> 1",
        "inside: x <= LIMIT and (not x == -2) -> x <= LIMIT or not x == -2",
        "inside: x <= LIMIT -> x < LIMIT",
        "inside: x <= LIMIT -> x >= LIMIT",
        "inside: not x == -2 -> x == -2",
        "inside: x == -2 -> x != -2",
        "inside: -2 -> 2",
        "inside: -2 -> -3",
        "Thing.last: max(values[-1], 0.0) -> min(values[-1], 0.0)",
        "Thing.last: -1 -> 1",
        "Thing.last: -1 -> -2",
        "Thing.last: 0.0 -> 1.0",
        "Thing.last: out += 1 -> deleted",
        "Thing.last: 1 -> 2",
        "TABLE.lambda: o * 2 -> o / 2",
        "TABLE.lambda: 2 -> 3",
    ]


@pytest.mark.parametrize(
    ("key", "told"),
    [
        (None, (True, 6.0, "4 < 3")),
        ("m.py inside: x <= LIMIT -> x < LIMIT", (False, 6.0, "4 < 3")),
        ("m.py Thing.last: out += 1 -> deleted", (True, 5.0, "4 < 3")),
        ("m.py TABLE.lambda: 2 -> 3", (True, 6.0, "6 < 3")),
        ("m.py module: 3.0 -> 3.0300000000000002", (True, 6.0, "4 < 3")),
    ],
)
def test_a_change_comes_to_act_in_what_is_held_already(tmp_path, key, told):
    module = made(tmp_path, key)
    say = module.TABLE["words"]
    assert (module.inside(3.0), module.Thing().last([1.0, 5.0]), say(2)) == told
    assert module.inside(3.01) == (key is not None and "3.03" in key)


def test_a_change_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(live.CannotBeMadeError):
        made(tmp_path, "m.py inside: 5 -> 6")


def test_keys_are_different_and_lines_have_names():
    for path in sorted((ROOT / "linkage" / "springs").glob("*.py")):
        found = list(changes(path.name, ast.parse(path.read_text(encoding="utf-8"))))
        assert len({c.key for c in found}) == len(found)
        named = Named(path)
        assert all(c.names or c.line in named for c in found)
