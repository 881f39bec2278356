"""The grammar of quantities, and their conversion against pint and standards."""

from __future__ import annotations

import math
import subprocess
import sys

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linkage import units
from linkage.errors import UnitError
from linkage.quantities import SHOWN
from linkage.units import convert, grammar, inch_fraction, parse, say_in, write
from linkage.units.table import UNITS

REGISTRY = pint.UnitRegistry()

# Exact by international agreement (NIST SP 811, 2008, appendix B.8): inch,
# pound, and standard gravity, from which kgf and lbf follow.
INCH, POUND, GRAVITY = 0.0254, 0.45359237, 9.80665
LBF = POUND * GRAVITY
DEG = math.pi / 180


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("60 mm", "length", 0.06),
        ("60mm", "length", 0.06),
        (" +60  mm ", "length", 0.06),
        ("-60 mm", "length", -0.06),
        ("−60 mm", "length", -0.06),
        (".5 in", "length", 0.5 * INCH),
        ("2 3/8 in", "length", 2.375 * INCH),
        ("-2 3/8 in", "length", -2.375 * INCH),
        ('2.9"', "length", 2.9 * INCH),
        ("2.9 inches", "length", 2.9 * INCH),
        ("2 3/8″", "length", 2.375 * INCH),
        ("3 feet", "length", 36 * INCH),
        ("1 ft 2 in", "length", 14 * INCH),
        ("1' 2\"", "length", 14 * INCH),
        ("1'-2 1/2\"", "length", 14.5 * INCH),
        ("-1 ft 2 in", "length", -14 * INCH),
        ("−1' 2.5\"", "length", -14.5 * INCH),
        ("2 3 / 8 in", "length", 2.375 * INCH),
        ("3/8in", "length", 0.375 * INCH),
        ("6 cm", "length", 0.06),
        ("2 ft", "length", 24 * INCH),
        ("1.5 m", "length", 1.5),
        ("1e-3 m", "length", 0.001),
        ("45 deg", "angle", 45 * DEG),
        ("45°", "angle", 45 * DEG),
        ("0.5 rad", "angle", 0.5),
        ("3 lbf", "force", 3 * LBF),
        ("3 kgf", "force", 3 * GRAVITY),
        ("0.9 N/mm", "rate", 900.0),
        ("900 N/m", "rate", 900.0),
        ("17.91 lbf/in", "rate", 17.91 * LBF / INCH),
        ("0.1 kgf/mm", "rate", 0.1 * GRAVITY * 1000),
        ("3 N·m", "torque", 3.0),
        ("3 Nm", "torque", 3.0),
        ("3 N m", "torque", 3.0),
        ("3 N.m", "torque", 3.0),
        ("3 N*m", "torque", 3.0),
        ("300 Nmm", "torque", 0.3),
        ("3 lbf·in", "torque", 3 * LBF * INCH),
        ("3 lbf ft", "torque", 3 * LBF * 12 * INCH),
        ("3 kgf·cm", "torque", 0.03 * GRAVITY),
        ("0.1 N·m/deg", "torsion rate", 0.1 / DEG),
        ("0.1 Nm/°", "torsion rate", 0.1 / DEG),
        ("100 N·mm/deg", "torsion rate", 0.1 / DEG),
        ("2 N·m/rad", "torsion rate", 2.0),
        ("1 lbf·in/deg", "torsion rate", LBF * INCH / DEG),
        ("2 lb", "mass", 2 * POUND),
        ("60 g", "mass", 0.06),
        ("60 ms", "time", 0.06),
        ("1.4 GPa", "stress", 1.4e9),
        ("82 kpsi", "stress", 82e3 * LBF / INCH**2),
        ("100 psi", "stress", 100 * LBF / INCH**2),
        ("212 degF", "temperature", 100.0),
        ("-40 °F", "temperature", -40.0),
        ("-18 °C", "temperature", -18.0),
        ("98 %", "fraction", 0.98),
        ("0.98", "fraction", 0.98),
        (0.98, "fraction", 0.98),
        (2, "ratio", 2.0),
        ("1.2", "ratio", 1.2),
        ("1.6 deg/mm", "angle per travel", 1.6 * DEG * 1000),
        ("2 deg/in", "angle per travel", 2 * DEG / INCH),
        ("3 kg·m²", "inertia", 3.0),
        ("30000 kg cm^2", "inertia", 3.0),
    ],
)
def test_reads(text, kind, value):
    parsed = parse(text, kind)
    assert parsed.value == pytest.approx(value, rel=1e-12, abs=1e-12)
    assert parsed.tolerance == 0


