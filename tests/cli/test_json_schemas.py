"""The schemas in docs/ describe what ``--json`` prints: all of it, and no more."""

from __future__ import annotations

import copy
import json
from pathlib import Path

import jsonschema
import pytest

from linkage.comparison.units import EFFORT
from linkage.report.compare_words import _CHANGES
from tests.cli.conftest import CONFIGS

#: A layout of which a size is asked about.
ODD = Path(__file__).parent / "odd-bearing.toml"
DOCS = CONFIGS.parent / "docs"
#: Files of readings, all invented.
READ = Path(__file__).parents[1] / "read"
LEVER = ["arm", CONFIGS / "hanging-pedal.toml", "spindle.lever", "--lengths"]
#: One run each whose output shows every part that an output can have.
RUNS = {
    "check": [
        ["check", CONFIGS / "hanging-pedal.toml"],
        ["check", CONFIGS / "fault-wrong-sense.toml"],
        ["check", CONFIGS / "fault-hole-too-long.toml"],
        ["check", ODD],
        ["check", CONFIGS / "governed-engine.toml"],
        ["check", CONFIGS / "cable-drum.toml"],
        ["check", CONFIGS / "cam-roller.toml"],
    ],
    "curve": [
        ["curve", CONFIGS / "hanging-pedal.toml"],
        ["curve", CONFIGS / "fault-hole-too-long.toml", "--rows", "2"],
        ["curve", CONFIGS / "fault-wrong-sense.toml"],
        ["curve", CONFIGS / "governed-engine.toml", "--rows", "5"],
        ["curve", CONFIGS / "hanging-pedal.toml", "--over", CONFIGS / "up-pull-side-draught.toml"],
    ],
    "arm": [
        [*LEVER, "25 to 45 mm by 5 mm"],
        [*LEVER, "32 mm", "--angles", "45 to 60 deg by 5 deg"],
        [*LEVER, "60 mm"],
        ["arm", CONFIGS / "hanging-pedal.toml", "spindle.lever", "pedal.rod", "--lengths", "31, 32 mm", "--lengths", "110, 900 mm"],
    ],
    "springs": [
        ["springs", CONFIGS / "hanging-pedal.toml"],
        ["springs", CONFIGS / "twin-side-draught.toml"],
        ["springs", CONFIGS / "fault-one-spring-only.toml", "--rows", "3"],
        ["springs", CONFIGS / "hanging-pedal.toml", "--choose", "near", "--radii", "26, 28 mm"],
    ],
    "swap": [
        ["swap", CONFIGS / "scenario-before.toml"],
        ["swap", CONFIGS / "up-pull-side-draught.toml", "--carburettor", "replaced", "--opens", "clockwise"],
        ["swap", CONFIGS / "slide-to-pump.toml", "--plane", "y = 100 mm"],
        ["swap", CONFIGS / "cam-roller.toml"],
        ["swap", CONFIGS / "governed-engine.toml", "--carburettor", "turned", "--plane", "y = 100 mm"],
    ],
    "compare": [
        ["compare", CONFIGS / "crank-right-hand.toml", CONFIGS / "crank-wrong-hand.toml"],
        ["compare", CONFIGS / "scenario-before.toml", CONFIGS / "scenario-cured.toml"],
        ["compare", CONFIGS / "hanging-pedal.toml", CONFIGS / "twin-side-draught.toml"],
        ["compare", CONFIGS / "bulkhead-cross-shaft.toml", CONFIGS / "hanging-pedal.toml"],
        ["compare", CONFIGS / "scenario-before.toml", CONFIGS / "fault-wrong-sense.toml"],
        ["compare", CONFIGS / "governed-engine.toml", CONFIGS / "fault-governor-rod-short.toml"],
        ["compare", CONFIGS / "cable-drum.toml", CONFIGS / "push-pull-cable.toml"],
        ["compare", CONFIGS / "cam-roller.toml", CONFIGS / "fault-cam-too-short.toml"],
        ["compare", CONFIGS / "slide-to-pump.toml", CONFIGS / "fault-guide-too-short.toml"],
        ["compare", CONFIGS / "choke-fast-idle.toml", CONFIGS / "hand-and-foot.toml"],
        ["compare", CONFIGS / "hanging-pedal.toml", CONFIGS / "under-a-bonnet.toml"],
    ],
    "rim": [
        ["rim", CONFIGS / "cable-drum.toml", "spindle.drum"],
        ["rim", CONFIGS / "cable-drum.toml", "spindle.drum", "--at", "80 %"],
        ["rim", CONFIGS / "cam-roller.toml", "cross.cam"],
        ["rim", CONFIGS / "cam-roller.toml", "cross.cam", "--at", "80 %"],
    ],
    "band": [
        ["band", CONFIGS / "hanging-pedal.toml", "--samples", "20"],
        ["band", CONFIGS / "twin-side-draught.toml", "--samples", "20", "--even"],
    ],
    "rock": [
        ["rock", CONFIGS / "hanging-pedal.toml"],
        ["rock", CONFIGS / "cable-drum.toml", "--by", "40 mm"],
    ],
    "prove": [
        ["prove", CONFIGS / "twin-side-draught.toml"],
        ["prove", CONFIGS / "hanging-pedal.toml", READ / "agrees.toml"],
        ["prove", CONFIGS / "hanging-pedal.toml", READ / "short-lever.toml"],
        ["prove", CONFIGS / "hanging-pedal.toml", READ / "short-lever.toml", "--take", "1"],
        ["prove", CONFIGS / "hanging-pedal.toml", READ / "hangs-open.toml"],
    ],
    "new": [["new", "--list"]],
}  # fmt: skip
CASES = [(name, words) for name, runs in RUNS.items() for words in runs]


