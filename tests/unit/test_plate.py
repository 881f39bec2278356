"""Open area of a plate, against integration that shares no step with the formula."""

import numpy as np
import pytest
from scipy.integrate import quad

from linkage.errors import LayoutError
from linkage.model import Throttle
from linkage.motion.plate import most_area, open_area, rest_of_area


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


@pytest.mark.parametrize("ratio", [0.0, 0.1, 0.21, 0.45])
def test_the_most_that_opens_is_the_plate_edge_on(ratio):
    def throttle(**more):
        sizes = {"bore": 0.04, "spindle": 0.04 * ratio, **more}
        return Throttle(name="t", shaft="s", opens=1, swing=1.3, **sizes)

    # What the spindle, as a strip across the bore, leaves of a circle of radius 1.
    left, _ = quad(lambda x: max(np.sqrt(1 - x * x) - ratio, 0.0), 0.0, 1.0)
    assert float(most_area(throttle())) == pytest.approx(4 * left / np.pi, abs=1e-7)
    assert most_area(throttle(bore=0.0, spindle=0.0)) is None
    assert most_area(throttle(kind="kickdown")) is None


@pytest.mark.parametrize(
    ("area", "most", "share", "said"),
    [
        ([0, 0.5, 0.72], 0.722, 1.0, "the spindle takes the rest of the bore"),
        ([0, 0.72, 0.6], 0.722, 1.0, "the plate has turned past edge-on"),
        ([0, 0.3, 0.5], 0.722, 0.7, "the plate is not fully open"),
        ([0, 0.3, 0.5], 0.722, 1.0, "the plate is not edge-on, plate and spindle take the rest"),
        ([0, 0.9, 0.999], 1.0, 1.0, ""),
    ],
)  # fmt: skip
def test_what_takes_the_rest_of_the_bore(area, most, share, said):
    assert rest_of_area(np.array(area), most, share) == said


def test_half_a_hundredth_of_the_bore_is_no_rest():
    for short, rest in ((0.00499, ""), (0.00502, "the plate is not fully open")):
        area = np.array([0.0, 0.5, 1.0 - short])
        assert rest_of_area(area, 1.5, 0.9) == rest
    for short, rest in ((0.00499, "the spindle takes"), (0.00502, "the plate is not")):
        area = np.array([0.0, 0.5, 0.7 - short])
        assert rest_of_area(area, 0.7, 0.9).startswith(rest)
