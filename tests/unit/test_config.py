"""Reading layout files: what arrives in SI, and what is refused."""

from __future__ import annotations

import json
import math
import subprocess
import sys
import tomllib

import pytest

from linkage import config
from linkage.errors import LayoutError, Place, UnitError
from linkage.model import (
    Arm,
    Engine,
    Known,
    Limits,
    Pedal,
    Stop,
    Vehicle,
)
from linkage.model.names import split_hole
from linkage.outside.files import GREATEST_SIZE
from linkage.units import UNITS


def test_reads_from_a_file(tmp_path, hauler_text, hauler):
    path = tmp_path / "hauler.toml"
    path.write_bytes(b"\xef\xbb\xbf" + hauler_text.replace("\n", "\r\n").encode())
    loaded = config.load(path)
    assert loaded.layout == hauler
    assert loaded.path == path
    assert loaded.text == hauler_text


def test_everything_arrives_in_si(hauler):
    cross = hauler.shafts["cross shaft"]
    assert cross.pivot == (0.02, 0.1, 0.33)
    assert cross.axis.name == "across"
    assert cross.friction == 0.12
    assert cross.arms["inner"] == Arm(
        name="inner", length=0.05, angle=math.radians(-17), offset=-0.15
    )
    assert hauler.shafts["pedal"].bearing == 0.012
    assert hauler.shafts["pedal"].arms["rod"].mass == 0.06
    assert hauler.shafts["spindle"].inertia == pytest.approx(120e-6)
    assert hauler.rods["first"].joints == ("ball", "rod end")
    assert hauler.rods["first"].play == 0.0003
    assert hauler.rods["first"].length is None
    last = hauler.rods["last"]
    assert (last.diameter, last.material, last.mass) == (0.00635, "aluminium", 0.05)
    assert hauler.pedal == Pedal(
        shaft="pedal", pad="pad", travel=0.075, presses=1, stop=0.072, free_play=0.001
    )
    assert hauler.main.opens == 1
    assert hauler.main.swing == math.radians(76)
    assert (hauler.main.bore, hauler.main.spindle) == (0.04, 0.008)
    assert hauler.springs["main"].known == Known(
        rate=900.0,
        free_length=0.105,
        initial_tension=6.0,
        greatest_length=0.17,
    )
    second = hauler.springs["second"]
    assert (second.shaft, second.arm, second.anchor) == ("spindle", "", None)
    assert second.known == Known(
        rate=pytest.approx(0.004 * 180 / math.pi),
        preload=0.2,
        shuts=-1.0,
    )
    third = hauler.springs["third"]
    assert third.material == "EN 10270-1 SH"
    assert third.known == Known(
        wire=0.0016,
        coil=0.014,
        turns=22.0,
        load_1=20.0,
        length_1=0.09,
        load_2=35.0,
        length_2=0.11,
    )
    assert hauler.stops["full"] == Stop(
        name="full", shaft="spindle", turn=math.radians(76)
    )
    assert hauler.engine.carries == ("spindle",)
    assert (hauler.engine.roll, hauler.engine.lift) == (math.radians(3), 0.01)
    assert hauler.engine.axis.name == "along"
    assert hauler.friction == 0.14
    assert hauler.cold_factor == 2.0
    assert hauler.vehicle == Vehicle(mass=1800.0, temperature=-20.0)
    assert hauler.limits.changed() == {
        "full_throttle": (0.97, 0.98),
        "stamp_load": (600.0, 500.0),
    }
    assert hauler.tolerances == {
        ("shafts", "cross shaft", "arms", "inner", "length"): 0.0005,
        ("springs", "third", "load_2"): 1.0,
    }


