"""The line of a key; never a guess."""

from __future__ import annotations

import tomllib

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from linkage.config.places import locate, nearest, positions

TEXT = '''\
# [shafts.pedal] is not here
title = """
[shafts.pedal]
travel = 1 \\
"""
other = \'\'\'
pivot = 3''\'\'\'
"quoted \\"key\\"" = "# no comment"
'literal' = 'x'
when = 1979-05-27 07:32:00

[shafts."cross shaft"] # comment
pivot = [
    20, # first
    100,
    330,
]
arms.inner = { length = "50 mm", angle = -17 }
arms."outer hole".length = 76

[ rods . first ]
from = "pedal.rod"
loads = [["20 N", "90 mm"],
  ["35 N", "110 mm"]]
empty = []
none = {}

[[many]]
one = 1
[[many]]
one = 2
'''


@pytest.mark.parametrize(
    ("key", "line"),
    [
        (("title",), 2),
        (("other",), 6),
        (('quoted "key"',), 8),
        (("literal",), 9),
        (("when",), 10),
        (("shafts",), 12),
        (("shafts", "cross shaft"), 12),
        (("shafts", "cross shaft", "pivot"), 13),
        (("shafts", "cross shaft", "pivot", "1"), 15),
        (("shafts", "cross shaft", "arms", "inner", "angle"), 18),
        (("shafts", "cross shaft", "arms", "outer hole", "length"), 19),
        (("rods", "first"), 21),
        (("rods", "first", "from"), 22),
        (("rods", "first", "loads", "1", "0"), 24),
        (("rods", "first", "empty"), 25),
        (("rods", "first", "none"), 26),
        (("many", "1", "one"), 31),
        (("shafts", "pedal"), None),
        (("rods", "first", "empty", "0"), None),
        ((), None),
    ],
)
def test_locate(key, line):
    tomllib.loads(TEXT)
    assert locate(TEXT, key) == line
    assert locate(TEXT.replace("\n", "\r\n"), key) == line


def test_nearest_is_the_table_where_the_key_belongs():
    assert nearest(TEXT, ("rods", "first", "to")) == (("rods", "first"), 21)
    assert nearest(TEXT, ("pedal",)) is None
    assert nearest(TEXT, ()) is None


@pytest.mark.parametrize(
    "text", ["a b = 1", "a = {", "a = [", "= 1", "[a", "a = ", 'a = "x', "[" * 5000]
)
def test_what_is_not_toml_has_no_lines_or_those_before_the_fault(text):
    assert set(positions(text)) <= {("a",)}


names = st.text(
    st.characters(codec="utf-8", exclude_characters="\x7f", min_codepoint=32),
    max_size=6,
)
values = st.recursive(
    st.booleans() | st.integers(-99, 99) | st.text(max_size=5) | st.floats(-9, 9),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3)
    ),
    max_leaves=8,
)


def _paths(value, key=()):
    """Every path through tables and arrays, but arrays of tables inside."""
    if key:
        yield key
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from _paths(inner, (*key, name))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from _paths(inner, (*key, str(number)))


@given(st.dictionaries(names, values, max_size=4))
def test_every_key_that_is_there_is_found(data):
    """tomlkit, a general TOML library, writes; the walk must meet every key."""
    text = tomlkit.dumps(data)
    read = tomllib.loads(text)
    found = positions(text)
    assert set(_paths(read)) <= set(found)
    lines = text.split("\n")
    for key, line in found.items():
        assert 1 <= line <= len(lines)
        if key[-1].isascii() and key[-1].isalpha():
            assert key[-1] in lines[line - 1]
