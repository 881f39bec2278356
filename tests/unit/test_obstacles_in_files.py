"""Obstacles that cannot be: refused at their place, with what to do."""

from __future__ import annotations

import pytest

from linkage import config
from linkage.errors import LayoutError
from linkage.model import Obstacle
from tests.cli.conftest import CONFIGS

GOOD = (CONFIGS / "under-a-bonnet.toml").read_text(encoding="utf-8")
HOLE = "[[100, -8, 109, 60]]"
BOX = """[obstacles.box]
shape = "box"
corners = [[600, 200, 0], [700, 300, 100]]

[obstacles.bulkhead]
"""
#: What is changed, and words of the message, of the hint, and the key.
FAULTS = [
    (HOLE, '[[100, -8, 109, "60 m"]]', "has a hole 60000.0 mm wide", "check its unit", "bulkhead.holes"),
    (HOLE, "[[100, -8, 109, 0]]", "a hole in plane `bulkhead` has no diameter", "side to side", "bulkhead.holes"),
    (HOLE, "[[140, -8, 109, 60]]", "40.0 mm off the plane", "same datum", "bulkhead.holes"),
    (HOLE, "[[100, -8, 109, 60], [100, 20, 109, 10]]", "lie in one another", "one hole", "bulkhead.holes"),
    (HOLE, "[[100, -8, 109]]", "too few values", "a hole has four", "bulkhead.holes.0"),
    ("diameter = 110", 'diameter = "110 m"', "is 110000.0 mm wide", "check its unit", "air filter.diameter"),
    ("diameter = 45", "diameter = 0", "pipe `exhaust` has no diameter", "side to side", "exhaust.diameter"),
    ("[320, 80, -10], [380, 60, 0], [520, 45, -40]", "[320, 80, -10]", "from one point to none other", "sphere", "exhaust.points"),
    ("[obstacles.bulkhead]\n", BOX.replace("100]]", "0]]"), "is flat", "plane", "box.corners"),
    ("[obstacles.bulkhead]\n", BOX.replace(", [700, 300, 100]", ""), "too few values", "two opposite corners", "box.corners"),
    ("[obstacles.bulkhead]\n", BOX.replace("200, 0]", "200]"), "too few values", "a point has three", "box.corners.0"),
]  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault[4]}: {fault[2]}")
def test_what_no_obstacle_can_be_is_refused_at_its_place(fault):
    old, new, words, hint, key = fault
    assert old in GOOD
    with pytest.raises(LayoutError) as found:
        config.loads(GOOD.replace(old, new, 1))
    assert words in str(found.value)
    assert hint in found.value.hint
    assert ".".join(found.value.key) == f"obstacles.{key}"


def test_beside_them_those_that_can_be_are_read():
    for old, new in (
        (HOLE, "[[100, -8, 109, 60], [100, 60, 109, 10]]"),
        ("diameter = 110", 'diameter = "2 m"'),
        ("[obstacles.bulkhead]\n", BOX),
    ):
        assert config.loads(GOOD.replace(old, new, 1)).layout.obstacles


@pytest.mark.parametrize(
    ("shape", "count"),
    [("cone", 1), ("sphere", 0), ("sphere", 2), ("box", 1), ("plane", 2), ("pipe", 0), ("pipe", 1)],
)  # fmt: skip
def test_an_obstacle_of_no_shape_or_of_other_points_is_refused_in_python(shape, count):
    points = ((0.1, 0.0, 0.0), (0.2, 0.1, 0.1))[:count]
    with pytest.raises(LayoutError) as found:
        Obstacle(name="near", shape=shape, points=points, diameter=0.02)
    assert found.value.key[:2] == ("obstacles", "near")
    assert found.value.hint