def test_echo_says_what_was_understood(hauler_text):
    echo = config.loads(hauler_text).echo
    assert ("rods.last.diameter", "1/4 in", "6.35 mm") in echo
    assert ("shafts.pedal.pivot.1", "250", "250 mm") in echo
    offsets = [row for row in echo if row[0].endswith("offset") and row[1] != "0"]
    assert offsets
    assert all(", to the " in understood for *_, understood in offsets)
    assert ("springs.third.loads.1.0", "35 ± 1 N", "35 N ± 1 N") in echo


def _with(text, old, new):
    assert text.count(old) == 1, old
    return text.replace(old, new)


def test_the_least_a_file_needs(hauler_text):
    head = hauler_text[: hauler_text.index("[springs.main]")]
    layout = config.loads(head).layout
    assert (layout.springs, layout.stops, layout.engine) == ({}, {}, Engine())
    assert layout.friction == 0.2
    assert layout.limits == Limits()


def test_arm_by_pin_equals_arm_by_length_and_angle(hauler_text, hauler):
    pin = hauler.shafts["cross shaft"].pin("outer")
    point = ", ".join(f'"{c * 1e3:.9f} ± 0.2 mm"' for c in pin)
    text = _with(
        hauler_text,
        "arms.outer = { length = 76, angle = -16, offset = 200 }",
        f"arms.outer = {{ pin = [{point}] }}",
    )
    layout = config.loads(text).layout
    ours, theirs = (
        layout.shafts["cross shaft"].arms["outer"],
        hauler.shafts["cross shaft"].arms["outer"],
    )
    assert ours.length == pytest.approx(theirs.length, abs=1e-11)
    assert ours.angle == pytest.approx(theirs.angle, abs=1e-9)
    assert ours.offset == pytest.approx(theirs.offset, abs=1e-11)
    # worst of all signs, first order: |cos| + |sin| of the arm's direction
    spread = 0.2e-3 * (math.cos(theirs.angle) + abs(math.sin(theirs.angle)))
    key = ("shafts", "cross shaft", "arms", "outer")
    assert layout.tolerances[*key, "length"] == pytest.approx(spread)
    assert layout.tolerances[*key, "angle"] == pytest.approx(spread / theirs.length)
    assert layout.tolerances[*key, "offset"] == pytest.approx(0.2e-3)
    assert not any("pin" in k for k in layout.tolerances)


def test_pin_without_tolerance_has_none(hauler_text):
    text = _with(
        hauler_text,
        "arms.lever  = { length = 34, angle = -38 }",
        "arms.lever = { pin = [90, -100, 100] }",
    )
    key = ("shafts", "spindle", "arms", "lever", "length")
    assert key not in config.loads(text).layout.tolerances


@pytest.mark.parametrize(
    ("angle", "axis", "presses"),
    [
        (-90, "across", 1),
        (90, "across", -1),
        (180, "upright", None),
        (90, "upright", -1),
        (0, "across", None),
        (-90, "along", None),
    ],
)
def test_pressing_moves_the_pad_forward(hauler_text, angle, axis, presses):
    """Geometry: the pad's path is square to its arm; forward is +x (ISO 8855)."""
    text = _with(
        hauler_text,
        "arms.pad = { length = 180, angle = -90 }",
        f"arms.pad = {{ length = 180, angle = {angle} }}",
    )
    text = _with(
        text,
        'pivot = [0, 250, 0]\naxis  = "across"',
        f'pivot = [0, 250, 0]\naxis  = "{axis}"',
    )
    if presses is not None:
        assert config.loads(text).layout.pedal.presses == presses
        return
    with pytest.raises(LayoutError, match="which way the pedal is pressed") as caught:
        config.loads(text)
    assert "presses" in caught.value.hint
    assert caught.value.place.key == "pedal.presses"
    for word, sense in (("clockwise", -1), ("anticlockwise", 1)):
        given_text = _with(
            text, "free_play = 1\n", f'free_play = 1\npresses = "{word}"\n'
        )
        assert config.loads(given_text).layout.pedal.presses == sense


