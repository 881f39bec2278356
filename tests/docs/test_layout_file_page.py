"""docs/layout-file.md names every key that the reader accepts, and no other."""

from __future__ import annotations

import re

import pytest

from linkage.config import loads, schema
from linkage.model import JOINT_TILT, LIMIT_ROWS
from linkage.search import check
from linkage.units import KINDS, words
from tests.docs.markdown import blocks, read

#: The table of each heading in the schema; None is the file itself.
TABLES = {
    "The file": None,
    "[units]": "UnitsTable",
    "[shafts.NAME]": "ShaftTable",
    "[shafts.NAME.arms.NAME]": "ArmTable",
    "[rods.NAME]": "RodTable",
    "[pedal]": "PedalTable",
    "[hand]": "HandTable",
    "[governor]": "GovernorTable",
    "[throttle]": "ThrottleTable",
    "[throttles.NAME]": "NamedThrottleTable",
    "[springs.NAME]": "SpringTable",
    "[stops.NAME]": "StopTable",
    "[engine]": "EngineTable",
    "[engine.about]": "AboutTable",
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


def test_every_kind_of_joint_is_named():
    assert all(f"`{kind}`" in SECTIONS["[rods.NAME]"] for kind in JOINT_TILT)


def test_conventions_list_every_unit():
    text = read("docs/conventions.md")
    for kind in KINDS:
        (line,) = [x for x in text.splitlines() if x.startswith(f"| {kind} | ")]
        assert all(f"`{word}`" in line for word in words(kind)), kind
