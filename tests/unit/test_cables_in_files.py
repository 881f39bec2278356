"""Cables, drums and snails in layout files: read, refused with their place, written again.

Not here: what is told on the command line (`tests/cli/test_bad_cables.py`).
"""

from __future__ import annotations

import copy
import math
import tomllib
from dataclasses import replace
from pathlib import Path

import jsonschema
import numpy as np
import pytest

from linkage import config
from linkage.config import read_tables, schema
from linkage.errors import LayoutError
from linkage.model import Cable, Hole, SheathEnd
from linkage.model.columns import column
from linkage.model.rows import row, rows_of, same_make_up, stack, take

CONFIGS = Path(__file__).parents[2] / "configs"
VALIDATOR = jsonschema.Draft202012Validator(schema())

#: A layout of our own: a cable from a lever to a snail, with all that a cable may have.
TEXT = """
format = 1
title  = "Marsh tractor, cable to a snail"
units  = { length = "mm", angle = "deg", force = "N" }

[shafts.pedal]
pivot = [0, 0, 0]
axis  = "across"
arms.pad   = { length = 200, angle = -90 }
arms.cable = { length = 100, angle = 90 }

[shafts.spindle]
pivot = [600, -200, 250]
axis  = "across"
arms.drum = { length = 25, angle = 150, wound = "clockwise", rim = [[0, 25], [60, 28], [120, 34]] }
arms.spring = { length = 28, angle = 70 }

[cables.main]
from            = "pedal.cable"
to              = "spindle.drum"
sheath_from     = [110, 0, 100]
sheath_to       = [470, -200, 279]
sheath_to_on    = "engine"
sheath_through  = [[250, -60, 140], [350, -190, 279]]
sheath_friction = "12 %"
sheath_length   = "620 ± 2 mm"
wire_length     = 900
wire            = "1.5 ± 0.1 mm"
mass            = "15 g"
nipple_diameter = 6
nipple_friction = 0.15
fixed           = true

[pedal]
shaft = "pedal"
pad = "pad"
travel = 80

[throttle]
shaft = "spindle"
opens = "clockwise"
swing = 76

[engine]
carries = ["spindle"]
"""

#: The same as a push-pull cable between two levers.
BOTH_WAYS = (
    TEXT.replace(', wound = "clockwise", rim = [[0, 25], [60, 28], [120, 34]]', "")
    .replace("sheath_through  = [[250, -60, 140], [350, -190, 279]]", "bend = 200")
    .replace("fixed           = true", 'works = "pull and push"\nplay = 0.4\nstroke = 75\npush_limit = 120')
    .replace('"620 ± 2 mm"', "600")
)  # fmt: skip
RIM = "rim = [[0, 25], [60, 28], [120, 34]]"
MAIN = "[cables.main]\n"
SNAIL = f'length = 25, angle = 150, wound = "clockwise", {RIM}'


def test_a_cable_arrives_in_si():
    layout = config.loads(TEXT).layout
    cable = layout.rods["main"]
    assert cable == Cable(
        name="main",
        start=Hole(shaft="pedal", arm="cable"),
        end=Hole(shaft="spindle", arm="drum"),
        ends=(
            SheathEnd(point=(0.11, 0.0, 0.1)),
            SheathEnd(point=(0.47, -0.2, 0.279), on="engine"),
        ),
        through=((0.25, -0.06, 0.14), (0.35, -0.19, 0.279)),
        length=cable.length,
        only="pull",
        sheath_friction=0.12,
        sheath_length=0.62,
        wire=0.0015,
        mass=0.015,
        joint_diameter=0.006,
        joint_friction=0.15,
        fixed=True,
    )
    assert cable.length == pytest.approx(0.28)
    assert (cable.kind, cable.key, cable.called) == ("cable", ("cables", "main"), "cable `main`")  # fmt: skip
    drum = layout.shafts["spindle"].arms["drum"]
    assert (drum.wound, drum.length) == (-1, 0.025)
    assert drum.rim == tuple((math.radians(t), r / 1e3) for t, r in ((0, 25), (60, 28), (120, 34)))  # fmt: skip
    assert layout.shafts["spindle"].arms["spring"].wound == 0
    assert layout.tolerances[("cables", "main", "wire")] == pytest.approx(1e-4)


