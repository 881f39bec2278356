"""`new`: starter layouts, the list, the schema."""

import json

import jsonschema
import pytest

from linkage.config import schema
from linkage.config.starters import starters


def test_list_names_every_layout(run, configs):
    ran = run("new", "--list")
    assert ran.code == 0
    assert [line.split()[0] for line in ran.out.splitlines()] == sorted(
        p.stem for p in configs.glob("*.toml")
    )
    data = json.loads(run("new", "--list", "--json").out)
    assert all(row["title"] for row in data)


def test_list_is_one_under_the_other_where_the_terminal_is_narrow(run, monkeypatch):
    monkeypatch.setenv("COLUMNS", "200")
    wide = run("new", "--list").out.splitlines()
    assert len(wide) == len(starters())
    monkeypatch.setenv("COLUMNS", "50")
    narrow = run("new", "--list").out.splitlines()
    assert max(map(len, narrow)) <= 50
    assert [line for line in narrow if not line.startswith(" ")] == list(starters())
    told = " ".join(line.strip() for line in narrow)
    for found in starters().values():
        assert f"{found.name} {found.title}" in told


@pytest.mark.parametrize("name", starters())
def test_a_starter_is_written_as_it_is(run, configs, tmp_path, name):
    out = tmp_path / "car.toml"
    ran = run("new", name, "-o", out)
    assert ran.code == 0
    assert out.read_text() == (configs / f"{name}.toml").read_text()
    assert "next:" in ran.err


def test_without_a_place_it_goes_to_stdout(run):
    ran = run("new", "hanging-pedal")
    assert ran.out.startswith("# Hanging pedal")
    assert ran.err == ""


def test_schema_is_that_of_the_reader(run, tmp_path):
    assert json.loads(run("new", "--schema").out) == schema()
    out = tmp_path / "schema.json"
    assert run("new", "--schema", "-o", out).code == 0
    jsonschema.Draft202012Validator.check_schema(json.loads(out.read_text()))


def test_refusals(run, tmp_path):
    assert run("new").code == 2
    ran = run("new", "hanging-pedel")
    assert ran.code == 2
    assert "did you mean `hanging-pedal`?" in ran.err
    old = tmp_path / "car.toml"
    old.write_text("mine")
    assert run("new", "hanging-pedal", "-o", old).code == 2
    assert old.read_text() == "mine"
    assert run("new", "hanging-pedal", "-o", old, "--force", "--quiet").err == ""
