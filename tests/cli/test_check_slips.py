"""Slips and questions on the screen, in an error and as plain data."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from tests.cli.conftest import CONFIGS
from tests.slips.cases import sound


@pytest.fixture
def typed(tmp_path):
    """Return what writes a vehicle with one text changed, where it first stands."""

    def write(vehicle, old, new):
        text = sound(vehicle)
        assert old in text
        path = tmp_path / "car.toml"
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        return path

    return write


def _joined(text):
    return " ".join(text.split())


def test_a_slip_is_told_under_the_verdict(run):
    out = run("check", CONFIGS / "fault-wrong-sense.toml").out
    told = _joined(out)
    slip = (
        "or a slip? if `spindle.lever` was looked at from the left, its angle is -52°, "
        "and all fits, with 2 to look at: look again before you cut"
    )
    assert slip in told
    assert told.index("DO NOT FIT") < told.index(slip) < told.index("Why, worst first")


def test_several_are_one_of_these(run):
    told = _joined(run("check", CONFIGS / "fault-spring-over-spindle.toml").out)
    assert (
        "or a slip? One of these makes all fit: look again before you cut - if" in told
    )


def test_an_error_is_told_with_its_slip(run, typed):
    path = typed("quarry", "length   = 15.15", "length   = 51.15")
    result = run("check", path)
    assert result.code == 4
    assert result.out == ""
    told = _joined(result.err)
    assert told.index("hint:") < told.index(
        "or a slip? if two digits of the length of rod `link` were swapped, it is 15.15 in"
    )


def test_a_spring_that_cannot_be_is_told_with_its_slip(run, typed):
    path = typed("orchard", "free_length     = 82", "free_length     = 820")
    result = run("check", path)
    assert result.code == 3
    assert "it is 82 mm, not 820 mm" in _joined(result.err)


def test_an_error_that_names_a_size_is_not_asked_about_again(run, typed):
    path = typed("orchard", '"0.45 N/mm"', '"0 N/mm"')
    result = run("check", path)
    assert result.code == 3
    assert "is that right?" not in result.err


def test_a_sound_layout_is_told_nothing_of_slips(run):
    out = run("check", CONFIGS / "hanging-pedal.toml").out
    assert "slip?" not in out
    assert "is that right?" not in out


def test_an_odd_size_is_asked_about_even_where_it_fits(run, typed):
    path = typed("orchard", "bearing = 14", "bearing = 140")
    result = run("check", path)
    assert result.code == 0
    assert "is that right? the bearing of `cross shaft` is 140 mm" in _joined(
        result.out
    )
    data = json.loads(run("check", path, "--json").out)
    assert data["slips"] == []
    (asked,) = data["questions"]
    assert asked["key"] == ["shafts", "cross shaft", "bearing"]
    assert (asked["value"], asked["usual"], asked["unit"]) == (140.0, [4.0, 40.0], "mm")


def test_a_slip_that_explains_an_odd_size_comes_after_its_question(run, typed):
    result = run("check", typed("orchard", "travel = 78", "travel = 130"))
    assert result.code == 0
    told = _joined(result.out)
    asked = "is that right? the pad travel is 130 mm; pad travels are usually"
    slip = (
        "or a slip? if two digits of the pad travel were swapped, it is 103 mm, not 130"
    )
    assert told.index(asked) < told.index(slip)


def test_what_a_slip_says_of_a_size_is_not_asked_again(run, typed):
    path = typed("orchard", "length = 83", "length = 3.27")
    told = _joined(run("check", path).out)
    assert "was measured in inches, it is 83.1 mm" in told
    assert "is that right?" not in told


def test_slips_as_plain_data(run):
    data = json.loads(run("check", CONFIGS / "fault-wrong-sense.toml", "--json").out)
    (slip,) = data["slips"]
    assert slip["kind"] == "viewer"
    assert slip["where"] == "spindle.lever"
    assert slip["key"] == ["shafts", "spindle", "arms", "lever", "angle"]
    assert (slip["old"], slip["new"], slip["unit"]) == (52.0, -52.0, "°")
    assert slip["leaves"] == []


def test_a_layout_that_fits_loads_no_search_for_slips():
    code = (
        "import sys; from linkage import check, load; from linkage.cli.slips import doubts\n"
        "slips, odd = doubts(check(load(sys.argv[1]).layout)); assert not slips.cut\n"
        "assert 'linkage.slips.suspects' not in sys.modules"
    )
    path = CONFIGS / "hanging-pedal.toml"
    subprocess.run([sys.executable, "-c", code, str(path)], check=True)
