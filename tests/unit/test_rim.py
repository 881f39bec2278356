"""The rim of a snail: what of it a taut wire lies on, and which rims are none."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from linkage.errors import LayoutError
from linkage.model import Arm
from linkage.model.columns import column
from linkage.model.rim import RATIO, rim_known, taut

KEY = ("shafts", "s", "arms", "a")


def rim(*pairs):
    return tuple((math.radians(t), r / 1e3) for t, r in pairs)


def places(found):
    turns, ratios = np.array(found).T
    return np.stack((ratios * np.cos(turns), ratios * np.sin(turns)), axis=1)


def bends(found):
    """Return by how much the wire turns at every point between, to the left."""
    steps = np.diff(places(found), axis=0)
    return steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0]


def test_a_rim_that_is_nowhere_hollow_is_lain_on_all_the_way():
    found = taut(rim((0, 20), (90, 25), (180, 30)))
    assert found[0] == (0.0, 1.0)
    assert found[-1] == pytest.approx((math.pi, 1.5))
    assert len(found) == 181
    assert (bends(found) > 0).all()
    turns, ratios = np.array(found).T
    expected = np.interp(np.degrees(turns), [0, 90, 180], [1, 1.25, 1.5])
    np.testing.assert_allclose(ratios, expected, rtol=1e-12)


def test_a_hollow_is_bridged_by_a_straight_piece():
    found = taut(rim((0, 30), (20, 20), (40, 30)))
    np.testing.assert_allclose(found, [(0.0, 1.0), (math.radians(40), 1.0)])
    # A shallow one in part: what stands out on either side is lain on still.
    found = taut(rim((0, 30), (60, 30), (80, 27), (100, 30), (160, 30)))
    turns = np.degrees([t for t, _ in found])
    gap = np.argmax(np.diff(turns))
    assert 60 <= turns[gap] < 65
    assert 95 < turns[gap + 1] <= 100 + 1e-9
    assert (bends(found) > 0).all()


def test_nothing_of_the_rim_lies_outside_of_what_the_wire_takes():
    given = rim((0, 30), (30, 22), (75, 35), (120, 20), (170, 33))
    found = places(taut(given))
    turns, radii = np.array(given).T
    fine = np.linspace(0, turns[-1], 4001)
    at = np.interp(fine, turns, radii / radii[0])
    points = np.stack((at * np.cos(fine), at * np.sin(fine)), axis=1)
    for one, two in pairwise(found):
        edge, away = two - one, points - one
        side = edge[0] * away[:, 1] - edge[1] * away[:, 0]
        # Left of every piece is inside; but for the swell between points a degree apart.
        assert side.min() > -1e-4 * np.hypot(*edge)


def test_a_rim_of_a_step_straight_up_is_taken_over_its_edge():
    found = taut(rim((0, 20), (60, 20), (60.01, 40), (120, 40)))
    assert (bends(found) > 0).all()
    assert any(abs(t - math.radians(60.01)) < 1e-9 for t, _ in found)
    assert not any(math.radians(30) < t < math.radians(60) for t, _ in found)


def drum(*pairs, wound=1):
    return Arm(name="a", length=0.02, angle=0.0, wound=wound, rim=rim(*pairs))


def test_a_rim_is_as_large_as_the_radius_at_its_nipple():
    as_given = drum((0, 20), (90, 25))
    assert as_given.profile == as_given.rim
    assert replace(as_given, rim=()).profile == ()
    larger = replace(as_given, length=0.03).profile
    np.testing.assert_allclose(larger, rim((0, 30), (90, 37.5)))
    rows = replace(as_given, length=column([0.02, 0.03])).profile
    np.testing.assert_allclose(rows[1][1], [[0.025], [0.0375]])


@pytest.mark.parametrize(
    ("arm", "message"),
    [
        (drum((0, 20), (90, 25), wound=0), "not told how a wire lies"),
        (drum((5, 20), (90, 25)), "does not go round from 0 on"),
        (drum((0, 20)), "does not go round from 0 on"),
        (drum((0, 20), (90, 25), (80, 26)), "does not go round from 0 on"),
        (drum((0, 20), (90, 25), (90, 26)), "does not go round from 0 on"),
        (drum((0, 20), (math.nan, 25)), "does not go round from 0 on"),
        (drum((0, 20), (360.1, 25)), "more than a whole turn"),
        (drum((0, 20), (math.inf, 25)), "more than a whole turn"),
        (drum((0, 0), (90, 25)), "none that a wire could lie on"),
        (drum((0, -20), (90, -25)), "none that a wire could lie on"),
        (drum((0, 20), (90, 0)), "none that a wire could lie on"),
        (drum((0, 20), (90, math.nan)), "none that a wire could lie on"),
        (drum((0, 20), (90, math.inf)), "none that a wire could lie on"),
        (drum((0, 20), (90, 20 * RATIO + 1)), "none that a wire could lie on"),
        (drum((0, 20), (90, 20 / RATIO - 0.1)), "none that a wire could lie on"),
    ],
    ids=range(15),
)
def test_rims_that_no_wire_could_lie_on_are_refused(arm, message):
    with pytest.raises(LayoutError) as caught:
        rim_known(arm, KEY)
    assert message in caught.value.message
    assert caught.value.hint
    assert caught.value.key == (*KEY, "rim")


@pytest.mark.parametrize(
    "arm",
    [
        Arm(name="a", length=0.02, angle=0.0),
        Arm(name="a", length=0.02, angle=0.0, wound=-1),
        drum((0, 20), (360, 20)),
        drum((0, 20), (90, 20 * RATIO - 1)),
        drum((0, 20), (40, 12), (90, 20)),
    ],
)
def test_and_those_that_it_could_are_not(arm):
    rim_known(arm, KEY)
