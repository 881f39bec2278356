"""The table of quantities: one word everywhere, and honest conversion."""

from __future__ import annotations

import math

import pytest

from linkage.model.usual import USUAL
from linkage.quantities import QUANTITIES, SHOWN, say, shown, speak_in
from linkage.shown_units import closely
from linkage.spoken import say_hole, say_rod

#: SI value of one shown unit, by definition of the unit and from nowhere else.
DEFINED = {
    "length": 0.001, "angle": math.pi / 180, "force": 1, "rate": 1000, "torque": 1,
    "torsion rate": 180 / math.pi, "mass": 1, "time": 1, "stress": 1e6,
    "temperature": 1, "fraction": 0.01, "ratio": 1,
    "angle per travel": math.pi / 180 * 1000, "inertia": 1,
}  # fmt: skip


@pytest.mark.parametrize("kind", SHOWN)
def test_factor_is_the_definition_of_the_unit(kind):
    assert SHOWN[kind].factor == pytest.approx(DEFINED[kind], rel=1e-15)
    assert shown(SHOWN[kind].factor, kind) == pytest.approx(1)


def test_kinds_of_all_rows_are_known_and_meanings_are_sentences():
    for name, row in QUANTITIES.items():
        assert row.name == name
        assert row.kind in SHOWN
        assert row.meaning.endswith(".")
        assert row.symbol


def test_columns_are_unique_and_fit_csv_and_json():
    columns = [row.column for row in QUANTITIES.values()]
    assert len(set(columns)) == len(columns)
    for column in columns:
        assert column.isidentifier()


def test_columns_that_the_output_promises():
    assert QUANTITIES["pad travel"].column == "pad_travel_mm"
    assert QUANTITIES["throttle angle"].column == "throttle_angle_deg"
    assert QUANTITIES["local ratio"].column == "local_ratio_deg_per_mm"
    assert QUANTITIES["dead-centre margin"].column == "dead_centre_margin_deg"


def test_labels():
    assert QUANTITIES["pad travel"].label == "pad travel [mm]"
    assert SHOWN["ratio"].unit == ""


@pytest.mark.parametrize(
    ("value", "kind", "decimals", "text"),
    [
        (0.0125, "length", None, "12.5 mm"),
        (0.0125, "length", 0, "12 mm"),
        (-1e-9, "length", None, "0.0 mm"),
        (-0.001, "length", None, "-1.0 mm"),
        (math.pi / 4, "angle", None, "45.0°"),
        (0.5, "fraction", 0, "50%"),
        (2.5, "ratio", None, "2.500"),
        (3.2, "force", None, "3.2 N"),
    ],
)
def test_numbers_as_people_read_them(value, kind, decimals, text):
    assert say(value, kind, decimals) == text


def test_a_ratio_has_neither_suffix_nor_bracket():
    from linkage.quantities import Quantity

    plain = Quantity("speed ratio", "ratio", "i", "Driven turn a turn of the driver.")
    assert plain.column == "speed_ratio"
    assert plain.label == "speed ratio"


def test_spoken_units_have_pints_factors():
    from linkage.quantities import SPOKEN
    from linkage.units import to_si

    words = {"°/in": "deg/in", "lbf·in/°": "lbf·in/deg"}
    for kind, units in SPOKEN.items():
        for word, row in units.items():
            written = words.get(word, word)
            assert row.unit == word
            assert row.si == SHOWN[kind].si
            assert row.factor == pytest.approx(to_si(1, kind, written), rel=1e-12)


@pytest.mark.parametrize(
    ("kind", "values", "digits", "told"),
    [
        ("ratio", (1.97, 2.0), 1, ("1.97", "2.00")),
        ("ratio", (1.5, 2.0), 1, ("1.5", "2.0")),
        ("fraction", (0.97996, 0.98), 1, ("97.996%", "98.000%")),
        ("length", (1.23456e-3, 1.2e-3), 1, ("1.23 mm", "1.20 mm")),
        ("length", (1.0000001e-3, 1.0e-3), 1, ("1.0 mm", "1.0 mm")),
        ("ratio", (float("nan"), 2.0), 1, ("nan", "2.0")),
        ("ratio", (float("inf"), 2.0), 1, ("inf", "2.0")),
    ],
)
def test_values_that_would_read_alike_take_more_digits(kind, values, digits, told):
    with closely(kind, values, digits):
        assert tuple(say(v, kind, digits) for v in values) == told
    # And none of what is said afterwards does.
    assert say(1.0, "ratio", 1) == "1.0"


def test_more_digits_count_in_the_unit_that_is_spoken():
    speak_in({"length": "in"})
    with closely("length", (25.4e-3, 25.42e-3), 1):
        assert say(25.4e-3, "length") == "1.000 in"
        assert say(25.42e-3, "length") == "1.001 in"


@pytest.mark.parametrize("speak", [{}, {"length": "in"}])
def test_a_cut_length_that_is_not_known_has_no_fraction_beside(speak):
    speak_in(speak)
    assert say_rod(math.nan) == say(math.nan, "length")
    assert say_hole(math.inf, 2) == say(math.inf, "length")


def test_bounds_of_usual_sizes_have_four_digits_at_most_in_any_unit():
    assert USUAL["place"].range == "up to 4000 mm"
    speak_in({"length": "in"})
    assert USUAL["place"].range == "up to 160 in"  # not 157.48
    assert USUAL["rod"].range == "1.18 in to 59.06 in"