def test_a_push_pull_cable_arrives_in_si():
    cable = config.loads(BOTH_WAYS).layout.rods["main"]
    assert (cable.only, cable.play, cable.stroke, cable.push_limit) == ("", 4e-4, 0.075, 120)  # fmt: skip
    assert cable.bend == math.radians(200)
    assert cable.through == ()


def test_what_is_left_out_is_not_given():
    bare = TEXT[: TEXT.index("sheath_through")] + TEXT[TEXT.index("[pedal]\nshaft") :]
    cable = config.loads(bare).layout.rods["main"]
    assert (cable.length, cable.bend, cable.sheath_friction, cable.sheath_length) == (None,) * 4  # fmt: skip
    assert (cable.lost, cable.wire, cable.mass, cable.only) == (0, 0, 0, "pull")
    assert cable.sheathed == pytest.approx(math.dist((0.11, 0, 0.1), (0.47, -0.2, 0.279)))  # fmt: skip
    assert cable.thick == 0.0015


# --- refused -----------------------------------------------------------------

#: What is changed, and what must be said: message, hint, key, line.
FAULTS = [
    ('"620 ± 2 mm"', "400", "sheath of cable `main` is 400.0 mm long, and its points are 492.9 mm", "leave `sheath_length` out", "cables.main.sheath_length", "sheath_length"),
    ("= 900", "= 500", "wire that its sheath leaves free", "measure it again", "cables.main.wire_length", "wire_length"),
    ("= 900", "= 620", "wire that its sheath leaves free", "measure it again", "cables.main.wire_length", "wire_length"),
    ('sheath_length   = "620 ± 2 mm"\n', "", "has a `wire_length` and no `sheath_length`", "set by its adjuster", "cables.main.wire_length", "wire_length"),
    ("= 900", "= 900\nslack = 1", "a length of its wire and the slack", "each follows from the other", "cables.main.slack", "slack = 1"),
    ("wire_length     = 900", "slack = -1", "`-1` is negative", "zero or more", "cables.main.slack", "slack = -1"),
    (MAIN, MAIN + "bend = 90\n", "all its bends together and the points", "keep one of the two", "cables.main.bend", "bend = 90"),
    (MAIN, MAIN + "stroke = 50\n", "only pulls, and has `stroke`", 'works = "pull and push"', "cables.main.stroke", "stroke"),
    (MAIN, MAIN + "push_limit = 50\n", "only pulls, and has `push_limit`", 'works = "pull and push"', "cables.main.push_limit", "push_limit"),
    (MAIN, MAIN + "play = 1\n", "only pulls, and has `play`", 'works = "pull and push"', "cables.main.play", "play"),
    (MAIN, MAIN + 'works = "push"\n', "unknown way of a cable `push`", "pull, pull and push", "cables.main.works", "works"),
    (MAIN, MAIN + 'works = "pull and push"\n', "pulls and pushes, and lies on drum `spindle.drum`", "only pulls", "cables.main.works", "works"),
    (MAIN, MAIN + "joints = 'ball'\n", "unknown key `joints`", "sheath_from", "cables.main.joints", "joints"),
    (MAIN, MAIN + "length = 100\n", "unknown key `length`", "`wire_length`", "cables.main.length", "length = 100"),
    (MAIN, MAIN + "slot = 10\n", "unknown key `slot`", "known here", "cables.main.slot", "slot"),
    ("sheath_from     = [110, 0, 100]\n", "", "`sheath_from` is missing", "[cables.main]", "cables.main.sheath_from", MAIN[:-1]),
    ("[110, 0, 100]", "[110, 0]", "too few values", "[x, y, z]", "cables.main.sheath_from", "sheath_from"),
    ("[110, 0, 100]", "[nan, 0, 100]", "no number that can be measured", "plain decimal", "cables.main.sheath_from.0", "nan"),
    ("[250, -60, 140],", "[250, -60, 140, 1],", "too many values", "[x, y, z]", "cables.main.sheath_through.0", "sheath_through"),
    ("[[250, -60, 140], [350, -190, 279]]", "[" + "[250, 0, 140], " * 65 + "]", "through 65 points, more than 64", "one at each bend", "cables.main.sheath_through", "sheath_through"),
    ('to_on    = "engine"', 'to_on    = "wheel"', "unknown carrier `wheel`", "body, engine", "cables.main.sheath_to_on", "wheel"),
    ('"12 %"', "1.2", "between 0 and 1", "98 %", "cables.main.sheath_friction", "sheath_friction"),
    ('"1.5 ± 0.1 mm"', "-1.5", "negative", "zero or more", "cables.main.wire", "wire "),
    ('"1.5 ± 0.1 mm"', "0", "thinner than any that carries a pull", "leave `wire` out", "cables.main.wire", "wire "),
    ('"1.5 ± 0.1 mm"', "1e-300", "thinner than any that carries a pull", "leave `wire` out", "cables.main.wire", "wire "),
    ('"pedal.cable"', '"pedal.cabel"', "no arm `cabel`", "`cable`", "cables.main.from", "cabel"),
    ('"spindle.drum"', '"pedal.pad"', "cable `main` joins two arms of the same shaft", "another", "cables.main.to", "pedal.pad"),
    ("[pedal]\nshaft", '[rods.back]\nfrom = "pedal.pad"\nto = "spindle.spring"\n[pedal]\nshaft', "drives already", "drive", "cables.main.to", "spindle.drum"),
    (MAIN, '[rods.main]\nfrom = "pedal.pad"\nto = "spindle.spring"\n' + MAIN, "a rod and a cable are both named `main`", "another name", "cables.main", "[cables.main]"),
    (MAIN, '[shafts.x]\npivot = [0, 0, 400]\naxis = "across"\narms.a = { length = 20, angle = 0 }\n[rods.r]\nfrom = "spindle.drum"\nto = "x.a"\n' + MAIN, "rod `r` ends on drum `spindle.drum`", "[cables.NAME]", "rods.r.from", "spindle.drum"),
    (SNAIL, 'length = 0, angle = 150, wound = "clockwise"', "must be more than zero", "measure it again", "shafts.spindle.arms.drum.length", "arms.drum"),
    (SNAIL, 'length = -25, angle = 150, wound = "clockwise"', "must be more than zero", "measure it again", "shafts.spindle.arms.drum.length", "arms.drum"),
    ('"clockwise", rim', '"left", rim', "unknown sense of turning `left`", "anticlockwise", "shafts.spindle.arms.drum.wound", "left"),
    ('wound = "clockwise", ', "", "not told how a wire lies on it", "wound", "shafts.spindle.arms.drum.rim", "arms.drum"),
    ("[0, 25], [60", "[0, 24], [60", "rim begins at 24 mm, and the nipple is at 25 mm", "first radius is the arm's length", "shafts.spindle.arms.drum.rim", "arms.drum"),
    ("[0, 25], [60, 28]", "[10, 25], [60, 28]", "does not go round from 0 on", "rising", "shafts.spindle.arms.drum.rim", "arms.drum"),
    ("[60, 28], [120", "[120, 28], [60", "does not go round from 0 on", "rising", "shafts.spindle.arms.drum.rim", "arms.drum"),
    ("[60, 28], [120", "[120, 28], [120", "does not go round from 0 on", "rising", "shafts.spindle.arms.drum.rim", "arms.drum"),
    (RIM, "rim = [[0, 25]]", "does not go round from 0 on", "rising", "shafts.spindle.arms.drum.rim", "arms.drum"),
    ("[120, 34]", "[361, 34]", "more than a whole turn", "rising", "shafts.spindle.arms.drum.rim", "arms.drum"),
    ("[120, 34]", "[120, 0]", "none that a wire could lie on", "20 times", "shafts.spindle.arms.drum.rim", "arms.drum"),
    ("[120, 34]", "[120, 501]", "none that a wire could lie on", "20 times", "shafts.spindle.arms.drum.rim", "arms.drum"),
    ("[120, 34]", "[120, -34]", "none that a wire could lie on", "20 times", "shafts.spindle.arms.drum.rim", "arms.drum"),
    ("[120, 34]", "[120, nan]", "no number that can be measured", "plain decimal", "shafts.spindle.arms.drum.rim.2.1", "arms.drum"),
    ("[120, 34]", "[120, 34, 1]", "too many values", "a rim has two: [turn", "shafts.spindle.arms.drum.rim.2", "arms.drum"),
    ("[120, 34]", "[120]", "too few values", "a rim has two: [turn", "shafts.spindle.arms.drum.rim.2", "arms.drum"),
    ("[120, 34]", "120", "must be a list", "a rim has two: [turn", "shafts.spindle.arms.drum.rim.2", "arms.drum"),
    (RIM, "rim = [[0, 25], " + ", ".join(f"[{i}, 25]" for i in range(1, 65)) + "]", "rim of 65 points, more than 64", "fewer will do", "shafts.spindle.arms.drum.rim", "arms.drum"),
]  # fmt: skip
FAULTS_BOTH_WAYS = [
    ("bend = 200", "bend = 1441", "bends of cable `main` are 1441.0° in all", "does not move", "cables.main.bend", "bend"),
    ("bend = 200", "bend = -1", "negative", "zero or more", "cables.main.bend", "bend"),
    ("wire_length     = 900", "slack = 1", "pulls and pushes, and has slack", "`play`", "cables.main.slack", "slack"),
]  # fmt: skip


