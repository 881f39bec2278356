"""An error as text."""

from __future__ import annotations

import pytest

from linkage.errors import LayoutError, LinkageError, OutputError, Place, UnitError
from linkage.report.errors import render_error


def _placed(error, *place):
    error.place = Place(*place)
    return error


def test_code_what_where_line_and_hint():
    error = UnitError("`45` has no unit", hint="write `45 deg`")
    _placed(error, "car.toml", "shafts.pedal.arms.pad.angle", 12, "   angle = 45")
    assert render_error(error) == (
        "error[L110]: `45` has no unit\n"
        "  --> car.toml:12  shafts.pedal.arms.pad.angle\n"
        "   |\n"
        "12 | angle = 45\n"
        "\n"
        "hint: write `45 deg`"
    )


@pytest.mark.parametrize(
    ("error", "text"),
    [
        (LinkageError("odd"), "error[L000]: odd"),
        (LayoutError("odd", key=("rods", "last")), "error[L100]: odd\n  --> rods.last"),
        (_placed(LayoutError("odd"), "a.toml"), "error[L100]: odd\n  --> a.toml"),
        (
            _placed(LayoutError("odd"), "a.toml", "pedal"),
            "error[L100]: odd\n  --> a.toml  pedal",
        ),
        (
            _placed(LayoutError("odd"), "a.toml", "", 3, "  "),
            "error[L100]: odd\n  --> a.toml:3",
        ),
        (
            _placed(OutputError("odd", hint="b"), "a.png"),
            "error[L400]: odd\n  --> a.png\n\nhint: b",
        ),
    ],
)
def test_what_is_not_known_is_left_out(error, text):
    assert render_error(error) == text


def test_long_lines_are_cut():
    error = _placed(LayoutError("odd"), "a.toml", "k", 1, "k = " + "x" * 500)
    lines = render_error(error).split("\n")
    assert lines[-1].endswith("...")
    assert len(lines[-1]) < 110


def test_a_file_cannot_steer_the_terminal():
    error = LayoutError("unknown key `\x1b[31m`", hint="\x07\n")
    _placed(error, "a\x1b.toml", "\x9bk", 1, "\x1b]0;title\x07 = 1")
    assert all(c.isprintable() or c == "\n" for c in render_error(error))
