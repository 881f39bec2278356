"""Values that no key of a layout file expects, as they stand in TOML, and hostile names."""

from __future__ import annotations

from typing import Final

#: Signs that steer a terminal, turn words round or cannot be seen.
STEERING: Final = "\\u001b[2J\\u0007\\u202e\\u200d\\u2028\\u007f\\U000e0041"

#: Whole values, as TOML.
VALUES: Final[tuple[str, ...]] = (
    # numbers that are none, or that nobody measures
    "nan", "-nan", "inf", "-inf", "0", "0.0", "-0.0", "-1", "1", "1e-9", "1e-300", "5e-324",
    "1e9", "1e11", "1e12", "-1e12", "1e16", "1e300", "1e308", "1.7976931348623157e308",
    "1e400", "-1e400", "0.1e-400", "9" * 20, "9" * 99, "9" * 309, "9" * 5000, "0." + "0" * 90 + "1",
    "0x7fffffffffffffff", "0xffffffffffffffffffff", "0b1111", "0o777", "1_000", "9007199254740993",
    # quantities in text
    '""', '" "', '"mm"', '"50"', '"50 mm"', '"50 deg"', '"50 N"', '"50 mm/N"', '"50 N/mm"',
    '"0.05 N·m"', '"0.45 N·m/deg"', '"1800 kg"', '"-20 °C"', '"20 s"', '"97 %"', '"101 %"',
    '"-5 mm"', '"1e11 mm"', '"1e-11 mm"', '"1e400 mm"', '"nan mm"', '"inf deg"', '"1/0 in"',
    '"1/3 in"', '"3 1/0 in"', '"1\' 2\\""', '"1 ft 14 in"', '"60 ± 0.5 mm"', '"60 ± 1e11 mm"',
    '"60 ± 60 mm"', '"60 +/- mm"', '"1,5 mm"', '"５０ mm"', '"5٠ mm"', '"50 m m"', '"50 µm"',
    '"50  mm"', '"+50 mm"', '"−50 mm"', '"--50 mm"', '"50 mm mm"', '"1e9999999999 mm"',
    '"' + "9" * 99 + ' mm"', '"' + "1" * 3000 + '"', '"1' + " " * 90 + 'mm"',
    '"0.' + "3" * 19 + ' mm"', '"99999999999999999999/99999999999999999999 in"',
    # words
    '"across"', '"along"', '"upright"', '"clockwise"', '"anticlockwise"', '"ball"', '"clevis"',
    '"pull and push"', '"body"', '"spindle.drum"',
    '"steel"', '"torsion"', '"measured"', '"compression"', '"engine"', '"fixed"', '"kickdown"',
    '"pedal.rod"', '"spindle.lever"', '"spindle."', '".lever"', '"."', '"..."', '"pedal"',
    '"spindle.lever.lever"', '"a.b.c.d.e.f.g.h.i.j"', '"EN 10270-1 SM"', '"unobtainium"',
    # text that is no word
    f'"{STEERING}"', '"\\u0000"', '"$x^{$"', '"$\\\\frac{$ $"', '"_^\\\\{}%#&~"', '"../../etc/passwd"',
    '"/dev/null"', '"C:\\\\NUL"', '"<script>alert(1)</script>"', '"]]>"', '"--><b>"', '"=1+1"',
    '"@SUM(1)"', '"{0.__class__}"', '"%s%n"', '"${HOME}"', '"`id`"', '"__import__(\'os\')"',
    '"' + "a" * 301 + '"', '"' + "a " * 5000 + '"', '"' + "é" * 90 + '"', '"\\U0001f527 中"',
    '"""\nlines\nof\ntext\n"""', "'''\n'''", '"\\u202eabc"', '"a\\nb"', '"[b]"', '"\\ufeff"',
    # other types
    "true", "false", "1979-05-27", "07:32:00", "1979-05-27T07:32:00Z", "1979-05-27 07:32:00.999999",
    "[]", "[[]]", "[1]", "[1, 2]", "[1, 2, 3]", "[1, 2, 3, 4]", "[0, 0, 0]", "[1e300, 1e300, 1e300]",
    "[nan, 0, 0]", "[inf, 0, 0]", "[1e-12, 0, 0]", "[0, 0, 1e-300]", "[1e8, 1, 0]", '["1 mm", 2, 3]',
    '["a", "b"]', "[true, false]", "[{}, {}]", '[["1 N", "2 mm"], ["3 N", "4 mm"]]',
    "[[0, 29], [90, 40]]", "[[0, 29], [90, 1e9]]", "[[0, 29], [359, 29], [360, 1.5]]", "[[0, 29], [1e-9, 500]]",
    "[[0, 29], [40, 1.5], [80, 580], [120, 1.5], [160, 580]]", "[[0, 29], [1e-300, 29]]",
    "[[-900, 120, 140]]", "[[1e8, 0, 0], [-1e8, 0, 0]]", "[[0, 0, 0], [0, 0, 0]]", "[-871, 120, 140.0001]",
    "[[1, 2], [3, 4]]", "[[10, 90], [20, 90]]", "[[1, 2, 3]]", "[" + "1, " * 2000 + "1]", "[" * 7 + "]" * 7, "[" * 40 + "]" * 40,
    "{}", "{ a = 1 }", "{ length = 1 }", "{ point = [0, 0, 0], axis = [0, 0, 1] }", "{ x = {} }",
    "{ length = 50, angle = 50 }", "{ pin = [1, 2, 3] }", "{ a.b.c = 1 }", '{ "" = 1 }',
    # no TOML
    "", "=", "]", "}", '"', "'", "\\", "nil", "null", "1..2", "1e", "+", "0123", "1__0", "#", "[1,,2]",
    "{ a = 1, }", '"\\q"', '"\\ud800"', '"\\U00110000"', "1979-13-45", "25:61:61", "NaN", "True", "\x00", "\x1b",
)  # fmt: skip

#: Names of parts, as they are.
NAMES: Final[tuple[str, ...]] = (
    "", " ", "a b", "a_b", "A_B", ".", "a.b", "..", "[key]", "0", "-1", "nan", "true", "pedal",
    "spindle", "throttle", "pad", "lever", "format", "link", "near", "=1+1", "+x", "-x", "@x",
    "\tx", "\rx", "\x1b[2J", "\u202eabc", "\u200b", "\u2028", "\x00", "\ufffe", "\ud7ff", "é" * 80,
    "a" * 80, "a" * 81, "中" * 80, "a." * 39, "$x$", "$x^{$", r"$\frac{$", "x_y^z", "{0}", "%d",
    "<b>", "&amp;", "]]>", "--", "`x`", "'", '"', "\\", "a,b", "a;b", "a\nb", "../x", "/x", "CON",
    "__proto__", "constructor", "toString", "None", "self", "length", "angle", "pin", "\U0001f527",
)  # fmt: skip

#: Factors and sums by which a number is changed.
FACTORS: Final = (
    0.0, -1.0, 10.0, 0.1, 25.4, 1 / 25.4, 100.0, 0.01, 1000.0, 1e-3, 1e-6, 1e6, 1e9, 1e-9, 0.5, 2.0, 1.01, 0.99,
)  # fmt: skip
ADDED: Final = (1.0, -1.0, 1e-9, -1e-9, 90.0, 180.0, -180.0, 360.0, 1e3, -1e3)
