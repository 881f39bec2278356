"""Directions by ISO 8855 (x forward, y left, z up) and the viewer of each shaft."""

from __future__ import annotations

import math

import numpy as np
import pytest

from linkage.errors import LayoutError
from linkage.model import NAMED, axis_from_vector, turning
from linkage.model.axes import add, cross, dot, norm, unit


@pytest.mark.parametrize("axis", NAMED.values(), ids=NAMED)
def test_named_axes_are_right_handed_with_v_as_drawn(axis):
    assert cross(axis.u, axis.v) == axis.n
    assert norm(axis.u) == norm(axis.v) == norm(axis.n) == 1


def test_viewers_stand_where_the_words_say():
    """Right is -y, behind is -x, above is +z (ISO 8855)."""
    assert (NAMED["across"].n, NAMED["across"].seen_from) == ((0, -1, 0), "the right")
    assert (NAMED["along"].n, NAMED["along"].seen_from) == ((-1, 0, 0), "behind")
    assert (NAMED["upright"].n, NAMED["upright"].seen_from) == ((0, 0, 1), "above")


@pytest.mark.parametrize(
    ("vector", "name"),
    [((0, -3, 0), "across"), ((-1, 0, 0), "along"), ((0, 0, 0.2), "upright")],
)
def test_vector_along_a_named_axis_is_that_axis(vector, name):
    assert axis_from_vector(vector) is NAMED[name]


@pytest.mark.parametrize(
    "vector",
    [(0, 1, 0), (1, 0, 0), (0, 0, -1), (1, 2, 3), (1e-7, 0, -1), (0.1, -5, 0.2)],
)
def test_any_vector_gives_a_right_handed_basis_as_upright_as_can_be(vector):
    axis = axis_from_vector(vector)
    basis = np.array([axis.u, axis.v, axis.n])
    assert np.allclose(basis @ basis.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(basis) == pytest.approx(1)
    assert dot(axis.n, unit(vector)) == pytest.approx(1)
    assert axis.v[2] >= 0
    assert axis.u[2] == pytest.approx(0, abs=1e-6)
    assert axis.vector == vector
    assert "the tip of [" in axis.seen_from


def apart(one, other):
    """The angle between two directions. [rad]"""
    return math.acos(min(max(dot(one, other), -1.0), 1.0))


OPPOSITE = {
    (0, 1, 0): ((-1, 0, 0), (0, 0, 1)),
    (1, 0, 0): ((0, 1, 0), (0, 0, 1)),
    (0, 0, -1): ((1, 0, 0), (0, -1, 0)),
}
SIX = {a.n: (a.u, a.v) for a in NAMED.values()} | OPPOSITE


@pytest.mark.parametrize("lean_deg", [1e-9, 1e-4, 0.01, 0.573, 1.0, 4.99])
@pytest.mark.parametrize("plumb", SIX, ids=str)
def test_a_vector_near_a_named_axis_counts_from_the_same_zero(plumb, lean_deg):
    """Whichever way it leans, and of vectors that point the opposite way alike."""
    u, v = SIX[plumb]
    lean, allowed = math.tan(math.radians(lean_deg)), math.radians(lean_deg) * 1.001
    bases = []
    for around in range(0, 360, 15):
        way = math.radians(around)
        side = add(add((0, 0, 0), u, math.cos(way)), v, math.sin(way))
        axis = axis_from_vector(add(plumb, side, lean))
        assert apart(axis.u, u) <= allowed + 3e-8, around
        assert apart(axis.v, v) <= allowed + 3e-8, around
        bases.append([axis.u, axis.v, axis.n])
    basis = np.array(bases)
    turned = basis @ basis.transpose(0, 2, 1)
    assert np.allclose(turned, np.eye(3), atol=1e-12)
    assert np.linalg.det(basis) == pytest.approx(1)


@pytest.mark.parametrize("up", [1, -1])
def test_the_zero_changes_at_five_degrees_from_plumb_and_says_so(up):
    """Leaning to the left, level is along the vehicle; leaning forward, across it."""
    lean = [(0, math.tan(math.radians(d)), up) for d in (4.99, 5.01)]
    near, far = map(axis_from_vector, lean)
    assert near.zero == "forward, as nearly as its axis allows"
    assert apart(near.u, (1, 0, 0)) < 1e-12
    assert far.zero == "level, toward [-1, 0, 0]"
    assert far.v[2] > 0
    ahead = axis_from_vector((math.tan(math.radians(5.01)), 0, up))
    assert ahead.zero == "level, toward [0, 1, 0]"
    assert {a.zero for a in NAMED.values()} == {""}


@pytest.mark.parametrize(
    "vector", [(0, 0, 0), (1e-12, 0, 0), (math.nan, 0, 1), (0, math.inf, 1)]
)
def test_vector_without_direction_is_refused(vector):
    with pytest.raises(LayoutError, match="zero length") as caught:
        axis_from_vector(vector, key=("shafts", "spindle", "axis"))
    assert caught.value.key == ("shafts", "spindle", "axis")
    assert "across" in caught.value.hint


def test_small_algebra():
    assert add((1, 2, 3), (1, 1, 1), -2) == (-1, 0, 1)
    assert unit((0, 3, 4)) == (0, 0.6, 0.8)
    assert turning(1) == "anticlockwise"
    assert turning(-1) == "clockwise"


@pytest.mark.parametrize(
    ("axis", "there", "back", "viewer"),
    [
        ("across", "to the right", "to the left", (0, -1, 0)),
        ("along", "to the rear", "to the front", (-1, 0, 0)),
        ("upright", "up", "down", (0, 0, 1)),
    ],
)
def test_an_offset_says_to_which_side_it_goes(axis, there, back, viewer):
    """Positive is toward the viewer, who stands where the axis is seen from."""
    shaft = NAMED[axis]
    assert shaft.n == viewer
    said = (shaft.toward(0.02), shaft.toward(-0.02), shaft.toward(0.0))
    assert said == (there, back, "")


def test_an_offset_along_a_skew_shaft_goes_toward_its_viewer_or_away():
    skew = axis_from_vector((1, 1, 0))
    assert skew.toward(0.02) == f"toward {skew.seen_from}"
    assert skew.toward(-0.02) == f"away from {skew.seen_from}"
