"""The file of readings: what it says, in whose units, and what is wrong with it."""

from __future__ import annotations

import math

import pytest

from linkage.config import load, loads
from linkage.config.readings import load_readings
from linkage.errors import LinkageError
from linkage.model.readings import LEAST_PULL, MOST, READ_WITH
from tests.cli.conftest import CONFIGS
from tests.inches import VAN

TRUCK = CONFIGS / "hanging-pedal.toml"


def of(tmp_path, text, loaded=None):
    path = tmp_path / "read.toml"
    path.write_text("format = 1\n" + text, encoding="utf-8")
    return load_readings(path, loaded or load(TRUCK))


ALL = """
full = "69 mm ± 0.5 mm"
throttle = [[0, 0], ["20 mm", "22 deg"], ["40 mm ± 2 mm", "43 deg ± 3 deg"]]
[measured]
rods = "caliper"
[levers]
spindle.lever = [[0, "52 deg"]]
[rods]
link = "431.6 mm"
[pulls]
spindle.lever = [["50 mm", "44 N", "34 N"]]
"""


def test_every_reading_is_read_with_what_it_is_known_to(tmp_path):
    full, shut, one, two, lever, rod, pull = of(tmp_path, ALL)
    assert (full.what, full.value, full.error) == ("full", 0.069, 0.5e-3)
    # The pad is where it is with the pedal up, whatever it is read with.
    assert (shut.pad, shut.pad_error) == (0.0, 0.0)
    assert one.value == pytest.approx(math.radians(22))
    assert (one.by, one.error) == ("pointer", READ_WITH["throttle"].usually)
    assert one.pad_error == READ_WITH["pad"].usually
    assert (two.by, two.pad_error) == ("", 2e-3)
    assert two.error == pytest.approx(math.radians(3))
    assert lever.called == "angle of arm `spindle.lever` with the pedal up"
    assert (rod.by, rod.error) == ("caliper", 0.2e-3)
    assert (pull.value, pull.rubs) == (39.0, 5.0)
    assert pull.error == pytest.approx(3.9)


def test_a_small_pull_is_read_no_better_than_a_balance_shows(tmp_path):
    (pull,) = of(tmp_path, 'pulls.spindle.lever = [[0, "1 N", "0.6 N"]]')
    assert pull.error == LEAST_PULL


def test_bare_numbers_are_in_the_units_of_the_layout_or_its_own(tmp_path):
    van = loads(VAN)
    rod = next(iter(van.layout.rods))
    (theirs,) = of(tmp_path, f"rods.{rod} = 8", van)
    assert theirs.value == pytest.approx(8 * 0.0254)
    (own,) = of(tmp_path, f'units.length = "mm"\nrods.{rod} = 8', van)
    assert own.value == pytest.approx(0.008)


def test_each_of_several_throttles_is_read_by_name(tmp_path):
    twin = load(CONFIGS / "twin-side-draught.toml")
    text = 'throttles.front = [["20 mm", "20 deg"]]\nthrottles.rear = [["20 mm", "21 deg"]]'
    one, two = of(tmp_path, text, twin)
    assert [r.about.name for r in (one, two)] == ["front", "rear"]
    assert two.called == "angle of throttle `rear` at 20.0 mm of pad"


@pytest.mark.parametrize(
    ("text", "line", "says", "does"),
    [
        ("", None, "nothing was read", "at least one"),
        ('ful = "70 mm"', 2, "unknown key `ful`", "did you mean `full`"),
        ('full = "70 kg"', 2, "unit of mass", "units of length"),
        ('full = "-70 mm"', 2, "negative", "zero or more"),
        ('full = "700 mm"', 2, "the pedal goes 76.0 mm", "check the unit"),
        ("full = [", 2, "not TOML", ""),
        ('throttle = [["20 mm"]]', 2, "too few values", "two: [pad travel"),
        ('throttle = [["2 mm", 3, 4]]', 2, "too many values", "two: [pad travel"),
        ('throttle = ["2 mm", 3]', 2, "must be a list", "two: [pad travel"),
        ('throttle = [["2 mm", "189 deg"]]', 2, "189.0° open", "half a turn"),
        ('throttles.left = [["2 mm", 3]]', 2, "no throttle `left`", "throttle"),
        ('rods.lnk = "70 mm"', 2, "no rod `lnk`", "did you mean `link`"),
        ('rods.link = "0 mm"', 2, "0.0 mm long", "centre to centre"),
        ("levers.spindel.lever = [[0, 2]]", 2, "no shaft `spindel`", "`spindle`"),
        ("levers.spindle.leaver = [[0, 2]]", 2, "arm of `spindle`", "`lever`"),
        ("levers.spindle.lever = [[0, 2, 4]]", 2, "too many", "two: [pad travel"),
        ('pulls.pedal.rod = [[0, "2 N", "1 N"]]', 2, "not on a throttle's", "hook"),
        ('pulls.spindle.lever = [[0, "2 N", "9 N"]]', 2, "takes less to open", "other way"),
        ('pulls.spindle.lever = [[0, "2 N"]]', 2, "too few", "three: [pad travel"),
        ('measured.rods = "caliber"', 2, "`caliber`", "did you mean `caliper`"),
        ("a = 1\na = 2", 3, "not TOML", "twice"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_line(tmp_path, text, line, says, does):
    with pytest.raises(LinkageError) as caught:
        of(tmp_path, text)
    error = caught.value
    assert says in error.message
    assert does in error.hint
    assert error.place.path.endswith("read.toml")
    assert error.place.line == line


def test_more_than_anybody_reads_is_refused(tmp_path):
    rows = ", ".join(['["20 mm", "20 deg"]'] * (MOST + 1))
    with pytest.raises(LinkageError, match=f"more than {MOST}"):
        of(tmp_path, f"throttle = [{rows}]")


def test_a_cable_has_no_length_that_is_read(tmp_path):
    drum = load(CONFIGS / "cable-drum.toml")
    name = next(n for n, rod in drum.layout.rods.items() if rod.kind == "cable")
    with pytest.raises(LinkageError, match="no length from centre to centre"):
        of(tmp_path, f'rods."{name}" = "400 mm"', drum)


def test_a_file_that_is_not_there_is_told_as_what_it_is(tmp_path):
    with pytest.raises(LinkageError, match="there is no file of readings") as caught:
        load_readings(tmp_path / "none.toml", load(TRUCK))
    assert "`prove --blank`" in caught.value.hint