@pytest.mark.parametrize(
    ("text", "kind", "value", "tolerance", "understood"),
    [
        ("60 ± 0.5 mm", "length", 0.06, 0.0005, "60 mm ± 0.5 mm"),
        ("60 +/- 0.5 mm", "length", 0.06, 0.0005, "60 mm ± 0.5 mm"),
        ("60mm±0.5mm", "length", 0.06, 0.0005, "60 mm ± 0.5 mm"),
        ("2 3/8 ± 1/32 in", "length", 0.060325, INCH / 32, "60.325 mm ± 0.79375 mm"),
        ("6 cm +- 0.5 mm", "length", 0.06, 0.0005, "60 mm ± 0.5 mm"),
        ("50 ± 9 °F", "temperature", 10.0, 5.0, "10 °C ± 5 °C"),
        ("90 ± 1 %", "fraction", 0.9, 0.01, "90 % ± 1 %"),
        ("1.5 ± 0.1", "ratio", 1.5, 0.1, "1.5 ± 0.1"),
    ],
)
def test_reads_tolerances(text, kind, value, tolerance, understood):
    parsed = parse(text, kind)
    assert parsed.value == pytest.approx(value, rel=1e-12)
    assert parsed.tolerance == pytest.approx(tolerance, rel=1e-12)
    assert parsed.understood == understood


@pytest.mark.parametrize(
    ("written", "unit", "value"),
    [
        (60, "mm", 0.06),
        (60.5, "mm", 0.0605),
        ("60 ± 1", "mm", 0.06),
        ("2 3/8", "in", 2.375 * INCH),
        (1, "ft", 12 * INCH),
    ],
)
def test_bare_numbers_take_the_agreed_unit(written, unit, value):
    assert parse(written, "length", default_unit=unit).value == pytest.approx(
        value, rel=1e-12
    )


@pytest.mark.parametrize(
    ("written", "kind", "message", "hint"),
    [
        ("1,5 mm", "length", "decimal comma", "`1.5 mm`"),
        ("1,500 mm", "length", "decimal comma", "thousands"),
        ("2 3/8", "length", "no unit", "a fraction always needs its unit"),
        ("45", "angle", "no unit", "units.angle"),
        (45, "angle", "no unit", "deg, rad"),
        (0.1, "torsion rate", "no unit", "units.torsion_rate"),
        ("9**9**9 mm", "length", "not a number", "50 mm"),
        ("__import__('os')", "length", "not a number", "50 mm"),
        ("nan mm", "length", "not a number", "50 mm"),
        ("inf mm", "length", "not a number", "50 mm"),
        ("0x10 mm", "length", "unknown unit", "mm"),
        ("1_000 mm", "length", "not a number", "50 mm"),
        ("٣ mm", "length", "not a number", "50 mm"),
        ("\t3 mm", "length", "not a number", "50 mm"),
        ("3 mm\n", "length", "unknown unit", "mm"),
        ("", "length", "empty", "50 mm"),
        ("   ", "ratio", "empty", "`50`"),
        ("mm", "length", "not a number", "50 mm"),
        ("60 ± mm", "length", "not a number", "50 mm"),
        ("60 ± -1 mm", "length", "not a number", "50 mm"),
        ("2 3 mm", "length", "not a number", "50 mm"),
        ("12 MM", "length", "unknown unit `MM`", "did you mean `mm`?"),
        ("12 inche", "length", "unknown unit", "units of length"),
        ("1 ft 14 in", "length", "14 inches after its feet", "less than 12"),
        ("1 ft 2", "length", "unknown unit", "did you mean `ft`?"),
        ("1 ft 2 mm", "length", "unknown unit", "units of length"),
        ("12 furlong", "length", "unknown unit", "units of length: mm"),
        ("3 m m", "length", "unknown unit", "mm"),
        ("5 percent", "angle", "unknown unit", "deg, rad"),
        ("12 deg", "length", "unit of angle, not of length", "mm"),
        ("5 mm", "ratio", "unit of length, not of ratio", "plain number"),
        ("5 wide", "ratio", "unknown unit", "plain number"),
        ("60 rpm", "time", "unknown unit", "s, ms"),
        ("3/0 in", "length", "zero under", "3/8"),
        ("2 3/00 in", "length", "zero under", "3/8"),
        ("1" * 21 + " mm", "length", "more than 20 digits", "round"),
        ("0." + "1" * 21 + " mm", "length", "more than 20 digits", "round"),
        ("1e99 mm", "length", "can be measured", "digits"),
        (1e13, "ratio", "can be measured", "decimal"),
        (math.nan, "length", "can be measured", "decimal"),
        (math.inf, "length", "can be measured", "decimal"),
        (True, "length", "true or false", "50 mm"),
        ([1], "length", "a list", "50 mm"),
        ({}, "length", "a table", "50 mm"),
        (None, "length", "empty", "50 mm"),
        (b"1", "length", "a bytes", "50 mm"),
        (98, "fraction", "between 0 and 1", "98 %"),
        ("101 %", "fraction", "between 0 and 1", "98 %"),
        (-0.1, "fraction", "between 0 and 1", "98 %"),
    ],
)
def test_refuses(written, kind, message, hint):
    with pytest.raises(UnitError) as caught:
        parse(written, kind, key=("rods", "last"))
    error = caught.value
    assert message in error.message
    assert hint in error.hint
    assert error.key == ("rods", "last")
    assert len(error.message) < 120