def _refused(text, fault):
    old, new, message, hint, key, line = fault
    assert old in text
    changed = text.replace(old, new, 1)
    with pytest.raises(LayoutError) as caught:
        config.loads(changed, "car.toml")
    error = caught.value
    assert message in error.message
    assert hint in error.hint
    assert error.place.key == key
    assert line in error.place.text
    assert changed.split("\n")[error.place.line - 1] == error.place.text


@pytest.mark.parametrize("fault", FAULTS, ids=range(len(FAULTS)))
def test_what_no_cable_can_be_is_refused_with_key_line_and_cure(fault):
    _refused(TEXT, fault)


@pytest.mark.parametrize("fault", FAULTS_BOTH_WAYS, ids=range(len(FAULTS_BOTH_WAYS)))
def test_so_is_what_no_push_pull_cable_can_be(fault):
    _refused(BOTH_WAYS, fault)


def test_their_sound_twins_are_read():
    """Just inside of what is refused above."""
    for text, old, new in (
        (TEXT, '"620 ± 2 mm"', "493"),
        (TEXT, "= 900", "= 620.1"),
        (TEXT, "[120, 34]", "[360, 34]"),
        (TEXT, "[120, 34]", "[120, 500]"),
        (TEXT, "[120, 34]", "[120, 1.26]"),
        (TEXT, "[[250, -60, 140], [350, -190, 279]]", "[" + "[110, 0, 100], " * 64 + "]"),
        (TEXT, RIM, "rim = [[0, 25], " + ", ".join(f"[{i}, 25]" for i in range(1, 64)) + "]"),
        (BOTH_WAYS, "bend = 200", "bend = 1440"),
    ):  # fmt: skip
        assert old in text
        assert config.loads(text.replace(old, new, 1)).layout.rods["main"]


