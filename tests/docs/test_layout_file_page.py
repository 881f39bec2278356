"""docs/layout-file.md names every key that the reader accepts, and no other."""

from __future__ import annotations

import math
import re

import pytest

from linkage.config import loads, schema
from linkage.config.cable_table import MOST_POINTS
from linkage.connect.run import BEFORE
from linkage.forces.joints import BALL, JOINT_FRICTION
from linkage.forces.sheath import BENDS, SHEATH_FRICTION
from linkage.model import JOINT_TILT, LIMIT_ROWS
from linkage.model.cable import WIRE
from linkage.search import check
from linkage.units import KINDS, words
from tests.docs.markdown import blocks, read

#: The table of each heading in the schema; None is the file itself.
TABLES = {
    "The file": None,
    "[units]": "UnitsTable",
    "[measured]": "MeasuredTable",
    "[shafts.NAME]": "ShaftTable",
    "[shafts.NAME.arms.NAME]": "ArmTable",
    "[slides.NAME]": "SlideTable",
    "[rods.NAME]": "RodTable",
    "[cables.NAME]": "CableTable",
    "[cams.NAME]": "CamTable",
    "[pedal]": "PedalTable",
    "[hand]": "HandTable",
    "[governor]": "GovernorTable",
    "[throttle]": "ThrottleTable",
    "[throttles.NAME]": "NamedThrottleTable",
    "[springs.NAME]": "SpringTable",
    "[stops.NAME]": "StopTable",
    "[engine]": "EngineTable",
    "[engine.about]": "AboutTable",
    "[heat]": "HeatTable",
    "[obstacles.NAME]": "ObstacleTable",
    "[friction]": "FrictionTable",
    "[vehicle]": "VehicleTable",
}
PAGE = read("docs/layout-file.md")
SECTIONS = dict(
    part.split("\n", 1) for part in re.split(r"^## ", PAGE, flags=re.MULTILINE)[1:]
)


def _table(heading: str):
    made = schema()
    name = TABLES[heading]
    return made if name is None else made["$defs"][name]


@pytest.mark.parametrize("heading", TABLES)
def test_keys_and_what_is_needed(heading):
    rows = re.findall(
        r"^\| `(\w+)` \| [^|]* \| (yes|no) \|", SECTIONS[heading], re.MULTILINE
    )
    table = _table(heading)
    assert {key for key, _ in rows} == set(table["properties"])
    assert len(rows) == len(table["properties"])
    needed = {key for key, word in rows if word == "yes"}
    assert needed == set(table.get("required", []))


def test_every_table_of_the_schema_has_its_section():
    tables = {n for n in schema()["$defs"] if n.endswith("Table")}
    assert tables == {t for t in TABLES.values() if t} | {"LimitsTable"}
    assert set(SECTIONS) == {*TABLES, "[limits]"}


def test_limits_have_a_page_of_their_own():
    keys = set(schema()["$defs"]["LimitsTable"]["properties"])
    assert keys == set(LIMIT_ROWS)
    text = read("docs/limits.md")
    assert all(f"| `{key}` |" in text for key in keys)


def test_the_pieces_make_one_file_that_fits():
    text = "\n".join(b.text for b in blocks(PAGE) if b.language == "toml")
    result = check(loads(text).layout, cures=False)
    assert result.verdict == "fits", [
        f.text for f in result.findings if f.verdict != "fits"
    ]


def test_the_cable_may_stand_in_the_place_of_the_rod():
    pieces = blocks(PAGE)
    text = "\n".join(b.text for b in pieces if b.language == "toml")
    (cable,) = (b.text for b in pieces if "[cables.main]" in b.text)
    drum, cable = cable.split("\n", 1)
    text, rods = re.subn(r"\[rods\.link\]\n(?:.+\n)+", "", text)
    text, levers = re.subn(r"arms\.lever .*", drum, text)
    assert (rods, levers) == (1, 1)
    result = check(loads(f"{text}\n{cable}").layout, cures=False)
    assert result.verdict == "fits", [
        f.text for f in result.findings if f.verdict != "fits"
    ]


def test_the_slide_may_stand_in_the_place_of_the_rod():
    pieces = blocks(PAGE)
    text = "\n".join(b.text for b in pieces if b.language == "toml")
    (slide,) = (b.text for b in pieces if "[slides.bar]" in b.text)
    text, rods = re.subn(r"\[rods\.link\]\n(?:.+\n)+", "", text)
    assert rods == 1
    result = check(loads(f"{text}\n{slide}").layout, cures=False)
    assert result.verdict != "do not fit", [
        f.text for f in result.findings if f.verdict == "do not fit"
    ]


def test_every_kind_of_joint_is_named():
    assert all(f"`{kind}`" in SECTIONS["[rods.NAME]"] for kind in JOINT_TILT)


def test_what_a_cable_is_taken_with_is_what_the_page_says():
    """What it is where it is left out, and how much wire a drum may hold."""
    told = SECTIONS["[cables.NAME]"]
    assert f"diameter of the wire; {1e3 * WIRE:g} mm where left out" in told
    assert f"wire in it; {SHEATH_FRICTION:g} where left out" in told
    assert f"in its arms; {1e3 * BALL:g} mm where left out" in told
    assert f"friction in them; {JOINT_FRICTION:g} where left out" in told
    assert f"up to {MOST_POINTS}" in told
    assert f"at most {360 - math.degrees(BEFORE):.0f}° of a drum" in told
    assert math.pi == BENDS
    assert "half a turn at the least" in told


def test_conventions_list_every_unit():
    text = read("docs/conventions.md")
    for kind in KINDS:
        (line,) = [x for x in text.splitlines() if x.startswith(f"| {kind} | ")]
        assert all(f"`{word}`" in line for word in words(kind)), kind