THROTTLE = """\
[throttle]
shaft = "spindle"
opens = "anticlockwise"
swing = 76
bore         = 40
spindle      = 8
closed_angle = 6
"""


def test_several_throttles(hauler_text):
    several = """\
[throttles.front]
shaft = "spindle"
opens = "anticlockwise"
swing = 76
[throttles.kick]
kind  = "kickdown"
shaft = "cross shaft"
opens = "clockwise"
swing = 50
"""
    layout = config.loads(_with(hauler_text, THROTTLE, several)).layout
    assert [(t.name, t.kind, t.opens) for t in layout.throttles.values()] == [
        ("front", "plate", 1),
        ("kick", "kickdown", -1),
    ]
    assert config.loads(config.dump(layout)).layout == layout


@pytest.mark.parametrize(
    ("text", "shaft", "arm"),
    [
        ("cross shaft.inner", "cross shaft", "inner"),
        ("a.b.c", "a.b", "c"),
        ("a.x.y", "a", "x.y"),
        ("a.b.none", "a.b", "none"),
        ("a.none", "a", "none"),
        ("no.such.arm", "no.such", "arm"),
    ],
)
def test_holes_are_split_where_the_names_are_known(text, shaft, arm):
    shafts = {"cross shaft": {"inner": 1}, "a.b": {"c": 1}, "a": {"x.y": 1}}
    assert split_hole(text, shafts) == (shaft, arm)


def test_a_text_that_could_be_two_holes_is_refused():
    with pytest.raises(
        LayoutError, match=r"may be an arm of shaft `a\.b` and `a`"
    ) as caught:
        split_hole("a.b.c", {"a.b": {"c": 1}, "a": {"b.c": 1}}, ("rods", "r", "from"))
    assert caught.value.key == ("rods", "r", "from")
    assert "another name" in caught.value.hint


FIRST = 'from   = "pedal.rod"\nto     = "cross shaft.inner"'
LAST = 'from = "cross shaft.outer"\nto   = "spindle.lever"'

