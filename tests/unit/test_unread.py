"""A line that is not TOML is told how it must stand."""

from __future__ import annotations

import tomllib

import pytest

from linkage.config.unread import unread_hint
from linkage.units import parse


def hint(line: str) -> str:
    with pytest.raises(tomllib.TOMLDecodeError) as fault:
        tomllib.loads(line)
    return unread_hint(str(fault.value), line)


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("[shafts.cross shaft]", '[shafts."cross shaft"]'),
        ("[[shafts.cross shaft]]", '[[shafts."cross shaft"]]'),
        ("arms.far spring = 1", 'arms."far spring" ='),
        ('length = 2.9"', "'2.9\"'"),
        ('length = "2.9""', "'2.9\"'"),
        ("length = 1' 2\"", '"1 ft 2 in"'),
        ("length = 2 3/8 in", '"2 3/8 in"'),
        ('arms.a = { length = 2.9", angle = 3 }', "'2.9\"'"),
    ],
)
def test_the_right_way_is_written_out(line, right):
    assert hint(line).endswith(right)


@pytest.mark.parametrize(
    "line", ["length = 2.9", 'length = "2 in"', '[shafts."cross shaft"]', "x = [1, 2"]
)
def test_what_is_right_is_left_alone(line):
    """Of another fault in such a line nothing is said of quotes that it does not need."""
    said = unread_hint("Expected newline or end of document", line)
    assert said.startswith("keys stand as")


def test_what_is_offered_is_read():
    for line in ('length = 2.9"', "length = 1' 2\"", "length = 2 3/8 in"):
        text = tomllib.loads(f"x = {hint(line).rpartition('quotes: ')[2]}")["x"]
        assert parse(text, "length").value > 0