# --- written again, rows, schema ------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        TEXT,
        BOTH_WAYS,
        TEXT.replace("wire_length     = 900", 'slack = "1.5 ± 0.5 mm"'),
        TEXT.replace("[250, -60, 140]", '["250 ± 5 mm", -60, "140 ± 3 mm"]'),
        TEXT.replace("[110, 0, 100]", '["110 ± 2 mm", 0, 100]').replace("[60, 28]", '["60 ± 1 deg", "28 ± 0.2 mm"]'),
        TEXT.replace("fixed           = true", 'sheath_from_on = "engine"'),
        TEXT.replace('"clockwise", rim', '"anticlockwise", rim'),
        TEXT.replace(", rim = [[0, 25], [60, 28], [120, 34]]", ""),
        (CONFIGS / "cable-drum.toml").read_text(encoding="utf-8"),
        (CONFIGS / "push-pull-cable.toml").read_text(encoding="utf-8"),
    ],
    ids=range(10),
)  # fmt: skip
def test_what_is_written_reads_back_equal_with_its_measuring_errors(text):
    layout = config.loads(text).layout
    again = config.loads(config.dump(layout)).layout
    assert again == layout
    assert again.tolerances == layout.tolerances
    assert config.dump(again) == config.dump(layout)


def test_a_snail_whose_nipple_was_moved_is_written_with_its_whole_rim():
    layout = config.loads(TEXT).layout
    on = layout.shafts["spindle"]
    larger = replace(on.arms["drum"], length=0.03)
    grown = layout.with_shaft(replace(on, arms={**on.arms, "drum": larger}))
    again = config.loads(config.dump(grown)).layout.shafts["spindle"].arms["drum"]
    assert again.length == 0.03
    radii = [r for _, r in again.rim]
    assert radii == pytest.approx([0.03, 0.0336, 0.0408])