#: What is wrong: old text, new text, code, message, hint, key, and the text of
#: the line that must be named (None where no line can be).
FAULTS = [
    ('pad       = "pad"', 'pad = "pda"', "L100", "has no arm `pda`", "`pad`", "pedal.pad", "pda"),
    ('shaft     = "pedal"', 'shaft = "pedla"', "L100", "no shaft `pedla`", "`pedal`", "pedal.shaft", "pedla"),
    ("swing = 76", "swin = 76", "L100", "unknown key `swin`", "did you mean `swing`?", "throttle.swin", "swin = 76"),
    ("[engine]", "[engin]", "L100", "unknown key `engin`", "did you mean `engine`?", "engin", "[engin]"),
    ("angle = -38 }", "angel = -38 }", "L100", "unknown key `angel`", "did you mean `angle`?", "shafts.spindle.arms.lever.angel", "angel"),
    ("point = [0, 0, 0]", "points = [0, 0, 0]", "L100", "unknown key `points`", "`point`", "engine.about.points", "points"),
    ("stamp_load    =", "stamp_laod =", "L100", "unknown key `stamp_laod`", "`stamp_load`", "limits.stamp_laod", "stamp_laod"),
    ('force = "N" }', 'forse = "N" }', "L100", "unknown key `forse`", "`force`", "units.forse", "forse"),
    ("format = 1\n", "", "L100", "`format` is missing", "first line", "format", None),
    ("format = 1\n", "format = 2\n", "L100", "format 2", "format = 1", "format", "format = 2"),
    ("travel    = 75\n", "", "L100", "`travel` is missing", "add `travel` to [pedal]", "pedal.travel", "[pedal]"),
    ('to   = "spindle.lever"\n', "", "L100", "`to` is missing", "[rods.last]", "rods.last.to", "[rods.last]"),
    ("angle = -38 }", "}", "L100", "not TOML", "key = value", "", "arms.lever"),
    ("length = 34, angle = -38", "length = 34", "L100", "`angle` is missing", "pin", "shafts.spindle.arms.lever", "arms.lever"),
    ("length = 34, angle = -38", "angle = -38", "L100", "`length` is missing", "pin", "shafts.spindle.arms.lever", "arms.lever"),
    ("length = 34, angle", "pin = [1, 2, 3], angle", "L100", "not both", "measured", "shafts.spindle.arms.lever", "arms.lever"),
    ('title  = "', 'title  = ', "L100", "not TOML", "key = value", "", "title"),
    ('stamp_load    = "600 N"', 'stamp_load = "600 N', "L100", "not TOML", "quotes", "", "stamp_load"),
    ('stamp_load    = "600 N"', 'stamp_load = [1,', "L100", "not TOML", "quotes", "", "stamp_load"),
    ("travel    = 75\n", "travel = 1,5\n", "L100", "not TOML", "decimal point", "", "travel"),
    ("travel    = 75\n", "travel = 75\ntravel = 76\n", "L100", "not TOML", "twice", "", "travel = 76"),
    ("[rods.last]", "[rods.first]", "L100", "not TOML", "twice", "", "[rods.first]"),
    ("travel    = 75", "travel = " + "9" * 5000, "L100", "a word or number of 5000 signs", "20 digits", "", "9999"),
    ("travel    = 75", "travel = " + "9" * 99, "L110", "a whole number of that size is no number", "plain decimal", "pedal.travel", "9999"),
    ("travel    = 75", "travel = 0x" + "f" * 90, "L110", "a whole number of that size is no number", "plain decimal", "pedal.travel", "0xfff"),
    ("travel    = 75", "travel = 0x" + "f" * 5000, "L100", "a word or number of 5002 signs", "20 digits", "", "0xfff"),
    ("travel    = 75", "travel = 1" + "_1" * 5000, "L100", "a word or number of 10001 signs", "20 digits", "", "1_1"),
    ("travel    = 75", "travel = 7500", "L100", "more than half a turn", "150 to 250 mm", "pedal.travel", "7500"),
    ("travel    = 75", "travel" + ".a" * 8 + " = 75", "L100", "a key of more than 8 parts", "in quotes", "", ".a.a"),
    ("[pedal]", "[pedal" + "." * 8 + "]", "L100", "this is not TOML", "", "", "pedal.."),
    ("[pedal]", "[" + "'a' . " * 20000 + "b]", "L100", "a key of more than 8 parts", "in quotes", "", "'a' ."),
    ("travel    = 75", "travel = " + "[" * 9 + "]" * 9, "L100", "nested more than 8 deep", "not shut", "", "[[["),
    ("travel    = 75", "travel = " + "{ a = " * 9, "L100", "nested more than 8 deep", "not shut", "", "{ a"),
    ("travel    = 75", "travel = " + "[" * 5000, "L100", "nested more than 8 deep", "not shut", "", "[[["),
    ("travel    = 75", 'travel = "75 deg"', "L110", "unit of angle, not of length", "mm", "pedal.travel", "75 deg"),
    ("travel    = 75", 'travel = "1,5 mm"', "L110", "decimal comma", "1.5 mm", "pedal.travel", "1,5"),
    ("travel    = 75", 'travel = "2 3/8"', "L110", "no unit", "always needs its unit", "pedal.travel", "2 3/8"),
    ("travel    = 75", 'travel = "9**9**9 mm"', "L110", "not a number", "50 mm", "pedal.travel", "9**9"),
    ("travel    = 75", "travel = nan", "L110", "can be measured", "decimal", "pedal.travel", "nan"),
    ("travel    = 75", "travel = inf", "L110", "can be measured", "decimal", "pedal.travel", "inf"),
    ("travel    = 75", "travel = true", "L110", "true or false", "50 mm", "pedal.travel", "true"),
    ("travel    = 75", "travel = 2020-01-01", "L110", "a date", "50 mm", "pedal.travel", "2020"),
    ("travel    = 75", "travel = 0", "L100", "more than zero", "measure", "pedal.travel", "travel = 0"),
    ("travel    = 75", "travel = -75", "L100", "more than zero", "measure", "pedal.travel", "-75"),
    ("free_play = 1", "free_play = -1", "L110", "negative", "zero or more", "pedal.free_play", "-1"),
    ('rate   = "0.9 N/mm"', "rate = 0.9", "L110", "no unit", "units.rate", "springs.main.rate", "rate = 0.9"),
    ('rate   = "0.9 N/mm"', 'rate = "0.9 N·m/deg"', "L110", "unit of torsion rate, not of rate", "N/mm", "springs.main.rate", "N·m"),
    ('rate   = "0.004 N·m/deg"', 'rate = "1 N/mm"', "L110", "unit of rate, not of torsion rate", "N·m/deg", "springs.second.rate", "1 N/mm"),
    ('length = "mm"', 'length = "furlong"', "L100", "unknown unit of length", "mm", "units.length", "furlong"),
    ('units  = { length = "mm", angle = "deg", force = "N" }', "units = 3", "L100", "`units` must be a table", "[units]", "units", "units = 3"),
    ("length = 34,", "length = 0,", "L100", "more than zero", "measure", "shafts.spindle.arms.lever.length", "length = 0"),
    ("length = 34,", "length = -34,", "L100", "more than zero", "measure", "shafts.spindle.arms.lever.length", "-34"),
    ("[194, -100, 130]", "[194, -100]", "L100", "too few values", "[x, y, z]", "springs.main.anchor", "194"),
    ("[194, -100, 130]", "[194, -100, 130, 1]", "L100", "too many values", "[x, y, z]", "springs.main.anchor", "194"),
    ("[194, -100, 130]", '"here"', "L100", "must be a list", "[x, y, z]", "springs.main.anchor", "here"),
    ("[194, -100, 130]", '[194, "-100 N", 130]', "L110", "unit of force", "mm", "springs.main.anchor.1", "194"),
    ('title  = "Hill farm hauler, carburettor now on the right"', "title = 3", "L100", "must be text", "quotes", "title", "title = 3"),
    ('carries = ["spindle"]', 'carries = "spindle"', "L100", "must be a list", "[", "engine.carries", "carries"),
    ('carries = ["spindle"]', 'carries = ["spindel"]', "L100", "no shaft `spindel`", "`spindle`", "engine.carries", "carries"),
    ("[rods.first]", '[rods."first\\u001b"]', "L100", "control characters", "letters", "rods.first\x1b", "u001b"),
    ("[rods.first]", '[rods."first\\nleft"]', "L100", "holds control characters", "letters", "rods.first\nleft", "first"),
    ("[rods.first]", '[rods."first\\u2028left"]', "L100", "holds control characters", "letters", "rods.first\u2028left", "first"),
    ("[rods.first]", '[rods."first\\u202eleft"]', "L100", "holds control characters", "letters", "rods.first\u202eleft", "first"),
    ("[rods.first]", '[rods."first\\u200b"]', "L100", "holds control characters", "letters", "rods.first\u200b", "first"),
    ("[rods.first]", '[rods."first\\uffff"]', "L100", "holds control characters", "letters", "rods.first\uffff", "first"),
    ("[rods.first]", '[rods."[key]"]\nrodd = 3', "L100", "unknown key `rodd`", "known here", "rods.[key].rodd", "rodd"),
    ("[rods.first]", '[rods."[key]"]\njoint_diameter = "3 N"', "L110", "unit of force", "mm", "rods.[key].joint_diameter", "3 N"),
    ("[rods.first]", '[rods."' + "f" * 81 + '"]', "L100", "too long", "80 at most", "rods." + "f" * 81, "fff"),
    ("[rods.first]", '[rods.""]', "L100", "is empty", "letters", "rods.", '[rods.""]'),
    ('"ball", "rod end"', '"ball", "rodend"', "L100", "unknown kind of joint `rodend`", "`rod end`", "rods.first.joints", "rodend"),
    ('["ball", "rod end"]', '["ball"]', "L100", "two joints", "list of two", "rods.first.joints", "joints"),
    ('["ball", "rod end"]', "3", "L100", "must be a word", "ball", "rods.first.joints", "joints"),
    ('opens = "anticlockwise"', 'opens = "left"', "L100", "unknown sense of turning", "anticlockwise", "throttle.opens", "left"),
    ('material = "aluminium"', 'material = "alumnium"', "L100", "unknown rod material", "aluminium", "rods.last.material", "alumnium"),
    ("cold_factor = 2", "cold_factor = -2", "L110", "negative", "zero or more", "friction.cold_factor", "-2"),
    ("cold_factor = 2", "cold_factor = 0.5", "L100", "less than warm", "1 or more", "friction.cold_factor", "0.5"),
    ("coefficient = 0.14", "coefficient = 0", "L100", "less than any bearing", "0.2", "friction.coefficient", "= 0"),
    ("friction = 0.12", "friction = 0", "L100", "less than any bearing", "0.2", "shafts.cross shaft.friction", "= 0"),
    ("friction = 0.12", 'drag = "0 N.m"', "L100", "every shaft drags", "leave", "shafts.cross shaft.drag", "0 N.m"),
    ('"ball", "rod end"]', '"ball", "rod end"]\njoint_friction = 0', "L100", "less than any bearing", "0.2", "rods.first.joint_friction", "= 0"),
    ('"ball", "rod end"]', '"ball", "rod end"]\nfixed = true', "L100", "is fixed, but has no length", "centre to centre", "rods.first.fixed", "fixed"),
    ("coefficient = 0.14", "coefficient = 1.4", "L110", "between 0 and 1", "0.98", "friction.coefficient", "1.4"),
    ('axis = "along"', 'axis = [0, 0, 0]', "L100", "no direction", "viewer", "engine.about.axis", "about"),
    ('axis = "along"', 'axis = "alon"', "L100", "unknown axis `alon`", "`along`", "engine.about.axis", "alon"),
    ('axis = "along"', "axis = [0, 1]", "L100", "list of three", "upright", "engine.about.axis", "about"),
    ('axis = "along"', 'axis = [0, 1, "2"]', "L100", "plain numbers", "upright", "engine.about.axis", "about"),
    ('axis = "along"', "axis = [0, 1, nan]", "L100", "finite", "upright", "engine.about.axis", "about"),
    ("arms.pad = { length = 180, angle = -90 }", "arms.pad = { pin = [0, 200, 0] }", "L100", "centre line of its own shaft", "datum", "shafts.pedal.arms.pad.pin", "arms.pad"),
    (FIRST, 'from = "pedal.rod"\nto = "cross shaft.iner"', "L100", "no arm `iner`", "`inner`", "rods.first.to", "iner"),
    (FIRST, 'from = "pedal.rod"\nto = "crossshaft.inner"', "L100", "no shaft `crossshaft`", "`cross shaft`", "rods.first.to", "crossshaft"),
    (FIRST, 'from = "pedal.rod"\nto = "inner"', "L100", "names no arm", "spindle.lever", "rods.first.to", 'to = "inner"'),
    (FIRST, 'from = "pedal.rod"\nto = "pedal.pad"', "L100", "same shaft", "another", "rods.first.to", "pedal.pad"),
    ("[stops.full]", '[rods.back]\nfrom = "spindle.spring"\nto = "pedal.rod"\n[stops.full]', "L100", "drives already", "loop", "rods.back.to", 'to = "pedal.rod"'),
    ("[stops.full]", '[rods.twin]\nfrom = "pedal.rod"\nto = "spindle.spring"\n[stops.full]', "L100", "drives already", "two rods cannot drive one shaft", "rods.twin.to", "spindle.spring"),
    (f"[rods.last]\n{LAST}\n", '[rods.last]\nfrom = "cross shaft.outer"\nto = "cross shaft.inner"\n', "L100", "same shaft", "another", "rods.last.to", "to ="),
    ("[shafts.spindle]", '[shafts.lost]\npivot = [0, 0, 0]\naxis = "across"\narms = {}\n[shafts.spindle]', "L100", "`lost` is not connected", "add a rod", "shafts.lost", "[shafts.lost]"),
    ("pivot = [64, -100, 120]", "pivot = [20, 100, 330]", "L100", "same pivot", "datum", "shafts.spindle.pivot", "pivot = [20"),
    ("arms.lever  = { length = 34, angle = -38 }", "arms.lever = { pin = [20, -100, 330] }", "L100", "centre line of shaft `cross shaft`", "pivots", "rods.last.to", "spindle.lever"),
    (THROTTLE, "", "L100", "[throttle] is missing", "swing", "", None),
    (THROTTLE, THROTTLE + '[throttles.b]\nshaft = "spindle"\nopens = "clockwise"\nswing = 50\n', "L100", "both", "throttles.NAME", "", None),
    (THROTTLE, THROTTLE.replace("[throttle]", "[throttles.throttle]").replace('"spindle"', '"spindel"'), "L100", "no shaft `spindel`", "spindle", "throttles.throttle.shaft", "spindel"),
    (THROTTLE, "[throttles]\n", "L100", "no throttle plate", "add", "throttle", None),
    (THROTTLE, "throttles = 3\n", "L100", "unknown key `throttles`", "known here", "pedal.throttles", "throttles = 3"),
    ("swing = 76", "swing = 200", "L100", "half a turn", "70 to 84", "throttle.swing", "swing = 200"),
    ('shaft  = "spindle"\nrate', "rate", "L100", "`shaft` is missing", "torsion", "springs.second", "[springs.second]"),
    ('hook   = "spindle.spring"\n', "", "L100", "`hook` is missing", "anchor", "springs.main", "[springs.main]"),
    ('kind   = "torsion"\n', 'kind = "torsion"\nhook = "spindle.lever"\n', "L100", "has no `hook`", "torsion", "springs.second", "[springs.second]"),
    ('kind   = "torsion"', 'kind = "tension"', "L100", "unknown kind of spring", "extension", "springs.second.kind", "tension"),
    ('title  = "Hill farm', 'title = "' + "a" * 300, "L100", "more than 300 signs", "one short line", "title", "aaaa"),
    ("format = 1", "format = [" + "1, " * 500 + "1]", "L100", "this file is of format [1, 1", "format = 1", "format", "format"),
    ('"ball", "rod end"]', '"ball", "rod end"]\nfixed = [' + "1, " * 500 + "1]", "L100", "is neither true nor false", "without quotes", "rods.first.fixed", "fixed"),
    ("after = 76", 'after = "-76 deg"', "L110", "negative", "zero or more", "stops.full.after", "-76"),
]  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS, ids=range(len(FAULTS)))
def test_faults_are_named_with_key_line_and_cure(hauler_text, fault):
    old, new, code, message, hint, key, line = fault
    assert old in hauler_text
    text = hauler_text.replace(old, new, 1)
    with pytest.raises(LayoutError) as caught:
        config.loads(text, "car.toml")
    error = caught.value
    assert error.code == code
    assert message in error.message
    assert not error.message.endswith(".")
    assert hint in error.hint
    assert error.place.path == "car.toml"
    assert error.place.key == key
    if line is None:
        assert error.place.line is None
    else:
        assert line in error.place.text
        assert text.split("\n")[error.place.line - 1] == error.place.text


