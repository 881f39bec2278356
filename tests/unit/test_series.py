"""Rows of values in words: ranges and lists, one unit for all."""

from __future__ import annotations

import math

import pytest

from linkage.errors import UnitError, UsageError
from linkage.units.series import Series, parse_series

MM = 1e-3
INCH = 0.0254


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("25 to 45 mm by 0.5 mm", "length", Series(low=25 * MM, high=45 * MM, step=0.5 * MM)),
        ("25 mm to 45 mm by 0.5", "length", Series(low=25 * MM, high=45 * MM, step=0.5 * MM)),
        ("25 to 45 by 0.5 mm", "length", Series(low=25 * MM, high=45 * MM, step=0.5 * MM)),
        ("25 to 45 mm", "length", Series(low=25 * MM, high=45 * MM)),
        ("  1 to 1 1/2 in by 1/16 in ", "length", Series(low=INCH, high=1.5 * INCH, step=INCH / 16)),
        ("1 in to 40 mm", "length", Series(low=INCH, high=40 * MM)),
        ("-60 to -20 deg by 5 deg", "angle", Series(low=math.radians(-60), high=math.radians(-20), step=math.radians(5))),
        ("0.2 to 1 N/mm by 0.1 N/mm", "rate", Series(low=200, high=1000, step=100)),
    ],
)  # fmt: skip
def test_ranges(text, kind, expected):
    found = parse_series(text, kind)
    assert found.values == ()
    assert (found.low, found.high, found.step) == pytest.approx(
        (expected.low, expected.high, expected.step)
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("28, 31, 34 mm", [28 * MM, 31 * MM, 34 * MM]),
        ("28 mm, 1 1/4 in", [28 * MM, 1.25 * INCH]),
        ("28, 30 mm, 1, 1 1/4 in", [28 * MM, 30 * MM, INCH, 1.25 * INCH]),
        ("32 mm", [32 * MM]),
        ("2.5 cm", [25 * MM]),
    ],
)
def test_lists_take_the_unit_of_what_follows(text, expected):
    assert parse_series(text, "length").values == pytest.approx(expected)


def test_degrees_may_be_a_sign():
    assert parse_series("45°, 60°", "angle").values == pytest.approx(
        [math.pi / 4, math.pi / 3]
    )


@pytest.mark.parametrize("text", ["28 mm,, 31 mm", ",", "", "28 mm,", " , 3 mm"])
def test_neither_range_nor_list(text):
    with pytest.raises(UsageError, match="neither a range nor a list") as caught:
        parse_series(text, "length")
    assert "to 45 mm" in caught.value.hint


@pytest.mark.parametrize("text", ["25 to 45", "28, 31", "25 to 45 N", "a to b mm", "25 to 45 mm by x mm", "9**9 mm", "1 to 2 to 3 mm"])  # fmt: skip
def test_values_that_are_none(text):
    with pytest.raises(UnitError):
        parse_series(text, "length")
