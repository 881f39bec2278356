"""The driver finds what it is there to find, and its cases are those it says."""

from __future__ import annotations

import tomllib
from random import Random

import numpy as np
import pytest
from typer.main import get_command

import linkage.cli
from linkage.config import load, loads
from linkage.config.models import LayoutFile
from linkage.errors import LayoutError
from tests.fuzz import run as runs
from tests.fuzz.cases import case
from tests.fuzz.commands import OPTIONS
from tests.fuzz.drive import Found, tried
from tests.fuzz.keys import BASE, every_key
from tests.fuzz.mutate import MUTATIONS, mutated, with_key
from tests.fuzz.run import Case, Ran, most_seconds, wrong
from tests.fuzz.seeds import layouts
from tests.fuzz.toml_text import dumped

CURVE = ("curve", "{layout}")
SOUND = layouts()["hanging-pedal"].encode()
READ = Case("sound", CURVE, SOUND)


def test_a_sound_layout_has_nothing_wrong(tmp_path):
    ran, fault = tried(READ, tmp_path)
    assert (ran.status, fault) == (0, "")
    assert ran.read


TOLD = "error[L100]: no\n\nhint: do"
RUNS = {
    "status 70": (CURVE, Ran(70, "", "oh", 0.1, 0)),
    "status 74": (CURVE, Ran(74, "", "oh", 0.1, 0)),
    "came to no end": (CURVE, Ran(-1, "", "", 60.0, 0)),
    "a traceback": (CURVE, Ran(0, "", "Traceback (most", 0.1, 0)),
    "or a warning": (CURVE, Ran(0, "x", "x.py:3: UserWarning: font", 0.1, 0)),
    "without what to do": (CURVE, Ran(3, "", "error[L100]: no", 0.1, 0)),
    "cannot be seen": (CURVE, Ran(0, "a\x1b[2J", "", 0.1, 0)),
    "no JSON": ((*CURVE, "--json"), Ran(0, '{"a": NaN}', "", 0.1, 0)),
    "400 MB": (CURVE, Ran(0, "", "", 0.1, 400_000_000)),
    "2.5 s": (CURVE, Ran(3, "", TOLD, 2.5, 0)),
}


@pytest.mark.parametrize("word", RUNS)
def test_what_is_wrong_is_told(word):
    words, ran = RUNS[word]
    assert word in wrong(Case("x", words, b""), ran)


def test_what_is_right_is_not():
    assert wrong(READ, Ran(3, "", TOLD, 1.9, 0)) == ""
    assert wrong(READ, Ran(2, "", "Usage: x\nTry 'x -h' for help.", 0.1, 0)) == ""
    assert wrong(Case("x", ("check", "--json"), b""), Ran(1, "{}", "", 2.5, 0)) == ""
    assert most_seconds(READ) < most_seconds(Case("x", ("check",), b""))


def test_a_fault_of_the_program_is_found(monkeypatch, tmp_path):
    def broken(*_args: object, **_options: object) -> None:
        msg = "oh"
        raise KeyError(msg)

    monkeypatch.setattr("linkage.motion.assemble", broken)
    ran, fault = tried(READ, tmp_path)
    assert ran.status == 70
    assert "KeyError" in fault


def test_memory_and_time_that_are_taken_are_found(monkeypatch, tmp_path):
    def hungry(*_args: object, **_options: object) -> None:
        np.ones(50_000_000).sum()
        msg = "no"
        raise LayoutError(msg, hint="do")

    monkeypatch.setattr("linkage.motion.assemble", hungry)
    ran, fault = tried(READ, tmp_path)
    assert ran.grown == 0 or "MB" in fault  # 0 where the system does not tell

    def endless(*_args: object, **_options: object) -> None:
        while True:
            pass

    monkeypatch.setattr("linkage.motion.assemble", endless)
    monkeypatch.setattr(runs, "_BROKEN_OFF", 1)
    assert "came to no end" in tried(READ, tmp_path)[1]


def test_a_layout_that_is_changed_is_found(monkeypatch, tmp_path):
    def careless(path, **_options):
        loaded = load(path)
        path.write_text("gone", encoding="utf-8")
        return loaded

    monkeypatch.setattr(linkage.cli.common, "load", careless)
    assert "was changed" in tried(READ, tmp_path)[1]


def test_every_command_is_tried():
    assert set(OPTIONS) == set(get_command(linkage.cli.app).commands)


def test_cases_are_those_of_their_seed():
    assert case(5, 7) == case(5, 7)
    assert case(5, 7) != case(5, 8)
    assert case(5, 7).layout != case(6, 7).layout
    some = [case(1, i) for i in range(300)]
    assert len({c.layout for c in some}) > 250
    assert {c.words[0] for c in some} >= {"curve", "check"}


@pytest.mark.parametrize("change", MUTATIONS, ids=lambda f: f.__name__)
def test_each_change_changes(change):
    text = layouts()[BASE]
    new = {change(Random(seed), text) for seed in range(20)}
    assert len(new - {text, text.encode()}) > 10


def test_a_share_of_what_is_changed_is_still_a_layout():
    read = 0
    for seed in range(300):
        data = mutated(Random(seed), layouts()[BASE])
        try:
            loads(data.decode())
        except (LayoutError, UnicodeDecodeError):
            continue
        read += 1
    assert 15 < read < 200


def test_every_key_of_the_schema_is_set():
    keys = every_key()
    assert len(keys) == len(set(keys)) > 130
    assert {key[0] for key in keys} == {
        field.alias or name for name, field in LayoutFile.model_fields.items()
    }
    for path in keys:
        data = tomllib.loads(with_key(path, "41"))
        for part in path[:-1]:
            data = data[part]
        assert data[path[-1]] == 41


def test_plain_data_is_written_as_it_was():
    for text in layouts().values():
        data = tomllib.loads(text)
        assert tomllib.loads(dumped(data)) == data
        assert loads(dumped(data)).layout == loads(text).layout


def test_what_was_found_is_counted():
    found = Found()
    found.add(READ, Ran(0, "", "", 1.5, 5), "")
    found.add(READ, Ran(70, "", "", 0.5, 9), "oh")
    assert (found.cases, found.read, found.seconds) == (2, 1, 2.0)
    assert found.faults == [("sound", "curve {layout}: oh")]
    assert (found.slowest[0], found.largest[0]) == (1.5, 9)