@pytest.mark.parametrize(
    "text", ["1" * 5000, "1" + " " * 5_000_000 + "x"], ids=["digits", "gap"]
)
def test_huge_text_is_refused_at_once(text):
    with pytest.raises(UnitError) as caught:
        parse(text, "length")
    assert len(caught.value.message) < 120


def test_a_fraction_never_takes_an_agreed_metric_unit():
    with pytest.raises(UnitError, match="no unit"):
        parse("2 3/8", "length", default_unit="mm")


@pytest.mark.parametrize("kind", SHOWN)
def test_factors_agree_with_pint(kind):
    """Ours without pint, and pint's own (its registry cites CODATA and NIST)."""
    quantity = REGISTRY.Quantity
    for word, unit in UNITS[kind].items():
        if kind == "temperature":
            theirs = quantity(68.0, unit.pint).to(convert.SI[kind]).magnitude
            ours = parse(f"68 {word}", kind).value
        else:
            theirs = quantity(0.68, unit.pint).to(convert.SI[kind]).magnitude
            ours = parse(f"0.68 {word}", kind).value
        assert ours == pytest.approx(theirs, rel=1e-12, abs=1e-9)
    if UNITS[kind]:
        shown = UNITS[kind][convert.shown_word(kind)]
        step = shown.pint.replace("degree_C", "delta_degree_C")
        si = convert.SI[kind].replace("degree_C", "delta_degree_C")
        assert quantity(1.0, step).to(si).magnitude == pytest.approx(
            SHOWN[kind].factor, rel=1e-14
        )


def test_kinds_are_those_of_the_quantities():
    assert set(units.KINDS) == set(SHOWN) == set(convert.SI)


def test_every_kind_has_a_unit_that_is_si_itself():
    for kind in SHOWN:
        if UNITS[kind] and kind != "fraction":
            assert convert.SI[kind] in {unit.pint for unit in UNITS[kind].values()}


@given(st.decimals(min_value=-999, max_value=999, places=4))
def test_millimetres_are_read_as_exactly_as_a_float_can(number):
    assert parse(f"{number:f} mm", "length").value == float(number / 1000)


def _fault(text, **options):
    """Return the error that a text gives, or None where it is read."""
    try:
        value = parse(text, "length", **options).value
    except UnitError as error:
        return error
    return None if math.isfinite(value) else value


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_with_a_cure(text):
    error = _fault(text)
    assert error is None or error.hint


@given(st.from_regex(grammar.number_pattern("length"), fullmatch=True))
def test_the_pattern_of_the_schema_is_the_grammar(text):
    """What the pattern lets through fails for its size or a zero, if at all."""
    error = _fault(text[:100].strip(), default_unit="in")
    outside = ("zero under", "can be measured", "inches after its feet")
    assert len(text) > 100 or error is None or any(w in error.message for w in outside)


@pytest.mark.parametrize(
    ("value", "denominator", "text"),
    [
        (0.060325, 32, "2 3/8 in"),
        (0.0254, 64, "1 in"),
        (0.0, 32, "0 in"),
        (-0.00001, 32, "0 in"),
        (-0.060325, 32, "-2 3/8 in"),
        (INCH / 64, 64, "1/64 in"),
        (0.999 * INCH, 32, "1 in"),
    ],
)
def test_inch_fractions(value, denominator, text):
    assert inch_fraction(value, denominator) == text


@given(st.integers(-6400, 6400))
def test_inch_fractions_read_back(steps):
    text = inch_fraction(steps / 64 * INCH, 64)
    assert parse(text, "length").value == pytest.approx(steps / 64 * INCH, abs=1e-15)


def test_says_in_a_chosen_unit():
    assert say_in(0.0254, "length", "in") == "1.000 in"
    assert say_in(100.0, "temperature", "degF", 0) == "212 degF"
    assert say_in(-1e-9, "length", "mm", 1) == "0.0 mm"


def test_what_travels_is_what_pint_says():
    """To the last digit; after a change of the table write it anew."""
    assert write.PLACE.read_text(encoding="utf-8") == write.module_text()


@pytest.mark.parametrize("kind", SHOWN)
def test_every_unit_has_pints_own_line(kind):
    exact = write.registry()
    for word in UNITS[kind]:
        factor, offset = convert.line(kind, word)
        theirs = write.ask(exact, kind, word)
        assert factor == pytest.approx(theirs[0], rel=1e-15)
        assert offset == theirs[1]


def test_no_unit_starts_pint():
    code = (
        "import sys; from linkage.units import parse; "
        "parse('60 mm', 'length'); parse('2 3/8 in', 'length'); parse('3 lbf', 'force'); "
        "parse('68 degF', 'temperature'); assert 'pint' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
