"""Closest distances against others' geometry, dense looking and a solver.

SciPy's bounded minimiser of a convex distance, and brute force over a grid, are the
witnesses; of two bars also the quadratic programme solved by `scipy.optimize`.
"""

import math
from itertools import product

import numpy as np
import pytest
from scipy.optimize import lsq_linear, minimize_scalar

from linkage.gaps.distance import Bar, to_bar, to_box, to_plane, to_point
from linkage.gaps.pierced import to_pierced

RNG = np.random.default_rng(20)
MANY = 40


def bars(n, spread=0.3):
    start = RNG.uniform(-spread, spread, (3, n))
    way = RNG.uniform(-spread, spread, (3, n))
    way[:, ::7] *= 1e-3  # short ones
    way[:, ::11] = 0.0  # points
    return Bar(start, way)


def at(bar, i, share):
    return bar.start[:, i] + share * bar.way[:, i]


def test_two_bars_as_bounded_least_squares():
    one, two = bars(MANY), bars(MANY)
    # Some parallel, some that cross, some on one line.
    two.way[:, ::5] = 0.7 * one.way[:, ::5]
    two.way[:, 1::10] = one.way[:, 1::10] * (1 + 1e-13)
    two.start[:, 3::10] = one.start[:, 3::10] + 0.4 * one.way[:, 3::10]
    two.start[:, 4::10] = one.start[:, 4::10] + 1.5 * one.way[:, 4::10]
    two.way[:, 4::10] = one.way[:, 4::10]
    found = to_bar(one, two)
    for i, apart in enumerate(found.apart(one)):
        matrix = np.column_stack([one.way[:, i], -two.way[:, i]])
        right = two.start[:, i] - one.start[:, i]
        solved = lsq_linear(matrix, right, (0, 1), method="bvls", tol=1e-15)
        assert apart == pytest.approx(math.sqrt(2 * solved.cost), abs=1e-9)
        onto = to_point(Bar(two.start[:, i], two.way[:, i]), found.there[:, i])
        assert onto.apart(Bar(two.start[:, i], two.way[:, i])) < 1e-12


def least_over(distance):
    """Return the least of a function of the share: dense looks, the best solved again."""
    looks = np.linspace(0, 1, 301)
    values = [distance(share) for share in looks]
    k = int(np.argmin(values))
    low, high = looks[max(k - 1, 0)], looks[min(k + 1, 300)]
    solved = minimize_scalar(
        distance, bounds=(low, high), method="bounded", options={"xatol": 1e-13}
    )
    return min(values[k], solved.fun)


def axes_at(angle):
    c, s = math.cos(angle), math.sin(angle)
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    lean = np.array([[1, 0, 0], [0, 0.8, -0.6], [0, 0.6, 0.8]])
    return turn @ lean


@pytest.mark.parametrize("seed", range(4))
def test_a_bar_and_a_box_as_dense_looking(seed):
    one = bars(12)
    axes = axes_at(seed)
    middle, half = RNG.uniform(-0.1, 0.1, 3), RNG.uniform(0.01, 0.12, 3)
    ways = tuple(axes[:, i][:, None] for i in range(3))
    found = to_box(one, middle[:, None], ways, tuple(half)).apart(one)
    for i, apart in enumerate(found):

        def distance(share, i=i):
            local = axes.T @ (at(one, i, share) - middle)
            return float(np.linalg.norm(np.maximum(np.abs(local) - half, 0)))

        assert apart == pytest.approx(least_over(distance), abs=1e-9)


def test_a_bar_and_a_box_at_its_faces_edges_and_corners():
    ways = tuple(np.eye(3)[:, i : i + 1] for i in range(3))
    for corner in product((-1, 1), repeat=3):
        away = np.array(corner, float)[:, None] * 2.0
        bar = Bar(away, away * 0.5)
        apart = to_box(bar, np.zeros((3, 1)), ways, (1.0, 1.0, 1.0)).apart(bar)
        assert apart == pytest.approx(math.sqrt(3), abs=1e-15)
    along = Bar(np.array([[-5.0], [1.5], [0.0]]), np.array([[10.0], [0.0], [0.0]]))
    assert to_box(along, np.zeros((3, 1)), ways, (1.0, 1.0, 1.0)).apart(along) == 0.5
    through = Bar(np.array([[-5.0], [0.2], [0.1]]), np.array([[10.0], [0.3], [0.0]]))
    assert to_box(through, np.zeros((3, 1)), ways, (1.0,) * 3).apart(through) == 0.0


def test_a_bar_and_a_plane():
    one = bars(MANY)
    normal = np.array([[0.6], [0.0], [0.8]])
    foot = np.array([[0.05], [0.0], [0.02]])
    found = to_plane(one, foot, normal).apart(one)
    for i, apart in enumerate(found):
        ends = [float((at(one, i, s) - foot[:, 0]) @ normal[:, 0]) for s in (0, 1)]
        want = 0.0 if ends[0] * ends[1] < 0 else min(map(abs, ends))
        assert apart == pytest.approx(want, abs=1e-12)


def rim_or_plane(point, normal, middle, radius):
    height = (point - middle) @ normal
    out = point - middle - height * normal
    far = float(np.linalg.norm(out))
    return abs(height) if far >= radius else math.hypot(height, radius - far)


@pytest.mark.parametrize("seed", range(6))
def test_a_bar_and_a_plane_with_a_hole_as_dense_looking(seed):
    rng = np.random.default_rng(seed)
    normal = rng.normal(size=3)
    normal /= np.linalg.norm(normal)
    middle, radius = rng.uniform(-0.05, 0.05, 3), rng.uniform(0.01, 0.05)
    n = 16
    through = middle[:, None] + rng.uniform(-0.03, 0.03, (3, n))
    way = rng.uniform(-0.3, 0.3, (3, n))
    way[:, :4] = normal[:, None] * rng.uniform(0.1, 0.3, 4)  # square to it
    way[:, 4:8] -= normal[:, None] * (normal @ way[:, 4:8])  # along it
    way[:, 8] = 0.0
    start = through - rng.uniform(0, 1, n) * way
    start[:, 3] = middle  # the middle itself, from which all of the rim is as far
    bar = Bar(start, way)
    pieces = (normal[:, None], middle[:, None])
    found = to_pierced(bar, pieces[1], pieces[0], pieces[1], radius).apart(bar)
    for i, apart in enumerate(found):
        want = least_over(
            lambda s, i=i: rim_or_plane(at(bar, i, s), normal, middle, radius)
        )
        assert apart == pytest.approx(want, abs=2e-8)


def test_rows_and_positions_are_as_each_alone():
    rng = np.random.default_rng(1)
    start, way = rng.uniform(-1, 1, (2, 3, 4, 5, 6))  # bars, rows, positions
    foot = rng.uniform(-0.1, 0.1, (3, 1, 5, 1))
    normal = np.broadcast_to(np.array([0.0, 0.6, 0.8]).reshape(3, 1, 1, 1), foot.shape)
    radius = rng.uniform(0.1, 0.8, (5, 1))
    bar = Bar(start, way)
    found = to_pierced(bar, foot, normal, foot, radius).apart(bar)
    for k, j, i in product(range(4), range(5), range(6)):
        alone = Bar(start[:, k, j, i, None], way[:, k, j, i, None])
        own = [v[:, 0, j, 0, None] for v in (foot, normal)]
        one = to_pierced(alone, own[0], own[1], own[0], float(radius[j, 0]))
        assert found[k, j, i] == pytest.approx(float(one.apart(alone)[0]), abs=1e-12)