def _varied():
    base = config.loads(TEXT).layout
    cable = base.rods["main"]
    for i in range(5):
        ends = (
            replace(cable.ends[0], point=(0.11 + 1e-3 * i, 0.0, 0.1)),
            cable.ends[1],
        )
        more = {
            "length": None if i == 3 else 0.28 + 1e-3 * i,
            "bend": None,
            "sheath_friction": None if i == 2 else 0.1 + 0.01 * i,
            "wire": 1e-3 * i,
        }
        yield replace(base, rods={"main": replace(cable, ends=ends, **more)})


def test_cables_stand_in_rows_and_come_out_as_they_were():
    layouts = list(_varied())
    whole = stack(layouts)
    assert rows_of(whole) == 5
    for i, layout in enumerate(layouts):
        assert row(whole, i).rods["main"] == layout.rods["main"]
    some = take(whole, [4, 2])
    assert row(some, 1).rods["main"] == layouts[2].rods["main"]
    assert row(some, 0).rods["main"] == layouts[4].rods["main"]
    assert np.ndim(whole.rods["main"].wire) == 2
    assert np.ndim(whole.rods["main"].mass) == 0


@pytest.mark.parametrize(
    "change",
    [
        {"only": ""},
        {"through": ()},
        {"ends": (SheathEnd(point=(0.11, 0, 0.1), on="engine"), SheathEnd(point=(0.47, -0.2, 0.279), on="engine"))},
        {"fixed": False},
    ],
    ids=["works", "points", "held", "fixed"],
)  # fmt: skip
def test_cables_of_another_make_up_are_no_rows_of_one_batch(change):
    text = TEXT.replace('wound = "clockwise", ' + RIM, "mass = 0").replace("drum = {", "drum = {")  # fmt: skip
    layout = config.loads(text.replace(", mass = 0", "")).layout
    cable = layout.rods["main"]
    other = replace(layout, rods={"main": replace(cable, **change)})
    assert not same_make_up(layout, other)
    with pytest.raises(LayoutError):
        stack([layout, other])


def test_a_column_of_sheaths_may_have_rows_that_are_not_given():
    cable = config.loads(TEXT).layout.rods["main"]
    both = replace(cable, sheath_length=column(np.array([0.62, np.nan])), wire=column(np.array([0.0, 2e-3])))  # fmt: skip
    assert both.sheathed[:, 0] == pytest.approx([0.62, cable.way])
    assert both.thick[:, 0] == pytest.approx([1.5e-3, 2e-3])


def test_the_schema_accepts_what_is_read_and_refuses_what_is_not():
    def told(text, change):
        data = tomllib.loads(text)
        change(data)
        data = copy.deepcopy(data)
        accepted = VALIDATOR.is_valid(data)
        try:
            read_tables(data)
        except LayoutError:
            return accepted, False
        return accepted, True

    for text in (TEXT, BOTH_WAYS):
        assert told(text, dict) == (True, True)
    changes = [
        lambda d: d["cables"]["main"].pop("sheath_to"),
        lambda d: d["cables"]["main"].update(joints="ball"),
        lambda d: d["cables"]["main"].update(works="push"),
        lambda d: d["cables"]["main"].update(sheath_to_on="wheel"),
        lambda d: d["cables"]["main"].update(sheath_from=[1, 2]),
        lambda d: d["cables"]["main"].update(sheath_through=[[1, 2, 3, 4]]),
        lambda d: d["cables"]["main"].update(wire="1.5 deg"),
        lambda d: d["cables"]["main"].update(fixed="yes"),
        lambda d: d["shafts"]["spindle"]["arms"]["drum"].update(wound="left"),
        lambda d: d["shafts"]["spindle"]["arms"]["drum"].update(rim=[[1, 2, 3]]),
        lambda d: d["shafts"]["spindle"]["arms"]["drum"].update(rim=[1, 2]),
        lambda d: d["shafts"]["spindle"]["arms"]["drum"].update(rim=[["1 mm", "2 mm"]]),
    ]
    for change in changes:
        assert told(TEXT, change) == (False, False)


@pytest.mark.parametrize("name", ["rim", "holes", "corners", "guide"])
def test_a_part_with_the_name_of_a_list_is_told_how_many_a_point_has(name):
    shaft = f"[shafts.{name}]\npivot = [0, 0]\naxis = 'across'\narms.a = {{ length = 9, angle = 0 }}\n"
    with pytest.raises(LayoutError) as caught:
        config.loads(TEXT.replace("[pedal]\n", f"{shaft}[pedal]\n", 1))
    assert caught.value.key == ("shafts", name, "pivot")
    assert caught.value.hint == "a point has three: [x, y, z]"
