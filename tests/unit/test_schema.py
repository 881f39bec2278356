"""The JSON Schema says what the reader accepts, shown on changed documents.

What lies outside the schema is listed in `linkage.config.describe`; the changes
here keep out of it: ``[units]`` names every kind, no vector axis is zero, no
text has a zero under a fraction's line, more than 12 digits or a negative zero.
TOML's nan and inf do not exist in JSON.
"""

from __future__ import annotations

import copy
import json
import random
import tomllib

import jsonschema
import pytest

from linkage.config import read_tables, schema
from linkage.errors import LayoutError
from linkage.model import LIMIT_ROWS
from linkage.units import KINDS, UNITS, words
from linkage.units.table import BARE

SCHEMA = schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)

POOL = [
    0, 1, -1, 2.5, 0.5, 98, 1e12, -1e12, True, False, "", "1", "50 mm", "-5 mm",
    "50 ± 0.5 mm", "2 3/8 in", "1,5 mm", "nan mm", "12 MM", "45 deg", "-3°", "6 N",
    "0.9 N/mm", "1 Nm", "0.1 N·m/deg", "60 g", "1 s", "98 %", "-20 degC", "3 kg m2",
    "1.6 deg/mm", "across", "ball", "rod end", "clockwise", "torsion", "measured",
    "plate", "kickdown", "steel", "engine", "pedal.rod", "spindle", "x" * 101 + " mm",
    [], [1], [1, 2, 3], ["1 mm", "2 in", 3], [1, 2, 3, 4], ["spindle"], ["ball", "clevis"],
    [["20 N", "90 mm"], ["35 N", "110 mm"]], {}, {"length": 1, "angle": 2},
    {"pin": [1, 2, 3]}, {"point": [0, 0, 0], "axis": [0, 1, 0]}, {"x": {"pin": [1, 2, 3]}},
]  # fmt: skip
KEYS = ["length", "angle", "offset", "pin", "mass", "hook", "shaft", "anchor", "rate",
        "kind", "x", "fron", "throttles", "throttle", "joints", "friction", "presses",
        "", "a b", "bad\n", "bad\x07", "n" * 81, "stamp_load", "about"]  # fmt: skip


def _tables(part):
    if isinstance(part, dict):
        yield part
        for inner in part.values():
            yield from _tables(inner)


def _document(text):
    data = tomllib.loads(text)
    data["units"] = {k.replace(" ", "_"): words(k)[0] for k in KINDS if k not in BARE}
    return data


def _accepts(data):
    try:
        read_tables(data)
    except LayoutError as error:
        return not (error.message and error.hint)  # refused, and with words
    return True


def _changed(base, rng):
    """Return a copy with one to three changes anywhere but in ``units``."""
    data = copy.deepcopy(base)
    for _ in range(rng.choice([1, 1, 1, 2, 3])):
        body = {k: v for k, v in data.items() if k != "units"}
        table = rng.choice([data, *list(_tables(body))[1:]])
        keys = [k for k in table if k != "units"]
        way = rng.choice(
            ["drop", "add", "change", "change", "change", "rename", "element"]
        )
        if way == "add":
            table[rng.choice(KEYS)] = copy.deepcopy(rng.choice(POOL))
        elif not keys:
            continue
        elif way == "drop":
            del table[rng.choice(keys)]
        elif way == "change":
            table[rng.choice(keys)] = copy.deepcopy(rng.choice(POOL))
        elif way == "rename":
            table[rng.choice(KEYS)] = table.pop(rng.choice(keys))
        else:
            lists = [k for k in keys if isinstance(table[k], list) and table[k]]
            if lists:
                part = table[rng.choice(lists)]
                part[rng.randrange(len(part))] = copy.deepcopy(rng.choice(POOL))
    return data


def test_it_is_a_schema_and_plain_json():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    text = json.dumps(SCHEMA)
    assert "x-kind" not in text
    assert '"null"' not in text


def test_the_example_is_valid(hauler_text):
    data = tomllib.loads(hauler_text)
    VALIDATOR.validate(data)
    assert _accepts(data)


def test_valid_is_what_the_reader_accepts(hauler_text):
    base = _document(hauler_text)
    rng = random.Random(571124)  # noqa: S311  (not for secrets)
    seen = {True: 0, False: 0}
    for _ in range(1500):
        data = _changed(base, rng)
        accepted = _accepts(data)
        assert VALIDATOR.is_valid(data) == accepted, data
        seen[accepted] += 1
    assert min(seen.values()) > 200


@pytest.mark.parametrize("number", range(len(POOL)))
def test_values_at_every_key(hauler_text, number, request):
    """One value at a time in every eighth place of the example, and in the limits."""
    step = 1 if request.config.getoption("--every") else 8
    value = POOL[number]
    base = _document(hauler_text)
    base["limits"] = {}
    places = [
        (t, k)
        for t in _tables(base)
        if t is not base["units"]
        for k in t
        if k != "units"
    ]
    assert len(places) > 80
    for table, key in places[number % step :: step]:
        kept, table[key] = table[key], value
        assert VALIDATOR.is_valid(base) == _accepts(base), (key, value)
        table[key] = kept
    for key in list(LIMIT_ROWS)[number % step :: step]:
        base["limits"] = {key: value}
        assert VALIDATOR.is_valid(base) == _accepts(base), (key, value)


@pytest.mark.parametrize("kind", [k for k in KINDS if k not in BARE])
def test_units_table(hauler_text, kind):
    base = _document(hauler_text)
    for word in [*UNITS[kind], "furlong", 1, "", None]:
        base["units"][kind.replace(" ", "_")] = word
        if word is not None:
            assert VALIDATOR.is_valid(base) == _accepts(base) == (word in UNITS[kind])


def test_every_key_is_described_or_named_by_its_type():
    for table in SCHEMA["$defs"].values():
        assert "title" in table or "enum" in table
