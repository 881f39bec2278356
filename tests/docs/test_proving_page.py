"""docs/proving.md: its commands run, its file is read, and its figures are the program's."""

from __future__ import annotations

import math
import re

import pytest

from linkage.config import load
from linkage.config.readings import ReadingsFile, load_readings
from linkage.model.readings import LEAST_PULL, READ_WITH
from tests.cli.conftest import CONFIGS, run
from tests.docs.markdown import blocks, commands, read

__all__ = ["run"]

PAGE = read("docs/proving.md")


def test_it_runs_as_it_stands(run, tmp_path, monkeypatch):
    """The second file filled in as the page has it."""
    monkeypatch.chdir(tmp_path)
    (toml,) = (b.text for b in blocks(PAGE) if b.language == "toml")
    first, then = (commands(b) for b in blocks(PAGE) if b.language == "sh")
    for _, *words in first:
        assert run(*words).code == 0
    (tmp_path / "car-read.toml").write_text(toml, encoding="utf-8")
    for _, *words in then:
        ran = run(*words)
        assert ran.code == 0, ran.out + ran.err
        assert ran.out.startswith("The vehicle AGREES")
    assert (tmp_path / "proof.pdf").stat().st_size > 3000
    loaded = load(CONFIGS / "hanging-pedal.toml")
    assert len(load_readings(tmp_path / "car-read.toml", loaded)) == 7


def test_every_key_stands_on_the_page():
    keys = {k for k in ReadingsFile.model_fields if k not in {"format", "throttles"}}
    assert keys == set(re.findall(r"^\| `(\w+)` \|", PAGE, re.MULTILINE))


@pytest.mark.parametrize(
    ("name", "first"),
    [
        ("pad", "the pad's travel"),
        ("throttle", "throttle angles"),
        ("levers", "angles of arms"),
        ("rods", "rods"),
        ("pulls", "pulls"),
    ],
)
def test_instruments_are_those_of_the_program(name, first):
    (row,) = (
        cells
        for line in PAGE.splitlines()
        if (cells := [c.strip() for c in line.strip("|").split("|")])[0] == first
        and len(cells) == 2
    )
    told = re.findall(r"([a-z ]+?) ([0-9.]+) ?(mm|°|%)", row[1].split(";")[0])
    units = {"mm": 1e-3, "°": math.radians(1), "%": 0.01}
    found = {word.strip(): float(value) * units[unit] for word, value, unit in told}
    assert list(found) == list(READ_WITH[name].errors)
    assert found == pytest.approx(dict(READ_WITH[name].errors))
    if name == "pulls":
        assert f"never better than {LEAST_PULL} N" in row[1]