def test_unknown_keys_come_before_missing_ones_and_the_rest_is_counted(hauler_text):
    text = _with(hauler_text, "travel    = 75", "travle = 75")
    text = (
        _with(text, "swing = 76", 'swing = "76 mm"')
        .replace("lift  =", "lif =")
        .replace("roll  =", "rol =")
    )
    text = text.replace("title  =", "titel =").replace("after =", "aftr =")
    with pytest.raises(LayoutError) as caught:
        config.loads(text)
    error = caught.value
    assert error.message.startswith("unknown key")
    assert error.hint.startswith("did you mean")
    assert "6 more to mend" in error.hint
    assert error.hint.endswith(", ...)")


def test_one_more_complaint(hauler_text):
    text = _with(hauler_text, "travel    = 75", "travle = 75")
    with pytest.raises(LayoutError) as caught:
        config.loads(text)
    assert caught.value.hint == "did you mean `travel`? (1 more to mend: pedal.travel)"


def test_the_unit_error_itself_comes_through(hauler_text):
    with pytest.raises(UnitError):
        config.loads(
            _with(hauler_text, "travel    = 75", 'travel = "75"').replace(
                'length = "mm", ', ""
            )
        )


def test_reading_starts_neither_pint_nor_what_only_writes(hauler_text, tmp_path):
    path = tmp_path / "a.toml"
    path.write_text(
        hauler_text.replace('"1/4 in"', '"6 mm"')
        .replace("120 kg·mm²", "1 kg·m²")
        .replace("60 g", "0.06 kg"),
        encoding="utf-8",
    )
    code = (
        "import sys; from linkage.config import load; load(sys.argv[1]); "
        "assert not {'pint', 'tomlkit', 'sympy', 'matplotlib'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code, str(path)], check=True)


def test_every_unit_word_of_the_units_table_reads(hauler_text):
    for word in UNITS["length"]:
        assert (
            config.loads(
                _with(hauler_text, 'length = "mm"', f"length = {json.dumps(word)}")
            ).layout.pedal.travel
            > 0
        )


def test_an_engine_that_rolls_about_nothing_is_refused(hauler_text):
    start = hauler_text.index("about ")
    end = hauler_text.index("\n", start)
    with pytest.raises(LayoutError, match="the engine rolls, but about what") as caught:
        config.loads(hauler_text[:start] + hauler_text[end:])
    assert caught.value.key == ("engine", "roll")
    still = hauler_text.replace('roll  = "3 deg"', 'roll  = "0 deg"')
    assert config.loads(still).layout.engine.roll == 0


def test_inches_by_any_of_their_names_are_spoken_as_inches(hauler_text):
    for word in ("inch", "inches", '"'):
        text = _with(hauler_text, 'length = "mm"', f"length = {json.dumps(word)}")
        assert config.loads(text).spoken()["length"] == "in"


def test_text_that_is_too_long_is_not_read(hauler_text):
    """A file of that size is refused before it is text; a program may give text."""
    room = GREATEST_SIZE - len(hauler_text)
    assert config.loads(hauler_text + "#" * room, name="car.toml").layout.title
    with pytest.raises(LayoutError) as told:
        config.loads(hauler_text + "#" * (room + 1), name="car.toml")
    assert told.value.message == "the text is too long for a layout: 250 kB"
    assert told.value.hint == "at most 250 kB are read; is it the right file?"
    assert told.value.place == Place("car.toml")


def test_a_reader_of_toml_that_tells_no_line_is_told_without(hauler_text, monkeypatch):
    def refuses(_text):
        msg = "Too odd"
        raise tomllib.TOMLDecodeError(msg)

    monkeypatch.setattr(tomllib, "loads", refuses)
    with pytest.raises(LayoutError, match=r"^this is not TOML: too odd") as told:
        config.loads(hauler_text, name="car.toml")
    assert told.value.place == Place("car.toml")
