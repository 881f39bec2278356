"""The table of heat in a layout file: read, written again, refused at its place."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from linkage import config
from linkage.errors import LayoutError
from linkage.model import Heat
from linkage.model.heat import MATERIALS, SET_AT, coldest, on_manifold, stands_on
from tests.cli.conftest import CONFIGS

GOOD = (CONFIGS / "fault-heat-holds-open.toml").read_text(encoding="utf-8")
HELD = next(line for line in GOOD.splitlines() if line.startswith("held"))
BLOCK = next(line for line in GOOD.splitlines() if line.startswith("block "))
SEAT = next(line for line in GOOD.splitlines() if line.startswith("seat"))
MANIFOLD = next(line for line in GOOD.splitlines() if line.startswith("manifold "))


def added(text):
    return BLOCK, f"{BLOCK}\n{text}"


#: What is changed, words of the message, of the hint, and the key.
FAULTS = [
    (BLOCK, 'block = "cast irn"', "unknown material `cast irn`", "did you mean `cast iron`", "block"),
    (BLOCK, "block = 3", "material must be a word", "steel", "block"),
    (BLOCK, "", "the key `block` is missing", "add `block` to [heat]", "block"),
    (HELD, "", "the key `held` is missing", "add `held` to [heat]", "held"),
    (HELD, "held = [430, 0]", "too few values", "a point has three", "held"),
    (HELD, 'held = ["430 m", 0, 0]', "away from shaft `spindle`", "number and unit", "held"),
    (SEAT, 'seat = [0, 0, "-9 m"]', "`seat` is 9", "number and unit", "seat"),
    (SEAT, "", "the key `seat` is missing", "sits on the block", ""),
    (MANIFOLD, "", "`seat` is of a manifold", "add `manifold`", "seat"),
    (*added('manifold_warm = "9 degC"'), "unknown key `manifold_warm`", "did you mean `manifold", "manifold_warm"),
    (*added("cold = -10"), "no unit", "degC", "cold"),
    (*added('cold = "-300 degC"'), "nothing is that cold", "-273.15", "cold"),
    (*added('cold = "-100 degC"'), "colder than can be meant", "-60 °C", "cold"),
    (*added('block_hot = "900 degC"'), "hotter than can be meant", "200 °C", "block_hot"),
    (*added('set_at = "90 degC"'), "hotter than can be meant", "60 °C", "set_at"),
    (*added('cold = "30 degC"'), "warmer than the 20 °C at which it was set", "swapped", "cold"),
    (*added('rods_hot = "5 degC"'), "colder than the 20 °C at which it was set", "swapped", "rods_hot"),
    (*added('carries = ["pedal"]'), "the manifold carries `pedal`, and the engine does not", "[engine]", "carries"),
    (*added('carries = ["spindel"]'), "no shaft `spindel`", "did you mean `spindle`", "carries"),
    (*added("carries = []"), "nothing stands on the manifold", "take `manifold` and `seat` out", "manifold"),
    ('carries = ["spindle"]', "carries = []", "no shaft stands on the engine", "under [engine]", ""),
]  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault[4]}: {fault[2]}")
def test_what_no_heat_can_be_is_refused_at_its_place(fault, tmp_path):
    old, new, words, hint, key = fault
    assert GOOD.count(old) == 1
    path = tmp_path / "warm.toml"
    path.write_text(GOOD.replace(old, new), encoding="utf-8")
    with pytest.raises(LayoutError) as found:
        config.load(path)
    assert words in str(found.value)
    assert hint in found.value.hint
    assert ".".join(found.value.key) == f"heat.{key}".rstrip(".")
    place = found.value.place
    assert place is not None
    assert place.line  # the line in the file, or that of its table


def test_words_for_it_lead_to_the_table():
    for word in ("temperature", "thermal", "expansion"):
        with pytest.raises(LayoutError, match=f"unknown key `{word}`") as found:
            config.loads(GOOD + f"\n[{word}]\nx = 1\n")
        assert "[heat]" in found.value.hint


WHOLE = """
carries = ["spindle"]
body = "aluminium"
set_at = "15 degC"
cold = "-22 degC"
block_hot = "88 ± 4 degC"
manifold_hot = "212 degF"
rods_hot = "45 degC"
body_hot = "35 degC"
"""


def test_all_of_it_is_read_in_si_and_written_again_to_the_very_same():
    layout = config.loads(GOOD.replace(BLOCK, BLOCK + WHOLE)).layout
    heat = layout.heat
    assert heat is not None
    told = (heat.set_at, heat.cold, heat.block_hot, heat.rods_hot, heat.body_hot)
    assert told == (15.0, -22.0, 88.0, 45.0, 35.0)
    assert heat.manifold_hot == pytest.approx(100.0)  # water boils
    assert (heat.carries, heat.body) == (("spindle",), "aluminium")
    assert layout.tolerances["heat", "block_hot"] == 4.0
    again = config.loads(config.dump(layout)).layout
    assert again == layout
    bare = config.loads(GOOD).layout
    assert config.loads(config.dump(bare)).layout == bare
    assert bare.heat is not None
    assert bare.heat.set_at is None


def test_usual_temperatures_are_taken_where_none_is_given():
    layout = config.loads(GOOD).layout
    heat = layout.heat
    assert heat.when_set == SET_AT
    assert coldest(layout, heat) == -10.0
    frosty = replace(layout, vehicle=replace(layout.vehicle, temperature=-31.0))
    assert coldest(frosty, heat) == -31.0
    hot = replace(layout, vehicle=replace(layout.vehicle, temperature=35.0))
    assert (
        coldest(hot, heat) == SET_AT
    )  # a cold start is never above what it was set at
    assert coldest(frosty, replace(heat, cold=-5.0)) == -5.0
    # Set on a hot day, what is usually warm is no colder for it.
    assert replace(heat, set_at=55.0).when_hot("body") == 55.0


def test_what_stands_on_what():
    layout = config.loads(GOOD).layout
    heat = layout.heat
    assert stands_on(layout, heat, "pedal") == "body"
    assert stands_on(layout, heat, "spindle") == "manifold"
    assert on_manifold(layout, replace(heat, manifold="", seat=None)) == frozenset()
    plain = replace(heat, manifold="", seat=None)
    assert stands_on(layout, plain, "spindle") == "block"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"block": "wood"}, "unknown material `wood` of the block"),
        ({"body": ""}, "unknown material `` of the body"),
        ({"manifold": "aluminium"}, "go together"),
        ({"seat": (0.0, 0.0, 0.0)}, "go together"),
        ({"held": (math.nan, 0.0, 0.0)}, "must be finite"),
        ({"block_hot": math.inf}, "is no temperature"),
        ({"cold": -280.0}, "is no temperature"),
    ],
)
def test_in_python_too(more, words):
    with pytest.raises(LayoutError, match=words):
        Heat(**{"held": (0.0, 0.0, 0.0), "block": "steel", **more})


def test_every_material_may_be_named():
    for name in MATERIALS:
        text = GOOD.replace(BLOCK, f'block = "{name}"')
        assert config.loads(text).layout.heat.block == name
