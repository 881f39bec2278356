"""Open area of a plate, against integration that shares no step with the formula."""

import numpy as np
import pytest
from scipy.integrate import quad

from linkage.errors import LayoutError
from linkage.motion.plate import open_area


def integrated(plate_angle, closed_angle, a):
    """Open share by adding up open strips across the bore.

    Independent of the formula: the plate's edge is a tilted ellipse in space,
    (R cos t / cos ψ0, R sin t) in its own plane; its shadow, the spindle's band
    and the bore are laid over each other strip by strip.
    """

    def open_height(t):
        x = np.sin(t)
        edge = np.sqrt(1 - x * x) / np.cos(closed_angle) * abs(np.cos(plate_angle))
        bore = np.sqrt(1 - x * x)
        return max(bore - max(edge, a), 0.0) * np.cos(t)

    # where the spindle leaves the plate's shadow, and where it meets the wall
    k = abs(np.cos(plate_angle)) / np.cos(closed_angle)
    kinks = [np.arccos(a / k) if a < k else 0.0, np.arccos(a)]
    value, error = quad(
        open_height, 0, np.pi / 2, points=kinks, epsabs=1e-12, limit=200
    )
    assert error < 1e-9
    return 4 * value / np.pi


@pytest.mark.parametrize("closed_deg", [0, 5, 10, 20])
@pytest.mark.parametrize("spindle_ratio", [0.0, 0.1, 0.2, 0.45])
def test_equals_numerical_integration(closed_deg, spindle_ratio):
    closed = np.radians(closed_deg)
    angles = closed + np.linspace(0, np.radians(100), 41)
    expected = [integrated(angle, closed, spindle_ratio) for angle in angles]
    assert open_area(angles, closed, spindle_ratio) == pytest.approx(expected, abs=2e-9)


def test_equals_counting_points():
    """A second witness: points spread over the bore that nothing covers."""
    closed, plate, a = np.radians(10), np.radians(50), 0.2
    grid = (np.arange(2000) + 0.5) / 1000 - 1
    x, y = np.meshgrid(grid, grid)
    bore = x**2 + y**2 < 1
    squeeze = np.cos(plate) / np.cos(closed)
    covered = (x**2 + (y / squeeze) ** 2 < 1) | (np.abs(y) < a)
    share = (bore & ~covered).sum() / bore.sum()
    assert open_area(plate, closed, a) == pytest.approx(share, abs=1e-4)


def test_thin_spindle_is_the_plain_cosine_rule():
    # J. B. Heywood, Internal Combustion Engine Fundamentals (1988), section 7.6,
    # for a spindle of no thickness: 1 - cos ψ / cos ψ0 (from memory).
    angles = np.radians([10, 30, 50, 80, 90])
    expected = 1 - np.cos(angles) / np.cos(np.radians(10))
    assert open_area(angles, np.radians(10)) == pytest.approx(expected, abs=1e-15)


def test_never_more_than_the_spindle_leaves_free():
    a = 0.2
    free = 1 - 2 / np.pi * (np.arcsin(a) + a * np.sqrt(1 - a * a))
    hidden = np.arccos(a * np.cos(np.radians(10)))
    beyond = np.linspace(hidden, np.pi - hidden, 9)
    assert open_area(beyond, np.radians(10), a) == pytest.approx([free] * 9, abs=1e-15)
    assert open_area(hidden - 1e-3, np.radians(10), a) < free


def test_shut_is_zero_also_short_of_shut():
    assert open_area(np.radians([0, 5, 10]), np.radians(10), 0.2).tolist() == [0, 0, 0]


@pytest.mark.parametrize(
    ("closed", "ratio"), [(-0.1, 0), (np.pi / 2, 0), (0.1, 1), (0.1, -0.1), (np.nan, 0)]
)
def test_refuses_impossible_plates(closed, ratio):
    with pytest.raises(LayoutError):
        open_area(0.5, closed, ratio)
