"""The open area of the plate, by integrating what light sees through the bore.

J. B. Heywood, Internal Combustion Engine Fundamentals (1988), section 7.6, from
memory; the strips below know nothing of the formula.
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from linkage.motion.plate import open_area


def by_strips(plate: float, closed: float, spindle: float) -> float:
    """Share of the bore that neither plate nor spindle covers, strip by strip.

    A strip at x along the spindle is 2 h high in the bore; the plate hides its
    tilted half-height, the spindle its radius, whichever is more.
    """
    tilt = abs(math.cos(plate)) / math.cos(closed)

    def clear(x: float) -> float:
        bore = math.sqrt(1 - x * x)
        return 2 * max(bore - max(tilt * bore, spindle), 0.0)

    corners = [math.sqrt(1 - spindle**2)]
    if tilt > spindle:
        corners.append(math.sqrt(1 - (spindle / tilt) ** 2))
    area, _ = quad(clear, 0, 1, points=sorted(corners), limit=400, epsabs=1e-12)
    return 2 * area / math.pi


@pytest.mark.parametrize("closed_deg", [0, 5, 10, 15])
@pytest.mark.parametrize("spindle", [0.0, 0.1, 0.2, 0.3])
@pytest.mark.parametrize("plate_deg", [16, 30, 50, 70, 80, 85, 90, 100])
def test_formula_is_the_integral(plate_deg, closed_deg, spindle):
    plate, closed = math.radians(plate_deg), math.radians(closed_deg)
    assert float(open_area(plate, closed, spindle)) == pytest.approx(
        by_strips(plate, closed, spindle), abs=1e-9
    )


def test_the_form_often_recalled_is_not_the_integral():
    """With the signs of the arcsines the other way the area is wrong."""
    plate, closed, a = math.radians(76), math.radians(10), 0.2
    k = math.cos(plate) / math.cos(closed)
    recalled = 1 - k + 2 / math.pi * (
        -k * math.asin(a / k) + a * math.sqrt(1 - (a / k) ** 2)
        + math.asin(a) - a * math.sqrt(1 - a * a)
    )  # fmt: skip
    assert abs(recalled - by_strips(plate, closed, a)) > 1e-2