def _schema(name: str):
    return json.loads((DOCS / f"{name}.schema.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", RUNS)
def test_schema_is_one(name):
    jsonschema.Draft202012Validator.check_schema(_schema(name))


@pytest.mark.parametrize(("name", "words"), CASES)
def test_output_follows_its_schema(run, name, words):
    data = json.loads(run(*words, "--json").out)
    jsonschema.validate(data, _schema(name))
    for one in data if isinstance(data, list) else [data]:
        lengths = {len(column) for column in one.get("columns", {}).values()}
        assert len(lengths) <= 1


def _worse(data):
    """Yield the data with a key too many, and with each key too few."""
    parts = [data] if isinstance(data, dict) else []
    if isinstance(data, list):
        yield [*data, {}]
        parts = data[:1]
    for part in parts:
        yield {**part, "surplus": 1}
        for key in part:
            yield {k: v for k, v in part.items() if k != key}


def test_every_kind_of_change_and_of_what_is_set_back_stands_in_the_schema():
    schema = _schema("compare")
    change = schema["properties"]["changes"]["items"]["properties"]["kind"]
    assert change["enum"] == list(_CHANGES)
    assert set(schema["$defs"]["unit"]["properties"]["kind"]["enum"]) == set(EFFORT)


def test_findings_are_the_same_everywhere():
    for name in ("springs", "swap"):
        assert _schema(name)["$defs"]["finding"] == _schema("check")["$defs"]["finding"]


@pytest.mark.parametrize(
    ("name", "words"),
    [(n, runs[0]) for n, runs in RUNS.items()] + [("rim", RUNS["rim"][2])],
)
def test_schema_refuses_what_is_not_printed(run, name, words):
    validator = jsonschema.Draft202012Validator(_schema(name))
    data = json.loads(run(*words, "--json").out)
    for worse in _worse(data):
        assert not validator.is_valid(worse), worse


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("findings", 0, "verdict"), "OK"),
        (("findings", 0, "unit"), "furlong"),
        (("findings", 0, "value"), "1.0"),
        (("findings", 0, "extra"), 1),
        (("rods", "link", "length_mm"), 0),
        (("stopped_by",), "the cat"),
        (("verdict",), None),
    ],
)
def test_check_schema_refuses_values(run, path, value):
    data = json.loads(run("check", CONFIGS / "hanging-pedal.toml", "--json").out)
    worse = copy.deepcopy(data)
    part = worse
    for key in path[:-1]:
        part = part[key]
    part[path[-1]] = value
    assert not jsonschema.Draft202012Validator(_schema("check")).is_valid(worse)


def test_every_command_that_prints_json_has_a_schema(run):
    from linkage.cli import app

    names = [c.callback.__name__ for c in app.registered_commands]
    with_json = [n for n in names if "--json" in run(n, "--help").out]
    assert {
        p.name.removesuffix(".schema.json") for p in DOCS.glob("*.schema.json")
    } >= set(with_json)
